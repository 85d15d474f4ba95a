"""Sound: air absorption, point source, fan law, sums of levels, against numbers from elsewhere."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from edgecheck.services.air_absorption import MID_BANDS, absorption_coefficient
from edgecheck.services.neighbour_level import HourLevels, day_levels, period_hours, period_level
from edgecheck.services.sound_propagation import (
    AIR_ABSORPTION,
    FREQUENCY,
    SPEED_OF_SOUND,
    Surveyed,
    distance_for,
    divergence,
    ground_attenuation,
    ground_index,
    open_path,
    path,
    screen_attenuation,
    solid_angle_index,
)
from edgecheck.services.sound_sources import SoundSources, energy_sum, fan_level, identical, level_of

# ISO 9613-2:1996 Table 2, dB/km at 63 Hz to 8 kHz (from memory; every value is reproduced by ISO 9613-1):
# air temperature [degC], relative humidity [%], printed values.
TABLE_2 = [
    (10, 70, ("0.1", "0.4", "1.0", "1.9", "3.7", "9.7", "32.8", "117")),
    (20, 70, ("0.1", "0.3", "1.1", "2.8", "5.0", "9.0", "22.9", "76.6")),
    (30, 70, ("0.1", "0.3", "1.0", "3.1", "7.4", "12.7", "23.1", "59.3")),
    (15, 20, ("0.3", "0.6", "1.2", "2.7", "8.2", "28.2", "88.8", "202")),
    (15, 50, ("0.1", "0.5", "1.2", "2.2", "4.2", "10.8", "36.2", "129")),
    (15, 80, ("0.1", "0.3", "1.1", "2.4", "4.1", "8.3", "23.7", "82.8")),
]


@pytest.mark.parametrize("temp_air, humidity, printed", TABLE_2)
def test_table_2_of_iso_9613_2(temp_air, humidity, printed):
    """Half a unit of the printed digit, plus a fiftieth: some printed values are cut, not rounded (0.65 as 0.6)."""
    found = 1e3 * absorption_coefficient(np.array(list(MID_BANDS.values())), temp_air, humidity)
    for value, text in zip(found, printed, strict=True):
        digit = 10.0 ** -len(text.partition(".")[2])
        assert value == pytest.approx(float(text), abs=0.52 * digit)


def test_exact_mid_bands():
    """Octave mid-band frequencies 10^(3k/10) kHz, ISO 266 preferred frequencies (nominal within 1.3 %)."""
    for nominal, exact in MID_BANDS.items():
        assert exact == pytest.approx(nominal, rel=0.013)
    assert MID_BANDS[1000] == pytest.approx(1000.0)


def test_absorption_at_one_kilohertz():
    """4.98 dB/km at 1 kHz, 20 degC, 70 %: printed as 5.0 in ISO 9613-2 Table 2 (from memory)."""
    assert 1e3 * absorption_coefficient(1000.0, 20.0, 70.0) == pytest.approx(4.98, abs=0.005)
    assert pytest.approx(1.93e-3, abs=5e-6) == AIR_ABSORPTION


# Distance table of a heat pump's manual, L_WA 64 dB(A), in the half space (Q = 2): m -> dB(A).
MANUAL = {1: 56, 2: 50, 3: 46, 4: 44, 5: 42, 6: 40, 8: 38, 10: 36, 12: 34, 15: 32}


@pytest.mark.parametrize("distance, level", MANUAL.items())
@pytest.mark.parametrize("planes, more", [(1, 0), (2, 3), (3, 6)])
def test_distance_table_of_a_heat_pump_manual(distance, level, planes, more):
    """Whole decibels; Q = 4 is 3 dB and Q = 8 is 6 dB above Q = 2 in that table."""
    found = 64.0 - divergence(distance) + solid_angle_index(planes)
    assert found == pytest.approx(level + more, abs=0.5)


def test_point_source_in_free_space():
    """Published example of a fan: L_W 90 dB, 5 m, Q = 1: 65.02 dB."""
    assert 90.0 - divergence(5.0) + solid_angle_index(0) == pytest.approx(65.02, abs=0.005)


@pytest.mark.parametrize("distance, level", [(18.0, 40.89), (9.0, 46.92)])
def test_half_space_without_air(distance, level):
    """By hand: 74 dB(A), 20 lg d + 8 dB."""
    found = open_path(distance, facade=False)
    assert 74.0 - (found.attenuation - found.air) == pytest.approx(level, abs=0.006)
    assert found.air < 0.05


@pytest.mark.parametrize(
    "speed, change, tolerance",
    [
        (0.8, -5.0, 0.5),  # fan pages: speed down by 20 %, "about 5 dB" less
        (7 / 12, -11.7, 0.05),  # fan pages: 12 V to 7 V
        (9 / 12, -6.25, 0.005),  # fan pages: 12 V to 9 V
        (0.5, -15.05, 0.005),  # 50 lg 0.5, by hand
    ],
)
def test_fan_law(speed, change, tolerance):
    assert fan_level(70.0, speed) - 70.0 == pytest.approx(change, abs=tolerance)


@pytest.mark.parametrize("levels, total", [((86.0, 86.0), 89.0), ((86.0, 80.0), 87.0)])
def test_sum_of_two_sources(levels, total):
    """Published examples in whole decibels."""
    assert float(energy_sum(*levels)) == pytest.approx(total, abs=0.5)
    assert round(float(energy_sum(*levels))) == total


def test_equal_sources_add_ten_lg_n():
    assert float(identical(86.0, 2)) == pytest.approx(float(energy_sum(86.0, 86.0)))
    assert float(identical(60.0, 10)) == pytest.approx(70.0)
    two = SoundSources(71.0, 70.0, sections=2)
    assert float(two.at_speed(1.0)) == pytest.approx(float(energy_sum(71.0, 70.0, 71.0, 70.0)))


def test_an_hour_on_and_an_hour_off():
    """Half the time is 3.01 dB less, ISO 1996-1 energy average; a tenth 10 dB."""

    def average(levels):
        hours = HourLevels(60.0, 10.0 ** (np.array(levels) / 10.0))
        return period_level(day_levels(hours, np.arange(len(levels))), np.ones(24, dtype=bool)).year

    assert average([60.0, -np.inf]) == pytest.approx(60.0 - 10.0 * math.log10(2.0))
    assert average([60.0] + [-np.inf] * 9) == pytest.approx(50.0)
    assert level_of(0.0) == -math.inf


@pytest.mark.parametrize("distance, hs, hr", [(100.0, 12.0, 4.0), (150.0, 30.0, 2.0), (400.0, 3.0, 20.0)])
def test_ground_reflection_is_the_sum_of_source_and_image(distance, hs, hr):
    """D_Omega, ISO 9613-2 equation (11), is the energy of a mirror source below the ground beside the source's."""
    along = math.sqrt(distance**2 - (hs - hr) ** 2)
    image = math.hypot(along, hs + hr)
    both = float(energy_sum(-20.0 * math.log10(distance), -20.0 * math.log10(image)))
    assert ground_index(distance, hs, hr) == pytest.approx(both + 20.0 * math.log10(distance), abs=1e-9)


def test_ground_attenuation_by_hand():
    """ISO 9613-2 equation (10): 200 m, mean height 2 m: 4.8 - 0.02 (17 + 1.5) = 4.43 dB; 20 m up none."""
    assert ground_attenuation(200.0, 2.0) == pytest.approx(4.43)
    assert ground_attenuation(100.0, 15.0) == 0.0


def test_screen_at_grazing_and_at_its_most():
    """ISO 9613-2 7.4: 10 lg 3 = 4.8 dB where the edge just touches the line of sight, 20 dB at most for one edge."""
    assert screen_attenuation(0.0, 10.0, 10.0, 20.0) == pytest.approx(4.77, abs=0.005)
    assert screen_attenuation(5.0, 10.0, 15.0, 20.0) == 20.0


def test_screen_by_hand():
    """z 0.10 m, K_met = exp(-sqrt(5 15 19.9/0.2)/2000) = 0.958: 10 lg(3 + 20/0.678 0.10 0.958) = 7.65 dB."""
    meteorology = math.exp(-math.sqrt(5.0 * 15.0 * 19.9 / 0.2) / 2000.0)
    assert meteorology == pytest.approx(0.958, abs=0.001)
    assert pytest.approx(340.0 / 501.187) == SPEED_OF_SOUND / FREQUENCY
    assert screen_attenuation(0.10, 5.0, 15.0, 19.9) == pytest.approx(7.65, abs=0.005)


def test_path_difference_against_a_shortest_way():
    """The way over the edge by scipy: the shortest broken line that clears the parapet from above."""
    known = Surveyed(30.0, source_height=21.2, receiver_height=6.0, edge_height=21.4, edge_distance=4.0)
    along = math.sqrt(30.0**2 - 15.2**2)

    def way(height: float) -> float:
        return math.hypot(4.0, height - 21.2) + math.hypot(along - 4.0, height - 6.0)

    shortest = minimize_scalar(way, bounds=(21.4, 60.0), method="bounded", options={"xatol": 1e-9}).fun
    found = path(known, facade=False)
    assert found.edge is not None
    assert found.edge.path_difference == pytest.approx(shortest - 30.0, abs=1e-6)
    assert found.screen == found.edge.attenuation > 10.0


@pytest.mark.parametrize("loss", [20.0, 34.0, 52.0, 75.0])
@pytest.mark.parametrize("facade", [False, True])
def test_distance_against_a_general_root(loss, facade):
    root = brentq(lambda d: open_path(d, facade=facade).attenuation - loss, 0.5, 1e5, xtol=1e-9)
    assert distance_for(loss, facade=facade) == pytest.approx(root, rel=1e-7)


def test_periods_of_the_directive():
    """Directive 2002/49/EC Annex I: day 12 h from 07, evening 4 h from 19, night 8 h from 23."""
    hours = period_hours(7.0, 19.0, 23.0)
    assert np.flatnonzero(hours["day"]).tolist() == list(range(7, 19))
    assert np.flatnonzero(hours["evening"]).tolist() == [19, 20, 21, 22]
    assert np.flatnonzero(hours["night"]).tolist() == [0, 1, 2, 3, 4, 5, 6, 23]
