"""What a check is, and what came out of one.

A `Check` is a declaration: it stands once, in `checks/declarations.py`. A `CheckResult` is one site's outcome.
"""

import math
from dataclasses import dataclass
from typing import Any, Literal

Status = Literal["pass", "caution", "fail", "not assessed", "not applicable"]
Sense = Literal["at most", "at least"]
Confidence = Literal["published", "memory", "common practice", "engineering default"]
Need = Literal["required", "confirm", "off"]

# Between the conditions of a check where a file holds them in one text.
BETWEEN = "; "
GROUPS = ("heat", "outage", "environment", "roof", "stability", "delivery", "services")


@dataclass(frozen=True)
class Check:
    """Declaration of a check.

    Parameters
    ----------
    id : str
        Stable name, "group.name".
    title : str
        What a reader sees.
    sense : {"at most", "at least"}
        Whether the demand must stay at most at, or reach at least, the limit.
    unit : str
        Unit of demand and limit, empty for counts and shares.
    inputs : tuple of tuple of str
        Alternatives, each a tuple of site-list keys that would settle the check.
    has_true_zero : bool
        Whether demand/limit is meaningful (kPa, kN, kg, A, minutes, shares; never degC or dB).
    at_worst : Status, optional
        "caution" where the check can never fail a site.
    of_unit : bool
        Whether it describes the unit alone, whatever the site.
    basis : str
        Source of formula and limit.
    confidence : Confidence
        How well that source is known.
    """

    id: str
    title: str
    sense: Sense
    unit: str
    inputs: tuple[tuple[str, ...], ...] = ()
    has_true_zero: bool = False
    at_worst: Status | None = None
    of_unit: bool = False
    basis: str = ""
    confidence: Confidence = "engineering default"

    @property
    def group(self) -> str:
        """Group of the check: the part of the id before the dot."""
        return self.id.split(".", 1)[0]

    def spare(self, demand: float, limit: float) -> float:
        """Distance to the limit, not negative where the limit is met. [unit]"""
        return limit - demand if self.sense == "at most" else demand - limit

    def utilisation(self, demand: float, limit: float) -> float | None:
        """demand/limit or limit/demand; None where the quantity has no true zero or a value is not positive."""
        if not self.has_true_zero or not (demand > 0 and limit > 0) or math.isinf(demand):
            return None
        used, room = float(demand), float(limit)  # plain numbers: a ratio past the largest one is infinite
        return used / room if self.sense == "at most" else room / used


@dataclass(frozen=True)
class CheckResult:
    """One site's outcome of one check.

    Parameters
    ----------
    id : str
        The check's id.
    status : Status
        pass, caution, fail, not assessed, not applicable.
    demand, limit : float, optional
        In the check's unit. The demand is given even where the limit is unknown.
    spare, utilisation : float, optional
        See `Check`.
    governed_by : str
        Time or load case.
    missing : tuple of str
        Site-list keys whose absence left it unassessed.
    assumed : tuple of str
        Keys whose value was assumed for an empty cell.
    note : str
        One or two sentences: why this status, what would change it.
    conditions : tuple of str
        What must be done or confirmed for this site because of it.
    """

    id: str
    status: Status
    demand: float | None = None
    limit: float | None = None
    spare: float | None = None
    utilisation: float | None = None
    governed_by: str = ""
    missing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    note: str = ""
    conditions: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """Plain record for JSON; conditions stand in one text."""
        return {
            "id": self.id,
            "status": self.status,
            "demand": self.demand,
            "limit": self.limit,
            "spare": self.spare,
            "utilisation": self.utilisation,
            "governed_by": self.governed_by,
            "missing": list(self.missing),
            "assumed": list(self.assumed),
            "note": self.note,
            "condition": BETWEEN.join(self.conditions),
        }


def outcome(
    check: Check,
    status: Status,
    demand: float | None = None,
    limit: float | None = None,
    *,
    governed_by: str = "",
    missing: tuple[str, ...] = (),
    note: str = "",
    condition: str | tuple[str, ...] = (),
) -> CheckResult:
    """Result of a check with spare and utilisation worked out, and the status held to `at_worst`.

    A single condition may be given as a text; an empty one is none.
    """
    spare = utilisation = None
    if demand is not None and limit is not None and not (math.isnan(demand) or math.isnan(limit)):
        spare = check.spare(demand, limit)
        utilisation = check.utilisation(demand, limit)
    if check.at_worst == "caution" and status == "fail":
        status = "caution"
    if isinstance(condition, str):
        condition = (condition,) if condition else ()
    return CheckResult(
        id=check.id,
        status=status,
        demand=demand,
        limit=limit,
        spare=spare,
        utilisation=utilisation,
        governed_by=governed_by,
        missing=missing,
        note=note,
        conditions=condition,
    )
