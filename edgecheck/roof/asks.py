"""What a roof must offer: the numbers that a planner asks an owner for, whatever the owner has said so far.

In: the unit and what it puts on the roof. Out: mass, area, pressure, foot force, spreader sizes, in the
units of their names.

Area: the plan of the unit (or of the spreader where that is larger) with the service clearance in front,
and the intake clearance behind and at both ends, since the unit file does not say which side the intake is
on (engineering default). The discharge clearance is upward and not part of the plan. A clearance that the
unit file does not state is taken as 0.9 m for service (about the 3 ft of working space before electrical
equipment in NEC 110.26, from memory) and 0.5 m for the intake (engineering default).
"""

import math
from collections.abc import Mapping

from edgecheck.inputs.unit import Unit
from edgecheck.roof.demand import RoofDemand
from edgecheck.roof.reserve import KILO

SPREADER_PRESSURES_KPA = (1.0, 2.0, 3.0)
SERVICE_CLEARANCE = 0.9  # m
INTAKE_CLEARANCE = 0.5  # m


def clearances(unit: Unit) -> tuple[tuple[str, float, str], tuple[str, float, str]]:
    """Service and intake clearance of the unit.

    Parameters
    ----------
    unit : Unit
        Its table [clearance] is read.

    Returns
    -------
    clearances : tuple
        Name, distance [m] and source of "service" and "intake".
    """
    stated = unit.clearance
    default = "engineering default, the unit file states none"
    service = ("service", SERVICE_CLEARANCE, default)
    if stated.service_m is not None:
        service = ("service", stated.service_m, "unit: clearance.service_m")
    intake = ("intake", INTAKE_CLEARANCE, default)
    if stated.intake_m is not None:
        intake = ("intake", stated.intake_m, "unit: clearance.intake_m")
    return service, intake


def clear_plan(unit: Unit, demand: RoofDemand) -> tuple[float, float]:
    """Plan that the unit needs on the roof, with clearances.

    Parameters
    ----------
    unit : Unit
        Its tables [body] and [clearance] are read.
    demand : RoofDemand
        Gives the plan of a stated spreader.

    Returns
    -------
    plan : tuple of float
        Along the front, back. [m]
    """
    (_, service, _), (_, intake, _) = clearances(unit)
    along = unit.body.length_m + 2.0 * intake
    back = unit.body.depth_m + service + intake
    if demand.spreader.plan is not None:
        along, back = max(along, demand.spreader.plan[0]), max(back, demand.spreader.plan[1])
    return along, back


def roof_asks(unit: Unit, demand: RoofDemand) -> Mapping[str, float | None]:
    """List what the roof must offer.

    Parameters
    ----------
    unit : Unit
        The unit.
    demand : RoofDemand
        What it puts on the roof.

    Returns
    -------
    asks : mapping of str to float or None
        asks_mass_kg (operating, with the spreader and stated ballast), asks_area_m2, asks_kpa (on the plan of the rigid
        spreader, else of the unit), asks_point_kn (None where the unit tips over), and the side of the
        square rigid frame that a roof with 1, 2 and 3 kPa to spare needs, asks_spreader_at_1_kpa_m and so
        on, rounded up to 10 mm.
    """
    along, back = clear_plan(unit, demand)
    point = demand.point.value
    asks: dict[str, float | None] = {
        "asks_mass_kg": demand.mass,
        "asks_area_m2": along * back,
        "asks_kpa": demand.patch / KILO,
        "asks_point_kn": None if point is None else point / KILO,
    }
    for limit in SPREADER_PRESSURES_KPA:
        asks[f"asks_spreader_at_{limit:.0f}_kpa_m"] = rounded_side(demand.spreader_for(limit * KILO))
    return asks


def rounded_side(side: float | None) -> float | None:
    """Round the side of a spreader [m] up to 10 mm, so that the rounded one passes too."""
    return None if side is None else math.ceil(side * 100.0) / 100.0
