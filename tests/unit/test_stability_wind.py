"""Status, demand and words of the wind check for rows that each settle one question; made-up values."""

import math
from dataclasses import replace

import pytest
from asked import asked
from stability_cases import (
    ANCHORS,
    ASCE,
    CRITERIA,
    DENSITY,
    EN,
    EXAMPLE,
    GRIP,
    STRONG_ROOF,
    WEAK_ROOF,
    held,
    held_on,
    site,
)

from edgecheck.checks.roof import demand_of, roof_checks
from edgecheck.checks.stability import STABILITY_CHECKS, stability
from edgecheck.roof.site_stability import site_stability
from edgecheck.roof.stability import effects, governing

CALM = {**EN, "en_wind_speed_m_s": 10.0, "edge_distance_m": 50.0}
YES, NO = {"penetrations_allowed": "yes"}, {"penetrations_allowed": "no"}
NO_CAPACITY = {key: value for key, value in ANCHORS.items() if "design" not in key and key != "anchor_level"}


def wind(row, unit=EXAMPLE):
    return held(row, unit).results[0]


def test_declarations():
    assert [check.id for check in STABILITY_CHECKS] == ["stability.wind", "stability.seismic"]
    for check in STABILITY_CHECKS:
        assert check.has_true_zero
        assert check.basis


def test_every_cell_empty_is_not_assessed_and_asks_at_a_named_reference():
    found = held({})
    for result in found.results:
        assert result.status == "not assessed"
        assert (result.demand, result.utilisation) == (None, None)
    assert found.results[0].missing == (
        "load_standard",
        "roof_level_agl_m",
        "friction_design",
        "penetrations_allowed",
    )
    assert found.asks["asks_wind_at"].startswith("reference, no site: EN 1991-1-4, vb 26 m/s, terrain II")
    assert "friction 0.4" in found.asks["asks_wind_at"]
    numbers = [value for key, value in found.asks.items() if key != "asks_wind_at"]
    assert len(numbers) == 4
    assert all(value > 0.0 for value in numbers)
    assert [row["at"].split(",")[1].strip() for row in found.detail["reference"]] == [
        "no site: EN 1991-1-4",
        "no site: ASCE 7-16",
    ]


@pytest.mark.parametrize("row", [EN, ASCE])
def test_a_cell_of_the_wind_that_is_missing_is_named(row):
    for key in row:
        less = {name: value for name, value in {**row, **GRIP, **YES}.items() if name != key}
        result = wind(less)
        assert result.status == "not assessed"
        assert key in result.missing
        assert result.demand is None


def test_loose_passes_in_a_light_wind_with_tested_friction():
    result = wind({**CALM, **GRIP})
    assert result.status == "pass"
    assert result.utilisation == result.demand < 1.0
    assert "without any fixing" in result.note


@pytest.mark.parametrize("evidence", [None, "suggestion"])
def test_friction_without_a_test_is_a_caution_at_best(evidence):
    row = {**CALM, **GRIP, "friction_evidence": evidence}
    result = wind({key: value for key, value in row.items() if value is not None})
    assert result.status == "caution"
    assert "friction 0.4 is confirmed by a test" in asked(result)


def test_friction_above_0_4_counts_only_with_a_test():
    """Engineering default."""
    high = {**EN, **YES, "friction_design": 0.6}
    assert wind(high).demand == wind({**high, "friction_design": 0.4}).demand
    assert "counts as 0.4" in wind(high).note
    assert wind({**high, "friction_evidence": "test"}).demand < wind(high).demand


def test_loose_that_moves_gets_ballast_that_the_roof_carries():
    seen = []
    result = held_on("pass", {**EN, **GRIP, **NO}, seen)
    assert result.status == "caution"
    assert result.demand > 1.0
    needed = site_stability(site({**EN, **GRIP}), EXAMPLE, CRITERIA.stability, DENSITY).ballast
    assert seen == [math.ceil(needed)]
    assert f"ballast of {seen[0]} kg fixed to the unit, at friction 0.4" in asked(result)
    assert wind({**EN, **GRIP, **NO, **STRONG_ROOF}).status == "caution"


def test_anchors_where_the_roof_does_not_carry_the_ballast():
    result = wind({**EN, **GRIP, **YES, **WEAK_ROOF})
    assert result.status == "caution"
    assert asked(result).startswith("4 anchors at the feet, each for ")
    assert "design level" in asked(result)
    assert "fails roof.load" in result.note


def test_ballast_that_does_not_fit_and_no_penetrations_fails():
    result = wind({**EN, **GRIP, **NO, **WEAK_ROOF})
    assert result.status == "fail"
    assert result.utilisation > 1.0
    assert "refused" in result.note


def test_no_word_on_penetrations_is_no_permission():
    result = wind({**EN, **GRIP, **WEAK_ROOF})
    assert result.status == "not assessed"
    assert result.missing == ("penetrations_allowed",)
    assert "kN tension" in result.note


def test_no_word_on_the_roof_is_no_reserve():
    result = wind({**EN, **GRIP, **NO})
    assert result.status == "not assessed"
    assert "roof_reserve_kpa" in result.missing
    assert "penetrations_allowed" not in result.missing
    assert wind({**EN, **GRIP, **YES}).status == "caution"


def test_a_roof_that_passes_with_cautions_comes_after_anchors():
    assert "anchors" in asked(held_on("caution", {**EN, **GRIP, **YES}))
    result = held_on("caution", {**EN, **GRIP, **NO})
    assert result.status == "caution"
    assert "ballast of" in asked(result)
    assert "the reserve is confirmed" in asked(result)


def test_without_friction_only_anchors_answer():
    result = wind({**EN, **YES, **STRONG_ROOF})
    assert result.status == "caution"
    assert "anchors" in asked(result)
    for penetrations in ({}, NO):
        result = wind({**EN, **penetrations, **STRONG_ROOF})
        assert result.status == "not assessed"
        assert result.missing[0] == "friction_design"


def test_stated_ballast_passes_when_it_suffices_and_the_roof_has_seen_it():
    seen = []
    result = held_on("pass", {**EN, **GRIP, "fixing": "ballast", "ballast_kg": 2000.0}, seen)
    assert result.status == "pass"
    assert seen == [2000.0]
    assert result.utilisation < 1.0
    assert "2000 kg of ballast" in result.note
    assert held_on("fail", {**EN, **GRIP, **NO, "ballast_kg": 2000.0}).status == "fail"
    assert "ballast of" in asked(held_on("pass", {**EN, **GRIP, **NO, "ballast_kg": 100.0}))


def test_stated_ballast_does_not_count_where_the_unit_is_said_to_stand_otherwise():
    row = {**EN, **GRIP, **NO, "ballast_kg": 2000.0}
    for kind in ("loose", "anchors"):
        assert held_on("pass", {**row, "fixing": kind}).status == "caution"


def test_stated_anchors_pass_when_they_suffice():
    result = wind({**EN, **ANCHORS})
    assert result.status == "pass"
    assert 0.0 < result.utilisation < 1.0
    assert result.governed_by.startswith("anchors, wind on the front")


def test_stated_anchors_that_are_too_weak_fail_where_ballast_does_not_fit():
    weak = {**ANCHORS, "anchor_design_tension_kn": 0.5}
    result = wind({**EN, **GRIP, **weak, **WEAK_ROOF})
    assert result.status == "fail"
    assert result.utilisation > 1.0
    assert "anchors" in result.governed_by
    assert wind({**EN, **GRIP, **weak, **STRONG_ROOF}).status == "caution"
    assert wind({**EN, **weak, **WEAK_ROOF}).status == "not assessed"


def test_anchors_need_the_word_of_the_landlord():
    row = {key: value for key, value in ANCHORS.items() if key != "penetrations_allowed"}
    assert wind({**EN, **row}).status == "not assessed"
    assert wind({**EN, **row, **NO}).status == "not assessed"  # friction might still do


@pytest.mark.parametrize(
    "key", ["anchors", "anchor_design_tension_kn", "anchor_design_shear_kn", "anchor_level"]
)
def test_half_stated_anchors_are_not_assessed(key):
    row = {name: value for name, value in ANCHORS.items() if name != key}
    result = wind({**EN, **row})
    assert result.status == "not assessed"
    assert key in result.missing


def test_level_of_the_anchors_must_be_one_of_the_standard():
    """EN has design resistances only; ASCE 7 has both, and the loads follow."""
    assert wind({**EN, **ANCHORS, "anchor_level": "asd"}).missing == ("friction_design", "anchor_level")
    design, asd = wind({**ASCE, **ANCHORS}), wind({**ASCE, **ANCHORS, "anchor_level": "asd"})
    assert (design.status, asd.status) == ("pass", "pass")
    assert asd.utilisation < design.utilisation
    assert "0.9 D + 1.0 W" in design.governed_by
    assert "0.6 D + 0.6 W" in asd.governed_by


def test_fewer_anchors_than_feet_hold_nothing_that_could_be_counted_on():
    result = wind({**EN, **ANCHORS, "anchors": 3.0})
    assert (result.status, "anchors" in result.missing) == ("not assessed", True)
    eight = wind({**EN, **ANCHORS, "anchors": 8.0})
    assert eight.utilisation == pytest.approx(wind({**EN, **ANCHORS}).utilisation / 2.0)


def test_anchors_without_resistances_are_asked_for():
    result = wind({**EN, **NO_CAPACITY})
    assert result.status == "caution"
    assert "4 anchors at the feet" in asked(result)


def test_edge_distance_counts_only_where_it_is_known():
    """e/4 of a building of unknown plan is half its height: 12 m of 24 m."""
    row = {**EN, **GRIP, **YES}
    unknown, far, near = (
        wind({**row, **more}) for more in ({}, {"edge_distance_m": 12.0}, {"edge_distance_m": 11.9})
    )
    assert far.demand < near.demand == unknown.demand
    small = {"edge_distance_m": 5.0, "building_length_m": 20.0, "building_width_m": 10.0}
    assert wind({**row, **small}).demand == far.demand


def test_mean_roof_height_is_the_buildings_where_it_is_given():
    row = {**ASCE, **GRIP, **YES}
    high = held({**row, "building_top_agl_m": 60.0})
    assert high.asks["asks_wind_kn"] > held(row).asks["asks_wind_kn"]
    assert "60 m" in high.asks["asks_wind_at"]


def test_elevation_lowers_the_pressure_of_asce_and_not_of_en():
    for row, changes in ((ASCE, True), (EN, False)):
        plain, high = held({**row, **YES}), held({**row, **YES, "elevation_m": 1500.0})
        ratio = high.asks["asks_wind_kn"] / plain.asks["asks_wind_kn"]
        assert ratio == pytest.approx(0.8365 if changes else 1.0, abs=5e-5)


def test_a_higher_part_of_the_roof_leaves_a_condition():
    row = {**CALM, **GRIP}
    assert wind({**row, "roof_step_m": 0.0}).status == "pass"
    result = wind({**row, "roof_step_m": 3.0})
    assert result.status == "caution"
    assert "3 m higher" in asked(result)


def test_slope_makes_sliding_worse():
    assert wind({**EN, **GRIP, **YES, "roof_slope_deg": 5.0}).demand > wind({**EN, **GRIP, **YES}).demand


def test_a_frame_that_the_unit_is_bolted_to_gives_it_a_wider_stand():
    frame = {
        "spreader_kind": "frame",
        "spreader_length_m": 2.4,
        "spreader_width_m": 1.8,
        "spreader_kg": 120.0,
        "spreader_thickness_mm": 120.0,
    }
    loose, fixed = ({**EN, **GRIP, **YES, **frame, "spreader_fixed": word} for word in ("no", "yes"))
    assert wind(fixed).demand < wind(loose).demand
    assert "296 kg on its frame" in wind(fixed).note
    assert wind({**EN, **GRIP, **YES, **frame}).demand == wind(loose).demand
    unweighed = {key: value for key, value in fixed.items() if key != "spreader_kg"}
    assert "176 kg on its frame" in wind(unweighed).note
    upstand = held(fixed).detail["faces"][0]
    assert upstand["area_m2"] == pytest.approx(1.20 * 1.15 + 2.4 * 0.12)
    assert upstand["height_m"] < 0.12 + 0.08 + 0.575
    assert "25.35 m" in held(fixed).detail["wind"]["text"]


def test_ballast_fed_back_holds_exactly_with_its_own_wind_area():
    found = site_stability(site({**EN, **GRIP}), EXAMPLE, CRITERIA.stability, DENSITY)
    again = found.stand.with_ballast(found.ballast)
    worst = governing(effects(again, found.wind.wind, found.combinations[0], 0.4))
    assert worst.utilisation == pytest.approx(1.0, abs=1e-6)
    lighter = governing(
        effects(found.stand.with_ballast(found.ballast - 0.1), found.wind.wind, found.combinations[0], 0.4)
    )
    assert lighter.utilisation > 1.0
    assert again.shadow(worst.face)[0] > found.stand.shadow(worst.face)[0]


def test_the_lightest_state_is_judged_and_operation_is_shown():
    detail = held({**EN, **GRIP, **YES}).detail
    assert detail["state"]["name"] == "drained without servers"
    assert detail["operating"]["utilisation"] < detail["governing"]["utilisation"]


def test_other_uplift_coefficients_are_shown():
    rows = held({**EN, **GRIP, **YES}).detail["uplift_coefficients"]
    assert [row["coefficient"] for row in rows] == [0.0, 1.0, 1.5]
    used = [row["utilisation"] for row in rows]
    assert used == sorted(used)
    assert held({**ASCE, **GRIP, **YES}).detail["uplift_coefficients"] == []


def test_national_values_of_the_criteria_are_used():
    values = CRITERIA.stability.model_copy(update={"en_gamma_q": 1.0, "en_gamma_g_inf": 1.0})
    mild = site_stability(site({**EN, **GRIP}), EXAMPLE, values, DENSITY)
    shipped = site_stability(site({**EN, **GRIP}), EXAMPLE, CRITERIA.stability, DENSITY)
    assert mild.combinations[0].text == "1 G + 1 W"
    assert mild.ballast < shipped.ballast


def test_ballast_is_seen_by_the_real_roof_checks():
    row = {**EN, **GRIP, **NO, **STRONG_ROOF}
    needed = site_stability(site(row), EXAMPLE, CRITERIA.stability, DENSITY).ballast
    operating = 176.0 + 38.0 + 118.0 * 0.815
    exact = {**row, "landlord_max_kg": math.ceil(needed) + operating}
    assert wind(exact).status == "caution"
    assert wind({**row, "landlord_max_kg": exact["landlord_max_kg"] - 0.5}).status == "fail"


def test_emptying_a_cell_never_helps():
    """From every status: without any one cell the check is no better, and no not-assessed row turns into a pass."""
    order = ["fail", "not assessed", "caution", "pass"]
    rows = [
        {**EN, **GRIP, **NO, **WEAK_ROOF},
        {**EN, **GRIP, **YES, **WEAK_ROOF},
        {**EN, **GRIP, **NO, **STRONG_ROOF},
        {**EN, **ANCHORS},
        {**ASCE, **GRIP, **NO, **WEAK_ROOF},
        {**CALM, **GRIP},
        {**EN, **GRIP, "ballast_kg": 2000.0, **STRONG_ROOF},
    ]
    for row in rows:
        full = wind(row).status
        for key in row:
            if key == "landlord_max_kg":
                continue  # an unstated limit is a condition of the roof's own check
            less = wind({name: value for name, value in row.items() if name != key}).status
            worst = full if full != "fail" else "not assessed"
            assert order.index(less) <= order.index(worst), (key, full, less)


def test_a_unit_of_three_feet_is_judged_about_its_slanted_edges():
    three = replace_feet(EXAMPLE, ((0.06, 0.06), (1.14, 0.06), (0.60, 0.74)))
    row = {**EN, **YES}
    assert wind(row, three).demand > wind(row).demand
    with pytest.raises(ValueError, match="in one line"):
        wind(row, replace_feet(EXAMPLE, ((0.0, 0.0), (0.5, 0.0), (1.0, 0.0))))


def replace_feet(unit, feet):
    return unit.model_copy(update={"mass": unit.mass.model_copy(update={"feet_m": feet})})


def test_a_failure_of_the_roof_on_an_assumed_value_proves_nothing():
    row = {**EN, **GRIP, **NO, **WEAK_ROOF}
    assert wind(row).status == "fail"
    one = replace(site(row), assumed={"landlord_max_kg": None})
    result = stability(
        one,
        EXAMPLE,
        CRITERIA,
        DENSITY,
        lambda mass: roof_checks(one, EXAMPLE, CRITERIA, demand_of(one, EXAMPLE, DENSITY, mass)),
    ).results[0]
    assert result.status == "not assessed"
    assert result.missing == ("landlord_max_kg",)


def test_where_no_ballast_is_enough_it_says_so():
    slippery = {**EN, "friction_design": 0.1, "friction_evidence": "test", "roof_slope_deg": 20.0}
    found = held({**slippery, **YES})
    assert found.asks["asks_ballast_kg"] == "none is enough"
    assert "anchors" in asked(found.results[0])
    assert held({**slippery, **NO, **STRONG_ROOF}).results[0].status == "fail"
