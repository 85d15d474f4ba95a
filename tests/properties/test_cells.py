"""Emptying cells of a row through the whole chain: what becomes unknown never makes a site better.

Rows: the example list's first row with every column of the roof filled, and rows that each fail in another way.
"""

from functools import cache
from typing import Any

import pytest
from asked import asked
from hypothesis import given, settings
from hypothesis import strategies as st
from site_cases import REQUIRED, UNIT, decide, example_values, site

from edgecheck.base.liquids import FILLING_TEMPERATURE
from edgecheck.chain import liquid_of
from edgecheck.checks.result import Result
from edgecheck.checks.roof import demand_of, roof_checks
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.columns import columns
from edgecheck.inputs.criteria import load_criteria

CRITERIA = load_criteria("full")
# Columns that feed a check, whose emptiness means "unknown" and nothing else
UNKNOWN = [
    name
    for name, column in columns().items()
    if column.feeds and not column.has_default and not column.required
]
BEST_FIRST = ("pass", "not applicable", "caution", "not assessed", "fail")
VERDICTS = ("go", "conditional", "undecided", "no-go")

ROWS: dict[str, dict[str, Any]] = {
    "example": {},
    "example, everything known": {
        "roof_use": "plant",
        "roof_design_imposed_kpa": 5.0,
        "roof_existing_plant_kpa": 1.0,
        "roof_design_imposed_point_kn": 3.0,
        "roof_design_snow_kpa": 0.5,
        "roof_design_dead_kpa": 3.0,
        "member_span_m": 6.0,
        "member_spacing_m": 2.0,
        "member_tributary_m2": 12.0,
        "structure_type": "rc-slab",
        "landlord_max_kg": DOES_NOT_APPLY,
        "spreader_kind": "frame",
        "spreader_length_m": 1.6,
        "spreader_width_m": 1.2,
        "spreader_kg": 40.0,
        "spreader_fixed": "yes",
        "spreader_thickness_mm": 120.0,
        "risk_category": "II",
        "en_ground_snow_kpa": None,
        "roof_level_agl_m": 24.0,
        "building_top_agl_m": 24.0,
        "building_length_m": 40.0,
        "building_width_m": 25.0,
        "edge_distance_m": 6.0,
        "parapet_height_m": 1.0,
        "roof_step_m": 0.0,
        "roof_slope_deg": 1.0,
        "walls_within_3_m": 0.0,
        "insulation_type": "xps",
        "insulation_longterm_kpa": 120.0,
        "membrane_pressure_limit_kpa": 150.0,
        "fixing": "anchors",
        "anchors": 4.0,
        "anchor_design_tension_kn": 4.0,
        "anchor_design_shear_kn": 4.0,
        "anchor_level": "design",
        "ballast_kg": 0.0,
        "friction_design": 0.3,
        "friction_evidence": "test",
        "asce_kzt": 1.0,
        "seismic_design_category": "D",
        "sds_g": 0.8,
        "component_importance": 1.0,
        "lift_rated_kg": 1000.0,
        "lift_car_width_m": 1.6,
        "lift_car_depth_m": 1.4,
        "lift_door_width_m": 1.1,
        "lift_door_height_m": 2.1,
        "lift_to_roof": "yes",
        "stair_width_m": 1.2,
        "hatch_length_m": DOES_NOT_APPLY,
        "hatch_width_m": DOES_NOT_APPLY,
        "door_width_m": 1.2,
        "crane_access": "no",
        "so2_deposition_mg_m2_d": 5.0,
        "cl_deposition_mg_m2_d": 10.0,
        "coast_distance_km": 12.0,
        "feed_spare_ampere": 80.0,
        "feed_kva": 20.0,
        "breaker_curve": "C",
        "feed_cable_length_m": 30.0,
        "feed_cable_mm2": 16.0,
        "dc_plant_volt": 48.0,
        "dc_spare_ampere": 60.0,
        "neighbour_distance_m": 90.0,
        "neighbour_limit_day_dba": 60.0,
        "neighbour_limit_evening_dba": 55.0,
        "neighbour_limit_night_dba": 50.0,
        "sound_limit_basis": "hour-average",
        "sound_background_dba": 38.0,
        "receiver_position": "facade",
        "receiver_height_m": 12.0,
        "containment_litre": 200.0,
        "containment_rule": "landlord",
        "design_rain_mm": 60.0,
    },
    "salt air": {"so2_deposition_mg_m2_d": 20.0, "cl_deposition_mg_m2_d": 400.0},
    "near the sea": {"so2_deposition_mg_m2_d": 5.0, "coast_distance_km": 0.5},
    "european": {
        "load_standard": "en",
        "asce_wind_speed_m_s": None,
        "asce_exposure": None,
        "asce_ground_snow_kpa": None,
        "seismic_design_category": None,
        "en_wind_speed_m_s": 26.0,
        "en_terrain": "III",
        "en_orography": 1.0,
        "en_ground_snow_kpa": 0.8,
        "en_snow_region": "other",
        "en_ground_acceleration_g": 0.1,
        "en_soil_factor": 1.2,
        "en_importance_factor": 1.0,
    },
    "member overloaded": {
        "roof_reserve_kpa": 0.5,
        "member_span_m": 4.0,
        "member_spacing_m": 1.0,
        "landlord_max_kg": 2000.0,
    },
    "free area too small": {"roof_reserve_kpa": 0.5, "free_length_m": 2.4, "free_width_m": 2.4},
    "nothing left": {
        "roof_reserve_kpa": None,
        "roof_use": "plant",
        "roof_design_imposed_kpa": 1.0,
        "roof_existing_plant_kpa": 1.0,
    },
    "landlord": {"landlord_max_kg": 50.0, "roof_reserve_kpa": 5.0},
    "feet": {"roof_reserve_point_kn": 0.5},
    "heavy spreader": {
        "spreader_kind": "slab",
        "spreader_length_m": 1.2,
        "spreader_width_m": 0.9,
        "spreader_kg": 2000.0,
        "landlord_max_kg": DOES_NOT_APPLY,
    },
    "too hot": {"it_load_kw": 9.0, "extreme_dry_bulb_c": 46.0},
    "everything at once": {
        "it_load_kw": 9.0,
        "roof_reserve_kpa": 0.5,
        "member_span_m": 4.0,
        "member_spacing_m": 1.0,
        "landlord_max_kg": 50.0,
        "roof_reserve_point_kn": 0.1,
    },
}

# (row, column, check) where an emptied cell does end in a better status, and why that is meant
ACCEPTED = {
    # an unknown limit of the landlord leaves a condition to ask him: what is above it is never a pass
    ("landlord", "landlord_max_kg", "roof.load"): "caution",
}


def row(name: str) -> dict[str, Any]:
    values = dict(example_values()) | ROWS[name]
    return {key: value for key, value in values.items() if value is not None}


@cache
def whole(name: str) -> Result:
    return decide(row(name))


@cache
def without(name: str, column: str) -> Result:
    return decide({key: value for key, value in row(name).items() if key != column})


def by_id(result: Result) -> dict[str, Any]:
    return {check.id: check for check in result.checks}


# Checks that a row fails, which the example's row does not
FAILING = {
    "member overloaded": {"roof.load"},
    "free area too small": {"roof.load"},
    "nothing left": {"roof.load"},
    "landlord": {"roof.load"},
    "feet": {"roof.point-load"},
    "heavy spreader": {"roof.point-load"},
    "too hot": {"heat.headroom", "heat.hot-spell"},
    "everything at once": {"heat.headroom", "roof.load", "roof.point-load"},
}
WHOLE = "example, everything known"
PAIRS = [(name, column) for name in ROWS for column in UNKNOWN if column in row(name)]


def of_its_own(name: str, column: str) -> bool:
    """Whether a pair is more than a cell of the example's row in other company."""
    if name in ("example", WHOLE) or column in ROWS[name]:
        return True
    return not FAILING.get(name, set()).isdisjoint(columns()[column].feeds)


# By default every cell of the sparse and of the whole row, and in each other row what is peculiar to it or feeds what
# it fails; the slow tests take every cell of every row.
SAMPLE = [
    pytest.param(name, column, marks=() if of_its_own(name, column) else pytest.mark.slow)
    for name, column in PAIRS
]


def test_the_columns_are_those_of_the_roof_and_all_are_tried():
    heat = [
        name
        for name in UNKNOWN
        if any(check.startswith(("heat.", "outage.")) for check in columns()[name].feeds)
    ]
    assert heat == []  # every column of the heat group says what empty means
    tried = {column for _, column in PAIRS}
    assert {name for name in UNKNOWN if columns()[name].used} <= tried
    assert tried == {column for name, column in PAIRS if of_its_own(name, column)}


def test_the_rows_fail_as_meant():
    assert whole("example").verdict == "conditional"
    assert whole(WHOLE).verdict == "conditional"
    for name, failing in FAILING.items():
        found = {check.id for check in whole(name).checks if check.status == "fail"}
        assert found >= failing, name
        assert whole(name).verdict == "no-go"


@pytest.mark.parametrize("name, column", SAMPLE)
def test_an_emptied_cell_never_turns_its_check_into_pass_or_caution(name, column):
    before, after = by_id(whole(name)), by_id(without(name, column))
    for check_id in CHECK_IDS:
        was, becomes = before[check_id].status, after[check_id].status
        if check_id not in columns()[column].feeds:
            assert becomes == was
        elif (name, column, check_id) in ACCEPTED:
            assert becomes == ACCEPTED[name, column, check_id]
            assert column in asked(after[check_id])
        else:
            assert BEST_FIRST.index(becomes) >= BEST_FIRST.index(was) or becomes == "not assessed"


@pytest.mark.parametrize("name, column", SAMPLE)
def test_an_emptied_cell_never_yields_go_and_a_no_go_of_its_own_opens_up(name, column):
    before, after = whole(name), without(name, column)
    assert after.verdict != "go"
    assert "go" not in set(after.groups.values()) - set(before.groups.values())
    for group, verdict in after.groups.items():
        if verdict == "go":
            assert before.groups[group] == "go"
    still = {check.id for check in after.checks if check.status == "fail"}
    if before.verdict == "no-go" and not still:
        assert after.verdict in ("undecided", "conditional")
    elif before.verdict != "no-go":
        assert VERDICTS.index(after.verdict) >= VERDICTS.index(before.verdict)


@pytest.mark.parametrize("name, column", SAMPLE)
def test_what_becomes_unassessed_asks_for_the_emptied_cell(name, column):
    before, after = by_id(whole(name)), by_id(without(name, column))
    for check_id, check in after.items():
        if check.status == "not assessed" and before[check_id].status != "not assessed":
            assert column in check.missing
            assert any(text.startswith(f"{column}: ") for text in without(name, column).to_survey)


@pytest.mark.parametrize(
    "name, column, verdict",
    [
        ("member overloaded", "roof_reserve_kpa", "undecided"),
        ("member overloaded", "member_span_m", "undecided"),
        ("member overloaded", "member_spacing_m", "undecided"),
        ("free area too small", "free_length_m", "undecided"),
        ("free area too small", "roof_reserve_kpa", "undecided"),
        ("nothing left", "roof_use", "undecided"),
        ("nothing left", "roof_existing_plant_kpa", "undecided"),
        ("nothing left", "roof_design_imposed_kpa", "undecided"),
        ("landlord", "landlord_max_kg", "conditional"),
        ("feet", "roof_reserve_point_kn", "undecided"),
        ("heavy spreader", "spreader_kg", "undecided"),
        ("everything at once", "landlord_max_kg", "no-go"),
    ],
)
def test_the_cell_that_decided_alone(name, column, verdict):
    assert without(name, column).verdict == verdict


@pytest.mark.parametrize("column", [key for key in row(WHOLE) if key not in REQUIRED])
def test_not_applicable_never_comes_from_an_empty_cell(column):
    """Every filled column of the row, those with a default too; the rest is empty in it already."""
    before, after = whole(WHOLE), without(WHOLE, column)
    assert exempt(after) <= exempt(before)


def exempt(result: Result) -> set[str]:
    return {check.id for check in result.checks if check.status == "not applicable"}


def test_not_applicable_comes_from_what_a_row_says():
    assert exempt(decide(REQUIRED)) == set()
    assert "not applicable" not in decide(REQUIRED).groups.values()
    # seismic design category B is exempt by ASCE 7 13.1.4
    assert exempt(whole("example")) == {"stability.seismic"}
    assert exempt(without("example", "seismic_design_category")) == set()


def test_a_row_of_coordinates_only_separates_heat_from_what_is_unknown():
    result = decide(REQUIRED)
    assert result.groups["heat"] == "conditional"  # extremes are estimates
    assert result.groups["roof"] == "undecided"
    assert {check.status for check in result.checks} == {"pass", "caution", "not assessed"}
    assert set(result.groups.values()) == {"conditional", "go", "undecided"}
    assert result.asks["asks_mass_kg"] == pytest.approx(176.0 + 38.0 + 118.0 * 0.815)
    assert all(value is not None for value in result.asks.values())


# Some cells of the roof in any mixture, part of a spreader or of the members too
CELLS = {
    "roof_reserve_kpa": st.floats(0.0, 6.0),
    "roof_reserve_point_kn": st.floats(0.0, 4.0),
    "roof_use": st.sampled_from(["maintenance-only", "accessible", "plant"]),
    "roof_design_imposed_kpa": st.floats(0.0, 6.0),
    "roof_existing_plant_kpa": st.floats(0.0, 3.0),
    "member_span_m": st.floats(1.0, 12.0),
    "member_spacing_m": st.floats(0.3, 4.0),
    "free_length_m": st.floats(0.5, 10.0),
    "free_width_m": st.floats(0.5, 10.0),
    "landlord_max_kg": st.one_of(st.floats(50.0, 1000.0), st.just(DOES_NOT_APPLY)),
    "spreader_kind": st.sampled_from(["frame", "slab", "board", "none"]),
    "spreader_length_m": st.floats(0.5, 3.0),
    "spreader_width_m": st.floats(0.5, 3.0),
    "spreader_kg": st.floats(1.0, 600.0),
}
# Emptied cells that may end in a better status, and why
MEANT = {
    # asks the landlord, as a condition
    "landlord_max_kg": "the landlord's limit is unknown: never a pass",
    # use, design load and existing plant of the same row give a reserve of their own
    "roof_reserve_kpa": "falls back to design load less existing plant",
    # the same with the stated reserve: it comes first, whatever the others say, so nothing changes there.
    # A member of which only one size is known leaves the check open; with none it rests on the free area.
    "member_span_m": "no member at all instead of half of one",
    "member_spacing_m": "no member at all instead of half of one",
    # A spreader of which only something is known leaves the checks open; with none the unit stands on its own.
    "spreader_kind": "no spreader, or one of unknown kind, whose plan is not credited",
    "spreader_length_m": "no spreader instead of part of one",
    "spreader_width_m": "no spreader instead of part of one",
    "spreader_kg": "no spreader instead of part of one",
}
DENSITY = liquid_of(UNIT).density(FILLING_TEMPERATURE)


def roof(values):
    return {
        one.id: one
        for one in roof_checks(site(values), UNIT, CRITERIA, demand_of(site(values), UNIT, DENSITY))
    }


@settings(max_examples=150)
@given(st.fixed_dictionaries({"roof_evidence": st.sampled_from(["calculation", "assumed"])}, optional=CELLS))
def test_any_mixture_of_roof_cells(values):
    before = roof(values)
    for column in set(values) & set(CELLS):
        after = roof({key: value for key, value in values.items() if key != column})
        for check_id, check in after.items():
            was, becomes = before[check_id].status, check.status
            both = {"member_span_m", "member_spacing_m"}
            if column not in MEANT or (column in both and both <= set(values)):
                assert BEST_FIRST.index(becomes) >= BEST_FIRST.index(was) or becomes == "not assessed", column
            if column == "landlord_max_kg" and check_id == "roof.load":
                assert becomes != "pass"
            if column == "roof_reserve_kpa" and not {"roof_use", "roof_design_imposed_kpa"} <= set(values):
                assert check_id != "roof.load" or becomes in ("not assessed", "fail")
