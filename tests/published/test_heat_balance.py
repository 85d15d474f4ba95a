"""The liquid balance against scipy.integrate.solve_ivp with the same events, and its energy."""

import numpy as np
import pytest
from heat_cases import SPAN, air_in, bath, chiller, machine
from scipy.integrate import solve_ivp

from edgecheck.heat.balance import march
from edgecheck.heat.curve import NONE, CoolingCurve
from edgecheck.heat.headroom import HeatLoad

HOURS = 168


def hot_week(it: float, **cooling: object) -> tuple[CoolingCurve, HeatLoad]:
    """A week in which the inlet air rises past what the machine can carry every afternoon."""
    hour = np.arange(HOURS)
    daily = np.sin(2.0 * np.pi * (hour % 24 - 9.0) / 24.0)
    air = 43.0 + 8.0 * daily + 1.5 * np.sin(hour / 37.0)
    curve = chiller(inlet_max=80.0, **cooling).curve(air_in(air, factor=1.05), SPAN)
    envelope = 250.0 * daily
    ua = 11.0 + np.cos(hour / 5.0)
    load = HeatLoad(
        at_setpoint=it + 153.0 + envelope,
        slope=-ua,
        at_setpoint_off=153.0 + envelope,
        slope_off=-ua,
        internal=it + 153.0,
        internal_slope=0.0,
        setpoint=40.0,
    )
    return curve, load


class Oracle:
    """The same bath by numerical integration, one event at a time."""

    def __init__(self, curve: CoolingCurve, load: HeatLoad, delay: float) -> None:
        self.curve, self.load, self.b = curve, load, bath(trip_delay=delay)
        self.T, self.on, self.ready_at, self.tripped = 40.0, True, -1.0, False
        self.running = True
        self.stops = self.trips = 0

    def capacity(self, hour: int, T: float) -> float:
        return float(np.interp(T, self.curve.knots[:, hour], self.curve.capacity[:, hour]))

    def heat(self, hour: int, T: float) -> float:
        if self.on:
            return float(self.load.at_setpoint[hour] + self.load.slope[hour] * (T - 40.0))
        return float(self.load.at_setpoint_off[hour] + self.load.slope_off[hour] * (T - 40.0))

    def hour(self, hour: int) -> float:
        t, end = hour * 3600.0, (hour + 1) * 3600.0
        trip = float(self.curve.trip[hour])
        barred = self.curve.locked[hour] != NONE
        while t < end - 1e-9:
            if barred:
                self.ready_at = end + self.b.trip_delay
            elif not self.tripped and trip + 1e-9 < self.T:
                self.tripped, self.trips = True, self.trips + 1
                self.ready_at = t + self.b.trip_delay
            if self.tripped and t >= self.ready_at - 1e-9 and trip - 1e-9 > self.T:
                self.tripped = False
            ready = not barred and not self.tripped and trip + 1e-9 >= self.T
            self.running = ready
            if self.on and self.b.shutdown - 1e-7 <= self.T:
                self.on, self.stops = False, self.stops + 1
            elif not self.on and ready and self.b.restart > self.T:
                self.on = True
            T0 = self.T
            cooling = ready and T0 > 40.0 + 1e-7
            if ready and abs(T0 - 40.0) <= 1e-7:
                q = self.heat(hour, 40.0)
                if 0.0 <= q <= self.capacity(hour, 40.0):
                    self.T, t = 40.0, end
                    continue
                cooling = q > 0.0

            def rate(_: float, y: np.ndarray, cooling: bool = cooling) -> list[float]:
                q = self.heat(hour, y[0]) - (self.capacity(hour, y[0]) if cooling else 0.0)
                return [q / self.b.heat_capacity]

            marks = [40.0, self.b.shutdown if self.on else self.b.restart]
            if np.isfinite(trip):
                marks.append(trip)
            events = []
            for mark in marks:
                if abs(T0 - mark) > 1e-6:
                    event = lambda _, y, mark=mark: y[0] - mark  # noqa: E731
                    event.terminal = True
                    events.append(event)
            stop = min(end, self.ready_at) if self.ready_at > t + 1e-9 else end
            found = solve_ivp(rate, (t, stop), [T0], events=events, max_step=60.0, rtol=1e-9, atol=1e-9)
            t, self.T = float(found.t[-1]), float(found.y[0, -1])
            for mark in marks:
                if abs(self.T - mark) < 1e-6:
                    self.T = mark
            if np.isfinite(trip) and trip == self.T:
                rising = rate(t, np.array([trip]))[0] > 0.0
                self.T = trip + 2e-9 if rising and ready else trip if rising else trip - 2e-9
            if not self.on and self.b.restart == self.T:
                self.T -= 1e-8
        return self.T


@pytest.mark.parametrize(("it", "delay"), [(8300.0, 180.0), (9000.0, 600.0)])
def test_liquid_follows_solve_ivp_through_overload_shutdown_and_restart(it: float, delay: float) -> None:
    curve, load = hot_week(it)
    course = march(curve, load, bath(trip_delay=delay))
    oracle = Oracle(curve, load, delay)
    expected = np.array([oracle.hour(hour) for hour in range(HOURS)])
    assert oracle.stops >= 2, "the week must stop the servers"
    assert course.stops == oracle.stops
    assert course.trips == oracle.trips
    assert float(np.sum(course.servers_off)) > 1800.0
    np.testing.assert_allclose(course.liquid, expected, atol=0.02)


def test_a_warm_bath_floats_and_comes_back_without_losing_servers() -> None:
    curve, load = hot_week(7600.0, condensing_limit=200.0)
    course = march(curve, load, bath())
    oracle = Oracle(curve, load, 180.0)
    expected = np.array([oracle.hour(hour) for hour in range(HOURS)])
    assert course.stops == 0
    assert float(np.max(course.peak)) > 41.0
    np.testing.assert_allclose(course.liquid, expected, atol=0.02)


@pytest.mark.parametrize("it", [2000.0, 7600.0, 8300.0, 9000.0])
def test_energy_closes(it: float) -> None:
    curve, load = hot_week(it)
    course = march(curve, load, bath())
    stored = 250e3 * (course.liquid[-1] - 40.0)
    throughput = float(np.sum(np.abs(course.loaded)))
    assert float(np.sum(course.loaded - course.cooled)) == pytest.approx(stored, abs=1e-6 * throughput)


def test_negative_load_cools_the_bath_and_asks_for_no_cooling() -> None:
    curve, load = hot_week(0.0)
    cold = HeatLoad(
        load.at_setpoint - 900.0, load.slope, load.at_setpoint_off - 900.0, load.slope_off, 1.0, 0.0, 40.0
    )
    course = march(curve, cold, bath())
    assert float(np.min(course.liquid)) < 40.0
    assert float(np.sum(course.cooled)) == pytest.approx(0.0, abs=1.0)
    assert course.lowest_on == pytest.approx(float(np.min(course.lowest)))


def test_manual_reset_costs_the_hours_until_a_visit() -> None:
    curve, load = hot_week(8300.0)
    fast = march(curve, load, bath())
    slow = march(curve, load, bath(trip_delay=12 * 3600.0))
    assert fast.trips > 0
    assert float(np.sum(slow.servers_off)) > float(np.sum(fast.servers_off)) + 3600.0


def test_machine_cases_are_consistent() -> None:
    assert machine().it_heat == 6000.0
