"""What must hold of roof and delivery checks for every row: empty cells, more snow, more weight; and of pressure."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from edgecheck.checks.delivery import delivery_checks
from edgecheck.checks.roof import demand_of, roof_checks
from edgecheck.inputs.columns import columns
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import DOES_NOT_APPLY, Site
from edgecheck.inputs.unit import load_unit
from edgecheck.roof.contact import contact_areas, union_area
from edgecheck.roof.plate import plate_pressure

EXAMPLE = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
CRITERIA = load_criteria("full")
# Cells whose emptiness has a stated meaning: none allowed for, a drawing, near the edge, level, the usual value
STATED_MEANING = (
    "landlord_max_kg",
    "roof_evidence",
    "edge_distance_m",
    "roof_step_m",
    "insulation_longterm_kpa",
)
ORDER = {"pass": 0, "caution": 1, "fail": 2}  # what is not assessed stands between any two
NO_SHRINKING = (Phase.explicit, Phase.generate)  # rows are wide, and the failing key names itself
none = st.just(DOES_NOT_APPLY)


def of(low, high, *others):
    return st.one_of(st.floats(low, high), *others)


CELLS = {
    "roof_reserve_point_kn": of(0.3, 4.0),
    "roof_evidence": st.sampled_from(["calculation", "survey", "drawing", "assumed"]),
    "roof_design_snow_kpa": of(0.0, 3.0),
    "roof_design_dead_kpa": of(0.2, 6.0),
    "member_tributary_m2": of(1.0, 200.0),
    "free_length_m": of(1.5, 8.0),
    "free_width_m": of(1.5, 8.0),
    "edge_distance_m": of(0.0, 6.0),
    "landlord_max_kg": of(250.0, 900.0, none),
    "roof_step_m": st.one_of(st.just(0.0), st.floats(0.5, 6.0)),
    "parapet_height_m": of(0.0, 1.5),
    "load_standard": st.sampled_from(["asce7-16", "asce7-22", "en"]),
    "asce_ground_snow_kpa": of(0.0, 4.0),
    "en_ground_snow_kpa": of(0.0, 4.0),
    "risk_category": st.sampled_from(["I", "II", "III", "IV"]),
    "insulation_longterm_kpa": of(5.0, 300.0),
    "membrane_pressure_limit_kpa": of(5.0, 400.0),
    "lift_rated_kg": of(200.0, 800.0, none),
    "lift_car_width_m": of(0.7, 1.6, none),
    "lift_car_depth_m": of(0.7, 2.2, none),
    "lift_door_width_m": of(0.7, 1.2, none),
    "lift_door_height_m": of(1.1, 2.2, none),
    "lift_to_roof": st.sampled_from(["yes", "no"]),
    "stair_width_m": of(0.7, 1.2, none),
    "hatch_length_m": of(0.7, 1.5, none),
    "hatch_width_m": of(0.7, 1.2, none),
    "door_width_m": of(0.7, 1.2, none),
    "crane_access": st.sampled_from(["yes", "no"]),
}
STATED = {"roof_reserve_kpa": of(0.2, 8.0)}
DERIVED = {
    "roof_use": st.sampled_from(["maintenance-only", "accessible", "plant"]),
    "roof_design_imposed_kpa": of(0.2, 8.0),
    "roof_existing_plant_kpa": of(0.0, 2.0),
}
WHOLE = (
    {"member_span_m": of(1.0, 12.0), "member_spacing_m": of(0.3, 4.0)},
    {
        "spreader_kind": st.sampled_from(["frame", "slab", "board"]),
        "spreader_length_m": of(0.6, 3.0),
        "spreader_width_m": of(0.6, 3.0),
        "spreader_kg": of(5.0, 300.0),
    },
)


@st.composite
def rows(draw):
    """A row: one way of giving the reserve, most other cells, members and spreader whole or not at all."""
    row = draw(st.fixed_dictionaries(draw(st.sampled_from([STATED, DERIVED])), optional=CELLS))
    for whole in WHOLE:
        if draw(st.booleans()):
            row |= draw(st.fixed_dictionaries(whole))
    if row.get("spreader_kind") == "slab" and draw(st.booleans()):
        row["spreader_thickness_mm"] = draw(st.floats(5.0, 120.0))
    if draw(st.booleans()):
        kinds = ["mineral-wool", "eps", "pir", "xps", "foam-glass"]
        row["insulation_type"] = draw(
            st.sampled_from(kinds if "insulation_longterm_kpa" in row else [*kinds, "none"])
        )
    return row


def results(row, unit=EXAMPLE):
    site = Site(row=2, site_id="X", values=row)
    return (*roof_checks(site, unit, CRITERIA, demand_of(site, unit, 815.0)), *delivery_checks(site, unit))


@settings(max_examples=150, deadline=None, phases=NO_SHRINKING)
@given(rows())
def test_emptying_a_cell_never_helps(row):
    before = results(row)
    for key in row:
        after = results({name: cell for name, cell in row.items() if name != key})
        for was, becomes in zip(before, after, strict=True):
            if key in STATED_MEANING:
                continue
            if becomes.status == "pass":
                assert was.status == "pass", (key, was.id)
            if becomes.status == "caution":
                assert was.status == "caution", (key, was.id)
            if becomes.status == "not applicable":
                assert was.status == "not applicable", (key, was.id)


@settings(max_examples=100, deadline=None, phases=NO_SHRINKING)
@given(rows())
def test_every_open_check_says_what_would_settle_it(row):
    for result in results(row):
        if result.status == "not assessed":
            assert result.missing, result.id
            assert set(result.missing) <= set(columns()), result.id
        if result.status == "caution":
            assert result.conditions, result.id
        if result.status in ("pass", "fail") and result.spare is not None:
            assert (result.spare >= 0.0) == (result.status == "pass"), result.id
        assert result.note or result.id == "delivery.lifting"


@settings(max_examples=100, deadline=None, phases=NO_SHRINKING)
@given(rows(), CELLS["load_standard"], of(0.0, 4.0), st.floats(1.05, 4.0))
def test_more_snow_never_helps(row, standard, ground, factor):
    key = "en_ground_snow_kpa" if standard == "en" else "asce_ground_snow_kpa"
    row |= {"load_standard": standard, key: ground}
    if standard != "en":  # the surcharge for rain falls away where the ground snow is above a limit
        assume(ground > 1.92 or ground * factor <= 0.96)
    before, after = results(row), results({**row, key: ground * factor})
    light, heavy = (next(one for one in found if one.id == "roof.load") for found in (before, after))
    assume("not assessed" not in (light.status, heavy.status))
    assert ORDER[heavy.status] >= ORDER[light.status]
    if not row.get("roof_step_m"):  # a drift that cannot be worked out is left out of the demand
        assert heavy.demand >= light.demand - 1e-9


@settings(max_examples=100, deadline=None, phases=NO_SHRINKING)
@given(rows(), st.floats(1.0, 80.0))
def test_a_heavier_box_never_helps(row, more):
    heavy = EXAMPLE.model_copy(
        update={
            "mass": EXAMPLE.mass.model_copy(update={"dry_kg": 176.0 + more, "heaviest_part_kg": 96.0 + more})
        }
    )
    for was, becomes in zip(results(row), results(row, heavy), strict=True):
        if was.status in ORDER and becomes.status in ORDER:
            assert ORDER[becomes.status] >= ORDER[was.status], was.id
        assert (was.status, becomes.status) != ("fail", "not assessed"), was.id


def test_a_row_with_every_roof_cell_empty():
    """Not assessed with the demand and what would pass it, no utilisation, and the questions to ask."""
    for result in results({}):
        if result.id == "delivery.lifting":
            continue
        assert result.status == "not assessed"
        assert result.utilisation is None
        assert result.missing
        assert result.demand is not None or "would need" in result.note


# --- pressure ---

share = st.floats(0.0, 0.45)


@given(share, share, st.floats(0.3, 3.0), st.floats(0.3, 3.0))
def test_pressure_under_a_plate(x, y, long, wide):
    mean = 1000.0 / (long * wide)
    found = plate_pressure(1000.0, (long, wide), (x * long, -y * wide))
    assert found >= mean * (1 + 6 * x + 6 * y) * (1 - 1e-9)  # the linear formula, which would pull
    assert found == pytest.approx(plate_pressure(1000.0, (wide, long), (y * wide, x * long)), rel=1e-6)
    further = plate_pressure(1000.0, (long, wide), (min(0.46, x + 0.01) * long, y * wide))
    assert further >= found * (1 - 1e-9)


corner = st.floats(-1.0, 1.0)


@given(
    st.lists(st.tuples(corner, corner), min_size=3, max_size=6, unique=True),
    st.floats(0.02, 0.3),
    st.floats(0.0, 0.3),
)
def test_contact_areas_are_no_more_than_what_they_cover(feet, plate, thickness):
    slab = (-2.0, -2.0, 2.0, 2.0)
    areas = contact_areas(feet, (plate, plate), thickness, slab)
    one = (plate + 2 * thickness) ** 2
    assert all(0.0 < area <= one * (1 + 1e-9) for area in areas)
    reach = plate / 2 + thickness
    squares = [(x - reach, y - reach, x + reach, y + reach) for x, y in feet]
    assert sum(areas) == pytest.approx(union_area(squares))
    assert sum(areas) <= 16.0 + 1e-9


def test_union_area_by_counting_points():
    random = np.random.default_rng(3)
    squares = [(x, y, x + 0.7, y + 0.4) for x, y in random.uniform(0, 2, (5, 2))]
    points = random.uniform(0, 3, (400_000, 2))
    inside = np.zeros(len(points), bool)
    for left, front, right, back in squares:
        inside |= (
            (points[:, 0] > left) & (points[:, 0] < right) & (points[:, 1] > front) & (points[:, 1] < back)
        )
    assert union_area(squares) == pytest.approx(9.0 * inside.mean(), rel=0.02)
