"""Corrosivity by ISO 9223:2012: dose-response functions, categories, time of wetness."""

import numpy as np
import pytest

from edgecheck.weather.corrosion import (
    CATEGORIES,
    COAST_CHLORIDE,
    COAST_KM,
    STEEL_BOUNDS,
    ZINC_BOUNDS,
    category_name,
    category_number,
    category_of,
    chloride_by_coast,
    corrosivity,
    hours_of_wetness,
    steel_rate,
    wetness_class,
    zinc_rate,
)

# T degC, RH %, SO2, Cl mg/m2 d -> steel, zinc um/a and categories. Worked out once by hand from the functions of
# clause 8.2: carbon steel as read in two published implementations, zinc from memory (98 %). Printed to three decimals.
CASES = [
    (10.0, 75.0, 5.0, 3.0, 21.891, "C2", 0.965, "C3"),
    (15.0, 70.0, 20.0, 10.0, 33.823, "C3", 1.253, "C3"),
    (25.0, 80.0, 10.0, 300.0, 146.342, "C5", 7.661, "C5"),
    (5.0, 80.0, 2.0, 1.0, 7.684, "C2", 0.625, "C2"),
    (-5.0, 70.0, 2.0, 1.0, 1.926, "C2", 0.268, "C2"),
]


@pytest.mark.parametrize("temp, humidity, sulphur, chloride, steel, steel_c, zinc, zinc_c", CASES)
def test_rates_and_categories(temp, humidity, sulphur, chloride, steel, steel_c, zinc, zinc_c):
    found = corrosivity(temp, humidity, sulphur, chloride)
    assert found.steel == pytest.approx(steel, abs=6e-4)
    assert found.zinc == pytest.approx(zinc, abs=6e-4)
    assert category_name(found.steel_category) == steel_c
    assert category_name(found.zinc_category) == zinc_c
    assert found.category == max(found.steel_category, found.zinc_category)
    assert found.outside == ()


@pytest.mark.parametrize(
    "rate, category",
    [
        # Table 2, carbon steel, "> lower, <= upper": C1 to 1.3, C2 to 25, C3 to 50, C4 to 80, C5 to 200, CX to 700 um/a
        (0.0, "C1"), (1.3, "C1"), (1.31, "C2"), (25.0, "C2"), (25.1, "C3"), (50.0, "C3"), (80.0, "C4"),
        (80.1, "C5"), (200.0, "C5"), (200.1, "CX"), (700.0, "CX"), (900.0, "CX"),
    ],
)  # fmt: skip
def test_a_rate_equal_to_a_bound_belongs_to_the_lower_category(rate, category):
    assert category_name(category_of(rate, STEEL_BOUNDS)) == category


@pytest.mark.parametrize(
    "rate, category", [(0.1, "C1"), (0.7, "C2"), (2.1, "C3"), (4.2, "C4"), (8.4, "C5"), (8.5, "CX")]
)
def test_bounds_of_zinc(rate, category):
    assert category_name(category_of(rate, ZINC_BOUNDS)) == category


def test_bounds_agree_with_the_mass_losses_of_the_same_table():
    """Table 2 prints g/m2 a beside um/a: steel of 7.86 and zinc of 7.14 g/cm3, within the table's rounding."""
    for um, grams in zip(STEEL_BOUNDS, (10, 200, 400, 650, 1500, 5500), strict=True):
        assert um * 7.86 == pytest.approx(grams, rel=0.05)
    for um, grams in zip(ZINC_BOUNDS, (0.7, 5, 15, 30, 60, 180), strict=True):
        assert um * 7.14 == pytest.approx(grams, rel=0.03)


def test_the_temperature_terms_meet_at_ten_degrees():
    for rate in (steel_rate, zinc_rate):
        below, above = rate(10.0, 75.0, 20.0, 20.0), rate(10.0 + 1e-9, 75.0, 20.0, 20.0)
        assert below == pytest.approx(above, rel=1e-9)


def test_outside_the_range_it_says_so():
    """ISO 9223:2012 table 3: -17.1 to 28.7 degC, 34 to 93 %, 0.7 to 150.4 and 0.4 to 760.5 mg/m2 d."""
    assert corrosivity(28.7, 93.0, 150.4, 760.5).outside == ()
    assert corrosivity(-17.1, 34.0, 0.7, 0.4).outside == ()
    found = corrosivity(29.0, 30.0, 0.1, 1000.0).outside
    assert [text.split(" ")[0] for text in found] == ["annual", "annual", "sulphur", "chloride"]


def test_time_of_wetness():
    """ISO 9223:1992: hours with more than 80 % above 0 degC; tau 1 to 10 h, 2 to 250, 3 to 2500, 4 to 5500."""
    temp = np.array([1.0, 1.0, 0.0, -1.0, 20.0])
    humidity = np.array([81.0, 80.0, 90.0, 95.0, 100.0])
    assert hours_of_wetness(temp, humidity) == 2
    assert [wetness_class(h) for h in (0, 10, 11, 250, 2500, 2501, 5500, 5501, 8760)] == [
        1, 1, 2, 2, 3, 4, 4, 5, 5,
    ]  # fmt: skip


def test_the_rule_by_distance_passes_its_points_and_falls_inland():
    assert [chloride_by_coast(km) for km in COAST_KM] == pytest.approx(COAST_CHLORIDE, rel=1e-9)
    found = [chloride_by_coast(km) for km in (0.0, 0.02, 0.1, 1.0, 10.0, 100.0, float("inf"))]
    assert found == sorted(found, reverse=True)
    assert found[-1] == pytest.approx(3.0)


def test_names_of_categories():
    assert [category_number(name) for name in CATEGORIES] == [1, 2, 3, 4, 5, 6]
    assert [category_name(number) for number in range(1, 7)] == list(CATEGORIES)
    assert category_number(" c4 ") == 4
    assert [category_number(text) for text in ("C5-M", "C7", "", "4")] == [None] * 4
