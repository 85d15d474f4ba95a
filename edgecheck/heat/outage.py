"""How long the servers run on when cooling is lost.

One node: C dT/dt = Q0 - k (T - T0), with k the envelope's conductance less the rise of IT power with
temperature, of either sign. The time to rise by dT is t = -(C/k) log1p(-k dT/Q0). Where servers throttle from a
temperature on, two such pieces follow each other.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.machine import Machine
from edgecheck.heat.one_node import Servers, course_after, net_heat, soonest, times_to
from edgecheck.heat.series import HeatSeries

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Rise:
    """The liquid without cooling, C dT/dt = Q0 - k (T - T0), with another k above a bend.

    Parameters
    ----------
    start : ndarray, shape (time,)
        T0. [degC]
    heat, conductance : ndarray, shape (time,)
        Net heat at the start; k there. [W], [W/K]
    conductance_above : ndarray, shape (time,)
        k above the bend. [W/K]
    capacity : float
        C. [J/K]
    bend : float
        Where servers begin to throttle; infinite where they never do. [degC]
    """

    start: FloatArray
    heat: FloatArray
    conductance: FloatArray
    conductance_above: FloatArray
    capacity: float
    bend: float

    def time_to(self, limit: float) -> FloatArray:
        """Time until the liquid is at a limit [degC]; 0 where it is there, infinite where it settles below. [s]"""
        seconds = np.empty_like(self.start)
        times_to(
            self.start, self.heat, self.conductance, self.conductance_above, self.capacity, self.bend, limit,
            seconds,
        )  # fmt: skip
        return seconds

    def at(self, hour: int) -> "Rise":
        """The rise of one hour, shape (1,)."""
        one = slice(hour, hour + 1)
        return Rise(
            self.start[one], self.heat[one], self.conductance[one], self.conductance_above[one], self.capacity,
            self.bend,
        )  # fmt: skip

    def soonest(self, limit: float) -> int:
        """Hour in which the liquid is the first to reach a limit [degC]; the first of equal ones."""
        return soonest(
            self.start, self.heat, self.conductance, self.conductance_above, self.capacity, self.bend, limit
        )

    def after(self, seconds: FloatArray) -> FloatArray:
        """Liquid temperature some times after the loss in the only hour; shape of `seconds`. [degC]"""
        liquid = np.empty_like(seconds)
        course_after(
            self.start, self.heat, self.conductance, self.conductance_above, self.capacity, self.bend, seconds,
            liquid,
        )  # fmt: skip
        return liquid


def rise_without_cooling(
    series: HeatSeries, machine: Machine, start: FloatArray, capacity: float, pump_heat: float
) -> Rise:
    """The liquid of every hour from some temperature on, servers running and nothing cooling it.

    Parameters
    ----------
    series : HeatSeries
        Shape (time,).
    machine : Machine
        The unit.
    start : ndarray, shape (time,)
        Liquid temperature at which it begins. [degC]
    capacity : float
        Heat capacity that takes part. [J/K]
    pump_heat : float
        Into the liquid; 0 where the pump stands. [W]

    Returns
    -------
    Rise
    """
    shell = series.surroundings.envelope
    heat, conductance, above = np.empty_like(start), np.empty_like(start), np.empty_like(start)
    net_heat(
        start, shell.total, shell.conductance, it_of(series, machine), pump_heat, servers_of(machine), heat,
        conductance, above,
    )  # fmt: skip
    return Rise(start, heat, conductance, above, capacity, machine.servers.bend)


def start_of(series: HeatSeries, machine: Machine) -> FloatArray:
    """Liquid when something fails: the upper edge of the control band, or the hour's own if it is warmer. [degC]"""
    return np.maximum(machine.setpoint + machine.band / 2.0, series.course.liquid)


def it_of(series: HeatSeries, machine: Machine) -> FloatArray:
    """Heat of servers and distribution at the setpoint in every hour, shape (time,). [W]"""
    share = series.load_share
    if isinstance(share, np.ndarray):
        return machine.it_heat * share
    return np.full(len(series.course.liquid), machine.it_heat * share)


def servers_of(machine: Machine) -> Servers:
    """The servers' power over temperature as compiled loops take it."""
    servers = machine.servers
    return servers.setpoint, servers.leakage, servers.bend, servers.slope_above, servers.shutdown
