"""Hand calculation of a reviewing engineer for the example unit, as regression values.

Roof 24 m, category III, vb,0 26 m/s, box 1.20 x 0.80 x 1.15 m, 310 kg in operation, feet 1.08 x 0.68 m, friction
0.4, wind on the front, standing loose. Printed with two or three figures, the last one cut off rather than
rounded: tolerance one unit of it. Not a published result.
"""

from dataclasses import replace

import pytest
from scipy.optimize import brentq
from stability_cases import EXAMPLE, hand_stand

from edgecheck.inputs.combinations import combinations, stability_combinations
from edgecheck.roof.fixing import anchor_force, anchoring, wind_pulls
from edgecheck.roof.silhouette import FACES
from edgecheck.roof.stability import effects, governing, needed_ballast
from edgecheck.roof.stand import edges_of
from edgecheck.roof.wind_asce import AsceWind
from edgecheck.roof.wind_en import EnWind, peak_pressure

FRONT, BACK, LEFT, RIGHT = FACES
(EQU,) = stability_combinations("en")
BODY = (1.20, 0.80, 1.15)


def wind_at(velocity=26.0, edge=1.0, uplift=1.0):
    return EnWind(peak_pressure(velocity, "III", 24.0 + 1.15), BODY, edge, "", uplift)


def used(stand, wind, kind, *, lifting, friction=0.4, combination=EQU):
    found = effects(stand, wind, combination, friction, faces=(FRONT,))
    return next(one.utilisation for one in found if one.kind == kind and one.lifting == lifting)


def ballast(stand, wind, kind, friction=0.4, known=(EQU,)):
    return needed_ballast(stand, wind, known, friction, kinds=(kind,))


def test_pressure_and_coefficients():
    at = peak_pressure(26.0, "III", 25.15)
    assert at.mean_velocity == pytest.approx(24.80, abs=0.01)
    assert at.intensity == pytest.approx(0.2258, abs=0.0001)
    assert at.peak == pytest.approx(992.1, abs=0.1)
    assert peak_pressure(26.0, "III", 24.0).peak == pytest.approx(978.0, abs=1.0)
    wind = wind_at()
    assert wind.coefficient(FRONT) == pytest.approx(1.498, abs=0.001)
    assert wind.coefficient(LEFT) == pytest.approx(1.19, abs=0.01)


def test_force_and_its_height():
    stand, wind = hand_stand(), wind_at()
    area, height = stand.shadow(FRONT)
    assert wind.force(FRONT, area) / 1000 == pytest.approx(2.051, abs=0.001)
    assert height == pytest.approx(0.575)
    assert wind.uplift(stand.lid) / 1000 == pytest.approx(0.95, abs=0.01)


def test_without_uplift():
    stand, wind = hand_stand(), wind_at()
    assert used(stand, wind, "sliding", lifting=False) == pytest.approx(2.81, abs=0.01)
    assert used(stand, wind, "overturning", lifting=False) == pytest.approx(1.96, abs=0.01)
    none = wind_at(uplift=0.0)
    assert ballast(stand, none, "sliding") == pytest.approx(561.0, abs=1.0)
    assert ballast(stand, none, "overturning") == pytest.approx(297.0, abs=1.0)


def test_with_uplift():
    stand, wind = hand_stand(), wind_at()
    assert used(stand, wind, "sliding", lifting=True) == pytest.approx(5.87, abs=0.01)
    assert used(stand, wind, "overturning", lifting=True) == pytest.approx(2.49, abs=0.01)
    assert ballast(stand, wind, "sliding") == pytest.approx(723.0, abs=1.0)
    assert ballast(stand, wind, "overturning") == pytest.approx(464.0, abs=1.0)
    assert governing(effects(stand, wind, EQU, 0.4)).face == FRONT


@pytest.mark.parametrize("friction, sliding, mass", [(0.3, 7.83, 1013.0), (0.5, 4.70, 548.0)])
def test_other_friction(friction, sliding, mass):
    stand, wind = hand_stand(), wind_at()
    assert used(stand, wind, "sliding", lifting=True, friction=friction) == pytest.approx(sliding, abs=0.01)
    assert used(stand, wind, "overturning", lifting=True, friction=friction) == pytest.approx(2.49, abs=0.01)
    assert ballast(stand, wind, "sliding", friction) == pytest.approx(mass, abs=1.0)


def test_drained_without_servers():
    stand, wind = hand_stand("drained without servers"), wind_at()
    assert stand.mass == 176.0
    assert used(stand, wind, "sliding", lifting=True) == pytest.approx(61.0, abs=1.0)
    assert used(stand, wind, "overturning", lifting=True) == pytest.approx(4.40, abs=0.01)
    assert ballast(stand, wind, "sliding") == pytest.approx(858.0, abs=1.0)
    assert ballast(stand, wind, "overturning") == pytest.approx(599.0, abs=1.0)


def test_near_the_edge_of_the_roof():
    stand, wind = hand_stand(), wind_at(edge=1.25)
    assert used(stand, wind, "sliding", lifting=True) == pytest.approx(7.3, abs=0.1)
    assert used(stand, wind, "overturning", lifting=True) == pytest.approx(3.0, abs=0.1)
    assert ballast(stand, wind, "sliding") == pytest.approx(940.0, abs=1.0)


def test_on_a_rigid_spreader():
    """Spreader 1.6 x 1.2 m under the middle of the body, its mass and its own face neglected."""
    corners = [(-0.2, -0.2), (1.4, -0.2), (1.4, 1.0), (-0.2, 1.0)]
    stand, wind = hand_stand(edges=edges_of(tuple(corners))), wind_at()
    assert used(stand, wind, "sliding", lifting=True) == pytest.approx(5.87, abs=0.01)
    assert used(stand, wind, "overturning", lifting=True) == pytest.approx(1.63, abs=0.01)
    assert ballast(stand, wind, "sliding") == pytest.approx(723.0, abs=1.0)
    assert ballast(stand, wind, "overturning") == pytest.approx(194.0, abs=1.0)


def test_asce_7_16():
    """V 50 m/s, exposure B, h 24 m, upper coefficients, 0.6 D + 0.6 W."""
    stand, wind = hand_stand(), AsceWind("asce7-16", 50.0, "B", 24.0)
    (asd,) = stability_combinations("asce7-16")
    assert wind.pressure * 0.85 == pytest.approx(1202.0, abs=1.0)
    assert used(stand, wind, "sliding", lifting=True, combination=asd) == pytest.approx(6.01, abs=0.01)
    assert used(stand, wind, "overturning", lifting=True, combination=asd) == pytest.approx(2.39, abs=0.01)
    assert ballast(stand, wind, "sliding", known=(asd,)) == pytest.approx(670.0, abs=1.0)
    assert ballast(stand, wind, "overturning", known=(asd,)) == pytest.approx(432.0, abs=1.0)


def test_four_anchors_instead():
    """0.99 kN on each of two, 0.77 kN on each of four."""
    anchors = anchoring(EXAMPLE.mass.feet_m, None)
    pulls = wind_pulls(hand_stand(), wind_at(), combinations("en", "wind"))
    forces = [anchor_force(pull, anchors) for pull in pulls]
    assert max(one.tension for one in forces) / 1000 == pytest.approx(0.99, abs=0.01)
    assert max(one.shear for one in forces) / 1000 == pytest.approx(0.77, abs=0.01)


@pytest.mark.parametrize("kind, velocity", [("sliding", 14.2), ("overturning", 16.5)])
def test_velocity_at_which_the_loose_unit_moves(kind, velocity):
    stand = hand_stand()

    def over(speed):
        return used(stand, wind_at(speed), kind, lifting=True) - 1.0

    assert brentq(over, 5.0, 25.0) == pytest.approx(velocity, abs=0.05)


def test_ballast_with_a_face_needs_more_ballast():
    plain = hand_stand()
    faced = replace(plain, ring=(1.8, 1.4), ring_area=1.56, ring_bottom=0.0)
    assert ballast(faced, wind_at(), "sliding") > ballast(plain, wind_at(), "sliding") + 50.0


def test_the_sign_of_the_wind_matters_for_the_example():
    """Its centre of gravity is neither in the middle of the feet nor of the body."""
    stand, wind = hand_stand(), wind_at()

    def tips(face):
        found = effects(stand, wind, EQU, None, faces=(face,))
        return max(one.utilisation for one in found if one.kind == "overturning")

    assert tips(FRONT) > tips(BACK)
    assert tips(RIGHT) != tips(LEFT)
