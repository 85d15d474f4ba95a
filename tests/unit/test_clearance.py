"""Distances before intake, discharge and service side: geometry by hand, status, words; made-up values."""

from pathlib import Path

import pytest
from asked import asked
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.checks.clearance import CLEARANCE, clearance_check, clearance_detail
from edgecheck.checks.survey_words import ELSEWHERE
from edgecheck.inputs.columns import columns
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.services.clearance import KINDS, Distances, left_free

EXAMPLE = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")  # 1.20 x 0.80 m
ROOMY = {"free_length_m": 8.0, "free_width_m": 6.0, "walls_within_3_m": 0.0, "edge_distance_m": 4.0}


def unit(intake=0.5, discharge=1.5, service=0.9):
    stated = {"intake_m": intake, "discharge_m": discharge, "service_m": service}
    return EXAMPLE.model_copy(update={"clearance": EXAMPLE.clearance.model_copy(update=stated)})


def check(row=None, one=None, **cells):
    values = {**(ROOMY if row is None else row), **cells}
    values = {key: value for key, value in values.items() if value is not None}
    return clearance_check(Site(row=2, site_id="X", values=values), one or unit())


def test_distances_by_hand():
    """3.0 x 2.4 m round 1.2 x 0.8 m: 1.8 m left along the front, 1.6 m across it."""
    found = left_free((1.2, 0.8), (3.0, 2.4), Distances(intake=0.5, discharge=0.7, service=0.8))
    assert not found.turned
    assert found.left.service == pytest.approx(1.6 - 0.5)
    assert found.left.intake == pytest.approx(min(1.8 / 2, 1.6 - 0.8))  # both ends, behind
    assert found.left.discharge == pytest.approx(min(1.6 - 0.8, 1.6 - 0.5, 1.8 - 0.5))
    assert found.short == ()
    assert found.tightest == "discharge"


def test_the_better_orientation_is_taken():
    asked = Distances(intake=0.5, discharge=0.5, service=0.9)
    assert left_free((1.2, 0.8), (2.2, 2.2), asked).short == ()
    assert not left_free((1.2, 0.8), (2.4, 2.2), asked).turned
    turned = left_free((1.2, 0.8), (2.2, 4.0), Distances(intake=0.5, discharge=0.5, service=2.5))
    assert not turned.turned  # depth across the width of 4 m
    assert left_free((1.2, 0.8), (4.0, 2.2), Distances(intake=0.5, discharge=0.5, service=2.5)).turned


def test_room_without_walls_passes():
    found = check()
    assert found.status == "pass"
    assert (found.demand, found.limit) == (pytest.approx(6.0 - 0.8 - 0.9), 1.5)
    assert found.governed_by == "discharge, front along the length of the free area"
    assert found.utilisation == pytest.approx(1.5 / 4.3)


def test_walls_beside_room_enough_pass_and_four_walls_do_not():
    assert check(walls_within_3_m=3.0).status == "pass"
    pit = check(walls_within_3_m=4.0)
    assert pit.status == "caution"
    assert "more than 3 sides closed in" in asked(pit)


def test_a_free_area_that_does_not_leave_the_distances_is_a_caution():
    tight = {"free_length_m": 2.3, "free_width_m": 2.3}
    walled = check(**tight, walls_within_3_m=2.0)
    assert walled.status == "caution"
    assert walled.spare < 0.0
    assert "does not leave 1.5 m for the discharge" in walled.note
    assert "2 walls or screens within 3 m" in walled.note
    assert "the maker agrees" in asked(walled)
    free = check(**tight)
    assert free.status == "caution"
    assert "nothing as high as the unit" in asked(free)
    hopeless = check(free_length_m=1.0, free_width_m=1.0, walls_within_3_m=4.0)
    assert (hopeless.status, hopeless.demand) == ("caution", 0.0)
    assert hopeless.utilisation is None


@pytest.mark.parametrize("key", ["free_length_m", "free_width_m", "walls_within_3_m"])
def test_an_empty_cell_leaves_it_not_assessed(key):
    found = check(**{key: None})
    assert (found.status, found.missing) == ("not assessed", (key,))
    assert (found.demand, found.limit) == (None, 1.5)
    assert "intake 0.5 m, discharge 1.5 m, service 0.9 m" in found.note


def test_a_distance_that_the_unit_does_not_state_leaves_it_not_assessed():
    found = check(one=unit(discharge=None))
    assert (found.status, found.missing) == ("not assessed", ("unit: clearance.discharge_m",))
    assert found.limit == 0.9
    bare = check(one=unit(None, None, None))
    assert bare.limit is None
    assert bare.missing == tuple(f"unit: clearance.{kind}_m" for kind in KINDS)
    assert all(key in ELSEWHERE for key in bare.missing)


def test_fall_protection_near_an_edge():
    assert check(edge_distance_m=2.0).status == "pass"
    near = check(edge_distance_m=1.9)
    assert near.status == "caution"
    assert near.conditions == ("fall protection, within 2 m of an edge",)
    unknown = check(edge_distance_m=None)
    assert unknown.status == "caution"
    assert "2 m or more from every edge" in asked(unknown)


def test_a_parapet_before_the_intake():
    far = unit(discharge=2.5)
    assert check(one=far, edge_distance_m=2.2, parapet_height_m=0.0).status == "pass"
    high = check(one=far, edge_distance_m=2.2, parapet_height_m=0.9)
    assert high.status == "caution"
    assert "0.9 m high and 2.2 m away" in asked(high)
    open_ = check(one=far, edge_distance_m=2.2)
    assert (open_.status, open_.missing) == ("not assessed", ("parapet_height_m",))
    assert check(one=far, edge_distance_m=2.5).status == "pass"
    assert "parapet" in asked(check(edge_distance_m=1.0, parapet_height_m=1.1))


def test_nothing_asked_for_is_kept_anywhere():
    found = check(one=unit(0.0, 0.0, 0.0), free_length_m=1.3, free_width_m=1.0)
    assert found.status == "pass"
    assert found.utilisation is None


def test_detail_agrees_with_the_check():
    site = Site(row=2, site_id="X", values=ROOMY)
    detail = clearance_detail(site, unit())
    found = clearance_check(site, unit())
    tight = next(one for one in detail["distances"] if one["kind"] == "discharge")
    assert (tight["left_m"], tight["asked_m"]) == (found.demand, found.limit)
    empty = clearance_detail(Site(row=2, site_id="X", values={}), unit())
    assert [one["left_m"] for one in empty["distances"]] == [None] * 3
    assert empty["free_m"] == [None, None]


def test_declaration():
    assert CLEARANCE.title == "Distances to walls"
    assert (CLEARANCE.sense, CLEARANCE.unit, CLEARANCE.at_worst) == ("at least", "m", None)
    for key in CLEARANCE.inputs[0]:
        assert "services.clearance" in columns()[key].feeds


# --- what must hold of every row ---

metres = st.floats(0.0, 4.0)
CELLS = {
    "free_length_m": st.floats(0.5, 12.0),
    "free_width_m": st.floats(0.5, 12.0),
    "walls_within_3_m": st.integers(0, 4).map(float),
    "edge_distance_m": st.floats(0.0, 6.0),
    "parapet_height_m": st.floats(0.0, 2.0),
}
ROWS = st.fixed_dictionaries({}, optional=CELLS)
UNITS = st.builds(unit, metres, metres, metres)


@given(ROWS, UNITS)
def test_emptying_a_cell_never_helps(row, one):
    was = check(row, one)
    for key in row:
        becomes = check({name: cell for name, cell in row.items() if name != key}, one)
        assert becomes.status != "pass" or was.status == "pass", key
        if key != "edge_distance_m":  # empty: near an edge, which is said to be so
            assert becomes.status != "caution" or was.status == "caution", key


@given(ROWS, UNITS)
def test_every_result_is_whole(row, one):
    found = check(row, one)
    assert found.status in ("pass", "caution", "not assessed")
    assert found.note
    assert (found.status == "caution") == bool(found.conditions)
    assert (found.status == "not assessed") == bool(found.missing)
    if found.status == "pass":
        assert found.spare >= 0.0
        assert all(
            left >= asked
            for left, asked in (
                (entry["left_m"], entry["asked_m"])
                for entry in clearance_detail(Site(row=2, site_id="X", values=row), one)["distances"]
            )
        )


@given(
    st.fixed_dictionaries(CELLS),
    UNITS,
    st.floats(0.0, 3.0),
    st.sampled_from(["free_length_m", "free_width_m"]),
)
def test_more_room_or_fewer_walls_never_hurt(row, one, more, side):
    order = {"pass": 0, "caution": 1}
    was = check(row, one)
    for better in ({**row, side: row[side] + more}, {**row, "walls_within_3_m": 0.0}):
        assert order[check(better, one).status] <= order[was.status]
