"""Least squares for a surface over liquid and air temperature that never turns the wrong way.

The surface is a polynomial of at most second degree in the two temperatures. Its slopes are then straight-lined, so
that a slope which has the right sign at the four corners of a rectangle has it everywhere inside: four inequalities a
direction stand for a grid as fine as one likes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import nnls

from edgecheck.inputs.covered_range import Range

FloatArray = NDArray[np.float64]

FORMS = {
    "bilinear": ((0, 0), (1, 0), (0, 1), (1, 1)),
    "bilinear, curved in air": ((0, 0), (1, 0), (0, 1), (1, 1), (0, 2)),
    "biquadratic": ((0, 0), (1, 0), (0, 1), (1, 1), (0, 2), (2, 0)),
}
"""Name of a form -> powers of liquid and air temperature of its terms; each holds the one before."""

LEAST_SHARE = 0.05  # of the least measured value: the surface stays above it (engineering default)


@dataclass(frozen=True)
class Surface:
    """A polynomial over liquid and air temperature.

    Parameters
    ----------
    form : str
        Key of `FORMS`.
    coefficients : ndarray, shape (term,)
        In temperatures scaled to -1..1 over `box`.
    box : Range
        Rectangle in which the slopes have the wanted sign.
    """

    form: str
    coefficients: FloatArray
    box: Range

    def at(self, liquid: ArrayLike, air: ArrayLike) -> FloatArray:
        """Value at temperatures [degC], broadcast against each other."""
        return np.asarray(_terms(self.form, *_scaled(self.box, liquid, air)) @ self.coefficients)


def spread(form: str, box: Range, liquid: FloatArray, air: FloatArray) -> float:
    """How well points tell the terms of a form apart: condition number of the scaled terms, 1 at best."""
    return float(np.linalg.cond(_terms(form, *_scaled(box, liquid, air))))


def fitted(
    form: str,
    box: Range,
    liquid: FloatArray,
    air: FloatArray,
    values: FloatArray,
    *,
    liquid_sign: int,
    air_sign: int,
) -> Surface:
    """Surface of least squared relative differences whose slopes have given signs.

    Parameters
    ----------
    form : str
        Key of `FORMS`.
    box : Range
        Where the slopes must have their sign.
    liquid, air : ndarray, shape (point,)
        At least as many points as the form has terms, and not such that terms cannot be told apart. [degC]
    values : ndarray, shape (point,)
        Positive.
    liquid_sign, air_sign : {-1, 0, 1}
        1: the surface never falls in this direction, -1: never rises, 0: as it likes.

    Returns
    -------
    Surface
        min |(A c - y)/y| subject to G c >= h. Lawson and Hanson, Solving Least Squares Problems (1974), chapter 23:
        least distance programming by non-negative least squares.
    """
    rows = _terms(form, *_scaled(box, liquid, air)) / values[:, None]
    bounds = _corner_rows(form, liquid_sign, air_sign)
    least = np.zeros(len(bounds))
    least[: len(_CORNERS)] = LEAST_SHARE * values.min()
    return Surface(form, _least_distance(rows, np.ones(len(values)), bounds, least), box)


_CORNERS = tuple((u, v) for u in (-1.0, 1.0) for v in (-1.0, 1.0))


@cache
def _corner_rows(form: str, liquid_sign: int, air_sign: int) -> FloatArray:
    """Values at the corners, then slopes there in the wanted direction: what must not be less than a bound."""
    values = [_terms(form, u, v) for u, v in _CORNERS]
    slopes = [
        sign * _slope(form, u, v, direction)
        for direction, sign in enumerate((liquid_sign, air_sign))
        if sign
        for u, v in _CORNERS
    ]
    return np.array(values + slopes)


def _scaled(box: Range, liquid: ArrayLike, air: ArrayLike) -> tuple[FloatArray, FloatArray]:
    def scale(value: ArrayLike, bounds: Sequence[float]) -> FloatArray:
        middle, half = (bounds[0] + bounds[1]) / 2.0, (bounds[1] - bounds[0]) / 2.0
        return (np.asarray(value, dtype=float) - middle) / half

    return scale(liquid, box.liquid), scale(air, box.air)


def _terms(form: str, u: ArrayLike, v: ArrayLike) -> FloatArray:
    """Terms of a form, stacked along a last axis."""
    u, v = np.broadcast_arrays(np.asarray(u, dtype=float), np.asarray(v, dtype=float))
    return np.stack([u**m * v**n for m, n in FORMS[form]], axis=-1)


def _slope(form: str, u: float, v: float, direction: int) -> FloatArray:
    """Derivative of the terms along liquid (0) or air (1)."""
    place = np.array([u, v])
    slopes = []
    for powers in FORMS[form]:
        lower = np.array(powers)
        factor = lower[direction]
        lower[direction] = max(0, factor - 1)
        slopes.append(factor * float(np.prod(place**lower)))
    return np.array(slopes)


def _least_distance(a: FloatArray, b: FloatArray, g: FloatArray, h: FloatArray) -> FloatArray:
    """Vector x that makes |a x - b| least subject to g x >= h, for `a` of full column rank."""
    q, r = np.linalg.qr(a)
    start = q.T @ b  # r x = start is the free solution; z = r x - start is to be as short as possible
    turned = np.linalg.solve(r.T, g.T).T
    need = h - turned @ start
    if np.all(need <= 0.0):
        return np.asarray(np.linalg.solve(r, start))
    stacked = np.vstack([turned.T, need])
    goal = np.zeros(len(stacked))
    goal[-1] = 1.0
    weights, _ = nnls(stacked, goal)
    rest = stacked @ weights - goal
    z = -rest[:-1] / rest[-1]
    return np.asarray(np.linalg.solve(r, start + z))
