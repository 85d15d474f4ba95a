"""Wind and earthquake in a list as planners write it: mixed-up standards and speeds, unusual cells, verdicts."""

import pytest
from asked import asked
from stability_cases import CRITERIA, EN, GRIP, STRONG_ROOF, held

from edgecheck.checks.cells import with_cells
from edgecheck.checks.verdict import sentence
from edgecheck.inputs.columns import COLUMNS
from edgecheck.inputs.sites import load_sites

HEAD = "site_id,latitude_deg,longitude_deg"
PLACE = "A,50,8"


@pytest.fixture
def read(tmp_path):
    def read(columns, cells):
        path = tmp_path / "list.csv"
        path.write_text(f"{HEAD},{columns}\n{PLACE},{cells}\nB,50,8{',' * len(columns.split(','))}\n")
        return load_sites(path).sites[0]

    return read


@pytest.mark.parametrize(
    "columns, cells",
    [
        ("load_standard,asce_wind_speed_m_s,asce_exposure", "en,50,B"),
        ("load_standard,en_wind_speed_m_s,en_terrain", "asce7-16,26,III"),
        ("load_standard,en_ground_acceleration_g,en_soil_factor", "asce7-22,0.2,1.2"),
    ],
)
def test_only_the_other_standards_columns_is_a_fault_of_the_row(read, columns, cells):
    (fault,) = read(columns, cells).faults
    assert "only columns of the other family" in fault.text()


def test_a_gust_in_the_column_of_the_mean_speed_is_caught(read):
    """50 m/s is a common 3-second gust and an unheard-of 10-minute mean: usual are 18 to 45 m/s."""
    one = read(
        "load_standard,roof_level_agl_m,en_wind_speed_m_s,en_terrain,fixing,anchors,anchor_design_tension_kn,"
        "anchor_design_shear_kn,anchor_level,penetrations_allowed",
        "en,24,50,III,anchors,4,60,40,design,yes",
    )
    (caution,) = [found for found in one.cautions if found.column == "en_wind_speed_m_s"]
    assert "stability.wind" in caution.checks
    found = held(dict(one.values)).results[0]
    assert found.status == "pass"
    lowered = with_cells(found, one, {})
    assert lowered.status == "caution"
    assert "en_wind_speed_m_s" in asked(lowered)


@pytest.mark.parametrize("key", ["roof_slope_deg", "asce_kzt", "en_orography", "en_importance_factor"])
def test_what_an_empty_cell_stands_for_is_declared(key):
    assert COLUMNS[key].has_default
    assert COLUMNS[key].used


def test_a_declared_default_changes_nothing():
    row = {**EN, **GRIP, "penetrations_allowed": "yes"}
    stated = {**row, "roof_slope_deg": 0.0, "en_orography": 1.0}
    assert held(row).results == held(stated).results


def test_us_units_are_read(read):
    one = read("load_standard,asce_wind_speed_mph,roof_level_agl_ft", "asce7-16,110,40")
    assert one.number("asce_wind_speed_m_s") == pytest.approx(110 * 0.44704)
    assert one.number("roof_level_agl_m") == pytest.approx(40 * 0.3048)


def test_the_answer_is_the_condition_of_the_site():
    result = held({**EN, **GRIP, "penetrations_allowed": "no", **STRONG_ROOF}).results[0]
    assert result.status == "caution"
    text = sentence(result)
    assert "Condition: ballast of " in text
    assert "against at most 1" in text
    assert "sliding, wind on the front, with uplift, 0.9 G + 1.5 W" in text


def test_values_behind_the_checks_have_reasons():
    for name in type(CRITERIA.stability).model_fields:
        assert CRITERIA.reasons[f"stability.{name}"]


def test_stated_ballast_is_counted_once_under_the_roof():
    """Operating mass 310.2 kg and 1400 kg of ballast: the landlord's limit lies just above, or just below."""
    row = {
        **EN,
        **GRIP,
        **STRONG_ROOF,
        "penetrations_allowed": "no",
        "fixing": "ballast",
        "ballast_kg": 1400.0,
    }
    operating = 176.0 + 38.0 + 118.0 * 0.815
    within = held({**row, "landlord_max_kg": operating + 1400.5})
    assert within.results[0].status == "pass"
    assert "With 1400 kg of ballast the roof checks pass" in within.results[0].note
    beyond = held({**row, "landlord_max_kg": operating + 1399.5})
    assert (
        beyond.results[0].status == "caution"
    )  # less ballast than stated is enough, and the roof carries that
    (stated, needed) = beyond.detail["fixing"]["roof_with_ballast"]
    assert (stated["ballast_kg"], stated["status"]) == (1400.0, "fail")
    assert needed["status"] == "pass"
