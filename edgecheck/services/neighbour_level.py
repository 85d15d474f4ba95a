"""Levels hour by hour, and what a limit may be held against in each period of the day.

In: sources, the share of the capacity in use in every hour, the hours of the periods. Out: the running level
(the unit on, its fan at that hour's speed) and the hour's energy average (with the share of the hour in which
it runs), both as sound power level: the way to the window takes the same off every one of them.

Periods are those of Directive 2002/49/EC, Annex I: day 07 to 19, evening 19 to 23, night 23 to 07, in local
standard time. A maximum limit is held against the running level, in which the duty has no part.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.kept import kept
from edgecheck.services.sound_kernel import gather_by_hour_of_day
from edgecheck.services.sound_sources import SoundSources, level_of

FloatArray = NDArray[np.float64]
Mask = NDArray[np.bool_]
Period = Literal["night", "evening", "day"]

PERIODS: tuple[Period, ...] = ("night", "evening", "day")


@kept
def hour_of_day(time: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Hour of the day, 0 to 23, of every start of an hour."""
    return np.asarray(
        (time.astype("datetime64[h]") - time.astype("datetime64[D]")).astype(np.int64), dtype=np.int64
    )


@lru_cache(maxsize=16)
def period_hours(day: float, evening: float, night: float) -> Mapping[Period, Mask]:
    """Which hours of the day belong to which period.

    Parameters
    ----------
    day, evening, night : float
        Hour at which each begins, 0 to 24; two that begin together leave the first of them without hours.

    Returns
    -------
    mapping of str to ndarray of bool, shape (24,)
    """
    since_day = (np.arange(24) - day) % 24.0
    day_ends, evening_ends = (evening - day) % 24.0, (night - day) % 24.0
    by_day = since_day < day_ends
    by_evening = (since_day >= day_ends) & (since_day < evening_ends)
    found: dict[Period, Mask] = {"day": by_day, "evening": by_evening, "night": ~(by_day | by_evening)}
    for mask in found.values():
        mask.flags.writeable = False
    return found


@dataclass(frozen=True)
class HourLevels:
    """Sound power of every hour.

    Parameters
    ----------
    running : float
        Level while the unit runs, with its fans as fast as they may. [dB(A)]
    power : ndarray, shape (time,)
        Energy average of the hour over the reference of 1 pW, 10^(L/10); 0 where the unit does not run. [-]
    """

    running: float
    power: FloatArray


def hour_levels(
    sources: SoundSources, capacity_ratio: FloatArray, unknown: Mask, top_speed: float = 1.0
) -> HourLevels:
    """Sound power of every hour of a series.

    Parameters
    ----------
    sources : SoundSources
        Of the unit.
    capacity_ratio : ndarray, shape (time,)
        Cooling delivered over the capacity with the fan at `top_speed`. [-]
    unknown : ndarray of bool, shape (time,)
        Hours whose capacity is unknown: the unit counts as running at full capacity throughout.
    top_speed : float
        Highest share of full speed that the fan is allowed. [-]

    Returns
    -------
    HourLevels
        After a trip or a power cut, and in heat beyond the year's, a fan that follows the load runs as fast as it may:
        the running level is that of `top_speed`. The average is that of the speed that the hour's load asks for, with
        the share of the hour in which the unit runs.
    """
    ratio = np.where(unknown, 1.0, capacity_ratio)
    speed = sources.speed(ratio, top_speed) if sources.follows_load else top_speed
    power = sources.power(speed) * sources.duty(ratio)
    return HourLevels(level_of(float(sources.power(top_speed))), np.asarray(power))


@dataclass(frozen=True)
class DayLevels:
    """Sound power of a series by hour of the day; lists of 24, one an hour.

    Parameters
    ----------
    running : float
        Level while the unit runs. [dB(A)]
    total, greatest : list of float
        Sum and greatest of the hours' averages over the reference of 1 pW; the greatest is below 0 where the series
        has no such hour. [-]
    hours, hours_running : list of int
        Hours of the series; those in which the unit runs.
    loudest, first_running : list of int
        The first hour with the greatest average, the first in which the unit runs, as indices into the series; -1
        where there is none.
    """

    running: float
    total: list[float]
    greatest: list[float]
    hours: list[int]
    hours_running: list[int]
    loudest: list[int]
    first_running: list[int]


def day_levels(levels: HourLevels, hour: NDArray[np.int64]) -> DayLevels:
    """Gather the hours of a series by hour of the day.

    Parameters
    ----------
    levels : HourLevels
        Shape (time,).
    hour : ndarray of int, shape (time,)
        Hour of the day.
    """
    total, greatest, counts = np.zeros(24), np.empty(24), np.empty((4, 24), dtype=np.int64)
    gather_by_hour_of_day(levels.power, hour, total, greatest, counts)
    return DayLevels(levels.running, total.tolist(), greatest.tolist(), *counts.tolist())


@dataclass(frozen=True)
class PeriodLevel:
    """Levels of one period of the day over the year.

    Parameters
    ----------
    running : float
        Greatest running level; minus infinity where the unit never runs. [dB(A)]
    running_hour : int
        The first hour with it, as an index into the year.
    hour : float
        Greatest hour's average. [dB(A)]
    hour_index : int
        The first hour with it.
    year : float
        Energy average of all hours of the period. [dB(A)]
    hours, hours_running : int
        Hours of the period in the year; those in which the unit runs.
    """

    running: float
    running_hour: int
    hour: float
    hour_index: int
    year: float
    hours: int
    hours_running: int


def period_level(day: DayLevels, hours: Mask) -> PeriodLevel | None:
    """Levels of a period of the day.

    Parameters
    ----------
    day : DayLevels
        Of the year.
    hours : ndarray of bool, shape (24,)
        Hours of the day that belong to the period.

    Returns
    -------
    PeriodLevel or None
        None where the year has no hour of the period.
    """
    count = running = 0
    total, greatest = 0.0, -math.inf
    loudest, first_running = -1, -1
    for each in _hours_of(hours):
        if not day.hours[each]:
            continue
        count += day.hours[each]
        total += day.total[each]
        if day.greatest[each] > greatest:
            greatest, loudest = day.greatest[each], day.loudest[each]
        elif day.greatest[each] == greatest:
            loudest = min(loudest, day.loudest[each])
        if day.hours_running[each]:
            first = day.first_running[each]
            first_running = min(first, first_running) if running else first
            running += day.hours_running[each]
    if not count:
        return None
    return PeriodLevel(
        running=day.running if running else -math.inf,
        running_hour=first_running if running else loudest,
        hour=level_of(greatest),
        hour_index=loudest,
        year=level_of(total / count),
        hours=count,
        hours_running=running,
    )


@kept
def _hours_of(mask: Mask) -> list[int]:
    """Hours of the day that belong to a period."""
    return [int(hour) for hour in np.flatnonzero(mask)]


def by_hour_of_day(day: DayLevels) -> tuple[list[float], list[float]]:
    """Running level and energy average of every hour of the day.

    Parameters
    ----------
    day : DayLevels
        Of the year.

    Returns
    -------
    running, average : list of float
        24 of each; minus infinity where the unit never runs or the series has no such hour. [dB(A)]
    """
    running = [day.running if on else -math.inf for on in day.hours_running]
    average = [level_of(total / max(1, hours)) for total, hours in zip(day.total, day.hours, strict=True)]
    return running, average
