"""Where the sun stands, hour by hour.

In: station, naive local standard time, minutes after the start of each row. Out: angles, extraterrestrial
beam and relative air mass by pvlib (Hughes' `ephemeris`, Spencer 1971, Kasten & Young 1989, pvlib's
defaults).
"""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from pvlib import atmosphere, irradiance, solarposition

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Sun:
    """The sun at each row.

    Parameters
    ----------
    apparent_zenith, zenith : ndarray, shape (n,)
        With and without refraction. [deg]
    azimuth : ndarray, shape (n,)
        East of north. [deg]
    dni_extra : ndarray, shape (n,)
        Extraterrestrial beam. [W/m2]
    airmass_relative : ndarray, shape (n,)
        Relative air mass, NaN where the apparent zenith exceeds 90 degrees. [-]
    """

    apparent_zenith: FloatArray
    zenith: FloatArray
    azimuth: FloatArray
    dni_extra: FloatArray
    airmass_relative: FloatArray


def sun(
    latitude: float,
    longitude: float,
    elevation: float,
    utc_offset_h: float,
    time: NDArray[np.datetime64],
    offset_min: float = 30.0,
) -> Sun:
    """Sun of each row.

    Parameters
    ----------
    latitude, longitude : float
        North and east positive. [deg]
    elevation : float
        Sets the pressure for refraction. [m]
    utc_offset_h : float
        Local standard time minus UTC. [h]
    time : ndarray of datetime64, shape (n,)
        Local standard time, start of the row.
    offset_min : float
        Minutes after the start of the row. [min]

    Returns
    -------
    Sun
        Arrays of shape (n,).
    """
    index = utc_index(time, utc_offset_h, offset_min)
    found = solarposition.get_solarposition(
        index, latitude, longitude, altitude=elevation, method="ephemeris"
    )
    apparent = found["apparent_zenith"].to_numpy()
    return Sun(
        apparent_zenith=apparent,
        zenith=found["zenith"].to_numpy(),
        azimuth=found["azimuth"].to_numpy(),
        dni_extra=np.asarray(irradiance.get_extra_radiation(index), dtype=float),
        airmass_relative=np.asarray(atmosphere.get_relative_airmass(apparent), dtype=float),
    )


def true_zenith(
    latitude: float,
    longitude: float,
    utc_offset_h: float,
    time: NDArray[np.datetime64],
    offset_min: float | NDArray[np.float64],
) -> FloatArray:
    """Zenith without refraction, shape (n,), in degrees; one offset a row is allowed."""
    if len(time) == 0:
        return np.empty(0)
    index = utc_index(time, utc_offset_h, offset_min)
    return np.asarray(solarposition.ephemeris(index, latitude, longitude)["zenith"].to_numpy())


def utc_index(
    time: NDArray[np.datetime64], utc_offset_h: float, offset_min: float | NDArray[np.float64]
) -> pd.DatetimeIndex:
    """UTC time of each row, `offset_min` minutes after its start."""
    seconds = np.round(np.asarray(offset_min) * 60.0 - utc_offset_h * 3600.0).astype("timedelta64[s]")
    return pd.DatetimeIndex(time.astype("datetime64[s]") + seconds, tz="UTC")
