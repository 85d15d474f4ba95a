"""One series of hours through the whole heat room: a year, a hot spell, a cold spell.

In: air at the site, irradiance on the faces, the machine, the microclimate. Out: every hourly quantity that
checks, tables and pages use. All arrays have the shape (time,) unless said otherwise.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.balance import LiquidCourse, march
from edgecheck.heat.curve import NONE, CoolingCurve
from edgecheck.heat.electricity import part_load_power
from edgecheck.heat.envelope import EnvelopeHeat, envelope_heat, roof_temperature
from edgecheck.heat.headroom import Headroom, HeatLoad, headroom
from edgecheck.heat.inlet import air_side_factor, recirculation_rise, roof_mixing_rise
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate

FloatArray = NDArray[np.float64]


class Air(Protocol):
    """Air at the site; see `edgecheck.weather.site_air.SiteAir`."""

    @property
    def temp_air(self) -> FloatArray: ...  # noqa: D102
    @property
    def pressure(self) -> FloatArray: ...  # noqa: D102
    @property
    def longwave_down(self) -> FloatArray: ...  # noqa: D102
    @property
    def wind_speed(self) -> FloatArray: ...  # noqa: D102


@dataclass(frozen=True)
class Surroundings:
    """What does not depend on the cooling section: air, roof, heat through the shell, inlet air."""

    temp_air: FloatArray
    pressure: FloatArray
    ghi: FloatArray
    wind: FloatArray
    roof: FloatArray
    envelope: EnvelopeHeat
    mixing_rise: FloatArray
    recirculation_rise: FloatArray
    inlet_air: FloatArray
    factor: FloatArray
    equivalent_inlet: FloatArray


@dataclass(frozen=True)
class HeatSeries:
    """Everything computed for a series of hours."""

    surroundings: Surroundings
    curve: CoolingCurve
    load: HeatLoad
    headroom: Headroom
    course: LiquidCourse
    input_power: FloatArray
    capacity_ratio: FloatArray

    @property
    def condensing(self) -> FloatArray:
        """Condensing temperature at full capacity with the liquid at the setpoint. [degC]"""
        return self.curve.condensing_at(self.load.setpoint)


def surroundings(
    air: Air, ghi: FloatArray, irradiance: FloatArray, machine: Machine, site: Microclimate
) -> Surroundings:
    """Roof, shell and inlet air of every hour.

    Parameters
    ----------
    air : Air
        At the site, shape (time,).
    ghi : ndarray, shape (time,)
        Global horizontal irradiance on the roof. [W/m2]
    irradiance : ndarray, shape (6, time)
        On the faces in the order of envelope.FACES. [W/m2]
    machine : Machine
        The unit.
    site : Microclimate
        The roof.

    Returns
    -------
    Surroundings
    """
    wind = site.wind_share * air.wind_speed
    roof = roof_temperature(
        ghi,
        air.longwave_down,
        air.temp_air,
        wind,
        absorptance=site.roof_absorptance,
        emissivity=site.roof_emissivity,
    )
    shell = envelope_heat(
        machine.shell,
        irradiance,
        air.longwave_down,
        roof,
        site.roof_emissivity,
        air.temp_air,
        wind,
        machine.setpoint,
    )
    mixing = roof_mixing_rise(air.temp_air, roof, site.roof_mixing)
    recirculated = recirculation_rise(
        air.temp_air, air.pressure, site.recirculation, machine.rejected, machine.airflow
    )
    inlet = air.temp_air + mixing + recirculated
    factor = air_side_factor(air.pressure, machine.fouling)
    return Surroundings(
        temp_air=air.temp_air,
        pressure=air.pressure,
        ghi=ghi,
        wind=wind,
        roof=roof,
        envelope=shell,
        mixing_rise=mixing,
        recirculation_rise=recirculated,
        inlet_air=inlet,
        factor=factor,
        equivalent_inlet=machine.cooling.equivalent_inlet(inlet, factor),
    )


def heat_load_of(shell_heat: FloatArray, shell_conductance: FloatArray, machine: Machine) -> HeatLoad:
    """Heat to reject of every hour, with servers on and off.

    Parameters
    ----------
    shell_heat : ndarray, shape (time,)
        Through the shell into the liquid at the setpoint. [W]
    shell_conductance : ndarray, shape (time,)
        Its fall with the liquid temperature. [W/K]
    machine : Machine
        The unit with its IT load.

    Returns
    -------
    HeatLoad
    """
    idle = machine.pump_load + shell_heat
    return HeatLoad(
        at_setpoint=machine.it_heat + idle,
        slope=machine.it_heat * machine.leakage - shell_conductance,
        at_setpoint_off=idle,
        slope_off=-shell_conductance,
        internal=machine.it + machine.pump_load,
        internal_slope=machine.it * machine.leakage,
        setpoint=machine.setpoint,
    )


def cooling_curve(around: Surroundings, machine: Machine) -> tuple[CoolingCurve, FloatArray]:
    """What the machine can do in every hour, and kelvin of the equivalent inlet past its table."""
    curve = machine.cooling.curve(
        around.inlet_air,
        around.temp_air,
        around.factor,
        (machine.setpoint, machine.service_max),
    )
    return curve, around.equivalent_inlet - machine.cooling.inlet_columns[-1]


def run_series(around: Surroundings, machine: Machine, course: LiquidCourse | None = None) -> HeatSeries:
    """Capacity, headroom, course of the liquid and electrical input of every hour.

    Parameters
    ----------
    around : Surroundings
        From `surroundings`.
    machine : Machine
        The unit with its IT load.
    course : LiquidCourse, optional
        Of the liquid, where it is known already; else it is followed from the setpoint on.

    Returns
    -------
    HeatSeries
    """
    curve, beyond_by = cooling_curve(around, machine)
    load = heat_load_of(around.envelope.total, around.envelope.conductance, machine)
    room = headroom(curve, load, machine.service_max, beyond_by)
    if course is None:
        course = march(curve, load, machine.bath)
    running = 1.0 - course.servers_off / 3600.0
    full = curve.capacity_at(course.liquid)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.where(full > 0.0, course.cooled / 3600.0 / full, 0.0)
    ratio = np.clip(np.where(curve.locked == NONE, ratio, 0.0), 0.0, 1.0)
    cooling = part_load_power(curve.power_at(course.liquid), ratio, machine.standby, machine.part_load_offset)
    leakage = 1.0 + machine.leakage * (course.liquid - machine.setpoint)
    return HeatSeries(
        surroundings=around,
        curve=curve,
        load=load,
        headroom=room,
        course=course,
        input_power=machine.it_heat * leakage * running + machine.pump_power + cooling,
        capacity_ratio=ratio,
    )
