"""Roof checks of a site: weight, foot force, space, pressure on the build-up, share added to a member.

In: a site, the unit, the criteria, the density of the liquid. Out: one result a check.

What the unit puts on the roof is worked out once and judged by one function a check. What the list does not say
never makes a check pass: an empty cell leaves it not assessed, or, where the cell has a stated meaning, with a
condition. Ballast that the row states stands on the roof like the unit.
"""

from edgecheck.checks.bearing import BEARING, bearing_check
from edgecheck.checks.findings import Finding, enough, incomplete_spreader, weighed
from edgecheck.checks.member_share import MEMBER_SHARE, member_share_check
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.checks.roof_load import ROOF_LOAD, roof_load_check
from edgecheck.checks.space import SPACE, space_check
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.asks import roof_asks
from edgecheck.roof.demand import RoofDemand, roof_demand
from edgecheck.roof.detail import roof_detail
from edgecheck.roof.fixing import stated_fixing
from edgecheck.roof.reserve import KILO, Reserve, point_reserve
from edgecheck.roof.snow import site_snow
from edgecheck.roof.spreader import stated_spreader

__all__ = ["POINT_LOAD", "ROOF_CHECKS", "ROOF_LOAD", "demand_of", "roof_asks", "roof_checks", "roof_detail"]

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
        "default for uneven roofs. Without snow and wind."
    ),
    confidence="engineering default",
)
ROOF_CHECKS: tuple[Check, ...] = (SPACE, ROOF_LOAD, POINT_LOAD, BEARING, MEMBER_SHARE)


def demand_of(site: Site, unit: Unit, liquid_density: float, ballast: float | None = None) -> RoofDemand:
    """What the unit puts on the roof of a site.

    Parameters
    ----------
    site : Site
        A row of the site list: its spreader and ballast are read.
    unit : Unit
        The unit that stands there.
    liquid_density : float
        Of the unit's liquid at filling temperature, 20 degC. [kg/m3]
    ballast : float, optional
        Fixed to the unit, instead of what the row states. [kg]

    Returns
    -------
    demand : RoofDemand

    Raises
    ------
    ValueError
        A unit with fewer than three feet or with all feet in one line.
    """
    carried = stated_fixing(site).ballast if ballast is None else ballast
    return roof_demand(unit, liquid_density, stated_spreader(site), carried)


def roof_checks(site: Site, unit: Unit, criteria: Criteria, demand: RoofDemand) -> tuple[CheckResult, ...]:
    """Check what the unit puts on a roof against what the roof offers.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        The unit that stands there.
    criteria : Criteria
        Its roof.utilisation_caution is used by the point load.
    demand : RoofDemand
        As `demand_of` finds it.

    Returns
    -------
    results : tuple of CheckResult
        In the order of `ROOF_CHECKS`.
    """
    return (
        space_check(site, unit, demand),
        roof_load_check(site, demand, site_snow(site, unit)),
        _point(site, demand, criteria.roof.utilisation_caution),
        bearing_check(site, unit, demand),
        member_share_check(site, demand),
    )


def _point(site: Site, demand: RoofDemand, caution: float) -> CheckResult:
    point = demand.point
    reserve = point_reserve(site)
    value = None if point.value is None else point.value / KILO
    limit = None if reserve.value is None else reserve.value / KILO
    finding = weighed(_point_finding(demand, value, limit, reserve, caution), reserve)
    return outcome(
        POINT_LOAD,
        finding.status,
        value,
        limit,
        governed_by=point.case,
        missing=finding.missing,
        note=finding.text,
        condition=finding.conditions,
    )


def _point_finding(
    demand: RoofDemand, value: float | None, limit: float | None, reserve: Reserve, caution: float
) -> Finding:
    if value is None:
        return Finding("not assessed", f"By its own data the unit {demand.point.case}.")
    if demand.spreader.missing:
        return incomplete_spreader(demand)
    if limit is None:
        return Finding(
            "not assessed",
            f"What one point of the roof can carry is unknown; {enough(value):.2f} kN would be enough.",
            missing=reserve.missing,
        )
    if POINT_LOAD.spare(value, limit) < 0.0:
        return Finding("fail", f"{value:.2f} kN under one foot exceed {limit:.2f} kN.")
    used = POINT_LOAD.utilisation(value, limit)
    if used is not None and used > caution:
        return Finding(
            "caution",
            f"{value:.2f} kN under one foot use {100 * used:.0f} % of {limit:.2f} kN.",
            ("a structural engineer confirms the force of the feet",),
        )
    return Finding("pass", f"{value:.2f} kN under one foot within {limit:.2f} kN.")
