"""Part load of a compressor with its fan in every hour; see `electricity.py`."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]


@kernel
def part_load_power(
    full: FloatArray,
    capacity_ratio: FloatArray,
    fan: float,
    least: float,
    offset: float,
    exponent: float,
    cycling_offset: float,
) -> FloatArray:
    """Mean power (hour) at shares of capacity, cycled below the least share; 0 where nothing is taken out. [W]"""
    result = np.empty(len(full))
    for hour in range(len(full)):
        ratio = capacity_ratio[hour]
        ratio = 0.0 if ratio < 0.0 else ratio
        ratio = 1.0 if ratio > 1.0 else ratio
        speed = least if ratio < least else ratio
        of_fan = speed * speed * speed if exponent == 3.0 else speed**exponent
        running = (full[hour] - fan) * (offset + (1.0 - offset) * speed) + fan * of_fan
        share = ratio / speed
        cycled = (1.0 - cycling_offset) * share + cycling_offset if share < 1.0 else 1.0
        result[hour] = running * cycled if ratio > 0.0 else 0.0
    return result
