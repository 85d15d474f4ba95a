"""Area on which each foot stands, through a plate, a slab or a board.

In: the plan of the feet, their plates, what lies under them. Out: one area a foot. [m, m2]

A load spreads at 45 degrees through a slab, so a plate of side p on a slab of thickness t presses on p + 2 t each
way; a board bends and spreads nothing (engineering defaults). What would lie beyond the slab's plan is cut, and
where the areas of two feet overlap, the common area is counted once and shared in proportion.
"""

from collections.abc import Sequence
from itertools import pairwise

Rectangle = tuple[float, float, float, float]  # left, front, right, back


def contact_areas(
    feet: Sequence[tuple[float, float]],
    plate: tuple[float, float],
    thickness: float = 0.0,
    slab: Rectangle | None = None,
) -> tuple[float, ...]:
    """Area under every foot.

    Parameters
    ----------
    feet : sequence of tuple of float
        Plan positions. [m]
    plate : tuple of float
        Sides of the plate under a foot. [m]
    thickness : float
        Of the slab; 0 for a board or for nothing. [m]
    slab : tuple of float, optional
        Left, front, right and back edge of slab or board; None where there is none. A foot beside it stands on
        its own plate. [m]

    Returns
    -------
    areas : tuple of float
        Positive. [m2]
    """
    along, back = plate[0] / 2.0 + thickness, plate[1] / 2.0 + thickness
    pressed: list[Rectangle] = []
    for x, y in feet:
        area = (x - along, y - back, x + along, y + back)
        inside = area if slab is None else _common(area, slab)
        if _size(inside) <= 0.0:
            inside = (x - plate[0] / 2.0, y - plate[1] / 2.0, x + plate[0] / 2.0, y + plate[1] / 2.0)
        pressed.append(inside)
    sizes = [_size(one) for one in pressed]
    share = union_area(pressed) / sum(sizes)
    return tuple(size * share for size in sizes)


def union_area(rectangles: Sequence[Rectangle]) -> float:
    """Area that rectangles cover together.

    Parameters
    ----------
    rectangles : sequence of tuple of float
        Left, front, right, back. [m]

    Returns
    -------
    area : float
        [m2]
    """
    lines = sorted({edge for one in rectangles for edge in (one[0], one[2])})
    covered = 0.0
    for left, right in pairwise(lines):
        spans = sorted((one[1], one[3]) for one in rectangles if one[0] <= left and right <= one[2])
        length, reached = 0.0, float("-inf")
        for front, back in spans:
            length += max(0.0, back - max(front, reached))
            reached = max(reached, back)
        covered += (right - left) * length
    return covered


def _common(one: Rectangle, other: Rectangle) -> Rectangle:
    return max(one[0], other[0]), max(one[1], other[1]), min(one[2], other[2]), min(one[3], other[3])


def _size(one: Rectangle) -> float:
    return max(0.0, one[2] - one[0]) * max(0.0, one[3] - one[1])
