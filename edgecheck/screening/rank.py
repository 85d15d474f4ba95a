"""Rank of every row: 1..n without ties.

Class first (go, conditional, undecided, no-go, unusable); within a class the number of what stands against the
site (conditions that not every site of the run has; missing required facts; failing checks); then the headroom
share, the larger first; then the order of the list. A type qualification is no place to choose: such rows stand after
all places, before rows that cannot be used.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from edgecheck.checks.result import Result

_CLASS = ("go", "conditional", "undecided", "no-go", "unusable")


@dataclass(frozen=True, slots=True)
class _Standing:
    """What places a row.

    Whether it is a place (0), a type (1) or unusable (2), its class, what stands against it, its headroom share
    negated.
    """

    row: int
    apart: int
    kind: int
    against: int
    short: float


class Standings:
    """Standing of every row of a run as it is decided; a few numbers a row stay in memory.

    Parameters
    ----------
    need : mapping
        required, confirm or off by check id.
    """

    def __init__(self, need: Mapping[str, str]) -> None:
        self.verdicts: Counter[str] = Counter()
        self._need = need
        self._rows: list[_Standing] = []
        self._common: set[str] | None = None

    def add(self, result: Result) -> None:
        """Take in a row, in any order."""
        self.verdicts[result.verdict] += 1
        apart = 2 if result.verdict == "unusable" else int(result.is_type)
        if apart == 0:
            conditions = set(result.conditions)
            self._common = conditions if self._common is None else self._common & conditions
        share = result.figures.get("headroom_share")
        short = -share if isinstance(share, float) else float("inf")
        kind = _CLASS.index(result.verdict)
        self._rows.append(_Standing(result.row, apart, kind, _against(result, self._need), short))

    def ranks(self) -> dict[int, int]:
        """Line of the row -> rank, 1 the best."""
        # What every site of the run is asked for tells none from another.
        shared = len(self._common or ())

        def key(row: _Standing) -> tuple[int, int, int, float, int]:
            alike = shared if _CLASS[row.kind] == "conditional" and row.apart == 0 else 0
            return row.apart, row.kind, row.against - alike, row.short, row.row

        return {row.row: rank for rank, row in enumerate(sorted(self._rows, key=key), start=1)}


def ranks(results: Iterable[Result], need: Mapping[str, str]) -> dict[int, int]:
    """Rank by the row's line number.

    Parameters
    ----------
    results : iterable of Result
        One a row, in any order.
    need : mapping
        required, confirm or off by check id.

    Returns
    -------
    dict
        Line of the row -> rank, 1 the best.
    """
    standings = Standings(need)
    for result in results:
        standings.add(result)
    return standings.ranks()


def _against(result: Result, need: Mapping[str, str]) -> int:
    """What stands against a site within its class, conditions that all sites share included."""
    if result.verdict == "conditional":
        return len(set(result.conditions))
    if result.verdict == "undecided":
        return len(
            {
                key
                for check in result.checks
                if check.status == "not assessed" and need.get(check.id) == "required"
                for key in (check.missing or (check.id,))
            }
        )
    if result.verdict == "no-go":
        return sum(check.status == "fail" for check in result.checks if need.get(check.id) != "off")
    return 0
