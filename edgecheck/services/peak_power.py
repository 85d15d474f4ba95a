"""Power of the unit with the compressor on: what a feed must carry, hour by hour.

In: a heat series, the machine. Out: power of servers, pump and cooling section in every hour. A machine that
switches on and off draws its full power for minutes at a time, so the mean of an hour says nothing about a feed:
nothing here is weighted with the time that the compressor runs.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class PeakPower:
    """Power of every hour with the compressor on.

    Parameters
    ----------
    servers : ndarray, shape (time,)
        At the box's terminals, with the loss of distribution. [W]
    pump : float
        [W]
    cooling : ndarray, shape (time,)
        Cooling section at full capacity: compressor and fan. Past the rating table that of its last column. [W]
    liquid : ndarray, shape (time,)
        At which the rating table is read. [degC]
    unknown : ndarray of bool, shape (time,)
        Hours past the rating table: nobody has stated the power.
    """

    servers: FloatArray
    pump: float
    cooling: FloatArray
    liquid: FloatArray
    unknown: NDArray[np.bool_]


def peak_power(series: HeatSeries, machine: Machine) -> PeakPower:
    """Power of every hour with the compressor on.

    Parameters
    ----------
    series : HeatSeries
        Shape (time,).
    machine : Machine
        The unit at the site's IT load.

    Returns
    -------
    PeakPower
        P_IT (1 + loss) (1 + leakage (T - setpoint)) at the hour's load, P_pump and P_cooling(T_eq, T) at the hour's
        warmest liquid T, at least the setpoint, below which the compressor does not run; standby of sections that are
        not in service. The heater for a start in winter is not in it: it is on only before servers and compressor
        start.
    """
    liquid = np.maximum(series.course.peak, machine.setpoint)
    servers = machine.servers
    # servers that throttle draw most at the alarm, which the liquid passes on its way up
    warmest = np.minimum(liquid, servers.bend) if servers.throttles else liquid
    return PeakPower(
        servers=machine.it_heat * series.load_share * servers.factor(warmest),
        pump=machine.pump_power,
        cooling=series.curve.power_at(liquid) + machine.idle_power,
        liquid=liquid,
        unknown=series.headroom.unknown,
    )
