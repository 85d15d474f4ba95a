"""The DESIGN CONDITIONS line of a demo year, in the field order of the 2017 edition.

In: the hourly table of a place and its stated annual extremes. Out: one header line. The percentiles are
those of the file's own year; the annual extremes (mean M and standard deviation s) are invented in
places.toml, and the n-year values follow from them by T_n = M + F s, F = -(sqrt 6/pi)(0.5772 + ln ln(n/(n -
1))) (ASHRAE Handbook of Fundamentals, Climatic Design Information). Field order: US Department of Energy, "Auxiliary
Programs", EPW data dictionary.
"""

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SOURCE = "Synthetic values in the field order of 2017; invented for the demo"
RETURN_YEARS = (5, 10, 20, 50)


def vapour_pressure(temp_dew: Array) -> Array:
    """Water vapour pressure at a dew point, Magnus over water, WMO Guide no. 8. [Pa]."""
    return 611.2 * np.exp(17.62 * temp_dew / (243.12 + temp_dew))


def wet_bulb(temp_air: Array, relative_humidity: Array) -> Array:
    """Wet-bulb temperature at sea level, Stull (2011), good to about 1 K. [degC]."""
    t, rh = temp_air, relative_humidity
    return (
        t * np.arctan(0.151977 * np.sqrt(rh + 8.313659))
        + np.arctan(t + rh)
        - np.arctan(rh - 1.676331)
        + 0.00391838 * rh**1.5 * np.arctan(0.023101 * rh)
        - 4.686035
    )


def return_value(mean: float, sd: float, years: int) -> float:
    """Extreme that is exceeded once in ``years`` years; a negative ``sd`` gives the cold twin. [degC]."""
    factor = -(math.sqrt(6.0) / math.pi) * (0.5772 + math.log(math.log(years / (years - 1.0))))
    return mean + factor * sd


def quantile(values: Array, exceeded_share: float) -> float:
    """Value that is exceeded in the given share of the year's hours."""
    ordered = np.sort(values)
    return float(ordered[len(ordered) - 1 - int(exceeded_share * len(ordered))])


def coincident(of: Array, driver: Array, value: float, width: float) -> float:
    """Mean of ``of`` over the hours in which ``driver`` lies within ``width`` of ``value``."""
    near = np.abs(driver - value) <= width
    return float(np.sum(of[near]) / np.sum(near))


def pair(driver: Array, share: float, of: Array, digits: int = 1) -> list[str]:
    """Write a percentile and the mean of another quantity in those hours, as text."""
    value = quantile(driver, share)
    return [f"{value:.{digits}f}", f"{coincident(of, driver, value, 0.6):.1f}"]


def humid(temp_dew: Array, share: float, pressure: float, temp_air: Array) -> list[str]:
    """Write a dew-point percentile, its humidity ratio in g/kg and the mean coincident dry bulb, as text."""
    value = quantile(temp_dew, share)
    vapour = float(vapour_pressure(np.asarray(value)))
    ratio = 622.0 * vapour / (pressure - vapour)
    return [f"{value:.1f}", f"{ratio:.1f}", f"{coincident(temp_air, temp_dew, value, 0.6):.1f}"]


def monthly_mean(values: Array, month_days: tuple[int, ...]) -> list[float]:
    """Mean of each calendar month."""
    ends = np.cumsum(month_days) * 24
    starts = ends - np.asarray(month_days) * 24
    return [float(np.sum(values[a:b]) / (b - a)) for a, b in zip(starts, ends, strict=True)]


def design_conditions(place: dict[str, Any], table: dict[str, Array], month_days: tuple[int, ...]) -> str:
    """Write the whole line; a place without ``extremes`` states that it has no design conditions.

    Parameters
    ----------
    place : dict
        One ``[[place]]`` of places.toml.
    table : dict of ndarray, shape (8760,)
        Hourly quantities as printed.
    month_days : tuple of int, length 12
        Days of each month.

    Returns
    -------
    str
        Comma-separated fields, the literals Heating, Cooling and Extremes among them.
    """
    if "extremes" not in place:
        return "DESIGN CONDITIONS,0"
    dry, dew, speed = table["temp_air"], table["temp_dew"], table["wind_speed"]
    wet = wet_bulb(dry, table["relative_humidity"])
    pressure = float(np.sum(table["pressure"]) / len(dry))
    vapour = vapour_pressure(dew)
    ratio = 0.622 * vapour / (table["pressure"] - vapour)
    enthalpy = 1.006 * dry + ratio * (2501.0 + 1.86 * dry)
    months = monthly_mean(dry, month_days)
    coldest, hottest = int(np.argmin(months)), int(np.argmax(months))
    days = np.repeat(np.arange(12), month_days)
    cold_hours, hot_days = np.repeat(days, 24) == coldest, days == hottest
    by_day = dry.reshape(-1, 24)
    daily_range = float(np.sum((by_day.max(axis=1) - by_day.min(axis=1))[hot_days]) / np.sum(hot_days))
    direction = f"{place['wind']['direction']:.0f}"

    fields = ["DESIGN CONDITIONS", "1", SOURCE, "", "Heating", str(coldest + 1)]
    fields += [f"{quantile(dry, share):.1f}" for share in (0.996, 0.99)]
    fields += humid(dew, 0.996, pressure, dry) + humid(dew, 0.99, pressure, dry)
    fields += pair(speed[cold_hours], 0.004, dry[cold_hours]) + pair(speed[cold_hours], 0.01, dry[cold_hours])
    fields += [f"{coincident(speed, dry, quantile(dry, 0.996), 0.6):.1f}", direction]

    fields += ["Cooling", str(hottest + 1), f"{daily_range:.1f}"]
    for share in (0.004, 0.01, 0.02):
        fields += pair(dry, share, wet)
    for share in (0.004, 0.01, 0.02):
        fields += pair(wet, share, dry)
    fields += [f"{coincident(speed, dry, quantile(dry, 0.004), 0.6):.1f}", direction]
    for share in (0.004, 0.01, 0.02):
        fields += humid(dew, share, pressure, dry)
    for share in (0.004, 0.01, 0.02):
        fields += pair(enthalpy, share, dry)
    fields += [f"{float(np.max(wet)):.1f}"]

    stated = place["extremes"]
    fields += ["Extremes"] + [f"{quantile(speed, share):.1f}" for share in (0.01, 0.025, 0.05)]
    fields += [f"{stated[key]:.1f}" for key in ("min_mean", "max_mean", "min_sd", "max_sd")]
    for years in RETURN_YEARS:
        fields += [f"{return_value(stated['min_mean'], -stated['min_sd'], years):.1f}"]
        fields += [f"{return_value(stated['max_mean'], stated['max_sd'], years):.1f}"]
    return ",".join(fields)
