"""The heat of one site: air, sun, year, hot spell and cold spell.

In: the site's surroundings, a machine, criteria for the extremes. Out: `SiteHeat`. Of a file of several years a
quick pass finds each year's least headroom; the whole balance runs for the worst and the median year. Spells can
be run again at another extreme, so that a check can say from which one it would fail. A design day stands for year
and spells at once and is run until it repeats itself.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.headroom import headroom, worst_hour
from edgecheck.heat.it_load import ItLoad
from edgecheck.heat.machine import Machine
from edgecheck.heat.orientation import DIRECTIONS, worst_front_azimuth
from edgecheck.heat.periodic import Settling, settled_day
from edgecheck.heat.place import Place
from edgecheck.heat.series import (
    HeatSeries,
    heat_load_of,
)
from edgecheck.heat.site_year import SiteYear, air_of, before_warming
from edgecheck.heat.station import StationYear
from edgecheck.inputs.criteria import HeatCriteria
from edgecheck.inputs.load_profile import LoadProfile
from edgecheck.weather.extremes import Extreme, cold_extreme, hot_extreme
from edgecheck.weather.spells import cold_window, hot_window
from edgecheck.weather.warming import extreme_change

FloatArray = NDArray[np.float64]

_FRONT_STATED = "as the list says"
_FRONT_SOUGHT = "the worst of 0, 45 ... 315 degrees: the one with the least headroom in any hour of the year"


@dataclass(frozen=True)
class Spell:
    """A week around the file's extreme hour, shifted to the extreme.

    Parameters
    ----------
    series : HeatSeries
        Its 168 hours.
    time : ndarray of datetime64, shape (168,)
        Local standard time.
    station_temp : ndarray, shape (168,)
        Air temperature in the weather file. [degC]
    extreme : Extreme
        What it was shifted to.
    shift : float
        By how much. [K]
    own : float
        Extreme of the unshifted week, before urban heat and warming. [degC]
    at : callable
        The same week shifted to another extreme [degC].
    """

    series: HeatSeries
    time: NDArray[np.datetime64]
    station_temp: FloatArray
    extreme: Extreme
    shift: float
    own: float
    at: Callable[[float], "Spell"]

    @property
    def estimated(self) -> bool:
        """Whether the extreme is only an estimate."""
        return self.extreme.source == "estimate"


@dataclass(frozen=True)
class YearOutcome:
    """The worst hour of one year of a file.

    Parameters
    ----------
    year : int
        Calendar year.
    share : float
        Least service headroom share; past the rating table with its last column. [-]
    barred_hours : int
        Hours in which a maker's limit bars the machine.
    short_hours : int
        Hours short of capacity.
    temp_max, temp_min : float
        Outdoor air at the site. [degC]
    """

    year: int
    share: float
    barred_hours: int
    short_hours: int
    temp_max: float
    temp_min: float


@dataclass(frozen=True)
class SiteHeat:
    """Everything the heat room found for a site.

    Parameters
    ----------
    place : Place
        The site's surroundings.
    machine : Machine
        The unit at the site's IT load.
    year : HeatSeries
        8760 hours; of several years the one with the worst hour.
    time : ndarray of datetime64, shape (8760,)
        Local standard time.
    station_temp : ndarray, shape (8760,)
        Air temperature in the weather file. [degC]
    hot, cold : Spell
        Weeks shifted to the extremes.
    front_azimuth : float
        [deg]
    front_azimuth_why : str
        Where it comes from.
    spread : tuple of YearOutcome
        One a year of the file, in order.
    median : HeatSeries or None
        The year in the middle by its least headroom; None for a file of one year.
    median_year : int or None
        Which one that is.
    profile : LoadProfile or None
        How the load goes over the hours; None where it is the machine's in every hour.
    settling : Settling or None
        How a design day comes to repeat itself; None for any other weather.
    temp_dew : ndarray, shape (8760,)
        Dew point at the site in that year. [degC]
    """

    place: Place
    machine: Machine
    year: HeatSeries
    time: NDArray[np.datetime64]
    station_temp: FloatArray
    hot: Spell
    cold: Spell
    front_azimuth: float
    front_azimuth_why: str
    spread: tuple[YearOutcome, ...] = ()
    median: HeatSeries | None = None
    median_year: int | None = None
    profile: LoadProfile | None = None
    settling: Settling | None = None
    temp_dew: FloatArray = field(default_factory=lambda: np.empty(0))

    @property
    def all_series(self) -> tuple[tuple[str, HeatSeries, NDArray[np.datetime64], bool], ...]:
        """Year and spells, or the design day: name, series, time, whether it rests on an estimated extreme."""
        if self.settling is not None:
            return (("design day", self.year, self.time, False),)
        return (
            ("year", self.year, self.time, False),
            ("hot spell", self.hot.series, self.hot.time, self.hot.estimated),
            ("cold spell", self.cold.series, self.cold.time, self.cold.estimated),
        )

    @cached_property
    def unknown_hours(self) -> int:
        """Hours of year and spells whose capacity is unknown."""
        return sum(int(np.count_nonzero(s.headroom.unknown)) for _, s, _, _ in self.all_series)


def _with_hour(place: Place, *, hottest: bool) -> StationYear:
    """The year that holds the hottest or coldest hour; monthly warming may make it another one than the file's."""
    station = place.station
    if place.monthly is None or len(station.years) == 1:
        return station.with_hour(hottest=hottest)
    sign = 1.0 if hottest else -1.0
    return max(station.years, key=lambda one: float(np.max(sign * air_of(place, one).temp_air)))


def site_heat(place: Place, machine: Machine, criteria: HeatCriteria, load: ItLoad | None = None) -> SiteHeat:
    """Run years and spells of a site.

    Parameters
    ----------
    place : Place
        The site's surroundings.
    machine : Machine
        The unit at the site's IT load.
    criteria : HeatCriteria
        Return period of the extremes and the allowance where none is known.
    load : ItLoad, optional
        How the load goes over the hours; the machine's in every hour if not given.

    Returns
    -------
    SiteHeat
    """
    station = place.station
    load = ItLoad(machine.it) if load is None else load
    hottest, coldest = _with_hour(place, hottest=True), _with_hour(place, hottest=False)
    stated = place.site.number("front_azimuth_deg")
    warmest = SiteYear(place, hottest, machine, load, DIRECTIONS[0] if stated is None else stated)
    if stated is None:
        warmest = warmest.turned(_worst_front(warmest))
    azimuth = warmest.azimuth
    made = {hottest: warmest}

    def at(year: StationYear) -> SiteYear:
        if year not in made:
            made[year] = SiteYear(place, year, machine, load, azimuth)
        return made[year]

    worst, median = station.years[0], None
    spread: tuple[YearOutcome, ...] = ()
    if len(station.years) > 1:
        spread = tuple(_outcome(SiteYear(place, year, machine, load, azimuth)) for year in station.years)
        order = sorted(
            range(len(spread)), key=lambda i: (-min(spread[i].barred_hours, 1), spread[i].share, i)
        )
        worst, median = station.years[order[0]], station.years[order[len(order) // 2]]
    year = at(worst)
    return SiteHeat(
        place=place,
        machine=machine,
        year=year.run(),
        time=worst.hours.time,
        station_temp=worst.hours.temp_air,
        hot=_spell(place, at(hottest), criteria, warm=True),
        cold=_spell(place, at(coldest), criteria, warm=False),
        front_azimuth=azimuth,
        front_azimuth_why=_FRONT_STATED if stated is not None else _FRONT_SOUGHT,
        spread=spread,
        median=None if median is None else at(median).run(),
        median_year=None if median is None else int(median.hours.source_year[0]),
        profile=load.profile,
        settling=settled_day(year.all_hours, machine)[1] if year.is_cycle else None,
        temp_dew=year.air.temp_dew,
    )


def _outcome(year: SiteYear) -> YearOutcome:
    """Worst hour of a year without following the liquid."""
    around, machine = year.all_hours, year.machine
    curve = year.section.times(machine.in_service)
    shell = around.envelope
    load = heat_load_of(shell.total, shell.conductance, machine, around.load_share)
    room = headroom(curve, load, machine.service_max)
    return YearOutcome(
        year=int(year.hours.source_year[0]),
        share=float(room.share_bound[worst_hour(room)]),
        barred_hours=int(np.count_nonzero(room.barred)),
        short_hours=int(np.count_nonzero(room.short)),
        temp_max=float(np.max(around.temp_air)),
        temp_min=float(np.min(around.temp_air)),
    )


def _worst_front(year: SiteYear) -> float:
    """Direction of the front [deg] where nobody stated it, by a year with the front in the first direction."""
    place, curve = year.place, year.section.times(year.machine.in_service)
    shading = (place.canopy_transmittance, place.skyline)
    return worst_front_azimuth(year.year.light, year.all_hours, year.machine, place.roof, *shading, curve)


def _spell(place: Place, year: SiteYear, criteria: HeatCriteria, *, warm: bool) -> Spell:
    """Hot or cold spell, in the year that holds the file's extreme hour."""
    find, prefix = (hot_extreme, "extreme") if warm else (cold_extreme, "extreme_cold")
    extreme = find(
        place.station.weather,
        place.elevation,
        place.site.number(f"{prefix}_dry_bulb_c"),
        place.site.number(f"{prefix}_return_years"),
        criteria.return_years,
        criteria.extreme_allowance_k,
    )
    find_week = hot_window if warm else cold_window
    air = year.air.temp_air
    hours = slice(0, len(air)) if year.is_cycle else find_week(air)
    week = air[hours]
    peak = hours.start + int(np.argmax(week) if warm else np.argmin(week))
    return _Week(place, year, hours, peak, warm).at(extreme)


@dataclass(frozen=True)
class _Week:
    """Hours round the extreme hour of a year, to be run at any extreme.

    Nothing refers to itself here: what a site needed goes with the site, and its memory serves the next one.
    """

    place: Place
    year: SiteYear
    hours: slice
    peak: int
    warm: bool

    def at(self, target: Extreme) -> Spell:
        """The spell shifted to an extreme."""
        place, year, hours = self.place, self.year, self.hours
        own = float(year.air.temp_air[self.peak])
        shift = target.value + self.warming(target.value) - own
        return Spell(
            series=year.run_spell(hours, shift, warm=self.warm),
            time=year.hours.time[hours],
            station_temp=year.hours.temp_air[hours],
            extreme=target,
            shift=shift,
            own=own - place.warming if place.monthly is None else float(self.before[self.peak]),
            at=lambda value: self.at(Extreme(value, "list", None)),
        )

    @cached_property
    def before(self) -> FloatArray:
        """Air of the year before any warming. [degC]"""
        return before_warming(self.place, self.year.year)

    def warming(self, value: float) -> float:
        """Of an extreme in the place of the week's own. [K]"""
        place = self.place
        if place.monthly is None:
            return place.warming
        return place.warming + extreme_change(
            value, self.peak, self.before, self.year.hours.time, place.monthly
        )
