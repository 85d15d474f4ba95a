"""Power feed against published numbers: rules, standard ratings, trip curves, voltage drop, DC plants."""

import cmath
import math

import pytest

from edgecheck.services.dc_plant import dc_current
from edgecheck.services.feed import (
    FEED_RULES,
    required_rating,
    running_current,
    spare_current,
    standard_rating,
)
from edgecheck.services.starting import lower_trip
from edgecheck.services.voltage_drop import SECTIONS, least_section, voltage_drop

MM2 = 1e-6


@pytest.mark.parametrize("continuous, breaker", [(16.0, 20.0), (24.0, 30.0)])
def test_nec_continuous_load(continuous, breaker):
    """NEC 210.20(A): device not below 125 % of the continuous load; a 20 A one carries 16 A, a 30 A one 24 A."""
    assert required_rating(continuous, "nec") == breaker
    assert standard_rating(required_rating(continuous, "nec"), "nec") == breaker
    assert standard_rating(required_rating(continuous + 0.1, "nec"), "nec") > breaker


def test_iec_asks_for_the_current_itself():
    """IEC 60364-4-43, 433.1: Ib <= In (from memory): 16 A flow through a 16 A breaker for ever."""
    assert standard_rating(required_rating(16.0, "iec"), "iec") == 16.0
    assert standard_rating(required_rating(38.9, "iec"), "iec") == 40.0


def test_the_hot_hour_worked_by_hand():
    """6.0 kW of servers, 2.33 kW of cooling, 0.18 kW of pump at 230 V, 0.95: P/(U cos phi) by hand, 38.9 A.

    Too much for 32 A by IEC 60364-4-43, within 50 A by NEC 210.20(A): 1.25 x 38.9 = 48.7.
    """
    current = running_current(6000.0 + 2330.0 + 180.0, 230.0, 1, 0.95)
    assert current == pytest.approx(38.9, abs=0.05)
    assert required_rating(current, "iec") > 32.0
    assert required_rating(current, "nec") == pytest.approx(48.7, abs=0.05)
    assert standard_rating(required_rating(current, "nec"), "nec") == 50.0


@pytest.mark.parametrize(
    "volt, phases, ampere, printed, digit",
    [(230.0, 1, 16.0, 3.7, 0.1), (230.0, 1, 32.0, 7.4, 0.1), (400.0, 3, 16.0, 11.0, 1.0), (400.0, 3, 32.0, 22.0, 1.0)],
)  # fmt: skip
def test_apparent_power_of_usual_feeds(volt, phases, ampere, printed, digit):
    """The usual rounded kVA of single and three-phase sockets: 3.7, 7.4, 11 and 22 (common practice)."""
    apparent = ampere * (1.0 / spare_current(1.0, volt, phases))
    assert apparent / 1e3 == pytest.approx(printed, abs=digit / 2.0)
    assert spare_current(apparent, volt, phases) == pytest.approx(ampere, rel=1e-12)


def test_standard_ratings():
    """NEC 240.6(A) up to 600 A, and the preferred ratings of IEC 60898-1, as printed in public summaries of both."""
    nec = "15 20 25 30 35 40 45 50 60 70 80 90 100 110 125 150 175 200 225 250 300 350 400 450 500 600"
    assert FEED_RULES["nec"].ratings == tuple(float(text) for text in nec.split())
    iec = "6 10 13 16 20 25 32 40 50 63 80 100 125"
    assert [r for r in FEED_RULES["iec"].ratings if r <= 125] == [float(text) for text in iec.split()]


@pytest.mark.parametrize(
    "curve, rating, trips_from", [("B", 10.0, 30.0), ("C", 16.0, 80.0), ("D", 20.0, 200.0)]
)
def test_trip_curves(curve, rating, trips_from):
    """IEC 60898-1: B trips at 3 to 5, C at 5 to 10, D at 10 to 20 times In; a B10 at 30 to 50 A."""
    assert lower_trip(rating, curve) == trips_from


# BS 7671, table 4D1B: 70 degC thermoplastic, copper, mV/A/m for one phase (two cables) and three phases, as printed in
# a wholesaler's catalogue of cable data. Printed to two figures from real conductors.
TABLE_4D1B = {2.5: (18.0, 15.0), 4.0: (11.0, 9.5), 6.0: (7.3, 6.4), 10.0: (4.4, 3.8), 16.0: (2.8, 2.4)}


@pytest.mark.parametrize("area", TABLE_4D1B)
def test_drop_per_ampere_and_metre(area):
    for phases, printed in zip((1, 3), TABLE_4D1B[area], strict=True):
        found = 1e3 * voltage_drop(1.0, 1.0, area * MM2, phases, 1.0)
        # 4 %: 0.0225 ohm mm2/m is a round number, a little above most conductors, and the table has two figures
        assert found == pytest.approx(printed, rel=0.04)
        assert found >= printed - 0.05


# IEC 60228, greatest resistance at 20 degC of class 1 and 2 plain copper, ohm/km; 0.833: factor from 70 degC
IEC_60228 = {
    1.5: 12.1,
    2.5: 7.41,
    4.0: 4.61,
    6.0: 3.08,
    10.0: 1.83,
    16.0: 1.15,
    25.0: 0.727,
    35.0: 0.524,
    70.0: 0.268,
}


@pytest.mark.parametrize("area", IEC_60228)
def test_resistance_of_conductors_at_70_degrees(area):
    at_70 = IEC_60228[area] / 0.833
    found = 1e3 * voltage_drop(1.0, 1.0, area * MM2, 1, 1.0) / 2.0
    # conductors are sold by resistance, not by area: up to 5 % around the round resistivity
    assert found == pytest.approx(at_70, rel=0.05)


def test_sections_are_those_of_the_standard():
    """IEC 60228: nominal sections; every one that has a resistance above is among them."""
    assert {round(section / MM2, 3) for section in SECTIONS} >= set(IEC_60228)


@pytest.mark.parametrize("phases", [1, 3])
@pytest.mark.parametrize("power_factor", [1.0, 0.95, 0.8, 0.35])
def test_drop_against_complex_numbers(phases, power_factor):
    """Sending minus receiving voltage by phasors; the formula is its part in phase, exact for small drops."""
    current, length, area = 40.0, 25.0, 10.0
    volt = 230.0 if phases == 1 else 400.0 / math.sqrt(3.0)
    ways = 2.0 if phases == 1 else 1.0
    impedance = complex(0.0225 / area, 0.08e-3) * length * ways
    flowing = cmath.rect(current, -math.acos(power_factor))
    sending = abs(volt + impedance * flowing)
    drop = (sending - volt) * (1.0 if phases == 1 else math.sqrt(3.0))
    found = voltage_drop(current, length, area * MM2, phases, power_factor)
    # second order: half the square of the part across, (X cos phi - R sin phi)^2 I^2/(2 U)
    across = abs((impedance * flowing).imag)
    assert found == pytest.approx(drop, abs=2.0 * across**2 / (2.0 * volt) + 1e-9)


def test_a_design_by_table_finds_the_same_section():
    """40 A over 30 m at 230 V, 3 %: 4D1B allows 6.9 V/(40 A x 30 m) = 5.75 mV/A/m, so 10 mm2 (4.4), not 6 (7.3)."""
    assert least_section(40.0, 230.0, 30.0, 1, 1.0, 0.03) == 10.0 * MM2
    assert least_section(40.0, 230.0, 3000.0, 1, 1.0, 0.03) is None


@pytest.mark.parametrize("volt, ampere", [(48.0, 125.0), (42.0, 143.0)])
def test_six_kilowatts_from_a_dc_plant(volt, ampere):
    """P/U without losses: 125 A at nominal voltage, 143 A on a discharged battery (arithmetic)."""
    assert dc_current(6000.0, volt, 1.0) == pytest.approx(ampere, abs=0.5)
