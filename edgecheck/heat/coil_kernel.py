"""Coils in loops over hours: the series of the exchange, knots.

See `effectiveness.py`, `dry_cooler.py` and `economiser.py`.
"""

import math

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]

_LAST_TERM = 1e-14
_MOST_TERMS = 1200


@kernel
def exchanged(ntu: FloatArray, rate_ratio: FloatArray) -> FloatArray:
    """Effectiveness of a cross-flow, both streams unmixed: the series of `effectiveness.py`, place after place."""
    result = np.empty(len(ntu))
    for i in range(len(ntu)):
        n, x = ntu[i], rate_ratio[i] * ntu[i]
        # `over` is the chance to exceed k, `at` that of k; those of the second stream are kept divided by x
        at, at_x = n * math.exp(-n), math.exp(-x)
        over, over_x = -math.expm1(-n), -math.expm1(-x) / x if x > 0.0 else x + 1.0
        total = over * over_x
        for k in range(1, _MOST_TERMS):
            over, over_x = max(over - at, 0.0), max(over_x - at_x, 0.0)
            total += over * over_x
            if not over * over_x > _LAST_TERM:
                break
            at *= n / (k + 1)
            at_x *= x / (k + 1)
        result[i] = 1.0 if total > 1.0 else total
    return result


@kernel
def knots_from(inlet: FloatArray, lowest: float, top: float, first: float, pieces: int) -> FloatArray:
    """The inlet, then knots evenly in the root of their distance from it; shape (pieces + 2, hour). [degC]"""
    hours = len(inlet)
    knots = np.empty((pieces + 2, hours))
    near, far = np.empty(hours), np.empty(hours)
    knots[0] = inlet
    for hour in range(hours):
        to_lowest, to_top = lowest - inlet[hour], top - inlet[hour]
        to_lowest = first if to_lowest < first else to_lowest
        to_top = 4.0 * first if to_top < 4.0 * first else to_top
        near[hour] = math.sqrt(to_lowest)
        farthest = math.sqrt(to_top)
        far[hour] = near[hour] + 0.1 if farthest < near[hour] + 0.1 else farthest
    for piece in range(pieces + 1):
        share = piece / pieces
        for hour in range(hours):
            root = near[hour] + share * (far[hour] - near[hour])
            knots[piece + 1, hour] = inlet[hour] + root * root
    return knots


@kernel
def economiser_knots(
    alone: FloatArray,
    starts: FloatArray,
    inlet: FloatArray,
    drop: FloatArray,
    over: float,
    shutdown_top: float,
    even: int,
) -> FloatArray:
    """Knots of a chiller behind a coil, not in order yet, shape (2 knots + 2 + even, hour). [degC]

    Those of the chiller alone (knot, hour) or (knot, 1); where the coil begins to come in and where it is in; where the
    liquid behind it meets the first; some evenly from the lowest to the top. `drop` is the liquid's fall in the coil
    for each kelvin above the inlet.
    """
    count, hours = len(alone), len(inlet)
    step = 1 if alone.shape[1] == hours else 0
    result = np.empty((2 * count + 2 + even, hours))
    top = np.empty(hours)
    for hour in range(hours):
        past = alone[count - 1, hour * step] + 1.0
        top[hour] = shutdown_top if past < shutdown_top else past
        result[2 * count, hour] = starts[hour]
        result[2 * count + 1, hour] = starts[hour] + over
    for k in range(count):
        for hour in range(hours):
            at = alone[k, hour * step]
            fall = 0.95 if drop[hour] > 0.95 else drop[hour]
            behind = (at - drop[hour] * inlet[hour]) / (1.0 - fall)
            full = starts[hour] + over
            result[k, hour] = at
            result[count + k, hour] = full if behind < full else behind
    for k in range(even):
        share = k / (even - 1)
        for hour in range(hours):
            lowest = alone[0, hour * step]
            result[2 * count + 2 + k, hour] = lowest + share * (top[hour] - lowest)
    for k in range(len(result)):
        for hour in range(hours):
            at, lowest = result[k, hour], alone[0, hour * step]
            at = lowest if at < lowest else at
            result[k, hour] = top[hour] if at > top[hour] else at
    return result
