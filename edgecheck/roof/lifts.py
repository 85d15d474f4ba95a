"""What goes into a lift: floor area for a rated load, a rectangle on a rectangular floor.

In: rated load, lengths. Out: areas, yes or no. [kg, m, m2]
"""

import math

import numpy as np

# EN 81-20 table 6, greatest available car area; the 400 and 800 kg rows from memory
_RATED = (
    100, 180, 225, 300, 375, 400, 450, 525, 600, 630, 675, 750, 800, 825, 900, 975, 1000, 1050, 1125, 1200,
    1250, 1275, 1350, 1425, 1500, 1600, 2000, 2500,
)  # fmt: skip
_AREA = (
    0.37, 0.58, 0.70, 0.90, 1.10, 1.17, 1.30, 1.45, 1.60, 1.66, 1.75, 1.90, 2.00, 2.05, 2.20, 2.35, 2.40, 2.50,
    2.65, 2.80, 2.90, 2.95, 3.10, 3.25, 3.40, 3.56, 4.20, 5.00,
)  # fmt: skip
_BEYOND = 0.16 / 100.0  # m2 for every kilogram above 2500 kg


def largest_car(rated: float) -> float | None:
    """Greatest floor area of a lift car for its rated load, EN 81-20 table 6.

    Parameters
    ----------
    rated : float
        [kg]

    Returns
    -------
    area : float or None
        Linear between rows; 0.16 m2 more for every 100 kg above 2500 kg; None below the first row. [m2]
    """
    if rated < _RATED[0]:
        return None
    if rated > _RATED[-1]:
        return _AREA[-1] + _BEYOND * (rated - _RATED[-1])
    return float(np.interp(rated, _RATED, _AREA))


def stands_on(plan: tuple[float, float], floor: tuple[float, float]) -> bool:
    """Whether a rectangle fits on a rectangular floor, turned to any angle.

    Parameters
    ----------
    plan, floor : tuple of float
        Sides of the rectangle and of the floor, positive. [m]

    Returns
    -------
    fits : bool
        Carver, "Solution to problem E 1225", American Mathematical Monthly 64 (1957): with p >= q and a >= b, it
        fits straight for p <= a and q <= b, or askew for p > a and
        b >= (2 p q a + (p^2 - q^2) sqrt(p^2 + q^2 - a^2))/(p^2 + q^2).
    """
    p, q = max(plan), min(plan)
    a, b = max(floor), min(floor)
    if p <= a:
        return q <= b
    square = p * p + q * q
    return b >= (2.0 * p * q * a + (p * p - q * q) * math.sqrt(square - a * a)) / square
