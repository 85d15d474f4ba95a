"""Hours outside the climatic limits of an environmental class.

In: air and sun at the site, hour by hour, and a class. Out: how many hours lie outside which limit, and by how much.
Hourly values cannot show what happens within an hour: the change of temperature and the wind are lower bounds of what
the classes limit (five-minute means; gusts). Relative and absolute humidity are taken over ice below 0.01 degC, the
frost point's own surface.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.humid_air import saturation_pressure
from edgecheck.base.kept import kept
from edgecheck.weather.class_kernel import humidity_and_change
from edgecheck.weather.climate_class import ClimateClass, Limit, climate_classes
from edgecheck.weather.site_air import SiteAir

FloatArray = NDArray[np.float64]
Values = TypeVar("Values", float, FloatArray)

_EDGE = 1e-6  # of a limit's unit; round trips through the dew point are no exceedance
MINUTES_AN_HOUR = 60.0


@dataclass(frozen=True)
class Parameter:
    """What a limit is about.

    Parameters
    ----------
    key : str
        Name in classes.toml.
    quantity : str
        Name in `conditions`.
    label, unit : str
        Words and unit.
    upper : bool
        Whether it is an upper limit.
    """

    key: str
    quantity: str
    label: str
    unit: str
    upper: bool


PARAMETERS: Mapping[str, Parameter] = MappingProxyType(
    {
        one.key: one
        for one in (
            Parameter("temp_low", "temp_air", "low air temperature", "degC", False),
            Parameter("temp_high", "temp_air", "high air temperature", "degC", True),
            Parameter("humidity_low", "humidity", "low relative humidity", "%", False),
            Parameter("humidity_high", "humidity", "high relative humidity", "%", True),
            Parameter("water_low", "water", "low absolute humidity", "g/m3", False),
            Parameter("water_high", "water", "high absolute humidity", "g/m3", True),
            Parameter("sun", "sun", "solar radiation", "W/m2", True),
            Parameter("wind", "wind", "wind", "m/s", True),
            Parameter("rate", "rate", "change of temperature", "K/min", True),
        )
    }
)


@dataclass(frozen=True)
class Exceeded:
    """Hours outside one limit.

    Parameters
    ----------
    parameter : Parameter
        Which.
    limit : Limit
        Its value.
    hours : int
        Hours outside.
    worst : float
        The value farthest outside, or nearest to the limit where no hour is outside. [unit]
    hour : int
        Where it stands.
    """

    parameter: Parameter
    limit: Limit
    hours: int
    worst: float
    hour: int

    @property
    def by(self) -> float:
        """Distance outside the limit, not positive where no hour is outside. [unit]"""
        return _past(self.parameter, self.worst, self.limit)


@dataclass(frozen=True)
class ClassHours:
    """A year against a class.

    Parameters
    ----------
    climate_class : ClimateClass
        The class.
    hours : int
        Hours outside any limit.
    of : int
        Hours looked at.
    rows : tuple of Exceeded
        One a limit, in the order of `PARAMETERS`.
    """

    climate_class: ClimateClass
    hours: int
    of: int
    rows: tuple[Exceeded, ...]

    @property
    def binding(self) -> Exceeded | None:
        """The limit with most hours outside, the first on a tie; None where no hour is outside."""
        worst = max(self.rows, key=lambda row: row.hours)
        return worst if worst.hours else None


@kept
def _vapour_pressure(temp_dew: FloatArray) -> FloatArray:
    """Of the air at the station, for all its sites. [Pa]"""
    return saturation_pressure(temp_dew)


def conditions(
    air: SiteAir, ghi: FloatArray, *, station_dew: FloatArray | None = None, repeats: bool = False
) -> dict[str, FloatArray]:
    """What classes limit, hour by hour.

    Parameters
    ----------
    air : SiteAir
        At the site, shape (n,).
    ghi : ndarray, shape (n,)
        Global horizontal irradiance. [W/m2]
    station_dew : ndarray, shape (n,), optional
        Dew point at the station, which the site's air keeps as far as it is not saturated; the air's own if not given.
        [degC]
    repeats : bool
        Whether the first hour follows the last one.

    Returns
    -------
    dict of str to ndarray, shape (n,)
        temp_air [degC], humidity [%], water [g/m3], sun [W/m2], wind [m/s], rate [K/min].
    """
    relative, absolute, change = humidity_and_change(
        air.temp_air,
        air.temp_dew,
        _vapour_pressure(air.temp_dew if station_dew is None else station_dew),
        saturation_pressure(air.temp_air),
        float(air.temp_air[-1 if repeats else 0]),
    )
    return {
        "temp_air": air.temp_air,
        "humidity": relative,
        "water": absolute,
        "sun": ghi,
        "wind": air.wind_speed,
        "rate": change / MINUTES_AN_HOUR,
    }


def class_hours(found: Mapping[str, FloatArray], climate_class: ClimateClass) -> ClassHours:
    """Hours outside a class.

    Parameters
    ----------
    found : mapping
        From `conditions`.
    climate_class : ClimateClass
        The class.

    Returns
    -------
    ClassHours
    """
    hours = len(found["temp_air"])
    anywhere = np.zeros(hours, dtype=bool)
    rows = []
    for key, parameter in PARAMETERS.items():
        limit = climate_class.limits.get(key)
        if limit is None:
            continue
        values = found[parameter.quantity]
        hour = int(values.argmax() if parameter.upper else values.argmin())
        worst, count = float(values[hour]), 0
        if _past(parameter, worst, limit) > _EDGE:
            outside = np.asarray(_past(parameter, values, limit) > _EDGE)
            anywhere |= outside
            count = int(np.count_nonzero(outside))
        rows.append(Exceeded(parameter, limit, count, worst, hour))
    return ClassHours(climate_class, int(np.count_nonzero(anywhere)), hours, tuple(rows))


def mildest_classes(found: Mapping[str, FloatArray]) -> dict[str, ClimateClass | None]:
    """Mildest class of each standard that no hour is outside of.

    Parameters
    ----------
    found : mapping
        From `conditions`.

    Returns
    -------
    dict of str to (ClimateClass or None)
        By key of the standard; None where every class is left in some hour.
    """
    farthest = {
        key: float(values.max() if one.upper else values.min())
        for key, one in PARAMETERS.items()
        for values in (found[one.quantity],)
    }
    mildest: dict[str, ClimateClass | None] = {}
    for one in climate_classes().values():
        if mildest.get(one.family) is None:
            mildest[one.family] = one if _holds(one, farthest) else None
    return mildest


def _holds(climate_class: ClimateClass, farthest: Mapping[str, float]) -> bool:
    """Whether the values farthest towards each limit stay within a class; one that is not a number does not."""
    return all(
        _past(PARAMETERS[key], farthest[key], limit) <= _EDGE for key, limit in climate_class.limits.items()
    )


def _past(parameter: Parameter, values: Values, limit: Limit) -> Values:
    """By how much values lie past a limit. [unit]"""
    return values - limit.value if parameter.upper else limit.value - values
