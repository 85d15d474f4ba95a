"""Failures against scipy, psychrolib, closed forms and common practice."""

import numpy as np
import psychrolib
import pytest
from failure_cases import EMISSIVITY, bare_shell, steady_shell, winter_hours
from heat_cases import shell
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from edgecheck.base.humid_air import dew_point, relative_humidity
from edgecheck.heat.condensation import FOAM_CONDUCTIVITY, OUTER_FILM, insulation_resistance
from edgecheck.heat.envelope import envelope_heat
from edgecheck.heat.one_node import time_to_rise
from edgecheck.heat.shell_curve import shell_curve
from edgecheck.heat.winter import heat_needed, power_off, warm_up

HOUR = 3600.0
C = 243e3  # J/K: 100 l of a light synthetic hydrocarbon and 110 kg of hardware and tank


def oracle(box, hours, start, first, length, heat=0.0, capacity=C, limit=None):
    """Liquid by scipy's solve_ivp of the full nonlinear shell, weather constant within an hour."""
    liquid, passed, count = start, 0.0, len(hours["temp_air"])
    for step in range(int(np.ceil(length))):
        at = (first + step) % count
        one = {name: values[..., at : at + 1] for name, values in hours.items()}

        def rate(_, state, one=one):
            return (
                envelope_heat(box, roof_emissivity=EMISSIVITY, temp_liquid=float(state[0]), **one).total
                + heat
            ) / capacity

        span = min(1.0, length - step) * HOUR
        reached = None
        if limit is not None:
            reached = lambda _, state: state[0] - limit  # noqa: E731
            reached.terminal = True
        found = solve_ivp(rate, (0.0, span), [liquid], rtol=1e-6, atol=1e-6, events=reached)
        liquid, passed = float(found.y[0, -1]), passed + float(found.t[-1])
        if found.status == 1:
            break
    return liquid, passed


@pytest.mark.parametrize("box", [shell(), bare_shell()], ids=["insulated", "bare metal"])
def test_a_bath_without_power_cools_as_the_full_nonlinear_shell_lets_it(box):
    """scipy's solve_ivp, rtol 1e-6; 0.1 K over 24 h is what the linearisation in every hour is good for."""
    hours = winter_hours()
    curve = shell_curve(box, roof_emissivity=EMISSIVITY, centre=9.0, **hours)
    cut = power_off(curve, np.full(96, 38.0), C, 24.0)
    assert cut.at_return[90] == pytest.approx(oracle(box, hours, 38.0, 90, 24)[0], abs=0.1)
    short = power_off(curve, np.full(96, 38.0), C, 2.5)
    assert short.at_return[7] == pytest.approx(oracle(box, hours, 38.0, 7, 2.5)[0], abs=0.1)


@pytest.mark.parametrize("box", [shell(), bare_shell()], ids=["insulated", "bare metal"])
def test_the_heater_takes_as_long_as_the_full_nonlinear_shell_makes_it(box):
    """solve_ivp with an event at the start limit; 0.1 K at the rate of warming is a minute or two."""
    hours = winter_hours()
    curve = shell_curve(box, roof_emissivity=EMISSIVITY, centre=0.0, **hours)
    heat = 1500.0 if box.conductance[0] < 10.0 else 4500.0
    found = warm_up(curve, np.array([-15.0]), np.array([30.0]), C, heat, 10.0)
    limit, taken = oracle(box, hours, -15.0, 30, 48, heat=heat, limit=10.0)
    assert limit == pytest.approx(10.0, abs=1e-6)
    assert found.seconds[0] == pytest.approx(taken, abs=0.1 * C / heat * 3.0)


def test_the_shell_between_two_temperatures_is_the_one_that_newton_finds():
    """`envelope_heat` solves every face anew; bare metal 45 K from the middle is the worst there is."""
    hours = winter_hours(24)
    for box in (shell(), bare_shell()):
        curve = shell_curve(box, roof_emissivity=EMISSIVITY, centre=5.0, **hours)
        area = float(np.sum(box.area))
        for liquid in (-40.0, -10.0, 20.0, 50.0):
            exact = envelope_heat(box, roof_emissivity=EMISSIVITY, temp_liquid=liquid, **hours).total
            heat, conductance = curve.at(np.full(24, liquid))
            assert heat == pytest.approx(exact, abs=0.2 * area)
            above = envelope_heat(box, roof_emissivity=EMISSIVITY, temp_liquid=liquid + 0.01, **hours).total
            below = envelope_heat(box, roof_emissivity=EMISSIVITY, temp_liquid=liquid - 0.01, **hours).total
            assert conductance == pytest.approx((below - above) / 0.02, rel=0.005)


def test_a_cold_start_takes_the_heat_of_the_bath_and_of_the_shell():
    """Common practice, no source: C dT/t is 1010 W for 243 kJ/K from -20 to +10 degC in 2 h, and 8 m2 x U x 30 K more.

    That loss is the greatest, at the end of the warm-up, so the heat asked for lies between the two; the closed
    form P = UA dT/(1 - exp(-UA t/C)) is exact for a constant conductance.
    """
    bath = C * 30.0 / (2.0 * HOUR)
    assert bath == pytest.approx(1012.5)
    for u in (0.6, 2.0):
        ua = 8.0 * u
        found = heat_needed(steady_shell(-20.0, ua), np.array([-20.0]), np.array([0.0]), C, 10.0, 2.0 * HOUR)
        assert bath < found < bath + ua * 30.0
        exact = ua * 30.0 / -np.expm1(-ua * 2.0 * HOUR / C)
        assert exact <= found <= 1.01 * exact


def test_a_full_tank_that_loses_its_cooling_water():
    """Common practice, no source: 50 kW, 1.7 to 2.0 MJ/K, warm liquid: 90 to 95 degC after 25 to 40 minutes."""
    for capacity, start, shutdown in ((1.7e6, 45.0, 90.0), (2.0e6, 45.0, 95.0), (2.0e6, 40.0, 95.0)):
        minutes = float(time_to_rise(50e3, 0.0, capacity, shutdown - start)) / 60.0
        assert 25.0 <= minutes <= 40.0


def test_dew_point_of_published_air_and_of_psychrolib():
    """30 degC, 60 %: 21.4 degC in psychrometric tables, to the digit printed; psychrolib: the same equations."""
    assert float(dew_point(30.0, 60.0)) == pytest.approx(21.4, abs=0.05)
    psychrolib.SetUnitSystem(psychrolib.SI)
    for air, humidity in ((30.0, 60.0), (35.0, 90.0), (12.0, 30.0), (-8.0, 80.0)):
        expected = psychrolib.GetTDewPointFromRelHum(air, humidity / 100.0)
        assert float(dew_point(air, humidity)) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    "surface, air, humidity", [(12.0, 32.0, 75.0), (5.0, 26.0, 80.0), (18.0, 35.0, 60.0)]
)
def test_insulation_is_as_thick_as_brings_its_outside_to_the_dew_point(surface, air, humidity):
    """scipy's brentq on the outside of a flat layer: flux through the layer equals flux from the air."""
    dew = float(dew_point(air, humidity))
    resistance = float(insulation_resistance(surface, air, dew))

    def balance(outside):
        return OUTER_FILM * (air - outside) - (outside - surface) / resistance

    assert brentq(balance, surface, air) == pytest.approx(dew, abs=1e-9)
    assert float(relative_humidity(air, dew)) == pytest.approx(humidity)


def test_insulation_of_a_cold_pipe_in_summer_air():
    """Common practice, no source: chilled lines of 6 degC in rooms of 26 degC and 80 % carry 13 to 32 mm of foam."""
    resistance = float(insulation_resistance(6.0, 26.0, float(dew_point(26.0, 80.0))))
    assert 13.0 < 1e3 * FOAM_CONDUCTIVITY * resistance < 32.0
