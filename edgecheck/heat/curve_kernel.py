"""Reading of piecewise linear curves that have their own knots in every hour; see `curve.py`."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]


@kernel
def read(knots: FloatArray, several: tuple[FloatArray, ...], at: FloatArray) -> FloatArray:
    """Values over the same knots read at places (place, hour); shape (values, place, hour).

    Knots (knot, hour), or (knot, 1) where they are the same in all hours; each of the values (knot, hour).
    """
    places, hours = at.shape
    step = 1 if knots.shape[1] == hours else 0
    result = np.empty((len(several), places, hours))
    share = np.empty(hours)
    for place in range(places):
        for i in range(len(several)):
            result[i, place] = several[i][0]
        for k in range(len(knots) - 1):
            for hour in range(hours):
                low, high = knots[k, hour * step], knots[k + 1, hour * step]
                there = (at[place, hour] - low) / (high - low)
                there = 0.0 if there < 0.0 else there  # what is not a number stays so
                share[hour] = 1.0 if there > 1.0 else there
            for i in range(len(several)):
                values = several[i]
                for hour in range(hours):
                    result[i, place, hour] += share[hour] * (values[k + 1, hour] - values[k, hour])
    return result


@kernel
def opening(knots: FloatArray, rising: FloatArray, slope_above: FloatArray, limit: float) -> FloatArray:
    """Place of every hour at which rising values (knot, hour) first exceed a limit; see `curve.highest_allowed`."""
    hours = rising.shape[1]
    step = 1 if knots.shape[1] == hours else 0
    last = len(knots) - 1
    result = np.empty(hours)
    for hour in range(hours):
        past = knots[last, hour * step] + (limit - rising[last, hour]) / slope_above[hour]
        result[hour] = past if slope_above[hour] > 0.0 else np.inf
    for k in range(last - 1, -1, -1):
        for hour in range(hours):
            low, high = knots[k, hour * step], knots[k + 1, hour * step]
            share = (limit - rising[k, hour]) / (rising[k + 1, hour] - rising[k, hour])
            result[hour] = low + share * (high - low) if rising[k + 1, hour] > limit else result[hour]
    for hour in range(hours):
        result[hour] = -np.inf if rising[0, hour] > limit else result[hour]
    return result
