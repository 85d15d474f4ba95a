"""A rating table read at every hour's inlet, and what a chiller gives the air between its rows; see `chiller.py`."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]

_BLOCK = 256  # hours that stay in the fastest memory while they are worked on


@kernel
def read_columns(columns: FloatArray, tables: tuple[FloatArray, ...], at: FloatArray) -> FloatArray:
    """Tables (row, column) read along their columns at places (hour), edges held; shape (tables, row, hour)."""
    hours, last = len(at), len(columns) - 2
    rows = len(tables[0])
    result = np.empty((len(tables), rows, hours))
    if last < 0:
        for i in range(len(tables)):
            for row in range(rows):
                result[i, row] = tables[i][row, 0]
        return result
    column = np.zeros(hours, dtype=np.int64)
    share = np.empty(hours)
    for j in range(1, last + 1):
        for hour in range(hours):
            column[hour] += 1 if at[hour] >= columns[j] else 0
    for hour in range(hours):
        low, high = columns[column[hour]], columns[column[hour] + 1]
        there = (at[hour] - low) / (high - low)
        there = 0.0 if there < 0.0 else there  # what is not a number stays so
        share[hour] = 1.0 if there > 1.0 else there
    for i in range(len(tables)):
        for row in range(rows):
            table = tables[i][row]
            for hour in range(hours):
                low = table[column[hour]]
                result[i, row, hour] = low + share[hour] * (table[column[hour] + 1] - low)
    return result


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
def stage_at(
    knots: FloatArray,
    capacity: FloatArray,
    power: FloatArray,
    inlet: FloatArray,
    per_watt: FloatArray,
    slope_above: FloatArray,
    liquid: FloatArray,
    fan: float,
    rated_fan: float,
    offset: float,
    least: float,
    limit: float,
) -> FloatArray:
    """Chiller at temperatures (place, hour) of the liquid; shape (3 or 5, place, hour).

    Capacity and power at full speed, condensing temperature at the least speed; of one that slows also the capacity
    that the limit allows and the rise of the condensing temperature to full speed. Knots as in `curve_kernel.read`.
    """
    places, hours = liquid.shape
    step = 1 if knots.shape[1] == hours else 0
    last = len(knots) - 1
    result = np.empty((5 if least < 1.0 else 3, places, hours))
    share, fixed, varying = np.empty(hours), np.empty(hours), np.empty(hours)
    # loops of few arrays each: the compiler turns only those into vector instructions
    for place in range(places):
        at, full, drawn = liquid[place], result[0, place], result[1, place]
        full[:] = capacity[0]
        drawn[:] = power[0]
        for k in range(last):
            for hour in range(hours):
                low, high = knots[k, hour * step], knots[k + 1, hour * step]
                there = (at[hour] - low) / (high - low)
                there = 0.0 if there < 0.0 else there
                share[hour] = 1.0 if there > 1.0 else there
            for hour in range(hours):
                full[hour] += share[hour] * (capacity[k + 1, hour] - capacity[k, hour])
            for hour in range(hours):
                drawn[hour] += share[hour] * (power[k + 1, hour] - power[k, hour])
        for hour in range(hours):
            compressor = drawn[hour] - fan
            fixed[hour] = rated_fan + offset * compressor
            varying[hour] = full[hour] + (1.0 - offset) * compressor
        for hour in range(hours):
            above = at[hour] - knots[last, hour * step]
            above = 0.0 if above < 0.0 else above
            varying[hour] += above * slope_above[hour]
        for hour in range(hours):
            heat = fixed[hour] + least * varying[hour]
            result[2, place, hour] = inlet[hour] + per_watt[hour] * heat
        if least < 1.0:
            for hour in range(hours):
                allowed = ((limit - inlet[hour]) / per_watt[hour] - fixed[hour]) / varying[hour]
                allowed = least if allowed < least else allowed
                share[hour] = 1.0 if allowed > 1.0 else allowed
            for hour in range(hours):
                result[3, place, hour] = full[hour] * share[hour]
            for hour in range(hours):
                result[4, place, hour] = per_watt[hour] * (1.0 - least) * varying[hour]
    return result


@kernel
def in_rising_order(knots: FloatArray, apart: float) -> FloatArray:
    """Knots (knot, hour) of every hour sorted, each `apart` further from the first than its place asks for."""
    count, hours = knots.shape
    result = knots.copy()
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
