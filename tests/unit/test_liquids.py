"""Liquids: curves and viscosity lines, what is unknown, how every value of the library is documented."""

import math
import pickle

import numpy as np
import pytest

from edgecheck.base.liquids import Curve, Known, Liquid, liquids
from edgecheck.base.viscosity import Viscosity

NAMES = (
    "synthetic-hydrocarbon-2",
    "synthetic-hydrocarbon-4",
    "synthetic-hydrocarbon-6",
    "synthetic-ester",
    "natural-ester",
    "mineral-oil",
    "silicone-50",
)
PROPERTIES = ("density", "heat_capacity", "conductivity", "viscosity")


def test_a_curve_is_known_between_its_ends_only():
    curve = Curve(((0.0, 10.0), (20.0, 30.0), (30.0, 0.0)))
    assert [curve.at(t) for t in (0.0, 10.0, 25.0, 30.0)] == [10.0, 20.0, 15.0, 0.0]
    assert math.isnan(curve.at(-0.1))
    assert math.isnan(curve.at(30.1))
    assert curve.range == (0.0, 30.0)
    found = curve.at(np.array([[10.0, 31.0], [np.nan, 20.0]]))
    assert found.shape == (2, 2)
    assert np.array_equal(found, [[20.0, np.nan], [np.nan, 30.0]], equal_nan=True)


def test_one_number_is_read_as_numpy_reads_many():
    curve = Curve(((-5.0, 812.5), (13.7, 800.1), (61.0, 743.2)))
    asked = np.random.default_rng(4).uniform(-10.0, 70.0, 300)
    x, y = zip(*curve.points, strict=True)
    right = np.interp(asked, x, y, left=np.nan, right=np.nan)
    assert [curve.at(float(t)) for t in asked] == pytest.approx(right, rel=1e-14, nan_ok=True)
    assert math.isnan(curve.at(math.nan))


def test_a_viscosity_line_goes_through_its_anchors_and_no_further():
    line = Viscosity(((-40.0, 2650.0), (40.0, 17.2), (100.0, 3.9)), -45.0, 120.0)
    for at, value in line.anchors:
        assert line.at(at) == pytest.approx(value, rel=1e-9)
    assert math.isnan(line.at(-45.1))
    assert math.isnan(line.at(120.1))
    many = line.at(np.linspace(-45.0, 120.0, 331))
    assert np.all(np.diff(many) < 0.0)
    assert line.line(0)[1] != pytest.approx(line.line(1)[1], rel=1e-2)


def test_thin_liquids_invert_exactly():
    line = Viscosity(((0.0, 0.9), (100.0, 0.21)), -20.0, 110.0)
    assert line.at(0.0) == pytest.approx(0.9, rel=1e-12)
    assert line.at(100.0) == pytest.approx(0.21, rel=1e-9)


@pytest.mark.parametrize(
    "anchors, low, high",
    [
        (((40.0, 10.0),), 0.0, 100.0),
        (((40.0, 10.0), (40.0, 5.0)), 0.0, 100.0),
        (((40.0, 5.0), (100.0, 10.0)), 0.0, 100.0),
        (((40.0, 5.0), (100.0, 0.2)), 0.0, 100.0),
        (((40.0, 5.0), (100.0, 2.0)), 100.0, 100.0),
    ],
)
def test_viscosities_that_make_no_line(anchors, low, high):
    with pytest.raises(ValueError, match="viscosit"):
        Viscosity(anchors, low, high)


def test_the_families():
    assert tuple(liquids()) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_every_value_says_how_well_it_is_known_and_from_where(name):
    liquid = liquids()[name]
    points = {point for point in ("pour", "solid_below", "flash", "fire") if getattr(liquid, f"{point}_c")}
    assert set(liquid.known) == {*PROPERTIES, *points}
    for known in liquid.known.values():
        assert known.confidence in ("published", "memory")
        assert known.source.startswith("from memory") == (known.confidence == "memory")
        assert known.tolerance is not None
        assert known.tolerance >= 0.0


@pytest.mark.parametrize("name", NAMES)
def test_properties_go_the_way_they_must(name):
    liquid = liquids()[name]
    warm = np.linspace(-10.0, 110.0, 121)
    for values, sign in (
        (liquid.density(warm), -1.0),
        (liquid.heat_capacity(warm), 1.0),
        (liquid.conductivity(warm), -1.0),
        (liquid.viscosity(warm), -1.0),
    ):
        assert np.all(sign * np.diff(values) > 0.0)
    assert liquid.pour_c < 0.0 < liquid.flash_c
    assert liquid.fire_c is None or liquid.fire_c > liquid.flash_c
    assert liquid.notes_at(40.0) == ()


def test_expansion_is_the_ratio_of_densities():
    liquid = liquids()["synthetic-hydrocarbon-4"]
    assert liquid.expansion(20.0, 60.0) == pytest.approx(815.0 / (815.0 - 0.62 * 40.0))
    assert liquid.expansion(60.0, 20.0) == pytest.approx(1.0 / liquid.expansion(20.0, 60.0))


def test_what_is_not_known_is_nan_and_said():
    bare = Liquid(
        label="thing",
        density_curve=Curve(((0.0, 800.0), (60.0, 800.0))),
        heat_capacity_curve=Curve(((0.0, 2000.0), (60.0, 2000.0))),
        expands=False,
        pour_c=-5.0,
        known=dict.fromkeys(("density", "heat_capacity"), Known("unit file", "the unit file")),
    )
    assert bare.density(20.0) == 800.0
    assert math.isnan(bare.expansion(20.0, 40.0))
    assert math.isnan(bare.viscosity(40.0))
    assert np.isnan(bare.conductivity(np.array([20.0, 30.0]))).tolist() == [True, True]
    assert [note.text for note in bare.notes_at(20.0)] == [
        "thing: conductivity, viscosity not known at 20 degC"
    ]
    assert [(note.code, note.level) for note in bare.notes_at(-6.0)] == [
        ("liquid-unknown", "info"),
        ("liquid-pour-point", "caution"),
    ]
    assert bare.flows_above == -5.0
    assert bare.source == "the unit file"


def test_liquids_travel_between_processes():
    liquid = liquids()["natural-ester"]
    assert pickle.loads(pickle.dumps(liquid)) == liquid
