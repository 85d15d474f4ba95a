"""Pressure under rigid plates and through slabs against closed forms, a bed of springs and hand calculations.

Sources
-------
- Foundation textbooks: N/A (1 + 6 e/B) within the kern, 2 N/(3 L (B/2 - e)) beyond it; a force near a corner
  presses on a triangle with legs of four times its distances from the edges (volume of a tetrahedron).
- Any eccentricity: a fine grid of equal springs that cannot pull, by scipy's bounded least squares.
- Coefficient 3.3 for e_x/B = e_y/L = 1/6 in charts of footings under double eccentricity (from memory, two digits).
- A reviewing engineer's hand calculation: 3.63 kN and 1.38 kN m on 1.6 x 1.2 m give e 0.38 m and 6.9 kPa, with
  10.7 kN 0.13 m and 9.2 kPa; foot plates of 100 x 100 mm give 71 to 81 kPa, 157 kPa with one foot free.
"""

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from edgecheck.roof.contact import contact_areas, union_area
from edgecheck.roof.footing import admissible_without, elastic_reactions
from edgecheck.roof.plate import plate_pressure

FEET = ((0.06, 0.06), (1.14, 0.06), (1.14, 0.74), (0.06, 0.74))


@pytest.mark.parametrize(("force", "eccentricity", "printed"), [(3630.0, 0.38, 6.9), (10_700.0, 0.13, 9.2)])
def test_hand_calculation_of_a_spreader_in_wind(force, eccentricity, printed):
    off = 1380.0 / force
    assert off == pytest.approx(eccentricity, abs=0.005)
    assert plate_pressure(force, (1.6, 1.2), (0.0, off)) / 1000 == pytest.approx(printed, abs=0.05)


@pytest.mark.parametrize("off", [0.0, 0.05, 0.19, 0.2, 0.21, 0.4, 0.59])
def test_one_axis(off):
    force, long, wide = 5000.0, 1.6, 1.2
    inside = force / (long * wide) * (1 + 6 * off / wide)
    outside = 2 * force / (3 * long * (wide / 2 - off))
    expected = inside if off <= wide / 6 else outside
    assert plate_pressure(force, (long, wide), (0.0, off)) == pytest.approx(expected)
    assert plate_pressure(force, (wide, long), (-off, 0.0)) == pytest.approx(expected)
    # a trace of the other eccentricity changes a trace
    assert plate_pressure(force, (long, wide), (1e-9, off)) == pytest.approx(expected, rel=1e-6)


def test_corner_presses_as_a_tetrahedron():
    """g = 0.15 and 0.2 m from the edges: a triangle with legs of 0.6 and 0.8 m, N = p 0.6 x 0.8/6."""
    assert plate_pressure(1000.0, (1.0, 1.0), (0.35, 0.3)) == pytest.approx(1000.0 * 6 / (0.6 * 0.8))


def springs(x, y, count=60):
    """Greatest pressure of count x count springs on a unit square, extrapolated to the corner."""
    centres = (np.arange(count) + 0.5) / count - 0.5
    u, v = (axis.ravel() for axis in np.meshgrid(centres, centres))
    # the plane a + b u + c v of the settlement; springs in tension drop out until none is left
    active = np.ones(u.size, bool)
    for _ in range(200):
        rows = np.vstack([np.ones(active.sum()), u[active], v[active]])
        plane = np.linalg.solve(rows @ rows.T / u.size, [1.0, x, y])
        pressed = plane[0] + plane[1] * u + plane[2] * v > 0
        if np.array_equal(pressed, active):
            break
        active = pressed
    return plane[0] + 0.5 * plane[1] + 0.5 * plane[2]


@pytest.mark.parametrize(("x", "y"), [(1 / 6, 1 / 6), (0.1, 0.12), (0.05, 0.3), (0.2, 0.24), (0.3, 0.1)])
def test_two_axes_against_a_bed_of_springs(x, y):
    """60 x 60 springs stand for the bed to about 1 % of the edge pressure."""
    found = plate_pressure(1.0, (1.0, 1.0), (x, y))
    assert found == pytest.approx(springs(x, y), rel=0.01)
    assert plate_pressure(1.92, (1.6, 1.2), (1.6 * x, -1.2 * y)) == pytest.approx(found)


def test_two_axes_least_work():
    """The same as least squares with pressures that cannot be negative (20 x 20 springs, to 3 %)."""
    count, x, y = 20, 0.15, 0.2
    centres = (np.arange(count) + 0.5) / count - 0.5
    u, v = (axis.ravel() for axis in np.meshgrid(centres, centres))
    weight = 1e4
    equations = np.vstack([np.eye(u.size), weight * np.vstack([np.ones(u.size), u, v])])
    target = np.concatenate([np.zeros(u.size), weight * np.array([1.0, x, y])])
    forces = lsq_linear(equations, target, bounds=(0.0, np.inf)).x * u.size
    half = 0.5 / count
    slope = [forces[-1] - forces[-2], forces[-1] - forces[-1 - count]]
    corner = forces[-1] + half * count * (slope[0] + slope[1])
    assert plate_pressure(1.0, (1.0, 1.0), (x, y)) == pytest.approx(corner, rel=0.03)


def test_chart_of_double_eccentricity():
    assert plate_pressure(1.0, (1.0, 1.0), (1 / 6, 1 / 6)) == pytest.approx(3.3, abs=0.05)


def test_force_beside_the_plate_tips_it():
    assert plate_pressure(1000.0, (1.0, 1.0), (0.5, 0.0)) is None
    assert plate_pressure(1000.0, (1.0, 2.0), (0.0, -1.01)) is None
    with pytest.raises(ValueError, match="sides"):
        plate_pressure(1000.0, (0.0, 1.0), (0.0, 0.0))


def test_hand_calculation_of_foot_plates():
    """71 to 81 kPa, 157 kPa with one foot free, printed to 1 kPa; 310.17 kg and the g of the hand calculation."""
    weight, centre = 310.17 * 9.81, (0.62, 0.41)
    (area,) = set(np.round(contact_areas(FEET, (0.1, 0.1)), 12))
    assert area == pytest.approx(0.01)
    together = elastic_reactions(FEET, weight, centre) / area / 1000
    assert (together.min(), together.max()) == (pytest.approx(71, abs=0.5), pytest.approx(81, abs=0.5))
    free = max(forces.max() for _, forces in admissible_without(FEET, weight, centre)) / area / 1000
    assert free == pytest.approx(157, abs=0.5)


def test_slab_spreads_at_45_degrees_and_is_cut_at_its_edge():
    """Plates of 0.1 m on 80 mm: 0.26 m each way; the slab ends 40 mm beyond the middle of the feet on the left."""
    slab = (0.02, -0.5, 1.6, 1.5)
    left, right, *_ = contact_areas(FEET, (0.1, 0.1), 0.08, slab)
    assert right == pytest.approx(0.26**2)
    assert left == pytest.approx((0.13 + 0.04) * 0.26)


def test_overlapping_areas_count_once():
    """Two plates 0.2 m apart on a slab that spreads each to 0.3 m: together 0.5 x 0.3 m."""
    feet = ((0.0, 0.0), (0.2, 0.0), (5.0, 5.0))
    areas = contact_areas(feet, (0.1, 0.1), 0.1)
    assert sum(areas) == pytest.approx(0.5 * 0.3 + 0.09)
    assert union_area([(0, 0, 2, 2), (1, 1, 3, 3), (0, 0, 1, 1)]) == pytest.approx(7.0)


def test_foot_beside_the_slab_stands_on_its_plate():
    areas = contact_areas(FEET, (0.1, 0.1), 0.05, (1.0, -1.0, 2.0, 2.0))
    assert areas == pytest.approx((0.01, 0.04, 0.04, 0.01))
