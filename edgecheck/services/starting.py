"""Starting: whether the breaker holds while the compressor starts, and how far the voltage dips.

A start lasts fractions of a second, in which a breaker's bimetal does nothing. It is held against the lower limit
of the magnetic trip, never against the continuous current.
"""

from edgecheck.services.feed import FEED_RULES, RuleName
from edgecheck.services.voltage_drop import greatest_voltage_drop, voltage_drop

# IEC 60898-1: no magnetic trip up to so many times the rating
LOWER_TRIP = {"B": 3.0, "C": 5.0, "D": 10.0}
# Power factor of a motor that starts against the mains, from memory: 0.3 to 0.5 is common
STARTING_POWER_FACTOR = 0.35


def lower_trip(rating: float, curve: str) -> float:
    """Greatest current that a breaker holds while something starts.

    Parameters
    ----------
    rating : float
        Of the breaker. [A]
    curve : {"B", "C", "D"}
        Its trip curve.

    Returns
    -------
    float
        3, 5 or 10 times the rating: the lower limits of IEC 60898-1. [A]
    """
    return LOWER_TRIP[curve] * rating


def rating_that_holds(current: float, curve: str, rule: RuleName, least: float) -> float | None:
    """Smallest standard rating that is enough and holds a start.

    Parameters
    ----------
    current : float
        While starting. [A]
    curve : {"B", "C", "D"}
        Trip curve.
    rule : {"iec", "nec"}
        Whose standard ratings.
    least : float
        Rating that the running current asks for. [A]

    Returns
    -------
    float or None
        None where no standard rating does. [A]
    """
    return next(
        (
            rating
            for rating in FEED_RULES[rule].ratings
            if rating >= least - 1e-9 and lower_trip(rating, curve) >= current - 1e-9
        ),
        None,
    )


def dip_bounds(
    current: float, length: float, section: float, phases: int, power_factor: float | None = None
) -> tuple[float, float]:
    """Least and greatest dip of the voltage at the unit when the current rises.

    Parameters
    ----------
    current : float
        By which it rises. [A]
    length : float
        Of the cable, one way. [m]
    section : float
        Of one conductor. [m2]
    phases : int
        1 or 3.
    power_factor : float, optional
        Of that current where it is known (a start through an inverter). Else the least is that of a motor at
        standstill, the greatest holds for any power factor.

    Returns
    -------
    least, greatest : float
        [V]
    """
    if power_factor is not None:
        known = voltage_drop(current, length, section, phases, power_factor)
        return known, known
    least = voltage_drop(current, length, section, phases, STARTING_POWER_FACTOR)
    return least, greatest_voltage_drop(current, length, section, phases)
