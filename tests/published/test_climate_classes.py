"""Limits of environmental classes: as in the data file, consistent with saturated air, marked where unsure."""

import math

import pytest

from edgecheck.weather.class_hours import PARAMETERS
from edgecheck.weather.climate_class import class_named, climate_classes, known_classes

# Class 4.1 as an outdoor base-station hardware manual quotes it (ETS 300 019-1-4 class 4.1): -33 to +40 degC, 15 to
# 100 %, 0.26 to 25 g/m3, 0.5 degC/min averaged over 5 min. The only class that was read.
READ = {
    "temp_low": -33.0,
    "temp_high": 40.0,
    "humidity_low": 15.0,
    "humidity_high": 100.0,
    "water_low": 0.26,
    "water_high": 25.0,
    "rate": 0.5,
}
# Temperature ends of every class, from memory (ETSI 95 %, IEC 85 to 90 %). [degC]
ENDS = {
    "4.1": (-33, 40), "4.1E": (-45, 45), "4.2H": (-20, 55), "4.2L": (-65, 35), "4K1": (-20, 35), "4K2": (-33, 40),
    "4K3": (-50, 40), "4K4L": (-65, 35), "4K4H": (-20, 55), "4K4": (-65, 55),
}  # fmt: skip


def magnus_over_ice(celsius: float) -> float:
    """Saturation over ice in g/m3: Magnus' form with the constants of the WMO guide (Sonntag 1990)."""
    pressure = 611.15 * math.exp(22.46 * celsius / (272.62 + celsius))
    return 1000.0 * pressure / (461.5 * (celsius + 273.15))


def test_class_4_1_is_the_published_one():
    one = climate_classes()["4.1"]
    for name, value in READ.items():
        assert one.limits[name].value == value
        assert one.limits[name].known == "published"
    assert set(one.from_memory) == {"sun", "wind"}


@pytest.mark.parametrize("name", [name for name in ENDS if name != "4.1"])
def test_every_limit_of_the_others_is_marked_as_from_memory(name):
    one = climate_classes()[name]
    assert set(one.from_memory) == set(one.limits)
    assert all(limit.known.startswith("from memory, ") for limit in one.limits.values())
    assert all(50 <= int(limit.known[13:-2]) <= 95 for limit in one.limits.values())


@pytest.mark.parametrize("name", ENDS)
def test_ends_of_temperature_and_known_parameters(name):
    limits = climate_classes()[name].limits
    assert (limits["temp_low"].value, limits["temp_high"].value) == ENDS[name]
    assert set(limits) <= set(PARAMETERS)
    for low, high in (
        ("temp_low", "temp_high"),
        ("humidity_low", "humidity_high"),
        ("water_low", "water_high"),
    ):
        assert limits[low].value < limits[high].value


def test_the_data_file_has_every_class_and_no_other():
    assert set(climate_classes()) == set(ENDS)


@pytest.mark.parametrize(
    "name, celsius",
    [("4.1", -33.0), ("4.2H", -20.0), ("4.2L", -65.0), ("4.1E", -50.0), ("4K1", -20.0), ("4K2", -33.0)],
)
def test_the_least_absolute_humidity_is_that_of_saturated_air_at_the_cold_end(name, celsius):
    """Published saturation over ice: 0.884 g/m3 at -20, 0.250 at -33, 0.038 at -50, 0.0056 at -65 degC.

    4.1, 4.2H, 4K1 and 4K2 print it within 5 %; the others stand below it, by a third and by a half.
    """
    limit = climate_classes()[name].limits["water_low"].value
    assert limit == pytest.approx(magnus_over_ice(celsius), rel=0.05 if limit > 0.1 else 0.5)


def test_absolute_humidity_and_not_saturation_binds_at_the_hot_end():
    """Saturated air of 40 degC holds 51 g/m3 (Magnus over water), more than twice what any class allows there."""
    for one in climate_classes().values():
        hot = one.limits["temp_high"].value
        saturated = 1000.0 * 611.2 * math.exp(17.62 * hot / (243.12 + hot)) / (461.5 * (hot + 273.15))
        assert one.limits["water_high"].value < saturated


def test_no_class_of_the_second_edition_is_called_2019():
    for one in climate_classes().values():
        if one.family == "iec":
            assert "2nd edition" in one.standard
            assert "2019" not in one.title
            assert "which are not known here" in one.edition


@pytest.mark.parametrize(
    "text, name",
    [
        ("4.1", "4.1"),
        ("Class 4.1 E", "4.1E"),
        ("ETSI EN 300 019-1-4, class 4.2H", "4.2H"),
        ("IEC 60721-3-4 4K2", "4K2"),
        ("4k4h", "4K4H"),
    ],
)
def test_names_as_people_write_them(text, name):
    found = class_named(text)
    assert found is not None
    assert found.name == name


@pytest.mark.parametrize(
    "text", ["4.2", "4K26", "IEC 60721-3-4:2019 4K2", "4.1 or better", "IP65", "", "3.1"]
)
def test_what_is_no_known_class(text):
    assert class_named(text) is None


def test_messages_name_all_classes():
    assert all(name in known_classes() for name in ENDS)
