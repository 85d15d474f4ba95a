"""A long power cut in the cold: how far the liquid cools, and how long it takes to get it warm enough to start.

Without power the liquid cools through the shell from whatever hour the cut begins in; once power is back a heater,
or servers that idle in the bath, warm all of it until the pumps may start. The heat of the shell is taken anew at
every hour's liquid temperature, and within the hour C dT/dt = Q - k (T - T0) is solved exactly, k being the mean of
its values at both ends of the hour. A series of hours repeats after its last hour.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.one_node import (
    long_cuts,
    shell_heat_on_the_way,
    temperature_after,
    time_to_rise,
    warm_ups,
)
from edgecheck.heat.shell_curve import ShellCurve

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

HOUR = 3600.0
LONGEST_WARM_UP = 48.0 * HOUR  # s, followed hour by hour; then on with the mean of the last day
_MOST_HEAT = 1e6  # W, more than any heater
_CLOSE_ENOUGH = 0.01


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
    at_return, coldest = np.empty_like(start), np.empty_like(start)
    begins = np.arange(len(start)) if begins is None else begins
    spans = np.array(spans_of(hours))
    long_cuts(shell.coefficients, shell.centre, start, begins, capacity, spans, at_return, coldest)
    return PowerOff(at_return, coldest)


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
    seconds, coldest = np.empty_like(at_return), np.empty_like(at_return)
    end = LONGEST_WARM_UP if longest is None else longest
    warm_ups(
        shell.coefficients, shell.centre, at_return, returns, capacity, heat, limit, end, longest is None, seconds,
        coldest,
    )  # fmt: skip
    return WarmUp(seconds, coldest)


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
        until = min(math.floor(now + 1.0), last if back else off_hours)
        added, capacity = (heat, capacities[1]) if back else (0.0, capacities[0])
        span = (until - now) * HOUR
        net, conductance = shell_heat_on_the_way(
            shell.coefficients, (hour + int(now)) % count, here - shell.centre, added, capacity, span
        )
        needed = time_to_rise(net, conductance, capacity, limit - here)
        if back and needed <= span:
            clock.append(now + needed / HOUR)
            liquid.append(limit)
            break
        clock.append(float(until))
        liquid.append(temperature_after(here, net, conductance, capacity, span))
    return Course(np.array(clock), np.array(liquid))
