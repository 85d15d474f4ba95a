"""What must hold of the roof for every layout of feet and every row of a list."""

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from edgecheck.checks.roof import ROOF_LOAD, demand_of, roof_checks
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import DOES_NOT_APPLY, Site
from edgecheck.inputs.unit import load_unit
from edgecheck.roof.footing import admissible_without, elastic_reactions, point_demand
from edgecheck.roof.load import SPREADER_MASS_PER_AREA, member_equivalent, spreader_side

coordinate = st.floats(-2.0, 2.0)


@st.composite
def stands(draw, most=8):
    """Feet (n, 2) that are not nearly in line, a weight, and a centre of gravity inside the feet."""
    count = draw(st.integers(3, most))
    feet = np.array(draw(st.lists(st.tuples(coordinate, coordinate), min_size=count, max_size=count)))
    spread = np.linalg.svd(feet - feet.mean(axis=0), compute_uv=False)
    assume(spread[0] > 0.1 and spread[1] > 0.05 * spread[0])
    parts = np.array(draw(st.lists(st.floats(0.01, 1.0), min_size=count, max_size=count)))
    weight = draw(st.floats(100.0, 50_000.0))
    return feet, weight, parts @ feet / parts.sum()


def closure(feet, forces, weight, centre):
    """Greatest error of the three equilibrium equations as a share of W and of W times the size."""
    size = np.abs(feet).max()
    moments = (forces @ feet - weight * np.asarray(centre)) / (weight * size)
    return max(abs(forces.sum() / weight - 1.0), np.abs(moments).max())


def least_by_trying_every_contact(feet, weight, centre):
    """Independent answer: of all sets of feet that carry the box without pull, the least sum of squares."""
    loads = weight * np.array([1.0, *centre])
    best, least = None, np.inf
    for count in range(1, len(feet) + 1):
        for chosen in combinations(range(len(feet)), count):
            equations = np.vstack([np.ones(count), feet[list(chosen)].T])
            forces = np.linalg.lstsq(equations, loads, rcond=None)[0]
            off = np.abs(equations @ forces - loads).max()
            if off < 1e-8 * weight and forces.min() >= -1e-9 * weight and forces @ forces < least:
                best, least = np.zeros(len(feet)), forces @ forces
                best[list(chosen)] = forces
    return best


@given(stands())
def test_equilibrium_and_no_tension(stand):
    feet, weight, centre = stand
    forces = elastic_reactions(feet, weight, centre)
    assert forces is not None
    assert forces.min() >= 0.0
    assert closure(feet, forces, weight, centre) < 1e-9


@settings(max_examples=40)
@given(stands(most=6))
def test_contact_is_the_least_of_all_contacts(stand):
    """Least work with unilateral supports, by trying every set of feet in contact."""
    feet, weight, centre = stand
    expected = least_by_trying_every_contact(feet, weight, centre)
    np.testing.assert_allclose(elastic_reactions(feet, weight, centre), expected, atol=1e-6 * weight)


@given(stands(), st.randoms(use_true_random=False))
def test_numbering_and_mirror(stand, random):
    feet, weight, centre = stand
    forces = elastic_reactions(feet, weight, centre)
    order = list(range(len(feet)))
    random.shuffle(order)
    np.testing.assert_allclose(
        elastic_reactions(feet[order], weight, centre), forces[order], atol=1e-7 * weight
    )
    mirror = np.array([-1.0, 1.0])
    mirrored = elastic_reactions(feet * mirror, weight, centre * mirror)
    np.testing.assert_allclose(mirrored, forces, atol=1e-7 * weight)


@given(stands(), st.floats(1.1, 5.0))
def test_outside_the_feet_it_tips(stand, beyond):
    """A centre of gravity outside the plan of the feet cannot be held without tension."""
    feet, weight, centre = stand
    away = feet[np.argmax(np.linalg.norm(feet - centre, axis=1))]
    outside = centre + beyond * (away - centre)  # the farthest foot is a corner of the plan
    assume(np.linalg.norm(away - centre) > 0.05)
    assert elastic_reactions(feet, weight, outside) is None


@given(stands())
def test_one_foot_free_only_where_statics_allow(stand):
    feet, weight, centre = stand
    cases = dict(admissible_without(feet, weight, centre))
    for foot, forces in cases.items():
        assert forces[foot - 1] == 0.0
        assert forces.min() >= 0.0
        assert closure(feet, forces, weight, centre) < 1e-9
    if len(feet) == 3:
        assert not cases
    if len(feet) == 4:
        for foot in range(1, 5):
            rest = np.delete(feet, foot - 1, axis=0)
            equations = np.vstack([np.ones(3), rest.T])
            assume(abs(np.linalg.det(equations)) > 1e-3)
            forces = np.linalg.solve(equations, weight * np.array([1.0, *centre]))
            assume(abs(forces.min()) > 1e-6 * weight)
            assert (foot in cases) == (forces.min() > 0.0)


@given(stands(), st.floats(0.0, 0.2), st.floats(1.1, 4.0))
def test_point_demand_is_linear_in_weight_and_grows_with_tolerance(stand, tolerance, factor):
    plan, weight, centre = stand
    feet, centre = tuple(map(tuple, plan)), tuple(centre)
    exact = point_demand(feet, weight, centre, 0.0)
    loose = point_demand(feet, weight, centre, tolerance)
    heavy = point_demand(feet, weight * factor, centre, tolerance)
    assert exact.value >= weight / len(feet) * (1 - 1e-9)
    if loose.value is None:
        assert heavy.value is None
        assert "tips over" in loose.case
    else:
        assert loose.value >= exact.value
        assert heavy.value == pytest.approx(factor * loose.value, rel=1e-6)


@given(st.floats(300.0, 20_000.0), st.floats(500.0, 50_000.0))
def test_proposed_spreader_given_back_passes(limit, weight):
    side = spreader_side(limit, weight)
    assert side is not None
    side = np.ceil(side * 100) / 100
    own = SPREADER_MASS_PER_AREA * 9.80665 * side**2
    assert (weight + own) / side**2 <= limit * (1 + 1e-12)


@given(
    st.floats(1.0, 20.0), st.floats(0.3, 8.0), st.floats(0.1, 6.0), st.floats(0.1, 6.0), st.floats(100, 2e4)
)
def test_a_patch_within_the_reserve_never_overloads_a_member(span, spacing, along, across, weight):
    """Statics: a load that is nowhere above the uniform load cannot strain the member more than it does."""
    patch = weight / (along * across)
    assert member_equivalent(weight, span, spacing, along, across) <= patch * (1 + 1e-9)


# --- rows of a list ---


EXAMPLE = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
CRITERIA = load_criteria("full")


def unit(dry=176.0):
    return EXAMPLE.model_copy(update={"mass": EXAMPLE.mass.model_copy(update={"dry_kg": dry})})


def checks(row, of=EXAMPLE):
    site = Site(row=2, site_id="X", values=row)
    found = roof_checks(site, of, CRITERIA, demand_of(site, of, 815.0))
    by_id = {result.id: result for result in found}
    return by_id["roof.load"], by_id["roof.point-load"]


OPTIONAL = {
    "roof_reserve_point_kn": st.floats(0.0, 10.0),
    "roof_evidence": st.sampled_from(["calculation", "survey", "drawing", "assumed"]),
    "free_length_m": st.floats(0.3, 20.0),
    "free_width_m": st.floats(0.3, 20.0),
    "landlord_max_kg": st.one_of(st.floats(50.0, 2000.0), st.just(DOES_NOT_APPLY)),
    "structure_type": st.sampled_from(["rc-slab", "timber"]),
}
STATED = {"roof_reserve_kpa": st.floats(0.0, 8.0)}
DERIVED = {
    "roof_use": st.sampled_from(["maintenance-only", "accessible", "plant"]),
    "roof_design_imposed_kpa": st.floats(0.0, 8.0),
    "roof_existing_plant_kpa": st.floats(0.0, 4.0),
}
MEMBER = {"member_span_m": st.floats(1.0, 12.0), "member_spacing_m": st.floats(0.3, 4.0)}
SNOW_FREE = {"load_standard": st.just("en"), "en_ground_snow_kpa": st.just(0.0)}
SPREADER = {
    "spreader_kind": st.sampled_from(["frame", "slab", "board"]),
    "spreader_length_m": st.floats(0.5, 3.0),
    "spreader_width_m": st.floats(0.5, 3.0),
    "spreader_kg": st.floats(1.0, 600.0),
}


@st.composite
def rows(draw):
    """Cells of a row: one way of giving the reserve; members and spreader whole or not at all; the rest."""
    row = draw(st.fixed_dictionaries(draw(st.sampled_from([STATED, DERIVED])), optional=OPTIONAL))
    for whole in (MEMBER, SPREADER, SNOW_FREE):
        if draw(st.booleans()):
            row |= draw(st.fixed_dictionaries(whole))
    return row


def status(row, of=EXAMPLE):
    return [result.status for result in checks(row, of)]


@settings(max_examples=200)
@given(rows())
def test_emptying_a_cell_never_yields_pass(row):
    before = status(row)
    for key in row:
        after = status({name: cell for name, cell in row.items() if name != key})
        for was, becomes in zip(before, after, strict=True):
            assert becomes != "pass" or was == "pass", key
            if key in ("landlord_max_kg", "roof_evidence"):  # cells whose emptiness has a stated meaning
                continue
            assert becomes != "caution" or was in ("pass", "caution"), key


@given(rows())
def test_no_pass_without_a_reserve_or_on_a_drawing(row):
    load, point = status(row)
    if row.get("roof_evidence") not in ("calculation", "survey"):
        assert "pass" not in (load, point)
    if not {"roof_reserve_kpa", "roof_design_imposed_kpa"} & set(row):
        assert load in ("not assessed", "fail")
    if "roof_reserve_point_kn" not in row:
        assert point == "not assessed"
    if row.get("roof_use") == "maintenance-only" and not isinstance(row.get("landlord_max_kg"), float):
        assert load in ("caution", "not assessed")


@given(rows(), st.floats(50.0, 300.0), st.floats(1.05, 3.0))
def test_utilisation_is_linear_in_load(row, dry, factor):
    bare = {key: cell for key, cell in row.items() if not key.startswith(("spreader", "landlord"))}
    rest = 38.0 + 118.0 * 0.815
    light = checks(bare, unit(dry))
    heavy = checks(bare, unit((dry + rest) * factor - rest))
    for one, other in zip(light, heavy, strict=True):
        assert other.demand == pytest.approx(factor * one.demand, rel=1e-6)
        if one.utilisation is not None:
            assert other.utilisation == pytest.approx(factor * one.utilisation, rel=1e-6)


@given(rows())
def test_demand_is_always_shown(row):
    for result in checks(row):
        assert result.demand > 0.0
        if result.status == "not assessed":
            assert result.missing
        if result.status == "pass":
            assert result.spare >= 0.0


@given(rows())
def test_more_weight_never_helps(row):
    order = {"pass": 0, "caution": 1, "not assessed": 2, "fail": 2}
    for light, heavy in zip(status(row), status(row, unit(dry=260.0)), strict=True):
        assert order[heavy] >= order[light]


def test_boundary_spare_zero_passes():
    demand = checks({})[0].demand
    row = {
        "roof_reserve_kpa": demand,
        "roof_evidence": "survey",
        "landlord_max_kg": DOES_NOT_APPLY,
        "load_standard": "en",
        "en_ground_snow_kpa": 0.0,
    }
    result = checks(row)[0]
    assert (result.status, result.spare) == ("pass", 0.0)
    assert result.id == ROOF_LOAD.id
