"""Status, demand and words of the roof checks for rows that each settle one question; made-up values."""

from dataclasses import replace
from pathlib import Path

import pytest
from asked import asked

from edgecheck.checks.model import GROUPS
from edgecheck.checks.roof import ROOF_CHECKS, demand_of, roof_checks, roof_detail
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import DOES_NOT_APPLY, Site
from edgecheck.inputs.unit import load_unit
from edgecheck.roof.asks import roof_asks
from edgecheck.roof.demand import roof_demand
from edgecheck.roof.spreader import NO_SPREADER, stated_spreader

G = 9.80665
EXAMPLE = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
CRITERIA = load_criteria("full")  # utilisation_caution 0.80
NO_SNOW = {"load_standard": "en", "en_ground_snow_kpa": 0.0}
OPEN = {
    **NO_SNOW,
    "landlord_max_kg": DOES_NOT_APPLY,
    "roof_evidence": "calculation",
}  # nothing else in the way
MASS = 176.0 + 38.0 + 118.0 * 0.815  # kg
PATCH = MASS * G / (1.2 * 0.8) / 1000  # kPa


def make_unit(**mass):
    return EXAMPLE.model_copy(update={"mass": EXAMPLE.mass.model_copy(update=mass)})


def site(row):
    return Site(row=2, site_id="X", values=row)


def checked(row, ballast=None, unit=None):
    unit = unit or make_unit()
    return roof_checks(site(row), unit, CRITERIA, demand_of(site(row), unit, 815.0, ballast))


def result(check_id, row, unit=None):
    return next(one for one in checked(row, unit=unit) if one.id == check_id)


def load(row, unit=None):
    return result("roof.load", row, unit)


def point(row, unit=None):
    return result("roof.point-load", row, unit)


def test_declarations():
    ids = ["roof.space", "roof.load", "roof.point-load", "roof.bearing", "roof.member-share"]
    assert [check.id for check in ROOF_CHECKS] == ids
    assert [one.id for one in checked({})] == ids
    for check in ROOF_CHECKS:
        assert check.group in GROUPS
        assert check.has_true_zero
        assert check.basis


def test_nothing_known_shows_the_demand_and_what_would_be_enough():
    result = load({})
    assert result.status == "not assessed"
    assert result.demand == pytest.approx(PATCH)
    assert (result.limit, result.utilisation) == (None, None)
    assert result.missing == (
        "roof_reserve_kpa",
        "load_standard",
        "asce_ground_snow_kpa",
        "en_ground_snow_kpa",
    )
    assert "3.17 kPa to spare would be enough" in result.note
    foot = point({})
    assert foot.status == "not assessed"
    assert foot.demand > MASS * G / 2000
    assert foot.missing == ("roof_reserve_point_kn",)


def test_patch_within_reserve_passes():
    result = load({**OPEN, "roof_reserve_kpa": 3.5})
    assert result.status == "pass"
    assert result.utilisation == pytest.approx(PATCH / 3.5)
    assert "snow" in result.note


def test_patch_above_reserve_is_a_caution_with_the_spreader_that_passes():
    row = {**OPEN, "roof_reserve_kpa": 2.4, "free_length_m": 6.0, "free_width_m": 4.0}
    result = load(row)
    assert result.status == "caution"
    assert result.utilisation > 1
    assert "1.19 x 1.19 m" in asked(result)
    given_back = {
        **row,
        "spreader_kind": "frame",
        "spreader_length_m": 1.19,
        "spreader_width_m": 1.19,
        "spreader_kg": 25.0 * 1.19**2,
    }
    assert load(given_back).status == "pass"
    smaller = {**given_back, "spreader_length_m": 1.17}
    assert load(smaller).status == "caution"


def test_patch_above_reserve_proves_nothing_without_members_or_free_area():
    result = load({**OPEN, "roof_reserve_kpa": 2.4, "free_length_m": 6.0})
    assert result.status == "not assessed"
    assert result.limit == 2.4
    assert result.missing == ("member_span_m", "member_spacing_m", "free_width_m")


def test_whole_free_area_too_weak_fails():
    row = {**OPEN, "roof_reserve_kpa": 0.5, "free_length_m": 3.0, "free_width_m": 2.0}
    assert load(row).status == "fail"  # 3.04 kN on 6 m2 is 0.51 kPa
    assert load({**row, "free_width_m": 2.1}).status == "caution"


def test_spreader_that_does_not_fit_or_does_not_exist_leaves_the_members_to_an_engineer():
    row = {**OPEN, "roof_reserve_kpa": 0.6, "free_length_m": 20.0, "free_width_m": 2.0}
    assert "more than the free width of 2 m" in asked(load(row))
    row = {**OPEN, "roof_reserve_kpa": 0.2, "free_length_m": 20.0, "free_width_m": 20.0}
    assert "no spreader is light enough" in asked(load(row))


def test_member_decides_where_it_is_known():
    row = {**OPEN, "member_span_m": 6.0, "member_spacing_m": 2.4}
    result = load({**row, "roof_reserve_kpa": 0.5})
    assert result.status == "pass"
    assert result.demand == pytest.approx(0.4225, abs=1e-3)
    assert "member" in result.governed_by
    assert (
        load({**row, "roof_reserve_kpa": 0.4, "free_length_m": 30.0, "free_width_m": 30.0}).status == "fail"
    )


def test_half_known_member_is_not_assessed():
    row = {**OPEN, "roof_reserve_kpa": 0.4, "member_span_m": 6.0, "free_length_m": 30.0, "free_width_m": 30.0}
    result = load(row)
    assert result.status == "not assessed"
    assert result.missing == ("member_spacing_m",)


def test_short_stiff_member_does_not_overrule_a_patch_that_passes():
    row = {**OPEN, "roof_reserve_kpa": 3.5, "member_span_m": 2.0, "member_spacing_m": 0.7}
    result = load(row)
    assert result.status == "pass"
    assert "patch" in result.governed_by


def test_no_reserve_left_fails_whatever_the_area():
    assert load({**OPEN, "roof_reserve_kpa": 0.0}).status == "fail"
    derived = {"roof_use": "accessible", "roof_design_imposed_kpa": 1.5, "roof_existing_plant_kpa": 2.0}
    result = load({**OPEN, **derived})
    assert result.status == "fail"
    assert result.limit == pytest.approx(-0.5)
    assert result.utilisation is None


def test_reserve_from_imposed_load_needs_use_imposed_and_existing():
    row = {**OPEN, "roof_use": "plant", "roof_design_imposed_kpa": 5.0, "roof_existing_plant_kpa": 0.5}
    result = load(row)
    assert (result.status, result.limit) == ("pass", 4.5)
    for key in ("roof_use", "roof_design_imposed_kpa", "roof_existing_plant_kpa"):
        without = load({name: cell for name, cell in row.items() if name != key})
        assert without.status == "not assessed"
        assert without.missing == ("roof_reserve_kpa", key)


def test_maintenance_load_is_no_reserve():
    row = {"roof_use": "maintenance-only", "roof_design_imposed_kpa": 5.0, "roof_existing_plant_kpa": 0.0}
    result = load({**OPEN, **row})
    assert result.status == "caution"
    assert "no capacity for permanent plant" in result.note
    weak = load(
        {**OPEN, **row, "roof_design_imposed_kpa": 0.6, "member_span_m": 2.0, "member_spacing_m": 1.0}
    )
    assert (weak.status, weak.missing) == ("not assessed", ("roof_reserve_kpa",))
    assert load({**OPEN, **row, "roof_reserve_kpa": 4.0}).status == "pass"  # an engineer's word counts


@pytest.mark.parametrize(
    ("evidence", "enough", "too_little"),
    [
        ("calculation", "pass", "fail"),
        ("survey", "pass", "fail"),
        ("drawing", "caution", "fail"),
        ("assumed", "caution", "not assessed"),
        (None, "caution", "fail"),
    ],
)
def test_evidence(evidence, enough, too_little):
    row = {**NO_SNOW, "landlord_max_kg": DOES_NOT_APPLY, "member_span_m": 6.0, "member_spacing_m": 2.4}
    if evidence:
        row["roof_evidence"] = evidence
    assert load({**row, "roof_reserve_kpa": 4.0}).status == enough
    assert load({**row, "roof_reserve_kpa": 0.1}).status == too_little
    assert point({**row, "roof_reserve_point_kn": 4.0}).status == enough
    assert point({**row, "roof_reserve_point_kn": 0.5}).status == too_little


def test_landlord():
    row = {**NO_SNOW, "roof_evidence": "calculation", "roof_reserve_kpa": 4.0}
    assert load({**row, "landlord_max_kg": DOES_NOT_APPLY}).status == "pass"
    assert load({**row, "landlord_max_kg": MASS}).status == "pass"
    over = load({**row, "landlord_max_kg": 300.0})
    assert over.status == "fail"
    assert over.utilisation == pytest.approx(MASS / 300.0)
    assert "300 kg" in over.governed_by
    unknown = load(row)
    assert unknown.status == "caution"
    assert "landlord allows 310 kg" in asked(unknown)
    assert load({"landlord_max_kg": 300.0, "roof_evidence": "assumed"}).status == "fail"


def test_spreader_counts_in_the_landlords_mass():
    spreader = {
        "spreader_kind": "frame",
        "spreader_length_m": 1.6,
        "spreader_width_m": 1.2,
        "spreader_kg": 60.0,
    }
    row = {
        **NO_SNOW,
        **spreader,
        "roof_evidence": "calculation",
        "roof_reserve_kpa": 4.0,
        "landlord_max_kg": 350.0,
    }
    assert load(row).status == "fail"
    assert load({**row, "landlord_max_kg": 371.0}).status == "pass"
    del row["spreader_kg"]
    unknown = load(row)
    assert unknown.status == "not assessed"
    assert unknown.missing == ("spreader_kg",)
    assert unknown.demand == pytest.approx((MASS + 25 * 1.92) * G / 1.92 / 1000)


@pytest.mark.parametrize("kind", ["slab", "board", None])
def test_only_a_rigid_frame_is_credited_with_its_plan(kind):
    spreader = {"spreader_length_m": 1.6, "spreader_width_m": 1.2, "spreader_kg": 60.0}
    if kind:
        spreader["spreader_kind"] = kind
    assert load(spreader).demand == pytest.approx((MASS + 60) * G / 0.96 / 1000)
    frame = load({**spreader, "spreader_kind": "frame"})
    assert frame.demand == pytest.approx((MASS + 60) * G / 1.92 / 1000)


def test_no_spreader():
    assert stated_spreader(site({})) == NO_SPREADER
    assert stated_spreader(site({"spreader_kind": "none"})) == NO_SPREADER
    assert stated_spreader(site({"spreader_kind": "none", "spreader_kg": 50.0})).stated
    assert stated_spreader(site({"spreader_kind": "board"})).missing == (
        "spreader_length_m",
        "spreader_width_m",
        "spreader_kg",
    )


def test_point_load_cautions_above_the_share_of_the_criteria():
    demand = point({}).demand
    row = {**OPEN, "roof_reserve_point_kn": demand}
    assert (point(row).status, point(row).spare) == ("caution", 0.0)
    assert point({**row, "roof_reserve_point_kn": demand / 0.79}).status == "pass"
    assert point({**row, "roof_reserve_point_kn": demand / 0.81}).status == "caution"
    assert point({**row, "roof_reserve_point_kn": demand * 0.99}).status == "fail"


def test_unit_that_tips_over_by_its_own_data_is_not_assessed():
    result = point({**OPEN, "roof_reserve_point_kn": 50.0}, make_unit(centre_of_gravity_m=(0.1, 0.41, 0.5)))
    assert (result.status, result.demand) == ("not assessed", None)
    assert "tips over" in result.note


def test_asks():
    """Areas and pressures by hand; spreader sides from a = sqrt(W/(p - 25 g))."""
    unit = make_unit()
    asks = roof_asks(unit, roof_demand(unit, 815.0, NO_SPREADER))
    assert asks["asks_mass_kg"] == pytest.approx(310.17)
    assert asks["asks_area_m2"] == pytest.approx(2.2 * 2.2)
    assert asks["asks_kpa"] == pytest.approx(3.168, abs=1e-3)
    assert asks["asks_spreader_at_1_kpa_m"] == 2.01
    assert asks["asks_spreader_at_2_kpa_m"] == 1.32
    assert asks["asks_spreader_at_3_kpa_m"] == 1.18  # no smaller than the outer edges of the foot plates
    assert asks["asks_point_kn"] == pytest.approx(point({}).demand)
    frame = replace(NO_SPREADER, kind="frame", length=2.5, width=1.2, mass=75.0)
    spread = roof_asks(unit, roof_demand(unit, 815.0, frame))
    assert spread["asks_mass_kg"] == pytest.approx(385.17)
    assert spread["asks_area_m2"] == pytest.approx(2.5 * 2.2)
    assert spread["asks_kpa"] == pytest.approx(385.17 * G / 3.0 / 1000)
    assert spread["asks_spreader_at_1_kpa_m"] == 2.01


def test_clearances_that_the_unit_does_not_state():
    """0.9 m for service and 0.5 m for the intake, engineering defaults that the detail names."""
    bare = EXAMPLE.clearance.model_copy(update={"intake_m": None, "service_m": None})
    unit = EXAMPLE.model_copy(update={"clearance": bare})
    detail = roof_detail(site({}), unit, 815.0)
    assert detail["clear_plan_m"] == pytest.approx([2.2, 2.2])
    assert all("engineering default" in entry["source"] for entry in detail["clearances"])


def test_detail_agrees_with_the_checks():
    row = {**OPEN, "roof_reserve_kpa": 0.5, "member_span_m": 6.0, "member_spacing_m": 2.4}
    unit = make_unit()
    detail = roof_detail(site(row), unit, 815.0)
    assert detail["member"]["equivalent_kpa"] == pytest.approx(load(row).demand)
    assert detail["point_demand_kn"] == point(row).demand
    assert detail["free_area_kpa"] is None
    assert [state["name"] for state in detail["mass_states"]] == [
        "drained without servers",
        "drained",
        "operating",
    ]
    for state in detail["mass_states"]:
        assert sum(line["mass_kg"] for line in state["lines"]) == pytest.approx(state["mass_kg"])
        assert all(line["source"] for line in state["lines"])
    assert max(case["greatest_kn"] for case in detail["reactions"]) == detail["point_demand_kn"]
    for case in detail["reactions"]:
        if case["forces_kn"]:
            assert sum(case["forces_kn"]) == pytest.approx(detail["roof_weight_kn"])


BALLAST = {"fixing": "ballast", "ballast_kg": 120.0}


@pytest.mark.parametrize(
    "cells, ballast",
    [
        (BALLAST, 120.0),
        ({"ballast_kg": 120.0}, 120.0),  # fixing empty: what is stated stands there
        ({"fixing": "anchors", "ballast_kg": 120.0}, 0.0),
        ({"fixing": "loose", "ballast_kg": 120.0}, 0.0),
        ({"fixing": "ballast"}, 0.0),
    ],
)
def test_stated_ballast_stands_on_the_roof(cells, ballast):
    weight = (MASS + ballast) * G / 1000  # kN
    assert load(cells).demand == pytest.approx(weight / 0.96)
    plain, heavy = point({}).demand, point(cells).demand
    assert heavy == pytest.approx(plain * (MASS + ballast) / MASS)
    detail = roof_detail(site(cells), make_unit(), 815.0)
    assert detail["roof_mass_kg"] == pytest.approx(MASS + ballast)
    assert detail["asks"]["asks_mass_kg"] == pytest.approx(MASS + ballast)
    operating = detail["mass_states"][-1]
    lines = {line["name"]: line["mass_kg"] for line in operating["lines"]}
    assert lines.get("ballast fixed to the unit", 0.0) == ballast
    assert sum(lines.values()) == pytest.approx(operating["mass_kg"])
    assert [state["mass_kg"] for state in detail["mass_states"][:2]] == [176.0, 214.0]  # as it is lifted


def test_ballast_decides_over_reserve_landlord_bearing_and_member():
    row = {**OPEN, "roof_reserve_kpa": 3.5, "roof_evidence": "calculation", "roof_reserve_point_kn": 2.6}
    assert (load(row).status, point(row).status) == ("pass", "pass")
    assert "120 kg of ballast" in load({**row, **BALLAST}).note
    assert load({**row, **BALLAST, "member_span_m": 2.0, "member_spacing_m": 0.7}).status == "fail"
    assert point({**row, **BALLAST}).status == "caution"
    assert point({**row, **BALLAST, "ballast_kg": 900.0}).status == "fail"
    landlord = {**row, "landlord_max_kg": 350.0}
    assert (load(landlord).status, load({**landlord, **BALLAST}).status) == ("pass", "fail")
    bearing = {"insulation_type": "none", "membrane_pressure_limit_kpa": 200.0}
    assert result("roof.bearing", {**bearing, **BALLAST}).demand > result("roof.bearing", bearing).demand
    member = {"load_standard": "asce7-16", "member_tributary_m2": 12.0, "roof_design_dead_kpa": 3.0,
              "roof_design_imposed_kpa": 2.0}  # fmt: skip
    share = result("roof.member-share", {**member, **BALLAST}).demand
    assert share == pytest.approx((MASS + 120.0) * G / (5000.0 * 12.0))


def test_ballast_that_shall_hold_the_unit_and_is_not_stated_is_named():
    assert "not stated and not in it" in load({**OPEN, "roof_reserve_kpa": 4.0, "fixing": "ballast"}).note


def test_a_ballast_asked_about_takes_the_place_of_the_stated_one():
    row = {**OPEN, **BALLAST, "roof_reserve_kpa": 4.0}
    found = checked(row, 50.0)
    assert found[1].demand == pytest.approx((MASS + 50.0) * G / 960.0)
    bare = checked(row, 0.0)
    assert bare[1].demand == pytest.approx(PATCH)
