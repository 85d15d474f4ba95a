"""Snow, bearing, space, ways up, years, quality and assumed values as the report shows them."""

import re
from dataclasses import replace
from typing import Any

import pytest
from page_parts import Page
from result_factory import NEED, make_result
from site_cases import UNIT, site

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.model import outcome
from edgecheck.demo.files import demo_inputs
from edgecheck.inputs.unit import Unit, load_unit
from edgecheck.outputs.figures.roof import roof_plan
from edgecheck.outputs.number_text import readable
from edgecheck.outputs.pages import site_page
from edgecheck.outputs.views.checks import check_groups
from edgecheck.outputs.views.grounds import grounds
from edgecheck.outputs.views.head import asks, head
from edgecheck.outputs.views.roof import roof
from edgecheck.outputs.views.roof_loads import bearing, member_share, snow
from edgecheck.outputs.views.roof_place import delivery, space
from edgecheck.outputs.views.weather import quality_rows, spread_text, year_rows
from edgecheck.outputs.views.year import extreme_text
from edgecheck.roof.detail import roof_detail

DENSITY = 815.0  # kg/m3
YEARS = [
    {"year": year, "least_share": share, "hours_barred": barred, "hours_short": short, "temp_max_c": hot,
     "temp_min_c": -8.0, "role": role}
    for year, share, barred, short, hot, role in (
        (2011, 0.181, 0, 0, 34.1, ""), (2012, 0.122, 0, 0, 36.9, "worst"), (2013, 0.164, 0, 0, 35.0, "median"),
    )
]  # fmt: skip


def record(cells: dict[str, Any], unit: Unit = UNIT) -> dict[str, Any]:
    """The roof's record of a site with these cells alone."""
    return roof_detail(site(cells), unit, DENSITY)


def text_of(facts) -> str:
    return "; ".join(f"{fact.label}: {fact.value} ({fact.remark})" for fact in facts)


def with_detail(**parts: Any):
    result = make_result()
    return replace(result, detail={**result.detail, **parts})


def test_snow_shows_every_step_with_formula_and_value():
    found = snow(record({"load_standard": "en", "en_ground_snow_kpa": 1.6, "member_span_m": 6.0})["snow"])
    assert "G + S (EN 1990 6.14b): 1.28 kPa on the lid" in found.sentences[0]
    assert ("snow on the lid", "μ₁ sₖ", "1.28 kPa") in found.steps
    assert ("μ₁ of lid and roof", "5.3.2, level; Cₑ = Cₜ = 1.0, 5.2", "0.800") in found.steps


def test_snow_that_is_open_or_unknown_says_what_is_missing():
    open_one = snow(record({"load_standard": "asce7-16", "asce_ground_snow_kpa": 1.0})["snow"])
    assert " to " in open_one.sentences[0]
    assert "risk_category" in open_one.sentences[1]
    bare = snow(record({})["snow"])
    assert "not known (missing: load_standard" in bare.sentences[0]
    assert bare.steps == ()
    none = snow(record({"load_standard": "en", "en_ground_snow_kpa": 0.0})["snow"])
    assert none.sentences[0].startswith("No snow is to be counted on")


def test_the_drift_of_a_higher_roof_is_left_to_an_engineer():
    cells = {"load_standard": "en", "en_ground_snow_kpa": 1.0, "member_span_m": 6.0, "roof_step_m": 3.0}
    assert "A structural engineer adds the snow drift" in " ".join(snow(record(cells)["snow"]).sentences)


def test_bearing_puts_pressures_against_every_limit():
    cells = {
        "insulation_type": "pir",
        "insulation_longterm_kpa": 100.0,
        "membrane_pressure_limit_kpa": 200.0,
    }
    found = record(cells)["bearing"]
    shown = bearing(found)
    lasting = found["lasting"]["pressure_kpa"]
    row = next(row for row in shown.rows if "insulation, 100 kPa for years" in row[0])
    assert row[1].startswith("100 kPa, ")
    assert float(row[1].split()[2]) == pytest.approx(lasting, rel=0.01)
    assert row[2].startswith("150 kPa, ")
    assert len(shown.rows) == 3


def test_a_usual_value_decides_nothing_and_a_missing_limit_is_not_known():
    usual = bearing(record({"insulation_type": "eps"})["bearing"])
    assert "engineering default); decides nothing" in usual.rows[1][0]
    assert "Not known: membrane_pressure_limit_kpa." in usual.sentences
    bare = bearing(record({})["bearing"])
    assert bare.rows[-1] == ("limit", "not known", "not known")


@pytest.mark.parametrize(
    ("free", "along", "turned"),
    [
        ({"free_length_m": 9.0, "free_width_m": 8.0}, "fits", "fits"),
        ({"free_length_m": 1.0, "free_width_m": 8.0}, "does not fit", "does not fit"),
        ({"free_length_m": 8.0}, "not known", "not known"),
        ({}, "not known", "not known"),
    ],
)
def test_space_judges_both_orientations(free, along, turned):
    found = record(free)
    facts = {fact.label: fact for fact in space(found["space"], found["clearances"])}
    assert facts["With the front along the length"].value == along
    assert facts["Turned, with the front along the width"].value == turned
    assert facts["Distance from the nearest edge"].value == "not known"
    assert "taken as near an edge" in facts["Distance from the nearest edge"].remark


def test_space_agrees_with_the_check_where_only_one_orientation_fits():
    unit = load_unit(demo_inputs().unit)
    long_side, short_side = record({}, unit)["space"]["need_m"]
    assert long_side > short_side + 0.05
    free = {"free_length_m": short_side + 0.05, "free_width_m": long_side + 0.05, "edge_distance_m": 3.0}
    tight = record(free, unit)
    facts = {fact.label: fact.value for fact in space(tight["space"], tight["clearances"])}
    assert facts["With the front along the length"] == "does not fit"
    assert facts["Turned, with the front along the width"] == "fits"
    assert (tight["space"]["fits"], tight["space"]["turned"]) == (True, True)
    assert facts["Distance from the nearest edge"] == "3.00 m"


def test_ways_up_carry_a_word_for_their_state_and_what_is_missing():
    bare = delivery(record({})["delivery"])
    assert {way.mark for way in bare.ways} == {"not assessed"}
    assert bare.ways[0].state == "not known"
    assert "crane_access" in bare.ways[0].missing
    some = delivery(record({"crane_access": "yes", "lift_rated_kg": 100.0})["delivery"])
    states = {way.name: way for way in some.ways}
    assert states["crane beside the building"].state == "works"
    refused = states["lift to the roof"]
    assert (refused.mark, refused.state, refused.missing) == ("fail", "does not work", "")
    assert any("exceed 100 kg" in step for step in refused.steps)
    assert "1: 25.0 kg, 2: 33.3 kg, 3: 37.5 kg" in text_of(some.facts)


def test_help_on_a_way_is_named():
    cells = {"stair_width_m": 3.0, "door_width_m": 3.0, "roof_reserve_point_kn": 50.0}
    way = next(way for way in delivery(record(cells)["delivery"]).ways if way.name == "up the stairs")
    assert way.mark in ("caution", "pass")
    assert way.state.startswith("works")


def test_member_share_is_shown_only_where_the_rule_applies():
    check = next(one for one in CHECKS if one.id == "roof.member-share")
    share = outcome(check, "caution", 0.081, 0.05, governed_by="3.4 kN on a member")
    assert text_of(member_share([share])) == (
        "Share added to the member's design load, at most 5.00 %: 8.10 % (3.4 kN on a member)"
    )
    unknown = outcome(check, "not assessed", missing=("load_standard",), note="3.4 kN would need 68 kN.")
    assert "not known (3.4 kN would need 68 kN.)" in text_of(member_share([unknown]))
    assert member_share([outcome(check, "not applicable")]) == ()


@pytest.mark.parametrize(("kind", "word"), [("frame", "rigid frame"), ("board", "board"), ("slab", "slab")])
def test_plan_draws_the_spreader_to_scale_and_names_its_kind(kind, word):
    cells = {"spreader_kind": kind, "spreader_length_m": 2.4, "spreader_width_m": 1.6, "spreader_kg": 70.0}
    drawing = roof_plan(record(cells))
    assert f"on a {word} of 2.4 m by 1.6 m (dashed)" in drawing.caption
    unknown = roof_plan(record({"spreader_kind": kind}))
    assert f"the {word} under it is not drawn, its size is not known" in unknown.caption


def test_the_report_holds_snow_bearing_space_and_ways_beside_the_screening_statement():
    found = record(
        {"load_standard": "en", "en_ground_snow_kpa": 1.6, "free_length_m": 6.0, "free_width_m": 5.0}
    )
    page = Page(site_page(with_detail(roof=found), need=NEED))
    assert page.unbalanced == []
    assert len(page.ids) == len(set(page.ids))
    text = page.text("roof")
    for wanted in (
        found["screening"], "Snow", "1.28 kPa", "Pressure on insulation and roof covering", "for years",
        "6.00 m by 5.00 m", "Ways up", "crane beside the building", "not known", "crane_access",
    ):  # fmt: skip
        assert wanted in text, wanted
    assert not re.search(r"\b(None|nan|inf)\b", text)


@pytest.mark.usefixtures("bare_pages")
def test_several_years_are_shown_side_by_side():
    weather = {**make_result().detail["weather"], "years": YEARS}
    result = with_detail(weather=weather)
    rows = year_rows(result.detail)
    assert [(row[0], row[1], row[6]) for row in rows] == [
        ("2011", "18.1 %", "quick pass only"),
        ("2012", "12.2 %", "this report"),
        ("2013", "16.4 %", "the median, run in full"),
    ]
    assert "Of the 3 years of the file the least headroom share runs from 12.2 % to 18.1 %" in spread_text(
        result.detail
    )
    text = Page(site_page(result, need=NEED)).text("year")
    assert "Year by year" in text
    assert "36.9 °C" in text
    assert "Year by year" not in Page(site_page(make_result(), need=NEED)).text("year")


def test_a_year_of_unknown_capacity_is_counted_apart():
    years = [dict(YEARS[0]), {**YEARS[1], "least_share": float("nan")}]
    detail = {"weather": {"years": years}}
    assert "from 18.1 % to 18.1 %, not known in 1" in spread_text(detail)
    assert year_rows(detail)[1][1] == "not known"


@pytest.mark.usefixtures("bare_pages")
def test_quality_of_the_weather_file_is_listed_with_raised_flags_by_word():
    quality = [
        {"flag": "air temperature: spike", "hours": 3, "worst": "-31 degC", "first": "2001-02-03 04:00",
         "raised": True},
        {"flag": "sun at night", "hours": 0, "worst": "", "first": "", "raised": False},
    ]  # fmt: skip
    result = with_detail(weather={**make_result().detail["weather"], "quality": quality})
    assert quality_rows(result.detail)[0][:3] == ("air temperature: spike", "3", "−31 °C")
    text = Page(site_page(result, need=NEED)).text("grounds")
    assert "Quality of the weather file" in text
    assert text.count("raised") == 1


def test_extremes_show_their_band_or_that_it_is_not_known():
    hot = {"value_c": 38.5, "source": "years", "return_years": 20.0, "note": "A -0.4 K step, 38.5 degC.",
           "shift_k": 5.6, "low_c": 37.1, "high_c": 39.9}  # fmt: skip
    text = extreme_text({"extremes": {"hot": hot}}, "hot")
    assert "38.5 °C (band 37.1 °C to 39.9 °C)" in text
    assert "A −0.4 K step, 38.5 °C." in text
    assert "(band not known)" in extreme_text({"extremes": {"hot": {**hot, "low_c": None}}}, "hot")


@pytest.mark.usefixtures("bare_pages")
def test_assumed_values_name_who_and_why_by_word():
    result = make_result()
    entry = {
        "key": "roof_reserve_kpa", "value": 2.5, "origin": "assumed", "reason": "by R. Quill: same builder",
        "by": "R. Quill", "why": "same builder", "used": True,
    }  # fmt: skip
    result = replace(
        result,
        inputs=(*result.inputs, entry),
        conditions=("assumed and to be confirmed: roof_reserve_kpa 2.5 (R. Quill: same builder)",),
    )
    row = grounds(result).assumed[0]
    assert (row.key, row.value, row.by, row.why) == ("roof_reserve_kpa", "2.5", "R. Quill", "same builder")
    html = site_page(result, need=NEED)
    assert "◆ <b>assumed</b>" in html
    text = Page(html).text("grounds")
    assert "Assumed values" in text
    assert "1 more are assumed" not in text
    assert "R. Quill" in text
    assert "roof_reserve_kpa" in Page(html).text("answer")
    assert "Assumed values" not in site_page(make_result(), need=NEED)


@pytest.mark.parametrize(
    ("ours", "shown"),
    [
        ("-0.4 K at 20 degC", "−0.4 K at 20 °C"),
        ("EN 1991-1-4, 2001-07-15, ASCE 7-22", "EN 1991-1-4, 2001-07-15, ASCE 7-22"),
        ("815 kg/m3 over 5 m2, key_m2, (-3)", "815 kg/m³ over 5 m², key_m2, (−3)"),
    ],
)
def test_our_sentences_get_the_units_and_signs_of_print(ours, shown):
    assert readable(ours) == shown


def test_ballast_that_the_roof_is_asked_for_is_rounded_up():
    result = make_result()
    heavy = replace(result, asks={**result.asks, "asks_ballast_kg": 1034.2})
    facts = {fact.label: fact.value for fact in asks(heavy)}
    assert facts["Ballast instead of anchors"] == "1035 kg"
    none = asks(replace(result, asks={"asks_ballast_kg": None}))
    assert none[0].value == "not known"


def test_what_is_true_of_the_unit_does_not_decide_a_group():
    declared = {check.id: check for check in CHECKS}
    outcomes = (
        outcome(declared["delivery.route"], "pass", 88.0, 810.0, governed_by="lift to the roof"),
        outcome(declared["delivery.lifting"], "caution", 88.0, 37.5),
    )
    shown = head(replace(make_result(), checks=outcomes), NEED)
    group = next(row for row in shown.groups if row.title == "Delivery")
    assert group.decided_by.startswith("Heaviest part along one way up: pass")
    alone = head(replace(make_result(), checks=outcomes[1:]), NEED)
    assert next(row for row in alone.groups if row.title == "Delivery").decided_by.startswith("Mass in one")


def test_an_unknown_reserve_names_what_is_missing_and_no_evidence():
    cells = {"roof_evidence": "assumed", "roof_reserve_kpa": 0.5}
    facts = {fact.label: fact for fact in roof({"roof": record(cells)}).facts}
    assert facts["Point reserve of the roof"].value == "not known"
    assert "evidence" not in facts["Point reserve of the roof"].remark
    assert facts["Uniform reserve of the roof"].remark.endswith("evidence: assumed")


def test_a_check_that_passes_without_a_limit_has_none_that_is_not_known():
    declared = {check.id: check for check in CHECKS}
    craned = outcome(declared["delivery.route"], "pass", 88.0, governed_by="crane")
    waiting = outcome(declared["delivery.route"], "not assessed", 88.0, missing=("crane_access",))
    for check, limit in ((craned, ""), (waiting, "not known")):
        (group,) = check_groups(replace(make_result(), checks=(check,)), NEED)
        assert group.rows[0].limit == limit
