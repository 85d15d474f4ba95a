"""Condensing temperature at the rows of a rating table, knots put in order; see `chiller.py`."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]

_BLOCK = 256  # hours that stay in the fastest memory while they are worked on


@kernel
def condensing_at_rows(
    capacity: FloatArray,
    power: FloatArray,
    inlet: FloatArray,
    per_watt: FloatArray,
    fan: float,
    rated_fan: float,
    offset: float,
    share: float,
) -> FloatArray:
    """Condensing temperature (row, hour) at the rows and a share of full speed. [degC]"""
    rows, hours = capacity.shape
    result = np.empty((rows, hours))
    for row in range(rows):
        for hour in range(hours):
            compressor = power[row, hour] - fan
            varying = capacity[row, hour] + (1.0 - offset) * compressor
            heat = rated_fan + offset * compressor + share * varying
            result[row, hour] = inlet[hour] + per_watt[hour] * heat
    return result


@kernel
def in_rising_order(knots: FloatArray, apart: float) -> FloatArray:
    """Knots (knot, hour) of every hour sorted in place, each `apart` further from the first than its rank asks."""
    count, hours = knots.shape
    result = knots
    for first in range(0, hours, _BLOCK):
        end = min(first + _BLOCK, hours)
        for i in range(1, count):
            for k in range(i, 0, -1):
                moved = False
                for hour in range(first, end):
                    low, high = result[k - 1, hour], result[k, hour]
                    wrong = low > high
                    moved |= wrong
                    result[k - 1, hour] = high if wrong else low
                    result[k, hour] = low if wrong else high
                if not moved:
                    break
    for k in range(count):
        for hour in range(hours):
            result[k, hour] += k * apart
    return result
