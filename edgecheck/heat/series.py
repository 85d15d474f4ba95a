"""One series of hours through the whole heat room: a year, a hot spell, a cold spell.

In: air at the site, irradiance on the faces, the machine, the microclimate. Out: every hourly quantity that
checks, tables and pages use. All arrays have the shape (time,) unless said otherwise.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.constants import STANDARD_PRESSURE
from edgecheck.base.humid_air import air_density
from edgecheck.heat.balance import LiquidCourse, march
from edgecheck.heat.curve import CoolingCurve
from edgecheck.heat.energy import PowerParts, power_parts
from edgecheck.heat.envelope import EnvelopeHeat, envelope_heat, roof_temperature
from edgecheck.heat.headroom import Headroom, HeatLoad, headroom
from edgecheck.heat.inlet import air_side_factor, recirculation_rise, roof_mixing_rise
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.section import InletAir

FloatArray = NDArray[np.float64]


class Air(Protocol):
    """Air at the site; see `edgecheck.weather.site_air.SiteAir`."""

    @property
    def temp_air(self) -> FloatArray: ...  # noqa: D102
    @property
    def temp_dew(self) -> FloatArray: ...  # noqa: D102
    @property
    def pressure(self) -> FloatArray: ...  # noqa: D102
    @property
    def longwave_down(self) -> FloatArray: ...  # noqa: D102
    @property
    def wind_speed(self) -> FloatArray: ...  # noqa: D102


@dataclass(frozen=True)
class Surroundings:
    """What does not depend on the cooling section: air, roof, heat through the shell, inlet air, the servers' load.

    `air` (with the station's whole wind) and `irradiance` on the faces are what it was made from; `discharge_heat`
    [J/m3] is the machine's whose air is drawn in again; `section_factor` is what its coil and fans alone make of
    `factor`. `load_share` is the hour's IT load as a share of the machine's; one number where it is the same in all
    hours.
    """

    air: Air
    irradiance: FloatArray
    temp_air: FloatArray
    pressure: FloatArray
    ghi: FloatArray
    wind: FloatArray
    roof: FloatArray
    envelope: EnvelopeHeat
    mixing_rise: FloatArray
    density: FloatArray
    recirculation_rise: FloatArray
    inlet_air: FloatArray
    factor: FloatArray
    section_factor: float
    discharge_heat: FloatArray | float
    load_share: FloatArray | float = 1.0

    def around(self, machine: Machine) -> "Surroundings":
        """The same hours around a machine of the same box that gives another heat to the air, or has a slowed fan."""
        discharge = machine.rejected_at(self.load_share) / machine.airflow
        # where nothing is given to the air nothing is drawn in again, whichever the machine
        before = np.where(np.asarray(self.discharge_heat) > 0.0, self.discharge_heat, 1.0)
        rise = self.recirculation_rise * (discharge / before)
        inlet, own = self.temp_air + self.mixing_rise + rise, section_factor(machine)
        return replace(
            self,
            recirculation_rise=rise,
            inlet_air=inlet,
            factor=self.factor * (own / self.section_factor),
            section_factor=own,
            discharge_heat=discharge,
        )

    def at_section(self, machine: Machine) -> InletAir:
        """Air into the cooling sections."""
        return InletAir(self.temp_air, self.inlet_air, self.density, self.factor, machine.fan_speed)


@dataclass(frozen=True)
class HeatSeries:
    """Everything computed for a series of hours."""

    surroundings: Surroundings
    curve: CoolingCurve
    load: HeatLoad
    headroom: Headroom
    course: LiquidCourse
    power: PowerParts

    @cached_property
    def capacity_ratio(self) -> FloatArray:
        """Mean heat taken out as a share of the capacity at full speed. [-]"""
        return self.curve.capacity_ratio(self.course.liquid, self.power.cooled)

    @property
    def input_power(self) -> FloatArray:
        """Electrical input of the box. [W]"""
        return self.power.total

    @property
    def load_share(self) -> FloatArray | float:
        """IT load of the hour as a share of the machine's. [-]"""
        return self.surroundings.load_share

    @property
    def equivalent_inlet(self) -> FloatArray:
        """Inlet temperature at which the rating table is read; the inlet itself where there is none. [degC]"""
        return self.curve.equivalent_inlet

    @property
    def condensing(self) -> FloatArray:
        """Condensing temperature with the liquid at the setpoint; NaN without a condenser. [degC]

        At full capacity of an on-off machine, at the speed that the load asks for of one that slows.
        """
        curve, setpoint = self.curve, self.load.setpoint
        if curve.least_share == 1.0:
            return curve.condensing_at(setpoint)
        coil = curve.free_cooling_at(setpoint)
        full = curve.full_capacity_at(setpoint) - coil
        asked = np.minimum(np.maximum(self.load.at_setpoint, 0.0), curve.capacity_at(setpoint)) - coil
        speed = np.divide(asked, full, out=np.zeros(full.shape), where=full > 0.0)
        least = curve.least_share
        share = np.maximum(0.0, speed - least) / (1.0 - least)
        return curve.condensing_at(setpoint) + share * curve.part("speed_rise", setpoint)


def surroundings(
    air: Air,
    ghi: FloatArray,
    irradiance: FloatArray,
    machine: Machine,
    site: Microclimate,
    load_share: FloatArray | float = 1.0,
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
    load_share : float or ndarray, shape (time,)
        IT load of the hours as a share of the machine's. [-]

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
    rejected = machine.rejected_at(load_share)
    recirculated = recirculation_rise(
        air.temp_air, air.pressure, site.recirculation, rejected, machine.airflow
    )
    inlet = air.temp_air + mixing + recirculated
    return Surroundings(
        air=air,
        irradiance=irradiance,
        temp_air=air.temp_air,
        pressure=air.pressure,
        ghi=ghi,
        wind=wind,
        roof=roof,
        envelope=shell,
        mixing_rise=mixing,
        density=air_density(air.temp_air, air.pressure),
        recirculation_rise=recirculated,
        inlet_air=inlet,
        factor=air_side_factor(air.pressure, machine.fouling, machine.fan_speed),
        section_factor=section_factor(machine),
        discharge_heat=rejected / machine.airflow,
        load_share=load_share,
    )


def section_factor(machine: Machine) -> float:
    """Air-side factor of the machine's coil in air of standard pressure. [-]"""
    return float(air_side_factor(STANDARD_PRESSURE, machine.fouling, machine.fan_speed))


def in_the_sun(
    around: Surroundings, irradiance: FloatArray, machine: Machine, site: Microclimate
) -> Surroundings:
    """The same hours with other irradiance on the faces [W/m2], shape (6, time); the rest as in `surroundings`."""
    air = around.air
    shell = envelope_heat(
        machine.shell, irradiance, air.longwave_down, around.roof, site.roof_emissivity, air.temp_air, around.wind,
        machine.setpoint,
    )  # fmt: skip
    return replace(around, irradiance=irradiance, envelope=shell)


def heat_load_of(
    shell_heat: FloatArray,
    shell_conductance: FloatArray,
    machine: Machine,
    load_share: FloatArray | float = 1.0,
) -> HeatLoad:
    """Heat to reject of every hour, with servers on and off.

    Parameters
    ----------
    shell_heat : ndarray, shape (time,)
        Through the shell into the liquid at the setpoint. [W]
    shell_conductance : ndarray, shape (time,)
        Its fall with the liquid temperature. [W/K]
    machine : Machine
        The unit with its IT load.
    load_share : float or ndarray, shape (time,)
        IT load of the hours as a share of the machine's. [-]

    Returns
    -------
    HeatLoad
    """
    idle, servers = machine.pump_load + shell_heat, machine.servers
    it, it_heat = machine.it * load_share, machine.it_heat * load_share
    above = it_heat * servers.slope_above - shell_conductance if servers.throttles else None
    return HeatLoad(
        at_setpoint=it_heat + idle,
        slope=it_heat * machine.leakage - shell_conductance,
        at_setpoint_off=idle,
        slope_off=-shell_conductance,
        internal=it + machine.pump_load,
        internal_slope=it * machine.leakage,
        setpoint=machine.setpoint,
        bend=servers.bend,
        slope_above=above,
    )


def section_curve(around: Surroundings, machine: Machine) -> CoolingCurve:
    """What one cooling section can do in every hour."""
    return machine.cooling.curve(around.at_section(machine), machine.span)


def cooling_curve(around: Surroundings, machine: Machine) -> CoolingCurve:
    """What the sections in service can do in every hour."""
    return section_curve(around, machine).times(machine.in_service)


def run_series(
    around: Surroundings,
    machine: Machine,
    course: LiquidCourse | None = None,
    one: CoolingCurve | None = None,
) -> HeatSeries:
    """Capacity, headroom, course of the liquid and electrical input of every hour.

    Parameters
    ----------
    around : Surroundings
        From `surroundings`.
    machine : Machine
        The unit with its IT load.
    course : LiquidCourse, optional
        Of the liquid, where it is known already; else it is followed from the setpoint on.
    one : CoolingCurve, optional
        Of one section, where it is known already.

    Returns
    -------
    HeatSeries
    """
    one, serving = section_curve(around, machine) if one is None else one, machine.in_service
    curve = one.times(serving)
    shell = around.envelope
    load = heat_load_of(shell.total, shell.conductance, machine, around.load_share)
    if course is None:
        course = march(curve, load, machine.bath)
    running = 1.0 - course.servers_off / 3600.0
    mean_cooling = course.cooled / 3600.0
    drawn = serving * machine.cooling.input_power(one, course.liquid, mean_cooling / serving)
    it = machine.it * around.load_share * machine.servers.factor(course.liquid) * running
    return HeatSeries(
        surroundings=around,
        curve=curve,
        load=load,
        headroom=headroom(curve, load, machine.service_max),
        course=course,
        power=power_parts(
            it, machine.distribution_share, machine.pump_power, machine.idle_power, drawn, mean_cooling
        ),
    )
