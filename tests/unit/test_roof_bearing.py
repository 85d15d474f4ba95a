"""Pressure on the build-up: limits stated and usual, spreader kinds, pads that would do; made-up values."""

from pathlib import Path

import pytest
from asked import asked

from edgecheck.checks.roof import demand_of, roof_checks
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.roof.bearing import bearing, site_bearing
from edgecheck.roof.demand import roof_demand
from edgecheck.roof.detail import roof_detail
from edgecheck.roof.spreader import NO_SPREADER, stated_spreader

EXAMPLE = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
UNIT = EXAMPLE.model_copy(update={"mass": EXAMPLE.mass.model_copy(update={"cg_tolerance_m": 0.0})})
CRITERIA = load_criteria("full")
G = 9.80665
EN = {"load_standard": "en"}  # a person of 1.0 kN
LASTING = 81.1  # kPa under 100 x 100 mm plates, centre of gravity as stated
PASSING = 181.1  # with a person of 1.0 kN on the worst foot
BOTH = {**EN, "insulation_longterm_kpa": 200.0, "membrane_pressure_limit_kpa": 250.0}
SIZE = {"spreader_length_m": 1.6, "spreader_width_m": 1.2, "spreader_kg": 60.0}


def site(row):
    return Site(row=2, site_id="X", values=row)


def check(row, unit=UNIT):
    return next(
        one
        for one in roof_checks(site(row), unit, CRITERIA, demand_of(site(row), unit, 815.0))
        if one.id == "roof.bearing"
    )


def pressed(row, unit=UNIT):
    return site_bearing(site(row), unit, roof_demand(unit, 815.0, stated_spreader(site(row))), 1000.0)


def test_within_both_limits_passes():
    """181 kPa of 250 of the covering is used more than 181 of 1.5 x 200."""
    result = check(BOTH)
    assert result.status == "pass"
    assert result.demand == pytest.approx(PASSING, abs=0.5)
    assert result.limit == 250.0
    assert "81 kPa for years, 181 kPa for a while" in result.note


def test_long_and_short_term():
    """90 kPa hold 81 kPa for years but not 181 kPa for a while (1.5 x 90); 125 kPa hold both."""
    row = {**BOTH, "membrane_pressure_limit_kpa": 500.0}
    short = check({**row, "insulation_longterm_kpa": 90.0})
    assert (short.status, short.limit) == ("caution", pytest.approx(135.0))
    assert "person" in short.governed_by
    assert check({**row, "insulation_longterm_kpa": 125.0}).status == "pass"
    years = check({**row, "insulation_longterm_kpa": 80.0, **{}})
    assert years.status == "caution"


def test_person_of_an_unknown_standard_is_left_open_only_where_he_matters():
    """1.0 kN make 181 kPa, 1.33 kN 214 kPa."""
    row = {name: cell for name, cell in BOTH.items() if name != "load_standard"}
    assert check({**row, "membrane_pressure_limit_kpa": 220.0}).status == "pass"
    between = check({**row, "membrane_pressure_limit_kpa": 200.0})
    assert (between.status, between.missing) == ("not assessed", ("load_standard",))
    assert (
        check({**row, "membrane_pressure_limit_kpa": 200.0, "load_standard": "asce7-16"}).status == "caution"
    )
    assert check({**row, "membrane_pressure_limit_kpa": 200.0, "load_standard": "en"}).status == "pass"


def test_every_part_must_be_known():
    for key in ("insulation_longterm_kpa", "membrane_pressure_limit_kpa"):
        result = check({name: cell for name, cell in BOTH.items() if name != key})
        assert result.status == "not assessed"
        assert key in result.missing
    nothing = check({})
    assert nothing.missing == ("insulation_type", "insulation_longterm_kpa", "membrane_pressure_limit_kpa")
    assert nothing.demand == pytest.approx(LASTING, abs=0.5)
    assert nothing.limit is None


def test_no_insulation_leaves_the_covering():
    row = {**EN, "insulation_type": "none"}
    assert check(row).missing == ("membrane_pressure_limit_kpa",)
    assert check({**row, "membrane_pressure_limit_kpa": 250.0}).status == "pass"


@pytest.mark.parametrize(
    ("kind", "usual"), [("mineral-wool", 10), ("eps", 30), ("pir", 30), ("xps", 100), ("foam-glass", 200)]
)
def test_usual_limits_are_a_caution_at_best_and_no_failure(kind, usual):
    row = {**EN, "insulation_type": kind, "membrane_pressure_limit_kpa": 900.0}
    for spreader in ({}, {**SIZE, "spreader_kind": "board"}, {**SIZE, "spreader_kind": "frame"}):
        result = check({**row, **spreader})
        assert result.status == "caution"
        assert result.conditions
    if usual * 1.5 < PASSING:
        assert f"{usual} kPa taken for {kind}" in check(row).note
    else:
        assert "a data sheet confirms" in asked(check(row))
    stated = check({**row, "insulation_longterm_kpa": 400.0})
    assert stated.status == "pass"


def test_stated_spreader_fails_where_a_bare_unit_only_needs_pads():
    row = {**EN, "insulation_longterm_kpa": 30.0, "membrane_pressure_limit_kpa": 500.0}
    bare = check(row)
    assert bare.status == "caution"
    assert "rigid pads of 0." in asked(bare)
    assert check({**row, **SIZE, "spreader_kind": "board"}).status == "fail"
    assert check({**row, **SIZE, "spreader_kind": "frame"}).status == "pass"


def test_pads_that_are_proposed_would_do():
    """(R + 25 kg/m2 g a2)/a2 within 30 kPa for years and 45 kPa for a while."""
    row = {**EN, "insulation_longterm_kpa": 30.0, "membrane_pressure_limit_kpa": 500.0}
    side = float(asked(check(row)).split("pads of ")[1].split(" x")[0])
    found = pressed(row)
    for case, limit in ((found.lasting, 30e3), (found.passing, 45e3)):
        assert case.force / side**2 + 25.0 * G <= limit
    assert found.passing.force / (side - 0.01) ** 2 + 25.0 * G > 45e3


def test_pads_that_would_overlap_are_not_proposed():
    """0.68 m between front and back feet; 2 kPa ask for more."""
    row = {**EN, "insulation_longterm_kpa": 2.0, "membrane_pressure_limit_kpa": 500.0}
    assert pressed(row).least_gap == pytest.approx(0.68)
    assert "rigid frame or slab under all feet" in asked(check(row))


def test_slab_board_and_frame():
    """Slab of 60 mm: plates of 0.22 m; board: the plates alone; both with the spreader's weight in the feet."""
    board = pressed({**SIZE, **EN, "spreader_kind": "board"})
    slab = pressed({**SIZE, **EN, "spreader_kind": "slab", "spreader_thickness_mm": 60.0})
    share = (310.17 + 60.0) / 310.17
    assert board.lasting.pressure / 1000 == pytest.approx(LASTING * share, abs=0.5)
    assert slab.lasting.pressure == pytest.approx(board.lasting.pressure * 0.01 / 0.22**2)
    assert "60 mm of slab" in slab.how
    frame = pressed({**SIZE, **EN, "spreader_kind": "frame"})
    mean = (310.17 + 60.0) * G / 1.92
    off = (310.17 / 370.17 * 0.02 / 1.6, 310.17 / 370.17 * 0.01 / 1.2)
    assert frame.lasting.pressure == pytest.approx(mean * (1 + 6 * sum(off)))
    assert frame.passing.pressure > frame.lasting.pressure


def test_slab_of_unknown_thickness_counts_as_nothing():
    row = {
        **EN,
        **SIZE,
        "spreader_kind": "slab",
        "membrane_pressure_limit_kpa": 150.0,
        "insulation_type": "none",
    }
    result = check(row)
    assert (result.status, result.missing) == ("not assessed", ("spreader_thickness_mm",))
    assert check({**row, "spreader_thickness_mm": 60.0}).status == "pass"
    assert check({**row, "spreader_thickness_mm": 1.0}).status == "fail"
    assert check({**row, "membrane_pressure_limit_kpa": 400.0}).status == "pass"  # the plates alone do


def test_spreader_with_cells_missing():
    result = check({**BOTH, "spreader_kind": "frame", "spreader_length_m": 1.6})
    assert (result.status, result.missing) == ("not assessed", ("spreader_width_m", "spreader_kg"))


def test_unit_that_tips_over_is_not_assessed():
    tips = UNIT.model_copy(
        update={"mass": UNIT.mass.model_copy(update={"centre_of_gravity_m": (0.1, 0.41, 0.5)})}
    )
    tips = tips.model_copy(update={"mass": tips.mass.model_copy(update={"cg_tolerance_m": 0.1})})
    assert check(BOTH, tips).status == "not assessed"
    assert bearing(tips, roof_demand(tips, 815.0, NO_SPREADER), 1000.0, None).cases == ()


def test_detail_shows_the_pressures_and_the_limits():
    detail = roof_detail(site(BOTH), UNIT, 815.0)["bearing"]
    assert detail["lasting"]["pressure_kpa"] == pytest.approx(LASTING, abs=0.5)
    assert detail["passing"]["pressure_kpa"] == pytest.approx(PASSING, abs=0.5)
    assert [limit["passing_kpa"] for limit in detail["limits"]] == [300.0, 250.0]
    assert detail["missing"] == []
