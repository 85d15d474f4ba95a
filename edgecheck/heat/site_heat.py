"""The heat of one site: air, sun, year, hot spell and cold spell.

In: a site, a prepared weather file, a machine, criteria for the extremes. Out: `SiteHeat`. Spells can be run
again at another extreme, so that a check can say from which one it would fail.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.heat.light import Skyline, StationLight
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate, microclimate, number_setting
from edgecheck.heat.orientation import worst_front_azimuth
from edgecheck.heat.series import HeatSeries, run_series, surroundings
from edgecheck.inputs.criteria import HeatCriteria
from edgecheck.inputs.sites import Site
from edgecheck.weather.extremes import Extreme, cold_extreme, hot_extreme
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.site_air import SiteAir, elevation_change, site_air
from edgecheck.weather.spells import cold_window, hot_window
from edgecheck.weather.station import distance_km

FARTHEST_WEATHER_KM = 300.0


@dataclass(frozen=True)
class Station:
    """A weather file with the sun worked out, shared by every site it serves."""

    weather: Weather
    year: WeatherYear
    light: StationLight

    @classmethod
    def of(cls, weather: Weather) -> "Station":
        """Prepare a weather file; of several years the one with the hottest hour is used."""
        year = max(weather.years, key=lambda one: float(np.max(one.temp_air)))
        return cls(weather, year, StationLight(weather, year))


@dataclass(frozen=True)
class Place:
    """What list and station say about the site's surroundings.

    Parameters
    ----------
    station : Station
        Weather that serves the site.
    site : Site
        The row.
    distance_km : float
        From site to station.
    elevation : float or None
        Of the site; None takes the station's. [m]
    warming : float
        Urban heat plus warming. [K]
    roof : Microclimate
        Roof around the unit.
    canopy_transmittance : float
        [-]
    skyline : tuple of (azimuth, elevation)
        Empty for an open horizon. [deg]
    """

    station: Station
    site: Site
    distance_km: float
    elevation: float | None
    warming: float
    roof: Microclimate
    canopy_transmittance: float
    skyline: Skyline

    @property
    def elevation_difference(self) -> float | None:
        """Station minus site; None where the site's elevation is unknown. [m]"""
        return None if self.elevation is None else self.station.weather.elevation - self.elevation

    @property
    def elevation_shift(self) -> float:
        """Air temperature at the site minus that at the station. [K]"""
        return elevation_change(self.station.weather.elevation, self.elevation)


@dataclass(frozen=True)
class Spell:
    """A week around the file's extreme hour, shifted to the extreme.

    Parameters
    ----------
    series : HeatSeries
        Its 168 hours.
    time : ndarray of datetime64, shape (168,)
        Local standard time.
    hours : slice
        Where it stands in the year.
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
    hours: slice
    extreme: Extreme
    shift: float
    own: float
    at: Callable[[float], "Spell"]

    @property
    def estimated(self) -> bool:
        """Whether the extreme is only an estimate."""
        return self.extreme.source == "estimate"


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
        8760 hours.
    time : ndarray of datetime64, shape (8760,)
        Local standard time.
    hot, cold : Spell
        Weeks shifted to the extremes.
    front_azimuth : float
        [deg]
    front_azimuth_why : str
        Where it comes from.
    """

    place: Place
    machine: Machine
    year: HeatSeries
    time: NDArray[np.datetime64]
    hot: Spell
    cold: Spell
    front_azimuth: float
    front_azimuth_why: str

    @property
    def all_series(self) -> tuple[tuple[str, HeatSeries, NDArray[np.datetime64], bool], ...]:
        """Year and spells: name, series, time, whether it rests on an estimated extreme."""
        return (
            ("year", self.year, self.time, False),
            ("hot spell", self.hot.series, self.hot.time, self.hot.estimated),
            ("cold spell", self.cold.series, self.cold.time, self.cold.estimated),
        )

    @property
    def unknown_hours(self) -> int:
        """Hours of year and spells whose capacity is unknown."""
        return sum(int(np.count_nonzero(s.headroom.unknown)) for _, s, _, _ in self.all_series)


def place_of(site: Site, station: Station) -> Place:
    """Surroundings of a site.

    Raises
    ------
    InputFaults
        If the site is over 300 km from the weather file that serves it.
    """
    skyline = site.get("horizon")
    return Place(
        station=station,
        site=site,
        distance_km=served_distance_km(site, station.weather),
        elevation=site.number("elevation_m"),
        warming=number_setting(site, "urban_heat_k") + number_setting(site, "warming_k"),
        roof=microclimate(site),
        canopy_transmittance=number_setting(site, "canopy_transmittance"),
        skyline=skyline if isinstance(skyline, tuple) else (),
    )


def served_distance_km(site: Site, weather: Weather) -> float:
    """Distance from a site to the weather station that serves it. [km]

    Raises
    ------
    InputFaults
        If it is over 300 km.
    """
    latitude, longitude = site.number("latitude_deg"), site.number("longitude_deg")
    if latitude is None or longitude is None:
        raise row_fault(site, "latitude_deg", "", "latitude and longitude are required")
    far = float(distance_km(latitude, longitude, weather.latitude, weather.longitude))
    if far > FARTHEST_WEATHER_KM:
        text = (
            f"the position is {far:.0f} km from the weather file {weather.name} that serves it; at most "
            f"{FARTHEST_WEATHER_KM:.0f} km is allowed: wrong file, or latitude and longitude swapped?"
        )
        raise row_fault(site, "latitude_deg", f"{latitude:g}, {longitude:g}", text)
    return far


def row_fault(site: Site, key: str, value: str, text: str) -> InputFaults:
    """A fault of one row of the list."""
    return InputFaults((Fault("site list", f"row {site.site_id} (line {site.row})", key, value, text),))


def site_heat(place: Place, machine: Machine, criteria: HeatCriteria) -> SiteHeat:
    """Run year and spells of a site.

    Parameters
    ----------
    place : Place
        The site's surroundings.
    machine : Machine
        The unit at the site's IT load.
    criteria : HeatCriteria
        Return period of the extremes and the allowance where none is known.

    Returns
    -------
    SiteHeat
    """
    station = place.station
    light = station.light
    air = site_air(station.year, station.weather.elevation, place.elevation, place.warming)
    azimuth, why = _front_azimuth(place, air, machine)
    irradiance = light.on_faces(azimuth, place.roof.albedo, place.canopy_transmittance, place.skyline)

    def run(hours: slice, shift: float) -> HeatSeries:
        part = air.window(hours).shifted(shift) if shift else air.window(hours)
        around = surroundings(part, light.ghi[hours], irradiance[:, hours], machine, place.roof)
        return run_series(around, machine)

    return SiteHeat(
        place=place,
        machine=machine,
        year=run(slice(0, len(station.year.time)), 0.0),
        time=station.year.time,
        hot=_spell(place, air, run, criteria, warm=True),
        cold=_spell(place, air, run, criteria, warm=False),
        front_azimuth=azimuth,
        front_azimuth_why=why,
    )


def _front_azimuth(place: Place, air: SiteAir, machine: Machine) -> tuple[float, str]:
    stated = place.site.number("front_azimuth_deg")
    if stated is not None:
        return stated, "as the list says"
    light, roof = place.station.light, place.roof
    shading = (place.canopy_transmittance, place.skyline)
    around = surroundings(air, light.ghi, light.on_faces(0.0, roof.albedo, *shading), machine, roof)
    found = worst_front_azimuth(light, around, air, machine, roof, *shading)
    return (
        found,
        "the worst of 0, 45 ... 315 degrees: the one with the least headroom in any hour of the year",
    )


def _spell(
    place: Place,
    air: SiteAir,
    run: Callable[[slice, float], HeatSeries],
    criteria: HeatCriteria,
    *,
    warm: bool,
) -> Spell:
    """Hot or cold spell."""
    find, prefix = (hot_extreme, "extreme") if warm else (cold_extreme, "extreme_cold")
    extreme = find(
        place.station.weather,
        place.elevation,
        place.site.number(f"{prefix}_dry_bulb_c"),
        place.site.number(f"{prefix}_return_years"),
        criteria.return_years,
        criteria.extreme_allowance_k,
    )
    hours = hot_window(air.temp_air) if warm else cold_window(air.temp_air)
    week = air.temp_air[hours]
    own = float(np.max(week)) if warm else float(np.min(week))

    def at(target: Extreme) -> Spell:
        shift = target.value + place.warming - own
        return Spell(
            series=run(hours, shift),
            time=place.station.year.time[hours],
            hours=hours,
            extreme=target,
            shift=shift,
            own=own - place.warming,
            at=lambda value: at(Extreme(value, "list", None)),
        )

    return at(extreme)
