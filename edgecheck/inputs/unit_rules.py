"""What a unit file must be consistent about, beyond the range of each key.

Every rule takes tables that are valid by themselves and yields faults as (path of the key, value, text).
"""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from edgecheck.inputs.cooling import ChillerWithEconomiser, CoolingCommon, RatingTable
from edgecheck.inputs.key_path import KeyPath
from edgecheck.inputs.unit_records import Body, Liquid, Mass, Servers

Finding = tuple[KeyPath, object, str]

RATING_TOLERANCE = 0.03
MONOTONE_FROM_C = 15.0


def liquid_rules(liquid: Liquid) -> Iterator[Finding]:
    """Order of the liquid's temperatures: setpoint <= service_max < alarm < shutdown, restart in between."""
    if not liquid.setpoint_c <= liquid.service_max_c:
        text = f"must be at least setpoint_c, {liquid.setpoint_c:g}"
        yield ("liquid", "service_max_c"), liquid.service_max_c, text
    if not liquid.service_max_c < liquid.alarm_c:
        text = f"must be greater than service_max_c, {liquid.service_max_c:g}"
        yield ("liquid", "alarm_c"), liquid.alarm_c, text
    if not liquid.setpoint_c < liquid.alarm_c:
        yield ("liquid", "setpoint_c"), liquid.setpoint_c, f"must be less than alarm_c, {liquid.alarm_c:g}"
    if not liquid.alarm_c < liquid.shutdown_c:
        text = f"must be greater than alarm_c, {liquid.alarm_c:g}"
        yield ("liquid", "shutdown_c"), liquid.shutdown_c, text
    if not liquid.setpoint_c < liquid.restart_c < liquid.shutdown_c:
        text = f"must lie between setpoint_c, {liquid.setpoint_c:g}, and shutdown_c, {liquid.shutdown_c:g}"
        yield ("liquid", "restart_c"), liquid.restart_c, text
    if not liquid.start_min_c < liquid.setpoint_c:
        text = f"must be less than setpoint_c, {liquid.setpoint_c:g}"
        yield ("liquid", "start_min_c"), liquid.start_min_c, text


def server_rules(servers: Servers) -> Iterator[Finding]:
    """Check that the box holds the load."""
    if servers.load_kw > servers.load_max_kw:
        text = f"must not be greater than load_max_kw, {servers.load_max_kw:g}"
        yield ("servers", "load_kw"), servers.load_kw, text


def mass_rules(mass: Mass, body: Body) -> Iterator[Finding]:
    """Feet lower than the box; centres of gravity inside the box; feet that span an area."""
    if not body.foot_height_m < body.height_m:
        text = f"must be less than height_m, {body.height_m:g}, the height of the top"
        yield ("body", "foot_height_m"), body.foot_height_m, text
    box = (body.length_m, body.depth_m, body.height_m)
    for name in ("centre_of_gravity_m", "centre_of_gravity_drained_m"):
        place = getattr(mass, name)
        if not all(0.0 <= part <= size for part, size in zip(place, box, strict=True)):
            text = f"must lie inside the box, 0 to {box[0]:g}, 0 to {box[1]:g}, 0 to {box[2]:g} m"
            yield ("mass", name), list(place), text
    feet = np.array(mass.feet_m, dtype=float)
    sizes = np.linalg.svd(feet - feet.mean(axis=0), compute_uv=False)
    if sizes[1] < 1e-6:
        yield ("mass", "feet_m"), [list(foot) for foot in mass.feet_m], "the feet must not stand on one line"
    elif len({tuple(foot) for foot in mass.feet_m}) < len(mass.feet_m):
        yield ("mass", "feet_m"), [list(foot) for foot in mass.feet_m], "two feet stand on the same point"


def cooling_rules(cooling: CoolingCommon) -> Iterator[Finding]:
    """Limits in order; for kinds with a rating table, the table and its rating point."""
    if not cooling.inlet_air_min_c < cooling.inlet_air_max_c:
        text = f"must be less than inlet_air_max_c, {cooling.inlet_air_max_c:g}"
        yield ("cooling", "inlet_air_min_c"), cooling.inlet_air_min_c, text
    if cooling.section_duty == "standby" and cooling.sections == 1:
        text = "standby needs at least two sections: one stands by, the others carry the heat"
        yield ("cooling", "section_duty"), cooling.section_duty, text
    if isinstance(cooling, RatingTable):
        yield from _table_rules(cooling)
        if cooling.part_load == "variable-speed" and "capacity_min_share" not in cooling.model_fields_set:
            text = "is missing: the least share of full capacity that a variable-speed machine can run at"
            yield ("cooling", "capacity_min_share"), None, text
    if isinstance(cooling, ChillerWithEconomiser):
        coldest = cooling.coil_air_min_c
        if coldest is not None and not coldest < cooling.inlet_air_max_c:
            text = f"must be less than inlet_air_max_c, {cooling.inlet_air_max_c:g}"
            yield ("cooling", "coil_air_min_c"), coldest, text
        if cooling.coil_air == "separate" and cooling.coil_fan_kw == 0.0:
            text = "must be greater than 0: a coil with air of its own has a fan of its own"
            yield ("cooling", "coil_fan_kw"), cooling.coil_fan_kw, text


def _table_rules(cooling: RatingTable) -> Iterator[Finding]:
    sound = True
    for name in ("liquid_c", "inlet_air_c"):
        axis = getattr(cooling, name)
        if not all(low < high for low, high in pairwise(axis)):
            sound = False
            yield ("cooling", name), list(axis), "must rise strictly from value to value"
    for name in ("capacity_kw", "power_kw"):
        for text in _shape_faults(getattr(cooling, name), len(cooling.liquid_c), len(cooling.inlet_air_c)):
            sound = False
            yield ("cooling", name), None, text
    if not sound:
        return
    capacity = np.array(cooling.capacity_kw, dtype=float)
    power = np.array(cooling.power_kw, dtype=float)
    for name, table in (("capacity_kw", capacity), ("power_kw", power)):
        for row, column in np.argwhere(table <= 0.0):
            text = f"must be greater than 0 at {_place(cooling, row, column)}"
            yield ("cooling", name), float(table[row, column]), text
    if cooling.condenser_fan_kw >= power.min():
        text = f"is part of power_kw and must be less than its least value, {power.min():g}"
        yield ("cooling", "condenser_fan_kw"), cooling.condenser_fan_kw, text
    yield from _monotone(cooling, capacity)
    yield from _rating_point(cooling, capacity, power)


def _shape_faults(table: tuple[tuple[float, ...], ...], rows: int, columns: int) -> Iterator[str]:
    if len(table) != rows:
        yield f"has {len(table)} rows; liquid_c has {rows} values"
    for at, row in enumerate(table, start=1):
        if len(row) != columns:
            yield f"row {at} has {len(row)} values; inlet_air_c has {columns}"


def _place(cooling: RatingTable, row: int, column: int) -> str:
    return f"liquid {cooling.liquid_c[row]:g} degC, inlet air {cooling.inlet_air_c[column]:g} degC"


def _monotone(cooling: RatingTable, capacity: NDArray[np.float64]) -> Iterator[Finding]:
    """Capacity does not rise with inlet air above 15 degC and does not fall with liquid temperature."""
    for row, column in np.argwhere(np.diff(capacity, axis=1) > 0.0):
        if cooling.inlet_air_c[column + 1] > MONOTONE_FROM_C:
            text = (
                f"rises from {capacity[row, column]:g} to {capacity[row, column + 1]:g} between inlet air "
                f"{cooling.inlet_air_c[column]:g} and {cooling.inlet_air_c[column + 1]:g} degC at liquid "
                f"{cooling.liquid_c[row]:g} degC; above {MONOTONE_FROM_C:g} degC it must not rise "
                "with inlet air"
            )
            yield ("cooling", "capacity_kw"), None, text
    for row, column in np.argwhere(np.diff(capacity, axis=0) < 0.0):
        text = (
            f"falls from {capacity[row, column]:g} to {capacity[row + 1, column]:g} between liquid "
            f"{cooling.liquid_c[row]:g} and {cooling.liquid_c[row + 1]:g} degC at inlet air "
            f"{cooling.inlet_air_c[column]:g} degC; it must not fall with liquid temperature"
        )
        yield ("cooling", "capacity_kw"), None, text


def _rating_point(
    cooling: RatingTable, capacity: NDArray[np.float64], power: NDArray[np.float64]
) -> Iterator[Finding]:
    """Capacity + power at the rating point = rated heat rejection within 3 %: the machine's heat balance."""
    liquid, air = cooling.rating_point
    for value, axis, name in (
        (liquid, cooling.liquid_c, "liquid_c"),
        (air, cooling.inlet_air_c, "inlet_air_c"),
    ):
        if not axis[0] <= value <= axis[-1]:
            text = f"{value:g} lies outside {name}, {axis[0]:g} to {axis[-1]:g} degC"
            yield ("cooling", "rating_point"), list(cooling.rating_point), text
            return
    at_point = [_bilinear(cooling, table, liquid, air) for table in (capacity, power)]
    balance = sum(at_point)
    rated = cooling.rated_heat_rejection_kw
    if abs(balance - rated) > RATING_TOLERANCE * rated:
        text = (
            f"capacity {at_point[0]:.2f} + power {at_point[1]:.2f} at the rating point ({liquid:g}, "
            f"{air:g}) make "
            f"{balance:.2f} kW; they must agree within {RATING_TOLERANCE:.0%}"
        )
        yield ("cooling", "rated_heat_rejection_kw"), rated, text


def _bilinear(cooling: RatingTable, table: NDArray[np.float64], liquid: float, air: float) -> float:
    along_air = [float(np.interp(air, cooling.inlet_air_c, row)) for row in table]
    return float(np.interp(liquid, cooling.liquid_c, along_air))
