"""Service headroom of every hour over the liquid temperatures that can carry it; see `headroom.py`."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel
from edgecheck.heat.curve import BEYOND_TABLE, CAPACITY, CONDENSING, NONE

FloatArray = NDArray[np.float64]
Mask = NDArray[np.bool_]

_BETTER = 1e-9  # W, by which a later temperature must beat an earlier one


@kernel
def _read(knots: FloatArray, values: FloatArray, hour: int, at: float) -> float:
    """Values over the knots of one hour at a place inside or outside them."""
    step = 1 if knots.shape[1] == values.shape[1] else 0
    if at <= knots[0, hour * step]:
        return values[0, hour]
    for k in range(1, len(knots)):
        low, high = knots[k - 1, hour * step], knots[k, hour * step]
        if at < high:
            share = (at - low) / (high - low)
            return values[k - 1, hour] + share * (values[k, hour] - values[k - 1, hour])
    return values[len(knots) - 1, hour]


@kernel
def best_in_service(
    knots: FloatArray,
    capacity: FloatArray,
    at_low: FloatArray,
    at_high: FloatArray,
    trip: FloatArray,
    free: Mask,
    heat: FloatArray,
    slope: FloatArray,
    slope_above: FloatArray,
    inside_box: FloatArray,
    inside_slope: FloatArray,
    bend: float,
    low: float,
    high: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Greatest headroom between low and high [W], its share, the liquid that carries it [degC].

    Capacity (knot, hour) over knots as in `curve_kernel.read`, and what it reads at low and high; `free` of ambient
    limits; heat to reject at low, and inside the box at the least. The first of the temperatures that are as good is
    taken.
    """
    hours = len(trip)
    step = 1 if knots.shape[1] == hours else 0
    best, liquid, share = np.full(hours, -np.inf), np.full(hours, low), np.empty(hours)
    at, value = np.empty(hours), np.empty(hours)
    # the setpoint, every knot, where the limit opens, the end of the range
    for candidate in range(len(knots) + 3):
        k = candidate - 1
        reached = True
        if candidate == 0:
            at[:] = low
            value[:] = at_low
        elif k < len(knots) and step == 0:
            reached = low < knots[k, 0] < high
            at[:] = knots[k, 0]
            value[:] = capacity[k]
        elif k < len(knots):
            reached = False
            for hour in range(hours):
                there = knots[k, hour]
                inside = (there > low) & (there < high)
                reached |= inside
                at[hour] = there if inside else low
                value[hour] = capacity[k, hour] if inside else at_low[hour]
        elif k == len(knots):
            reached = False
            for hour in range(hours):
                reached |= (trip[hour] > low) & (trip[hour] < high)
            for hour in range(hours if reached else 0):
                at[hour], value[hour] = low, at_low[hour]
                if (trip[hour] > low) & (trip[hour] < high):
                    at[hour], value[hour] = trip[hour], _read(knots, capacity, hour, trip[hour])
        else:
            at[:] = high
            value[:] = at_high
        if not reached:
            continue
        # loops of few arrays each: the compiler turns only those into vector instructions
        for hour in range(hours):
            value[hour] = value[hour] if free[hour] & (at[hour] <= trip[hour]) else 0.0
        for hour in range(hours):
            past = at[hour] - bend
            past = 0.0 if past < 0.0 else past
            value[hour] -= heat[hour] + slope[hour] * (at[hour] - low)
            value[hour] -= (slope_above[hour] - slope[hour]) * past
        for hour in range(hours):
            better = value[hour] > best[hour] + _BETTER
            best[hour] = value[hour] if better else best[hour]
            liquid[hour] = at[hour] if better else liquid[hour]
    for hour in range(hours):
        past = liquid[hour] - bend
        past = 0.0 if past < 0.0 else past
        at[hour] = heat[hour] + slope[hour] * (liquid[hour] - low) + (slope_above[hour] - slope[hour]) * past
    for hour in range(hours):
        least = inside_box[hour] + inside_slope[hour] * (liquid[hour] - low)
        divisor = least if at[hour] < least else at[hour]
        nothing = -np.inf if best[hour] < 0.0 else np.inf
        share[hour] = best[hour] / divisor if divisor > 0.0 else nothing
    return best, share, liquid


@kernel
def hour_by_hour(
    at_low: FloatArray,
    trip: FloatArray,
    locked: NDArray[np.int8],
    beyond: Mask,
    heat: FloatArray,
    best: FloatArray,
    share: FloatArray,
    low: float,
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray, NDArray[np.int8]]:
    """Capacity and headroom at low, service headroom and share, each NaN where unknown, and the binding limit."""
    hours = len(trip)
    capacity, at_setpoint = np.empty(hours), np.empty(hours)
    service, known_share = np.empty(hours), np.empty(hours)
    binding = np.empty(hours, dtype=np.int8)
    for hour in range(hours):
        free = locked[hour] == NONE
        allowed = free & (low <= trip[hour])
        past = beyond[hour] & allowed
        unknown = past & (not best[hour] < 0.0)
        there = at_low[hour] if allowed else 0.0
        capacity[hour] = np.nan if past else there
        at_setpoint[hour] = np.nan if past else there - heat[hour]
        service[hour] = np.nan if unknown else best[hour]
        known_share[hour] = np.nan if unknown else share[hour]
        limit = CAPACITY if best[hour] < 0.0 else NONE
        limit = BEYOND_TABLE if beyond[hour] else limit
        limit = CONDENSING if free & (not allowed) else limit
        binding[hour] = limit if free else locked[hour]
    return capacity, at_setpoint, service, known_share, binding
