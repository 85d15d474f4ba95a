"""The sound of a year by hour of the day, in one pass."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


@kernel
def gather_by_hour_of_day(
    power: FloatArray,
    hour_of_day: IntArray,
    total: FloatArray,
    greatest: FloatArray,
    counts: IntArray,
) -> None:
    """Sum and greatest power of every hour of the day; counts: hours, running ones, first greatest, first running."""
    greatest[:] = -1.0
    counts[:2] = 0
    counts[2:] = -1
    for hour in range(power.size):
        each, now = hour_of_day[hour], power[hour]
        total[each] += now
        counts[0, each] += 1
        if now > greatest[each]:
            greatest[each], counts[2, each] = now, hour
        if now > 0.0:
            counts[1, each] += 1
            if counts[3, each] < 0:
                counts[3, each] = hour
