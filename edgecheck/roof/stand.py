"""How the unit stands on the roof: weight, centre of gravity, edges it can tip over, and what the wind sees.

In: the unit in one of its mass states, the spreader, ballast. Out: one record that stability and anchors read.
[kg, m]

A unit that is bolted to a rigid spreader frame stands on the frame's edges and weighs with it, as far as the
frame's mass is stated; any other unit stands on its feet, without help from what lies under them. Ballast is
concrete (2300 kg/m3) laid round the body on the free part of a fixed frame, or, where there is none or it
leaves less than 0.2 m on average all round, on a strip of 0.3 m round the body, fixed to the unit either way;
a frame of unknown thickness is 0.10 m high (engineering defaults).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from edgecheck.inputs.unit import Unit
from edgecheck.roof.mass import MassState
from edgecheck.roof.silhouette import FACES, Block, Face, Silhouette, silhouette
from edgecheck.roof.spreader import Spreader

CONCRETE = 2300.0  # kg/m3
STRIP, LEAST_STRIP = 0.3, 0.2  # m
FRAME_HEIGHT = 0.10  # m

Point = tuple[float, float]


@dataclass(frozen=True)
class Edge:
    """A straight edge that the unit can tip over.

    Parameters
    ----------
    start, end : tuple of float
        In plan, counter-clockwise. [m]
    normal : tuple of float
        Outward, unit length.
    """

    start: Point
    end: Point
    normal: Point

    def lever(self, point: Sequence[float]) -> float:
        """Distance of a point from the edge, positive inside. [m]"""
        return (self.start[0] - point[0]) * self.normal[0] + (self.start[1] - point[1]) * self.normal[1]


@dataclass(frozen=True)
class Stand:
    """The unit as it stands.

    Parameters
    ----------
    state : str
        Name of the mass state.
    mass : float
        Unit and what is fixed to it, without ballast. [kg]
    centre : tuple of float
        Its centre of gravity, along the front, back and up. [m]
    tolerance : float
        Of the centre of gravity along either axis. [m]
    edges : tuple of Edge
        Of the base.
    middle : tuple of float
        Middle of the body in plan, where the uplift acts. [m]
    lid : float
        Plan area that the uplift acts on. [m2]
    blocks : tuple of Block
        What the wind sees, without ballast.
    base : str
        What it stands on: "feet" or "frame".
    ring : tuple of float
        Plan of the ballast's outer edge, along the front and back. [m]
    ring_area, ring_bottom : float
        Plan area of the ballast [m2] and the height it begins at [m].
    ballast : float
        [kg]
    ballast_centre : tuple of float
        In plan. [m]
    """

    state: str
    mass: float
    centre: tuple[float, float, float]
    tolerance: float
    edges: tuple[Edge, ...]
    middle: Point
    lid: float
    blocks: tuple[Block, ...]
    base: str
    ring: Point
    ring_area: float
    ring_bottom: float
    ballast: float
    ballast_centre: Point

    @property
    def total(self) -> float:
        """Mass with ballast. [kg]"""
        return self.mass + self.ballast

    @property
    def top(self) -> float:
        """Height of the unit's top above the roof. [m]"""
        return max(block.top for block in self.blocks)

    def with_ballast(self, mass: float) -> "Stand":
        """The same with so much ballast [kg] instead of what it has."""
        return replace(self, ballast=mass)

    @cached_property
    def levers(self) -> tuple[tuple[Edge, float, float], ...]:
        """Every edge with the levers about it of all of the weight, at its worst, and of the uplift. [m]"""
        return tuple((edge, self.holding(edge) / self.total, edge.lever(self.middle)) for edge in self.edges)

    @cached_property
    def tipping(self) -> tuple[tuple[float, float, float, float, float], ...]:
        """Of every edge: size of its normal's back and along parts, levers of uplift and ballast [m], `bare_holding`.

        Of edges that differ in the last only the one that holds least.
        """
        least: dict[tuple[float, float, float, float], float] = {}
        for edge in self.edges:
            along, back = edge.normal
            about = abs(back), abs(along), edge.lever(self.middle), edge.lever(self.ballast_centre)
            least[about] = min(self.bare_holding(edge), least.get(about, math.inf))
        return tuple((*about, holds) for about, holds in least.items())

    @cached_property
    def _silhouettes(self) -> tuple[Silhouette, Silhouette]:
        """Without ballast, for wind along the back and along the front."""
        return silhouette(self.blocks, FACES[0]), silhouette(self.blocks, FACES[2])

    @cached_property
    def _shadows(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """With its ballast, for wind along the back and along the front."""
        return self.shadows_with(self.ballast)

    def shadow(self, face: Face) -> tuple[float, float]:
        """Projected area [m2] behind a face and the height of its centroid [m]."""
        return self._shadows[0 if face.direction[0] == 0.0 else 1]

    def shadows_with(self, ballast: float) -> tuple[tuple[float, float], tuple[float, float]]:
        """Shadows as of `shadow` behind a long side and an end, with another ballast [kg] instead of its own."""
        side, end = self._silhouettes
        if not (ballast > 0.0 and self.ring_area > 0.0):
            return side.shadow, end.shadow
        along, back = self.ring
        bottom = self.ring_bottom
        top = bottom + ballast / (CONCRETE * self.ring_area)
        return side.shadow_with(along, bottom, top), end.shadow_with(back, bottom, top)

    def bare_holding(self, edge: Edge) -> float:
        """Mass times lever of the unit alone about an edge, its centre at its worst. [kg m]"""
        play = self.tolerance * (abs(edge.normal[0]) + abs(edge.normal[1]))
        return self.mass * (edge.lever(self.centre) - play)

    def holding(self, edge: Edge) -> float:
        """Mass times lever of unit and ballast about an edge, the unit's centre at its worst. [kg m]"""
        return self.bare_holding(edge) + self.ballast * edge.lever(self.ballast_centre)


def stand_of(
    unit: Unit, state: MassState, spreader: Spreader, *, fixed: bool, frame_height: float | None = None
) -> Stand:
    """How a unit stands.

    Parameters
    ----------
    unit : Unit
        Its tables [body] and [mass] are read.
    state : MassState
        Which state it is in.
    spreader : Spreader
        What lies under it.
    fixed : bool
        Whether the unit is bolted to it.
    frame_height : float, optional
        Thickness of the spreader; `FRAME_HEIGHT` where unknown. [m]

    Returns
    -------
    stand : Stand
        Without ballast.

    Raises
    ------
    ValueError
        All feet in one line.
    """
    body = unit.body
    middle = (body.length_m / 2.0, body.depth_m / 2.0)
    plan = spreader.rigid_plan if fixed else None
    mass, centre = state.mass, state.centre_of_gravity
    raised = 0.0
    blocks: list[Block] = []
    corners: list[Point] = [(float(x), float(y)) for x, y in unit.mass.feet_m]
    if plan is not None:
        raised = FRAME_HEIGHT if frame_height is None else frame_height
        blocks.append(Block(plan[0], plan[1], 0.0, raised))
        corners = [
            (middle[0] + sx * plan[0] / 2.0, middle[1] + sy * plan[1] / 2.0)
            for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        own = 0.0 if "spreader_kg" in spreader.missing else spreader.mass
        total = mass + own
        centre = (
            (mass * centre[0] + own * middle[0]) / total,
            (mass * centre[1] + own * middle[1]) / total,
            (mass * (centre[2] + raised) + own * raised / 2.0) / total,
        )
        mass = total
    bottom = raised + body.foot_height_m
    blocks.append(Block(body.length_m, body.depth_m, bottom, bottom + body.height_m))
    ring, ring_area = _ring((body.length_m, body.depth_m), plan)
    return Stand(
        state=state.name,
        mass=mass,
        centre=centre,
        tolerance=state.tolerance,
        edges=edges_of(tuple(corners)),
        middle=middle,
        lid=body.length_m * body.depth_m,
        blocks=tuple(blocks),
        base="feet" if plan is None else "frame",
        ring=ring,
        ring_area=ring_area,
        ring_bottom=raised,
        ballast=0.0,
        ballast_centre=middle,
    )


@lru_cache(maxsize=64)
def edges_of(points: tuple[Point, ...]) -> tuple[Edge, ...]:
    """Edges of the convex outline of points in plan, counter-clockwise.

    Parameters
    ----------
    points : tuple of (float, float)
        At least three, not in one line. [m]

    Returns
    -------
    edges : tuple of Edge

    Raises
    ------
    ValueError
        All points in one line.
    """
    ordered = sorted(set(points))
    outline = _half(ordered)[:-1] + _half(ordered[::-1])[:-1]
    if len(outline) < 3:
        raise ValueError("all supports lie in one line: the unit does not stand free")
    found = []
    for start, end in zip(outline, [*outline[1:], outline[0]], strict=True):
        along, back = end[0] - start[0], end[1] - start[1]
        size = float((along**2 + back**2) ** 0.5)
        found.append(Edge(start, end, (back / size, -along / size)))
    return tuple(found)


def _half(points: Sequence[Point]) -> list[Point]:
    """Lower half of the outline of sorted points (A. M. Andrew's monotone chain)."""
    chain: list[Point] = []
    for point in points:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0.0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _ring(body: Point, plan: Point | None) -> tuple[Point, float]:
    """Outer edge and area of the strip that the ballast lies on."""
    own = body[0] * body[1]
    if plan is not None:
        strips = (plan[0] - body[0], plan[1] - body[1])
        if min(strips) >= 0.0 and sum(strips) >= 4.0 * LEAST_STRIP:
            return plan, plan[0] * plan[1] - own
    wide = (body[0] + 2.0 * STRIP, body[1] + 2.0 * STRIP)
    return wide, wide[0] * wide[1] - own
