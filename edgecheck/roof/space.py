"""Whether the unit with its clearances fits on the free area.

In: the plan needed, the free area. Out: the better of the two orientations, and the direction that is tightest.
[m]
"""

from dataclasses import dataclass

FALL_PROTECTION_DISTANCE = (
    2.0  # m from an edge, common practice (German workplace rule ASR A2.1, from memory)
)


@dataclass(frozen=True)
class Fit:
    """The tightest direction of the better orientation.

    Parameters
    ----------
    fits : bool, optional
        None where the free area is not known well enough to say.
    need, free : float
        Length needed and length there in that direction; `free` None where unknown. [m]
    turned : bool
        Whether the front lies along the width of the free area.
    """

    fits: bool | None
    need: float
    free: float | None
    turned: bool


def best_fit(need: tuple[float, float], free: tuple[float | None, float | None]) -> Fit:
    """Fit a plan on a free area in either orientation.

    Parameters
    ----------
    need : tuple of float
        Along the front and back, with clearances, positive. [m]
    free : tuple of float or None
        Length and width, positive. [m]

    Returns
    -------
    fit : Fit
        With one side of the area unknown it says no where even the shorter side of the plan is too long.
    """
    if free[0] is None or free[1] is None:
        known = free[0] if free[0] is not None else free[1]
        least = min(need)
        return Fit(False if known is not None and least > known else None, least, known, False)
    ways = []
    for turned, plan in ((False, need), (True, (need[1], need[0]))):
        used, side, there = max((plan[0] / free[0], plan[0], free[0]), (plan[1] / free[1], plan[1], free[1]))
        ways.append((used, turned, side, there))
    _, turned, side, there = min(ways)
    return Fit(side <= there, side, there, turned)
