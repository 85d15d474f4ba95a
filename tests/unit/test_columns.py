"""Columns of the site list: complete, consistent, and their US twins against published conversion factors."""

import pytest
from scipy import constants

from edgecheck.inputs.check_ids import CHECK_IDS, GROUP_NAMES, expand
from edgecheck.inputs.columns import COLUMNS, headings
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS, is_earlier_output, returned_names


def test_every_check_id_stands_once_and_sound_is_three():
    assert len(CHECK_IDS) == len(set(CHECK_IDS)) == 31
    assert CHECK_IDS[0] == "heat.weather"
    assert CHECK_IDS[-1] == "services.clearance"
    assert expand("services.sound-*") == (
        "services.sound-night",
        "services.sound-evening",
        "services.sound-day",
    )
    assert GROUP_NAMES == ("heat", "outage", "environment", "roof", "stability", "delivery", "services")


def test_a_pattern_that_names_no_check_is_an_error():
    with pytest.raises(KeyError, match=r"heat\.hedroom"):
        expand("heat.hedroom")


@pytest.mark.parametrize("name", list(COLUMNS))
def test_a_column_is_consistent(name):
    column = COLUMNS[name]
    assert column.question.endswith(("?", "."))
    assert column.knows
    assert column.group
    assert set(column.feeds) <= set(CHECK_IDS)
    assert list(column.feeds) == sorted(column.feeds, key=CHECK_IDS.index)
    assert column.low <= column.high
    if column.usual_low is not None:
        assert column.possible(column.usual_low)
        assert column.possible(column.usual_high)
        assert column.usual_low < column.usual_high
    if column.kind == "choice":
        assert column.values
    if column.default is not None:
        assert column.empty_means
        assert column.default_reason
        if column.kind == "number":
            assert column.possible(column.default)
            assert column.usual(column.default)
    if column.empty_means:
        assert column.default_reason


def test_a_number_of_a_unit_carries_it_in_its_name():
    bare = {name for name, column in COLUMNS.items() if column.kind == "number" and column.stem == name}
    assert bare == {
        "roof_solar_absorptance",
        "station_wind_share",
        "recirculation",
        "inlet_roof_mixing",
        "canopy_transmittance",
        "extreme_return_years",
        "extreme_cold_return_years",
        "walls_within_3_m",
        "anchors",
        "friction_design",
        "asce_kzt",
        "component_importance",
        "en_orography",
        "en_soil_factor",
        "en_importance_factor",
        "feed_phases",
    }


@pytest.mark.parametrize(
    "name, low, high, usual",
    [
        ("elevation_m", -430, 6000, (-50, 4500)),
        ("roof_reserve_kpa", 0, 50, (0.3, 10)),
        ("roof_reserve_point_kn", 0, 100, (0.5, 20)),
        ("extreme_cold_dry_bulb_c", -70, 30, (None, None)),
        ("asce_wind_speed_m_s", 20, 110, (35, 95)),
        ("en_wind_speed_m_s", 10, 60, (18, 45)),
        ("neighbour_limit_evening_dba", 15, 90, (25, 70)),
    ],
)
def test_ranges(name, low, high, usual):
    column = COLUMNS[name]
    assert (column.low, column.high) == (low, high)
    assert (column.usual_low, column.usual_high) == usual


def test_only_columns_of_built_checks_are_used():
    assert COLUMNS["it_load_kw"].used
    assert COLUMNS["spreader_kg"].used
    assert COLUMNS["spreader_fixed"].used
    assert COLUMNS["en_terrain"].used
    assert COLUMNS["neighbour_distance_m"].used
    assert not COLUMNS["load_profile"].used


def test_feeds_expand_sets_and_patterns():
    assert COLUMNS["site_id"].feeds == CHECK_IDS
    assert COLUMNS["recirculation"].feeds == (
        "heat.headroom",
        "heat.hot-spell",
        "heat.operating-range",
        "heat.cold-spell",
        "heat.cycling",
        "outage.cooling-lost",
        "outage.pump-lost",
        "outage.restart",
        "outage.winter-start",
        "outage.condensation",
        "services.feed",
        "services.starting",
        "services.voltage-drop",
    )
    assert COLUMNS["survey_date"].feeds == ()


# Source: scipy.constants (CODATA and NIST SP 811 conversion factors).
POUND_FORCE_PER_SQUARE_FOOT = constants.lbf / constants.foot**2
US_GALLON_LITRE = constants.gallon_US * 1000.0


@pytest.mark.parametrize(
    "twin, column, factor",
    [
        ("free_length_ft", "free_length_m", constants.foot),
        ("free_length_in", "free_length_m", constants.inch),
        ("spreader_thickness_in", "spreader_thickness_mm", constants.inch * 1000),
        ("coast_distance_mi", "coast_distance_km", constants.mile / 1000),
        ("member_tributary_ft2", "member_tributary_m2", constants.foot**2),
        ("landlord_max_lb", "landlord_max_kg", constants.lb),
        ("roof_reserve_psf", "roof_reserve_kpa", POUND_FORCE_PER_SQUARE_FOOT / 1000),
        ("membrane_pressure_limit_psi", "membrane_pressure_limit_kpa", constants.psi / 1000),
        ("roof_reserve_point_lbf", "roof_reserve_point_kn", constants.lbf / 1000),
        ("roof_reserve_point_kip", "roof_reserve_point_kn", constants.lbf),
        ("asce_wind_speed_mph", "asce_wind_speed_m_s", constants.mph),
        ("containment_gal", "containment_litre", US_GALLON_LITRE),
        ("warming_f", "warming_k", constants.degree_Fahrenheit),
    ],
)
def test_twin_factors(twin, column, factor):
    heading = headings()[twin]
    assert heading.column.name == column
    assert heading.si(1.0) == pytest.approx(factor, rel=1e-12)
    assert heading.si(0.0) == 0.0


@pytest.mark.parametrize("fahrenheit", [-459.67, -40.0, 32.0, 95.0, 212.0])
def test_fahrenheit_is_converted_with_its_offset(fahrenheit):
    # Source: scipy.constants.convert_temperature.
    celsius = constants.convert_temperature(fahrenheit, "Fahrenheit", "Celsius")
    assert headings()["extreme_dry_bulb_f"].si(fahrenheit) == pytest.approx(celsius, abs=1e-12)


def test_every_length_mass_pressure_speed_temperature_has_a_twin():
    for column in COLUMNS.values():
        expected = column.unit in ("m", "mm", "km", "m2", "kg", "kPa", "kN", "m/s", "degC", "K", "litre")
        assert bool(column.twin_names()) == expected, column.name


def test_no_heading_is_known_twice():
    names = [*COLUMNS, *(twin for column in COLUMNS.values() for twin in column.twin_names())]
    assert len(names) == len(set(names)) == len(headings())


def test_no_column_bears_the_name_of_a_verdict_column():
    assert not set(headings()) & set(VERDICT_COLUMNS)


def test_an_earlier_output_has_every_verdict_column():
    assert is_earlier_output(["site_id", *VERDICT_COLUMNS])
    assert not is_earlier_output(["site_id", *VERDICT_COLUMNS[:-1]])


def test_own_columns_come_back_under_a_free_name():
    names = returned_names(["site_id", "reason", "own_reason", "rank"])
    assert names == {
        "site_id": "site_id",
        "reason": "own_own_reason",
        "own_reason": "own_reason",
        "rank": "own_rank",
    }
