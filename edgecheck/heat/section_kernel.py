"""What a coil, a chiller, and a chiller behind a coil give in every hour; see `chiller.py` and `economiser.py`.

These loops stand in one file because a compiled loop is kept with all that it calls, and made anew when its own file
changes. Those over a year go through it in blocks of hours: what lies between coil and chiller then never leaves the
fastest memory.
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel
from edgecheck.heat.behind_coil import PARTS, Air, Behind

FloatArray = NDArray[np.float64]

_BLOCK = 256  # hours that stay in the fastest memory while they are worked on
_COUNT = len(PARTS)


@kernel
def _horner(coefficients: FloatArray, x: FloatArray, here: FloatArray) -> None:
    """Polynomial with coefficients (order, hour or more) at as many places, left in `here` (hour)."""
    last, hours = len(coefficients) - 1, len(here)
    for hour in range(hours):
        here[hour] = coefficients[last, hour]
    for k in range(last - 1, -1, -1):
        for hour in range(hours):
            here[hour] = here[hour] * x[hour] + coefficients[k, hour]


@kernel
def _by_density(table: FloatArray, x: FloatArray, result: FloatArray) -> None:
    """Coefficients (liquid order, hour) of the polynomial in the liquid's temperature at places (hour) of density."""
    last = table.shape[1] - 1
    for i in range(len(table)):
        here = result[i]
        here[:] = table[i, last]
        for k in range(last - 1, -1, -1):
            coefficient = table[i, k]
            for hour in range(len(here)):
                here[hour] = here[hour] * x[hour] + coefficient


@kernel
def polynomial(
    table: FloatArray,
    liquid: FloatArray,
    density: FloatArray,
    box: tuple[float, float, float, float],
) -> FloatArray:
    """Coefficients (liquid order, density order) at temperatures (knot, hour) and densities (hour).

    Both are brought from the box to -1..1.
    """
    knots, hours = len(liquid), len(density)
    result = np.empty((knots, hours))
    middle = (box[0] + box[1]) / 2.0, (box[2] + box[3]) / 2.0
    scale = 2.0 / (box[1] - box[0]), 2.0 / (box[3] - box[2])
    by_density, x = np.empty((len(table), _BLOCK)), np.zeros(_BLOCK)
    for first in range(0, hours, _BLOCK):
        count = min(_BLOCK, hours - first)
        for i in range(count):
            x[i] = (density[first + i] - middle[1]) * scale[1]
        _by_density(table, x, by_density)
        for knot in range(knots):
            for i in range(count):
                x[i] = (liquid[knot, first + i] - middle[0]) * scale[0]
            _horner(by_density, x, result[knot, first : first + count])
    return result


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
def _all_past(knot: FloatArray, at: FloatArray) -> bool:
    """Whether all places (hour) are at or past a knot."""
    past = True
    for hour in range(len(at)):
        past &= at[hour] >= knot[hour]
    return past


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
    last = len(knots) - 1
    if (
        knots.shape[1] != hours
    ):  # a number for all hours would keep the loops from becoming vector instructions
        knots = np.repeat(knots, hours).reshape(last + 1, hours)
    result = np.empty((5 if least < 1.0 else 3, places, hours))
    share, fixed, varying = np.empty(hours), np.empty(hours), np.empty(hours)
    per_kelvin = 1.0 / (knots[1:] - knots[:last])
    # loops of few arrays each: the compiler turns only those into vector instructions
    for place in range(places):
        at, full, drawn = liquid[place], result[0, place], result[1, place]
        begin = 0  # of the pieces between rows, the first that not all hours are past
        while begin < last - 1 and _all_past(knots[begin + 1], at):
            begin += 1
        full[:] = capacity[begin]
        drawn[:] = power[begin]
        for k in range(begin, last):
            further = False
            for hour in range(hours):
                there = (at[hour] - knots[k, hour]) * per_kelvin[k, hour]
                there = 0.0 if there < 0.0 else there
                further |= there != 0.0  # as what is not a number
                share[hour] = 1.0 if there > 1.0 else there
            if not further:
                break
            for hour in range(hours):
                full[hour] += share[hour] * (capacity[k + 1, hour] - capacity[k, hour])
            for hour in range(hours):
                drawn[hour] += share[hour] * (power[k + 1, hour] - power[k, hour])
        for hour in range(hours):
            compressor = drawn[hour] - fan
            fixed[hour] = rated_fan + offset * compressor
            varying[hour] = full[hour] + (1.0 - offset) * compressor
        for hour in range(hours):
            above = at[hour] - knots[last, hour]
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
def opening(knots: FloatArray, rising: FloatArray, slope_above: FloatArray, limit: float) -> FloatArray:
    """Place of every hour at which rising values (knot, hour) first exceed a limit; see `curve.highest_allowed`."""
    hours = rising.shape[1]
    last = len(knots) - 1
    if knots.shape[1] != hours:
        knots = np.repeat(knots, hours).reshape(last + 1, hours)
    result = np.empty(hours)
    # the piece in which it is first exceeded, and one division for all pieces
    low, high = np.empty(hours), np.empty(hours)
    below, above = np.empty(hours), np.full(hours, -np.inf)
    for k in range(last - 1, -1, -1):
        for hour in range(hours):
            exceeded = rising[k + 1, hour] > limit
            low[hour] = knots[k, hour] if exceeded else low[hour]
            high[hour] = knots[k + 1, hour] if exceeded else high[hour]
            below[hour] = rising[k, hour] if exceeded else below[hour]
            above[hour] = rising[k + 1, hour] if exceeded else above[hour]
    for hour in range(hours):
        past = knots[last, hour] + (limit - rising[last, hour]) / slope_above[hour]
        past = past if slope_above[hour] > 0.0 else np.inf
        inside = low[hour] + (limit - below[hour]) / (above[hour] - below[hour]) * (high[hour] - low[hour])
        result[hour] = inside if above[hour] > limit else past
    for hour in range(hours):
        result[hour] = -np.inf if rising[0, hour] > limit else result[hour]
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
    per_over = 1.0 / over
    for k in range(count):
        for hour in range(hours):
            at = knots[k, hour]
            share = (at - starts[hour]) * per_over
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
def _stage(section: Behind, inlet: FloatArray, factor: FloatArray, liquid: FloatArray) -> FloatArray:
    """`stage_at` of a chiller with some air (hour) at temperatures (place, hour) of its liquid; see `Chiller.rows`."""
    hours, rows = len(inlet), len(section.liquid_rows)
    equivalent, per_watt, slope = np.empty(hours), np.empty(hours), np.zeros(hours)
    for hour in range(hours):
        equivalent[hour] = inlet[hour] + section.split * (factor[hour] - 1.0)
        per_watt[hour] = section.per_watt * factor[hour]
    capacity, power = read_columns(section.columns, (section.capacity, section.power), equivalent)
    power -= section.rated_fan - section.fan
    knots = np.empty((rows, hours))
    for row in range(rows):
        knots[row] = section.liquid_rows[row]
        if section.leaving_basis:
            knots[row] += capacity[row] / section.liquid_heat_rate
    if rows > 1:
        more = (capacity[rows - 1] + power[rows - 1]) - (capacity[rows - 2] + power[rows - 2])
        slope = more / (knots[rows - 1] - knots[rows - 2])
    return stage_at(
        knots, capacity, power, inlet, per_watt, slope, liquid,
        section.fan, section.rated_fan, section.offset, section.least, section.limit,
    )  # fmt: skip


@kernel
def _chiller(section: Behind, air: Air, coil: FloatArray, liquid: FloatArray) -> FloatArray:
    """`stage_at` of the chiller whose air a coil may warm by some heat [W], at temperatures (place, hour)."""
    if not section.condenser_rate < np.inf:
        return _stage(section, air.inlet, air.factor, liquid)
    places, hours = liquid.shape  # every place has air of its own
    warmed, factor = np.empty((places, hours)), np.empty((places, hours))
    for place in range(places):
        for hour in range(hours):
            rate = air.density[hour] * section.condenser_rate
            warmed[place, hour] = air.inlet[hour] + coil[place, hour] / rate
            factor[place, hour] = air.factor[hour]
    made = _stage(section, warmed.reshape(-1), factor.reshape(-1), liquid.reshape(1, -1))
    return made.reshape(len(made), places, hours)


@kernel
def _coil(
    section: Behind, air: Air, exchange: FloatArray, liquid: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Heat of the coil in use [W] and the liquid behind it [degC] at temperatures (place, hour)."""
    per_kelvin = (
        polynomial(section.table, liquid, air.density, section.box) if section.table.size else exchange
    )
    return coil_in_use(
        liquid, per_kelvin, air.starts, air.inlet,
        section.over, section.rate, section.rate_slope, section.reference,
    )  # fmt: skip


@kernel
def _part(air: Air, first: int, end: int) -> Air:
    """Some of the hours."""
    return Air(
        air.starts[first:end], air.inlet[first:end], air.density[first:end], air.factor[first:end],
        air.barred[first:end],
    )  # fmt: skip


@kernel
def behind_coil(
    section: Behind, air: Air, knots: FloatArray, exchange: FloatArray, slope_above: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Capacity (knot, hour) of a coil with the chiller behind it [W], and where the condensing limit opens [degC].

    `exchange` (knot, hour) is the coil's heat per kelvin where the section has no polynomial for it.
    """
    count, hours = knots.shape
    capacity, trip = np.empty((count, hours)), np.empty(hours)
    for first in range(0, hours, _BLOCK):
        end = min(first + _BLOCK, hours)
        here, given = _part(air, first, end), exchange[:, first:end].copy()
        liquid = knots[:, first:end].copy()
        heat, behind = _coil(section, here, given, liquid)
        made = _chiller(section, here, heat, behind)
        allowed = made[3] if section.least < 1.0 else made[0]
        for k in range(count):
            for hour in range(end - first):
                chiller = 0.0 if here.barred[hour] else allowed[k, hour]
                capacity[k, first + hour] = heat[k, hour] + chiller
        trip[first:end] = opening(liquid, made[2], slope_above[first:end], section.limit)
        for hour in range(first, end):
            trip[hour] = np.inf if air.barred[hour] else trip[hour]
    return capacity, trip


@kernel
def parts_behind_coil(
    section: Behind,
    air: Air,
    knots: FloatArray,
    exchange: FloatArray,
    at: FloatArray,
    fans: tuple[float, float],
) -> FloatArray:
    """Parts of what such a section does at a temperature (hour), straight between the knots around it; shape (8, hour).

    In the order of `PARTS`. `fans` is the power of the coil's air beside a chiller and where that is barred [W].
    """
    count, hours = knots.shape
    result = np.empty((_COUNT, hours))
    for first in range(0, hours, _BLOCK):
        end = min(first + _BLOCK, hours)
        size = end - first
        here = _part(air, first, end)
        around, given, share = np.empty((2, size)), np.zeros((2, size)), np.empty(size)
        for side in range(2):
            around[side] = knots[side, first:end]
            if exchange.size:
                given[side] = exchange[side, first:end]
        for k in range(1, count - 1):
            for hour in range(size):
                past = at[first + hour] >= knots[k, first + hour]
                around[0, hour] = knots[k, first + hour] if past else around[0, hour]
                around[1, hour] = knots[k + 1, first + hour] if past else around[1, hour]
            if exchange.size:
                for hour in range(size):
                    past = at[first + hour] >= knots[k, first + hour]
                    given[0, hour] = exchange[k, first + hour] if past else given[0, hour]
                    given[1, hour] = exchange[k + 1, first + hour] if past else given[1, hour]
        for hour in range(size):
            there = (at[first + hour] - around[0, hour]) / (around[1, hour] - around[0, hour])
            there = 0.0 if there < 0.0 else there
            share[hour] = 1.0 if there > 1.0 else there
        # the chiller behind the coil at both knots, then alone
        coil, places = np.zeros((4, size)), np.empty((4, size))
        coil[:2], places[:2] = _coil(section, here, given, around)
        places[2:] = around
        made = _chiller(section, here, coil, places)
        ends = np.zeros((_COUNT, 2, size))
        for side in range(2):
            for hour in range(size):
                rests = here.barred[hour]
                fan = fans[1] if rests else fans[0]
                fan = fan if coil[side, hour] > 0.0 else 0.0
                ends[0, side, hour] = coil[side, hour]
                ends[1, side, hour] = 0.0 if rests else made[0, side, hour]
                ends[2, side, hour] = made[1, side, hour]
                ends[3, side, hour] = 0.0 if rests else made[0, 2 + side, hour]
                ends[4, side, hour] = made[1, 2 + side, hour]
                ends[5, side, hour] = (0.0 if rests else made[1, side, hour]) + fan
                ends[6, side, hour] = made[2, side, hour]
            if section.least < 1.0:
                ends[7, side] = made[4, side]
        for i in range(_COUNT):
            for hour in range(size):
                low = ends[i, 0, hour]
                result[i, first + hour] = low + share[hour] * (ends[i, 1, hour] - low)
    return result
