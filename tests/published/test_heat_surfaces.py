"""Surfaces, inlet air and outage against ISO 6946, published altitude factors and scipy's solvers."""

import numpy as np
import pytest
from heat_cases import machine, shell
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from edgecheck.base.constants import STEFAN_BOLTZMANN, standard_pressure
from edgecheck.heat.electricity import PartLoad, cycling
from edgecheck.heat.envelope import (
    FACES,
    convection_coefficient,
    envelope_heat,
    longwave_on_faces,
    radiation_coefficient,
    roof_temperature,
    surface_temperature,
)
from edgecheck.heat.inlet import air_side_factor, recirculation_rise, roof_mixing_rise
from edgecheck.heat.one_node import temperature_after, time_to_rise


def states(count: int = 300) -> dict[str, np.ndarray]:
    """Random states of sun, air and sky, fixed seed."""
    rng = np.random.default_rng(20)
    air = rng.uniform(-40.0, 50.0, count)
    return {
        "temp_air": air,
        "wind": rng.uniform(0.0, 12.0, count),
        "longwave": STEFAN_BOLTZMANN * (air + 273.15 - rng.uniform(0.0, 30.0, count)) ** 4,
        "ghi": rng.uniform(0.0, 1150.0, count),
        "sun": rng.uniform(0.0, 1000.0, (6, count)),
    }


def test_radiation_coefficient_prints_iso_6946() -> None:
    # ISO 6946:2017 Annex C, table of h_r0 for mean temperatures -10, 0, 10, 20, 30 degC (from memory)
    printed = [4.1, 4.6, 5.1, 5.7, 6.3]
    found = radiation_coefficient(np.array([-10.0, 0.0, 10.0, 20.0, 30.0]))
    np.testing.assert_allclose(found, printed, atol=0.06)


def test_outside_resistance_prints_iso_6946() -> None:
    # ISO 6946:2017 Annex C, R_se for 1, 2, 3, 4, 5, 7, 10 m/s, emissivity 0.9, mean 0 degC (from memory)
    wind = np.array([1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0])
    printed = [0.08, 0.06, 0.05, 0.04, 0.04, 0.03, 0.02]
    resistance = 1.0 / (convection_coefficient(wind) + radiation_coefficient(0.0, 0.9))
    np.testing.assert_allclose(resistance, printed, atol=0.0051)


def test_altitude_factor_reproduces_the_published_condenser_factors() -> None:
    # "Effects of altitude", Table 4-2, air-cooled condensers: 0.95 0.90 0.85 0.80 at 762, 1525, 2285, 3050 m
    factor = 1.0 / air_side_factor(standard_pressure(np.array([762.0, 1525.0, 2285.0, 3050.0])), 0.0)
    np.testing.assert_allclose(factor, [0.95, 0.90, 0.85, 0.80], atol=0.005)


def test_fouling_multiplies_the_air_side_factor() -> None:
    assert air_side_factor(101_325.0, 0.10) == pytest.approx(1.0 / 0.9)


def test_recirculation_is_the_fixed_point_of_mixing() -> None:
    # A stream that is partly its own discharge: T_in = (1-r) T_a + r (T_in + dT), solved by iteration
    pressure, share, heat, flow = 101_325.0, 0.10, 11_000.0, 1.1
    density = pressure / (287.042 * (35.0 + 273.15))
    across = heat / (density * 1006.0 * flow)
    inlet = 35.0
    for _ in range(200):
        inlet = (1.0 - share) * 35.0 + share * (inlet + across)
    assert recirculation_rise(35.0, pressure, share, heat, flow) == pytest.approx(inlet - 35.0, rel=1e-9)


def test_roof_mixing_never_cools() -> None:
    assert roof_mixing_rise(20.0, 60.0, 0.04) == pytest.approx(1.6)
    assert roof_mixing_rise(20.0, 5.0, 0.04) == 0.0


def test_face_and_roof_temperatures_agree_with_brentq() -> None:
    s = states()
    g = 1.0 / (1.0 / 60.0 + 0.5)
    found = surface_temperature(
        0.4 * s["sun"][0], s["longwave"], s["temp_air"], convection_coefficient(s["wind"]),
        emissivity=0.9, conductance=g, temp_inside=40.0,
    )  # fmt: skip
    roof = roof_temperature(
        s["ghi"], s["longwave"], s["temp_air"], s["wind"], absorptance=0.9, emissivity=0.3
    )
    for i in range(len(found)):
        air, wind, sky = s["temp_air"][i], s["wind"][i], s["longwave"][i]

        def face(t: float, i: int = i, air: float = air, wind: float = wind, sky: float = sky) -> float:
            gain = 0.4 * s["sun"][0][i] + 0.9 * (sky - STEFAN_BOLTZMANN * (t + 273.15) ** 4)
            return gain + (4.0 + 4.0 * wind) * (air - t) + g * (40.0 - t)

        def deck(t: float, i: int = i, air: float = air, wind: float = wind, sky: float = sky) -> float:
            gain = 0.9 * s["ghi"][i] + 0.3 * (sky - STEFAN_BOLTZMANN * (t + 273.15) ** 4)
            return gain + (4.0 + 4.0 * max(1.0, wind)) * (air - t)

        assert found[i] == pytest.approx(brentq(face, -150.0, 300.0, xtol=1e-10), abs=1e-6)
        assert roof[i] == pytest.approx(brentq(deck, -150.0, 400.0, xtol=1e-10), abs=1e-6)


def test_split_adds_up_and_the_derivative_is_exact() -> None:
    s = states()
    irradiance = s["sun"].copy()
    irradiance[FACES.index("floor")] = 0.0
    roof = roof_temperature(
        s["ghi"], s["longwave"], s["temp_air"], s["wind"], absorptance=0.9, emissivity=0.9
    )

    def at(liquid: float):
        return envelope_heat(shell(), irradiance, s["longwave"], roof, 0.9, s["temp_air"], s["wind"], liquid)

    heat = at(40.0)
    np.testing.assert_allclose(heat.solar + heat.longwave + heat.envelope, heat.total, atol=1e-9)
    assert np.all(heat.solar >= 0.0)
    slope = (at(40.05).total - at(39.95).total) / 0.1
    np.testing.assert_allclose(-heat.conductance, slope, rtol=1e-5)
    # held linear to 70 degC the error stays below 1 W
    linear = heat.total - heat.conductance * 30.0
    np.testing.assert_allclose(at(70.0).total, linear, atol=1.0)


def test_longwave_of_a_black_roof_at_sky_temperature_is_the_sky_everywhere() -> None:
    sky = np.array([320.0])
    roof = (sky / STEFAN_BOLTZMANN) ** 0.25 - 273.15
    for part in longwave_on_faces(sky, roof, 0.6):
        np.testing.assert_allclose(part, sky, rtol=1e-12)


def test_time_to_shutdown_agrees_with_solve_ivp_for_slopes_of_either_sign() -> None:
    rng = np.random.default_rng(7)
    reached = 0
    for _ in range(200):
        heat = rng.uniform(500.0, 9000.0)
        k = rng.uniform(-60.0, 60.0)
        capacity = rng.uniform(60e3, 400e3)
        rise = rng.uniform(2.0, 35.0)
        found = float(time_to_rise(heat, k, capacity, rise))

        def reach(_: float, y: np.ndarray, rise: float = rise) -> float:
            return y[0] - rise

        reach.terminal = True  # type: ignore[attr-defined]
        solved = solve_ivp(
            lambda _, y, heat=heat, k=k, capacity=capacity: [(heat - k * y[0]) / capacity],
            (0.0, 40.0 * 3600.0), [0.0], events=reach, rtol=1e-9, atol=1e-9, max_step=600.0,
        )  # fmt: skip
        if len(solved.t_events[0]):
            reached += 1
            assert found == pytest.approx(float(solved.t_events[0][0]), rel=1e-3)
            after = float(temperature_after(40.0, heat, k, capacity, found))
            assert after == pytest.approx(40.0 + rise, abs=1e-6)
        else:
            assert found == np.inf
    assert reached > 150


def test_time_to_shutdown_limits() -> None:
    assert time_to_rise(6000.0, 0.0, 250e3, 28.0) == pytest.approx(250e3 * 28.0 / 6000.0)
    assert time_to_rise(6000.0, 1e-9, 250e3, 28.0) == pytest.approx(250e3 * 28.0 / 6000.0)
    assert time_to_rise(100.0, 11.0, 250e3, 28.0) == np.inf
    assert time_to_rise(-100.0, 11.0, 250e3, 28.0) == np.inf
    assert time_to_rise(6000.0, 11.0, 250e3, 0.0) == 0.0
    assert np.isnan(time_to_rise(np.nan, 11.0, 250e3, 28.0))


def test_loss_of_cooling_leaves_the_minutes_of_practice() -> None:
    # Common practice, no source: 10 to 30 minutes with the pump running, about half of that without
    m = machine()
    whole = float(time_to_rise(6400.0, 11.0, m.bath.heat_capacity, 28.0)) / 60.0
    part = float(time_to_rise(6247.0, 11.0, 45e3 + 0.4 * 205e3, 28.0)) / 60.0
    assert 10.0 <= whole <= 30.0
    assert 0.4 <= part / whole <= 0.6


def test_on_off_part_load_is_the_en_14825_form() -> None:
    # EN 14825: COP at part load = COP CR/(Cc CR + 1 - Cc), Cc = 0.9
    ratio = np.array([0.2, 0.5, 1.0])
    cop = 3.0 * ratio / (0.9 * ratio + 0.1)
    np.testing.assert_allclose(PartLoad().power(2000.0, ratio, 320.0), 6000.0 * ratio / cop)
    assert PartLoad().power(2000.0, 0.0, 320.0) == 0.0


def test_cycling_against_a_hand_calculation() -> None:
    # Hand calculation: C 250 kJ/K, 4 K, 10.6 kW against 5.5 kW: 196 s on, 182 s off, 9.5 starts an hour
    starts, run = cycling(10_600.0, 5500.0, 250e3, 4.0)
    assert run == pytest.approx(196.1, abs=0.1)
    assert starts == pytest.approx(9.5, abs=0.05)
    assert cycling(5000.0, 5500.0, 250e3, 4.0)[0] == 0.0
    assert cycling(5000.0, -10.0, 250e3, 4.0)[0] == 0.0
