"""Surfaces, inlet air and outage against ISO 6946, published altitude factors and scipy's solvers."""

import itertools

import numpy as np
import pytest
from heat_cases import machine, shell
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from edgecheck.base.constants import STEFAN_BOLTZMANN, standard_pressure
from edgecheck.heat.electricity import PartLoad, cycling
from edgecheck.heat.envelope import (
    FACES,
    Shell,
    convection_coefficient,
    envelope_heat,
    longwave_on_faces,
    outer_surfaces,
    roof_temperature,
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


def outside_coefficient(temp: np.ndarray, wind: np.ndarray, emissivity: float) -> np.ndarray:
    """Convection and radiation [W/m2K], by the shell's conductance in black surroundings as warm as air and liquid."""
    g, one = 5.0, np.ones(6)
    black = STEFAN_BOLTZMANN * (temp + 273.15) ** 4
    found = [
        envelope_heat(Shell(one / 6.0, g * one, 0.4, emissivity), np.zeros((6, 1)), *around, t).conductance[0]
        for t, around in (
            (float(t), (sky[None], t[None], 1.0, t[None], v[None]))
            for t, sky, v in zip(temp, black, wind, strict=True)
        )
    ]
    return 1.0 / (1.0 / np.array(found) - 1.0 / g)


def test_radiation_coefficient_prints_iso_6946() -> None:
    # ISO 6946:2017 Annex C, table of h_r0 for mean temperatures -10, 0, 10, 20, 30 degC (from memory)
    printed = [4.1, 4.6, 5.1, 5.7, 6.3]
    temp = np.array([-10.0, 0.0, 10.0, 20.0, 30.0])
    found = outside_coefficient(temp, np.zeros(5), 1.0) - convection_coefficient(0.0)
    np.testing.assert_allclose(found, printed, atol=0.06)


def test_outside_resistance_prints_iso_6946() -> None:
    # ISO 6946:2017 Annex C, R_se for 1, 2, 3, 4, 5, 7, 10 m/s, emissivity 0.9, mean 0 degC (from memory)
    wind = np.array([1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0])
    printed = [0.08, 0.06, 0.05, 0.04, 0.04, 0.03, 0.02]
    np.testing.assert_allclose(1.0 / outside_coefficient(np.zeros(7), wind, 0.9), printed, atol=0.0051)


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


def balance(temp, absorbed, emissivity, longwave, film, air, through, liquid):
    """What a surface gains [W/m2] at a temperature [degC]: sun, longwave, convection, conduction."""
    radiated = STEFAN_BOLTZMANN * (temp + 273.15) ** 4
    return absorbed + emissivity * (longwave - radiated) + film * (air - temp) + through * (liquid - temp)


def test_face_and_roof_temperatures_agree_with_brentq() -> None:
    s = states()
    film = convection_coefficient(s["wind"])
    longwave = (s["longwave"], 0.9 * s["longwave"], 1.1 * s["longwave"])
    on_face = [longwave[i] for i in (0, 1, 1, 1, 1, 2)]
    roof = roof_temperature(
        s["ghi"], s["longwave"], s["temp_air"], s["wind"], absorptance=0.9, emissivity=0.3
    )
    for g in (0.0, 1.0 / (1.0 / 60.0 + 0.5), 60.0):  # W/m2K: none, insulated, bare metal
        through = g * np.array([1.0, 1.0, 1.3, 1.0, 0.7, 2.0])
        box = Shell(np.ones(6), through, 0.4, 0.9)
        found = outer_surfaces(box, s["sun"], longwave, s["temp_air"], film, 40.0)
        for i, air in enumerate(s["temp_air"]):
            for face in range(6):
                given = (0.4 * s["sun"][face, i], 0.9, on_face[face][i], film[i], air, through[face], 40.0)
                exact = brentq(balance, -150.0, 400.0, args=given, xtol=1e-12, rtol=1e-14)
                assert found[face, i] == pytest.approx(exact, abs=1e-9)
    for i, air in enumerate(s["temp_air"]):
        given = (0.9 * s["ghi"][i], 0.3, s["longwave"][i], 4.0 + 4.0 * max(1.0, s["wind"][i]), air, 0.0, 0.0)
        assert roof[i] == pytest.approx(brentq(balance, -150.0, 400.0, args=given, xtol=1e-12), abs=1e-9)


def test_surfaces_are_exact_in_the_worst_that_sun_sky_and_liquid_can_do() -> None:
    # the balance itself is the oracle: what is left of it, over its slope, is the error in kelvin
    rng = np.random.default_rng(4)
    count = 20_000
    air, sun = rng.uniform(-70.0, 60.0, count), np.where(rng.random(count) < 0.3, 0.0, 1500.0)
    film = np.where(rng.random(count) < 0.5, 4.0, convection_coefficient(rng.uniform(0.0, 40.0, count)))
    longwave = STEFAN_BOLTZMANN * (rng.uniform(-110.0, 110.0, count) + 273.15) ** 4
    air[:3], longwave[3:6], film[6:9], sun[9:12] = (np.full(3, np.nan),) * 4
    for g, emissivity, liquid in itertools.product((0.0, 0.5, 60.0, 200.0), (0.0, 0.3, 1.0), (-70.0, 110.0)):
        box = Shell(np.ones(6), np.full(6, g), 1.0, emissivity)
        found = outer_surfaces(box, np.tile(sun, (6, 1)), (longwave,) * 3, air, film, liquid)
        assert np.all(np.isnan(found[:, :12]))
        assert np.all(np.isfinite(found[:, 12:]))
        temp = found[0, 12:]
        left = balance(temp, sun[12:], emissivity, longwave[12:], film[12:], air[12:], g, liquid)
        fall = film[12:] + g + 4.0 * emissivity * STEFAN_BOLTZMANN * (temp + 273.15) ** 3
        assert np.max(np.abs(left / fall)) < 1e-10  # K


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
