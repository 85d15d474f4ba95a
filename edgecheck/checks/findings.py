"""What the numbers of a roof check say, and what the evidence behind the roof's reserve makes of it."""

import math
from dataclasses import dataclass, replace

from edgecheck.roof.demand import RoofDemand
from edgecheck.roof.reserve import Outcome, Reserve, by_evidence

_CONFIRM = {
    "drawing": "a structural engineer confirms the roof's reserve by calculation or survey",
    "assumed": "the roof's reserve is assumed and must be stated by a structural engineer",
}


@dataclass(frozen=True)
class Finding:
    """A status with its grounds: text, conditions of a caution, keys that would settle what is not assessed."""

    status: Outcome
    text: str
    conditions: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def weighed(finding: Finding, reserve: Reserve) -> Finding:
    """Hold the status to what the evidence allows, and say what would improve it.

    Parameters
    ----------
    finding : Finding
        What the numbers alone say.
    reserve : Reserve
        What they were compared with.

    Returns
    -------
    finding : Finding
    """
    status = by_evidence(finding.status, reserve)
    if reserve.for_information and finding.status != "not assessed":
        text = f"{finding.text} That is a maintenance load, no capacity for permanent plant."
        if status == "caution":
            need = "a structural engineer states what the roof can spare for permanent plant"
            return Finding(status, text, (*finding.conditions, need))
        return Finding(status, text, missing=("roof_reserve_kpa",))
    if finding.status == "fail" and status == "not assessed":
        return Finding(status, f"{finding.text} The reserve is assumed.", missing=("roof_evidence",))
    if status == "caution" and reserve.evidence in _CONFIRM:
        return replace(finding, status=status, conditions=(*finding.conditions, _CONFIRM[reserve.evidence]))
    if status == finding.status:
        return finding
    return replace(finding, status=status)


def incomplete_spreader(demand: RoofDemand) -> Finding:
    """A spreader is stated of which size or mass is missing."""
    missing = demand.spreader.missing
    text = f"A spreader is stated without {', '.join(missing)}; its mass is {demand.spreader.mass_source}."
    return Finding("not assessed", text, missing=missing)


def enough(demand: float) -> float:
    """Round a demand up to the two decimals that are printed."""
    return math.ceil(demand * 100.0) / 100.0
