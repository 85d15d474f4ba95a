"""Secondary containment and vibration isolation against rules, worked examples and scipy.

Rules: Control of Pollution (Oil Storage) (England) Regulations 2001, 2(2)(c) and 3(2)(a); 40 CFR 112.1(d)(5) and
112.8(c)(2); 40 CFR 264.175(b)(3) with the example of four drums that suppliers of spill pallets print; Scotland
from training material; AwSV from memory.
"""

import math

import numpy as np
import pytest
from scipy import constants, signal

from edgecheck.services.containment import largest_volume
from edgecheck.services.containment_rules import RULES, rule_named
from edgecheck.services.vibration import natural_frequency, transmissibility

GALLON = constants.gallon_US * 1000.0  # l


def rule(name):
    found = rule_named(name)
    assert found is not None
    return found


@pytest.mark.parametrize(
    "name, volumes, required",
    [
        ("England-2001", (300.0,), 330.0),  # 110 % of the one container
        ("England-2001", (300.0, 300.0, 300.0), 330.0),  # 110 % of the largest, above 25 % of all: 225
        ("England-2001", (300.0,) * 6, 450.0),  # 25 % of all, above 110 % of the largest
        ("Scotland", (300.0, 300.0, 300.0), 330.0),
        ("40 CFR 264.175", (300.0, 300.0, 300.0), 300.0),  # the largest, above 10 % of all: 90
        ("40 CFR 264.175", (55.0 * GALLON,) * 4, 55.0 * GALLON),  # printed: 22 gal against 55 gal, 55 gal
        ("40 CFR 264.175", (55.0,) * 20, 110.0),
        ("SPCC", (300.0, 250.0), 300.0),  # the largest; rain comes on top
        ("AwSV", (300.0,), 300.0),
    ],
)
def test_volume_that_a_rule_asks_for(name, volumes, required):
    assert rule(name).required(volumes) == pytest.approx(required, abs=1e-5)


@pytest.mark.parametrize(
    "name, below, reached",
    [
        ("England-2001", 200.0, 200.1),  # "200 litres or less" are exempt
        ("Scotland", 199.9, 200.0),  # portable containers of less than 200 l
        ("SPCC", 54.9 * GALLON, 55.0 * GALLON),  # "55 gallons or greater"
        ("AwSV", 220.0, 220.1),  # "not more than 0.22 m3"
    ],
)
def test_thresholds(name, below, reached):
    assert not rule(name).reaches(below)
    assert rule(name).reaches(reached)


def test_threshold_of_spcc_is_208_litres():
    assert rule("SPCC").threshold == pytest.approx(208.2, abs=0.05)


@pytest.mark.parametrize("name", [one.name for one in RULES])
def test_no_threshold_above_zero_reaches_a_unit_of_118_litres(name):
    found = rule(name)
    assert found.reaches(118.0 * 1.05) == (found.threshold == 0.0)


def test_expansion_is_that_of_the_volume_coefficient():
    """Textbook: V = V0 (1 + beta dT) with beta = 7.6e-4/K (0.62/815, hydrocarbon), to first order."""
    grown = largest_volume(118.0, 815.0, 815.0 - 0.62 * 50.0)
    assert grown == pytest.approx(118.0 * (1.0 + 0.62 / 815.0 * 50.0), rel=(0.62 / 815.0 * 50.0) ** 2 * 1.1)


def test_natural_frequency_of_an_inch_of_deflection():
    """Textbook values of HVAC vibration control: f_n = 3.13/sqrt(inches) Hz, 188/sqrt(inches) cycles a minute."""
    for inches in (0.1, 0.25, 1.0, 2.0, 3.5):
        found = natural_frequency(inches * 25.4)
        assert found == pytest.approx(3.13 / math.sqrt(inches), rel=2e-3)  # half the last printed digit
        assert found * 60.0 == pytest.approx(188.0 / math.sqrt(inches), rel=3e-3)


def test_natural_frequency_in_millimetres():
    assert natural_frequency(1.0) == pytest.approx(15.76, abs=0.005)
    assert natural_frequency(25.0) == pytest.approx(
        3.15, abs=0.005
    )  # printed beside 25 mm in a public calculator


@pytest.mark.parametrize("deflection, hertz", [(25.0, 25.0), (12.0, 14.6), (6.0, 50.0), (20.0, 3.0)])
def test_transmissibility_is_the_frequency_response_of_a_spring_and_a_mass(deflection, hertz):
    """Oracle: scipy.signal, force on the floor k x over the force on the mass, x'' + (2 pi fn)^2 x = F/m."""
    natural = natural_frequency(deflection)
    stiffness = (2.0 * math.pi * natural) ** 2  # of 1 kg
    system = signal.TransferFunction([stiffness], [1.0, 0.0, stiffness])
    _, response = signal.freqresp(system, [2.0 * math.pi * hertz])
    assert transmissibility(hertz, natural) == pytest.approx(float(np.abs(response[0])), rel=1e-9)


def test_natural_frequency_is_that_of_a_swinging_mass():
    """Oracle: scipy.signal, count of the periods of a mass let go on a spring that sinks 10 mm under it."""
    per_mass = constants.g / 0.010
    time = np.linspace(0.0, 10.0, 200_001)
    _, moved, _ = signal.lsim(([1.0], [1.0, 0.0, per_mass]), np.zeros_like(time), time, X0=[0.0, 0.01])
    crossings = np.count_nonzero(np.diff(np.sign(moved)) != 0)
    assert natural_frequency(10.0) == pytest.approx(crossings / 2.0 / 10.0, abs=0.1)


def test_isolation_of_a_common_machine():
    """1500 min-1 on 25 mm: a public calculator prints fn 3.15 Hz, ratio 7.93; undamped T = 1/(7.93^2 - 1) = 0.0162."""
    assert transmissibility(25.0, natural_frequency(25.0)) == pytest.approx(0.0162, abs=5e-5)
