"""Numbers as text. Expected texts are rounding by hand."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.outputs import number_text
from edgecheck.outputs.words import ask_title, joined


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (12.0, "12.0"),
        (0.09964, "0.0996"),
        (99.96, "100"),
        (9.996, "10.0"),
        (-3.2, "−3.20"),
        (8760.0, "8760"),
        (52560.0, "52\u202f600"),
        (1234567.0, "1\u202f230\u202f000"),
        (0.0, "0"),
        (0.000123456, "0.000123"),
    ],
)
def test_three_significant_figures(value, text):
    assert number_text.significant(value) == text


@given(st.floats(min_value=1e-6, max_value=1e9), st.booleans())
def test_text_stays_within_half_a_unit_of_the_third_figure(value, negative):
    value = -value if negative else value
    text = number_text.significant(value).replace("\u202f", "").replace("−", "-")
    assert "e" not in text
    assert float(text) == pytest.approx(value, rel=0.00501)


@pytest.mark.parametrize("value", [None, math.nan, np.float64("nan")])
def test_unknown_is_named_and_never_zero(value):
    assert number_text.quantity(value, "kW") == "not known"
    assert number_text.percent(value) == "not known"
    assert number_text.count(value, "h") == "not known"
    assert number_text.step(value, "K") == "not known"
    assert number_text.cell(value) == ""


def test_units_and_endless_values():
    assert number_text.quantity(40.0, "degC") == "40.0 °C"
    assert number_text.quantity(math.inf, "min") == "unlimited"
    assert number_text.kilowatt(6513.0) == "6.51 kW"
    assert number_text.percent(0.1234) == "12.3 %"
    assert number_text.count(8760, "h") == "8760 h"


def test_steps_keep_their_decimals_so_that_sums_can_be_followed():
    assert number_text.step(-350.0, "kW", factor=1000.0, decimals=3) == "−0.350 kW"
    assert number_text.step(0.4, "K", signed=True) == "+0.40 K"
    assert number_text.step(-0.001, "K", signed=True) == "+0.00 K"


def test_times_in_words_do_not_depend_on_the_locale():
    stamp = np.datetime64("2001-07-19T15:00")
    assert number_text.time_text(stamp) == "2001-07-19 15:00"
    assert number_text.day_text("2001-07-19 15:00") == "19 Jul, 15:00"
    assert number_text.time_text(None) == "not known"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.1 + 0.2, "0.3"),
        (1e-7, "0.0000001"),
        (1e12, "1000000000000"),
        (-0.0, "0"),
        (math.inf, "inf"),
        (7, "7"),
        (np.int64(7), "7"),
        (True, "yes"),
        (["a", "b"], "a; b"),
        ([], ""),
        ("as it is", "as it is"),
    ],
)
def test_cells_for_programs(value, text):
    assert number_text.cell(value) == text


def test_asked_quantities_have_a_title_and_a_unit_even_when_new():
    assert ask_title("asks_mass_kg") == ("Mass in operation, with spreader", "kg")
    assert ask_title("asks_cable_gland_m2") == ("Cable gland", "m2")
    assert joined(["a", "b", "c"]) == "a, b and c"
