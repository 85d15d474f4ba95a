"""Extreme-value type I (Gumbel): return values by moments and by maximum likelihood, and how sure they are.

Sources: ASHRAE Handbook - Fundamentals, climatic design information, n-year return period values of extreme
dry-bulb temperature (moments); Kite, Frequency and risk analyses in hydrology (1977), standard error of a
return value by moments; both constants of the latter are checked in the tests by simulation.
"""

import math

import numpy as np
from numpy.typing import ArrayLike

EULER = 0.5772  # as printed in the handbook


def gumbel_factor(years: float) -> float:
    """Return the factor on the standard deviation for a return period.

    Parameters
    ----------
    years : float
        Return period, more than one year. [a]

    Returns
    -------
    factor : float
        F = -(sqrt(6)/pi) (0.5772 + ln ln(n/(n-1))). [-]

    Raises
    ------
    ValueError
        If `years` is not more than one.
    """
    if not years > 1:
        raise ValueError(f"a return period must be more than one year, not {years}")
    return -(math.sqrt(6.0) / math.pi) * (EULER + math.log(math.log(years / (years - 1.0))))


def return_value(mean: float, sd: float, years: float) -> float:
    """Annual extreme exceeded once in `years` years.

    Parameters
    ----------
    mean : float
        Mean of the annual extremes. [degC]
    sd : float
        Their standard deviation; negative for annual minima. [K]
    years : float
        Return period, more than one year. [a]

    Returns
    -------
    value : float
        mean + F sd. [degC]
    """
    return mean + gumbel_factor(years) * sd


def standard_error(sd: float, count: int, years: float) -> float:
    """Standard error of `return_value`, from the length of the record.

    Parameters
    ----------
    sd : float
        Standard deviation of the annual extremes. [K]
    count : int
        Number of years in the record, at least 1.
    years : float
        Return period, more than one year. [a]

    Returns
    -------
    error : float
        abs(sd) sqrt(1 + 1.1396 F + 1.1000 F^2) / sqrt(count), F of `gumbel_factor` (Kite 1977). [K]
    """
    factor = gumbel_factor(years)
    return abs(sd) * math.sqrt((1.0 + 1.1396 * factor + 1.1 * factor * factor) / count)


def likeliest_return_value(annual: ArrayLike, years: float, *, minima: bool = False) -> float:
    """Annual extreme exceeded once in `years` years, by maximum likelihood.

    Parameters
    ----------
    annual : array_like, shape (count,)
        Annual maxima, or minima; not all equal. [degC]
    years : float
        Return period, more than one year. [a]
    minima : bool
        Whether they are minima.

    Returns
    -------
    value : float
        By scipy.stats.gumbel_r. [degC]
    """
    from scipy.stats import gumbel_r  # half a second to import, and only files of several years need it

    sign = -1.0 if minima else 1.0
    location, scale = gumbel_r.fit(sign * np.asarray(annual, dtype=float))
    return sign * float(gumbel_r.ppf(1.0 - 1.0 / years, location, scale))
