"""Fitted tables whatever the points: never a dent, never beyond the points, the same whatever their order."""

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.covered_range import REACH_K, outside
from edgecheck.inputs.rating_fit import MOST_SHARE, RatingFit, fit_rating
from edgecheck.inputs.rating_points import RatingPoints
from edgecheck.inputs.toml_source import SourceFile

SLACK = 1e-9  # of a kW, rounding of the arithmetic


@st.composite
def data_sheets(draw: st.DrawFn, noise: float = 0.15) -> RatingPoints:
    """Scattered or gridded points of a chiller with noise."""
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    if draw(st.booleans()):
        count = draw(st.integers(6, 15))
        liquid, air = random.uniform(15, 55, count), random.uniform(-5, 52, count)
    else:
        rows = np.sort(random.uniform(15, 55, 3)).round(1)
        columns = np.sort(random.uniform(-5, 52, draw(st.integers(3, 5)))).round(1)
        liquid, air = (axis.ravel() for axis in np.meshgrid(rows, columns))
    share = draw(st.floats(0.0, noise))
    capacity = 8.0 * (1.0 + 0.025 * (liquid - 35.0)) * (1.0 - 0.009 * (air - 30.0))
    power = 2.0 * np.exp(0.016 * (air - 30.0)) * (1.0 + 0.004 * (liquid - 35.0))
    blur = 1.0 + share * random.uniform(-1.0, 1.0, (2, len(liquid)))
    lines = tuple(range(2, 2 + len(liquid)))
    return RatingPoints(
        liquid, air, capacity * blur[0], power * blur[1], lines, SourceFile("p.csv", "0" * 64)
    )


def fit_or_refusal(points: RatingPoints) -> RatingFit | str:
    try:
        return fit_rating(points)
    except InputFaults as refused:
        (fault,) = refused.faults
        return fault.allowed


@settings(max_examples=25)
@given(data_sheets())
def test_a_table_has_no_dent(points: RatingPoints) -> None:
    """Capacity falls with air and rises with liquid, power rises with air: on a 1 K grid, and value by value."""
    fit = fit_or_refusal(points)
    assume(isinstance(fit, RatingFit))
    assert isinstance(fit, RatingFit)
    liquid = np.arange(fit.liquid_c[0], fit.liquid_c[-1] + 1e-9)[:, None]
    air = np.arange(fit.inlet_air_c[0], fit.inlet_air_c[-1] + 1e-9)
    capacity, power = fit.capacity.surface.at(liquid, air), fit.power.surface.at(liquid, air)
    assert np.all(np.diff(capacity, axis=1) <= SLACK)
    assert np.all(np.diff(capacity, axis=0) >= -SLACK)
    assert np.all(np.diff(power, axis=1) >= -SLACK)
    assert np.all(np.diff(np.array(fit.capacity_kw), axis=1) <= 0.0)
    assert np.all(np.diff(np.array(fit.capacity_kw), axis=0) >= 0.0)
    assert np.all(np.diff(np.array(fit.power_kw), axis=1) >= 0.0)
    assert np.min(fit.capacity_kw) > 0.0
    assert np.min(fit.power_kw) > 0.0


@settings(max_examples=25)
@given(data_sheets())
def test_a_table_never_leaves_its_points(points: RatingPoints) -> None:
    fit = fit_or_refusal(points)
    assume(isinstance(fit, RatingFit))
    assert isinstance(fit, RatingFit)
    assert points.liquid.min() - 0.005 <= fit.liquid_c[0] < fit.liquid_c[-1] <= points.liquid.max() + 0.005
    assert points.inlet_air.min() - 0.005 <= fit.inlet_air_c[0]
    assert fit.inlet_air_c[-1] <= points.inlet_air.max() + 0.005
    nodes = np.array([(row, column) for row in fit.liquid_c for column in fit.inlet_air_c])
    assert np.all(outside(points.liquid, points.inlet_air, nodes) <= REACH_K + 0.01)
    assert fit.capacity.rms <= MOST_SHARE
    assert fit.power.rms <= MOST_SHARE


@settings(max_examples=25)
@given(data_sheets(), st.randoms(use_true_random=False))
def test_the_order_of_the_points_does_not_matter(points: RatingPoints, random: object) -> None:
    order = np.array(random.sample(range(len(points)), len(points)))  # type: ignore[attr-defined]
    turned = RatingPoints(
        points.liquid[order],
        points.inlet_air[order],
        points.capacity[order],
        points.power[order],
        points.lines,
        points.source,
    )
    one, other = fit_or_refusal(points), fit_or_refusal(turned)
    assert isinstance(one, RatingFit) == isinstance(other, RatingFit)
    if isinstance(one, RatingFit) and isinstance(other, RatingFit):
        assert (one.liquid_c, one.inlet_air_c) == (other.liquid_c, other.inlet_air_c)
        assert np.allclose(one.capacity_kw, other.capacity_kw, rtol=1e-6, atol=2e-3)


@settings(max_examples=25)
@given(data_sheets(noise=0.02))
def test_noise_of_the_points_bounds_the_error_at_them(points: RatingPoints) -> None:
    """Points of a smooth machine with at most 2 % of noise are never refused for their differences."""
    fit = fit_or_refusal(points)
    assert isinstance(fit, RatingFit) or not fit.startswith("no smooth")
