"""A long power cut in winter, from every hour: what the unit brings, how cold its liquid gets, when servers are on.

Every hour of the year and of the cold spell may be the one in which the cut begins. The shell stands in the full
wind. The bath starts at the lower edge of the control band or at the hour's own lowest liquid temperature.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.liquids import Liquid
from edgecheck.base.viscosity import Viscosity
from edgecheck.checks.heat import clock
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.shell_curve import ShellCurve, in_full_wind
from edgecheck.heat.site_heat import SiteHeat, Spell
from edgecheck.heat.start_limit import StartLimit, start_limit
from edgecheck.heat.winter import Course, course, heat_needed, power_off, spans_of, warm_up
from edgecheck.heat.winter_bounds import starts_that_matter
from edgecheck.inputs.criteria import OutageCriteria
from edgecheck.inputs.unit import Unit

FloatArray = NDArray[np.float64]

HOUR = 3600.0
KILO = 1e3


@dataclass(frozen=True)
class Kit:
    """What a unit brings to a start in the cold.

    Parameters
    ----------
    limit : StartLimit
        From which temperature on its pumps start.
    heater : float or None
        None where it is unknown. [W]
    idle : float or None
        Heat of servers that idle in the cold bath; None where they must stay off. [W]
    cooling_capacity, warming_capacity : float
        Of liquid, servers and tank: with the specific heat of cold liquid, and with that of warm liquid, each
        on the safe side. [J/K]
    delay : float
        From a bath warm enough until servers are on. [s]
    sets : float or None
        At or below which the liquid no longer flows: its pour point, or where it sets when held. [degC]
    """

    limit: StartLimit
    heater: float | None
    idle: float | None
    cooling_capacity: float
    warming_capacity: float
    delay: float
    sets: float | None

    @property
    def heat(self) -> float:
        """Of heater and idling servers, as far as they are known. [W]"""
        return (self.heater or 0.0) + (self.idle or 0.0)


def kit_of(unit: Unit, liquid: Liquid, machine: Machine) -> Kit:
    """What a unit brings to a start in the cold."""
    share, heater = unit.servers.idle_load_share, unit.cooling.heater_kw
    limit = _start_limit(unit.liquid.start_min_c, unit.liquid.start_viscosity_mm2_s, liquid.viscosity_curve)
    warm = machine.liquid_heat_capacity
    ratio = liquid.heat_capacity(unit.liquid.start_min_c) / liquid.heat_capacity(unit.liquid.setpoint_c)
    cold = warm * min(ratio, 1.0) if math.isfinite(ratio) else warm
    growth = max(0.0, 1.0 + machine.leakage * (unit.liquid.start_min_c - machine.setpoint))
    return Kit(
        limit=limit,
        heater=None if heater is None else heater * KILO,
        idle=None if share is None else share * machine.it_heat * growth,
        cooling_capacity=cold + machine.hardware_heat_capacity,
        warming_capacity=warm + machine.hardware_heat_capacity,
        delay=machine.restart_delay,
        sets=liquid.flows_above,
    )


@lru_cache(maxsize=64)  # the same for every site of a unit
def _start_limit(start_min: float, viscosity_limit: float | None, curve: Viscosity | None) -> StartLimit:
    return start_limit(start_min, viscosity_limit, (lambda _: math.nan) if curve is None else curve.at)


@dataclass(frozen=True)
class WinterCut:
    """Long power cuts from every hour of one series, and the one that takes longest to recover from.

    Parameters
    ----------
    name : str
        Series.
    estimated : bool
        Whether it rests on an estimated extreme.
    time, coldest_time : datetime64
        Local standard time of the loss of power, in the governing cut and in the one with the coldest liquid.
    hours : float
        From the return of power to servers on; infinite where the heat does not suffice, NaN where the start
        limit is unknown. [h]
    at_return : float
        Liquid when power returns, in the governing cut. [degC]
    coldest : float
        Liquid in any cut. [degC]
    needed : float
        Heat with which every cut would be recovered from in the time allowed; NaN where the limit is unknown. [W]
    followed : callable
        Course of the governing cut, and outdoor air at its hours, shape (n,). [degC]
    """

    name: str
    estimated: bool
    time: np.datetime64
    coldest_time: np.datetime64
    hours: float
    at_return: float
    coldest: float
    needed: float
    followed: Callable[[], tuple[Course, FloatArray]]

    @property
    def when(self) -> str:
        """Name of the series and local standard time of the governing cut."""
        return f"{self.name} {clock(self.time)}"

    @property
    def coldest_when(self) -> str:
        """The same of the cut with the coldest liquid."""
        return f"{self.name} {clock(self.coldest_time)}"


@dataclass(frozen=True)
class WinterStart:
    """Long power cuts in year and cold spell.

    Parameters
    ----------
    kit : Kit
        What the unit brings.
    off_hours, allowed_hours : float
        Length of the cut; longest time from its end to servers on. [h]
    year, spell : WinterCut
        In the typical year; in the cold spell.
    """

    kit: Kit
    off_hours: float
    allowed_hours: float
    year: WinterCut
    spell: WinterCut

    @property
    def worst(self) -> WinterCut:
        """The series with the longest recovery; of equal ones, or where it is unknown, the colder."""
        return max(self.year, self.spell, key=lambda cut: (_sortable(cut.hours), -cut.at_return))

    @property
    def coldest(self) -> WinterCut:
        """The series with the coldest liquid."""
        return min(self.year, self.spell, key=lambda cut: cut.coldest)

    @property
    def needed(self) -> float:
        """Heat with which the servers would be on in time after any cut; what there is where they are. [W]"""
        return max(self.year.needed, self.spell.needed)

    @property
    def hours(self) -> float | None:
        """From the return of power to servers on; None where start limit or a heater that matters is unknown. [h]"""
        hours = self.worst.hours
        unknown = math.isnan(hours) or (self.kit.heater is None and hours > self.allowed_hours)
        return None if unknown else hours


def _sortable(hours: float) -> float:
    return -1.0 if math.isnan(hours) else hours


def winter_start(heat: SiteHeat, unit: Unit, liquid: Liquid, criteria: OutageCriteria) -> WinterStart:
    """Long power cuts from every hour of year and cold spell."""
    kit = kit_of(unit, liquid, heat.machine)
    name, year, time, estimated = heat.all_series[0]
    return WinterStart(
        kit=kit,
        off_hours=criteria.power_off_hours,
        allowed_hours=criteria.restart_max_h,
        year=_winter_cut(name, year, time, estimated, heat, kit, criteria),
        spell=spell_cut(heat.cold, heat, kit, criteria),
    )


def spell_cut(spell: Spell, heat: SiteHeat, kit: Kit, criteria: OutageCriteria) -> WinterCut:
    """Long power cuts from every hour of a cold spell."""
    return _winter_cut("cold spell", spell.series, spell.time, spell.estimated, heat, kit, criteria)


def _winter_cut(
    name: str,
    series: HeatSeries,
    time: NDArray[np.datetime64],
    estimated: bool,
    heat: SiteHeat,
    kit: Kit,
    criteria: OutageCriteria,
) -> WinterCut:
    machine = heat.machine
    start = np.minimum(machine.setpoint - machine.band / 2.0, series.course.lowest)
    air = series.surroundings.temp_air
    middle = (float(start.max()) + float(air.min())) / 2.0
    shell = in_full_wind(series.surroundings, machine.shell, heat.place.roof, middle)
    off, limit = criteria.power_off_hours, kit.limit.temperature
    begins = starts_that_matter(shell, start, kit.cooling_capacity, spans_of(off), limit)
    cut = power_off(shell, start[begins], kit.cooling_capacity, off, begins)
    coldest, longest, needed = cut.coldest, math.nan, math.nan
    governing = int(np.argmin(cut.at_return))
    if not math.isnan(limit):
        returns = begins.astype(np.float64) + off
        warm = warm_up(shell, cut.at_return, returns, kit.warming_capacity, kit.heat, limit)
        seconds, coldest = warm.seconds + kit.delay, np.minimum(coldest, warm.coldest)
        longest = float(seconds.max())
        slowest = np.flatnonzero(seconds == longest)
        governing = int(slowest[np.argmin(cut.at_return[slowest])])
        needed = _needed(shell, cut.at_return, returns, kit, criteria, longest)
    lowest = int(np.argmin(coldest))
    hour = int(begins[governing])

    def followed() -> tuple[Course, FloatArray]:
        capacities = (kit.cooling_capacity, kit.warming_capacity)
        found = course(shell, float(start[hour]), hour, off, capacities, kit.heat, limit)
        hours = (hour + np.ceil(found.hours - 1e-9).astype(np.intp) - 1).clip(hour)
        return found, air[hours % len(air)]

    return WinterCut(
        name=name,
        estimated=estimated,
        time=time[hour],
        coldest_time=time[begins[lowest]],
        hours=longest / HOUR,
        at_return=float(cut.at_return[governing]),
        coldest=float(coldest[lowest]),
        needed=needed,
        followed=followed,
    )


def _needed(
    shell: ShellCurve,
    at_return: FloatArray,
    returns: FloatArray,
    kit: Kit,
    criteria: OutageCriteria,
    slowest: float,
) -> float:
    """Heat with which the longest recovery is in time; what there is where it is already. [W]"""
    allowed = criteria.restart_max_h * HOUR
    if slowest <= allowed:
        return kit.heat
    if allowed <= kit.delay:
        return math.inf
    return heat_needed(
        shell, at_return, returns, kit.warming_capacity, kit.limit.temperature, allowed - kit.delay
    )
