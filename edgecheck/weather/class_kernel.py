"""Humidity and change of temperature of every hour, in one pass."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel
from edgecheck.base.constants import ZERO_CELSIUS
from edgecheck.base.humid_air import GAS_CONSTANT_VAPOUR

FloatArray = NDArray[np.float64]


@kernel
def humidity_and_change(
    temp_air: FloatArray,
    temp_dew: FloatArray,
    vapour_of_dew: FloatArray,
    saturated: FloatArray,
    before: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Relative [%] and absolute [g/m3] humidity from pressures [Pa], change of temperature since the hour before [K].

    Air whose dew point is its own temperature is saturated; `before` [degC] is the hour before the first.
    """
    hours = temp_air.size
    relative, absolute, change = np.empty(hours), np.empty(hours), np.empty(hours)
    for hour in range(hours):
        vapour = vapour_of_dew[hour] if temp_dew[hour] < temp_air[hour] else saturated[hour]
        share = 100.0 * (vapour / saturated[hour])
        relative[hour] = 100.0 if share > 100.0 else share  # no rounding past it
        absolute[hour] = 1000.0 * vapour / (GAS_CONSTANT_VAPOUR * (temp_air[hour] + ZERO_CELSIUS))
    change[0] = abs(temp_air[0] - before)
    for hour in range(1, hours):
        change[hour] = abs(temp_air[hour] - temp_air[hour - 1])
    return relative, absolute, change
