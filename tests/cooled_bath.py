"""A bath followed by scipy's solver, one event at a time: an oracle that shares no formula with `balance.march`."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp

from edgecheck.heat.balance import Bath
from edgecheck.heat.headroom import HeatLoad

SAME = 1e-7


@dataclass(frozen=True)
class Machinery:
    """A cooling section: heat at a liquid temperature by hour, still-air share, whether air lets it run, trip."""

    heat: Callable[[int], Callable[[float], float]]
    still: float
    allowed: Callable[[int], bool]
    trip: Callable[[int], float] = lambda hour: math.inf


def follow(machinery: Machinery, load: HeatLoad, bath: Bath, hours: int) -> tuple[np.ndarray, int]:
    """Liquid at the end of each hour, and how often the servers stopped."""
    temperature, on, stops = bath.setpoint, True, 0
    ready_at, tripped = -1.0, False
    found = []
    for hour in range(hours):
        t, end = 3600.0 * hour, 3600.0 * (hour + 1)
        most, trip, allowed = machinery.heat(hour), machinery.trip(hour), machinery.allowed(hour)

        def gain(T: float, on: bool, hour: int = hour) -> float:
            at, slope = (load.at_setpoint, load.slope) if on else (load.at_setpoint_off, load.slope_off)
            return float(at[hour] + slope[hour] * (T - bath.setpoint))

        while t < end - 1e-7:
            if allowed and not tripped and temperature > trip + 1e-8:
                tripped, ready_at = True, t + bath.trip_delay
            if tripped and t >= ready_at - 1e-7 and temperature < trip - 1e-8:
                tripped = False
            ready = allowed and not tripped
            if on and temperature >= bath.shutdown - SAME:
                on, stops = False, stops + 1
            elif not on and ready and temperature < bath.restart and most(temperature) > 0.0:
                on = True
            share = machinery.still
            if ready and temperature > bath.setpoint + SAME:
                share = 1.0
            elif ready and abs(temperature - bath.setpoint) <= SAME:
                asked, full = gain(bath.setpoint, on), most(bath.setpoint)
                if max(0.0, machinery.still * full) <= asked <= full:
                    temperature, t = bath.setpoint, end
                    continue
                share = 1.0 if asked > full else machinery.still

            def rate(_: float, y: np.ndarray, share: float = share, on: bool = on, most=most) -> list[float]:  # type: ignore[no-untyped-def]
                return [(gain(y[0], on) - share * most(y[0])) / bath.heat_capacity]

            marks = [
                mark for mark in (bath.setpoint, bath.shutdown if on else bath.restart, trip) if mark < 1e6
            ]
            events = []
            for mark in marks:
                if abs(temperature - mark) > 1e-6:
                    event = lambda _, y, mark=mark: y[0] - mark  # noqa: E731
                    event.terminal = True  # type: ignore[attr-defined]
                    events.append(event)
            stop = min(end, ready_at) if tripped and ready_at > t + 1e-7 else end
            solved = solve_ivp(
                rate, (t, stop), [temperature], events=events, max_step=300.0, rtol=1e-8, atol=1e-8
            )
            rising = solved.y[0, -1] > temperature
            t, temperature = float(solved.t[-1]), float(solved.y[0, -1])
            for mark in marks:
                if abs(temperature - mark) < 1e-6:
                    temperature = mark
            if temperature == trip:
                temperature += 2e-8 if rising else -2e-8
            if not on and temperature == bath.restart:
                temperature -= 2e-8
        found.append(temperature)
    return np.array(found), stops
