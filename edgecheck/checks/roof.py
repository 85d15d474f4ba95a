"""Roof checks: the unit's weight against the roof's reserve, one foot's force against the point reserve.

In: a site, the unit, the criteria, the density of the liquid. Out: one result a check, in kPa and kN.

Roof load. A patch pressure within the uniform reserve passes, and so does an equivalent member load within
it; a patch pressure above the reserve proves nothing by itself. The check fails where the member is known
and its load exceeds the reserve, where even the whole free area at uniform pressure exceeds it, where
nothing is left, or where the landlord's mass limit is exceeded. What the list does not say never makes it
pass: without a reserve it is not assessed, and a landlord's limit that is neither given nor declared as
none leaves a condition.
"""

import math
from dataclasses import dataclass, replace

from edgecheck.base.constants import GRAVITY
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.asks import rounded_side
from edgecheck.roof.demand import RoofDemand, roof_demand
from edgecheck.roof.detail import roof_detail
from edgecheck.roof.load import pressure
from edgecheck.roof.reserve import KILO, Outcome, Reserve, by_evidence, point_reserve, roof_reserve
from edgecheck.roof.spreader import stated_spreader

__all__ = ["POINT_LOAD", "ROOF_CHECKS", "ROOF_LOAD", "roof_checks", "roof_detail"]

ROOF_LOAD = Check(
    id="roof.load",
    title="Weight on the roof",
    sense="at most",
    unit="kPa",
    inputs=(
        ("roof_reserve_kpa",),
        ("roof_use", "roof_design_imposed_kpa", "roof_existing_plant_kpa"),
    ),
    has_true_zero=True,
    basis=(
        "Patch pressure W/A, sufficient against a uniform reserve; member equivalent "
        "w = 2P/(L s)(1 - c/(2L)) from the mid-span moment of a simply supported beam (statics). Own mass of a "
        "proposed spreader 25 kg/m2, plan and rigidity of the spreader, and what evidence may pass: engineering "
        "defaults. Maintenance loads are no capacity for permanent plant: EN 1991-1-1 category H, ASCE 7 Lr."
    ),
    confidence="engineering default",
)
POINT_LOAD = Check(
    id="roof.point-load",
    title="Force of one foot on the roof",
    sense="at most",
    unit="kN",
    inputs=(("roof_reserve_point_kn",),),
    has_true_zero=True,
    basis=(
        "Rigid box on equal springs that cannot pull (least work), centre of gravity at the corners of its "
        "tolerance, any one foot free where statics allow it, and half the weight for four feet: engineering "
        "default for uneven roofs."
    ),
    confidence="engineering default",
)
ROOF_CHECKS: tuple[Check, ...] = (ROOF_LOAD, POINT_LOAD)

_LOAD_SCOPE = "Without snow on lid and roof, snow drift and the deck between members."
_ROUNDING = 1e-9  # kg, of a sum of masses
_MEMBER_KEYS = ("member_span_m", "member_spacing_m")
_FREE_KEYS = ("free_length_m", "free_width_m")
_CONFIRM = {
    "drawing": "a structural engineer confirms the roof's reserve by calculation or survey",
    "assumed": "the roof's reserve is assumed and must be stated by a structural engineer",
}


@dataclass(frozen=True)
class _Finding:
    """What the numbers say, before the evidence is weighed."""

    status: Outcome
    text: str
    conditions: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def roof_checks(
    site: Site, unit: Unit, criteria: Criteria, liquid_density: float
) -> tuple[CheckResult, CheckResult]:
    """Check the unit's weight and foot force against what a roof has to spare.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        The unit that stands there.
    criteria : Criteria
        Its roof.utilisation_caution is used by the point load.
    liquid_density : float
        Of the unit's liquid at filling temperature, 20 degC. [kg/m3]

    Returns
    -------
    results : tuple of CheckResult
        "roof.load" [kPa] and "roof.point-load" [kN].

    Raises
    ------
    ValueError
        A unit with fewer than three feet or with all feet in one line.
    """
    demand = roof_demand(unit, liquid_density, stated_spreader(site))
    return _load(site, demand), _point(site, demand, criteria.roof.utilisation_caution)


def _load(site: Site, demand: RoofDemand) -> CheckResult:
    patch = demand.patch / KILO
    plan = f"{demand.plan[0]:.2f} x {demand.plan[1]:.2f} m"
    governs = f"patch, {demand.mass:.0f} kg on {plan}"
    value = patch
    span, spacing = (site.number(key) for key in _MEMBER_KEYS)
    if span is not None and spacing is not None:
        member = demand.member(span, spacing) / KILO
        if member < patch:
            value, governs = member, f"member, span {span:g} m, spacing {spacing:g} m, worse orientation"
    landlord = site.number("landlord_max_kg")
    sure_mass = demand.operating.mass if "spreader_kg" in demand.spreader.missing else demand.mass
    if landlord is not None and sure_mass - landlord > _ROUNDING:
        return outcome(
            ROOF_LOAD,
            "fail",
            pressure(sure_mass * GRAVITY, demand.area) / KILO,
            pressure(landlord * GRAVITY, demand.area) / KILO,
            governed_by=f"landlord's limit of {landlord:g} kg, as a pressure on {plan}",
            note=f"{sure_mass:.0f} kg exceed the {landlord:g} kg that the landlord allows.",
        )
    reserve = roof_reserve(site)
    limit = None if reserve.value is None else reserve.value / KILO
    finding = _weighed(_load_finding(site, demand, reserve, value), reserve)
    if finding.status in ("pass", "caution") and site.get("landlord_max_kg") is None:
        ask = f"the landlord allows {demand.mass:.0f} kg (landlord_max_kg is empty)"
        finding = replace(finding, status="caution", conditions=(*finding.conditions, ask))
    return outcome(
        ROOF_LOAD,
        finding.status,
        value,
        limit,
        governed_by=governs,
        missing=finding.missing,
        note=f"{finding.text} {_LOAD_SCOPE}",
        condition="; ".join(finding.conditions),
    )


def _load_finding(site: Site, demand: RoofDemand, reserve: Reserve, value: float) -> _Finding:
    if demand.spreader.missing:
        return _incomplete_spreader(demand)
    if reserve.value is None:
        return _Finding(
            "not assessed",
            f"What the roof can spare is unknown; {_enough(value):.2f} kPa to spare would be enough.",
            missing=reserve.missing,
        )
    limit = reserve.value / KILO
    if ROOF_LOAD.spare(value, limit) >= 0.0:
        return _Finding("pass", f"{value:.2f} kPa within {limit:.2f} kPa ({reserve.source}).")
    if limit <= 0.0:
        return _Finding("fail", f"The roof has nothing to spare ({reserve.source}).")
    member = [site.number(key) for key in _MEMBER_KEYS]
    if None not in member:
        return _Finding("fail", f"The load on the member exceeds {limit:.2f} kPa ({reserve.source}).")
    length, width = (site.number(key) for key in _FREE_KEYS)
    if length is not None and width is not None:
        uniform = pressure(demand.weight, length * width) / KILO
        if uniform > limit:
            text = f"Even spread over the whole free area, {uniform:.2f} kPa exceed {limit:.2f} kPa."
            return _Finding("fail", text)
    lacking = tuple(key for key, cell in zip(_MEMBER_KEYS, member, strict=True) if cell is None)
    if len(lacking) == 1:
        return _Finding("not assessed", "The roof's members are only half known.", missing=lacking)
    if length is None or width is None:
        free = tuple(key for key, cell in zip(_FREE_KEYS, (length, width), strict=True) if cell is None)
        text = (
            f"{value:.2f} kPa exceed {limit:.2f} kPa under the unit, which proves nothing without the roof's "
            "members or its free area."
        )
        return _Finding("not assessed", text, missing=(*_MEMBER_KEYS, *free))
    return _spread(demand, value, limit, (length, width))


def _spread(demand: RoofDemand, value: float, limit: float, free: tuple[float, float]) -> _Finding:
    """Patch above the reserve, members unknown, free area large enough: which spreader would pass."""
    text = f"{value:.2f} kPa exceed {limit:.2f} kPa under the unit, which proves no overload of a member."
    side = rounded_side(demand.spreader_for(limit * KILO))
    if side is None:
        return _Finding(
            "caution", text, ("no spreader is light enough: a structural engineer checks the members",)
        )
    if side > min(free):
        need = (
            f"a square spreader would need {side:.2f} m, more than the free width of {min(free):g} m: a "
            "structural engineer checks the members"
        )
        return _Finding("caution", text, (need,))
    return _Finding("caution", text, (f"rigid spreader frame of {side:.2f} x {side:.2f} m (at 25 kg/m2)",))


def _point(site: Site, demand: RoofDemand, caution: float) -> CheckResult:
    point = demand.point
    reserve = point_reserve(site)
    value = None if point.value is None else point.value / KILO
    limit = None if reserve.value is None else reserve.value / KILO
    finding = _weighed(_point_finding(demand, value, limit, reserve, caution), reserve)
    return outcome(
        POINT_LOAD,
        finding.status,
        value,
        limit,
        governed_by=point.case,
        missing=finding.missing,
        note=finding.text,
        condition="; ".join(finding.conditions),
    )


def _point_finding(
    demand: RoofDemand, value: float | None, limit: float | None, reserve: Reserve, caution: float
) -> _Finding:
    if value is None:
        return _Finding("not assessed", f"By its own data the unit {demand.point.case}.")
    if demand.spreader.missing:
        return _incomplete_spreader(demand)
    if limit is None:
        return _Finding(
            "not assessed",
            f"What one point of the roof can carry is unknown; {_enough(value):.2f} kN would be enough.",
            missing=reserve.missing,
        )
    if POINT_LOAD.spare(value, limit) < 0.0:
        return _Finding("fail", f"{value:.2f} kN under one foot exceed {limit:.2f} kN.")
    used = POINT_LOAD.utilisation(value, limit)
    if used is not None and used > caution:
        return _Finding(
            "caution",
            f"{value:.2f} kN under one foot use {100 * used:.0f} % of {limit:.2f} kN.",
            ("a structural engineer confirms the force of the feet",),
        )
    return _Finding("pass", f"{value:.2f} kN under one foot within {limit:.2f} kN.")


def _incomplete_spreader(demand: RoofDemand) -> _Finding:
    missing = demand.spreader.missing
    text = f"A spreader is stated without {', '.join(missing)}; its mass is {demand.spreader.mass_source}."
    return _Finding("not assessed", text, missing=missing)


def _enough(demand: float) -> float:
    """Round a demand up to the two decimals that are printed."""
    return math.ceil(demand * 100.0) / 100.0


def _weighed(finding: _Finding, reserve: Reserve) -> _Finding:
    """Hold the status to what the evidence allows, and say what would improve it."""
    status = by_evidence(finding.status, reserve)
    if reserve.for_information and finding.status != "not assessed":
        text = f"{finding.text} That is a maintenance load, no capacity for permanent plant."
        if status == "caution":
            need = "a structural engineer states what the roof can spare for permanent plant"
            return _Finding(status, text, (*finding.conditions, need))
        return _Finding(status, text, missing=("roof_reserve_kpa",))
    if finding.status == "fail" and status == "not assessed":
        return _Finding(status, f"{finding.text} The reserve is assumed.", missing=("roof_evidence",))
    if status == "caution" and reserve.evidence in _CONFIRM:
        return replace(finding, status=status, conditions=(*finding.conditions, _CONFIRM[reserve.evidence]))
    return replace(finding, status=status)
