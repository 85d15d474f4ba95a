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


FACES: tuple[Face, ...] = (
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


def silhouette(blocks: Sequence[Block], face: Face) -> tuple[float, float]:
    """Projected area of blocks with one centre in plan, and the height of its centroid.

    Parameters
    ----------
    blocks : sequence of Block
        At least one with a height.
    face : Face
        The side that the wind blows on.

    Returns
    -------
    shadow : tuple of float
        Area [m2], height of the centroid [m].

    Raises
    ------
    ValueError
        No area at all.
    """
    levels = sorted({level for block in blocks for level in (block.bottom, block.top)})
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
        area += breadth * (high - low)
        moment += breadth * (high - low) * (low + high) / 2.0
    if not area > 0.0:
        raise ValueError("blocks without any height have no projected area")
    return area, moment / area
