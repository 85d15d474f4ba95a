"""The liquid followed from event to event through all hours; see `balance.py`."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]
Mask = NDArray[np.bool_]

HOUR = 3600.0
_NEAR = 1e-9  # K, within which two temperatures are the same
_MAX_EVENTS = 5000  # in one hour; minutes-long delays allow some dozens

LIQUID, PEAK, LOWEST, SERVERS_OFF, COOLED, LOADED = range(6)


class Control(NamedTuple):
    """What is the same in all hours: [J/K], [degC], [degC], [degC], [s], [-], [degC]."""

    heat_capacity: float
    setpoint: float
    shutdown: float
    restart: float
    trip_delay: float
    still_share: float
    bend: float


@kernel
def _load(
    liquid: float,
    rising: bool,
    on: bool,
    base: float,
    slope: float,
    slope_above: float,
    setpoint: float,
    bend: float,
) -> tuple[float, float]:
    """Heat to reject and its slope on the side that the liquid moves to. [W], [W/K]"""
    if on and liquid > bend + (-_NEAR if rising else _NEAR):
        at_bend = base + slope * (bend - setpoint)
        return at_bend + slope_above * (liquid - bend), slope_above
    return base + slope * (liquid - setpoint), slope


@kernel
def _capacity(
    knots: FloatArray, values: FloatArray, hour: int, liquid: float, rising: bool
) -> tuple[float, float]:
    """Capacity and its slope on the side that the liquid moves to. [W], [W/K]"""
    step = 1 if knots.shape[1] == values.shape[1] else 0
    last = len(knots) - 1
    for k in range(last):
        low, high = knots[k, hour * step], knots[k + 1, hour * step]
        ahead = low - _NEAR <= liquid < high - _NEAR
        behind = low + _NEAR < liquid <= high + _NEAR
        if ahead if rising else behind:
            slope = (values[k + 1, hour] - values[k, hour]) / (high - low)
            return values[k, hour] + slope * (liquid - low), slope
    return values[0 if liquid <= knots[0, hour * step] + _NEAR else last, hour], 0.0


@kernel
def _passed(
    knots: FloatArray, values: FloatArray, hour: int, liquid: float, share: float, heat: float
) -> tuple[float, float]:
    """Heat taken out at a share of the capacity, and its slope on the side that the liquid moves to."""
    if share == 0.0:
        return 0.0, 0.0
    cool, slope = _capacity(knots, values, hour, liquid, True)
    if heat < share * cool:
        cool, slope = _capacity(knots, values, hour, liquid, False)
    return share * cool, share * slope


@kernel
def _nearer(found: float, mark: float, liquid: float, rate: float) -> float:
    """The nearer of two marks ahead of the liquid in its direction of travel."""
    if rate > 0.0:
        return mark if liquid + _NEAR < mark < found else found
    return mark if found < mark < liquid - _NEAR else found


@kernel
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


@kernel
def _advance(rate: float, growth: float, time: float, capacity: float) -> tuple[float, float]:
    """Change of T after `time`, and the integral of that change over it [K], [K s]."""
    exponent = growth * time / capacity
    if abs(exponent) < 1e-7:
        return rate * time / capacity, rate * time * time / (2.0 * capacity)
    moved = rate / growth * math.expm1(exponent)
    area = rate / growth * (capacity / growth * math.expm1(exponent) - time)
    return moved, area


@kernel
def follow(
    knots: FloatArray,
    capacity: FloatArray,
    at_setpoint: FloatArray,
    trip: FloatArray,
    free: Mask,
    load: FloatArray,
    slope: FloatArray,
    slope_above: FloatArray,
    load_off: FloatArray,
    slope_off: FloatArray,
    control: Control,
    start: float,
) -> tuple[FloatArray, float, int, int, bool]:
    """Follow the liquid from `start`.

    Capacity (knot, hour) over knots as in `curve_kernel.read`, and at the setpoint; `free` of ambient limits; heat
    with servers on, its slope below and above the bend, and with servers off. Returns the course, rows as named
    above; the lowest temperature with servers on; trips; stops; whether every hour came to an end.
    """
    hours = len(trip)
    course = np.empty((6, hours))
    setpoint, still, bulk = control.setpoint, control.still_share, control.heat_capacity
    step = 1 if knots.shape[1] == hours else 0

    liquid, lowest_on = start, start
    on, running, tripped = True, True, False
    delay = 0.0
    trips, stops = 0, 0

    for hour in range(hours):
        held = max(0.0, still * at_setpoint[hour]) <= load[hour] <= at_setpoint[hour]
        steady = free[hour] and setpoint <= trip[hour] and held
        if steady and on and not tripped and delay == 0.0 and liquid == setpoint:
            course[LIQUID, hour] = course[PEAK, hour] = course[LOWEST, hour] = setpoint
            course[SERVERS_OFF, hour] = 0.0
            course[COOLED, hour] = course[LOADED, hour] = load[hour] * HOUR
            continue

        peak = lowest = liquid
        if on:
            lowest_on = min(lowest_on, liquid)
        servers_off, cooled, loaded = 0.0, 0.0, 0.0
        left = HOUR
        for _ in range(_MAX_EVENTS):
            if left <= 0.0:
                break
            # whether the machine runs if asked: one that runs into the open pressure switch is stopped by it
            available = free[hour]
            if available and tripped:
                available = delay <= 0.0 and liquid <= trip[hour] - _NEAR
                tripped = not available
            if available and liquid > trip[hour] + _NEAR:
                if running:
                    tripped = True
                    trips += 1
                    delay = max(delay, control.trip_delay)
                available = False
            running = available

            if on and liquid >= control.shutdown - _NEAR:
                on = False
                stops += 1
            elif not on and available and liquid < control.restart:
                on = _capacity(knots, capacity, hour, liquid, True)[0] > 0.0

            base, base_slope = (load[hour], slope[hour]) if on else (load_off[hour], slope_off[hour])
            above = slope_above[hour]
            heat, heat_slope = _load(liquid, True, on, base, base_slope, above, setpoint, control.bend)
            limit = left if delay <= 0.0 else min(left, delay)

            share, holds = still, False
            if available and liquid >= setpoint - _NEAR:
                share = 1.0
                if liquid <= setpoint + _NEAR:
                    liquid, heat, heat_slope = setpoint, base, base_slope
                    most = _capacity(knots, capacity, hour, setpoint, True)[0]
                    holds = max(0.0, still * most) <= heat <= most
                    share = 1.0 if heat > most else still
            if holds:
                taken, put_in, taken_out = limit, heat * limit, heat * limit
            else:
                cool, cool_slope = _passed(knots, capacity, hour, liquid, share, heat)
                rate = heat - cool
                if rate < 0.0:
                    heat_slope = _load(liquid, False, on, base, base_slope, above, setpoint, control.bend)[1]
                growth = heat_slope - cool_slope

                # next temperature in the direction of travel at which something changes
                switch = trip[hour] if available else trip[hour] - 2.0 * _NEAR
                servers = control.shutdown if on else control.restart - 2.0 * _NEAR
                target = -math.inf if rate < 0.0 else math.inf
                if rate != 0.0:
                    target = _nearer(target, setpoint, liquid, rate)
                    for k in range(len(knots)):
                        target = _nearer(target, knots[k, hour * step], liquid, rate)
                    target = _nearer(target, switch, liquid, rate)
                    if on:
                        target = _nearer(target, control.bend, liquid, rate)
                    target = _nearer(target, servers, liquid, rate)

                reach = _time_to(target - liquid, rate, growth, bulk)
                taken = min(reach, limit)
                moved, area = _advance(rate, growth, taken, bulk)
                liquid = target if taken == reach else liquid + moved
                if taken == reach and available and rate > 0.0 and abs(target - trip[hour]) <= _NEAR:
                    tripped = True
                    trips += 1
                    # the delay of a switch that opens at the end of this step starts there
                    delay = max(delay, control.trip_delay) + taken
                put_in = heat * taken + heat_slope * area
                taken_out = cool * taken + cool_slope * area

            if not on:
                servers_off += taken
            delay = max(0.0, delay - taken)
            loaded += put_in
            cooled += taken_out
            left -= taken
            peak, lowest = max(peak, liquid), min(lowest, liquid)
            if on:
                lowest_on = min(lowest_on, liquid)
        if left > 0.0:
            return course, lowest_on, trips, stops, False
        course[LIQUID, hour], course[PEAK, hour], course[LOWEST, hour] = liquid, peak, lowest
        course[SERVERS_OFF, hour], course[COOLED, hour], course[LOADED, hour] = servers_off, cooled, loaded
    return course, lowest_on, trips, stops, True
