"""Temperature of the liquid through a series of hours.

    C dT/dt = Q_load(T) - Q_cool,   still share * Q_cap(T) <= Q_cool <= Q_cap(T)

The still share is what a coil without a bypass passes with its fans off, whether it is wanted or not; it is 0 for
every other machine. The control holds the setpoint when it can. Weather is constant within an hour, capacity and
load are piecewise linear in T: between events the solution is an exponential, and every event (setpoint reached or
left, knot of the capacity crossed, limit opened or closed, servers throttling, shutdown, restart) is located in closed
form. No time step is chosen anywhere.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.balance_kernel import HOUR, Control, follow
from edgecheck.heat.curve import NONE, CoolingCurve, by_hour, in_columns
from edgecheck.heat.headroom import HeatLoad

FloatArray = NDArray[np.float64]

__all__ = ["HOUR", "Bath", "LiquidCourse", "march"]


@dataclass(frozen=True)
class Bath:
    """Liquid, servers and control as the balance sees them.

    Parameters
    ----------
    heat_capacity : float
        Of liquid, hardware and tank. [J/K]
    setpoint, shutdown, restart : float
        Held by the control; servers stop; servers start again below it. [degC]
    trip_delay : float
        From an opening of the pressure switch to the machine's return: the restart delay, or the hours until a
        visit where the switch is reset by hand. Ambient limits bar the machine for whole hours, which outlast
        a restart delay. [s]
    """

    heat_capacity: float
    setpoint: float
    shutdown: float
    restart: float
    trip_delay: float


@dataclass(frozen=True)
class LiquidCourse:
    """What the liquid did.

    Parameters
    ----------
    liquid : ndarray, shape (time,)
        At the end of each hour. [degC]
    peak, lowest : ndarray, shape (time,)
        Within each hour, without the control band. [degC]
    lowest_on : float
        Lowest with the servers running. [degC]
    servers_off : ndarray, shape (time,)
        Time with servers stopped. [s]
    cooled, loaded : ndarray, shape (time,)
        Heat removed by the cooling section; heat put in. [J]
    trips : int
        Openings of the pressure switch.
    stops : int
        Shutdowns of the servers.
    """

    liquid: FloatArray
    peak: FloatArray
    lowest: FloatArray
    lowest_on: float
    servers_off: FloatArray
    cooled: FloatArray
    loaded: FloatArray
    trips: int
    stops: int


def march(curve: CoolingCurve, load: HeatLoad, bath: Bath, start: float | None = None) -> LiquidCourse:
    """Follow the liquid through all hours.

    Parameters
    ----------
    curve : CoolingCurve
        Capacity and limits, shape (time,). Past the table the last column's capacity is used: the course is
        then the coolest that is possible.
    load : HeatLoad
        Heat to reject, shape (time,).
    bath : Bath
        Liquid and control.
    start : float, optional
        First liquid temperature, the setpoint if not given. [degC]

    Returns
    -------
    LiquidCourse

    Raises
    ------
    ArithmeticError
        If an hour does not come to an end within thousands of events.
    ValueError
        If the heat to reject or the capacity of an hour is not a number: no temperature follows from there on.
    """
    if np.isnan(np.min(load.at_setpoint)) or np.isnan(np.min(curve.capacity)):
        raise ValueError("an hour without weather has no heat balance")
    course, lowest_on, trips, stops, ends = follow(
        in_columns(curve.knots), by_hour(curve.capacity), curve.capacity_at(bath.setpoint),
        curve.trip, curve.locked == NONE,
        load.at_setpoint, load.slope, load.slope if load.slope_above is None else load.slope_above,
        load.at_setpoint_off, load.slope_off,
        Control(
            bath.heat_capacity, bath.setpoint, bath.shutdown, bath.restart, bath.trip_delay,
            curve.still_share, load.bend,
        ),
        bath.setpoint if start is None else float(start),
    )  # fmt: skip
    if not ends:
        raise ArithmeticError("the liquid balance of an hour does not end")
    liquid, peak, lowest, servers_off, cooled, loaded = course
    return LiquidCourse(
        liquid=liquid,
        peak=peak,
        lowest=lowest,
        lowest_on=lowest_on,
        servers_off=servers_off,
        cooled=cooled,
        loaded=loaded,
        trips=trips,
        stops=stops,
    )
