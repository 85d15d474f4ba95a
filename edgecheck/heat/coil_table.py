"""Heat per kelvin of a coil, read from a polynomial instead of a series summed in every hour.

For one coil at one fan speed e C_min is a smooth function of the liquid's temperature and the air's density: nothing in
it bends, since the exchange of two unmixed streams is the same function of both capacity rates. It is computed at
Chebyshev points of a box that holds all that is asked for, and interpolated between them. The polynomial is compared
with the series at further points of the box when it is made; where it is not within 1e-12 of it, as in a box in which a
property is held at an edge, it is not used.
"""

import math
from functools import lru_cache

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from edgecheck.heat.coil import Coil
from edgecheck.heat.section_kernel import polynomial

FloatArray = NDArray[np.float64]
Box = tuple[float, float, float, float]  # least and greatest liquid temperature, least and greatest density

WITHIN = 1e-12  # relative
_LIQUID_STEP, _DENSITY_STEP = 10.0, 0.05  # of the box's edges, so that sites share boxes: degC, kg/m3
_POINTS = ((5, 9), (7, 13), (9, 17), (11, 22))  # over the liquid's temperature, over the air's density
_FEW = 256  # values below which the series is summed


def per_kelvin(coil: Coil, liquid: FloatArray, density: FloatArray, fan_speed: float) -> FloatArray:
    """Heat per kelvin of (liquid - inlet air), as `Coil.per_kelvin`.

    Parameters
    ----------
    coil : Coil
        Of a dry cooler or an economiser.
    liquid : ndarray, shape (knot, time)
        Temperature of the liquid that arrives. [degC]
    density : ndarray, shape (time,)
        Of the air. [kg/m3]
    fan_speed : float
        Share of full fan speed. [-]

    Returns
    -------
    ndarray, shape (knot, time)
        Within 1e-12 of the series. [W/K]
    """
    found = table_of(coil, liquid, density, fan_speed)
    if found is None:
        return coil.per_kelvin(liquid, density, fan_speed)
    return polynomial(found[0], np.ascontiguousarray(liquid), density, found[1])


def table_of(
    coil: Coil, liquid: FloatArray, density: FloatArray, fan_speed: float
) -> tuple[FloatArray, Box] | None:
    """Polynomial for such values and the box that it holds in; None where the series must be summed.

    Parameters as in `per_kelvin`.
    """
    if liquid.size < _FEW:
        return None
    box = (*_box(liquid, _LIQUID_STEP), *_box(density, _DENSITY_STEP))
    # an edge that is not a number stands for a value that is none
    table = _table(coil, fan_speed, box) if all(map(math.isfinite, box)) and box[2] > 0.0 else None
    return None if table is None else (table, box)


def _box(values: FloatArray, step: float) -> tuple[float, float]:
    """Edges, on whole steps, between which all values lie."""
    low, high = np.floor(values.min() / step), np.ceil(values.max() / step)
    return float(low * step), float(max(high, low + 1.0) * step)


@lru_cache(maxsize=64)
def _table(coil: Coil, fan_speed: float, box: Box) -> FloatArray | None:
    """Coefficients of powers, shape (liquid, density); None where they do not reach the series."""

    def in_box(at: FloatArray, low: float, high: float) -> FloatArray:
        return (low + high + at * (high - low)) / 2.0

    def exact(at: list[FloatArray]) -> tuple[FloatArray, FloatArray, FloatArray]:
        density = in_box(at[1], box[2], box[3])
        liquid = np.repeat(in_box(at[0], box[0], box[1])[:, np.newaxis], len(density), axis=1)
        return liquid, density, coil.per_kelvin(liquid, density, fan_speed)

    liquid, density, right = exact([np.linspace(-1.0, 1.0, count) for count in (25, 41)])

    def reaches(table: FloatArray) -> bool:
        off = np.abs(polynomial(table, liquid, density, box) - right)
        return bool(np.max(off / np.abs(right)) < WITHIN)

    for counts in _POINTS:
        points = [chebyshev.chebpts1(count) for count in counts]
        turn = [np.linalg.inv(chebyshev.chebvander(at, len(at) - 1)) for at in points]
        orders = turn[0] @ exact(points)[2] @ turn[1].T
        found = _in_powers(orders)
        if not reaches(found):
            continue
        # the last orders over the density often add nothing: every one costs a pass over all hours
        for count in range(counts[1] - 1, 0, -1):
            fewer = _in_powers(orders[:, :count])
            if not reaches(fewer):
                break
            found = fewer
        return found
    return None


def _in_powers(table: FloatArray) -> FloatArray:
    """Chebyshev coefficients (order, order) as those of powers: the high ones are so small that nothing cancels."""
    for _ in range(2):
        powers = np.zeros((len(table), len(table)))
        for order, one in enumerate(np.eye(len(table))):
            powers[: order + 1, order] = chebyshev.cheb2poly(one)[: order + 1]
        table = (powers @ table).T
    return np.ascontiguousarray(table)
