"""Levels hour by hour, and what a limit may be held against in each period of the day.

In: sources, the share of the capacity in use in every hour, the hours of the periods. Out: the running level
(the unit on, its fan at that hour's speed) and the hour's energy average (with the share of the hour in which
it runs), both as sound power level: the way to the window takes the same off every one of them.

Periods are those of Directive 2002/49/EC, Annex I: day 07 to 19, evening 19 to 23, night 23 to 07, in local
standard time. A maximum limit is held against the running level, in which the duty has no part.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from edgecheck.services.sound_sources import SoundSources, energy_mean

FloatArray = NDArray[np.float64]
Mask = NDArray[np.bool_]
Period = Literal["night", "evening", "day"]

PERIODS: tuple[Period, ...] = ("night", "evening", "day")


def hour_of_day(time: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Hour of the day, 0 to 23, of every start of an hour."""
    return np.asarray(
        (time.astype("datetime64[h]") - time.astype("datetime64[D]")).astype(np.int64), dtype=np.int64
    )


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
    return {"day": by_day, "evening": by_evening, "night": ~(by_day | by_evening)}


@dataclass(frozen=True)
class HourLevels:
    """Sound power level of every hour.

    Parameters
    ----------
    running : ndarray, shape (time,)
        While the unit runs, with its fans as fast as they may; minus infinity in an hour in which it does not. [dB(A)]
    average : ndarray, shape (time,)
        Energy average of the hour. [dB(A)]
    """

    running: FloatArray
    average: FloatArray


def hour_levels(
    sources: SoundSources, capacity_ratio: FloatArray, unknown: Mask, top_speed: float = 1.0
) -> HourLevels:
    """Sound power level of every hour of a series.

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
    """
    ratio = np.where(unknown, 1.0, capacity_ratio)
    speed, duty = sources.speed(ratio, top_speed), sources.duty(ratio)
    # after a trip or a power cut, and in heat beyond the year's, a fan that follows the load runs as fast as it may
    running = np.where(duty > 0.0, sources.at_speed(top_speed), -np.inf)
    with np.errstate(divide="ignore"):
        average = sources.at_speed(speed) + 10.0 * np.log10(duty)
    return HourLevels(running, np.where(duty > 0.0, average, -np.inf))


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


def period_level(levels: HourLevels, mask: Mask) -> PeriodLevel | None:
    """Levels of the hours of a mask.

    Parameters
    ----------
    levels : HourLevels
        Shape (time,).
    mask : ndarray of bool, shape (time,)
        Hours of the period.

    Returns
    -------
    PeriodLevel or None
        None where the period has no hour.
    """
    if not mask.any():
        return None
    at = np.flatnonzero(mask)
    running, average = levels.running[mask], levels.average[mask]
    return PeriodLevel(
        running=float(running.max()),
        running_hour=int(at[int(np.argmax(running))]),
        hour=float(average.max()),
        hour_index=int(at[int(np.argmax(average))]),
        year=energy_mean(average),
        hours=int(mask.sum()),
        hours_running=int(np.count_nonzero(np.isfinite(running))),
    )


def by_hour_of_day(levels: HourLevels, hour: NDArray[np.int64]) -> tuple[FloatArray, FloatArray]:
    """Greatest running level and energy average of every hour of the day.

    Parameters
    ----------
    levels : HourLevels
        Shape (time,).
    hour : ndarray of int, shape (time,)
        Hour of the day.

    Returns
    -------
    running, average : ndarray, shape (24,)
        Minus infinity where the unit never runs or the series has no such hour. [dB(A)]
    """
    running, average = np.full(24, -np.inf), np.full(24, -np.inf)
    for each in range(24):
        mask = hour == each
        if mask.any():
            running[each], average[each] = levels.running[mask].max(), energy_mean(levels.average[mask])
    return running, average
