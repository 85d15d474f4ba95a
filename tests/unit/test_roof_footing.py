"""Layouts that are refused, and contact that opens."""

import numpy as np
import pytest

from edgecheck.roof.footing import admissible_without, elastic_reactions, point_demand
from edgecheck.roof.load import member_equivalent, pressure, spreader_side

SQUARE = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))


@pytest.mark.parametrize(
    ("feet", "message"),
    [
        (((0.0, 0.0),), "at least three"),
        (((0.0, 0.0), (1.0, 0.0)), "at least three"),
        (((0.0, 0.0), (1.0, 1.0), (2.0, 2.0)), "one line"),
        (((0.0, 0.0),) * 4, "one line"),
        ((0.0, 1.0, 2.0), "shape"),
        (((0.0, 0.0), (1.0, np.nan), (2.0, 2.0)), "finite"),
    ],
)
def test_refused_layouts(feet, message):
    for call in (elastic_reactions, admissible_without):
        with pytest.raises(ValueError, match=message):
            call(feet, 1000.0, (0.0, 0.0))
    with pytest.raises(ValueError, match=message):
        point_demand(feet, 1000.0, (0.0, 0.0), 0.05)


@pytest.mark.parametrize("weight", [0.0, -5.0, float("nan"), float("inf")])
def test_refused_weight(weight):
    with pytest.raises(ValueError, match="weight"):
        elastic_reactions(SQUARE, weight, (0.5, 0.5))


def test_three_feet_are_statically_determinate():
    """Lever rule by hand: a quarter of the way to each far foot."""
    found = elastic_reactions([[0, 0], [2, 0], [0, 2]], 800.0, (0.5, 0.5))
    np.testing.assert_allclose(found, [400.0, 200.0, 200.0])


def test_contact_opens_where_the_linear_formula_pulls():
    """W/4 (1 - 4 x 0.4) is a pull of 0.15 W at the far foot; statics of the other three: 0.8, 0.1, 0.1 W."""
    found = elastic_reactions(SQUARE, 1000.0, (0.9, 0.9))
    np.testing.assert_allclose(found, [0.0, 100.0, 800.0, 100.0], atol=1e-9)


def test_over_a_foot_and_over_an_edge():
    np.testing.assert_allclose(elastic_reactions(SQUARE, 10.0, (1.0, 1.0)), [0, 0, 10, 0], atol=1e-9)
    np.testing.assert_allclose(elastic_reactions(SQUARE, 10.0, (0.5, 0.0)), [5, 5, 0, 0], atol=1e-9)
    assert elastic_reactions(SQUARE, 10.0, (0.5, -0.01)) is None


def test_exactly_over_an_edge_with_more_than_two_feet_on_it():
    """The fifth foot carries nothing; the other four share as the least-norm solution of a beam on springs."""
    feet = np.array([[2.0, 1.0], [1.0, 2.0], [0.0, 1.0], [-2.0, 1.0], [1.0, 1.0]])
    found = elastic_reactions(feet, 1.0, (1.4761336660021, 1.0))
    assert found is not None
    assert found[1] == pytest.approx(0.0, abs=1e-9)
    assert found @ feet[:, 0] == pytest.approx(1.4761336660021, abs=1e-9)
    assert found.sum() == pytest.approx(1.0, abs=1e-9)


def test_central_weight_on_four_feet_is_bounded_by_half():
    demand = point_demand(SQUARE, 1000.0, (0.5, 0.5), 0.0)
    assert demand.value == pytest.approx(500.0)
    bound = [case for case in demand.cases if "diagonal" in case.text]
    assert [case.greatest for case in bound] == [500.0]


def test_tolerance_adds_its_corners():
    demand = point_demand(SQUARE, 1000.0, (0.5, 0.5), 0.1)
    together = [case.greatest for case in demand.cases if case.text.startswith("all feet")]
    # closed form W/4 (1 + 2 x 0.1 + 2 x 0.1) at the corner of the tolerance
    assert max(together) == pytest.approx(350.0)
    assert len(together) == 5
    # one foot free and the centre at its corner: 0.6 W by the lever rule
    assert demand.value == pytest.approx(600.0)


def test_tips_over_within_tolerance():
    demand = point_demand(SQUARE, 1000.0, (0.96, 0.5), 0.05)
    assert demand.value is None
    assert "tips over" in demand.case


def test_refused_tolerance():
    with pytest.raises(ValueError, match="tolerance"):
        point_demand(SQUARE, 1000.0, (0.5, 0.5), -0.1)


def test_pressure_and_spreader():
    """Side by hand: 3040/(2000 - 245.17) = 1.7324 m2, 1.3162 m."""
    assert pressure(3040.0, 0.96) == pytest.approx(3166.67, abs=0.01)
    assert spreader_side(2000.0, 3040.0) == pytest.approx(1.3162, abs=1e-4)
    assert spreader_side(2000.0, 3040.0, 1.5) == 1.5
    assert spreader_side(245.16625, 3040.0) is None
    with pytest.raises(ValueError, match="area"):
        pressure(3040.0, 0.0)


def test_base_wider_than_the_spacing_shares_members():
    """b 1.2 m: three members at 0.5 m, two at 1.2 m, one at 1.3 m."""
    one = member_equivalent(3000.0, 4.0, 1.3, 0.0, 1.2) * 1.3
    assert member_equivalent(3000.0, 4.0, 1.2, 0.0, 1.2) * 1.2 == pytest.approx(one / 2)
    assert member_equivalent(3000.0, 4.0, 0.5, 0.0, 1.2) * 0.5 == pytest.approx(one / 3)


@pytest.mark.parametrize(
    "values", [(0.0, 1.0, 0.0, 0.0), (1.0, 0.0, 0.0, 0.0), (1.0, 1.0, -1.0, 0.0), (1, 1, 0, -1)]
)
def test_refused_members(values):
    with pytest.raises(ValueError, match="must"):
        member_equivalent(3000.0, *values)
