"""Anchors of a unit: what each has to hold, and whether what is stated is enough.

In: how the unit stands, design loads on it, where the anchors are. Out: tension and shear of one anchor with
the case they belong to. [N, m]

The unit is rigid and turns about the edge of its base on the lee side, where the roof pushes back; anchors pull in
proportion to their distance from that edge: T_i = M a_i/sum(a^2), M the moment about the edge. Where the
uplift exceeds the weight and no edge is pressed, the anchors alone are in equilibrium as equal springs. Every
anchor takes an equal share of the shear; friction takes none.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from edgecheck.base.constants import GRAVITY
from edgecheck.base.kept import kept
from edgecheck.inputs.combinations import Combination, Level
from edgecheck.inputs.sites import Site
from edgecheck.roof.footing import elastic_reactions
from edgecheck.roof.reserve import KILO
from edgecheck.roof.seismic_action import SiteSeismic
from edgecheck.roof.silhouette import FACES
from edgecheck.roof.stability import Wind
from edgecheck.roof.stand import Edge, Point, Stand

AnchorState = Literal["enough", "open", "refused", "exceeded", "unknown", "incomplete"]
_CAPACITY_KEYS = ("anchor_design_tension_kn", "anchor_design_shear_kn")


@dataclass(frozen=True)
class Pull:
    """One design load on an anchored unit.

    Parameters
    ----------
    text : str
        The case in words.
    stand : Stand
        The unit.
    push, height : float
        Horizontal force [N] and its height above the base [m].
    direction : tuple of float, optional
        The way it pushes; None: any.
    up : float
        Upward force at the middle of the body. [N]
    weight : float
        Downward force at the centre of gravity. [N]
    """

    text: str
    stand: Stand
    push: float
    height: float
    direction: Point | None
    up: float
    weight: float


@dataclass(frozen=True)
class AnchorForce:
    """What one anchor has to hold in one case, and what the lee edge presses on the roof. [N]"""

    text: str
    tension: float
    shear: float
    compression: float


@dataclass(frozen=True)
class Anchoring:
    """Anchors of a unit.

    Parameters
    ----------
    places : tuple of (float, float)
        Plan positions: at the feet. [m]
    per_place : int
        Anchors at each.
    count : int
        All of them.
    """

    places: tuple[Point, ...]
    per_place: int
    count: int


@dataclass(frozen=True)
class StatedFixing:
    """What a site says about fixing.

    Parameters
    ----------
    kind : str, optional
        "loose", "ballast", "anchors"; None where the cell is empty.
    ballast : float
        Stated ballast that counts; 0 where the unit is said to stand loose or on anchors. [kg]
    anchors : int, optional
        Number of anchors.
    tension, shear : float, optional
        Resistance of one. [N]
    level : {"design", "asd"}, optional
        Of those resistances.
    penetrations : str, optional
        "yes", "no"; None where unknown.
    """

    kind: str | None
    ballast: float
    anchors: int | None
    tension: float | None
    shear: float | None
    level: Level | None
    penetrations: str | None

    @property
    def capacity_stated(self) -> bool:
        """Whether a resistance of the anchors is given."""
        return self.tension is not None or self.shear is not None

    def missing(self, level_allowed: Sequence[Level]) -> tuple[str, ...]:
        """Cells without which stated resistances cannot be used under the standard's levels."""
        cells = {
            "anchors": self.anchors,
            "anchor_design_tension_kn": self.tension,
            "anchor_design_shear_kn": self.shear,
            "anchor_level": self.level if self.level in level_allowed else None,
        }
        return tuple(key for key, value in cells.items() if value is None)


def stated_fixing(site: Site) -> StatedFixing:
    """Read the fixing of a site."""
    kind = site.text("fixing")
    ballast = site.number("ballast_kg") if kind in (None, "ballast") else None
    count = site.number("anchors")
    tension, shear = (site.number(key) for key in _CAPACITY_KEYS)
    level = site.text("anchor_level")
    return StatedFixing(
        kind=kind,
        ballast=ballast or 0.0,
        anchors=None if count is None else int(count),
        tension=None if tension is None else tension * KILO,
        shear=None if shear is None else shear * KILO,
        level="asd" if level == "asd" else "design" if level == "design" else None,
        penetrations=site.text("penetrations_allowed"),
    )


@lru_cache(maxsize=64)
def anchoring(feet: tuple[tuple[float, float], ...], count: int | None) -> Anchoring | None:
    """Anchors at the feet, equally many at each.

    Parameters
    ----------
    feet : tuple of (float, float)
        Of the unit. [m]
    count : int, optional
        Number of anchors; one at each foot where unknown (engineering default).

    Returns
    -------
    anchors : Anchoring or None
        None where there are fewer anchors than feet.
    """
    places = tuple((float(foot[0]), float(foot[1])) for foot in feet)
    number = len(places) if count is None else count
    if number < len(places):
        return None
    return Anchoring(places, number // len(places), number)


def wind_pulls(stand: Stand, wind: Wind, combinations: Sequence[Combination]) -> tuple[Pull, ...]:
    """Design loads of the wind on an anchored unit, every face with and without uplift."""
    found = []
    for combination in combinations:
        weight = combination.permanent * stand.total * GRAVITY
        lift = combination.wind * wind.uplift(stand.lid)
        for face in FACES:
            area, height = stand.shadow(face)
            push = combination.wind * wind.force(face, area)
            for up, word in ((0.0, "without uplift"), (lift, "with uplift")):
                text = f"wind on the {face.name}, {word}, {combination.text}"
                found.append(Pull(text, stand, push, height, face.direction, up, weight))
    return tuple(found)


def seismic_pulls(
    stands: Sequence[Stand], action: SiteSeismic, combinations: Sequence[Combination]
) -> tuple[Pull, ...]:
    """Design loads of the seismic action, any horizontal direction, in every mass state handed over."""
    if action.horizontal is None:
        return ()
    found = []
    for combination in combinations:
        for stand in stands:
            weight = stand.total * GRAVITY
            push = combination.horizontal * action.horizontal * weight
            down = (combination.permanent - combination.vertical * action.vertical) * weight
            text = f"{stand.state}, {combination.text}"
            found.append(Pull(text, stand, push, stand.centre[2], None, 0.0, down))
    return tuple(found)


def anchor_force(pull: Pull, anchors: Anchoring) -> AnchorForce:
    """What one anchor has to hold under a load, at the edge that asks most of it.

    Parameters
    ----------
    pull : Pull
        Design load.
    anchors : Anchoring
        Where they are.

    Returns
    -------
    force : AnchorForce
        Tension is infinite where no anchor has a lever about the edge. [N]
    """
    weight, up, tilt, direction = pull.weight, pull.up, pull.push * pull.height, pull.direction
    worst = 0.0, weight - up
    for edge, weight_lever, lift_lever in pull.stand.levers:
        toward = 1.0
        if direction is not None:
            toward = direction[0] * edge.normal[0] + direction[1] * edge.normal[1]
            toward = toward if toward > 0.0 else 0.0
        moment = tilt * toward + up * lift_lever - weight * weight_lever
        if moment > 0.0:
            worst = max(worst, _about(pull, anchors, edge, toward, moment))
    return AnchorForce(pull.text, worst[0], pull.push / anchors.count, worst[1])


def utilisation(force: AnchorForce, tension: float, shear: float, interaction: float) -> float:
    """Greatest of T/T_R, V/V_R and (T/T_R + V/V_R)/interaction.

    Parameters
    ----------
    force : AnchorForce
        What one anchor has to hold.
    tension, shear : float
        What it can. [N]
    interaction : float
        Most that both shares may add up to (1.2: ACI 318-19 17.8.3, EN 1992-4 Table 7.3, from memory).

    Returns
    -------
    utilisation : float
    """
    pulled, pushed = _share(force.tension, tension), _share(force.shear, shear)
    return max(pulled, pushed, (pulled + pushed) / interaction)


def _share(force: float, resistance: float) -> float:
    if force <= 0.0:
        return 0.0
    return force / resistance if resistance > 0.0 else math.inf


def _about(pull: Pull, anchors: Anchoring, edge: Edge, toward: float, moment: float) -> tuple[float, float]:
    """Tension of the outermost anchor and pressure along the edge where a moment [N m] tips about it. [N]"""
    together, squares, longest = _levers(edge, anchors.places)
    if squares <= 0.0:
        return math.inf, math.inf
    turning = moment / squares
    pressed = pull.weight + turning * together - pull.up
    if pressed >= 0.0:
        return turning * longest / anchors.per_place, pressed
    hanging = _hanging(pull, anchors, toward, edge.normal)
    return (turning * longest / anchors.per_place if hanging is None else hanging), 0.0


@kept
def _levers(edge: Edge, places: tuple[Point, ...]) -> tuple[float, float, float]:
    """Sum of the anchors' distances inside an edge [m], of their squares [m2], and the longest [m]."""
    levers = [max(edge.lever(place), 0.0) for place in places]
    return sum(levers), sum(lever**2 for lever in levers), max(levers)


def _hanging(pull: Pull, anchors: Anchoring, toward: float, normal: Point) -> float | None:
    """Tension of the most strained anchor where nothing presses on the roof; None where something must. [N]"""
    stand = pull.stand
    net = pull.up - pull.weight
    weight_at = [
        (stand.mass * stand.centre[axis] + stand.ballast * stand.ballast_centre[axis]) / stand.total
        for axis in (0, 1)
    ]
    tilt = pull.push * pull.height * toward
    at = [
        (pull.up * stand.middle[axis] - pull.weight * weight_at[axis] - tilt * normal[axis]) / net
        for axis in (0, 1)
    ]
    forces = elastic_reactions(anchors.places, net, at)
    return None if forces is None else float(forces.max()) / anchors.per_place
