"""Sliding, overturning and uplift of an unanchored unit in the wind, and the ballast that prevents them.

In: how the unit stands, the wind on it, a load combination, friction. Out: destabilising and resisting effects
case by case; utilisation is their ratio. [N, N m, kg]

    sliding      gW F cos a + gG G sin a  against  mu (gG G cos a - gW V)     none where the bracket is not positive
    overturning  gW F h + gW V a_v        against  gG (M a_u + B a_b) g       about every edge of the base
    uplift       gW V                     against  gG G

(rigid body; a: slope of the roof; a_u, a_b, a_v: levers of unit, ballast and uplift.) The favourable factor goes
with all of the weight. Each direction is taken with the wind's uplift and without. Ballast adds weight and area to
the wind; the least that is enough is found on the largest of the excesses.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, Protocol

from scipy.optimize import brentq

from edgecheck.base.constants import GRAVITY
from edgecheck.inputs.combinations import Combination
from edgecheck.roof.silhouette import FACES, Face
from edgecheck.roof.stand import Stand
from edgecheck.roof.steps import Step

Kind = Literal["sliding", "overturning", "uplift"]
KINDS: tuple[Kind, ...] = ("sliding", "overturning", "uplift")
MOST_BALLAST = 100_000.0  # kg
_BOTH = (FACES[0], FACES[2])  # of opposite faces one


class Wind(Protocol):
    """Wind on the unit, by whichever standard."""

    def __hash__(self) -> int:
        """Equal winds are the same wind."""

    @property
    def standard(self) -> str:
        """Name of the standard."""

    @property
    def speed_text(self) -> str:
        """The wind in words."""

    def coefficient(self, face: Face, area: float) -> float:
        """Force coefficient of a projected area [m2] behind a face."""

    def force(self, face: Face, area: float) -> float:
        """Force on a projected area [m2] behind a face. [N]"""

    def uplift(self, area: float) -> float:
        """Upward force on a plan area [m2]. [N]"""

    def steps(self) -> tuple[Step, ...]:
        """The way to pressure and coefficients."""


@dataclass(frozen=True)
class Effect:
    """One way to lose stability in one case.

    Parameters
    ----------
    kind : {"sliding", "overturning", "uplift"}
        Which way.
    face : Face
        Side that the wind blows on.
    lifting : bool
        Whether the wind's uplift is counted.
    combination : Combination
        With its clause.
    destabilising, resisting : float
        Design effects; the resisting one may be negative. [N; N m for overturning]
    """

    kind: Kind
    face: Face
    lifting: bool
    combination: Combination
    destabilising: float
    resisting: float

    @property
    def utilisation(self) -> float:
        """Destabilising over resisting; infinite where nothing resists."""
        return _severity((self.destabilising, self.resisting))[0]

    @property
    def excess(self) -> float:
        """What the resistance lacks. [N, or N m]"""
        return self.destabilising - self.resisting

    @property
    def text(self) -> str:
        """The case in words."""
        if self.kind == "uplift":
            return f"uplift, {self.combination.text}"
        lift = "with uplift" if self.lifting else "without uplift"
        return f"{self.kind}, wind on the {self.face.name}, {lift}, {self.combination.text}"


def effects(
    stand: Stand,
    wind: Wind,
    combination: Combination,
    friction: float | None,
    slope: float = 0.0,
    faces: Sequence[Face] = FACES,
) -> tuple[Effect, ...]:
    """Every effect of the wind on a unit that is not anchored.

    Parameters
    ----------
    stand : Stand
        The unit, with its ballast.
    wind : Wind
        On it.
    combination : Combination
        Factors.
    friction : float or None
        Between the unit and what it stands on; None: sliding is left out.
    slope : float
        Of the roof. [deg]
    faces : sequence of Face
        Directions to look at.

    Returns
    -------
    effects : tuple of Effect
        Uplift, then for every face without and with uplift: overturning about its worst edge, sliding.
    """
    return tuple(
        Effect(kind, face, lifting, combination, pushing, holding)
        for kind, face, lifting, pushing, holding in _cases(stand, wind, combination, friction, slope, faces)
    )


def governing(found: Sequence[Effect]) -> Effect:
    """The effect with the greatest utilisation, the greatest excess among equals."""
    return max(found, key=lambda one: _severity((one.destabilising, one.resisting)))


def needed_ballast(
    stand: Stand,
    wind: Wind,
    combinations: Sequence[Combination],
    friction: float | None,
    slope: float = 0.0,
    kinds: Sequence[Kind] = KINDS,
) -> float | None:
    """Least ballast with which no utilisation exceeds 1.

    Parameters
    ----------
    stand : Stand
        The unit; ballast that it has is not counted.
    wind, combinations, friction, slope
        As in `effects`. [deg]
    kinds : sequence of {"sliding", "overturning", "uplift"}
        Which effects count.

    Returns
    -------
    ballast : float or None
        0 where none is needed, None where even 100 t are not enough. [kg]
    """
    excess = _excess(stand, wind, combinations, friction, slope, kinds)
    if excess(0.0) <= 0.0:
        return 0.0
    low, high = 0.0, 2.0 * stand.mass
    while excess(high) > 0.0:
        low, high = high, 4.0 * high
        if high > MOST_BALLAST:
            return None
    return float(brentq(excess, low, high, xtol=1e-9))


def _excess(
    stand: Stand,
    wind: Wind,
    combinations: Sequence[Combination],
    friction: float | None,
    slope: float,
    kinds: Sequence[Kind],
) -> Callable[[float], float]:
    """Ballast [kg] -> what the resistance lacks in the worst of all cases; of the sign of the worst effect's.

    Opposite faces see the same wind, so that every edge is asked once; the uplift counts where it is unfavourable.
    """
    mass, lift = stand.mass, wind.uplift(stand.lid)
    cosine, sine = math.cos(math.radians(slope)), math.sin(math.radians(slope))
    rises = "uplift" in kinds
    grip = friction if "sliding" in kinds else None
    factors = [(one.permanent, one.wind) for one in combinations]
    edges = [
        (across, along, max(lift_lever * lift, 0.0), lever, bare)
        for across, along, lift_lever, lever, bare in (stand.tipping if "overturning" in kinds else ())
    ]

    def excess(ballast: float) -> float:
        weight = (mass + ballast) * GRAVITY
        found = [blown * lift - held * weight for held, blown in factors] if rises else []
        if grip is None and not edges:
            return max(found)
        (area, height), (end_area, end_height) = stand.shadows_with(ballast)
        push, end_push = wind.force(_BOTH[0], area), wind.force(_BOTH[1], end_area)
        if grip is not None:
            most = max(push, end_push) * cosine
            found += [
                blown * most + held * weight * sine - grip * (held * weight * cosine - blown * lift)
                for held, blown in factors
            ]
        tilt, end_tilt = push * height, end_push * end_height
        for across, along, lifted, lever, bare in edges:
            moment = max(tilt * across, end_tilt * along) + lifted
            resisting = GRAVITY * (bare + ballast * lever)
            found += [blown * moment - held * resisting for held, blown in factors]
        return max(found)

    return excess


def _cases(
    stand: Stand,
    wind: Wind,
    combination: Combination,
    friction: float | None,
    slope: float,
    faces: Sequence[Face],
) -> Iterator[tuple[Kind, Face, bool, float, float]]:
    """Kind, face, whether the uplift counts, destabilising and resisting effect of every case."""
    weight = combination.permanent * stand.total * GRAVITY
    lift = combination.wind * wind.uplift(stand.lid)
    cosine, sine = math.cos(math.radians(slope)), math.sin(math.radians(slope))
    yield "uplift", faces[0], True, lift, weight
    edges = [
        (edge.normal, lift_lever, weight * weight_lever) for edge, weight_lever, lift_lever in stand.levers
    ]
    for face in faces:
        area, height = stand.shadow(face)
        push = combination.wind * wind.force(face, area)
        tilt, (x, y) = push * height, face.direction
        moments = [
            (tilt * toward if (toward := x * normal[0] + y * normal[1]) > 0.0 else 0.0, lever, held)
            for normal, lever, held in edges
        ]
        for lifting in (False, True):
            up = lift if lifting else 0.0
            pairs = ((moment + up * lever, held) for moment, lever, held in moments)
            yield "overturning", face, lifting, *max(pairs, key=_severity)
            if friction is not None:
                slide = push * cosine + weight * sine
                yield "sliding", face, lifting, slide, friction * (weight * cosine - up)


def _severity(pair: tuple[float, float]) -> tuple[float, float]:
    """Order of pairs of destabilising and resisting effect: utilisation, then excess."""
    pushing, holding = pair
    if pushing <= 0.0:
        return 0.0, pushing - holding
    return (pushing / holding if holding > 0.0 else math.inf), pushing - holding
