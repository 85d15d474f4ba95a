"""Ways onto the roof: each step, what is absent, what is unknown; made-up values."""

from pathlib import Path

import pytest
from asked import asked

from edgecheck.checks.delivery import DELIVERY_CHECKS, delivery_checks
from edgecheck.inputs.sites import DOES_NOT_APPLY, Site
from edgecheck.inputs.unit import load_unit
from edgecheck.roof.delivery import package
from edgecheck.roof.detail import roof_detail

UNIT = load_unit(
    Path(__file__).parent.parent / "data" / "examples" / "unit.toml"
)  # 1.20 x 0.80 x 1.23 m, part 96 kg
LIFT = {
    "lift_rated_kg": 630.0,
    "lift_car_width_m": 1.1,
    "lift_car_depth_m": 1.4,
    "lift_door_width_m": 0.9,
    "lift_door_height_m": 2.1,
    "lift_to_roof": "yes",
    "door_width_m": 0.9,
    "roof_reserve_point_kn": 2.0,
}
NO_LIFT = {"lift_rated_kg": DOES_NOT_APPLY}
NO_HATCH = {"hatch_length_m": DOES_NOT_APPLY, "hatch_width_m": DOES_NOT_APPLY}
NO_STAIRS = {"stair_width_m": DOES_NOT_APPLY}
NO_CRANE = {"crane_access": "no"}
NOTHING = {**NO_LIFT, **NO_HATCH, **NO_STAIRS, **NO_CRANE}
STAIRS = {"stair_width_m": 1.0, "door_width_m": 0.9, "roof_reserve_point_kn": 2.0}


def site(row):
    return Site(row=2, site_id="X", values=row)


def route(row, unit=UNIT):
    return delivery_checks(site(row), unit)[0]


def heavy(part=None, **body):
    mass = UNIT.mass.model_copy(update={"heaviest_part_kg": part})
    return UNIT.model_copy(update={"mass": mass, "body": UNIT.body.model_copy(update=body)})


def test_declarations():
    assert [check.id for check in DELIVERY_CHECKS] == ["delivery.route", "delivery.lifting"]
    assert DELIVERY_CHECKS[1].of_unit
    assert DELIVERY_CHECKS[1].at_worst == "caution"


def test_what_is_moved_in_one_piece():
    assert package(UNIT).mass == 96.0
    assert package(heavy()).mass == 176.0
    assert package(heavy(500.0)).mass == 176.0  # no part is heavier than the whole


def test_lift_to_the_roof():
    """96 + 40 + 2 x 75 = 286 kg within 630 kg; 0.85 m through 0.9 m."""
    result = route(LIFT)
    assert (result.status, result.demand, result.limit) == ("pass", 96.0, 440.0)
    assert "286 kg with trolley and two persons within 630 kg" in result.note


@pytest.mark.parametrize(
    ("cells", "reason"),
    [
        ({"lift_rated_kg": 285.0}, "exceed 285 kg"),
        ({"lift_door_width_m": 0.84}, "0.85 m do not pass the door of 0.84 m"),
        ({"lift_door_height_m": 1.27}, "1.28 m do not pass the door 1.27 m high"),
        ({"lift_car_width_m": 0.79}, "do not stand in the car"),
        ({"lift_car_width_m": 0.85, "lift_car_depth_m": 1.1}, "do not stand in the car of 0.85 x 1.1 m"),
        ({"lift_to_roof": "no"}, "lift_to_roof: no"),
        ({"door_width_m": 0.84}, "0.85 m do not pass 0.84 m"),
    ],
)
def test_lift_that_does_not_do(cells, reason):
    result = route({**LIFT, **NOTHING, **LIFT, **cells})
    assert result.status == "fail"
    assert reason in result.note


def test_limit_of_the_lift_is_shown_where_it_is_too_weak():
    result = route({**NOTHING, **LIFT, "lift_rated_kg": 225.0})
    assert (result.limit, result.spare) == (35.0, pytest.approx(-61.0))
    assert route({**NOTHING, **LIFT, "lift_door_width_m": 0.5}).limit is None


def test_every_way_absent_fails_and_unknown_does_not():
    assert route(NOTHING).status == "fail"
    for key in ("lift_rated_kg", "crane_access"):
        open_row = {name: cell for name, cell in NOTHING.items() if name != key}
        assert route(open_row).status == "not assessed"
        assert key in route(open_row).missing
    nothing_known = route({})
    assert nothing_known.status == "not assessed"
    assert nothing_known.demand == 96.0
    assert {"crane_access", "lift_rated_kg", "stair_width_m", "hatch_length_m"} <= set(nothing_known.missing)


def test_hatch_alone_is_no_way_without_a_lift_but_an_unknown_one_is_not_absent():
    row = {**NOTHING, **LIFT, "lift_to_roof": "no"}
    del row["hatch_length_m"], row["hatch_width_m"]
    assert route(row).status == "not assessed"
    wide = route({**row, "hatch_length_m": 1.3, "hatch_width_m": 0.9})
    assert wide.status == "caution"
    assert "hoist over the hatch" in asked(wide)
    assert route({**row, "hatch_length_m": 1.3, "hatch_width_m": 0.8}).status == "fail"
    assert route({**row, "hatch_width_m": 0.8}).status == "fail"


def test_stairs_need_a_climber():
    result = route({**NOTHING, **STAIRS})
    assert result.status == "caution"
    assert "stair climber or tackle for 96 kg" in asked(result)
    assert route({**NOTHING, **STAIRS, "stair_width_m": 0.84}).status == "fail"
    light = heavy(30.0)
    assert route({**NOTHING, **STAIRS}, light).status == "pass"
    without = {name: cell for name, cell in {**NOTHING, **STAIRS}.items() if name != "crane_access"}
    better = route(without)
    assert (better.status, better.missing) == ("not assessed", ("crane_access",))
    assert "up the stairs works with" in better.note


def test_no_door_on_the_way():
    assert route({**NOTHING, **STAIRS, "door_width_m": DOES_NOT_APPLY}).status == "caution"
    no_door = {name: cell for name, cell in {**NOTHING, **STAIRS}.items() if name != "door_width_m"}
    assert route(no_door).missing == ("door_width_m",)


def test_crane_needs_nothing_else():
    result = route({"crane_access": "yes"})
    assert (result.status, result.governed_by) == ("pass", "crane beside the building")
    assert result.limit is None


def test_pallet_truck_on_a_weak_roof_needs_boards():
    """(96 + 60)/4 x 1.5 x g = 0.574 kN."""
    row = {**NOTHING, **LIFT}
    weak = route({**row, "roof_reserve_point_kn": 0.57})
    assert weak.status == "caution"
    assert "boards on the roof under the pallet truck (0.57 kN a wheel against 0.57 kN)" in asked(weak)
    assert route({**row, "roof_reserve_point_kn": 0.58}).status == "pass"
    unknown = route({name: cell for name, cell in row.items() if name != "roof_reserve_point_kn"})
    assert (unknown.status, unknown.missing) == ("not assessed", ("roof_reserve_point_kn",))
    assert route({**row, "roof_reserve_point_kn": 0.5, "crane_access": "yes"}).status == "pass"


def test_long_box_stands_askew_in_a_car():
    """1.50 x 0.20 m in 1.40 x 1.10 m, straight it does not fit."""
    slim = heavy(96.0, length_m=1.5, depth_m=0.2)
    assert route({**NOTHING, **LIFT}, slim).status == "pass"


def test_lifting_by_hand():
    result = delivery_checks(site({}), UNIT)[1]
    assert (result.status, result.demand, result.limit) == ("caution", 96.0, 37.5)
    assert "mechanical aid" in asked(result)
    assert delivery_checks(site({}), heavy(37.5))[1].status == "pass"


def test_detail():
    detail = roof_detail(site({**NOTHING, **LIFT}), UNIT, 815.0)["delivery"]
    assert detail["mass_kg"] == 96.0
    assert [piece["mass_kg"] for piece in detail["pieces"]] == [176.0, 214.0, 96.0]
    assert [way["possible"] for way in detail["ways"]] == [False, True, False, False]
    assert detail["largest_car_m2"] == pytest.approx(1.66)
    assert detail["crane_hook_kn"] == pytest.approx(176.0 * 1.3 * 9.80665 / 1000)
    assert roof_detail(site({}), UNIT, 815.0)["delivery"]["largest_car_m2"] is None
