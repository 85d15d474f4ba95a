"""The 5 % trigger of the US existing-building code, for lists under ASCE 7 only.

In: a site, what the unit puts on the roof. Out: one result, a share. At worst a caution, and never a reason for
another check to pass.
"""

from edgecheck.checks.findings import incomplete_spreader
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.sites import Site
from edgecheck.roof.demand import RoofDemand
from edgecheck.roof.load import added_share
from edgecheck.roof.reserve import KILO

MEMBER_SHARE = Check(
    id="roof.member-share",
    title="Share added to the member",
    sense="at most",
    unit="share",
    inputs=(
        ("load_standard", "member_tributary_m2", "roof_design_dead_kpa", "roof_design_imposed_kpa"),
        ("load_standard", "member_tributary_m2", "roof_design_dead_kpa", "roof_design_snow_kpa"),
    ),
    has_true_zero=True,
    at_worst="caution",
    basis=(
        "IEBC 503.3, 706.2, 805.2 (section by edition): a gravity member whose design dead, live or snow load "
        "rises by more than 5 %, all additions since construction together, must meet the code for new work. "
        "Whole weight on one member."
    ),
    confidence="published",
)

LIMIT = 0.05
_DEAD = "roof_design_dead_kpa"
_AREA = "member_tributary_m2"
_VARIABLE = ("roof_design_imposed_kpa", "roof_design_snow_kpa")


def member_share_check(site: Site, demand: RoofDemand) -> CheckResult:
    """Judge the share that the unit adds to the design load of one member.

    Parameters
    ----------
    site : Site
        A row of the site list.
    demand : RoofDemand
        What the unit puts on the roof.

    Returns
    -------
    result : CheckResult
        "roof.member-share"; not applicable under EN, which has no such rule.
    """
    standard = site.text("load_standard")
    if standard == "en":
        return outcome(MEMBER_SHARE, "not applicable", note="A rule of US codes; load_standard is en.")
    dead, area = site.number(_DEAD), site.number(_AREA)
    variable = [site.number(key) for key in _VARIABLE]
    known = [load for load in variable if load is not None]
    unit_alone = (
        f"{demand.weight / KILO:.2f} kN would need {demand.weight / LIMIT / KILO:.1f} kN of design load on "
        "the member."
    )
    cells = {"load_standard": standard, _DEAD: dead, _AREA: area}
    missing = [key for key, cell in cells.items() if cell is None]
    if not known:
        missing += _VARIABLE
    if demand.spreader.missing:
        finding = incomplete_spreader(demand)
        return outcome(MEMBER_SHARE, "not assessed", missing=finding.missing, note=finding.text)
    if missing or dead is None or area is None:
        return outcome(MEMBER_SHARE, "not assessed", missing=tuple(missing), note=unit_alone)
    designed = (dead + max(known)) * KILO
    if designed <= 0.0:
        return outcome(MEMBER_SHARE, "not assessed", missing=(_DEAD,), note="The stated design load is zero.")
    share = added_share(demand.weight, designed, area)
    governs = f"{demand.weight / KILO:.2f} kN on a member with {designed / KILO:.2f} kPa over {area:g} m2"
    if MEMBER_SHARE.spare(share, LIMIT) >= 0.0:
        note = "No strengthening is triggered by the unit alone; all additions since construction count together."
        return outcome(MEMBER_SHARE, "pass", share, LIMIT, governed_by=governs, note=note)
    if len(known) < len(_VARIABLE):
        lacking = tuple(key for key, load in zip(_VARIABLE, variable, strict=True) if load is None)
        note = f"Above the limit with what is known; {', '.join(lacking)} may bring it below. {unit_alone}"
        return outcome(
            MEMBER_SHARE, "not assessed", share, LIMIT, governed_by=governs, missing=lacking, note=note
        )
    return outcome(
        MEMBER_SHARE,
        "caution",
        share,
        LIMIT,
        governed_by=governs,
        note=unit_alone,
        condition="a structural engineer analyses the member (5 % rule of the existing-building code)",
    )
