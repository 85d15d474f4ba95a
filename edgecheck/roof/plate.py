"""Pressure under a rigid rectangular plate on a bed that cannot pull.

In: a force, the plan of the plate, how far the force stands from its middle. Out: the greatest pressure. [N, m,
Pa]

The pressure is a plane where it presses and nothing elsewhere. Closed forms (foundation textbooks): within the
kern, e_x/B + e_y/L <= 1/6, N/A (1 + 6 e_x/B + 6 e_y/L); about one axis beyond it, 2 N/(3 L (B/2 - e)); where
only a corner presses, a tetrahedron, 3 N/(8 g_x g_y) with g the distances of the force from that corner's
edges. Between these the plane follows from the three equations of equilibrium: they are the gradient of a
convex function, solved by Newton's method with the moments of the pressing polygon in closed form.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_SQUARE = np.array([[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]])
_STEPS = 60
_CLOSED = 1e-10


def plate_pressure(
    force: float, plan: tuple[float, float], eccentricity: tuple[float, float]
) -> float | None:
    """Greatest pressure under a rigid plate that stands on a bed without tension.

    Parameters
    ----------
    force : float
        [N]
    plan : tuple of float
        Sides of the plate, positive. [m]
    eccentricity : tuple of float
        Distance of the force from the middle along each side, of either sign. [m]

    Returns
    -------
    pressure : float or None
        None where the force stands outside the plate, so that it tips. [Pa]

    Raises
    ------
    ValueError
        A side that is not positive.
    """
    if not (plan[0] > 0.0 and plan[1] > 0.0):
        raise ValueError(f"sides of the plate must be positive, not {plan[0]} and {plan[1]}")
    x, y = (abs(off) / side for off, side in zip(eccentricity, plan, strict=True))
    mean = force / (plan[0] * plan[1])
    if x >= 0.5 or y >= 0.5:
        return None
    if x + y <= 1.0 / 6.0:
        return mean * (1.0 + 6.0 * x + 6.0 * y)
    if min(x, y) == 0.0:
        return mean * 2.0 / (3.0 * (0.5 - max(x, y)))
    if max(0.5 - x, 0.5 - y) <= 0.25:
        return mean * 3.0 / (8.0 * (0.5 - x) * (0.5 - y))
    return mean * _corner(x, y)


@lru_cache(maxsize=4096)
def _corner(x: float, y: float) -> float:
    """Greatest ordinate over the unit square of the plane whose positive part has volume 1 and centroid x, y."""
    load = np.array([1.0, x, y])
    plane = np.array([1.0, 12.0 * x, 12.0 * y])
    for _ in range(_STEPS):
        second = _moments(_pressing(plane))
        gap = load - second @ plane
        if np.abs(gap).max() < _CLOSED:
            break
        step = np.linalg.solve(second, gap)
        least, share = _potential(plane, load), 1.0
        while _potential(plane + share * step, load) > least and share > 1e-6:
            share /= 2.0
        plane = plane + share * step
    return float(plane[0] + 0.5 * plane[1] + 0.5 * plane[2])


def _potential(plane: Array, load: Array) -> float:
    """Half the integral of the squared pressure less the work of the load: least in equilibrium."""
    second = _moments(_pressing(plane))
    return float(0.5 * plane @ second @ plane - load @ plane)


def _pressing(plane: Array) -> Array:
    """Part of the unit square where the plane is positive, as a polygon (n, 2)."""
    height = plane[0] + _SQUARE @ plane[1:]
    corners: list[Array] = []
    for one in range(4):
        two = (one + 1) % 4
        if height[one] > 0.0:
            corners.append(_SQUARE[one])
        if (height[one] > 0.0) != (height[two] > 0.0):
            share = height[one] / (height[one] - height[two])
            corners.append(_SQUARE[one] + share * (_SQUARE[two] - _SQUARE[one]))
    return np.array(corners).reshape(-1, 2)


def _moments(polygon: Array) -> Array:
    """Area, first and second moments of a polygon as a 3 x 3 matrix (Green's theorem)."""
    if len(polygon) < 3:
        return np.zeros((3, 3))
    u, v = polygon[:, 0], polygon[:, 1]
    p, q = np.roll(u, -1), np.roll(v, -1)
    cross = u * q - p * v
    area = cross.sum() / 2.0
    first_u, first_v = ((u + p) * cross).sum() / 6.0, ((v + q) * cross).sum() / 6.0
    uu = ((u * u + u * p + p * p) * cross).sum() / 12.0
    vv = ((v * v + v * q + q * q) * cross).sum() / 12.0
    uv = ((u * q + 2.0 * u * v + 2.0 * p * q + p * v) * cross).sum() / 24.0
    return np.array([[area, first_u, first_v], [first_u, uu, uv], [first_v, uv, vv]])
