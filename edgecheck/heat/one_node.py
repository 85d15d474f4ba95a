"""One node, C dT/dt = Q - k (T - T0), compiled: over hours after a loss of cooling, over starts of a power cut.

These loops stand in one file because a compiled loop is kept with all that it calls, and made anew when its own file
changes. `outage.py`, `power_cut.py` and `winter.py` say what they are for. Arrays are C-contiguous; servers are
(setpoint, leakage, bend, slope above the bend, shutdown) of `ServerPower`, in degC and 1/K.
"""

import math

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]
Servers = tuple[float, float, float, float, float]

_STRAIGHT = 1e-9  # exponent below which the course is a straight line
_ROUNDING = 1.0 + 1e-9
_HOUR = 3600.0
_DAY = 24


@kernel
def time_to_rise(heat: float, conductance: float, capacity: float, rise: float) -> float:
    """Time until the liquid has warmed by `rise`.

    Parameters
    ----------
    heat : float
        Net heat into the liquid at the start. [W]
    conductance : float
        k of C dT/dt = Q0 - k (T - T0); negative where IT power grows faster than the envelope loses. [W/K]
    capacity : float
        Heat capacity that takes part. [J/K]
    rise : float
        From the start to the limit. [K]

    Returns
    -------
    float
        -(C/k) log1p(-k dT/Q0). 0 where there is nothing to rise, infinite where the liquid settles below the limit,
        NaN where an input is NaN. [s]
    """
    if math.isnan(heat) or math.isnan(conductance) or math.isnan(rise):
        return math.nan
    if rise <= 0.0:
        return 0.0
    ratio = conductance * rise / heat
    if heat <= 0.0 or ratio >= 1.0:
        return math.inf
    if abs(ratio) < _STRAIGHT:
        return capacity * rise / heat
    return -(capacity / conductance) * math.log1p(-ratio)


@kernel
def temperature_after(
    start: float, heat: float, conductance: float, capacity: float, seconds: float
) -> float:
    """Liquid temperature some time after cooling is lost.

    Parameters
    ----------
    start : float
        [degC]
    heat, conductance, capacity : float
        As in `time_to_rise`. [W], [W/K], [J/K]
    seconds : float
        Time since the loss. [s]

    Returns
    -------
    float
        T0 + Q0 (1 - exp(-k t/C))/k. [degC]
    """
    exponent = conductance * seconds / capacity
    if abs(exponent) < _STRAIGHT:
        return start + heat * (seconds / capacity)
    return start + heat * (-math.expm1(-exponent) / conductance)


@kernel
def _share(servers: Servers, liquid: float) -> float:
    """`ServerPower.factor` at one temperature."""
    setpoint, leakage, bend, slope_above, shutdown = servers
    if not liquid > bend:
        return 1.0 + leakage * (liquid - setpoint)
    return 1.0 + leakage * (bend - setpoint) + slope_above * (min(liquid, shutdown) - bend)


@kernel
def net_heat(
    start: FloatArray,
    shell_heat: FloatArray,
    shell_conductance: FloatArray,
    it: FloatArray,
    pump: float,
    servers: Servers,
    heat: FloatArray,
    conductance: FloatArray,
    above: FloatArray,
) -> None:
    """Heat into an uncooled bath at its start [W]; its fall below and above the servers' bend [W/K]."""
    setpoint, leakage, _, slope_above, _ = servers
    for i in range(len(start)):
        through = shell_heat[i] - shell_conductance[i] * (start[i] - setpoint)
        heat[i] = it[i] * _share(servers, start[i]) + through + pump
        conductance[i] = shell_conductance[i] - it[i] * leakage
        above[i] = shell_conductance[i] - it[i] * slope_above


@kernel
def _past_bend(start: float, heat: float, conductance: float, bend: float) -> tuple[float, float]:
    """Where the piece above the bend begins [degC], and the net heat there [W]."""
    knee = max(start, bend)
    return knee, heat - conductance * (knee - start)


@kernel
def _time_to(
    start: float, heat: float, conductance: float, above: float, capacity: float, bend: float, limit: float
) -> float:
    """Time until the liquid is at the limit, with `above` as k from the bend on. [s]"""
    first = time_to_rise(heat, conductance, capacity, min(limit, bend) - start)
    if limit <= bend:
        return first
    knee, left = _past_bend(start, heat, conductance, bend)
    return first + time_to_rise(left, above, capacity, limit - knee)


@kernel
def times_to(
    start: FloatArray,
    heat: FloatArray,
    conductance: FloatArray,
    above: FloatArray,
    capacity: float,
    bend: float,
    limit: float,
    seconds: FloatArray,
) -> None:
    """`_time_to` of every hour. [s]"""
    for i in range(len(seconds)):
        seconds[i] = _time_to(start[i], heat[i], conductance[i], above[i], capacity, bend, limit)


@kernel
def soonest(
    start: FloatArray,
    heat: FloatArray,
    conductance: FloatArray,
    above: FloatArray,
    capacity: float,
    bend: float,
    limit: float,
) -> int:
    """First hour with the least `_time_to`, or the first in which it is NaN.

    The time is C dT over the logarithmic mean of the net heat at both ends, so not less than over the arithmetic
    mean: most hours are ruled out without a logarithm.
    """
    least = np.empty(len(start))
    for i in range(len(start)):  # selects and no branches, so that it becomes vector instructions
        knee, left = _past_bend(start[i], heat[i], conductance[i], bend)
        rise, further = min(limit, bend) - start[i], limit - knee
        mean, mean_above = heat[i] - conductance[i] * rise / 2.0, left - above[i] * further / 2.0
        first = math.inf if mean <= 0.0 else capacity * rise / mean
        then = math.inf if mean_above <= 0.0 else capacity * further / mean_above
        least[i] = (0.0 if rise <= 0.0 else first) + (0.0 if further <= 0.0 else then)
    hour = int(np.argmin(least))
    time = _time_to(start[hour], heat[hour], conductance[hour], above[hour], capacity, bend, limit)
    for i in range(len(start)):
        if least[i] > time * _ROUNDING:
            continue
        tried = _time_to(start[i], heat[i], conductance[i], above[i], capacity, bend, limit)
        if math.isnan(tried):
            return i
        if tried < time or (tried == time and i < hour):
            hour, time = i, tried
    return hour


@kernel
def _after(
    start: float, heat: float, conductance: float, above: float, capacity: float, bend: float, seconds: float
) -> float:
    """Liquid some time after the loss, with `above` as k from the bend on. [degC]"""
    straight = temperature_after(start, heat, conductance, capacity, seconds)
    if start < bend and straight <= bend:  # the liquid moves one way only
        return straight
    there = time_to_rise(heat, conductance, capacity, max(0.0, bend - start))
    if not seconds > there:
        return straight
    knee, left = _past_bend(start, heat, conductance, bend)
    return temperature_after(knee, left, above, capacity, seconds - there)


@kernel
def course_after(
    start: FloatArray,
    heat: FloatArray,
    conductance: FloatArray,
    above: FloatArray,
    capacity: float,
    bend: float,
    seconds: FloatArray,
    liquid: FloatArray,
) -> None:
    """Liquid at some times after the loss in the first hour. [degC]"""
    for i in range(len(seconds)):
        liquid[i] = _after(start[0], heat[0], conductance[0], above[0], capacity, bend, seconds[i])


@kernel
def _short_cut(
    start: float,
    shell_heat: float,
    through: float,
    it: float,
    pump: float,
    servers: Servers,
    capacity: float,
    off: float,
    delay: float,
) -> tuple[float, float]:
    """Liquid after `off` seconds with the shell's heat alone, and the highest until `delay` seconds later. [degC]"""
    setpoint, leakage, bend, slope_above, _ = servers
    idle = shell_heat - through * (start - setpoint)
    back = temperature_after(start, idle, through, capacity, off)
    heat = it * _share(servers, back) + pump + shell_heat - through * (back - setpoint)
    end = _after(back, heat, through - it * leakage, through - it * slope_above, capacity, bend, delay)
    highest = start if back <= start else back
    return back, highest if end <= highest else end


@kernel
def short_cuts(
    start: FloatArray,
    shell_heat: FloatArray,
    shell_conductance: FloatArray,
    it: FloatArray,
    pump: float,
    servers: Servers,
    capacity: float,
    short: float,
    lasting: float,
    delay: float,
    at_return: FloatArray,
    peak: FloatArray,
    longer: NDArray[np.bool_],
) -> None:
    """`_short_cut` of the worse of two lengths [s], and where that is the longer one."""
    setpoint = servers[0]
    for i in range(len(start)):
        heat, through, first = shell_heat[i], shell_conductance[i], start[i]
        back, high = _short_cut(first, heat, through, it[i], pump, servers, capacity, short, delay)
        longer[i] = False
        # where the shell does not warm the liquid, a longer cut ends colder
        if heat > through * (first - setpoint) and lasting > short:
            late, higher = _short_cut(first, heat, through, it[i], pump, servers, capacity, lasting, delay)
            if higher > high:
                back, high, longer[i] = late, higher, True
        at_return[i], peak[i] = back, high


@kernel
def shell_heat_on_the_way(
    coefficients: FloatArray, hour: int, x: float, heat: float, capacity: float, span: float
) -> tuple[float, float]:
    """Net heat `x` kelvin from the curve's centre [W], and its mean fall [W/K] on the way taken in `span` [s]."""
    c1, c2, c3 = coefficients[1, hour], coefficients[2, hour], coefficients[3, hour]
    net = heat + coefficients[0, hour] + x * (c1 + x * (c2 + x * c3))
    here = -(c1 + x * (2.0 * c2 + x * (3.0 * c3)))
    # near enough to see how the conductance changes on the way, without another exponential
    y = x + net * span / (capacity + here * span / 2.0)
    return net, (here - (c1 + y * (2.0 * c2 + y * (3.0 * c3)))) / 2.0


@kernel
def long_cuts(
    coefficients: FloatArray,
    centre: float,
    start: FloatArray,
    begins: IntArray,
    capacity: float,
    spans: FloatArray,
    at_return: FloatArray,
    coldest: FloatArray,
) -> None:
    """Liquid at the end of a cut from some hours, and its lowest since they began. [degC]"""
    count = coefficients.shape[1]
    for i in range(len(begins)):
        x = start[i] - centre
        lowest = x
        for step in range(len(spans)):
            hour = (begins[i] + step) % count
            net, k = shell_heat_on_the_way(coefficients, hour, x, 0.0, capacity, spans[step])
            x = temperature_after(x, net, k, capacity, spans[step])
            lowest = lowest if x >= lowest else x
        at_return[i], coldest[i] = centre + x, centre + lowest


@kernel
def warm_ups(
    coefficients: FloatArray,
    centre: float,
    at_return: FloatArray,
    returns: FloatArray,
    capacity: float,
    heat: float,
    limit: float,
    longest: float,
    goes_on: bool,
    seconds: FloatArray,
    coldest: FloatArray,
) -> None:
    """Time with some heat until the liquid is at the limit [s], and its lowest until then [degC].

    What is not there after `longest` seconds takes for ever; or goes on in the mean weather of the last day.
    """
    count = coefficients.shape[1]
    for i in range(len(at_return)):
        seconds[i], coldest[i] = 0.0, at_return[i]
        if not at_return[i] < limit:
            continue
        hour = int(returns[i])
        span = (1.0 - (returns[i] - hour)) * _HOUR
        x, warm = at_return[i] - centre, limit - centre
        lowest, passed, needed = x, 0.0, math.inf
        for _ in range(math.ceil(longest / _HOUR) + 1):
            net, k = shell_heat_on_the_way(coefficients, hour % count, x, heat, capacity, span)
            needed = time_to_rise(net, k, capacity, warm - x)
            if needed <= span:
                break
            x = temperature_after(x, net, k, capacity, span)
            lowest = lowest if x >= lowest else x
            hour, passed, span, needed = hour + 1, passed + span, _HOUR, math.inf
        if goes_on and needed == math.inf:
            needed = _in_mean_weather(coefficients, hour, x, capacity, heat, warm)
        passed += needed
        seconds[i] = passed if goes_on or passed <= longest else math.inf
        coldest[i] = centre + lowest


@kernel
def _in_mean_weather(
    coefficients: FloatArray, hour: int, x: float, capacity: float, heat: float, warm: float
) -> float:
    """Time to `warm` kelvin from the centre in the mean weather of the day before. [s]"""
    now = then = heat
    for back in range(1, _DAY + 1):
        at = (hour - back) % coefficients.shape[1]
        c0, c1, c2, c3 = coefficients[0, at], coefficients[1, at], coefficients[2, at], coefficients[3, at]
        now += (c0 + x * (c1 + x * (c2 + x * c3))) / _DAY
        then += (c0 + warm * (c1 + warm * (c2 + warm * c3))) / _DAY
    return time_to_rise(now, (now - then) / (warm - x), capacity, warm - x)
