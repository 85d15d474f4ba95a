"""The section on failures: table, sentences and the figure of the winter cut."""

import re
from dataclasses import replace
from types import SimpleNamespace

import pytest
import xarray as xr
from heat_cases import chiller
from result_factory import make_result
from series_cases import BARE, MILD, clean, heat_of, spell
from site_cases import LIQUID, unit_with

from edgecheck.checks.failures import failure_checks, failures_detail
from edgecheck.checks.failures import failures as found_failures
from edgecheck.inputs.criteria import load_criteria
from edgecheck.outputs.figures.winter import winter_course
from edgecheck.outputs.views.failures import failures, hours_text

CRITERIA = load_criteria("full").outage
MACHINE = clean(cooling=chiller(inlet_min=-60.0))


def computed(year=(-30.0,) * 48, **cooling):
    heat = heat_of(MACHINE, list(year), cold=spell([MILD] * 6, MACHINE, warm=False))
    heat = replace(heat, place=SimpleNamespace(roof=BARE))
    found = found_failures(heat, unit_with(cooling=cooling), LIQUID, CRITERIA)
    result = make_result()
    checks = (*result.checks, *failure_checks(found, heat, CRITERIA))
    detail = {**result.detail, "failures": failures_detail(found, heat)}
    return replace(result, checks=checks, detail=detail), found


def drawn(found, winter):
    course, air = found.winter.worst.followed()
    data = xr.Dataset(
        {"winter_liquid": ("winter_hour", course.liquid), "winter_air": ("winter_hour", air)},
        coords={"winter_hour": course.hours},
    )
    return winter_course(data, winter)


def text_of(view):
    return " ".join((*(" ".join(row) for row in view.rows), *view.cut, *view.winter, *view.wet))


def test_every_cause_has_its_row_with_numbers_limit_and_status():
    result, _ = computed(heater_kw=2.0)
    view = failures(result)
    assert [row[0] for row in view.rows] == [
        "Cooling lost, pump running",
        "Cooling and pump lost",
        "Short power cut",
        "Power off for 24 h in winter",
        "Humid air",
    ]
    assert [row[3] for row in view.rows][2:] == ["pass", "pass", "pass"]
    for row in view.rows:
        assert re.search(r"\d (min|h|°C)", row[1]), row
    assert "at most 55.0 °C, the alarm" in view.rows[2][2]
    assert "at most 4.00 h to servers on" in view.rows[3][2]
    assert all("None" not in text and "nan" not in text for text in text_of(view).split())


def test_what_would_be_enough_is_said_where_the_heat_is_not():
    weak, _ = computed(heater_kw=0.0)
    text = text_of(failures(weak))
    assert "unlimited time to servers on" in text
    assert re.search(r"\d kW in all would do within 4 h", text)
    unknown, _ = computed(heater_kw=None)
    text = text_of(failures(unknown))
    assert "a heater whose power is not known" in text
    assert "not known to servers on" in text
    warm, _ = computed(year=(MILD,) * 48, heater_kw=None)
    assert "heater" not in text_of(failures(warm))


def test_the_insulation_is_a_worked_example():
    result, _ = computed()
    wet = {
        **result.detail["failures"]["condensation"], "hours": 3, "below_k": 1.23, "foam_mm": 14.2,
        "hours_wet_outside": 2, "hours_unknown": 1,
    }  # fmt: skip
    detail = {**result.detail, "failures": {**result.detail["failures"], "condensation": wet}}
    text = " ".join(failures(replace(result, detail=detail)).wet)
    assert "1.2 K below the dew point" in text
    assert "k 0.036 W/mK, h 8.0 W/m²K" in text
    assert "14.2 mm for air up to 90 % relative humidity" in text
    assert "not known in 1 h" in text
    dry = {**wet, "hours": None, "approach_k": None, "below_k": -4.0, "foam_mm": 0.0, "hours_unknown": 0}
    detail = {**result.detail, "failures": {**result.detail["failures"], "condensation": dry}}
    view = failures(replace(result, detail=detail))
    assert "approach is missing" in view.rows[-1][1]
    assert "4.0 K above the dew point" in view.wet[0]


def test_a_short_cut_says_why_it_is_the_worst():
    result, _ = computed()
    assert "a momentary cut, since without power the liquid only cools" in " ".join(failures(result).cut)
    cut = {**result.detail["failures"]["restart"], "cut_min": 60.0, "at_return_c": 43.1, "hours_held": 5}
    detail = {**result.detail, "failures": {**result.detail["failures"], "restart": cut}}
    text = " ".join(failures(replace(result, detail=detail)).cut)
    assert "a cut of 60.0 min, in which sun and air warm the liquid to 43.1 °C" in text
    assert "In 5 h of year and spells" in text


def test_nothing_computed_gives_no_section():
    assert failures(replace(make_result(), detail={})) is None
    only = failures(make_result())
    assert len(only.rows) == 2
    assert (only.cut, only.winter, only.wet) == ((), (), ())


def test_hours_of_a_store_and_of_memory_read_alike():
    assert hours_text(float("inf")) == hours_text("infinite") == "unlimited time"
    assert hours_text(None) == "not known"


@pytest.mark.parametrize(
    "heater, words",
    [
        (2.0, "the servers are on"),
        (0.0, "which it does not reach"),
        (None, "drawn without a heater"),
    ],
)
def test_the_figure_says_in_words_what_it_shows(heater, words):
    result, found = computed(heater_kw=heater)
    drawing = drawn(found, result.detail["failures"]["winter"])
    assert drawing.key == "winter"
    assert words in drawing.caption
    assert "after 24 h" in drawing.caption
    assert drawing.caption in drawing.alt
    svg = str(drawing.svg)
    assert svg.count("<svg") == 1
    assert all(
        label in svg for label in ("power off", "power is back", "liquid", "outdoor air", "pumps start")
    )
    assert len(svg.encode()) < 60_000
    assert drawn(found, result.detail["failures"]["winter"]).svg == drawing.svg
