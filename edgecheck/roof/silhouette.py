"""The shadow that a unit with its base and ballast throws downwind: area and height of its centre.

In: upright blocks that share one centre in plan. Out: the area of their common projection on a plane normal
to the wind, and the height of its centroid. [m] Where blocks stand one behind the other the wider one counts
once: codes ask for the projected area, not for the sum of all faces.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True)
class Face:
    """A side of the unit that the wind blows on.

    Parameters
    ----------
    name : str
        Which side.
    direction : tuple of float
        The way the air goes, along the front and back; unit length.
    """

    name: str
    direction: tuple[float, float]

    def across(self, along: float, back: float) -> float:
        """Breadth of a rectangle seen by the wind, from its sizes along the front and back. [m]"""
        return along if self.direction[0] == 0.0 else back

    def downwind(self, along: float, back: float) -> float:
        """Size of a rectangle along the wind, from its sizes along the front and back. [m]"""
        return back if self.direction[0] == 0.0 else along


FACES: tuple[Face, Face, Face, Face] = (
    Face("front", (0.0, 1.0)),
    Face("back", (0.0, -1.0)),
    Face("left end", (1.0, 0.0)),
    Face("right end", (-1.0, 0.0)),
)


@dataclass(frozen=True)
class Block:
    """An upright block.

    Parameters
    ----------
    along, back : float
        Sizes in plan. [m]
    bottom, top : float
        Above the plane that the unit stands on. [m]
    """

    along: float
    back: float
    bottom: float
    top: float


@dataclass(frozen=True)
class Silhouette:
    """What the wind sees of blocks with one centre in plan.

    Parameters
    ----------
    layers : tuple of (float, float, float)
        Bottom, top and breadth of every layer without a step. [m]
    area : float
        Of all of them. [m2]
    moment : float
        Area times height of its centroid. [m3]
    """

    layers: tuple[tuple[float, float, float], ...]
    area: float
    moment: float

    @property
    def shadow(self) -> tuple[float, float]:
        """Area [m2], height of its centroid [m]."""
        return self.area, self.moment / self.area

    def shadow_with(self, breadth: float, bottom: float, top: float) -> tuple[float, float]:
        """Area [m2] and height of its centroid [m] with one more block on its centre; what both cover counts once."""
        area = self.area + breadth * (top - bottom)
        moment = self.moment + breadth * (top - bottom) * (bottom + top) / 2.0
        for low, high, own in self.layers:
            low, high = low if low > bottom else bottom, high if high < top else top
            if high > low:
                common = (own if own < breadth else breadth) * (high - low)
                area -= common
                moment -= common * (low + high) / 2.0
        return area, moment / area


def silhouette(blocks: Sequence[Block], face: Face) -> Silhouette:
    """Projection of blocks with one centre in plan.

    Parameters
    ----------
    blocks : sequence of Block
        At least one with a height.
    face : Face
        The side that the wind blows on.

    Returns
    -------
    silhouette : Silhouette

    Raises
    ------
    ValueError
        No area at all.
    """
    levels = sorted({level for block in blocks for level in (block.bottom, block.top)})
    layers = []
    area = moment = 0.0
    for low, high in pairwise(levels):
        breadth = max(
            (
                face.across(block.along, block.back)
                for block in blocks
                if block.bottom <= low and block.top >= high
            ),
            default=0.0,
        )
        layers.append((low, high, breadth))
        area += breadth * (high - low)
        moment += breadth * (high - low) * (low + high) / 2.0
    if not area > 0.0:
        raise ValueError("blocks without any height have no projected area")
    return Silhouette(tuple(layers), area, moment)
