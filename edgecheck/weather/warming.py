"""Warming month by month: the mean of each month shifted, the excursion about it stretched.

In: air temperature of a year at the site, twelve shifts and stretches. Out: the change of every hour, and of an
extreme that stands in the place of one of them. Method: Belcher, Hacker & Powell, Constructing design weather data for
future climates, Building Services Engineering Research and Technology 26 (2005) 49-61, combined shift and stretch of
the dry bulb: T = T0 + dT + a (T0 - mean of T0 in its month), with 1 + a here as the factor of the daily range, so that
the mean of each month changes by its shift and the mean daily range by its factor. The mean is that of the year's own
month. The water in the air is kept (its dew point, so the relative humidity falls as the air warms) and capped at
saturation; that is done where the change is applied, `SiteAir.shifted`.
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.inputs.warming_file import MONTHS, MonthlyWarming

FloatArray = NDArray[np.float64]


def month_of(time: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Month of each hour, 0 for January, shape (n,)."""
    return np.asarray(time.astype("datetime64[M]").astype(np.int64) % MONTHS)


def warming_change(temp_air: FloatArray, time: NDArray[np.datetime64], monthly: MonthlyWarming) -> FloatArray:
    """Change of each hour.

    Parameters
    ----------
    temp_air : ndarray, shape (n,)
        At the site, before any warming. [degC]
    time : ndarray of datetime64, shape (n,)
        Local standard time.
    monthly : MonthlyWarming
        Shifts and factors of the months.

    Returns
    -------
    change : ndarray, shape (n,)
        shift + (factor - 1) (T - mean of the month). [K]
    """
    month = month_of(time)
    shift, factor = np.array(monthly.shift)[month], np.array(monthly.range_factor)[month]
    return np.asarray(shift + (factor - 1.0) * (temp_air - _means(temp_air, month)[month]))


def extreme_change(
    value: float,
    hour: int,
    temp_air: FloatArray,
    time: NDArray[np.datetime64],
    monthly: MonthlyWarming,
) -> float:
    """Change of an extreme that stands in the place of an hour of the year.

    Parameters
    ----------
    value : float
        The extreme at the site, before any warming. [degC]
    hour : int
        The hour whose month's shift and factor it follows.
    temp_air, time, monthly
        As in `warming_change`.

    Returns
    -------
    change : float
        As of an hour of that month with this temperature. [K]
    """
    months = month_of(time)
    month = int(months[hour])
    mean = float(_means(temp_air, months)[month])
    return monthly.shift[month] + (monthly.range_factor[month] - 1.0) * (value - mean)


def _means(temp_air: FloatArray, month: NDArray[np.int64]) -> FloatArray:
    """Mean of each month, shape (12,); 0 for a month that the hours do not have."""
    hours = np.bincount(month, minlength=MONTHS)
    total = np.bincount(month, weights=temp_air, minlength=MONTHS)
    return np.asarray(total / np.maximum(hours, 1))
