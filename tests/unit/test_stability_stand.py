"""How the unit stands and what the wind sees of it: silhouettes, edges, frame, ballast; hand-checkable sizes."""

import pytest
from stability_cases import DENSITY, EXAMPLE

from edgecheck.roof.fixing import Anchoring, Pull, anchor_force, anchoring, utilisation
from edgecheck.roof.mass import mass_states
from edgecheck.roof.silhouette import FACES, Block, silhouette
from edgecheck.roof.spreader import NO_SPREADER, Spreader
from edgecheck.roof.stand import CONCRETE, edges_of, stand_of

FRONT, BACK, LEFT, RIGHT = FACES
LIGHT = mass_states(EXAMPLE, DENSITY)["drained without servers"]
FRAME = Spreader("frame", 2.4, 1.6, 70.0, "site: spreader_kg")


def test_directions_of_the_faces():
    """Wind on the front pushes to the back, on the left end to the right."""
    assert [face.direction for face in FACES] == [(0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)]
    assert [face.across(1.2, 0.8) for face in FACES] == [1.2, 1.2, 0.8, 0.8]
    assert [face.downwind(1.2, 0.8) for face in FACES] == [0.8, 0.8, 1.2, 1.2]


def test_blocks_one_behind_the_other_count_once():
    body, upstand = Block(1.2, 0.8, 0.2, 1.35), Block(2.4, 1.6, 0.0, 0.3)
    area, height = silhouette([body, upstand], FRONT).shadow
    assert area == pytest.approx(2.4 * 0.3 + 1.2 * 1.05)
    assert height == pytest.approx((2.4 * 0.3 * 0.15 + 1.2 * 1.05 * 0.825) / area)
    assert silhouette([body], LEFT).shadow == pytest.approx((0.8 * 1.15, 0.775))
    with pytest.raises(ValueError, match="no projected area"):
        silhouette([Block(1.0, 1.0, 0.0, 0.0)], FRONT)


def test_edges_of_a_rectangle_and_of_feet_inside_it():
    feet = [(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0), (1.0, 0.0), (1.0, 0.5)]
    edges = edges_of(tuple(feet))
    assert {edge.normal for edge in edges} == {(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)}
    assert sorted(edge.lever((0.5, 0.25)) for edge in edges) == pytest.approx([0.25, 0.5, 0.75, 1.5])
    with pytest.raises(ValueError, match="in one line"):
        edges_of(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)))


def test_on_its_feet_nothing_under_the_unit_helps_it():
    for spreader, fixed in (
        (NO_SPREADER, True),
        (FRAME, False),
        (Spreader("slab", 2.4, 1.6, 500.0, ""), True),
    ):
        stand = stand_of(EXAMPLE, LIGHT, spreader, fixed=fixed)
        assert (stand.base, stand.mass) == ("feet", 176.0)
        assert stand.shadow(FRONT) == pytest.approx((1.2 * 1.15, 0.08 + 0.575))


def test_bolted_to_a_frame_it_stands_on_the_frame():
    stand = stand_of(EXAMPLE, LIGHT, FRAME, fixed=True, frame_height=0.15)
    assert (stand.base, stand.mass) == ("frame", 246.0)
    assert stand.top == pytest.approx(0.15 + 0.08 + 1.15)
    assert sorted(edge.lever((0.6, 0.4)) for edge in stand.edges) == pytest.approx([0.8, 0.8, 1.2, 1.2])
    assert stand.centre[2] == pytest.approx((176.0 * (0.52 + 0.15) + 70.0 * 0.075) / 246.0)
    assert stand.shadow(FRONT)[0] == pytest.approx(2.4 * 0.15 + 1.2 * 1.15)


def test_the_tolerance_of_the_centre_shortens_its_lever():
    stand = stand_of(EXAMPLE, LIGHT, NO_SPREADER, fixed=False)
    back = next(edge for edge in stand.edges if edge.normal == (0.0, 1.0))
    assert stand.holding(back) == pytest.approx(176.0 * (0.74 - 0.42 - 0.05))
    assert stand.with_ballast(100.0).holding(back) == pytest.approx(176.0 * 0.27 + 100.0 * 0.34)


def test_ballast_lies_round_the_body_and_is_seen_by_the_wind():
    """2300 kg/m3 on the free part of the frame, 2.88 m2: 662.4 kg stand 0.1 m high, above a frame of 0.1 m."""
    stand = stand_of(EXAMPLE, LIGHT, FRAME, fixed=True)
    assert stand.ring_area == pytest.approx(2.4 * 1.6 - 1.2 * 0.8)
    loaded = stand.with_ballast(0.1 * CONCRETE * stand.ring_area)
    body_above_ballast = 1.2 * (1.15 - 0.02)
    assert loaded.shadow(FRONT)[0] == pytest.approx(2.4 * 0.2 + body_above_ballast)
    assert loaded.shadow(LEFT)[0] == pytest.approx(1.6 * 0.2 + 0.8 * (1.15 - 0.02))
    assert loaded.total == pytest.approx(246.0 + 662.4)


def test_a_frame_that_leaves_no_room_gets_a_strip():
    narrow = Spreader("frame", 1.3, 0.9, 30.0, "")
    stand = stand_of(EXAMPLE, LIGHT, narrow, fixed=True)
    assert stand.ring == pytest.approx((1.8, 1.4))
    assert stand_of(EXAMPLE, LIGHT, NO_SPREADER, fixed=False).ring == pytest.approx((1.8, 1.4))


def test_anchors_at_the_feet():
    assert anchoring(EXAMPLE.mass.feet_m, None) == Anchoring(EXAMPLE.mass.feet_m, 1, 4)
    assert anchoring(EXAMPLE.mass.feet_m, 10).per_place == 2
    assert anchoring(EXAMPLE.mass.feet_m, 3) is None


def test_an_anchor_without_a_lever_holds_nothing():
    stand = stand_of(EXAMPLE, LIGHT, NO_SPREADER, fixed=False)
    on_the_edge = Anchoring(((0.06, 0.74), (1.14, 0.74)), 1, 2)
    pull = Pull("", stand, 5000.0, 0.6, (0.0, 1.0), 0.0, 1000.0)
    assert anchor_force(pull, on_the_edge).tension == float("inf")


def test_interaction_of_tension_and_shear():
    """T/T_R + V/V_R not above 1.2, each not above 1 (ACI 318-19 17.8.3, EN 1992-4 Table 7.3, from memory)."""
    stand = stand_of(EXAMPLE, LIGHT, NO_SPREADER, fixed=False)
    found = anchor_force(
        Pull("", stand, 4000.0, 0.6, (0.0, 1.0), 0.0, 1000.0), anchoring(EXAMPLE.mass.feet_m, None)
    )
    tension, shear = found.tension, found.shear
    assert utilisation(found, tension, 1e9, 1.2) == pytest.approx(1.0)
    assert utilisation(found, 1e9, shear, 1.2) == pytest.approx(1.0)
    assert utilisation(found, tension / 0.6, shear / 0.6, 1.2) == pytest.approx(1.0)
    assert utilisation(found, tension / 0.9, shear / 0.9, 1.2) == pytest.approx(1.5)
    assert utilisation(found, 0.0, 1e9, 1.2) == float("inf")
