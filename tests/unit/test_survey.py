"""What to find out at a site: which questions, in which order, and what they say. Made-up results."""

from dataclasses import fields, replace

import pytest

from edgecheck.base.errors import Fault
from edgecheck.checks.declarations import check_of
from edgecheck.checks.model import CheckResult, outcome
from edgecheck.checks.result import Result
from edgecheck.checks.survey import survey_items
from edgecheck.checks.survey_order import CONFIRM, DEFAULT, HELD, REQUIRED, Asks, Reason
from edgecheck.checks.survey_words import ELSEWHERE, LIMITS, allowed, listed, others, wanted
from edgecheck.inputs.assumptions import Assumption
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.columns import COLUMNS
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.site_records import CellCaution, Site
from edgecheck.inputs.survey_columns import SURVEY_COLUMNS, SurveyItem

NEED = load_criteria("full").need
FIRST_PASS = load_criteria("first-pass").need
SETTLED = {
    "roof_evidence": "calculation",
    "landlord_max_kg": DOES_NOT_APPLY,
}  # nothing holds a roof check back
DESIGN = ("roof_use", "roof_design_imposed_kpa", "roof_existing_plant_kpa")
INPUTS = {
    "roof.load": (("roof_reserve_kpa",), DESIGN),
    "roof.point-load": (("roof_reserve_point_kn",),),
    "roof.bearing": (("insulation_type", "insulation_longterm_kpa"), ("insulation_type",)),
    "roof.space": (("free_length_m", "free_width_m", "edge_distance_m"),),
    "roof.member-share": (("load_standard", "en_ground_snow_kpa"), ("load_standard", "asce_ground_snow_kpa")),
    "services.feed": (
        ("feed_spare_ampere",), ("feed_kva", "feed_volt"), ("feed_kva", "feed_volt", "feed_phases"),
    ),
    "delivery.route": (
        ("crane_access",), ("lift_rated_kg", "lift_to_roof", "door_width_m"), ("stair_width_m", "door_width_m"),
    ),
}  # fmt: skip


@pytest.fixture(autouse=True)
def declared(monkeypatch):
    """Alternatives of the checks as they stand here, whatever the checks themselves declare."""
    monkeypatch.setattr(
        "edgecheck.checks.survey.check_of",
        lambda check_id: replace(check_of(check_id), inputs=INPUTS.get(check_id, (("weather",),))),
    )


def waiting(check_id, *missing, demand=None, assumed=()):
    found = outcome(check_of(check_id), "not assessed", demand, missing=missing)
    return replace(found, assumed=assumed)


def passing(check_id, status="pass", **more):
    return CheckResult(id=check_id, status=status, **more)


def survey(*checks, values=None, verdict="undecided", need=NEED, estimates=(), served=(), site=None, **more):
    """Questions about a row with these values and check results."""
    row = site or Site(row=2, site_id="A-1", name="Mill", values=dict(SETTLED if values is None else values))
    result = Result(
        site_id=row.site_id,
        name=row.name,
        row=row.row,
        verdict=verdict,
        governing_check=more.pop("governing", ""),
        checks=checks,
        detail={"extremes": {name: {"source": "estimate", "value_c": v} for name, v in dict(estimates).items()}},
        inputs=tuple({"key": key, "value": value, "origin": origin, "reason": "so"} for key, value, origin in served),
        faults=more.pop("faults", ()),
    )  # fmt: skip
    return survey_items(row, result, need, **more)


def keys(items):
    return [item.key for item in items]


def by_key(items):
    return {item.key: item for item in items}


# --------------------------------------------------------------------------------------- what one says


def test_nothing_open_asks_nothing():
    assert survey(passing("roof.load"), passing("heat.headroom", "caution"), verdict="conditional") == ()


def test_a_question_has_all_that_the_survey_shows():
    (item,) = survey(waiting("roof.point-load", "roof_reserve_point_kn", demand=1.861))
    assert item == SurveyItem(
        site_id="A-1",
        name="Mill",
        order=1,
        key="roof_reserve_point_kn",
        question=COLUMNS["roof_reserve_point_kn"].question,
        unit="kN",
        allowed="0 to 100 kN; usually 0.5 to 20",
        who_knows="structural engineer",
        why="Decides: Force of one foot on the roof. 1.87 kN would be enough.",
        decides=("roof.point-load",),
        answer="",
    )
    assert tuple(field.name for field in fields(SurveyItem)) == SURVEY_COLUMNS


@pytest.mark.parametrize(
    "key, text",
    [
        ("roof_use", "maintenance-only, accessible or plant"),
        ("landlord_max_kg", "greater than 0 kg; usually 50 to 5000; or none"),
        ("recirculation", "0 to 0.5; usually 0 to 0.3"),
        ("feed_phases", "1 or 3"),
        ("horizon", "azimuth:elevation pairs in degrees, such as 90:12 180:4; or none"),
        ("survey_date", "a date as YYYY-MM-DD"),
        ("weather", "name of a file, relative to the list"),
        ("site_id", "text"),
    ],
)
def test_what_an_answer_may_be(key, text):
    assert allowed(COLUMNS[key]) == text


def test_words_in_a_row():
    assert listed(["a"]) == "a"
    assert listed(["a", "b"]) == "a and b"
    assert listed(["a", "b", "c"]) == "a, b and c"


# ------------------------------------------------------------------------------------------ alternatives


def test_a_reserve_or_the_three_values_that_give_it():
    found = survey(waiting("roof.load", "roof_reserve_kpa", demand=3.049))
    assert keys(found) == [
        "roof_reserve_kpa", "roof_use", "roof_design_imposed_kpa", "roof_existing_plant_kpa",
    ]  # fmt: skip
    assert found[0].why == "Decides: Weight on the roof. 3.05 kPa would be enough."
    assert found[1].why == (
        "Decides: Weight on the roof, together with roof_design_imposed_kpa and roof_existing_plant_kpa, "
        "instead of roof_reserve_kpa."
    )
    assert {item.decides for item in found} == {("roof.load",)}


def test_what_the_row_says_already_is_not_asked():
    values = SETTLED | {"roof_use": "plant", "roof_existing_plant_kpa": 1.0}
    found = survey(
        waiting("roof.load", "roof_reserve_kpa", "roof_design_imposed_kpa", demand=1.7), values=values
    )
    assert keys(found) == ["roof_reserve_kpa", "roof_design_imposed_kpa"]
    assert found[0].why == "Decides: Weight on the roof. 1.70 kPa would be enough."
    assert found[1].why == "Decides: Weight on the roof, instead of roof_reserve_kpa."


def test_what_only_holds_a_check_back_is_not_needed_to_decide():
    found = survey(waiting("roof.space", "free_width_m"), values=SETTLED | {"free_length_m": 5.0})
    assert keys(found) == ["free_width_m", "edge_distance_m"]
    assert found[0].why == "Decides: Plan with clearances on the free area."
    assert found[1].why == "Until it is known, at best a caution: Plan with clearances on the free area."


def test_an_alternative_that_asks_for_more_than_another_is_left_out():
    missing = ("insulation_type", "insulation_longterm_kpa")
    assert keys(survey(waiting("roof.bearing", *missing))) == ["insulation_type"]


def test_what_no_alternative_names_is_needed_besides_all_of_them():
    """Snow is known but for the risk category, and nothing is known of the reserve."""
    found = survey(waiting("roof.load", "risk_category", "roof_reserve_kpa", demand=3.0))
    assert by_key(found)["roof_reserve_kpa"].why == (
        "Decides: Weight on the roof, together with risk_category. At least 3.00 kPa is needed."
    )
    assert by_key(found)["roof_use"].why.endswith("and roof_existing_plant_kpa, instead of roof_reserve_kpa.")
    assert "risk_category" in by_key(found)["roof_use"].why


def test_alternatives_of_equal_length_come_in_the_order_of_the_columns():
    missing = ("load_standard", "en_ground_snow_kpa")
    required = NEED | {"roof.member-share": "required"}
    found = survey(waiting("roof.member-share", *missing), need=required)
    assert keys(found) == ["load_standard", "asce_ground_snow_kpa", "en_ground_snow_kpa"]
    assert found[2].why.endswith(", together with load_standard, instead of asce_ground_snow_kpa.")


def test_only_what_contains_a_whole_alternative_is_left_out():
    found = survey(waiting("services.feed", "feed_spare_ampere"))
    assert keys(found) == ["feed_spare_ampere", "feed_kva", "feed_volt"]


def test_a_check_to_confirm_asks_for_the_fewest_answers_only():
    missing = ("crane_access", "lift_rated_kg", "lift_to_roof", "door_width_m", "stair_width_m")
    (item,) = survey(waiting("delivery.route", *missing))
    assert item.why == "To confirm: Heaviest part along one way up."
    required = survey(waiting("delivery.route", *missing), need=NEED | {"delivery.route": "required"})
    assert keys(required) == [
        "crane_access",
        "stair_width_m",
        "door_width_m",
        "lift_rated_kg",
        "lift_to_roof",
    ]
    assert (
        required[2].why
        == "Decides: Heaviest part along one way up, together with stair_width_m, instead of crane_access."
    )


def test_an_alternative_that_the_row_has_used_up_leaves_the_others():
    """No crane: the stairs would do, or the lift."""
    missing = ("lift_rated_kg", "lift_to_roof", "door_width_m", "stair_width_m")
    found = survey(waiting("delivery.route", *missing), values=SETTLED | {"crane_access": "no"})
    assert keys(found) == ["stair_width_m", "door_width_m"]


def test_columns_of_the_other_family_of_standards_are_not_asked():
    missing = ("load_standard", "asce_ground_snow_kpa", "en_ground_snow_kpa")
    check = waiting("roof.member-share", *missing)
    assert set(keys(survey(check))) == set(missing)
    assert by_key(survey(check))["asce_ground_snow_kpa"].why.endswith(", together with load_standard.")
    en = survey(waiting("roof.member-share", "en_ground_snow_kpa"), values=SETTLED | {"load_standard": "en"})
    assert keys(en) == ["en_ground_snow_kpa"]
    asce = survey(check, values=SETTLED | {"asce_exposure": "B"})
    assert set(keys(asce)) == {"load_standard", "asce_ground_snow_kpa"}


def test_many_keys_are_named_shortly():
    assert others(["a", "b", "c", "d"]) == "a, b, c and d"
    assert others(["a", "b", "c", "d", "e"]) == "a, b, c and 2 more"


def test_what_demands_are_held_against():
    for check_id, key in LIMITS.items():
        assert check_of(check_id).unit == COLUMNS[key].unit
        assert check_id in COLUMNS[key].feeds
        assert check_of(check_id).sense == "at most"


def test_only_the_column_that_a_demand_is_held_against_says_how_much():
    check = waiting("roof.load", "roof_reserve_kpa", demand=3.041)
    assert wanted(check, "roof_reserve_kpa", alone=True) == " 3.05 kPa would be enough."
    assert wanted(check, "roof_reserve_kpa", alone=False) == " At least 3.05 kPa is needed."
    assert wanted(check, "asce_ground_snow_kpa", alone=True) == ""
    assert wanted(waiting("roof.load", "roof_reserve_kpa"), "roof_reserve_kpa", alone=True) == ""


def test_a_maintenance_load_is_no_alternative():
    values = SETTLED | {"roof_use": "maintenance-only", "roof_design_imposed_kpa": 1.0}
    assert keys(survey(waiting("roof.load", "roof_reserve_kpa"), values=values)) == ["roof_reserve_kpa"]


def test_members_or_free_area_once_the_reserve_is_known():
    missing = ("member_span_m", "member_spacing_m", "free_length_m")
    values = SETTLED | {"roof_reserve_kpa": 1.0, "free_width_m": 4.0}
    found = survey(waiting("roof.load", *missing, demand=3.0), values=values)
    assert keys(found) == ["free_length_m", "member_span_m", "member_spacing_m"]
    assert found[0].why == "Decides: Weight on the roof."
    assert (
        found[1].why
        == "Decides: Weight on the roof, together with member_spacing_m, instead of free_length_m."
    )


def test_a_half_stated_spreader_is_needed_besides_the_reserve():
    found = survey(
        waiting("roof.load", "spreader_kg", demand=3.0), values=SETTLED | {"roof_use": "maintenance-only"}
    )
    assert set(keys(found)) == {"spreader_kg", "roof_reserve_kpa"}
    assert by_key(found)["spreader_kg"].why == "Decides: Weight on the roof, together with roof_reserve_kpa."
    needed = by_key(found)["roof_reserve_kpa"].why
    assert needed == "Decides: Weight on the roof, together with spreader_kg. At least 3.00 kPa is needed."
    open_way = by_key(survey(waiting("roof.load", "spreader_kg", demand=3.0)))
    assert open_way["roof_reserve_kpa"].why == needed
    assert open_way["roof_use"].why.endswith("and roof_existing_plant_kpa, instead of roof_reserve_kpa.")
    known = survey(waiting("roof.load", "spreader_kg"), values=SETTLED | {"roof_reserve_kpa": 3.0})
    assert keys(known) == ["spreader_kg"]


def test_a_check_that_waits_for_nothing_in_the_list_asks_nothing():
    assert survey(waiting("roof.point-load")) == ()


def test_only_the_extreme_that_is_an_estimate_is_asked_for():
    both = ("extreme_dry_bulb_c", "extreme_cold_dry_bulb_c")
    (cold,) = survey(
        passing("heat.cold-spell", "caution"), waiting("outage.cooling-lost", *both), estimates={"cold": -9.0}
    )
    assert cold.key == "extreme_cold_dry_bulb_c"
    assert cold.why.startswith("Decides: Time to server shutdown, pump running.")
    assert cold.why.endswith("The cold spell rests on an estimate of -9.0 degC.")
    assert set(
        keys(survey(waiting("outage.cooling-lost", *both), estimates={"hot": 40.0, "cold": -9.0}))
    ) == set(both)


def test_a_value_of_the_unit_file_is_asked_of_its_maker():
    missing = "unit: capacity_kw beyond the last column"
    (item,) = survey(waiting("heat.headroom", missing))
    assert (item.key, item.who_knows, item.unit, item.allowed) == (
        "cooling.capacity_kw",
        "maker of the unit",
        "",
        "",
    )
    assert item.question == ELSEWHERE[missing][1]
    assert item.decides == ("heat.headroom",)


# ------------------------------------------------------------------------------------------------- order


def test_the_less_certain_answer_is_asked_first():
    """Usual reserves are 0.3 to 10 kPa and 0.5 to 20 kN: the demand in the middle (geometric) could go either way."""
    in_the_middle = {"roof.load": (0.3 * 10.0) ** 0.5, "roof.point-load": (0.5 * 20.0) ** 0.5}
    for first, second in (("roof.load", "roof.point-load"), ("roof.point-load", "roof.load")):
        found = survey(
            waiting(
                "roof.load",
                "roof_reserve_kpa",
                demand=in_the_middle["roof.load"] if first == "roof.load" else 9.9,
            ),
            waiting(
                "roof.point-load",
                "roof_reserve_point_kn",
                demand=in_the_middle["roof.point-load"] if first == "roof.point-load" else 19.0,
            ),
            values=SETTLED | {"roof_use": "maintenance-only"},
        )
        assert [item.decides for item in found] == [(first,), (second,)]


@pytest.mark.parametrize(
    "kpa, kn",
    [
        (9.9, 0.9),  # shares of the range 0.997 and 0.159 on a logarithm: 0.99 and 0.68 from its middle
        (9.0, 0.9),  # 0.970 and 0.159: both beyond half of the way
        (0.3 * (10.0 / 0.3) ** 0.25, (0.5 * 20.0) ** 0.5),  # a quarter of the way, and the middle
    ],
)
def test_how_certain_an_answer_is_counts_from_the_middle_of_the_range(kpa, kn):
    found = survey(
        waiting("roof.load", "roof_reserve_kpa", demand=kpa),
        waiting("roof.point-load", "roof_reserve_point_kn", demand=kn),
        values=SETTLED | {"roof_use": "maintenance-only"},
    )
    assert keys(found) == ["roof_reserve_point_kn", "roof_reserve_kpa"]


def test_a_demand_beyond_the_usual_range_is_as_certain_as_one_at_its_end():
    roof = waiting("roof.load", "roof_reserve_kpa", demand=40.0)
    point = waiting("roof.point-load", "roof_reserve_point_kn", demand=0.0)
    found = survey(roof, point, values=SETTLED | {"roof_use": "maintenance-only"})
    assert keys(found) == ["roof_reserve_kpa", "roof_reserve_point_kn"]  # the order of the columns


def test_an_answer_that_decides_two_checks_comes_before_one_that_decides_one():
    found = survey(
        waiting("roof.load", "roof_reserve_kpa", demand=1.7),
        waiting("heat.hot-spell", "extreme_dry_bulb_c"),
        waiting("outage.cooling-lost", "extreme_dry_bulb_c"),
        values=SETTLED | {"roof_use": "maintenance-only"},
        estimates={"hot": 40.0},
    )
    assert keys(found) == ["extreme_dry_bulb_c", "roof_reserve_kpa"]
    assert found[0].decides == ("heat.hot-spell", "outage.cooling-lost")
    assert found[0].why.startswith(
        "Decides: Liquid peak in the hot spell; Time to server shutdown, pump running."
    )


def test_the_steps_in_order():
    entry = Assumption(key="free_width_m", value=3.0, by="desk", why="guess")
    site = Site(
        row=2, site_id="A-1", values={"free_width_m": 3.0}, assumed={"free_width_m": entry},
        cautions=(CellCaution("elevation_m", "4800", "4800: -50 to 4500 m is usual", ("heat.headroom",)),),
    )  # fmt: skip
    found = survey(
        passing("heat.headroom"),
        passing("heat.hot-spell", "caution"),
        waiting("roof.load", "roof_reserve_kpa"),
        waiting("roof.bearing", "insulation_type"),
        CheckResult("roof.point-load", "pass", assumed=("free_width_m",)),
        site=site,
        need=NEED | {"roof.load": "required"},
        estimates={"hot": 40.0},
        served=(("recirculation", 0.05, "default"), ("roof_surface", "dark", "default")),
    )
    assert keys(found) == [
        "roof_reserve_kpa", "roof_use", "roof_design_imposed_kpa", "roof_existing_plant_kpa",  # decide
        "roof_evidence", "elevation_m", "free_width_m", "landlord_max_kg",  # hold back
        "insulation_type",  # to confirm
        "extreme_dry_bulb_c",  # estimate
        "roof_surface", "recirculation",  # defaults
    ]  # fmt: skip
    assert [item.order for item in found] == list(range(1, 13))
    said = by_key(found)
    assert said["elevation_m"].why == "The cell says 4800, which is unusual: 4800: -50 to 4500 m is usual."
    assert said["free_width_m"].why == "Assumed so far: free_width_m = 3 by desk (guess)."
    assert said["landlord_max_kg"].why == "Until it is known, at best a caution: Weight on the roof."
    assert said["roof_evidence"].why == (
        "Until it is known, at best a caution: Weight on the roof; Force of one foot on the roof."
    )
    assert said["insulation_type"].why == "To confirm: Pressure on insulation and membrane."
    assert said["extreme_dry_bulb_c"].why == "The hot spell rests on an estimate of 40.0 degC."
    assert said["recirculation"].why == "0.05 was used: so."
    assert said["recirculation"].decides == ("heat.headroom", "heat.hot-spell")


def test_first_pass_puts_the_building_behind_heat():
    checks = (waiting("roof.load", "roof_reserve_kpa"), waiting("heat.hot-spell", "extreme_dry_bulb_c"))
    found = survey(*checks, need=FIRST_PASS, estimates={"hot": 40.0})
    assert keys(found)[:2] == ["extreme_dry_bulb_c", "roof_reserve_kpa"]
    assert found[1].why.startswith("To confirm: Weight on the roof.")


def test_a_check_that_is_off_asks_nothing():
    need = NEED | {"roof.load": "off", "heat.headroom": "off"}
    served = (("recirculation", 0.05, "default"),)
    checks = (waiting("roof.load", "roof_reserve_kpa"), passing("heat.headroom"))
    assert survey(*checks, values={}, need=need, served=served) == ()


# ------------------------------------------------------------------------------- what holds a check back


def test_evidence_that_is_itself_assumed_is_asked_for():
    values = SETTLED | {"roof_evidence": "assumed"}
    (item,) = survey(passing("roof.point-load", "caution"), values=values, verdict="conditional")
    assert item.key == "roof_evidence"
    assert (
        survey(
            passing("roof.point-load"), values=SETTLED | {"roof_evidence": "drawing"}, verdict="conditional"
        )
        == ()
    )


def test_a_check_that_fails_is_not_held_back():
    assert survey(passing("roof.load", "fail"), values={}, verdict="no-go", governing="roof.load") == ()


def test_an_assumed_value_is_asked_for_although_it_stands_in_the_row():
    entry = Assumption(key="roof_reserve_kpa", value=0.5, by="desk", why="guess")
    values = SETTLED | {"roof_reserve_kpa": 0.5, "roof_use": "maintenance-only"}
    site = Site(row=2, site_id="A-1", values=values, assumed={"roof_reserve_kpa": entry})
    check = waiting("roof.load", "roof_reserve_kpa", demand=3.0, assumed=("roof_reserve_kpa",))
    (item,) = survey(check, site=site)
    assert item.why == (
        "Decides: Weight on the roof. 3.00 kPa would be enough. "
        "Assumed so far: roof_reserve_kpa = 0.5 by desk (guess)."
    )


def test_a_look_alike_heading_is_named():
    check = waiting("roof.point-load", "roof_reserve_point_kn")
    (item,) = survey(check, lookalikes={"Roof reserve point": "roof_reserve_point_kn"})
    assert item.why.endswith('The column "Roof reserve point" looks like it: if it is, map it instead.')


def test_roof_surface_is_not_asked_where_its_absorptance_is_known():
    served = (
        ("roof_surface", "dark", "default"),
        ("elevation_m", 420.0, "station"),
        ("urban_heat_k", 0.0, "default"),
    )
    check = passing("heat.headroom")
    assert keys(survey(check, served=served, verdict="conditional")) == ["elevation_m", "roof_surface"]
    known = SETTLED | {"roof_solar_absorptance": 0.4}
    (item,) = survey(check, values=known, served=served, verdict="conditional")
    assert item.why == "420 m was used: so."


def test_a_stated_extreme_is_no_estimate_to_replace():
    values = SETTLED | {"extreme_dry_bulb_c": 20.0}
    check = passing("heat.hot-spell", "caution")
    assert survey(check, values=values, estimates={"hot": 40.0}) == ()
    (item,) = survey(check, estimates={"hot": 40.0})
    assert (item.key, item.decides) == ("extreme_dry_bulb_c", ("heat.hot-spell",))


# ------------------------------------------------------------------------------------------------- no-go


def test_what_every_failure_rests_on_comes_first():
    served = (("recirculation", 0.05, "default"),)
    checks = (
        passing("heat.headroom", "fail"), passing("outage.pump-lost", "fail"),
        waiting("roof.point-load", "roof_reserve_point_kn"),
    )  # fmt: skip
    found = survey(
        *checks, served=served, verdict="no-go", governing="heat.headroom", estimates={"hot": 40.0}
    )
    assert keys(found) == ["recirculation", "roof_reserve_point_kn"]
    assert found[0].why == "0.05 was used: so. What fails rests on it."
    assert found[1].why == (
        "Decides: Force of one foot on the roof. "
        "The site is no-go whatever the answer: Service headroom in the worst hour of the year."
    )


def test_a_failure_may_rest_on_one_check_alone():
    found = survey(passing("heat.hot-spell", "fail"), verdict="no-go", estimates={"hot": 40.0})
    assert found[0].why == "The hot spell rests on an estimate of 40.0 degC. What fails rests on it."


def test_a_doubtful_cell_that_every_failure_rests_on_comes_first():
    caution = CellCaution("it_load_kw", "80", "80: 0.5 to 30 kW is usual", ("heat.headroom",))
    site = Site(row=2, site_id="A-1", values=SETTLED | {"it_load_kw": 80.0}, cautions=(caution,))
    checks = (waiting("roof.point-load", "roof_reserve_point_kn"), passing("heat.headroom", "fail"))
    found = survey(*checks, site=site, verdict="no-go", governing="heat.headroom")
    assert keys(found) == ["it_load_kw", "roof_reserve_point_kn"]
    assert found[0].why.endswith("What fails rests on it.")


def test_a_default_is_not_asked_where_the_roof_fails_anyhow():
    served = (("recirculation", 0.05, "default"),)
    checks = (passing("heat.headroom", "fail"), passing("roof.load", "fail"))
    assert (
        survey(*checks, served=served, verdict="no-go", governing="roof.load", estimates={"hot": 40.0}) == ()
    )


def test_an_assumed_value_that_every_failure_rests_on_comes_first():
    entry = Assumption(key="recirculation", value=0.3, by="desk", why="guess")
    site = Site(
        row=2, site_id="A-1", values=SETTLED | {"recirculation": 0.3}, assumed={"recirculation": entry}
    )
    checks = (
        waiting("roof.point-load", "roof_reserve_point_kn"),
        CheckResult("heat.headroom", "fail", assumed=("recirculation",)),
    )
    found = survey(*checks, site=site, verdict="no-go", governing="heat.headroom")
    assert keys(found) == ["recirculation", "roof_reserve_point_kn"]
    assert found[0].why.endswith("What fails rests on it.")


# ---------------------------------------------------------------------------------------------- unusable


def unusable(*faults, **more):
    row = Site(
        row=4,
        site_id="B-1",
        name="Yard",
        faults=tuple(Fault("l.csv", "row B-1 (line 4)", *f) for f in faults),
    )
    return survey(site=row, verdict="unusable", **more)


def test_bad_cells_of_a_row_that_cannot_be_used():
    found = unusable(
        ("roof_reserve_psf", "9999", "0 to 50 kPa is possible"),
        ("latitude_deg", "468.1", "-90 to 90 deg is possible"),
    )
    assert keys(found) == ["latitude_deg", "roof_reserve_kpa"]
    assert found[0].why == "The row cannot be used: latitude_deg '468.1': -90 to 90 deg is possible"
    assert found[0].question == COLUMNS["latitude_deg"].question
    assert found[1].decides == ("roof.load",)
    assert set(found[0].decides) > {"heat.headroom", "roof.load", "outage.pump-lost"}


def test_an_id_is_corrected_in_the_list_and_not_by_an_answer():
    (item,) = unusable(("site_id", "B-1", "the id is also on line 9"))
    assert (item.key, item.who_knows) == ("", "whoever keeps the list")
    assert item.why == "The row cannot be used: site_id 'B-1': the id is also on line 9"
    (item,) = unusable(("", "", "9 cells under 4 headings"))
    assert item.key == ""
    assert "9 cells under 4 headings" in item.why


@pytest.mark.parametrize(
    "text, key",
    [
        ("l.csv, row B-1 (line 4), weather: 'x.epw': x.epw, line 9: not a number", "weather"),
        (
            "site list, row B-1 (line 4), it_load_kw: '20': more than it can be filled with, 8.5 kW",
            "it_load_kw",
        ),
        (
            "site list, row B: 2, 1 (line 4), latitude_deg: '1, 2': the position is 400 km away",
            "latitude_deg",
        ),
        ("error in the program: ValueError: oh", ""),
    ],
)
def test_a_row_that_failed_later_asks_for_the_cell_that_its_reason_names(text, key):
    (item,) = survey(site=Site(row=4, site_id="B-1"), verdict="unusable", faults=(text,))
    assert item.key == key
    assert item.why == f"The row cannot be used: {text}"


# ----------------------------------------------------------------------------------------------- weighing


def test_the_earliest_step_decides_the_place_and_its_own_score_counts():
    asks = Asks()
    asks.add("roof_use", CONFIRM, 5.0, Reason("a"), ("x",), certainty=0.2)
    asks.add("roof_use", REQUIRED, 0.5, Reason("b"), ("y", "x"), certainty=0.9)
    asks.add("roof_use", DEFAULT, 7.0, Reason("a"), (), certainty=0.1)
    (ask,) = asks.ordered()
    assert (ask.step, ask.score, ask.certainty, ask.in_use) == (REQUIRED, 0.5, 0.9, False)
    assert list(ask.decides) == ["x", "y"]
    assert ask.why() == "a b"


def test_scores_of_a_step_add_up_and_the_least_certain_counts():
    asks = Asks()
    for certainty in (0.8, 0.3, 0.6):
        asks.add("roof_use", HELD, 1.0, Reason("of ", str(certainty), "."), (), certainty=certainty)
    asks.add("roof_use", HELD, 0.5, Reason("of ", "0.3", "."), (), in_use=True)
    (ask,) = asks.ordered()
    assert (ask.score, ask.certainty, ask.in_use) == (3.5, 0.3, True)
    assert ask.why() == "of 0.8; 0.3; 0.6."


def test_a_new_question_begins_with_nothing():
    asks = Asks()
    asks.add("site_id", HELD, 0.0, Reason("a"), ())
    (ask,) = asks.ordered()
    assert (ask.score, ask.certainty, ask.in_use) == (0.0, 1.0, False)
    asks.add("site_id", REQUIRED, 0.0, Reason("a"), ())
    assert (ask.step, ask.score, ask.certainty) == (REQUIRED, 0.0, 1.0)
