"""The section on wind and earthquake: text of the tables, the drawing, and that it stands in the page."""

import json
from dataclasses import replace

import pytest
from command_line import bare_reports
from page_parts import Page
from result_factory import NEED, make_result
from stability_cases import ANCHORS, ASCE, EN, GRIP, STRONG_ROOF, WEAK_ROOF, held

from edgecheck.checks.result import plain
from edgecheck.outputs.figures.stability import governing_case
from edgecheck.outputs.pages import site_page
from edgecheck.outputs.views.stability import ratio, stability
from edgecheck.roof.wind_en import peak_pressure

SHAKEN = {"en_ground_acceleration_g": 0.2, "en_soil_factor": 1.2}
FULL = {**EN, **GRIP, **SHAKEN, "penetrations_allowed": "yes", **WEAK_ROOF}


def result_of(row):
    found = held(row)
    base = make_result()
    return replace(base, detail={**base.detail, "stability": found.detail}, asks={**base.asks, **found.asks})


def page_of(row):
    """The words and tables of a page."""
    with bare_reports():
        return Page(site_page(result_of(row), need=NEED))


def test_actions_show_formula_clause_numbers_and_value():
    text = page_of(FULL).text("stability")
    assert "peak velocity pressure (1 + 7 Iv) rho vm^2/2 EN 1991-1-4 4.5(1)" in text
    assert f"{peak_pressure(26.0, 'III', 24.0 + 0.08 + 1.15).peak:.1f} Pa" in text
    assert "edge factor on the force engineering default" in text
    assert "0.9 G + 1.5 W EN 1990 A1.3.1(3), Table A1.2(A), EQU" in text
    assert "EN 1998-1 4.3.5.2" in text


def test_utilisation_is_given_as_text_and_number():
    shown = stability({"stability": held(FULL).detail})
    assert len(shown.cases) == 9  # uplift, and four faces without and with it
    front = next(row for row in shown.cases if row[1:3] == ("front", "with uplift"))
    assert front[3].startswith("slides, ")
    assert front[4].startswith("tips, ")
    assert any(cell.startswith("holds, ") for row in shown.cases for cell in row[3:])
    used = float(front[4].split(", ")[1])
    worst = max(one["utilisation"] for one in held(FULL).detail["effects"] if one["kind"] == "overturning")
    assert used == pytest.approx(worst, abs=0.005)


def test_governing_case_is_drawn_with_its_numbers():
    detail = result_of(FULL).detail
    drawing = governing_case(detail)
    case = detail["stability"]["governing"]
    assert case["text"] in drawing.caption
    assert f"at {case['height_m']:.2f} m" in drawing.caption
    assert "wind" in drawing.svg
    assert "weight" in drawing.svg
    assert drawing.svg == governing_case(detail).svg
    assert 'id="figure-stability"' in site_page(result_of(FULL), need=NEED)


@pytest.mark.parametrize(
    "row", [{}, FULL, {**ASCE, **GRIP, **ANCHORS}, {**EN, **ANCHORS, "en_ground_acceleration_g": 0.0}]
)
def test_page_is_whole_with_any_row(row):
    page = Page(site_page(result_of(row), need=NEED))
    assert page.unbalanced == []
    assert page.still_open == []
    assert len(page.ids) == len(set(page.ids))
    assert "Wind and earthquake" in page.text("stability")
    assert "bolts between unit and spreader frame" in page.text("stability")


def test_a_row_without_wind_shows_reference_figures_named_as_such():
    detail = held({}).detail
    page = page_of({})
    text = page.text("stability")
    assert "The wind on the unit is not known" in text
    assert text.count("reference, no site") == 2
    assert "The seismic action is not known (load_standard)" in text
    assert governing_case({"stability": detail, "roof": make_result().detail["roof"]}) is None
    assert "reference, no site" in page.text("roof-offer")


def test_exemption_is_said():
    text = page_of({**ASCE, "seismic_design_category": "B"}).text("stability")
    assert "No seismic check is asked for: ASCE 7-16, seismic design category B, 13.1.4." in text


def test_roof_under_ballast_and_anchors_are_listed():
    text = page_of(FULL).text("stability")
    assert "of ballast fail" in text
    assert "Tension of one of 4 anchors in the wind" in text
    assert "Tension of one of 4 anchors in an earthquake" in text
    stated = page_of({**EN, **GRIP, **STRONG_ROOF, "ballast_kg": 2500.0}).text("stability")
    assert "With the stated ballast of 2500 kg" in stated
    assert "Stated resistance of one anchor 5.00 kN tension, 4.00 kN shear" in page_of(
        {**EN, **ANCHORS}
    ).text("stability")


def test_a_stored_record_gives_the_same_section():
    """Unlimited utilisations are stored as words."""
    detail = held({**ASCE, **GRIP, "penetrations_allowed": "yes"}).detail
    stored = json.loads(json.dumps(plain(detail)))
    assert stability({"stability": stored}) == stability({"stability": detail})
    assert any("unlimited" in cell for row in stability({"stability": detail}).cases for cell in row)


def test_numbers_of_a_utilisation():
    assert ratio(2.4958) == "2.50"
    assert ratio(float("inf")) == ratio("infinite") == "unlimited"
    assert ratio(None) == "not known"
    assert stability({}) is None
