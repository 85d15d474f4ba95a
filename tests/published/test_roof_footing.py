"""Foot reactions and member load against closed forms, least squares and hand calculations.

Sources ------- - Four symmetric feet: R = W/4 (1 +- 2 e_x/a +- 2 e_y/b), the formula for an eccentrically
loaded rigid pile group
  (any foundation textbook) with four piles.
- The same case as the minimum-norm solution of the three equilibrium equations by numpy.linalg.lstsq. -
Hand calculations: a reviewing engineer's statics for a 310 kg box with the feet of `FEET`, printed to 1 N
and
  0.01 kPa.
"""

import numpy as np
import pytest

from edgecheck.roof.footing import admissible_without, elastic_reactions, point_demand
from edgecheck.roof.load import member_equivalent

FEET = [[0.06, 0.06], [1.14, 0.06], [1.14, 0.74], [0.06, 0.74]]  # m
CENTRE = (0.62, 0.41)  # m
HAND_WEIGHT = 310.17 * 9.81  # N, the g of the hand calculation


def test_four_feet_closed_form_and_least_squares():
    feet = np.array([[-0.5, -0.7], [0.5, -0.7], [0.5, 0.7], [-0.5, 0.7]])
    weight, ex, ey = 20_000.0, 0.10, 0.15
    found = elastic_reactions(feet, weight, (ex, ey))
    closed = (
        weight / 4 * (1 + 2 * np.sign(feet[:, 0]) * ex / 0.5 / 2 + 2 * np.sign(feet[:, 1]) * ey / 0.7 / 2)
    )
    equations = np.vstack([np.ones(4), feet.T])
    least = np.linalg.lstsq(equations, weight * np.array([1.0, ex, ey]), rcond=None)[0]
    np.testing.assert_allclose(found, closed, rtol=1e-12)
    np.testing.assert_allclose(found, least, rtol=1e-12)
    # printed to 0.01 N beside the least-squares example
    np.testing.assert_allclose(sorted(found), [2928.57, 4928.57, 5071.43, 7071.43], atol=0.005)


def test_hand_calculation_all_feet_in_contact():
    """0.71 to 0.81 kN a foot, printed to 0.01 kN."""
    found = elastic_reactions(FEET, HAND_WEIGHT, CENTRE)
    assert found.min() == pytest.approx(710, abs=5)
    assert found.max() == pytest.approx(811, abs=5)


def test_hand_calculation_one_foot_free():
    cases = {foot: forces for foot, forces in admissible_without(FEET, HAND_WEIGHT, CENTRE)}
    assert sorted(cases) == [1, 4]
    np.testing.assert_allclose(cases[1], [0, 1477, 101, 1465], atol=0.6)
    np.testing.assert_allclose(cases[4], [1465, 12, 1566, 0], atol=0.6)


def test_hand_calculation_inadmissible_cases_need_tension():
    """Without foot 3 statics give -101 N at foot 1, without foot 2 -12 N at foot 4: it rocks onto them."""
    feet = np.array(FEET)
    loads = HAND_WEIGHT * np.array([1.0, *CENTRE])
    for free, tension_at, value in ((2, 0, -101), (1, 3, -12)):
        rest = [foot for foot in range(4) if foot != free]
        forces = np.linalg.solve(np.vstack([np.ones(3), feet[rest].T]), loads)
        assert forces[rest.index(tension_at)] == pytest.approx(value, abs=0.6)
        assert free + 1 not in dict(admissible_without(feet, HAND_WEIGHT, CENTRE))


def test_hand_calculation_greatest_force_with_exact_centre():
    """1.57 kN with one foot free, printed to 0.01 kN; the centre of gravity exactly where it is stated."""
    demand = point_demand(tuple(map(tuple, FEET)), HAND_WEIGHT, CENTRE, 0.0)
    assert demand.value == pytest.approx(1570, abs=5)
    assert demand.case == "foot 4 free, centre of gravity as stated"


@pytest.mark.parametrize(("spacing", "expected"), [(2.4, 0.42), (1.2, 0.85)])
def test_hand_calculation_member_equivalent(spacing, expected):
    """3.04 kN (310.17 kg) on members of 6 m: 0.42 kPa at 2.4 m, 0.85 kPa at 1.2 m, printed to 0.01 kPa."""
    assert member_equivalent(HAND_WEIGHT, 6.0, spacing) / 1000 == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize("along", [0.0, 0.8, 3.0, 6.0])
def test_member_equivalent_has_the_mid_span_moment_and_the_end_shear_of_the_beam(along):
    """Statics of a simply supported beam, the load as 60000 point loads."""
    weight, span, spacing = 3040.0, 6.0, 2.4
    uniform = member_equivalent(weight, span, spacing, along) * spacing  # N/m
    piece = weight / 60_000
    offsets = (np.arange(60_000) + 0.5) / 60_000 * along
    middle = (span - along) / 2 + offsets  # centred
    moment = np.sum(piece * np.minimum(middle, span - middle) / 2)
    shear = np.sum(piece * (span - offsets) / span)  # against one support
    assert uniform * span**2 / 8 == pytest.approx(moment, rel=1e-6)
    assert uniform * span / 2 == pytest.approx(shear, rel=1e-6)
