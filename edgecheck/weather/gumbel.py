"""Extreme-value type I (Gumbel) by the method of moments.

Source: ASHRAE Handbook - Fundamentals, climatic design information, n-year return period values of extreme
dry-bulb temperature.
"""

import math

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
