"""Which checks stop how many sites, which leave how many undecided, and at how many sites each stands alone.

A site is stopped by its failing checks that are in force, and left undecided by its required checks that are not
assessed. A check stands alone at a site where it is the only one of its kind there: were it met or answered,
nothing else of that kind would stand against the site.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.result import Result
from edgecheck.outputs.words import group_title

PLACES = {check.id: place for place, check in enumerate(CHECKS)}


@dataclass(frozen=True)
class ReasonRow:
    """One check that stands against sites: numbers of sites.

    Parameters
    ----------
    place : int
        Place of the check among the declarations.
    title, group : str
        In words.
    stops, stops_alone, leaves_open, leaves_open_alone, holds : int
        No-go sites that fail it, only it; undecided sites that wait for it, only for it; conditional sites that
        it decides.
    """

    place: int
    title: str
    group: str
    stops: int
    stops_alone: int
    leaves_open: int
    leaves_open_alone: int
    holds: int


class Reasons:
    """Counts what stands against sites, one site after the other.

    Parameters
    ----------
    need : mapping
        required, confirm or off by check id.
    """

    def __init__(self, need: Mapping[str, str]) -> None:
        self._need = need
        self._all: Counter[tuple[str, int]] = Counter()
        self._alone: Counter[tuple[str, int]] = Counter()
        self.open_checks = 0
        self.sites_with_open_checks = 0

    def add(self, result: Result) -> tuple[int, ...]:
        """Count a site; places of the checks that stand against it."""
        in_force = [check for check in result.checks if self._need.get(check.id) != "off"]
        waiting = [check.id for check in in_force if check.status == "not assessed"]
        self.open_checks += len(waiting)
        self.sites_with_open_checks += bool(waiting)
        found: list[str] = []
        if result.verdict == "no-go":
            found = [check.id for check in in_force if check.status == "fail"]
        elif result.verdict == "undecided":
            found = [check_id for check_id in waiting if self._need.get(check_id) == "required"]
        elif result.verdict == "conditional":
            found = [result.governing_check]
        against = tuple(PLACES[check_id] for check_id in found if check_id in PLACES)
        self._all.update((result.verdict, place) for place in against)
        if len(against) == 1:
            self._alone[result.verdict, against[0]] += 1
        return against

    def rows(self) -> tuple[ReasonRow, ...]:
        """Checks that stand against any site: what stops most first, then what leaves most undecided."""
        rows = [
            ReasonRow(
                place,
                check.title,
                group_title(check.group),
                self._all["no-go", place],
                self._alone["no-go", place],
                self._all["undecided", place],
                self._alone["undecided", place],
                self._all["conditional", place],
            )
            for place, check in enumerate(CHECKS)
        ]
        seen = [row for row in rows if row.stops or row.leaves_open or row.holds]
        return tuple(sorted(seen, key=lambda row: (-row.stops, -row.leaves_open, -row.holds, row.place)))
