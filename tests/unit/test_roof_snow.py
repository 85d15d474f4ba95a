"""Snow of a site: what the list says and leaves open, and what it does to the weight on the roof."""

from pathlib import Path

import pytest
from asked import asked

from edgecheck.checks.roof import demand_of, roof_checks
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import DOES_NOT_APPLY, Site
from edgecheck.inputs.unit import load_unit
from edgecheck.roof.detail import roof_detail
from edgecheck.roof.snow import UNKNOWN, site_snow

UNIT = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
CRITERIA = load_criteria("full")
G = 9.80665
MASS = 176.0 + 38.0 + 118.0 * 0.815  # kg
LID = 1.2 * 0.8  # m2
PATCH = MASS * G / LID / 1000  # kPa
OPEN = {"landlord_max_kg": DOES_NOT_APPLY, "roof_evidence": "calculation"}
EN = {"load_standard": "en", "en_ground_snow_kpa": 1.0}


def site(row):
    return Site(row=2, site_id="X", values=row)


def snow(**row):
    return site_snow(site(row), UNIT)


def load(row):
    return next(
        one
        for one in roof_checks(site(row), UNIT, CRITERIA, demand_of(site(row), UNIT, 815.0))
        if one.id == "roof.load"
    )


def large_unit():
    return UNIT.model_copy(update={"body": UNIT.body.model_copy(update={"length_m": 5.0})})


def test_unknown_standard_or_ground_snow_is_no_snow_load():
    assert snow().missing == ("load_standard", "asce_ground_snow_kpa", "en_ground_snow_kpa")
    assert snow(en_ground_snow_kpa=0.0).missing == ("load_standard",)
    assert snow(load_standard="en").missing == ("en_ground_snow_kpa",)
    assert snow(load_standard="asce7-16", en_ground_snow_kpa=0.0).missing == ("asce_ground_snow_kpa",)
    for unknown in (snow(), snow(load_standard="en")):
        assert unknown.lid == unknown.bay == UNKNOWN
        assert not unknown.known


def test_no_ground_snow_is_an_answer():
    for standard, key in (("en", "en_ground_snow_kpa"), ("asce7-22", "asce_ground_snow_kpa")):
        none = snow(load_standard=standard, **{key: 0.0})
        assert none.known
        assert none.lid == none.bay == (0.0, 0.0)


def test_en_on_lid_and_bay():
    """mu_1 0.8; mu_2 = 2 x 1.23/1.0, at most 2.0; with a span of 6 m equal mid-span moment, 1 - 6/30."""
    found = snow(**EN)
    assert found.combination == "G + S (EN 1990 6.14b)"
    assert found.lid == (800.0, 800.0)
    assert found.bay == (800.0, 2000.0)
    assert found.bay_open == ("member_span_m",)
    spanned = snow(**EN, member_span_m=6.0)
    assert spanned.bay == pytest.approx((800.0 + 1200.0 * 0.8,) * 2)
    assert not spanned.bay_open


def test_asce_depends_on_the_risk_category_in_7_16():
    """0.7 x 1.0 I_s p_g with 0.24 of rain: 0.8 to 1.2 of 0.35, in category II 0.59 kPa."""
    old = {"load_standard": "asce7-16", "asce_ground_snow_kpa": 0.5}
    assert snow(**old).lid == pytest.approx((0.35 * 0.8e3 + 240.0, 0.35 * 1.2e3 + 240.0))
    assert snow(**old).lid_open == ("risk_category",)
    assert snow(**old, risk_category="II").lid == pytest.approx((590.0, 590.0))
    new = snow(load_standard="asce7-22", asce_ground_snow_kpa=0.5)
    assert new.lid == pytest.approx((0.7 * (0.7 * 1.2 * 500.0 + 380.0),) * 2)
    assert not new.lid_open  # the map is by category, and the limits of the clauses do not bind
    assert new.bay == new.lid  # no drift for a box this narrow


def test_a_higher_roof_leaves_a_bound():
    """5.3.6: 2 x 3/1.0 = 6, capped at 4.0; ASCE: snow up to the step, 0.426 x 0.5 + 2.2 kN/m3 x 3 m, 0.7 of it."""
    step = snow(**EN, roof_step_m=3.0)
    assert step.lid == (800.0, 4000.0)
    assert "3 m higher" in step.drift_remark
    assert not snow(**EN, roof_step_m=0.0).drift_remark
    asce = snow(load_standard="asce7-22", asce_ground_snow_kpa=0.5, roof_step_m=3.0)
    assert asce.lid[1] == pytest.approx(0.7 * 2413.0 * 3.0)
    assert "3 m higher" in asce.drift_remark


def test_a_long_unit_drifts_under_asce():
    """7.8: a side of 4.6 m or more; at most snow up to its top, 1.23 m."""
    found = site_snow(site({"load_standard": "asce7-22", "asce_ground_snow_kpa": 0.5}), large_unit())
    assert found.bay[1] == pytest.approx(0.7 * 2413.0 * 1.23)
    assert found.lid[1] < found.bay[1]
    assert "4.6 m" in found.drift_remark


def test_parapet_drift_is_shown_and_not_compared():
    found = snow(**EN, parapet_height_m=1.0)
    assert found.lid == snow(**EN).lid
    assert [line.value for line in found.lines if "parapet" in line.name] == [2000.0]


def test_unknown_snow_never_passes_and_never_decides():
    row = {**OPEN, "roof_reserve_kpa": 50.0}
    assert load({**row, **EN}).status == "pass"
    for key in EN:
        without = load({**row, **{name: cell for name, cell in EN.items() if name != key}})
        assert without.status == "not assessed"
        assert key in without.missing
        assert "Snow on the lid is not known" in without.note
    weak = {**OPEN, "roof_reserve_kpa": 0.3, "member_span_m": 6.0, "member_spacing_m": 2.4}
    assert load(weak).status == "fail"  # too weak without any snow


def test_stated_reserve_takes_the_snow_on_the_lid_only():
    row = {**OPEN, **EN, "roof_reserve_kpa": PATCH + 0.8 + 1e-9}
    result = load(row)
    assert result.status == "pass"
    assert result.demand == pytest.approx(PATCH + 0.8)
    assert "with snow" in result.governed_by
    assert "0.80 kPa of snow on the lid, G + S (EN 1990 6.14b)" in result.note
    less = load({**row, "roof_reserve_kpa": PATCH + 0.79, "free_length_m": 9.0, "free_width_m": 9.0})
    assert less.status == "caution"


def test_the_two_editions_give_different_answers():
    """p_g 1.0 kPa from either map: 0.96 or 0.85 kPa on the lid of the same roof."""
    row = {**OPEN, "asce_ground_snow_kpa": 1.0, "risk_category": "II", "roof_reserve_kpa": PATCH + 0.9}
    row |= {"free_length_m": 9.0, "free_width_m": 9.0}
    old, new = (load({**row, "load_standard": edition}) for edition in ("asce7-16", "asce7-22"))
    assert old.demand == pytest.approx(PATCH + 0.96)
    assert new.demand == pytest.approx(PATCH + 0.7 * 1.22)
    assert (old.status, new.status) == ("caution", "pass")


DERIVED = {
    "roof_use": "accessible",
    "roof_design_imposed_kpa": 6.0,
    "roof_existing_plant_kpa": 0.0,
    "roof_design_snow_kpa": 0.8,
    "member_span_m": 6.0,
    "member_spacing_m": 2.4,
}


def test_derived_reserve_bears_the_drift_beyond_the_design_snow():
    result = load({**OPEN, **EN, **DERIVED})
    member = 2 * (MASS * G + 800.0 * LID) / (6.0 * 2.4) / 1000
    assert result.status == "pass"
    assert result.demand == pytest.approx(member + 0.96)  # 0.8 + 1.2 (1 - 6/30) - 0.8
    assert "0.96 kPa on the bay" in result.note
    designed = load({**OPEN, **EN, **DERIVED, "roof_design_snow_kpa": 2.0})
    assert designed.demand == pytest.approx(member)


def test_unknown_design_snow_leaves_it_open_only_where_it_matters():
    row = {**OPEN, **EN, **{key: cell for key, cell in DERIVED.items() if key != "roof_design_snow_kpa"}}
    assert load(row).status == "pass"  # even with all the snow on the bay
    tight = load({**row, "roof_design_imposed_kpa": 1.5})
    assert tight.status == "not assessed"
    assert "roof_design_snow_kpa" in tight.missing
    assert load({**row, "roof_design_imposed_kpa": 0.3}).status == "fail"  # even without


def test_unknown_risk_category_leaves_it_open_only_where_it_matters():
    row = {**OPEN, "load_standard": "asce7-16", "asce_ground_snow_kpa": 0.5, "free_length_m": 9.0}
    row |= {"free_width_m": 9.0}
    assert load({**row, "roof_reserve_kpa": PATCH + 0.7}).status == "pass"
    between = load({**row, "roof_reserve_kpa": PATCH + 0.6})
    assert (between.status, between.missing) == ("not assessed", ("risk_category",))
    assert load({**row, "roof_reserve_kpa": PATCH + 0.5}).status == "caution"
    assert load({**row, "roof_reserve_kpa": PATCH + 0.6, "risk_category": "II"}).status == "pass"


def test_a_higher_roof_is_a_condition_where_its_drift_could_decide():
    row = {**OPEN, **EN, "roof_step_m": 3.0, "free_length_m": 9.0, "free_width_m": 9.0}
    assert load({**row, "roof_reserve_kpa": PATCH + 4.01}).status == "pass"
    near = load({**row, "roof_reserve_kpa": PATCH + 1.0})
    assert near.status == "caution"
    assert "adds the snow drift beside the roof that is 3 m higher" in asked(near)


def test_proposed_frame_carries_the_snow_too():
    row = {**OPEN, **EN, "roof_reserve_kpa": 2.4, "free_length_m": 9.0, "free_width_m": 9.0}
    proposed = load(row)
    side = float(asked(proposed).split("frame of ")[1].split(" x")[0])
    frame = {"spreader_kind": "frame", "spreader_length_m": side, "spreader_width_m": side}
    assert load({**row, **frame, "spreader_kg": 25.0 * side**2}).status == "pass"


def test_far_reaching_frame_is_confirmed_by_its_maker():
    """2.4 x 1.6 m reach 0.61 m beyond plates that end at 1.18 x 0.78 m."""
    frame = {"spreader_kind": "frame", "spreader_length_m": 2.4, "spreader_width_m": 1.6, "spreader_kg": 90.0}
    row = {**OPEN, **frame, "load_standard": "en", "en_ground_snow_kpa": 0.0}
    caution = load({**row, "roof_reserve_kpa": 2.0})
    assert caution.status == "caution"
    assert "0.61 m beyond the feet" in asked(caution)
    assert load({**row, "roof_reserve_kpa": 5.0}).status == "pass"  # the box's own plan is enough
    member = {"member_span_m": 6.0, "member_spacing_m": 2.4}
    assert load({**row, "roof_reserve_kpa": 2.0, **member}).status == "pass"


def test_detail_shows_every_step():
    detail = roof_detail(site({**EN, "member_span_m": 6.0}), UNIT, 815.0)["snow"]
    assert detail["lid_kpa"] == [0.8, 0.8]
    assert all(line["source"] for line in detail["lines"])
    assert {line["unit"] for line in detail["lines"]} == {"kPa", "m", ""}
    unknown = roof_detail(site({}), UNIT, 815.0)["snow"]
    assert unknown["lid_kpa"] == [0.0, None]
    assert unknown["missing"]
