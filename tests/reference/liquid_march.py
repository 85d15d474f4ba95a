"""Liquid temperature of the reference model through the hours, and after loss of cooling, by `solve_ivp`.

Each stretch between two events is integrated with terminal events, steps of 60 s at most, tolerances 1e-8.

Conventions, where a sentence leaves more than one reading
----------------------------------------------------------
12. Control is an ideal thermostat that sees the liquid only: above the setpoint the machine runs at full
    capacity even when the net load is negative (servers off, cold night), at the setpoint it passes exactly
    the load, below it nothing. "No cooling when the load is not positive" therefore acts at the setpoint.
13. `delay_after="trip"`: a trip is the opening of the condensing limit while the machine was available,
    inside an hour or at its start; the machine returns when the restart delay since the trip has passed and
    no limit is open. The two inlet limits close and open without a delay.
    `delay_after="any limit"`: the delay also runs from the end of an hour barred by an inlet limit, and the
    condensing limit trips whenever it is found open, also if the machine was not available then.
    Either way a machine that has tripped does not trip again before it has been available.
14. In an hour beyond the rating table the march has no cooling (`beyond="none"`) or the last column's
    (`beyond="last-column"`).
15. The condensing limit is tested at the full capacity of that liquid temperature, also while holding.
16. "Capacity available" for a restart of the servers means: no limit open, and not waiting for the delay.
    Servers restart at once when that and the temperature below `restart_c` hold together.
17. After loss of cooling the envelope is linear about the setpoint, as it is everywhere else.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp

from tests.reference.model import Conditions, Unit, capacity, condensing
from tests.reference.service import beyond_table, closed_by, envelope, it_heat, load

HOUR = 3600.0
SAME = 1e-7  # K: nearer than this to the setpoint is at the setpoint


@dataclass(frozen=True)
class Marched:
    """One hour of the march. Energies in J, times in s."""

    end: float
    highest: float
    lowest: float
    cooled: float
    produced: float
    servers_off: float
    trips: int


Event = Callable[[float, np.ndarray], float]


def crossing(value: Callable[[float], float], direction: int) -> Event:
    """A terminal event for `solve_ivp` on a function of the liquid temperature."""

    def event(_: float, state: np.ndarray) -> float:
        return value(float(state[0]))

    event.terminal = True  # type: ignore[attr-defined]
    event.direction = direction  # type: ignore[attr-defined]
    return event


def stretch(
    rate: Callable[[float], float],
    cooling: Callable[[float], float],
    t: float,
    seconds: float,
    events: dict[str, Event],
) -> tuple[float, float, float, str | None]:
    """Integrate until an event or the end; time used, temperature, heat taken out, event."""
    solution = solve_ivp(
        lambda _, state: [rate(float(state[0])), cooling(float(state[0]))],
        (0.0, seconds),
        [t, 0.0],
        max_step=60.0,
        rtol=1e-8,
        atol=[1e-8, 1e-2],
        events=list(events.values()) or None,
    )
    if solution.status < 0:
        raise ArithmeticError(solution.message)
    name = None
    if solution.status == 1:
        name = next(key for key, times in zip(events, solution.t_events, strict=True) if len(times))
    return float(solution.t[-1]), float(solution.y[0, -1]), float(solution.y[1, -1]), name


class March:
    """The bath, its servers and its machine, carried from hour to hour."""

    def __init__(
        self, unit: Unit, density: float, cp: float, beyond: str = "none", delay_after: str = "trip"
    ) -> None:
        if beyond not in ("none", "last-column") or delay_after not in ("trip", "any limit"):
            raise ValueError(beyond, delay_after)
        self.unit, self.cp, self.beyond, self.delay_after = unit, cp, beyond, delay_after
        self.heat_capacity = unit.volume * density * cp + unit.servers_capacity
        self.t = unit.setpoint
        self.servers = True
        self.available = True
        self.tripped = False
        self.ready = -math.inf
        self.clock = 0.0

    def reason(self, now: Conditions, t: float) -> str | None:
        """Why there is no cooling at a liquid temperature, the restart delay set aside."""
        why = closed_by(now, self.unit, t, self.cp)
        if why is None and self.beyond == "none" and beyond_table(now, self.unit):
            return "beyond-table"
        return why

    def over(self, now: Conditions, t: float) -> float:
        """Condensing temperature above its limit."""
        t_cond = condensing(self.unit, t, now.t_in, now.t_eq, now.factor, self.cp)
        return t_cond - self.unit.condensing_limit

    def look(self, now: Conditions) -> int:
        """Bring machine and servers up to date at this moment; 1 if the machine tripped just now."""
        why = self.reason(now, self.t)
        if why in ("inlet-low", "inlet-high") and self.delay_after == "any limit":
            hour_end = (math.floor(self.clock / HOUR + 1e-9) + 1.0) * HOUR  # they change with the hour only
            self.ready = max(self.ready, hour_end + self.unit.restart_delay)
        can_trip = self.available if self.delay_after == "trip" else not self.tripped
        trips = why == "condensing" and can_trip
        if trips:
            self.tripped = True
            self.ready = max(self.ready, self.clock + self.unit.restart_delay)
        self.available = why is None and self.clock >= self.ready
        self.tripped = self.tripped and not self.available
        if not self.servers and self.available and self.t < self.unit.restart:
            self.servers = True
        return int(trips)

    def hour(self, now: Conditions) -> Marched:
        """March through one hour of constant conditions."""
        unit, end = self.unit, self.clock + HOUR
        seen, cooled, produced, off, trips = [self.t], 0.0, 0.0, 0.0, 0
        for _ in range(1000):
            if end - self.clock < 1e-6:
                break
            trips += self.look(now)
            before, servers = self.t, self.servers
            used, heat, event = self.step(now, end - self.clock)
            cooled += heat
            produced += self.heat_capacity * (self.t - before) + heat
            off += 0.0 if servers else used
            self.clock += used
            seen.append(self.t)
            if event == "shutdown":
                self.servers = False
            elif event == "restart":
                self.servers = True
            elif event == "trip":
                trips += 1
                self.available, self.tripped = False, True
                self.ready = self.clock + unit.restart_delay
        else:
            raise ArithmeticError("more than 1000 events in an hour")
        self.clock = end
        return Marched(self.t, max(seen), min(seen), cooled, produced, off, trips)

    def step(self, now: Conditions, seconds: float) -> tuple[float, float, str | None]:
        """One stretch of unchanged state; time used, heat taken out, event."""
        unit, servers = self.unit, self.servers
        at_set = abs(self.t - unit.setpoint) < SAME
        if at_set:
            self.t = unit.setpoint

        def heating(t: float) -> float:
            return load(now, unit, t, servers)

        def full(t: float) -> float:
            return capacity(unit, t, now.t_eq, self.cp)

        need = heating(unit.setpoint)
        if at_set and self.available and 0.0 <= need <= full(unit.setpoint):
            return seconds, need * seconds, None
        runs = self.available and (need > 0.0 if at_set else self.t > unit.setpoint)

        def cooling(t: float) -> float:
            return full(t) if runs else 0.0

        events = {}
        if runs:
            events["setpoint"] = crossing(lambda t: t - unit.setpoint, -1)
            events["trip"] = crossing(lambda t: self.over(now, t), +1)
            if not servers:
                events["restart"] = crossing(lambda t: t - unit.restart, -1)
        elif self.available:
            events["setpoint"] = crossing(lambda t: t - unit.setpoint, +1)
        else:
            seconds = min(seconds, max(1e-3, self.ready - self.clock)) if self.ready > self.clock else seconds
            if self.reason(now, self.t) == "condensing":
                events["limit closes"] = crossing(lambda t: self.over(now, t), -1)
        if servers:
            events["shutdown"] = crossing(lambda t: t - unit.shutdown, +1)
        used, self.t, heat, event = stretch(
            lambda t: (heating(t) - cooling(t)) / self.heat_capacity, cooling, self.t, seconds, events
        )
        if event == "setpoint":
            self.t = unit.setpoint
        elif event == "limit closes":
            self.t -= 1e-9  # off the root, so that the limit is seen closed
        elif event == "trip":
            self.t += 1e-9  # and open
        return used, heat, event


def march(
    hours: list[Conditions],
    unit: Unit,
    density: float,
    cp: float,
    beyond: str = "none",
    delay_after: str = "trip",
) -> list[Marched]:
    """March from the setpoint through hours one after the other."""
    bath = March(unit, density, cp, beyond, delay_after)
    return [bath.hour(now) for now in hours]


def ride_through(
    now: Conditions, unit: Unit, density: float, cp: float, t_start: float, t_end: float, pump_runs: bool
) -> float:
    """Minutes from a liquid temperature to another after loss of cooling; infinite if it settles below.

    With the pump running the whole liquid takes part, without it `natural_share` of it; hardware always.
    """
    if t_start >= t_end:
        return 0.0
    share = 1.0 if pump_runs else unit.natural_share
    heat_capacity = share * unit.volume * density * cp + unit.servers_capacity
    pump = unit.pump_heat if pump_runs else 0.0

    def heating(t: float) -> float:
        return it_heat(now, unit, t) * (1.0 + unit.loss) + pump + envelope(now, unit, t)

    least = min(heating(t_start), heating(t_end))  # linear in t, so the least is at an end
    if least <= 0.0:
        return math.inf
    longest = 2.0 * heat_capacity * (t_end - t_start) / least
    ends = {"end": crossing(lambda t: t - t_end, +1)}
    seconds, _, _, event = stretch(
        lambda t: heating(t) / heat_capacity, lambda t: 0.0, t_start, longest, ends
    )
    if event is None:
        raise ArithmeticError("the end was not reached although heat is positive all the way")
    return seconds / 60.0
