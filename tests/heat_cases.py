"""Machines and hours for tests of the heat room, invented."""

import numpy as np

from edgecheck.base.humid_air import air_density
from edgecheck.heat.balance import Bath
from edgecheck.heat.chiller import Chiller
from edgecheck.heat.coil import Coil
from edgecheck.heat.dry_cooler import DryCooler
from edgecheck.heat.economiser import Economiser
from edgecheck.heat.electricity import PartLoad
from edgecheck.heat.envelope import Shell
from edgecheck.heat.machine import Cycling, Machine
from edgecheck.heat.section import InletAir, LiquidRate, LiquidSpan

SPAN = LiquidSpan(40.0, 48.0, 70.0)
SWITCHED = {"least_share": 1.0, "band": 4.0, "starts_max": 10.0, "run_min": 180.0}

ROWS = np.array([20.0, 30.0, 40.0, 50.0])
COLUMNS = np.array([5.0, 15.0, 25.0, 35.0, 45.0, 54.0])
CAPACITY = 1e3 * np.array(
    [
        [7.4, 7.0, 6.5, 5.9, 5.2, 4.5],
        [9.0, 8.6, 8.0, 7.3, 6.5, 5.6],
        [10.6, 10.0, 9.5, 8.8, 7.9, 6.9],
        [12.0, 11.5, 11.0, 10.3, 9.3, 8.2],
    ]
)
POWER = 1e3 * np.array(
    [
        [1.10, 1.25, 1.52, 1.92, 2.48, 3.06],
        [1.15, 1.32, 1.60, 2.02, 2.60, 3.19],
        [1.20, 1.40, 1.70, 2.12, 2.72, 3.31],
        [1.26, 1.48, 1.80, 2.24, 2.86, 3.48],
    ]
)


def chiller(**changes: object) -> Chiller:
    values: dict[str, object] = {
        "liquid_rows": ROWS,
        "inlet_columns": COLUMNS,
        "capacity": CAPACITY,
        "power": POWER,
        "leaving_basis": False,
        "liquid_heat_rate": 0.9 * 2140.0,
        "rated_heat_rejection": 10_900.0,
        "split": 12.0,
        "inlet_max": 52.0,
        "inlet_min": -25.0,
        "condensing_limit": 63.0,
        "fan_power": 320.0,
        "standby": 60.0,
        "part_load": PartLoad(),
    }
    return Chiller(**(values | changes))  # type: ignore[arg-type]


def bath(**changes: float) -> Bath:
    values = {
        "heat_capacity": 250e3,
        "setpoint": 40.0,
        "shutdown": 70.0,
        "restart": 45.0,
        "trip_delay": 180.0,
    }
    return Bath(**(values | changes))


def shell(absorptance: float = 0.4) -> Shell:
    g = 1.0 / (1.0 / 60.0 + 0.5)
    side = 1.15 - 0.08
    plan, front, flank = 1.2 * 0.8, 1.2 * side, 0.8 * side
    return Shell(np.array([plan, front, flank, front, flank, plan]), np.full(6, g), absorptance, 0.9)


def dry_cooler(**changes: object) -> DryCooler:
    """The example's dry cooler: 0.75 kW/K, 1.60 m3/s, 0.90 kg/s of oil; keys of the coil go to the coil."""
    parts: dict[str, object] = {
        "conductance": 750.0,
        "air_share": 0.45,
        "air_exponent": 0.60,
        "rating_density": 1.20,
        "fouling": 0.10,
        "airflow": 1.60,
        "liquid": LiquidRate(0.9 * 2162.5, 0.9 * 3.7, 45.0),
    }
    values: dict[str, object] = {
        "fan_power": 300.0,
        "fan_exponent": 3.0,
        "still_share": 0.0,
        "inlet_max": 60.0,
        "inlet_min": -40.0,
        "standby": 30.0,
    }
    coil = Coil(**{name: changes.pop(name, value) for name, value in parts.items()})  # type: ignore[arg-type]
    return DryCooler(coil=coil, **(values | changes))  # type: ignore[arg-type]


def economiser(**changes: object) -> Economiser:
    """The chiller with a coil of 0.6 kW/K before its condenser."""
    coil = dry_cooler(conductance=600.0, airflow=1.3).coil
    values: dict[str, object] = {
        "chiller": chiller(),
        "coil": coil,
        "coil_fan_power": 250.0,
        "before_condenser": True,
        "condenser_airflow": 1.3,
        "coil_air_min": -40.0,
        "changeover": 5.0,
    }
    return Economiser(**(values | changes))  # type: ignore[arg-type]


def air_in(
    inlet: object, outdoor: object = None, factor: float = 1.0, pressure: float = 101_325.0
) -> InletAir:
    """Air into a section [degC], the outdoor air the same if not given."""
    into = np.atleast_1d(np.asarray(inlet, dtype=float))
    outside = into if outdoor is None else np.broadcast_to(np.asarray(outdoor, dtype=float), into.shape)
    return InletAir(outside, into, air_density(outside, pressure), np.full(into.shape, factor))


def machine(**changes: object) -> Machine:
    """The example unit; `band` 0 stands for a machine that does not switch."""
    switched = {name: changes.pop(name, value) for name, value in SWITCHED.items()}
    values: dict[str, object] = {
        "shell": shell(),
        "cooling": chiller(),
        "sections": 1,
        "in_service": 1,
        "stands_by": False,
        "bath": bath(),
        "restart_delay": 180.0,
        "it": 6000.0,
        "distribution_share": 0.0,
        "leakage": 0.0,
        "pump_power": 180.0,
        "pump_heat": 153.0,
        "pump_load": 153.0,
        "service_max": 48.0,
        "alarm": 55.0,
        "start_min": -15.0,
        "limit_shift": 0.0,
        "cycling": Cycling(**switched) if switched["band"] else None,  # type: ignore[arg-type]
        "liquid_heat_capacity": 205e3,
        "hardware_heat_capacity": 45e3,
        "natural_share": 0.4,
        "airflow": 1.3,
        "rejected": 10_900.0,
        "rejects_load": False,
        "fouling": 0.10,
        "idle_power": 0.0,
    }
    return Machine(**(values | changes))  # type: ignore[arg-type]
