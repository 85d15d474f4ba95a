"""Current of the unit and what the electrical rules ask of its feed.

In: power, voltage, phases, rule. Out: running current, the rating that a rule asks for, standard ratings of
breakers, the current behind a spare apparent power. Alternating current; the servers' direct current stands in
`dc_plant.py`, the power of the hot hour in `peak_power.py`.
"""

import math
from dataclasses import dataclass
from typing import Literal

RuleName = Literal["iec", "nec"]

_KILO = 1e3
_ROUNDING = 1e-9  # of a product of a current and a factor


@dataclass(frozen=True)
class FeedRule:
    """What a set of electrical rules asks of an overcurrent device.

    Parameters
    ----------
    title : str
        Rules and clause.
    factor : float
        Least rating over the continuous current. [-]
    formula : str
        As it is printed.
    ratings : tuple of float
        Standard ratings, rising. [A]
    """

    title: str
    factor: float
    formula: str
    ratings: tuple[float, ...]


# NEC: 210.20(A) for branch circuits and 215.3 for feeders; ratings of 240.6(A).
# IEC: 60364-4-43, 433.1, Ib <= In (In <= Iz is the cable's, and nobody has stated Iz); preferred ratings of IEC 60898-1
# up to 125 A, above it the usual ratings of moulded-case breakers (common practice, no source).
FEED_RULES: dict[RuleName, FeedRule] = {
    "iec": FeedRule(
        "IEC 60364-4-43, 433.1",
        1.0,
        "In >= Ib",
        (6, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630),
    ),
    "nec": FeedRule(
        "NEC 210.20(A), 215.3",
        1.25,
        "In >= 1.25 I",
        (
            15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350,
            400, 450, 500, 600,
        ),
    ),
}  # fmt: skip
"""Rules by name, the milder first."""


def running_current(power: float, volt: float, phases: int, power_factor: float) -> float:
    """Current at a steady power.

    Parameters
    ----------
    power : float
        Active power with the compressor on. [W]
    volt : float
        Between the two conductors for one phase, phase to phase for three. [V]
    phases : int
        1 or 3.
    power_factor : float
        [-]

    Returns
    -------
    float
        P/(k U cos phi), k = 1 or sqrt 3. [A]
    """
    return power / ((math.sqrt(3.0) if phases == 3 else 1.0) * volt * power_factor)


def spare_current(apparent: float, volt: float, phases: int) -> float:
    """Current of one phase at a spare apparent power.

    Parameters
    ----------
    apparent : float
        Of the whole board; three phases share it evenly. [VA]
    volt : float
        Between the two conductors for one phase, phase to phase for three. [V]
    phases : int
        Of the board, 1 or 3.

    Returns
    -------
    float
        S/(k U), k = 1 or sqrt 3. [A]
    """
    return running_current(apparent, volt, phases, 1.0)


def required_rating(current: float, rule: RuleName) -> float:
    """Least rating of the feed for a current that flows for hours.

    Parameters
    ----------
    current : float
        Continuous: for three hours and more. [A]
    rule : {"iec", "nec"}
        Which rules hold.

    Returns
    -------
    float
        1.25 I by NEC 210.20(A) and 215.3, Ib by IEC 60364-4-43. The exception of the NEC for assemblies listed
        for 100 % of their rating is not used. [A]
    """
    return FEED_RULES[rule].factor * current


def standard_rating(required: float, rule: RuleName) -> float:
    """Smallest standard rating of a breaker that is enough.

    Parameters
    ----------
    required : float
        Least rating. [A]
    rule : {"iec", "nec"}
        Whose standard ratings.

    Returns
    -------
    float
        From NEC 240.6(A) or IEC 60898-1; beyond the list the required rating itself. [A]
    """
    return next((rating for rating in FEED_RULES[rule].ratings if rating >= required - _ROUNDING), required)
