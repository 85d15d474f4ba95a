"""What a roof has to spare for added permanent plant, and how far that figure may be trusted.

In: a row of the site list. Out: a reserve in Pa or N with its source, its evidence, and what is missing.

A stated reserve is what an engineer says is free. Without one, a roof that is designed as accessible or for
plant has its design imposed load minus the plant that stands there already, both known. The imposed load of
a roof that is only walked on for maintenance (category H of EN 1991-1-1, L_r of ASCE 7) is no capacity for
permanent plant: it is shown for information. Comparisons are at characteristic (EN 1990) or
allowable-stress (ASCE 7) level.
"""

from dataclasses import dataclass
from typing import Literal

from edgecheck.inputs.sites import Site

Evidence = Literal["calculation", "survey", "drawing", "assumed"]
Outcome = Literal["pass", "caution", "fail", "not assessed"]

KILO = 1000.0
_EVIDENCE: dict[str, Evidence] = {"calculation": "calculation", "survey": "survey", "assumed": "assumed"}
_IMPOSED = "roof_design_imposed_kpa"
_EXISTING = "roof_existing_plant_kpa"


@dataclass(frozen=True)
class Reserve:
    """What the roof has to spare.

    Parameters
    ----------
    value : float, optional
        None where unknown. [Pa, or N for one foot]
    source : str
        Where it comes from, in words.
    evidence : {"calculation", "survey", "drawing", "assumed"}
        How it is known; an empty cell counts as "drawing".
    for_information : bool
        True where the value is a maintenance load and no capacity for permanent plant.
    missing : tuple of str
        Keys of the site list that would give it.
    """

    value: float | None
    source: str
    evidence: Evidence
    for_information: bool = False
    missing: tuple[str, ...] = ()


def roof_reserve(site: Site) -> Reserve:
    """Uniform reserve of the roof for added permanent plant.

    Parameters
    ----------
    site : Site
        A row of the site list.

    Returns
    -------
    reserve : Reserve
        [Pa]
    """
    evidence = _evidence(site)
    stated = site.number("roof_reserve_kpa")
    if stated is not None:
        return Reserve(stated * KILO, "roof_reserve_kpa", evidence)
    use = site.text("roof_use")
    imposed, existing = site.number(_IMPOSED), site.number(_EXISTING)
    if use is not None and imposed is not None and existing is not None:
        value = round((imposed - existing) * KILO, 6)
        if use == "maintenance-only":
            source = "maintenance load minus existing plant, no capacity for permanent plant"
            return Reserve(value, source, evidence, for_information=True)
        return Reserve(value, f"{_IMPOSED} - {_EXISTING} ({use} roof)", evidence)
    missing = ["roof_reserve_kpa"]
    if use != "maintenance-only" and (imposed is not None or existing is not None):
        cells = {"roof_use": use, _IMPOSED: imposed, _EXISTING: existing}
        missing += [key for key, value in cells.items() if value is None]
    return Reserve(None, "unknown", evidence, missing=tuple(missing))


def point_reserve(site: Site) -> Reserve:
    """Reserve of the roof for the force of one foot.

    Parameters
    ----------
    site : Site
        A row of the site list.

    Returns
    -------
    reserve : Reserve
        [N]
    """
    stated = site.number("roof_reserve_point_kn")
    if stated is None:
        return Reserve(None, "unknown", _evidence(site), missing=("roof_reserve_point_kn",))
    return Reserve(stated * KILO, "roof_reserve_point_kn", _evidence(site))


def by_evidence(status: Outcome, reserve: Reserve) -> Outcome:
    """Status that the evidence of the reserve allows.

    Calculation and survey may pass; a drawing allows caution at best; an assumed figure allows caution at
    best and proves no failure; a maintenance load allows caution at best and decides nothing else.

    Parameters
    ----------
    status : {"pass", "caution", "fail", "not assessed"}
        What the numbers alone say.
    reserve : Reserve
        What they were compared with.

    Returns
    -------
    status : {"pass", "caution", "fail", "not assessed"}
    """
    if reserve.for_information:
        return "caution" if status == "pass" else "not assessed"
    if status == "pass" and reserve.evidence in ("drawing", "assumed"):
        return "caution"
    if status == "fail" and reserve.evidence == "assumed":
        return "not assessed"
    return status


def _evidence(site: Site) -> Evidence:
    return _EVIDENCE.get(site.text("roof_evidence") or "", "drawing")
