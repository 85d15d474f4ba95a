"""Search for the largest load that is carried: halving, with most halves decided beforehand.

Whether a load is carried falls with the load. What is known to be carried decides every smaller load, what is known to
fail every larger one, so a few well placed looks leave halving with next to nothing to ask and its answer unchanged.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Hours = slice | NDArray[np.intp]

RESOLUTION = 1.0  # W
_WORST_HOURS = 100
_GUESSES = 5
_ASIDE = 0.02  # W, from a guess to the looks on both sides of it


class Halving:
    """Halving of the loads from 0 to one that fails.

    Parameters
    ----------
    carries : callable
        Whether a load [W] is carried.
    most : float
        A load that is not. [W]
    """

    def __init__(self, carries: Callable[[float], bool], most: float) -> None:
        self._carries = carries
        self._most = most
        self._carried, self._failed = 0.0, most

    def carries(self, load: float) -> bool:
        """Whether a load [W] is carried, looked up where that is known already."""
        if load <= self._carried or load >= self._failed:
            return load <= self._carried
        if self._carries(load):
            self._carried = load
            return True
        self._failed = load
        return False

    def largest(self) -> float:
        """Largest load that is carried, within the resolution; 0 where none is. [W]"""
        low, high = 0.0, self._most
        while high - low > RESOLUTION:
            middle = (low + high) / 2.0
            low, high = (middle, high) if self.carries(middle) else (low, middle)
        return low


def largest_by_share(shares: Callable[[float, Hours], FloatArray], most: float, least_share: float) -> float:
    """Largest load whose headroom share holds in every hour, sought in the worst hours and confirmed in all.

    Parameters
    ----------
    shares : callable
        Load [W] and hours -> service headroom share of each; it falls with the load.
    most : float
        No more than this. [W]
    least_share : float
        Required. [-]

    Returns
    -------
    float
        Within the resolution. [W]
    """
    found = most
    worst: NDArray[np.intp] = np.empty(0, dtype=np.intp)
    while True:
        of_all = shares(found, slice(None))
        least = float(np.min(of_all))
        if least >= least_share or found == 0.0:
            return found
        near = np.argpartition(of_all, min(_WORST_HOURS, len(of_all)) - 1)[:_WORST_HOURS]
        worst = np.union1d(worst, near)
        found = _largest_in(worst, shares, found, least, least_share)


def _largest_in(
    hours: NDArray[np.intp],
    shares: Callable[[float, Hours], FloatArray],
    most: float,
    share_at_most: float,
    least_share: float,
) -> float:
    """Halving in some hours, after looks on both sides of where the share crosses what is required."""

    def share(load: float) -> float:
        return float(np.min(shares(load, hours)))

    halving = Halving(lambda load: share(load) >= least_share, most)
    # a capacity that does not depend on the load would make (1 + share) load a constant
    load, here = most, share_at_most
    other: tuple[float, float] | None = None
    for _ in range(_GUESSES):
        if other is None or here == other[1]:
            guess = load * (1.0 + here) / (1.0 + least_share)
        else:
            guess = load + (least_share - here) * (load - other[0]) / (here - other[1])
        if not 0.0 < guess < most:
            break
        close = abs(guess - load) < _ASIDE / 4.0
        other, load = (load, here), guess
        if close:
            break
        here = share(guess)
    for aside in (-_ASIDE, _ASIDE):
        halving.carries(load + aside)
    return halving.largest()
