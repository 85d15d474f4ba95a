"""What must hold for any box, wind and friction: statics, monotone effects, ballast that is exactly enough."""

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from edgecheck.base.constants import GRAVITY
from edgecheck.inputs.combinations import combinations, stability_combinations
from edgecheck.roof.fixing import Anchoring, Pull, anchor_force, utilisation, wind_pulls
from edgecheck.roof.silhouette import FACES, Block, silhouette
from edgecheck.roof.stability import KINDS, effects, governing, needed_ballast
from edgecheck.roof.stand import Stand, edges_of
from edgecheck.roof.wind_asce import AsceWind
from edgecheck.roof.wind_en import EnWind, peak_pressure

FRONT, BACK, LEFT, RIGHT = FACES
(EQU,) = stability_combinations("en")


@st.composite
def stands(draw, *, symmetric=False, ring=True):
    """A box on four feet, its centre of gravity over them; symmetric: feet and centre in the middle."""
    length, depth = draw(st.floats(0.6, 3.0)), draw(st.floats(0.5, 2.0))
    height, gap = draw(st.floats(0.5, 2.5)), draw(st.floats(0.0, 0.3))
    inset = [0.05] * 4 if symmetric else [draw(st.floats(0.0, 0.15)) for _ in range(4)]
    left, right, front, back = inset[0], length - inset[1], inset[2], depth - inset[3]
    at = (0.5, 0.5) if symmetric else (draw(st.floats(0.35, 0.65)), draw(st.floats(0.35, 0.65)))
    centre = (at[0] * length, at[1] * depth, 0.45 * height)
    feet = [(left, front), (right, front), (right, back), (left, back)]
    return Stand(
        state="any",
        mass=draw(st.floats(50.0, 2000.0)),
        centre=centre,
        tolerance=0.0,
        edges=edges_of(tuple(feet)),
        middle=(length / 2.0, depth / 2.0),
        lid=length * depth,
        blocks=(Block(length, depth, gap, gap + height),),
        base="feet",
        ring=(length + 0.6, depth + 0.6),
        ring_area=(length + 0.6) * (depth + 0.6) - length * depth if ring else 0.0,
        ring_bottom=0.0,
        ballast=0.0,
        ballast_centre=(length / 2.0, depth / 2.0),
    )


def box(stand):
    (body,) = stand.blocks
    return body.along, body.back, body.top - body.bottom


def wind_on(stand, velocity, edge=1.0, uplift=1.0):
    return EnWind(peak_pressure(velocity, "II", 20.0), box(stand), edge, "", uplift)


velocities = st.floats(5.0, 50.0)
frictions = st.floats(0.1, 1.0)


@given(stands(), velocities, st.floats(1.01, 1.5), frictions)
def test_more_wind_never_helps(stand, velocity, more, friction):
    for face in FACES:
        for low, high in zip(
            effects(stand, wind_on(stand, velocity), EQU, friction, faces=(face,)),
            effects(stand, wind_on(stand, velocity * more), EQU, friction, faces=(face,)),
            strict=True,
        ):
            assert (low.kind, low.lifting) == (high.kind, high.lifting)
            assert high.utilisation >= low.utilisation
    calm, gale = (
        governing(effects(stand, wind_on(stand, v), EQU, friction)) for v in (velocity, velocity * more)
    )
    assert gale.utilisation >= calm.utilisation


@given(stands(), velocities, st.floats(1.1, 4.0), frictions)
def test_more_mass_never_hurts(stand, velocity, more, friction):
    wind = wind_on(stand, velocity)
    heavier = replace(stand, mass=stand.mass * more)
    before = governing(effects(stand, wind, EQU, friction)).utilisation
    assert governing(effects(heavier, wind, EQU, friction)).utilisation <= before


@given(stands(), velocities, st.floats(1.1, 3.0))
def test_overturning_moment_is_linear_in_the_pressure(stand, velocity, more):
    """Forces are proportional to the velocity pressure, so moments are; sliding over its resistance is not."""
    low, high = wind_on(stand, velocity), wind_on(stand, velocity * more)
    ratio = high.pressure.peak / low.pressure.peak
    for face in FACES:
        for first, second in zip(
            effects(stand, low, EQU, None, faces=(face,)),
            effects(stand, high, EQU, None, faces=(face,)),
            strict=True,
        ):
            if first.kind == "overturning" and len({first.resisting, second.resisting}) == 1:
                assert second.destabilising == pytest.approx(ratio * first.destabilising, rel=1e-9)


@given(stands(symmetric=True), velocities, frictions)
def test_sign_of_the_wind_does_not_matter_for_a_symmetric_box(stand, velocity, friction):
    wind = wind_on(stand, velocity)
    for one, other in ((FRONT, BACK), (LEFT, RIGHT)):
        there, back = (effects(stand, wind, EQU, friction, faces=(face,)) for face in (one, other))
        for first, second in zip(there, back, strict=True):
            assert second.destabilising == pytest.approx(first.destabilising, rel=1e-9)
            assert second.resisting == pytest.approx(first.resisting, rel=1e-9, abs=1e-9)


@given(stands(symmetric=True), st.floats(15.0, 50.0), st.floats(0.02, 0.2))
def test_sign_of_the_wind_matters_where_the_centre_is_not_in_the_middle(stand, velocity, shift):
    wind = wind_on(stand, velocity)
    off = replace(stand, centre=(stand.centre[0], stand.centre[1] + shift, stand.centre[2]))
    assume(min(edge.lever(off.centre) for edge in off.edges) > 0.05)

    def tips(face):
        found = effects(off, wind, EQU, None, faces=(face,))
        return max(one.utilisation for one in found if one.kind == "overturning" and not one.lifting)

    assert tips(FRONT) > tips(BACK)


@given(stands(), st.floats(15.0, 35.0), st.floats(0.3, 1.0), st.booleans())
def test_ballast_fed_back_is_exactly_enough(stand, velocity, friction, faced):
    wind = wind_on(stand, velocity)
    stand = stand if faced else replace(stand, ring_area=0.0)
    mass = needed_ballast(stand, wind, (EQU,), friction)
    assume(mass is not None)
    held = governing(effects(stand.with_ballast(mass), wind, EQU, friction))
    assert held.utilisation <= 1.0 + 1e-9
    if mass > 0.1:
        assert held.utilisation == pytest.approx(1.0, abs=1e-9)
        less = governing(effects(stand.with_ballast(mass - 0.1), wind, EQU, friction))
        assert less.utilisation > 1.0
    kinds = [needed_ballast(stand, wind, (EQU,), friction, kinds=(kind,)) for kind in KINDS]
    assert mass == pytest.approx(max(kinds), abs=1e-3)


@given(
    stands(),
    st.floats(30.0, 60.0),
    st.floats(0.3, 1.0),
    st.floats(0.0, 10.0),
    st.sampled_from((None, (3.0, 4.0), (20.0, 30.0))),
    st.floats(0.0, 0.1),
)
def test_ballast_is_exactly_enough_on_slanted_edges_slopes_and_under_any_combination(
    stand, speed, friction, slope, building, skew
):
    """The least ballast lies where the worst of all effects, worked out one by one, passes 1."""
    (left, front), (right, _), (_, back), _ = (edge.start for edge in stand.edges)
    feet = ((left + skew, front), (right, front + skew), (right - skew, back), (left, back - skew))
    stand = replace(stand, edges=edges_of(feet))
    wind = AsceWind("asce7-16", speed, "C", 12.0, building=building)
    judging = stability_combinations("asce7-16")
    mass = needed_ballast(stand, wind, judging, friction, slope)
    assume(mass is not None)

    def worst(ballast):
        loaded = stand.with_ballast(ballast)
        return governing([one for by in judging for one in effects(loaded, wind, by, friction, slope)])

    assert worst(mass).utilisation <= 1.0 + 1e-9
    if mass > 0.0:
        assert worst(mass).utilisation == pytest.approx(1.0, abs=1e-9)
        assert worst(mass * (1.0 - 1e-6)).utilisation > 1.0


@given(stands(), velocities)
def test_edges_enclose_the_middle_and_the_centre(stand, velocity):
    assert len(stand.edges) == 4
    for edge in stand.edges:
        assert edge.lever(stand.middle) > 0.0
        assert edge.lever(stand.centre) > 0.0
        assert edge.normal[0] ** 2 + edge.normal[1] ** 2 == pytest.approx(1.0)


millimetres = st.integers(0, 3000).map(lambda size: size / 1000.0)


@given(st.lists(st.tuples(millimetres, millimetres), min_size=3, max_size=9))
def test_outline_of_any_feet_is_convex_and_holds_them_all(feet):
    try:
        edges = edges_of(tuple(feet))
    except ValueError:
        assume(False)
    for edge in edges:
        assert all(edge.lever(foot) >= -1e-6 for foot in feet)
    assert {edge.start for edge in edges} <= set(feet)


sizes = st.floats(0.1, 3.0)


@given(st.lists(st.tuples(sizes, sizes, st.floats(0.0, 2.0), sizes), min_size=1, max_size=4))
def test_silhouette_lies_between_its_largest_block_and_their_sum(rows):
    blocks = [Block(along, back, bottom, bottom + tall) for along, back, bottom, tall in rows]
    for face in FACES:
        areas = [face.across(one.along, one.back) * (one.top - one.bottom) for one in blocks]
        area, height = silhouette(blocks, face).shadow
        assert max(areas) * (1 - 1e-9) <= area <= sum(areas) * (1 + 1e-9)
        assert min(one.bottom for one in blocks) < height < max(one.top for one in blocks)


@given(
    st.lists(st.tuples(sizes, sizes, st.floats(0.0, 2.0), sizes), min_size=1, max_size=3),
    st.tuples(sizes, sizes, st.floats(0.0, 2.0), sizes),
)
def test_one_more_block_is_counted_as_if_it_had_been_there_from_the_start(rows, last):
    blocks = [Block(along, back, bottom, bottom + tall) for along, back, bottom, tall in (*rows, last)]
    more = blocks[-1]
    for face in FACES:
        seen = silhouette(blocks[:-1], face)
        together = seen.shadow_with(face.across(more.along, more.back), more.bottom, more.top)
        assert together == pytest.approx(silhouette(blocks, face).shadow, rel=1e-12)


@given(stands(), st.floats(20.0, 50.0))
def test_anchors_are_in_equilibrium_about_the_lee_edge(stand, velocity):
    """Sum of the tensions times levers = moment; the edge presses with weight + tensions - uplift."""
    places = tuple(edge.start for edge in stand.edges)
    anchors = Anchoring(places, 1, 4)
    for pull in wind_pulls(stand, wind_on(stand, velocity), combinations("en", "wind")):
        found = anchor_force(pull, anchors)
        assert found.tension >= 0.0
        assert found.shear == pytest.approx(pull.push / 4.0)
        if found.tension == 0.0 or found.compression <= 0.0:
            continue
        best = max(stand.edges, key=lambda edge: _tension(pull, edge, places))
        assert found.tension == pytest.approx(max(_tension(pull, best, places), 0.0), rel=1e-9)
        levers = [best.lever(place) for place in places]
        pulled = [found.tension * lever / max(levers) for lever in levers]
        assert found.compression == pytest.approx(pull.weight + sum(pulled) - pull.up, rel=1e-9)


def _tension(pull, edge, places):
    toward = max(pull.direction[0] * edge.normal[0] + pull.direction[1] * edge.normal[1], 0.0)
    moment = (
        pull.push * pull.height * toward
        + pull.up * edge.lever(pull.stand.middle)
        - pull.weight * edge.lever(pull.stand.centre)
    )
    levers = [edge.lever(place) for place in places]
    return moment * max(levers) / sum(lever**2 for lever in levers)


@given(stands(symmetric=True), st.floats(1.05, 5.0))
def test_pure_uplift_is_shared_by_all_anchors(stand, lift):
    """No horizontal force, centre and uplift in the middle: every anchor takes a quarter of what is left."""
    weight = stand.mass * GRAVITY
    places = tuple(edge.start for edge in stand.edges)
    pull = Pull("", stand, 0.0, 1.0, (0.0, 1.0), lift * weight, weight)
    found = anchor_force(pull, Anchoring(places, 1, 4))
    assert found.tension == pytest.approx((lift - 1.0) * weight / 4.0, rel=1e-6)
    assert found.compression == 0.0


@given(stands(), st.floats(20.0, 45.0), st.integers(1, 5))
def test_more_anchors_share_the_load(stand, velocity, times):
    places = tuple(edge.start for edge in stand.edges)
    for pull in wind_pulls(stand, wind_on(stand, velocity), combinations("en", "wind"))[:2]:
        one, many = (anchor_force(pull, Anchoring(places, n, 4 * n)) for n in (1, times))
        assert many.tension == pytest.approx(one.tension / times)
        assert many.shear == pytest.approx(one.shear / times)
        assert utilisation(many, 1e3, 1e3, 1.2) <= utilisation(one, 1e3, 1e3, 1.2) * (1 + 1e-9)


@given(st.floats(20.0, 90.0), st.sampled_from("BCD"), st.floats(0.0, 200.0), st.floats(0.1, 500.0))
def test_asce_force_grows_with_area_and_never_falls_below_the_minimum(speed, exposure, height, area):
    for edition in ("asce7-16", "asce7-22"):
        wind = AsceWind(edition, speed, exposure, height, building=(20.0, 10.0))
        assert wind.force(FRONT, area) >= 770.0 * area
        assert 1.0 <= wind.coefficient(FRONT, area) <= 1.9
        assert AsceWind(edition, speed * 1.1, exposure, height).pressure > wind.pressure
        assert AsceWind(edition, speed, exposure, height + 1.0).pressure >= wind.pressure
