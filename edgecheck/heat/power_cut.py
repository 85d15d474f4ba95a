"""A short power cut: how warm the liquid gets before cooling is back.

While power is off the servers are cold and the pump stands: only the shell's heat moves the liquid. When it
returns the servers draw the hour's load at once, and the cooling section comes after its controller and restart
delay. One node, closed form.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.machine import Machine
from edgecheck.heat.one_node import short_cuts
from edgecheck.heat.outage import it_of, servers_of, start_of
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
    return _worse_of(series, machine, seconds, seconds)[0]


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
    return _worse_of(series, machine, 0.0, LONGEST_SHORT_CUT)


def _worse_of(
    series: HeatSeries, machine: Machine, short: float, lasting: float
) -> tuple[PowerCut, NDArray[np.bool_]]:
    """The worse of two lengths [s], and where that is the longer one."""
    machine = machine.uncooled()
    shell, start = series.surroundings.envelope, start_of(series, machine)
    at_return, peak, longer = np.empty_like(start), np.empty_like(start), np.empty(len(start), dtype=np.bool_)
    short_cuts(
        start, shell.total, shell.conductance, it_of(series, machine), machine.pump_heat, servers_of(machine),
        machine.bath.heat_capacity, short, lasting, machine.restart_delay, at_return, peak, longer,
    )  # fmt: skip
    return PowerCut(start, at_return, peak), longer
