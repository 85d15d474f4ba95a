"""Plain records of snow, pressure, space and delivery for the report.

In: what the modules of this room found. Out: dictionaries and lists with units in their keys; what is unknown is
None.
"""

import math
from typing import Any

from edgecheck.base.constants import GRAVITY
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.asks import clear_plan
from edgecheck.roof.bearing import Bearing, BearingCase
from edgecheck.roof.bearing_limits import BearingLimit
from edgecheck.roof.delivery import (
    COMPANY,
    TEAM_SHARES,
    Package,
    Way,
    team_guideline,
    wheel_load,
)
from edgecheck.roof.demand import RoofDemand
from edgecheck.roof.lifts import largest_car
from edgecheck.roof.reserve import KILO
from edgecheck.roof.snow import Bounds, RoofSnow, SnowLine
from edgecheck.roof.space import FALL_PROTECTION_DISTANCE, best_fit

LIFTING_FACTOR = 1.3  # on the mass that hangs from a crane, engineering default


def snow_record(snow: RoofSnow) -> dict[str, Any]:
    """Snow on lid and bay, least and greatest, with every step."""
    return {
        "known": snow.known,
        "combination": snow.combination,
        "lid_kpa": _bounds(snow.lid),
        "bay_kpa": _bounds(snow.bay),
        "lines": [_line(line) for line in snow.lines],
        "missing": list(snow.missing),
        "open": list(dict.fromkeys((*snow.lid_open, *snow.bay_open))),
        "drift_remark": snow.drift_remark,
    }


def _bounds(bounds: Bounds) -> list[float | None]:
    return [value / KILO if math.isfinite(value) else None for value in bounds]


def _line(line: SnowLine) -> dict[str, Any]:
    pressure = line.unit == "Pa"
    return {
        "name": line.name,
        "value": line.value / KILO if pressure else line.value,
        "unit": "kPa" if pressure else line.unit,
        "source": line.source,
    }


def bearing_record(
    pressed: Bearing, limits: tuple[BearingLimit, ...], missing: tuple[str, ...]
) -> dict[str, Any]:
    """Greatest lasting and passing pressure, and the limits of the build-up."""
    return {
        "how": pressed.how,
        "lasting": _case(pressed.lasting),
        "passing": _case(pressed.passing),
        "limits": [
            {
                "name": limit.name,
                "lasting_kpa": limit.lasting / KILO,
                "passing_kpa": limit.passing / KILO,
                "stated": limit.stated,
            }
            for limit in limits
        ],
        "missing": list(missing),
    }


def _case(case: BearingCase | None) -> dict[str, Any] | None:
    if case is None:
        return None
    return {"case": case.text, "force_kn": case.force / KILO, "pressure_kpa": case.pressure / KILO}


def space_record(site: Site, unit: Unit, demand: RoofDemand) -> dict[str, Any]:
    """Plan with clearances on the free area, and the edge."""
    need = clear_plan(unit, demand)
    free = (site.number("free_length_m"), site.number("free_width_m"))
    fit = best_fit(need, free)
    return {
        "need_m": list(need),
        "free_m": list(free),
        "fits": fit.fits,
        "turned": fit.turned,
        "tightest_need_m": fit.need,
        "tightest_free_m": fit.free,
        "edge_distance_m": site.number("edge_distance_m"),
        "fall_protection_distance_m": FALL_PROTECTION_DISTANCE,
    }


def delivery_record(site: Site, unit: Unit, moved: Package, ways: tuple[Way, ...]) -> dict[str, Any]:
    """What is moved, every way up with its steps, the wheel on the roof, the guideline for hands."""
    rated = site.number("lift_rated_kg")
    return {
        "moved": moved.name,
        "mass_kg": moved.mass,
        "plan_m": list(moved.plan),
        "height_m": moved.height,
        "pieces": [
            {"name": "drained, without servers", "mass_kg": unit.mass.dry_kg},
            {"name": "drained, with servers", "mass_kg": unit.mass.dry_kg + unit.mass.servers_kg},
            {"name": "heaviest part", "mass_kg": unit.mass.heaviest_part_kg},
        ],
        "company_kg": COMPANY,
        "ways": [_way(way) for way in ways],
        "largest_car_m2": None if rated is None else largest_car(rated),
        "wheel_load_kn": wheel_load(moved.mass) / KILO,
        "crane_hook_kn": unit.mass.dry_kg * LIFTING_FACTOR * GRAVITY / KILO,
        "crane_factor": LIFTING_FACTOR,
        "by_hand": [{"persons": persons, "mass_kg": team_guideline(persons)} for persons in TEAM_SHARES],
    }


def _way(way: Way) -> dict[str, Any]:
    return {
        "name": way.name,
        "possible": way.possible,
        "without_help": way.clean,
        "steps": [
            {"name": step.name, "possible": step.possible, "text": step.text, "missing": list(step.missing)}
            for step in way.steps
        ],
        "aids": list(way.aids),
        "missing": list(way.missing),
    }
