"""Sums of hourly power by month, in one pass."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]


@kernel
def sums_by_group(
    group: NDArray[np.int64], it: FloatArray, drawn: FloatArray, cooled: FloatArray, sums: FloatArray
) -> None:
    """Add up to `sums`, shape (group, 4): hours, servers, sections that take out heat, sections that take out none."""
    for hour in range(it.size):
        one = group[hour]
        sums[one, 0] += 1.0
        sums[one, 1] += it[hour]
        running = cooled[hour] > 0.0
        sums[one, 2] += drawn[hour] if running else 0.0
        sums[one, 3] += 0.0 if running else drawn[hour]
