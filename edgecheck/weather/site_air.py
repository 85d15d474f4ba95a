"""Air, pressure and sky at the site, from the station's weather.

In: one weather year, elevations, warming. Out: `SiteAir`. Temperature falls 6.5 K per km of elevation
difference; every shift of temperature keeps the dew point (capped at the air temperature) and scales the
sky longwave with (T_new/T_old)^4 in K. Pressure is the station's times the ratio of standard pressures.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import LAPSE_RATE, STEFAN_BOLTZMANN, ZERO_CELSIUS, standard_pressure
from edgecheck.base.notes import Note
from edgecheck.weather.series import WeatherYear

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class SiteAir:
    """Hourly air at the site; arrays of shape (..., n) that broadcast.

    Parameters
    ----------
    temp_air, temp_dew : ndarray
        [degC]
    pressure : ndarray
        [Pa]
    longwave_down : ndarray
        Longwave from the sky on a horizontal surface. [W/m2]
    wind_speed : ndarray
        At the station. [m/s]
    """

    temp_air: FloatArray
    temp_dew: FloatArray
    pressure: FloatArray
    longwave_down: FloatArray
    wind_speed: FloatArray

    def shifted(self, change: ArrayLike) -> "SiteAir":
        """Make the same hours warmer by `change`; dew point kept, sky longwave scaled.

        Parameters
        ----------
        change : array_like
            Scalar, or an array that broadcasts with (..., n). [K]
        """
        temp_air = self.temp_air + np.asarray(change, dtype=float)
        square = ((temp_air + ZERO_CELSIUS) / (self.temp_air + ZERO_CELSIUS)) ** 2
        return SiteAir(
            temp_air=temp_air,
            temp_dew=np.minimum(self.temp_dew, temp_air),
            pressure=self.pressure,
            longwave_down=self.longwave_down * (square * square),
            wind_speed=self.wind_speed,
        )

    def window(self, hours: slice) -> "SiteAir":
        """Take some of the hours; the last axis is time."""
        return SiteAir(
            temp_air=self.temp_air[..., hours],
            temp_dew=self.temp_dew[..., hours],
            pressure=self.pressure[..., hours],
            longwave_down=self.longwave_down[..., hours],
            wind_speed=self.wind_speed[..., hours],
        )


def site_air(
    year: WeatherYear,
    station_elevation: float,
    site_elevation: float | None,
    warming: ArrayLike = 0.0,
    longwave_down: FloatArray | None = None,
) -> SiteAir:
    """Air at the site.

    Parameters
    ----------
    year : WeatherYear
        At the station, shape (n,).
    station_elevation : float
        [m]
    site_elevation : float or None
        None takes the station's. [m]
    warming : array_like
        Urban heat plus warming, added to every hour; scalar or (..., 1). [K]
    longwave_down : ndarray, shape (n,), optional
        What `longwave_at_station` gives, where it is known already. [W/m2]

    Returns
    -------
    SiteAir
        Arrays of shape (n,), with the leading axes of `warming` where it has any.
    """
    here = station_elevation if site_elevation is None else site_elevation
    standard = standard_pressure(here)
    pressure = year.pressure * (standard / standard_pressure(station_elevation))
    at_station = SiteAir(
        temp_air=year.temp_air,
        temp_dew=year.temp_dew,
        pressure=np.where(np.isnan(pressure), standard, pressure),
        longwave_down=longwave_at_station(year) if longwave_down is None else longwave_down,
        wind_speed=year.wind_speed,
    )
    return at_station.shifted(
        elevation_change(station_elevation, site_elevation) + np.asarray(warming, dtype=float)
    )


def longwave_at_station(year: WeatherYear) -> FloatArray:
    """Longwave from the sky at the station, worked out where the file has none.

    Parameters
    ----------
    year : WeatherYear
        At the station, shape (n,).

    Returns
    -------
    ndarray, shape (n,)
        [W/m2]
    """
    computed = sky_longwave(year.temp_air, year.temp_dew, year.opaque_cover)
    return np.where(np.isnan(year.longwave_down), computed, year.longwave_down)


def elevation_change(station_elevation: float, site_elevation: float | None) -> float:
    """Temperature at the site minus that at the station.

    Parameters
    ----------
    station_elevation, site_elevation : float
        None for the site takes the station's. [m]

    Returns
    -------
    float
        -6.5 K per km of height, the ISO 2533 troposphere. [K]
    """
    if site_elevation is None:
        return 0.0
    return -LAPSE_RATE * (site_elevation - station_elevation)


def sky_longwave(temp_air: ArrayLike, temp_dew: ArrayLike, opaque_cover: ArrayLike) -> FloatArray:
    """Longwave from the sky on a horizontal surface.

    Parameters
    ----------
    temp_air, temp_dew : array_like, shape (...)
        Air temperature and dew point. [degC]
    opaque_cover : array_like, shape (...)
        Sky covered by opaque cloud; NaN counts as clear. [tenths]

    Returns
    -------
    longwave_down : ndarray, shape (...)
        eps sigma T^4 with eps = (0.787 + 0.764 ln(T_dew/273)) (1 + 0.0224 N - 0.0035 N^2 + 0.00028 N^3),
        T_dew in K. [W/m2]

    Notes
    -----
    Clear sky: Clark & Allen, The estimation of atmospheric radiation for clear and cloudy skies (1978).
    Cloud: Walton, Thermal Analysis Research Program reference manual, NBSIR 83-2655 (1983).
    """
    kelvin = np.asarray(temp_air, dtype=float) + ZERO_CELSIUS
    dew = np.asarray(temp_dew, dtype=float) + ZERO_CELSIUS
    cover = np.nan_to_num(np.asarray(opaque_cover, dtype=float), nan=0.0)
    clear = 0.787 + 0.764 * np.log(dew / 273.0)
    cloud = 1.0 + cover * (0.0224 + cover * (-0.0035 + cover * 0.00028))
    return np.asarray(clear * cloud * STEFAN_BOLTZMANN * kelvin**4)


def site_air_notes(
    year: WeatherYear, station_elevation: float, site_elevation: float | None
) -> tuple[Note, ...]:
    """Say what was done to bring the station's air to the site."""
    notes = []
    if site_elevation is None:
        text = f"The site's elevation is not given: the station's, {station_elevation:.0f} m, is used."
        notes.append(Note("elevation-of-station", "info", text))
    elif site_elevation != station_elevation:
        change = elevation_change(station_elevation, site_elevation)
        text = (
            f"Air temperature is moved by {change:+.1f} K for the {site_elevation - station_elevation:+.0f} "
            "m from station to site (6.5 K per km)."
        )
        notes.append(Note("elevation-lapse", "info", text, worst=change))
    if np.isnan(year.pressure).all():
        text = (
            "The weather file has no air pressure: the standard atmosphere at the site's elevation is used."
        )
        notes.append(Note("standard-pressure", "info", text))
    return tuple(notes)
