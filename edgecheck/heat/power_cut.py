"""A short power cut: how warm the liquid gets before cooling is back.

While power is off the servers are cold and the pump stands: only the shell's heat moves the liquid. When it
returns the servers draw the hour's load at once, and the cooling section comes after its controller and restart
delay. One node, closed form.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.machine import Machine
from edgecheck.heat.outage import Rise, temperature_after
from edgecheck.heat.series import HeatSeries

FloatArray = NDArray[np.float64]

LONGEST_SHORT_CUT = 3600.0  # s, engineering default: what switching in the network takes to restore a feeder


@dataclass(frozen=True)
class PowerCut:
    """A power cut of some length in every hour of a series.

    Parameters
    ----------
    start, at_return, peak : ndarray, shape (time,)
        Liquid temperature when power goes, when it returns, and the highest until cooling is back. [degC]
    """

    start: FloatArray
    at_return: FloatArray
    peak: FloatArray


def power_cut(series: HeatSeries, machine: Machine, seconds: float) -> PowerCut:
    """Follow a short power cut in every hour of a series.

    Parameters
    ----------
    series : HeatSeries
        Shape (time,).
    machine : Machine
        The unit.
    seconds : float
        Length of the cut; 0 for a momentary one. [s]

    Returns
    -------
    PowerCut
        The start is the greater of the upper edge of the control band and the hour's own liquid temperature.
    """
    machine = machine.uncooled()
    shell = series.surroundings.envelope
    capacity = machine.bath.heat_capacity
    start = np.maximum(machine.setpoint + machine.band / 2.0, series.course.liquid)
    idle = shell.total - shell.conductance * (start - machine.setpoint)
    back = temperature_after(start, idle, shell.conductance, capacity, seconds)
    it, servers = machine.it_heat * series.load_share, machine.servers
    rest = machine.pump_heat + shell.total - shell.conductance * (back - machine.setpoint)
    rise = Rise(
        start=back,
        heat=it * servers.factor(back) + rest,
        conductance=shell.conductance - it * machine.leakage,
        capacity=capacity,
        bend=servers.bend,
        conductance_above=shell.conductance - it * servers.slope_above if servers.throttles else None,
    )
    end = rise.after(machine.restart_delay)
    return PowerCut(start, back, np.maximum(np.maximum(start, back), end))


def worst_cut(series: HeatSeries, machine: Machine) -> tuple[PowerCut, NDArray[np.bool_]]:
    """The worse of a momentary cut and one of an hour, for every hour of a series.

    In steady weather the liquid without power moves one way only, so no length between the two is worse: in cold
    air it cools and the momentary cut is the worse, in hot air and sun the long one.

    Parameters
    ----------
    series : HeatSeries
        Shape (time,).
    machine : Machine
        The unit.

    Returns
    -------
    cut : PowerCut
    lasting : ndarray of bool, shape (time,)
        Where the longer cut is the worse.
    """
    short, lasting = power_cut(series, machine, 0.0), power_cut(series, machine, LONGEST_SHORT_CUT)
    longer = lasting.peak > short.peak
    return PowerCut(
        short.start,
        np.where(longer, lasting.at_return, short.at_return),
        np.where(longer, lasting.peak, short.peak),
    ), longer
