"""Kinematic viscosity over temperature by ASTM D341: straight lines between known values on the standard's chart.

The chart's axes are log10(log10(Z)) and log10(T), with Z = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2), nu in mm2/s
and T in K. Above about 2 mm2/s the last term is nothing and Z = nu + 0.7 (Walther). A petroleum liquid lies nearly on
one straight line; from 40 and 100 degC alone a synthetic hydrocarbon comes out far too thick at -40 degC, so a line may
have a third anchor in the cold, or end before it.
"""

from dataclasses import dataclass
from typing import TypeVar, cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import ZERO_CELSIUS

FloatArray = NDArray[np.float64]
Temperature = TypeVar("Temperature", float, FloatArray)

THINNEST = 0.21  # mm2/s, least viscosity of the standard's equation (ASTM D341, from memory)
_STEPS = 8  # of Newton; the correction is a convex, falling term below 0.23, so four are enough


@dataclass(frozen=True)
class Viscosity:
    """Viscosity of a liquid, known from a few values.

    Parameters
    ----------
    anchors : tuple of (float, float)
        Temperature [degC] and kinematic viscosity [mm2/s], at least two, temperatures rising, viscosities falling.
    low, high : float
        Range in which the lines hold; unknown beyond. [degC]

    Raises
    ------
    ValueError
        Fewer than two anchors, not in order, thinner than the equation covers, or a range that is none.
    """

    anchors: tuple[tuple[float, float], ...]
    low: float
    high: float

    def __post_init__(self) -> None:
        temperatures, values = zip(*self.anchors, strict=True)
        if len(self.anchors) < 2 or min(np.diff(temperatures)) <= 0.0 or max(np.diff(values)) >= 0.0:
            raise ValueError("viscosity needs two anchors or more, thinner from one to the next warmer one")
        if values[-1] < THINNEST or not self.low < self.high:
            raise ValueError(f"viscosities from {THINNEST} mm2/s on and a range are needed")

    def at(self, temperature: Temperature) -> Temperature:
        """Kinematic viscosity. [mm2/s]

        Parameters
        ----------
        temperature : float or ndarray
            [degC]

        Returns
        -------
        float or ndarray
            NaN outside `low`..`high`.
        """
        asked = np.asarray(temperature, dtype=float)
        known = (asked >= self.low) & (asked <= self.high)
        place = _across(np.where(known, asked, self.high))
        x = _across([anchor[0] for anchor in self.anchors])
        y = _up([anchor[1] for anchor in self.anchors])
        piece = np.clip(np.searchsorted(x, place) - 1, 0, len(x) - 2)
        slope = np.diff(y) / np.diff(x)
        found = _down(y[piece] + slope[piece] * (place - x[piece]))
        return cast(Temperature, np.where(known, found, np.nan)[()])

    def line(self, piece: int = 0) -> tuple[float, float]:
        """A and B of log10(log10(Z)) = A - B log10(T) between two anchors.

        Parameters
        ----------
        piece : int
            Which pair of neighbours, from the coldest on.

        Returns
        -------
        a, b : float
            [-], T in K
        """
        pair = self.anchors[piece : piece + 2]
        x, y = _across([anchor[0] for anchor in pair]), _up([anchor[1] for anchor in pair])
        b = float((y[0] - y[1]) / (x[1] - x[0]))
        return float(y[0] + b * x[0]), b


def _across(temperature: ArrayLike) -> FloatArray:
    return np.asarray(np.log10(np.asarray(temperature, dtype=float) + ZERO_CELSIUS))


def _up(viscosity: ArrayLike) -> FloatArray:
    nu = np.asarray(viscosity, dtype=float)
    return np.asarray(np.log10(np.log10(nu + 0.7 + _thin(nu))))


def _down(height: FloatArray) -> FloatArray:
    """Viscosity at a height of the chart: nu + 0.7 + thin(nu) = Z by Newton."""
    z = 10.0**10.0**height
    nu = z - 0.7
    for _ in range(_STEPS):
        thin = _thin(nu)
        nu = nu - (nu + 0.7 + thin - z) / (1.0 - (1.84 + 1.02 * nu) * thin)
    return nu


def _thin(nu: FloatArray) -> FloatArray:
    """Term of the equation that counts for thin liquids only."""
    return np.asarray(np.exp(-1.47 - 1.84 * nu - 0.51 * nu * nu))
