"""The 5 % trigger: where it holds, what it needs; made-up values."""

from pathlib import Path

import pytest
from asked import asked

from edgecheck.checks.roof import demand_of, roof_checks
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit

UNIT = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
CRITERIA = load_criteria("full")
WEIGHT = (176.0 + 38.0 + 118.0 * 0.815) * 9.80665 / 1000  # kN
ROW = {
    "load_standard": "asce7-22",
    "roof_design_dead_kpa": 1.0,
    "roof_design_imposed_kpa": 1.0,
    "roof_design_snow_kpa": 0.5,
    "member_tributary_m2": 40.0,
}


def share(row):
    site = Site(row=2, site_id="X", values=row)
    return next(
        one
        for one in roof_checks(site, UNIT, CRITERIA, demand_of(site, UNIT, 815.0))
        if one.id == "roof.member-share"
    )


def without(*keys):
    return {name: cell for name, cell in ROW.items() if name not in keys}


def test_girder_passes_and_joist_triggers():
    girder = share(ROW)
    assert girder.status == "pass"
    assert girder.demand == pytest.approx(WEIGHT / 80.0)
    assert girder.limit == 0.05
    assert "all additions since construction" in girder.note
    joist = share({**ROW, "member_tributary_m2": 10.0})
    assert joist.status == "caution"  # at worst
    assert "60.8 kN" in joist.note  # 3.04/0.05
    assert "engineer analyses the member" in asked(joist)


def test_not_a_rule_of_en():
    assert share({**ROW, "load_standard": "en"}).status == "not applicable"
    assert share(without("load_standard")).status == "not assessed"


@pytest.mark.parametrize("key", ["load_standard", "roof_design_dead_kpa", "member_tributary_m2"])
def test_an_empty_cell_leaves_it_open(key):
    assert share(without(key)).missing == (key,)


def test_larger_of_live_and_snow_counts_and_one_is_enough_to_pass():
    assert share(without("roof_design_snow_kpa")).status == "pass"
    assert share(without("roof_design_imposed_kpa")).demand == pytest.approx(WEIGHT / 60.0)
    none = share(without("roof_design_imposed_kpa", "roof_design_snow_kpa"))
    assert none.missing == ("roof_design_imposed_kpa", "roof_design_snow_kpa")


def test_one_of_live_and_snow_is_not_enough_to_trigger():
    """3.04 kN on 1.5 kPa x 38 m2 is 5.3 %, on 2.0 kPa x 38 m2 4.0 %."""
    half = share({**without("roof_design_imposed_kpa"), "member_tributary_m2": 38.0})
    assert (half.status, half.missing) == ("not assessed", ("roof_design_imposed_kpa",))
    assert share({**ROW, "member_tributary_m2": 38.0}).status == "pass"


def test_no_design_load_at_all():
    nothing = dict.fromkeys(("roof_design_dead_kpa", "roof_design_imposed_kpa", "roof_design_snow_kpa"), 0.0)
    assert share({**ROW, **nothing}).status == "not assessed"
