"""The surroundings of a site: what the list and the weather station say.

In: a usable row, a prepared weather file. Out: `Place`. A row that the file cannot serve is a fault of the row.
"""

from dataclasses import dataclass

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.heat.light import Skyline
from edgecheck.heat.microclimate import Microclimate, microclimate, number_setting
from edgecheck.heat.station import Station
from edgecheck.inputs.sites import Site
from edgecheck.inputs.warming_file import MonthlyWarming
from edgecheck.weather.series import Weather
from edgecheck.weather.site_air import elevation_change
from edgecheck.weather.station import distance_km

FARTHEST_WEATHER_KM = 300.0


@dataclass(frozen=True)
class Place:
    """What list and station say about the site's surroundings.

    Parameters
    ----------
    station : Station
        Weather that serves the site.
    site : Site
        The row.
    distance_km : float or None
        From site to station; None for a design day, which has no station.
    elevation : float or None
        Of the site; None takes the station's. [m]
    warming : float
        Urban heat plus warming that is the same in every hour. [K]
    roof : Microclimate
        Roof around the unit.
    canopy_transmittance : float
        [-]
    skyline : tuple of (azimuth, elevation)
        Empty for an open horizon. [deg]
    monthly : MonthlyWarming, optional
        Warming month by month, on top of `warming`.
    """

    station: Station
    site: Site
    distance_km: float | None
    elevation: float | None
    warming: float
    roof: Microclimate
    canopy_transmittance: float
    skyline: Skyline
    monthly: MonthlyWarming | None = None

    @property
    def station_elevation(self) -> float:
        """Height at which the weather was read; a design day stands wherever the row does. [m]"""
        weather = self.station.weather
        return weather.elevation if weather.cycle is None or self.elevation is None else self.elevation

    @property
    def elevation_difference(self) -> float | None:
        """Station minus site; None where the site's elevation is unknown. [m]"""
        return None if self.elevation is None else self.station_elevation - self.elevation

    @property
    def elevation_shift(self) -> float:
        """Air temperature at the site minus that at the station. [K]"""
        return elevation_change(self.station_elevation, self.elevation)


def place_of(
    site: Site, station: Station, unit_height: float | None = None, monthly: MonthlyWarming | None = None
) -> Place:
    """Surroundings of a site.

    Parameters
    ----------
    site : Site
        A usable row of the list.
    station : Station
        Weather that serves it.
    unit_height : float, optional
        Height of the unit's top above its feet, for parapets and roof steps that are higher. [m]
    monthly : MonthlyWarming, optional
        What the file says that the row names as `warming_file`.

    Raises
    ------
    InputFaults
        If the site is over 300 km from the weather file that serves it, or names a warming file that is not
        given.
    """
    if site.known("warming_file") != (monthly is not None):
        text = "the warming file that the row names is not given" if monthly is None else "the row names none"
        raise row_fault(site, "warming_file", site.text("warming_file") or "", text)
    skyline = site.get("horizon")
    return Place(
        station=station,
        site=site,
        distance_km=served_distance_km(site, station.weather),
        elevation=site.number("elevation_m"),
        warming=number_setting(site, "urban_heat_k") + number_setting(site, "warming_k"),
        roof=microclimate(site, unit_height),
        canopy_transmittance=number_setting(site, "canopy_transmittance"),
        skyline=skyline if isinstance(skyline, tuple) else (),
        monthly=monthly,
    )


def served_distance_km(site: Site, weather: Weather) -> float | None:
    """Distance from a site to the weather station that serves it; None for a design day. [km]

    Raises
    ------
    InputFaults
        If it is over 300 km.
    """
    if weather.cycle is not None:
        return None
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
