"""Servers that throttle in a warm bath: march and loss of cooling against scipy.integrate.solve_ivp.

The oracle integrates the power as the unit file describes it, by a formula of its own: evenly from the alarm down to
a share of the full power at shutdown.
"""

from dataclasses import replace

import numpy as np
import pytest
from heat_cases import SPAN, air_in, chiller
from scipy.integrate import solve_ivp
from series_cases import clean, run

from edgecheck.checks.outage import loss_of_cooling
from edgecheck.heat.balance import march
from edgecheck.heat.machine import Machine
from edgecheck.heat.power_cut import power_cut
from edgecheck.heat.series import heat_load_of

ALARM, SHUTDOWN, SETPOINT = 55.0, 70.0, 40.0
KELVIN, SHARE_OF_TIME = 0.02, 1e-3


def throttling(share: float, **changes: object) -> Machine:
    return clean(throttle_share=share, **changes)


def drawn(machine: Machine, T: float) -> float:
    """IT heat at a liquid temperature, written anew."""
    full = machine.it_heat * (1.0 + machine.leakage * (T - SETPOINT))
    if T <= ALARM:
        return full
    low = machine.it_heat * (1.0 + machine.leakage * (ALARM - SETPOINT))
    high = machine.throttle_share * machine.it_heat * (1.0 + machine.leakage * (SHUTDOWN - SETPOINT))
    return low + (high - low) * (min(T, SHUTDOWN) - ALARM) / (SHUTDOWN - ALARM)


@pytest.mark.parametrize(
    ("share", "leakage", "pump_runs"),
    [(0.6, 0.0, True), (0.3, 0.004, True), (0.0, 0.0, False), (0.6, 0.004, False), (0.9, 0.01, True)],
)
def test_loss_of_cooling_in_two_pieces(share: float, leakage: float, pump_runs: bool) -> None:
    machine = throttling(share, leakage=leakage, it=6000.0)
    series = run([35.0], machine)
    found = loss_of_cooling(series, machine, pump_runs=pump_runs)
    shell = series.surroundings.envelope
    capacity = machine.hardware_heat_capacity
    capacity += machine.liquid_heat_capacity * (1.0 if pump_runs else machine.natural_share)
    pump = machine.pump_heat if pump_runs else 0.0

    def rate(_: float, y: np.ndarray) -> list[float]:
        through = float(shell.total[0] - shell.conductance[0] * (y[0] - SETPOINT))
        return [(drawn(machine, y[0]) + pump + through) / capacity]

    def reaches(limit: float):  # type: ignore[no-untyped-def]
        event = lambda _, y: y[0] - limit  # noqa: E731
        event.terminal = limit == SHUTDOWN
        return event

    events = [reaches(ALARM), reaches(SHUTDOWN)]
    grid = np.linspace(0.0, 3600.0, 121)
    solved = solve_ivp(
        rate,
        (0.0, 48 * 3600.0),
        [42.0],
        events=events,
        rtol=1e-10,
        atol=1e-10,
        max_step=5.0,
        dense_output=True,
    )
    assert found.to_alarm[0] == pytest.approx(solved.t_events[0][0], rel=SHARE_OF_TIME)
    until = 48 * 3600.0
    if solved.t_events[1].size:
        until = float(solved.t_events[1][0])
        assert found.to_shutdown[0] == pytest.approx(until, rel=SHARE_OF_TIME)
    else:
        assert np.isinf(found.to_shutdown[0])
    within = grid[grid < until]
    np.testing.assert_allclose(found.curve(0, within / 60.0), solved.sol(within)[0], atol=KELVIN)


def test_a_bath_that_is_past_the_alarm_starts_on_the_second_piece() -> None:
    machine = throttling(0.5)
    series = run([35.0], machine)
    warm = replace(series, course=replace(series.course, liquid=np.array([60.0])))
    found = loss_of_cooling(warm, machine, pump_runs=True)
    shell = series.surroundings.envelope
    solved = solve_ivp(
        lambda _, y: [
            (drawn(machine, y[0]) + 153.0 + float(shell.total[0] - shell.conductance[0] * (y[0] - 40.0))) / 250e3
        ],
        (0.0, 600.0), [60.0], rtol=1e-10, atol=1e-10, max_step=5.0,
    )  # fmt: skip
    assert found.to_alarm[0] == 0.0
    assert float(found.curve(0, np.array([10.0]))[0]) == pytest.approx(float(solved.y[0, -1]), abs=KELVIN)


@pytest.mark.parametrize("share", [0.25, 0.6])
def test_the_march_throttles_and_holds(share: float) -> None:
    """Two days short of capacity: the bath passes the alarm, is held by throttling or stops, and comes back."""
    hour = np.arange(48)
    air = 44.0 + 9.0 * np.sin(2.0 * np.pi * (hour % 24 - 9.0) / 24.0)
    machine = throttling(share, it=9600.0, alarm=ALARM, leakage=0.002)
    curve = chiller(inlet_max=80.0, condensing_limit=200.0).curve(air_in(air, factor=1.05), SPAN)
    ua = np.full(48, 11.0)
    load = heat_load_of(np.zeros(48), ua, machine)
    bath = replace(machine.bath, heat_capacity=120e3)
    course = march(curve, load, bath)
    assert float(np.max(course.peak)) > ALARM + 2.0

    expected, T, on, stops = [], SETPOINT, True, 0
    for h in range(48):
        t, end = 0.0, 3600.0
        while t < end - 1e-9:
            if on and T >= SHUTDOWN - 1e-7:
                on, stops = False, stops + 1
            elif not on and bath.restart > T:
                on = True

            def cool(y: float, h: int = h) -> float:
                return float(np.interp(y, curve.knots[:, h], curve.capacity[:, h]))

            def heat(y: float, on: bool = on) -> float:
                return (drawn(machine, y) if on else 0.0) + machine.pump_load - 11.0 * (y - SETPOINT)

            if abs(T - SETPOINT) < 1e-7 and heat(SETPOINT) <= cool(SETPOINT):
                T, t = SETPOINT, end
                continue
            events = []
            for mark in (SETPOINT, SHUTDOWN if on else bath.restart):
                if abs(T - mark) > 1e-6:
                    event = lambda _, y, mark=mark: y[0] - mark  # noqa: E731
                    event.terminal = True  # type: ignore[attr-defined]
                    events.append(event)
            solved = solve_ivp(
                lambda _, y, heat=heat, cool=cool: [(heat(y[0]) - cool(y[0])) / 120e3],
                (t, end), [T], events=events, rtol=1e-9, atol=1e-9, max_step=30.0,
            )  # fmt: skip
            t, T = float(solved.t[-1]), float(solved.y[0, -1])
            for mark in (SETPOINT, SHUTDOWN, bath.restart):
                T = mark if abs(T - mark) < 1e-6 else T
            if not on and bath.restart == T:
                T -= 1e-8
        expected.append(T)
    assert course.stops == stops
    np.testing.assert_allclose(course.liquid, expected, atol=KELVIN)
    stored = 120e3 * (course.liquid[-1] - SETPOINT)
    # what comes in less what is taken out is what is stored: to the working precision of the closed forms
    throughput = float(np.sum(np.abs(course.loaded)))
    assert float(np.sum(course.loaded - course.cooled)) == pytest.approx(stored, abs=1e-6 * throughput)


def test_a_power_cut_in_a_warm_bath_throttles_too() -> None:
    machine = throttling(0.4, it=9000.0, restart_delay=700.0)
    series = run([38.0], machine)
    cut = power_cut(series, machine, 0.0)
    shell = series.surroundings.envelope
    solved = solve_ivp(
        lambda _, y: [
            (drawn(machine, y[0]) + 153.0 + float(shell.total[0] - shell.conductance[0] * (y[0] - 40.0))) / 250e3
        ],
        (0.0, 700.0), [float(cut.start[0])], rtol=1e-10, atol=1e-10, max_step=5.0,
    )  # fmt: skip
    assert float(cut.peak[0]) > ALARM
    assert float(cut.peak[0]) == pytest.approx(float(solved.y[0, -1]), abs=KELVIN)
