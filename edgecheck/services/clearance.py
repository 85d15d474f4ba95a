"""What free area leaves of the distances that the maker asks for.

In: plan of the box, free area, distances asked. Out: the greatest distances that can be kept. [m]

Service lies in front. The unit file does not say on which side the intake is, so that its distance is kept behind
and at both ends; nor where the discharge is, so that its distance is looked for on every side (engineering
defaults). What lies beyond the free area is taken as a wall.
"""

from dataclasses import dataclass
from functools import cached_property

KINDS = ("intake", "discharge", "service")
MOST_WALLS = 3  # sides that may be closed in, common practice of makers, no source for one value
WALLS_SEEN = 3.0  # m, how far the list's walls are counted


@dataclass(frozen=True)
class Distances:
    """One distance a kind. [m]"""

    intake: float
    discharge: float
    service: float

    def of(self, kind: str) -> float:
        """Distance of a kind of `KINDS`. [m]"""
        return float(getattr(self, kind))


@dataclass(frozen=True)
class Left:
    """What free area leaves in the better orientation.

    Parameters
    ----------
    asked, left : Distances
        What the maker asks for, and the most that one of them can get while the other sides keep theirs; negative
        where not even those find room.
    turned : bool
        Whether the front lies along the width of the free area.
    """

    asked: Distances
    left: Distances
    turned: bool

    @cached_property
    def _spares(self) -> dict[str, float]:
        """Distance left beyond the one asked of every kind, negative where it is short. [m]"""
        return {kind: self.left.of(kind) - self.asked.of(kind) for kind in KINDS}

    def spare(self, kind: str) -> float:
        """Distance left beyond the one asked, negative where it is short. [m]"""
        return self._spares[kind]

    @cached_property
    def tightest(self) -> str:
        """Kind with the least to spare; of equal ones the first of `KINDS`."""
        return min(KINDS, key=self._spares.__getitem__)

    @property
    def short(self) -> tuple[str, ...]:
        """Kinds that are short."""
        return tuple(kind for kind, spare in self._spares.items() if spare < 0.0)


def left_free(body: tuple[float, float], free: tuple[float, float], asked: Distances) -> Left:
    """Distances that a free area leaves round the box, in the better orientation.

    Parameters
    ----------
    body : tuple of float
        Length along the front, depth. [m]
    free : tuple of float
        Length and width of the free area. [m]
    asked : Distances
        What the maker asks for.

    Returns
    -------
    left : Left
        The orientation with the most to spare where it is tightest.
    """
    ways = [
        _oriented(body, free, asked, turned=False),
        _oriented(body, (free[1], free[0]), asked, turned=True),
    ]
    return max(ways, key=lambda way: way.spare(way.tightest))


def _oriented(
    body: tuple[float, float], free: tuple[float, float], asked: Distances, *, turned: bool
) -> Left:
    """One orientation: `free` along the front and back."""
    along, back = free[0] - body[0], free[1] - body[1]
    behind = back - asked.service  # beyond the service distance in front
    front = back - asked.intake
    end = along - asked.intake
    left = Distances(intake=min(along / 2.0, behind), discharge=min(behind, front, end), service=front)
    return Left(asked, left, turned)
