"""One site's result: everything that pages and tables show."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from edgecheck.base.notes import Note
from edgecheck.checks.model import CheckResult

if TYPE_CHECKING:
    import xarray as xr

Verdict = Literal["go", "conditional", "undecided", "no-go", "unusable"]
SCHEMA = 1


@dataclass(frozen=True)
class WorstHour:
    """A worst hour with everything its worked example needs; heat in W, temperatures in degC.

    `values` holds SI numbers under the names of variables.toml plus the steps of the inlet air
    (`station_temp_air`, `elevation_shift`, `warming_shift`, `spell_shift`, `roof_mixing_rise`,
    `recirculation_rise`, `derate_rise`).
    """

    title: str
    spell: str
    time: str
    binding: str
    values: Mapping[str, float | None]

    def to_dict(self) -> dict[str, Any]:
        """Plain record for JSON."""
        return {
            "title": self.title,
            "spell": self.spell,
            "time": self.time,
            "binding": self.binding,
            "values": plain(self.values),
        }


@dataclass(frozen=True)
class Result:
    """What came out for one site.

    Parameters
    ----------
    site_id, name : str
        As in the list.
    row : int
        Line of the list the site stands on.
    verdict : Verdict
        Of the site.
    groups : mapping
        Verdict of each group: a verdict, "not covered", "off" or "not applicable".
    governing_check, reason : str
        The check that decides, and one sentence.
    checks : tuple of CheckResult
        In the order of the declarations.
    conditions, to_survey : tuple of str
        What must be done or confirmed; what must be found out.
    asks : mapping
        What the roof must offer: mass [kg], area [m2], kPa, kN a foot, A ... under names with units.
    figures : mapping
        Columns of verdicts.csv that follow the reason.
    worst_hours : tuple of WorstHour
        The worst hour of year and spells, then one a binding limit.
    inputs : mapping
        Site-list values as read, defaults and assumptions as used (key, value, origin, reason).
    detail : mapping
        Further tables for pages: mass lines, reactions, extremes, weather facts.
    notes : tuple of Note
        Everything that affects trust.
    faults : tuple of str
        Why the row is unusable; empty otherwise.
    hourly, hot_spell, cold_spell, outage : xarray.Dataset, optional
        Hourly data in SI under the bare names of variables.toml.
    """

    site_id: str
    name: str
    row: int
    verdict: Verdict
    groups: Mapping[str, str] = field(default_factory=dict)
    governing_check: str = ""
    reason: str = ""
    checks: tuple[CheckResult, ...] = ()
    conditions: tuple[str, ...] = ()
    to_survey: tuple[str, ...] = ()
    asks: Mapping[str, Any] = field(default_factory=dict)
    figures: Mapping[str, Any] = field(default_factory=dict)
    worst_hours: tuple[WorstHour, ...] = ()
    inputs: tuple[Mapping[str, Any], ...] = ()
    detail: Mapping[str, Any] = field(default_factory=dict)
    notes: tuple[Note, ...] = ()
    faults: tuple[str, ...] = ()
    hourly: "xr.Dataset | None" = None
    hot_spell: "xr.Dataset | None" = None
    cold_spell: "xr.Dataset | None" = None
    outage: "xr.Dataset | None" = None

    @property
    def is_type(self) -> bool:
        """Whether it qualifies the type of a unit against a design day, and judges no place."""
        return bool((self.detail.get("weather") or {}).get("cycle"))

    def to_dict(self) -> dict[str, Any]:
        """Plain record, schema 1, without hourly data; unknown numbers are null."""
        return {
            "schema": SCHEMA,
            "site_id": self.site_id,
            "name": self.name,
            "row": self.row,
            "verdict": self.verdict,
            "groups": dict(self.groups),
            "governing_check": self.governing_check,
            "reason": self.reason,
            "checks": [plain(check.to_dict()) for check in self.checks],
            "conditions": list(self.conditions),
            "to_survey": list(self.to_survey),
            "asks": plain(self.asks),
            "figures": plain(self.figures),
            "worst_hours": [hour.to_dict() for hour in self.worst_hours],
            "inputs": [plain(entry) for entry in self.inputs],
            "detail": plain(self.detail),
            "notes": [plain(note.to_dict()) for note in self.notes],
            "faults": list(self.faults),
        }


def plain(value: Any) -> Any:
    """JSON-ready copy: numpy scalars become numbers, values that are not finite become null or "infinite"."""
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if hasattr(value, "tolist") and not isinstance(value, str):
        return plain(value.tolist())
    if isinstance(value, float) and not math.isfinite(value):
        return "infinite" if value > 0 else None
    return value
