"""Quiet mode: the fan speed at which the night limit holds, and what cooling is left at that speed.

The speed follows in closed form from the fan law: what the compressor leaves of the allowed sound power is the
fan's. It is set by the running level, so that it holds whatever the limit is an average of, and rounded down to
a whole per cent that somebody can set. The headroom is not scaled but computed: the hours of the year go through
the heat room again with the slowed fan. Airflow goes with the speed n, which raises recirculation, and the
air-side factor is 1/((d n)^0.6 (1-f)); the fan's part of the power goes with n^3.

The exponent 0.6 is that of the published altitude factors of air-cooled condensers. A maker's rating at the slow
speed, where there is one, is better.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from edgecheck.heat.headroom import Headroom
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries, run_series
from edgecheck.services.neighbour_level import Mask
from edgecheck.services.sound_sources import FAN_SPEED_FLOOR, SoundSources, identical

WHOLE = 100.0  # steps of the setting: whole per cent of full speed

NoSpeed = Literal["", "compressor", "too slow"]


@dataclass(frozen=True)
class QuietSpeed:
    """A fan speed that keeps the sound power within what is allowed.

    Parameters
    ----------
    speed : float or None
        Whole per cent as a share of full speed; None where there is none. [-]
    exact : float or None
        Before rounding down; above 1 where full speed is quiet enough; None where the compressor alone is too
        loud. [-]
    why_none : {"", "compressor", "too slow"}
        What stands against it: the compressor alone is too loud, or the fan would have to run slower than it
        can.
    """

    speed: float | None
    exact: float | None
    why_none: NoSpeed = ""


def quiet_speed(sources: SoundSources, allowed: float) -> QuietSpeed:
    """Fan speed at which the running unit is no louder than allowed.

    Parameters
    ----------
    sources : SoundSources
        Of the unit.
    allowed : float
        Sound power level of the whole unit. [dB(A)]

    Returns
    -------
    QuietSpeed
        n = 10^((L_allowed,fan - L_fan)/50), L_allowed,fan what the compressor leaves.
    """
    left = 10.0 ** ((allowed - float(identical(0.0, sources.sections))) / 10.0)
    if sources.compressor is not None:
        left -= 10.0 ** (sources.compressor / 10.0)
    if left <= 0.0:
        return QuietSpeed(None, None, "compressor")
    exact = 10.0 ** ((10.0 * math.log10(left) - sources.fan) / 50.0)
    speed = min(1.0, math.floor(exact * WHOLE) / WHOLE)
    if speed < FAN_SPEED_FLOOR:
        return QuietSpeed(None, exact, "too slow")
    return QuietSpeed(speed, exact)


@dataclass(frozen=True)
class QuietHours:
    """What the cooling section can do in some hours with the slowed fan.

    Parameters
    ----------
    series : HeatSeries
        All hours of the series, at one fan speed throughout.
    machine : Machine
        The unit at that fan speed.
    least : float or None
        Service headroom in the worst of the hours looked at; None where the capacity of one is unknown. [W]
    share : float or None
        Service headroom share of that hour, the least. [-]
    hour : int
        Index of that hour.
    short, unknown : int
        Hours short of capacity, those of unknown capacity among them; hours of unknown capacity.
    """

    series: HeatSeries
    machine: Machine
    least: float | None
    share: float | None
    hour: int
    short: int
    unknown: int


def quiet_hours(series: HeatSeries, machine: Machine, speed: float, mask: Mask) -> QuietHours:
    """Run a series again with the fan held at a speed, and look at some of its hours.

    Parameters
    ----------
    series : HeatSeries
        With the fan at full speed, shape (time,).
    machine : Machine
        The unit with its fan at full speed.
    speed : float
        Share of full speed. [-]
    mask : ndarray of bool, shape (time,)
        The hours, at least one.

    Returns
    -------
    QuietHours
        Headroom of an hour does not depend on the hours before it, so it makes no difference that the fan is
        slow in the other hours too.
    """
    slowed = machine.slowed(speed)
    again = run_series(series.surroundings.around(slowed), slowed)
    return least_of(again, slowed, mask)


def least_of(series: HeatSeries, machine: Machine, mask: Mask) -> QuietHours:
    """Least headroom of some hours of a series.

    Parameters
    ----------
    series : HeatSeries
        Shape (time,).
    machine : Machine
        With which it was run.
    mask : ndarray of bool, shape (time,)
        The hours, at least one.
    """
    room: Headroom = series.headroom
    unknown = int(np.count_nonzero(room.unknown & mask))
    hour = int(np.argmin(np.where(mask, room.share_bound, np.inf)))
    known = not np.isnan(room.service[mask]).any()
    return QuietHours(
        series=series,
        machine=machine,
        least=float(room.service[hour]) if known else None,
        share=float(room.share[hour]) if known else None,
        hour=hour,
        short=int(np.count_nonzero(room.short & mask)),
        unknown=unknown,
    )
