"""Reading of piecewise linear curves that have their own knots in every hour; see `curve.py`."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]

_BLOCK = 256  # hours that stay in the fastest memory while they are worked on


@kernel
def _past(knot: FloatArray, begin: int, step: int, where: FloatArray) -> bool:
    """Whether every place (hour) is at or past a knot, whose first hour is `begin`."""
    past = True
    for j in range(len(where)):
        past &= where[j] >= knot[begin + j * step]
    return past


@kernel
def read(knots: FloatArray, several: tuple[FloatArray, ...], at: FloatArray) -> FloatArray:
    """Values over the same knots read at places (place, hour); shape (values, place, hour).

    Knots (knot, hour), or (knot, 1) where they are the same in all hours; each of the values (knot, hour).
    """
    places, hours = at.shape
    step = 1 if knots.shape[1] == hours else 0
    last = len(knots) - 1
    result = np.empty((len(several), places, hours))
    share = np.empty(_BLOCK)
    for place in range(places):
        for begin in range(0, hours, _BLOCK):
            end = min(begin + _BLOCK, hours)
            where = at[place, begin:end]
            first = 0  # of the pieces between knots, the first that not all hours are past
            while first < last - 1 and _past(knots[first + 1], begin * step, step, where):
                first += 1
            for i in range(len(several)):
                result[i, place, begin:end] = several[i][first, begin:end]
            for k in range(first, last):
                further = False
                if step:
                    low, high = knots[k, begin:end], knots[k + 1, begin:end]
                else:  # written out, or the loop would not become vector instructions
                    low, high = np.full(len(where), knots[k, 0]), np.full(len(where), knots[k + 1, 0])
                for j in range(end - begin):
                    there = (where[j] - low[j]) / (high[j] - low[j])
                    there = 0.0 if there < 0.0 else there  # what is not a number stays so
                    further |= there != 0.0
                    share[j] = 1.0 if there > 1.0 else there
                if not further:
                    break
                for i in range(len(several)):
                    lower, upper = several[i][k, begin:end], several[i][k + 1, begin:end]
                    found = result[i, place, begin:end]
                    for j in range(end - begin):
                        found[j] += share[j] * (upper[j] - lower[j])
    return result
