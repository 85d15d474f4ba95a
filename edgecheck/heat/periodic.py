"""A day that repeats itself: a design day run again and again until nothing changes from day to day.

In: surroundings of one day, the machine. Out: the course of the liquid over a day that ends as it began. The balance is
marched through more and more equal days, with all that it carries from one to the next (stopped servers, an open
switch), until the liquid's course differs by less than 1e-7 K from that of the day before.
"""

from dataclasses import dataclass, replace

import numpy as np

from edgecheck.heat.balance import LiquidCourse, march
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import Surroundings, cooling_curve, heat_load_of

CHANGE_K = 1e-7
DAYS = (2, 8, 32, 128, 400)


@dataclass(frozen=True)
class Settling:
    """How a day that repeats comes to rest.

    Parameters
    ----------
    days : int
        Days that were run, from the setpoint on.
    change : float
        Greatest difference of the liquid's course between the last two. [K]
    settled : bool
        Whether they are the same: False where the days keep differing.
    """

    days: int
    change: float
    settled: bool


def settled_day(around: Surroundings, machine: Machine) -> tuple[LiquidCourse, Settling]:
    """Run a day until it repeats itself.

    Parameters
    ----------
    around : Surroundings
        Of one whole day from midnight, shape (24,).
    machine : Machine
        The unit with its IT load.

    Returns
    -------
    course : LiquidCourse
        Of the last day, shape (24,); trips, stops and the lowest temperature with servers on are those of all days.
    settling : Settling
        How many days that took.
    """
    curve = cooling_curve(around, machine)
    load = heat_load_of(around.envelope.total, around.envelope.conductance, machine)
    hours = len(load.at_setpoint)
    days, change = 0, np.inf
    for days in DAYS:
        repeated = np.tile(np.arange(hours), days)
        course = march(curve.window(repeated), load.window(repeated), machine.bath)
        before, last = (course.liquid[-2 * hours : -hours], course.liquid[-hours:])
        change = float(np.max(np.abs(last - before)))
        if change < CHANGE_K:
            break
    one = slice(-hours, None)
    day = replace(
        course,
        liquid=course.liquid[one],
        peak=course.peak[one],
        lowest=course.lowest[one],
        servers_off=course.servers_off[one],
        cooled=course.cooled[one],
        loaded=course.loaded[one],
    )
    return day, Settling(days, change, change < CHANGE_K)
