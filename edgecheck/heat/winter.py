"""A long power cut in the cold: how far the liquid cools, and how long it takes to get it warm enough to start.

Without power the liquid cools through the shell from whatever hour the cut begins in; once power is back a heater,
or servers that idle in the bath, warm all of it until the pumps may start. All start hours go through together,
an hour at a time: the heat of the shell is taken anew at every hour's liquid temperature, and within the hour
C dT/dt = Q - k (T - T0) is solved exactly, k being the mean of its values at both ends of the hour. A series of
hours repeats after its last hour.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.outage import temperature_after, time_to_rise
from edgecheck.heat.shell_curve import ShellCurve

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

HOUR = 3600.0
LONGEST_WARM_UP = 48.0 * HOUR  # s, followed hour by hour; then on with the mean of the last day
_DAY = 24
_MOST_HEAT = 1e6  # W, more than any heater
_CLOSE_ENOUGH = 0.01
_FEW = 24  # starts


@dataclass(frozen=True)
class PowerOff:
    """The liquid at the end of a power cut that begins in each hour.

    Parameters
    ----------
    at_return, coldest : ndarray, shape (n,)
        When power returns; lowest since the cut. [degC]
    """

    at_return: FloatArray
    coldest: FloatArray


@dataclass(frozen=True)
class WarmUp:
    """From the return of power until the liquid is warm enough.

    Parameters
    ----------
    seconds : ndarray, shape (n,)
        0 where it is warm enough already, infinite where the heat does not suffice. [s]
    coldest : ndarray, shape (n,)
        Lowest from then on. [degC]
    """

    seconds: FloatArray
    coldest: FloatArray


def spans_of(hours: float) -> list[float]:
    """Steps in which a cut of some hours is followed: whole hours and the rest. [s]"""
    spans = [HOUR] * int(hours)
    if hours > len(spans):
        spans.append((hours - len(spans)) * HOUR)
    return spans


def power_off(
    shell: ShellCurve, start: FloatArray, capacity: float, hours: float, begins: IntArray | None = None
) -> PowerOff:
    """Cool the liquid through the shell, from every hour of a series or from some.

    Parameters
    ----------
    shell : ShellCurve
        Of every hour, shape (time,).
    start : ndarray, shape (n,)
        Liquid temperature at the beginning of each of those hours. [degC]
    capacity : float
        Of liquid, servers and tank. [J/K]
    hours : float
        Length of the cut. [h]
    begins : ndarray of int, shape (n,), optional
        Hours in which it begins; every hour of the series if not given.

    Returns
    -------
    PowerOff
        Of shape (n,).
    """
    spans = spans_of(hours)
    count = len(start)
    if begins is not None and count <= _FEW:
        return _followed_one_by_one(shell, start, capacity, spans, begins)
    around = shell.repeated(len(spans))
    liquid, coldest = start, start
    for step, span in enumerate(spans):
        there = slice(step, step + count) if begins is None else begins + step
        heat, conductance = _linear(around, liquid, there, 0.0, capacity, span)
        liquid = temperature_after(liquid, heat, conductance, capacity, span)
        coldest = np.minimum(coldest, liquid)
    return PowerOff(liquid, coldest)


def _followed_one_by_one(
    shell: ShellCurve, start: FloatArray, capacity: float, spans: list[float], begins: IntArray
) -> PowerOff:
    """As `power_off` for a few starts, number by number: arrays of a few numbers take longer."""
    count = shell.coefficients.shape[1]
    at_return, coldest = np.array(start), np.array(start)
    for place, (first, begin) in enumerate(zip(start.tolist(), begins.tolist(), strict=True)):
        x = first - shell.centre
        lowest = x
        for step, span in enumerate(spans):
            c0, c1, c2, c3 = shell.coefficients[:, (begin + step) % count].tolist()
            heat, here = c0 + x * (c1 + x * (c2 + x * c3)), -(c1 + x * (2.0 * c2 + x * (3.0 * c3)))
            y = x + heat * span / (capacity + here * span / 2.0)
            mean = (here - (c1 + y * (2.0 * c2 + y * (3.0 * c3)))) / 2.0
            x += heat * _rise_per_watt(mean, capacity, span)
            lowest = min(lowest, x)
        at_return[place], coldest[place] = shell.centre + x, shell.centre + lowest
    return PowerOff(at_return, coldest)


def _rise_per_watt(conductance: float, capacity: float, span: float) -> float:
    """Rise for each watt under C dT/dt = Q - k (T - T0) after a span, as in `outage.temperature_after`. [K/W]"""
    exponent = conductance * span / capacity
    return span / capacity if abs(exponent) < 1e-9 else -math.expm1(-exponent) / conductance


def _linear(
    shell: ShellCurve,
    liquid: FloatArray,
    hours: slice | IntArray,
    heat: float,
    capacity: float,
    span: float | FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Net heat at a liquid temperature [W], and its mean fall [W/K] on the way that the liquid takes in `span` [s]."""
    now = shell.during(hours)
    into, here = now.at(liquid)
    net = into + heat
    # near enough to see how the conductance changes on the way, without another exponential
    there = liquid + net * span / (capacity + here * span / 2.0)
    return net, (here + now.conductance(there)) / 2.0


def warm_up(
    shell: ShellCurve,
    at_return: FloatArray,
    returns: FloatArray,
    capacity: float,
    heat: float,
    limit: float,
    longest: float | None = None,
) -> WarmUp:
    """Warm the liquid with a constant heat until it may start.

    Parameters
    ----------
    shell : ShellCurve
        Of every hour, shape (time,).
    at_return : ndarray, shape (n,)
        Liquid temperature when power returns. [degC]
    returns : ndarray, shape (n,)
        When that is, from the start of the series; it repeats after its last hour. [h]
    capacity : float
        That is warmed. [J/K]
    heat : float
        Of heater and idling servers. [W]
    limit : float
        Temperature to reach. [degC]
    longest : float, optional
        What takes longer counts as infinite. Without it, after `LONGEST_WARM_UP` the mean weather of the last
        day is taken to go on. [s]

    Returns
    -------
    WarmUp
    """
    count = shell.coefficients.shape[1]
    seconds, coldest = np.zeros(len(at_return)), at_return.copy()
    waiting = np.flatnonzero(at_return < limit)
    liquid = at_return[waiting]
    hour = returns[waiting].astype(np.intp)
    span = (1.0 - (returns[waiting] - hour)) * HOUR
    passed = np.zeros(len(waiting))
    end = LONGEST_WARM_UP if longest is None else longest
    for _ in range(int(np.ceil(end / HOUR)) + 1):
        if not waiting.size:
            break
        net, conductance = _linear(shell, liquid, hour % count, heat, capacity, span)
        needed = time_to_rise(net, conductance, capacity, limit - liquid)
        done = needed <= span
        seconds[waiting[done]] = (passed + needed)[done]
        on = ~done
        liquid = temperature_after(liquid, net, conductance, capacity, span)[on]
        waiting, hour, passed = waiting[on], hour[on] + 1, (passed + span)[on]
        span = np.full(len(waiting), HOUR)
        coldest[waiting] = np.minimum(coldest[waiting], liquid)
    if waiting.size:
        seconds[waiting] = np.inf
        if longest is None:
            seconds[waiting] = passed + _afterwards(shell, liquid, hour, capacity, heat, limit)
    if longest is not None:
        seconds[seconds > longest] = np.inf
    return WarmUp(seconds, coldest)


def _afterwards(
    shell: ShellCurve, liquid: FloatArray, hour: IntArray, capacity: float, heat: float, limit: float
) -> FloatArray:
    """Time to the limit in the mean weather of the day before each hour; infinite where it settles below it. [s]"""
    day = (hour[:, np.newaxis] - np.arange(1, _DAY + 1)) % shell.coefficients.shape[1]
    mean = ShellCurve(shell.centre, shell.coefficients[:, day].mean(axis=-1))
    now = mean.at(liquid)[0] + heat
    then = mean.at(np.full(len(liquid), limit))[0] + heat
    rise = limit - liquid
    return time_to_rise(now, (now - then) / rise, capacity, rise)


def heat_needed(
    shell: ShellCurve,
    at_return: FloatArray,
    returns: FloatArray,
    capacity: float,
    limit: float,
    seconds: float,
) -> float:
    """Least constant heat that warms every bath in time.

    Parameters
    ----------
    shell, at_return, returns, capacity, limit
        As in `warm_up`.
    seconds : float
        Time allowed. [s]

    Returns
    -------
    float
        Within 1 %, on the safe side; 0 where none is needed, infinite where no heater would do. [W]
    """
    left, when = at_return[at_return < limit], returns[at_return < limit]

    def late(heat: float) -> NDArray[np.bool_]:
        return np.isinf(warm_up(shell, left, when, capacity, heat, limit, seconds).seconds)

    # what is in time with some heat is in time with more: only what was late is tried again
    slow = late(0.0)
    if not slow.any():
        return 0.0
    low, high = 0.0, 100.0
    while slow.any():
        left, when = left[slow], when[slow]
        if high > _MOST_HEAT:
            return float("inf")
        slow = late(high)
        low, high = (high, 2.0 * high) if slow.any() else (low, high)
    while high - low > _CLOSE_ENOUGH * high:
        middle = (low + high) / 2.0
        slow = late(middle)
        if slow.any():
            low, left, when = middle, left[slow], when[slow]
        else:
            high = middle
    return high


@dataclass(frozen=True)
class Course:
    """The liquid from the loss of power until it may start, from one hour.

    Parameters
    ----------
    hours : ndarray, shape (n,)
        Since the loss of power. [h]
    liquid : ndarray, shape (n,)
        [degC]
    """

    hours: FloatArray
    liquid: FloatArray


def course(
    shell: ShellCurve,
    start: float,
    hour: int,
    off_hours: float,
    capacities: tuple[float, float],
    heat: float,
    limit: float,
) -> Course:
    """Follow one power cut and the warm-up after it.

    Parameters
    ----------
    shell : ShellCurve
        Of every hour, shape (time,).
    start : float
        Liquid temperature at the loss of power. [degC]
    hour : int
        In which the cut begins.
    off_hours : float
        [h]
    capacities : tuple of float
        While it cools; while it is warmed. [J/K]
    heat : float
        Once power is back. [W]
    limit : float
        Temperature at which the pumps may start; where it is unknown or never reached the course ends after
        `LONGEST_WARM_UP`. [degC]

    Returns
    -------
    Course
    """
    count = shell.coefficients.shape[1]
    clock, liquid = [0.0], [start]
    last = off_hours + LONGEST_WARM_UP / HOUR
    while clock[-1] < last:
        now, here = clock[-1], liquid[-1]
        back = now >= off_hours
        if back and here >= limit:
            break
        until = min(np.floor(now + 1.0), last) if back else min(np.floor(now + 1.0), off_hours)
        place = np.array([(hour + int(now)) % count])
        added, capacity = (heat, capacities[1]) if back else (0.0, capacities[0])
        span = (until - now) * HOUR
        net, conductance = _linear(shell, np.array([here]), place, added, capacity, span)
        if back:
            needed = float(time_to_rise(net, conductance, capacity, limit - here)[0])
            if needed <= span:
                clock.append(now + needed / HOUR)
                liquid.append(limit)
                break
        clock.append(float(until))
        liquid.append(float(temperature_after(here, net, conductance, capacity, span)[0]))
    return Course(np.array(clock), np.array(liquid))
