"""Checks of class and corrosion through the whole chain: what is unknown stays unassessed, what is outside is named."""

from dataclasses import replace

import numpy as np
import pytest
from asked import asked
from page_parts import Page
from site_cases import CRITERIA, UNIT, decide, example_values, site, station, unit_with

from edgecheck.chain import Station, qualify
from edgecheck.checks.model import CheckResult
from edgecheck.checks.result import Result
from edgecheck.inputs.assumed_values import contradiction
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.outputs.figures.climatogram import climatogram
from edgecheck.outputs.pages import site_page
from edgecheck.outputs.tables import checks_table
from edgecheck.weather.class_hours import class_hours, conditions
from edgecheck.weather.climate_class import climate_classes

CLASS, CORROSION = "environment.class", "environment.corrosion"
MEASURED = {"so2_deposition_mg_m2_d": 5.0, "cl_deposition_mg_m2_d": 10.0}


def check(result: Result, check_id: str) -> CheckResult:
    return next(one for one in result.checks if one.id == check_id)


def declared(climate_class: str | None = "4.1", coating: str | None = "C4"):
    return unit_with(qualification={"climate_class": climate_class, "coating_category": coating})


# --------------------------------------------------------------------------------------------------- class


def test_hours_outside_are_counted_by_limit_and_the_binding_one_is_named():
    found = decide()
    result, record = check(found, CLASS), found.detail["environment"]["class"]
    assert (result.status, result.limit) == ("caution", 0.0)
    assert result.demand == record["hours"] == 8
    assert result.note.startswith("8 h of the year lie outside ETSI EN 300 019-1-4, class 4.1: low relative")
    assert "The mildest class that holds is 4.1E." in result.note
    assert "Limits from memory: solar radiation, wind." in result.note
    assert result.governed_by == "low relative humidity, farthest 2001-11-23 13:00"
    assert result.conditions == ("the maker confirms the unit beyond class 4.1",)
    by_limit = {row["parameter"]: row for row in record["rows"]}
    assert by_limit["humidity_low"]["hours"] == 8
    assert by_limit["humidity_low"]["by"] == pytest.approx(15.0 - by_limit["humidity_low"]["farthest"])
    assert record["binding"] == "humidity_low"


def test_a_class_that_holds_passes_and_its_limits_from_memory_are_named():
    result = check(decide(unit=declared("4.1E")), CLASS)
    assert (result.status, result.demand) == ("pass", 0.0)
    for word in ("low air temperature", "high absolute humidity", "wind"):
        assert word in result.note
    assert result.conditions == ()


def test_an_extreme_of_a_spell_outside_the_class_is_a_caution_of_its_own():
    found = check(decide({"extreme_dry_bulb_c": 46.0}, unit=declared("4.1E")), CLASS)
    assert (found.status, found.demand) == ("caution", 0.0)
    assert "The hot extreme of 46.0 degC lies outside 45 degC." in found.note
    assert found.conditions


def test_warming_counts():
    cool, warm = check(decide(), CLASS), check(decide({"warming_k": 4.0, "urban_heat_k": 3.0}), CLASS)
    assert warm.demand > cool.demand
    assert "high air temperature" in warm.note
    assert "high air temperature" not in cool.note


@pytest.mark.parametrize(
    "text, words",
    [
        (None, "declares no class"),
        ("IP65", "'IP65' is not known here; known: 4.1, 4.1E"),
        ("IEC 60721-3-4:2019 4K2", "4K2 (IEC 60721-3-4, 2nd edition)"),
    ],
)
def test_an_unknown_class_is_not_assessed_and_the_known_are_named(text, words):
    found = decide(unit=declared(text))
    result = check(found, CLASS)
    assert (result.status, result.demand) == ("not assessed", None)
    assert words.split("; ")[-1].split(", 4.1E")[0].split(" (")[0] in result.note
    assert result.missing == ("unit: qualification.climate_class",)
    assert found.detail["environment"]["class"]["covering"]["etsi"]["name"] == "4.1E"
    page = Page(site_page(found, need=CRITERIA.need))
    assert "The mildest class that holds in every hour" in page.text("class")
    assert "figure-climatogram" not in page.ids


def test_of_several_years_the_one_with_most_hours_outside_counts():
    one = station().weather
    hot = replace(one.years[0], temp_air=one.years[0].temp_air + 6.0, source_year=np.full(8760, 1999))
    mild = replace(one.years[0], source_year=np.full(8760, 1998))
    both = Station.of(replace(one, years=(mild, hot)))
    found = qualify(site(), UNIT, both, CRITERIA)
    alone = qualify(site(), UNIT, Station.of(replace(one, years=(hot,))), CRITERIA)
    assert check(found, CLASS).demand == check(alone, CLASS).demand
    assert found.detail["environment"]["class"]["year"] == 1999
    assert "of 1999, the worst year" in check(found, CLASS).note


def test_change_of_temperature_is_the_hourly_one_and_a_day_that_repeats_has_no_first_hour():
    year = station().years[0].hours
    from edgecheck.heat.place import place_of
    from edgecheck.heat.site_year import air_of

    air = air_of(place_of(site(), station()), station().years[0])
    found, round_ = conditions(air, year.ghi), conditions(air, year.ghi, repeats=True)
    assert found["rate"][0] == 0.0
    assert round_["rate"][0] == abs(year.temp_air[0] - year.temp_air[-1]) / 60.0
    assert np.allclose(found["rate"][1:], np.abs(np.diff(year.temp_air)) / 60.0)
    steep = {**found, "rate": np.where(np.arange(8760) == 99, 0.6, 0.0)}
    rows = {row.parameter.key: row for row in class_hours(steep, climate_classes()["4.1"]).rows}
    assert (rows["rate"].hours, rows["rate"].hour) == (1, 99)


# ----------------------------------------------------------------------------------------------- corrosion


def test_measured_depositions_pass_within_the_coating():
    found = decide(MEASURED)
    result = check(found, CORROSION)
    assert (result.status, result.demand, result.limit) == ("pass", 3.0, 4.0)
    assert "carbon steel" in result.note
    record = found.detail["environment"]["corrosion"]
    assert (record["category"], record["coating"]) == ("C3", "C4")
    assert record["wet_hours"] > 2500
    assert record["wetness_class"] == 4


@pytest.mark.parametrize(
    "values, missing",
    [
        ({}, ("so2_deposition_mg_m2_d", "cl_deposition_mg_m2_d", "coast_distance_km")),
        ({"so2_deposition_mg_m2_d": 5.0}, ("cl_deposition_mg_m2_d", "coast_distance_km")),
        ({"coast_distance_km": 40.0}, ("so2_deposition_mg_m2_d",)),
        ({"cl_deposition_mg_m2_d": 4.0}, ("so2_deposition_mg_m2_d",)),
    ],
)
def test_an_unknown_deposition_is_not_assessed_and_asked_for(values, missing):
    found = decide(values)
    result = check(found, CORROSION)
    assert (result.status, result.demand, result.missing) == ("not assessed", None, missing)
    assert "Wet for" in result.note
    for key in missing:
        assert any(text.startswith(f"{key}: ") for text in found.to_survey)


def test_none_means_the_cleanest_air_of_the_function():
    none = {"so2_deposition_mg_m2_d": DOES_NOT_APPLY, "cl_deposition_mg_m2_d": DOES_NOT_APPLY}
    found = decide(none)
    assert check(found, CORROSION).status == "pass"
    record = found.detail["environment"]["corrosion"]
    assert (record["sulphur"]["mg_m2_d"], record["chloride"]["mg_m2_d"]) == (0.7, 0.4)


def test_chloride_by_distance_is_never_more_than_a_caution():
    sulphur = {"so2_deposition_mg_m2_d": 2.0}
    inland = check(decide({**sulphur, "coast_distance_km": DOES_NOT_APPLY}), CORROSION)
    near = check(decide({**sulphur, "coast_distance_km": 0.05}), CORROSION)
    assert (inland.status, near.status) == ("caution", "caution")
    assert inland.demand < near.demand
    assert "confirm the chloride deposition" in asked(inland)
    assert "no source" in inland.note
    measured = check(decide({**sulphur, "coast_distance_km": 0.05, "cl_deposition_mg_m2_d": 3.0}), CORROSION)
    assert measured.status == "pass"  # what somebody measured counts, whatever the distance


def test_harsher_air_than_the_coating_is_a_caution_with_the_coating_it_takes():
    result = check(decide({**MEASURED, "cl_deposition_mg_m2_d": 600.0}), CORROSION)
    assert (result.status, result.spare) == ("caution", result.limit - result.demand)
    assert "the air is harsher than C4" in asked(result)


def test_outside_the_range_of_the_function_it_is_at_best_a_caution():
    result = check(decide({**MEASURED, "cl_deposition_mg_m2_d": 0.1}), CORROSION)
    assert result.status == "caution"
    assert "chloride deposition 0.1 mg/m2 d, outside 0.4 to 760.5" in result.note


@pytest.mark.parametrize(
    "coating, words", [(None, "no coating category"), ("C5-M", "'C5-M' is not known; known: C1")]
)
def test_an_unknown_coating_is_not_assessed_and_the_category_still_shown(coating, words):
    result = check(decide(MEASURED, unit=declared(coating=coating)), CORROSION)
    assert (result.status, result.demand, result.limit) == ("not assessed", 3.0, None)
    assert words in result.note
    assert result.missing == ("unit: qualification.coating_category",)


# --------------------------------------------------------------------------------------------------- pages


@pytest.fixture(scope="module")
def salty() -> Result:
    return decide({**dict(example_values()), **MEASURED, "cl_deposition_mg_m2_d": 600.0})


def test_the_page_shows_class_corrosion_and_where_limits_come_from(salty):
    page = Page(site_page(salty, need=CRITERIA.need))
    text = page.text("class")
    for wanted in ("class 4.1 (open air)", "8 h of the 8760 h", "15 %", "from memory, 90 %", "published",
                   "2 of 9 limits are from memory", "lower bounds", "The mildest class that holds"):  # fmt: skip
        assert wanted in text, wanted
    text = page.text("corrosion")
    for wanted in ("600 mg/m² a day", "C4", "from memory, 98 %", "class τ4", "ISO 9223:2012"):
        assert wanted in text, wanted
    assert "figure-climatogram" in page.ids
    assert page.text("checks").count("from memory, not looked up") >= 2


@pytest.mark.usefixtures("bare_pages")
def test_categories_are_words_on_pages_and_numbers_in_tables(salty):
    page = Page(site_page(salty, need=CRITERIA.need))
    assert "at most C4" in page.text("checks")
    line = next(line for line in checks_table(salty).splitlines() if line.startswith(CORROSION))
    assert ",4," in line
    assert "ISO 9223 category" in line


def test_the_climatogram_says_its_numbers_and_marks_what_is_outside(salty):
    drawing = climatogram(salty.hourly, salty.detail["environment"]["class"])
    assert drawing is not None
    assert "8760 hours" in drawing.caption
    assert "8 h lie outside it" in drawing.caption
    assert drawing.caption in drawing.alt
    assert drawing.svg.count("<image") >= 2
    assert len(drawing.svg) < 90_000
    again = climatogram(salty.hourly, salty.detail["environment"]["class"])
    assert again is not None
    assert again.svg == drawing.svg


def test_no_climatogram_without_class_or_hours(salty):
    assert climatogram(None, salty.detail["environment"]["class"]) is None
    assert climatogram(salty.hourly, {}) is None


def test_an_assumed_warming_does_not_stand_beside_a_warming_file():
    assert contradiction("warming_k", 2.0, {"warming_file": "later.csv"}) == "warming_file is later.csv"
    assert contradiction("warming_k", 2.0, {}) == ""
