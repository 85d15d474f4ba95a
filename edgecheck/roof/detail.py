"""The roof's part of the report: every number behind the roof checks, as plain records.

In: a site, the unit, the density of its liquid. Out: nested dictionaries and lists with units in their keys.
"""

from typing import Any

from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.asks import clear_plan, clearances, roof_asks
from edgecheck.roof.bearing import persons, site_bearing
from edgecheck.roof.bearing_limits import bearing_limits
from edgecheck.roof.delivery import package, ways_up
from edgecheck.roof.demand import RoofDemand, roof_demand
from edgecheck.roof.fixing import stated_fixing
from edgecheck.roof.load import pressure
from edgecheck.roof.mass import MassState
from edgecheck.roof.not_checked import NOT_CHECKED, SCREENING
from edgecheck.roof.records import bearing_record, delivery_record, snow_record, space_record
from edgecheck.roof.reserve import KILO, Reserve, point_reserve, roof_reserve
from edgecheck.roof.snow import site_snow
from edgecheck.roof.spreader import stated_spreader


def roof_detail(site: Site, unit: Unit, liquid_density: float) -> dict[str, Any]:
    """Every number behind the roof checks.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        The unit that stands there.
    liquid_density : float
        Of the unit's liquid at filling temperature, 20 degC. [kg/m3]

    Returns
    -------
    detail : dict
        mass_states, ballast_kg, feet_m, foot_plate_m, reactions (every case, kN), point_demand_kn, spreader, body_m,
        plan_m, patch_kpa, member (None without span and spacing), free_area_kpa (None without a free area),
        reserve, point_reserve, clear_plan_m, clearances, snow, bearing, space, delivery, screening (a sentence),
        not_checked (sentences), asks. Unknown values are None.

    Raises
    ------
    ValueError
        A unit with fewer than three feet or with all feet in one line.
    """
    demand = roof_demand(unit, liquid_density, stated_spreader(site), stated_fixing(site).ballast)
    point = demand.point
    length, width = site.number("free_length_m"), site.number("free_width_m")
    free = None if length is None or width is None else pressure(demand.weight, length * width) / KILO
    moved = package(unit)
    return {
        "mass_states": [_state(state) for state in demand.states.values()],
        "roof_mass_kg": demand.mass,
        "ballast_kg": demand.ballast,
        "roof_weight_kn": demand.weight / KILO,
        "feet_m": [list(foot) for foot in unit.mass.feet_m],
        "foot_plate_m": list(unit.mass.foot_plate_m),
        "reactions": [
            {
                "case": case.text,
                "free_foot": case.unsupported,
                "centre_of_gravity_m": list(case.centre),
                "forces_kn": [force / KILO for force in case.reactions],
                "greatest_kn": None if case.greatest is None else case.greatest / KILO,
            }
            for case in point.cases
        ],
        "point_demand_kn": None if point.value is None else point.value / KILO,
        "point_case": point.case,
        "spreader": {
            "kind": demand.spreader.kind,
            "plan_m": None if demand.spreader.plan is None else list(demand.spreader.plan),
            "mass_kg": demand.spreader.mass,
            "mass_source": demand.spreader.mass_source,
            "counts_as_rigid": demand.spreader.rigid_plan is not None,
            "reach_m": demand.reach,
            "missing": list(demand.spreader.missing),
        },
        "body_m": [unit.body.length_m, unit.body.depth_m],
        "plan_m": list(demand.plan),
        "patch_kpa": demand.patch / KILO,
        "member": _member(site, demand),
        "free_area_kpa": free,
        "reserve": _reserve(roof_reserve(site), "kpa"),
        "point_reserve": _reserve(point_reserve(site), "kn"),
        "clear_plan_m": list(clear_plan(unit, demand)),
        "clearances": [
            {"name": name, "m": value, "source": source} for name, value, source in clearances(unit)
        ],
        "snow": snow_record(site_snow(site, unit)),
        "bearing": bearing_record(site_bearing(site, unit, demand, persons(site)[-1]), *bearing_limits(site)),
        "space": space_record(site, unit, demand),
        "delivery": delivery_record(site, unit, moved, ways_up(site, moved)),
        "screening": SCREENING,
        "not_checked": list(NOT_CHECKED),
        "asks": dict(roof_asks(unit, demand)),
    }


def _state(state: MassState) -> dict[str, Any]:
    return {
        "name": state.name,
        "lines": [{"name": line.name, "mass_kg": line.mass, "source": line.source} for line in state.lines],
        "mass_kg": state.mass,
        "centre_of_gravity_m": list(state.centre_of_gravity),
        "centre_source": state.centre_source,
        "tolerance_m": state.tolerance,
        "tolerance_source": state.tolerance_source,
    }


def _member(site: Site, demand: RoofDemand) -> dict[str, Any] | None:
    span, spacing = site.number("member_span_m"), site.number("member_spacing_m")
    if span is None or spacing is None:
        return None
    rigid = demand.spreader.rigid_plan
    return {
        "span_m": span,
        "spacing_m": spacing,
        "weight_kn": demand.weight / KILO,
        "spreader_m": None if rigid is None else list(rigid),
        "base_m": list(demand.base if rigid is None else rigid),
        "equivalent_kpa": demand.member(span, spacing) / KILO,
    }


def _reserve(reserve: Reserve, unit: str) -> dict[str, Any]:
    return {
        f"value_{unit}": None if reserve.value is None else reserve.value / KILO,
        "source": reserve.source,
        "evidence": reserve.evidence,
        "for_information": reserve.for_information,
        "missing": list(reserve.missing),
    }
