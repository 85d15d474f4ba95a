"""Temperature of the liquid through a series of hours.

    C dT/dt = Q_load(T) - Q_cool,   still share * Q_cap(T) <= Q_cool <= Q_cap(T)

The still share is what a coil without a bypass passes with its fans off, whether it is wanted or not; it is 0 for
every other machine. The control holds the setpoint when it can. Weather is constant within an hour, capacity and
load are piecewise linear in T: between events the solution is an exponential, and every event (setpoint reached or
left, knot of the capacity crossed, limit opened or closed, shutdown, restart) is located in closed form. No time
step is chosen anywhere. Hours in which the control simply holds the setpoint are passed over in one look.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.curve import NONE, CoolingCurve
from edgecheck.heat.headroom import HeatLoad

FloatArray = NDArray[np.float64]

HOUR = 3600.0
_NEAR = 1e-9  # K, within which two temperatures are the same
_MAX_EVENTS = 5000  # in one hour; minutes-long delays allow some dozens


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


class _State:
    """Temperature, servers, machine: carried from hour to hour."""

    __slots__ = ("delay", "lowest_on", "on", "running", "stops", "temperature", "tripped", "trips")

    def __init__(self, temperature: float) -> None:
        self.temperature = temperature
        self.on = True
        self.running = True
        self.tripped = False
        self.delay = 0.0
        self.lowest_on = temperature
        self.trips = 0
        self.stops = 0


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
    hours = len(load.at_setpoint)
    if np.isnan(load.at_setpoint).any() or np.isnan(curve.capacity).any():
        raise ValueError("an hour without weather has no heat balance")
    setpoint = bath.setpoint
    liquid = np.full(hours, setpoint)
    peak = np.full(hours, setpoint)
    lowest = np.full(hours, setpoint)
    servers_off = np.zeros(hours)
    held = load.at_setpoint * HOUR
    cooled, loaded = held.copy(), held.copy()

    allowed = curve.allowed_at(setpoint)
    capacity = np.where(allowed, curve.capacity_at(setpoint), 0.0)
    least = np.maximum(0.0, curve.still_share * curve.capacity_at(setpoint))
    steady = allowed & (load.at_setpoint >= least) & (load.at_setpoint <= capacity)
    eventful = np.flatnonzero(~steady)

    state = _State(setpoint if start is None else float(start))
    hour = 0
    while hour < hours:
        at_rest = state.on and not state.tripped and state.delay == 0.0 and state.temperature == setpoint
        if at_rest and steady[hour]:
            position = int(np.searchsorted(eventful, hour))
            if position == len(eventful):
                break
            hour = int(eventful[position])
            continue
        segment = _Hour(curve, load, bath, hour)
        segment.run(state)
        liquid[hour] = state.temperature
        peak[hour], lowest[hour] = segment.peak, segment.lowest
        servers_off[hour] = segment.servers_off
        cooled[hour], loaded[hour] = segment.cooled, segment.loaded
        hour += 1
    return LiquidCourse(
        liquid=liquid,
        peak=peak,
        lowest=lowest,
        lowest_on=state.lowest_on,
        servers_off=servers_off,
        cooled=cooled,
        loaded=loaded,
        trips=state.trips,
        stops=state.stops,
    )


class _Hour:
    """One hour with constant weather, walked from event to event."""

    def __init__(self, curve: CoolingCurve, load: HeatLoad, bath: Bath, hour: int) -> None:
        self.bath = bath
        self.knots: list[float] = curve.knots[:, hour].tolist()
        self.capacities: list[float] = curve.capacity[:, hour].tolist()
        self.still = curve.still_share
        self.trip = float(curve.trip[hour])
        self.locked = int(curve.locked[hour]) != NONE
        self.load_on = (float(load.at_setpoint[hour]), float(load.slope[hour]))
        self.load_off = (float(load.at_setpoint_off[hour]), float(load.slope_off[hour]))
        self.peak = -math.inf
        self.lowest = math.inf
        self.servers_off = 0.0
        self.cooled = 0.0
        self.loaded = 0.0

    def run(self, state: _State) -> None:
        """Advance the state by one hour."""
        left = HOUR
        self._note(state)
        for _ in range(_MAX_EVENTS):
            if left <= 0.0:
                return
            available = self._available(state)
            self._switch_servers(state, available)
            left -= self._step(state, available, left)
            self._note(state)
        raise ArithmeticError("the liquid balance of an hour does not end")

    def _note(self, state: _State) -> None:
        temperature = state.temperature
        self.peak = max(self.peak, temperature)
        self.lowest = min(self.lowest, temperature)
        if state.on:
            state.lowest_on = min(state.lowest_on, temperature)

    def _available(self, state: _State) -> bool:
        """Whether the machine runs if asked; one that runs into the open pressure switch is stopped by it."""
        ready = self._ready(state)
        if ready and state.temperature > self.trip + _NEAR:
            if state.running:
                self._open_switch(state)
            ready = False
        state.running = ready
        return ready

    def _ready(self, state: _State) -> bool:
        """Whether no limit but the pressure switch's own holds the machine."""
        if self.locked:
            return False
        if state.tripped:
            if state.delay > 0.0 or state.temperature > self.trip - _NEAR:
                return False
            state.tripped = False
        return True

    def _open_switch(self, state: _State) -> None:
        state.tripped = True
        state.trips += 1
        state.delay = max(state.delay, self.bath.trip_delay)

    def _switch_servers(self, state: _State, available: bool) -> None:
        if state.on and state.temperature >= self.bath.shutdown - _NEAR:
            state.on = False
            state.stops += 1
        elif not state.on and available and state.temperature < self.bath.restart:
            state.on = self._capacity(state.temperature, rising=True)[0] > 0.0

    def _capacity(self, temperature: float, *, rising: bool) -> tuple[float, float]:
        """Capacity and its slope on the side that the liquid moves to."""
        knots, values = self.knots, self.capacities
        for k in range(len(knots) - 1):
            inside = (
                knots[k] - _NEAR <= temperature < knots[k + 1] - _NEAR
                if rising
                else knots[k] + _NEAR < temperature <= knots[k + 1] + _NEAR
            )
            if inside:
                slope = (values[k + 1] - values[k]) / (knots[k + 1] - knots[k])
                return values[k] + slope * (temperature - knots[k]), slope
        return (values[0], 0.0) if temperature <= knots[0] + _NEAR else (values[-1], 0.0)

    def _passed(self, temperature: float, share: float, heat: float) -> tuple[float, float]:
        """Heat taken out at a share of the capacity, and its slope on the side that the liquid moves to."""
        if share == 0.0:
            return 0.0, 0.0
        cool, slope = self._capacity(temperature, rising=True)
        if heat < share * cool:
            cool, slope = self._capacity(temperature, rising=False)
        return share * cool, share * slope

    def _step(self, state: _State, available: bool, left: float) -> float:
        """Move to the next event, the end of the delay or the end of the hour; the time it took."""
        setpoint = self.bath.setpoint
        temperature = state.temperature
        base, slope = self.load_on if state.on else self.load_off
        heat = base + slope * (temperature - setpoint)
        limit = left if state.delay <= 0.0 else min(left, state.delay)

        share = self.still
        if available and temperature >= setpoint - _NEAR:
            share = 1.0
            if temperature <= setpoint + _NEAR:
                state.temperature = temperature = setpoint
                most = self._capacity(setpoint, rising=True)[0]
                if max(0.0, self.still * most) <= base <= most:
                    return self._spend(state, limit, base * limit, base * limit)
                share = 1.0 if base > most else self.still
        cool, cool_slope = self._passed(temperature, share, heat)
        rate = heat - cool
        growth = slope - cool_slope
        target = self._next_event(state, available, rate)
        reach = _time_to(target - temperature, rate, growth, self.bath.heat_capacity)
        taken = min(reach, limit)
        moved, area = _advance(rate, growth, taken, self.bath.heat_capacity)
        state.temperature = target if taken == reach else temperature + moved
        if taken == reach and available and rate > 0.0 and abs(target - self.trip) <= _NEAR:
            self._open_switch(state)
            # the delay of a switch that opens at the end of this step starts there
            state.delay += taken
        return self._spend(state, taken, heat * taken + slope * area, cool * taken + cool_slope * area)

    def _next_event(self, state: _State, available: bool, rate: float) -> float:
        """Next temperature in the direction of travel at which something changes."""
        marks = [self.bath.setpoint, *self.knots]
        if available:
            marks.append(self.trip)
        else:
            marks.append(self.trip - 2.0 * _NEAR)
        marks.append(self.bath.shutdown if state.on else self.bath.restart - 2.0 * _NEAR)
        temperature = state.temperature
        if rate > 0.0:
            return min((mark for mark in marks if mark > temperature + _NEAR), default=math.inf)
        if rate < 0.0:
            return max((mark for mark in marks if mark < temperature - _NEAR), default=-math.inf)
        return math.inf

    def _spend(self, state: _State, taken: float, loaded: float, cooled: float) -> float:
        if not state.on:
            self.servers_off += taken
        state.delay = max(0.0, state.delay - taken)
        self.loaded += loaded
        self.cooled += cooled
        return taken


def _time_to(distance: float, rate: float, growth: float, capacity: float) -> float:
    """Time until T has moved by `distance` under C dT/dt = rate + growth (T - T0); infinite where it never does."""
    if rate == 0.0 or math.isinf(distance):
        return math.inf
    ratio = growth * distance / rate
    if ratio <= -1.0:
        return math.inf
    if abs(ratio) < 1e-9:
        return capacity * distance / rate
    return capacity / growth * math.log1p(ratio)


def _advance(rate: float, growth: float, time: float, capacity: float) -> tuple[float, float]:
    """Change of T after `time`, and the integral of that change over it [K], [K s]."""
    exponent = growth * time / capacity
    if abs(exponent) < 1e-7:
        return rate * time / capacity, rate * time * time / (2.0 * capacity)
    moved = rate / growth * math.expm1(exponent)
    area = rate / growth * (capacity / growth * math.expm1(exponent) - time)
    return moved, area
