"""Which rectangle of liquid and air temperatures scattered points cover.

A rating table is a rectangle; points of a data sheet seldom reach its corners. A corner may lie a little outside the
points' convex hull; beyond that the rectangle is cut down, so that no value of a table is a guess far from any point.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull, QhullError

FloatArray = NDArray[np.float64]

REACH_K = 3.0
"""How far outside the points' convex hull a corner of a table may lie, K (engineering default: capacity changes by
about 1 % a kelvin of air and 3 % a kelvin of liquid)."""


@dataclass(frozen=True)
class Range:
    """A rectangle of temperatures.

    Parameters
    ----------
    liquid, air : tuple of (float, float)
        Lowest and highest. [degC]
    """

    liquid: tuple[float, float]
    air: tuple[float, float]

    def corners(self) -> FloatArray:
        """Liquid and air temperature of the corners, shape (4, 2). [degC]"""
        return np.array([(one, other) for one in self.liquid for other in self.air])


def box_of(liquid: FloatArray, air: FloatArray) -> Range:
    """Smallest rectangle around points [degC]."""
    return Range((float(liquid.min()), float(liquid.max())), (float(air.min()), float(air.max())))


def outside(liquid: FloatArray, air: FloatArray, places: FloatArray) -> FloatArray:
    """Distance of places to the convex hull of points, 0 inside.

    Parameters
    ----------
    liquid, air : ndarray, shape (point,)
        [degC]
    places : ndarray, shape (place, 2)
        Liquid and air temperature. [degC]

    Returns
    -------
    distance : ndarray, shape (place,)
        Infinite where the points lie on one line. [K]
    """
    points = np.column_stack([liquid, air])
    try:
        hull = ConvexHull(points)
    except (QhullError, ValueError):
        return np.full(len(places), np.inf)
    inside = np.all(places @ hull.equations[:, :2].T + hull.equations[:, 2] <= 1e-9, axis=1)
    start = points[hull.vertices]
    along = np.roll(start, -1, axis=0) - start
    gap = places[:, None, :] - start
    share = np.clip(np.sum(gap * along, axis=2) / np.sum(along * along, axis=1), 0.0, 1.0)
    distance = np.min(np.linalg.norm(gap - share[..., None] * along, axis=2), axis=1)
    return np.where(inside, 0.0, distance)


def covered(liquid: FloatArray, air: FloatArray) -> Range | None:
    """Largest rectangle with every corner within `REACH_K` of the points' convex hull.

    Parameters
    ----------
    liquid, air : ndarray, shape (point,)
        [degC]

    Returns
    -------
    Range or None
        The box around the points where its corners are near enough, else the largest area with bounds on whole
        degrees or at the outermost points; None where there is no such rectangle.
    """
    box = box_of(liquid, air)
    if np.all(outside(liquid, air, box.corners()) <= REACH_K):
        return box
    rows, columns = (_candidates(bounds) for bounds in (box.liquid, box.air))
    grid = np.array([(row, column) for row in rows for column in columns])
    near = (outside(liquid, air, grid) <= REACH_K).reshape(len(rows), len(columns))
    # The widened hull is convex: in every row the near columns stand side by side, and so do those near in two rows.
    best, area = None, 0.0
    for low in range(len(rows)):
        for high in range(low + 1, len(rows)):
            both = np.flatnonzero(near[low] & near[high])
            if len(both) < 2:
                continue
            found = Range((rows[low], rows[high]), (columns[both[0]], columns[both[-1]]))
            size = (found.liquid[1] - found.liquid[0]) * (found.air[1] - found.air[0])
            if size > area:
                best, area = found, size
    return best


def _candidates(bounds: tuple[float, float]) -> list[float]:
    low, high = bounds
    whole = np.arange(np.floor(low) + 1.0, np.ceil(high), 1.0)
    return [low, *(float(at) for at in whole if low < at < high), high]
