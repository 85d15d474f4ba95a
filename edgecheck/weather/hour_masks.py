"""Which hours of a series are doubtful: one small function a doubt.

In: plain arrays over the hours and a limit. Out: a boolean array over the same hours, true where the doubt
holds. A missing hour (NaN) is never doubtful here. Limits stand in thresholds.toml.
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.constants import standard_pressure

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]


def outside(values: FloatArray, low: float, high: float) -> BoolArray:
    """Values beyond a range: missing codes of another format, lost digits, broken sensors.

    Parameters
    ----------
    values : ndarray, shape (n,)
    low, high : float
        In the same unit.
    """
    return np.asarray((values < low) | (values > high))


def missing(values: FloatArray) -> BoolArray:
    """Hours without a value, shape (n,)."""
    return np.isnan(values)


def standing_out(values: FloatArray) -> FloatArray:
    """By how much each hour lies above, or below, both of its neighbours.

    Parameters
    ----------
    values : ndarray, shape (n,)

    Returns
    -------
    ndarray, shape (n,)
        The lesser of the two differences; 0 where the hour lies between its neighbours, at the ends of the
        series and beside a missing hour. In the unit of the values.
    """
    result = np.zeros(len(values))
    before, after = values[1:-1] - values[:-2], values[1:-1] - values[2:]
    peak = np.minimum(np.abs(before), np.abs(after))
    result[1:-1] = np.where((before * after > 0) & ~np.isnan(peak), peak, 0.0)
    return result


def spikes(values: FloatArray, step: float) -> BoolArray:
    """Single hours that leap away from both neighbours to the same side.

    Parameters
    ----------
    values : ndarray, shape (n,)
    step : float
        In the same unit.
    """
    return np.asarray(standing_out(values) > step)


def run_lengths(values: FloatArray) -> FloatArray:
    """Length of the run of equal values that each hour belongs to, shape (n,). [h]"""
    if len(values) == 0:
        return np.zeros(0)
    starts = np.flatnonzero(np.concatenate(([True], values[1:] != values[:-1])))
    lengths = np.diff(np.concatenate((starts, [len(values)])))
    return np.repeat(lengths, lengths).astype(float)


def stuck(values: FloatArray, longest: float, *, zero: bool = True) -> BoolArray:
    """Hours of a run of one and the same value.

    Parameters
    ----------
    values : ndarray, shape (n,)
    longest : float
        Runs of more hours than this. [h]
    zero : bool
        False leaves runs of 0 out: calm air, night.
    """
    long = run_lengths(values) > longest
    return np.asarray(long if zero else long & (values != 0))


def dew_above_air(temp_air: FloatArray, temp_dew: FloatArray, margin: float) -> BoolArray:
    """Dew point above air temperature by more than `margin`, which cannot be.

    Parameters
    ----------
    temp_air, temp_dew : ndarray, shape (n,)
        [degC]
    margin : float
        For rounding. [K]
    """
    return np.asarray(temp_dew - temp_air > margin)


def night_sun(irradiance: FloatArray, zenith: FloatArray, darkness: float, limit: float) -> BoolArray:
    """Irradiance while the sun is far below the horizon.

    Parameters
    ----------
    irradiance : ndarray, shape (n,)
        The greatest of the three components. [W/m2]
    zenith : ndarray, shape (n,)
        True zenith. [deg]
    darkness : float
        Zenith beyond which there is no light in any part of the hour. [deg]
    limit : float
        [W/m2]
    """
    return np.asarray((zenith > darkness) & (irradiance > limit))


def apart(residual: FloatArray, limit: float) -> BoolArray:
    """Hours whose three irradiance components do not belong together.

    Parameters
    ----------
    residual : ndarray, shape (n,)
        abs(ghi - dni cos z - dhi). [W/m2]
    limit : float
        [W/m2]
    """
    return np.asarray(residual > limit)


def shifted(
    month: NDArray[np.int64], here: FloatArray, aside: FloatArray, share: float, least: float
) -> BoolArray:
    """Hours of months whose irradiance fits an hour earlier or later much better.

    Parameters
    ----------
    month : ndarray of int, shape (n,)
        A number for the month of each hour.
    here, aside : ndarray, shape (n,), (k, n)
        Residual of each hour where the sun was taken, and at k other places. [W/m2]
    share : float
        A month is shifted where the mean residual at one of the other places is below this share of the mean
        at its own,
    least : float
        and less by this much. [W/m2]
    """
    names, of = np.unique(month, return_inverse=True)
    hours = np.bincount(of, minlength=len(names))
    own = np.bincount(of, here, len(names)) / hours
    other = np.min([np.bincount(of, row, len(names)) / hours for row in aside], axis=0)
    return np.asarray(((other < share * own) & (own - other > least))[of])


def zone_off(count: int, longitude: float, utc_offset_h: float, limit: float) -> BoolArray:
    """All hours, where the UTC offset is far from what the longitude suggests; else none.

    Parameters
    ----------
    count : int
        Number of hours.
    longitude : float
        East positive. [deg]
    utc_offset_h : float
        Local standard time minus UTC. [h]
    limit : float
        [h]
    """
    return np.full(count, abs(hours_off_sun(longitude, utc_offset_h)) > limit)


def hours_off_sun(longitude: float, utc_offset_h: float) -> float:
    """UTC offset minus longitude/15, taken round the clock to -12 to 12 h. [h]"""
    off = utc_offset_h - longitude / 15.0
    return off - 24.0 * round(off / 24.0)


def pressure_off(pressure: FloatArray, elevation: float, share: float) -> BoolArray:
    """All hours with a pressure, where the mean does not fit the elevation; else none.

    Parameters
    ----------
    pressure : ndarray, shape (n,)
        [Pa]
    elevation : float
        Of the station. [m]
    share : float
        Of the standard pressure.
    """
    known = ~np.isnan(pressure)
    if not known.any():
        return known
    off = float(np.mean(pressure[known])) / float(standard_pressure(elevation)) - 1.0
    return known & (abs(off) > share)
