"""Isolators in the report: what is shown, what is asked, and where nothing is said."""

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.services.vibration import natural_frequency, transmissibility, vibration_record

EXAMPLE = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
SPAN = {"member_span_m": 6.0}


def record(deflection, hertz, row=None):
    mass = EXAMPLE.mass.model_copy(update={"isolator_deflection_mm": deflection, "lowest_rotating_hz": hertz})
    site = Site(row=2, site_id="X", values=SPAN if row is None else row)
    return vibration_record(EXAMPLE.model_copy(update={"mass": mass}), site)


@pytest.mark.parametrize(
    "given_", [(None, 25.0, SPAN), (25.0, None, SPAN), (25.0, 25.0, {}), (None, None, SPAN)]
)
def test_nothing_is_said_without_all_three(given_):
    assert record(*given_) is None


def test_good_isolators_leave_only_the_roof_to_confirm():
    found = record(25.0, 25.0)
    assert found["transmissibility"] < 0.1
    assert found["natural_hz"] == pytest.approx(3.152, abs=1e-3)
    assert found["roof_deflection_max_mm"] == 12.5
    (text,) = found["cautions"]
    assert "12.5 mm" in text
    assert "not an input" in text


def test_isolators_that_pass_too_much_say_what_would_do():
    found = record(1.5, 25.0)
    assert found["transmissibility"] > 0.1
    text = found["cautions"][0]
    assert "pass 36 % of the force" in text
    enough = float(text.split("; ")[1].split(" mm")[0])
    assert record(enough + 0.05, 25.0)["transmissibility"] <= 0.1
    assert record(enough - 0.1, 25.0)["transmissibility"] > 0.1


def test_isolators_that_amplify_say_so():
    assert "amplify" in record(1.0, 20.0)["cautions"][0]
    resonance = record(1.0, natural_frequency(1.0))
    assert resonance["transmissibility"] == math.inf
    assert "amplify" in resonance["cautions"][0]


@given(st.floats(0.1, 100.0), st.floats(1.01, 20.0))
def test_above_resonance_a_softer_isolator_passes_less(deflection, ratio):
    hertz = ratio * natural_frequency(deflection)
    assert transmissibility(hertz, natural_frequency(deflection * 1.1)) < transmissibility(
        hertz, natural_frequency(deflection)
    )
    assert natural_frequency(deflection * 4.0) == pytest.approx(natural_frequency(deflection) / 2.0)
