"""Coils in loops over hours: the series of the exchange, the polynomial that stands for it, knots, a coil in use.

See `effectiveness.py`, `coil_table.py`, `dry_cooler.py` and `economiser.py`.
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
def _clenshaw(coefficients: FloatArray, x: FloatArray, ahead: FloatArray, here: FloatArray) -> None:
    """Sum of Chebyshev polynomials at places (hour), left in `here`; `ahead` is room to work in.

    Coefficients (order, hour), or (order, 1) where they are the same in all hours.
    """
    step = 0 if coefficients.shape[1] == 1 else 1
    ahead[:] = 0.0
    here[:] = 0.0
    for k in range(len(coefficients) - 1, 0, -1):
        for hour in range(len(x)):
            following = coefficients[k, hour * step] + 2.0 * x[hour] * here[hour] - ahead[hour]
            ahead[hour] = here[hour]
            here[hour] = following
    for hour in range(len(x)):
        here[hour] = coefficients[0, hour * step] + x[hour] * here[hour] - ahead[hour]


@kernel
def polynomial(
    table: FloatArray,
    liquid: FloatArray,
    density: FloatArray,
    box: tuple[float, float, float, float],
) -> FloatArray:
    """Chebyshev coefficients (liquid order, density order) at temperatures (knot, hour) and densities (hour).

    Both are brought from the box to -1..1.
    """
    knots, hours = liquid.shape
    result, by_density = np.empty((knots, hours)), np.empty((len(table), hours))
    x, ahead = np.empty(hours), np.empty(hours)
    one = np.empty((table.shape[1], 1))
    for hour in range(hours):
        x[hour] = (2.0 * density[hour] - (box[2] + box[3])) / (box[3] - box[2])
    for order in range(len(table)):
        one[:, 0] = table[order]
        _clenshaw(one, x, ahead, by_density[order])
    for knot in range(knots):
        for hour in range(hours):
            x[hour] = (2.0 * liquid[knot, hour] - (box[0] + box[1])) / (box[1] - box[0])
        _clenshaw(by_density, x, ahead, result[knot])
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


@kernel
def coil_in_use(
    knots: FloatArray,
    per_kelvin: FloatArray,
    starts: FloatArray,
    inlet: FloatArray,
    over: float,
    rate: float,
    rate_slope: float,
    reference: float,
) -> tuple[FloatArray, FloatArray]:
    """Heat of a coil that comes in over some kelvin [W], and the liquid behind it [degC]; shape (knot, hour)."""
    count, hours = knots.shape
    heat, behind = np.empty((count, hours)), np.empty((count, hours))
    for k in range(count):
        for hour in range(hours):
            at = knots[k, hour]
            share = (at - starts[hour]) / over
            share = 0.0 if share < 0.0 else share
            share = 1.0 if share > 1.0 else share
            above = at - inlet[hour]
            above = 0.0 if above < 0.0 else above
            heat[k, hour] = share * per_kelvin[k, hour] * above
        for hour in range(hours):
            at = knots[k, hour]
            capacity_rate = rate + rate_slope * (at - reference)
            capacity_rate = 0.1 * rate if capacity_rate < 0.1 * rate else capacity_rate
            behind[k, hour] = at - heat[k, hour] / capacity_rate
    return heat, behind


@kernel
def with_coil_fan(power: FloatArray, heat: FloatArray, fan: FloatArray) -> FloatArray:
    """Power (knot, hour) with that of the coil's fan (hour) where the coil gives heat. [W]"""
    count, hours = power.shape
    result = np.empty((count, hours))
    for k in range(count):
        for hour in range(hours):
            result[k, hour] = power[k, hour] + (fan[hour] if heat[k, hour] > 0.0 else 0.0)
    return result
