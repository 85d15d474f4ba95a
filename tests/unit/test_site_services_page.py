"""Containment, clearances and vibration as the report shows them: worked numbers, unknown values, the template."""

from pathlib import Path

import pytest

from edgecheck.base.liquids import liquids
from edgecheck.checks.clearance import clearance_detail
from edgecheck.checks.containment import containment_detail
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.outputs.page_template import page_template
from edgecheck.outputs.views.site_services import NO_VIBRATION, site_services
from edgecheck.services.vibration import vibration_record

EXAMPLE = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
LIQUID = liquids()["synthetic-hydrocarbon-4"]
CRITERIA = load_criteria()


def view(cells, **mass):
    unit = EXAMPLE.model_copy(update={"mass": EXAMPLE.mass.model_copy(update=mass)})
    site = Site(row=2, site_id="X", values=cells)
    found = site_services(
        {
            "containment": containment_detail(site, unit, LIQUID, CRITERIA),
            "clearance": clearance_detail(site, unit),
            "vibration": vibration_record(unit, site),
        }
    )
    assert found is not None
    return found


def facts(rows):
    return {fact.label: (fact.value, fact.remark) for fact in rows}


def test_no_record_no_section():
    assert site_services({}) is None


def test_the_volume_is_worked_out():
    found = facts(view({}).containment)
    assert found["Liquid as filled"][0] == "118 litre"
    assert found["Liquid at 70.0 °C, shutdown"] == ("123 litre", "118.0 litre · 815.0 kg/m³ / 784.0 kg/m³")
    assert found["To be held back by practice"][0] == "135 litre"
    assert "110 %" in found["To be held back by practice"][1]
    assert found["Named rule"][0] == "none"


@pytest.mark.parametrize(
    "rule, value, remark",
    [
        ("AwSV", "does not reach this unit", "from 220 litre"),
        ("40 CFR 264.175", "123 litre", "hazardous waste"),
    ],
)
def test_a_named_rule_shows_threshold_volume_and_source(rule, value, remark):
    found = facts(view({"containment_rule": rule}).containment)[f"Named rule, {rule}"]
    assert found[0] == value
    assert remark in found[1]


def test_an_unknown_rule_says_so():
    found = facts(view({"containment_rule": "House rule 7"}).containment)
    assert found["Named rule"] == ("House rule 7", "not known here: the practice value was used")


def test_what_holds_the_liquid_back():
    rows = view({"containment_litre": 80.0, "design_rain_mm": 50.0}, tray="open").holders
    assert rows[0][:4] == ("tray of the unit", "unit: mass.tray_litre", "135 litre", "48.0 litre")
    assert "0.96 m² x 50 mm" in rows[0][4]
    assert rows[1][:4] == ("containment of the roof", "site: containment_litre", "80.0 litre", "not known")


def test_distances_are_shown_with_what_is_left():
    cells = {"free_length_m": 3.0, "free_width_m": 2.4, "walls_within_3_m": 2.0}
    found = view(cells)
    assert [row[0] for row in found.distances] == ["intake", "discharge", "service"]
    assert {row[4] for row in found.distances} <= {"kept", "short"}
    assert facts(found.clearance)["Walls or screens within 3 m"][0] == "2"
    unknown = view({})
    assert {row[4] for row in unknown.distances} == {"not known"}
    assert facts(unknown.clearance)["Free area"][0] == "not known"


def test_vibration():
    assert view({}).vibration_remarks == NO_VIBRATION
    found = view({"member_span_m": 6.0}, isolator_deflection_mm=25.0, lowest_rotating_hz=25.0)
    shown = facts(found.vibration)
    assert shown["Natural frequency on the isolators"][0] == "3.15 Hz"
    assert shown["Share of the force passed on"][0] == "1.62 %"
    assert "an engineer confirms" in found.vibration_remarks[0]


def test_the_template_places_everything():
    found = view(
        {"member_span_m": 6.0, "containment_rule": "<b>house</b>", "free_length_m": 5.0, "free_width_m": 4.0},
        isolator_deflection_mm=25.0,
        lowest_rotating_hz=25.0,
    )
    page = page_template("site.html.j2").environment.from_string(
        '{% import "parts.html.j2" as parts %}{% include "site_services.html.j2" %}'
    )
    text = page.render(site_services=found)
    for words in ("Containment", "Clearances", "Vibration", "tray of the unit", "1.62 %", "in front"):
        assert words in text
    assert "<b>house" not in text
    assert "&lt;b&gt;house" in text
