"""Space on the roof: orientation, half-known areas, the edge; made-up values."""

from pathlib import Path

import pytest
from asked import asked

from edgecheck.checks.roof import demand_of, roof_checks
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.roof.detail import roof_detail
from edgecheck.roof.space import best_fit

UNIT = load_unit(
    Path(__file__).parent.parent / "data" / "examples" / "unit.toml"
)  # 2.2 x 2.2 m with clearances
CRITERIA = load_criteria("full")
LONG = UNIT.model_copy(update={"body": UNIT.body.model_copy(update={"length_m": 2.0})})  # 3.0 x 2.2 m


def site(row):
    return Site(row=2, site_id="X", values=row)


def space(row, unit=UNIT):
    return next(
        one
        for one in roof_checks(site(row), unit, CRITERIA, demand_of(site(row), unit, 815.0))
        if one.id == "roof.space"
    )


def test_fits_far_from_the_edge():
    result = space({"free_length_m": 6.0, "free_width_m": 4.0, "edge_distance_m": 3.0})
    assert (result.status, result.demand, result.limit) == ("pass", pytest.approx(2.2), 4.0)
    assert result.utilisation == pytest.approx(0.55)
    assert "2.20 x 2.20 m with clearances on 6 x 4 m" in result.governed_by


def test_either_orientation_counts():
    tall = {"free_length_m": 2.3, "free_width_m": 3.1, "edge_distance_m": 3.0}
    assert space(tall, LONG).status == "pass"
    assert "front along the width" in space(tall, LONG).governed_by
    assert space({**tall, "free_width_m": 2.9}, LONG).status == "fail"


def test_area_alone_does_not_help():
    """20 x 2.1 m are 42 m2 and too narrow: 2.2 m against 2.1 m."""
    result = space({"free_length_m": 20.0, "free_width_m": 2.1, "edge_distance_m": 3.0})
    assert result.status == "fail"
    assert result.spare == pytest.approx(-0.1)
    assert result.utilisation == pytest.approx(2.2 / 2.1)


def test_exact_fit_passes():
    row = {"free_length_m": 2.2, "free_width_m": 2.2, "edge_distance_m": 2.0}
    need = roof_detail(site(row), UNIT, 815.0)["space"]["need_m"]
    row |= {"free_length_m": need[0], "free_width_m": need[1]}
    assert (space(row).status, space(row).spare) == ("pass", 0.0)


def test_half_known_area_fails_only_where_no_width_would_help():
    assert space({"free_length_m": 2.1}).status == "fail"
    unknown = space({"free_length_m": 6.0})
    assert (unknown.status, unknown.missing) == ("not assessed", ("free_width_m",))
    nothing = space({})
    assert nothing.missing == ("free_length_m", "free_width_m")
    assert nothing.demand == pytest.approx(2.2)
    assert nothing.limit is None


def test_edge():
    row = {"free_length_m": 6.0, "free_width_m": 4.0}
    near = space({**row, "edge_distance_m": 1.9})
    assert near.status == "caution"
    assert "fall protection" in asked(near)
    assert space({**row, "edge_distance_m": 2.0}).status == "pass"
    unknown = space(row)
    assert unknown.status == "caution"
    assert "2 m or more from every edge" in asked(unknown)


def test_spreader_may_need_more_room_than_the_clearances():
    frame = {
        "spreader_kind": "frame",
        "spreader_length_m": 5.0,
        "spreader_width_m": 1.2,
        "spreader_kg": 150.0,
    }
    row = {"free_length_m": 6.0, "free_width_m": 4.0, "edge_distance_m": 3.0}
    assert space({**row, **frame}).demand == pytest.approx(5.0)
    del frame["spreader_length_m"]
    half = space({**row, **frame})
    assert (half.status, half.missing) == ("not assessed", ("spreader_length_m",))


def test_detail():
    detail = roof_detail(site({"free_length_m": 6.0, "edge_distance_m": 1.0}), UNIT, 815.0)["space"]
    assert detail["free_m"] == [6.0, None]
    assert detail["fits"] is None
    assert detail["fall_protection_distance_m"] == 2.0


def test_better_orientation_is_the_one_with_more_room_left():
    fit = best_fit((3.0, 2.0), (4.0, 3.5))
    assert (fit.turned, fit.need, fit.free) == (False, 3.0, 4.0)
    assert best_fit((2.0, 3.0), (4.0, 3.5)).turned
