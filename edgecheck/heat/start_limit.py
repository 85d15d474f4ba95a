"""From which temperature on the pumps start: a temperature of the maker, a viscosity, or the warmer of both."""

import math
from collections.abc import Callable
from dataclasses import dataclass

_LOWEST, _HIGHEST, _STEP = -100.0, 150.0, 1.0  # degC, wider than any liquid's properties are known
_CLOSE_ENOUGH = 1e-3  # K


@dataclass(frozen=True)
class StartLimit:
    """The temperature from which on the pumps start.

    Parameters
    ----------
    temperature : float
        NaN where it is unknown. [degC]
    by_viscosity : bool
        Whether the liquid's viscosity sets it.
    """

    temperature: float
    by_viscosity: bool = False


def start_limit(
    start_min: float, viscosity_limit: float | None, viscosity: Callable[[float], float]
) -> StartLimit:
    """The warmer of the maker's lowest start and the temperature at which the liquid is thin enough.

    Parameters
    ----------
    start_min : float
        [degC]
    viscosity_limit : float or None
        None where the maker gives none. [mm2/s]
    viscosity : callable
        Of a temperature [degC], NaN where it is unknown. [mm2/s]

    Returns
    -------
    StartLimit
        Unknown where a viscosity limits the start and the liquid's is unknown.
    """
    if viscosity_limit is None:
        return StartLimit(start_min)
    thin = temperature_at_viscosity(viscosity, viscosity_limit)
    if math.isnan(thin) or thin > start_min:
        return StartLimit(thin, by_viscosity=True)
    return StartLimit(start_min)


def temperature_at_viscosity(viscosity: Callable[[float], float], limit: float) -> float:
    """Lowest temperature at which a liquid is no more viscous than a limit.

    Parameters
    ----------
    viscosity : callable
        Falls with the temperature [degC]; NaN outside the range in which it is known. [mm2/s]
    limit : float
        [mm2/s]

    Returns
    -------
    float
        To a thousandth of a kelvin. Where the liquid is thin enough at the cold end of the known range already,
        that end: colder is not known. NaN where it is thin enough nowhere. [degC]
    """
    count = int((_HIGHEST - _LOWEST) / _STEP) + 1
    known = [
        temperature
        for temperature in (_LOWEST + _STEP * step for step in range(count))
        if not math.isnan(viscosity(temperature))
    ]
    thin = next((place for place, temperature in enumerate(known) if viscosity(temperature) <= limit), None)
    if thin is None:
        return math.nan
    if thin == 0:
        return known[0]
    cold, warm = known[thin - 1], known[thin]
    while warm - cold > _CLOSE_ENOUGH:
        middle = (cold + warm) / 2.0
        cold, warm = (cold, middle) if viscosity(middle) <= limit else (middle, warm)
    return warm
