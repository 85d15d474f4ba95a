"""The list page: how many sites have which verdict, and one row a site, best rank first."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.model import GROUPS
from edgecheck.checks.result import Result
from edgecheck.outputs.number_text import UNKNOWN, count, percent, quantity, readable
from edgecheck.outputs.views.head import Fact
from edgecheck.outputs.words import VERDICT_MEANING, VERDICT_ORDER, group_title, joined

_TITLES = {check.id: check.title for check in CHECKS}
_ASKS = (("asks_mass_kg", "kg"), ("asks_area_m2", "m2"), ("asks_kpa", "kPa"), ("asks_point_kn", "kN"))


@dataclass(frozen=True)
class SiteRow:
    """One site of the table."""

    rank: str
    site_id: str
    name: str
    link: str
    verdict: str
    groups: tuple[str, ...]
    governing: str
    reason: str
    headroom: str
    asks: tuple[str, ...]


@dataclass(frozen=True)
class BadRow:
    """One row of the list that could not be used, with its reasons."""

    line: str
    site_id: str
    name: str
    faults: tuple[str, ...]


@dataclass(frozen=True)
class Listing:
    """Everything on the list page."""

    title: str
    counts: tuple[tuple[str, str, str], ...]
    group_titles: tuple[str, ...]
    not_covered: str
    sites: Sequence[SiteRow]
    bad: Sequence[BadRow]
    facts: tuple[Fact, ...]
    unit_cautions: tuple[str, ...]
    notes: tuple[str, ...]


def listing(
    results: Sequence[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
    title: str,
    run: Mapping[str, Any],
) -> Listing:
    """The list page as text, its rows one at a time; parameters as in `edgecheck.outputs.pages.list_page_parts`."""
    numbers: Counter[str] = Counter()
    seen: set[str] = set()
    order: list[tuple[int, int, int, bool]] = []
    for place, result in enumerate(results):
        numbers[result.verdict] += 1
        seen |= {group for group, verdict in result.groups.items() if verdict != "not covered"}
        rank = ranks.get(result.row, len(results) + 1)
        order.append((rank, result.row, place, result.verdict == "unusable"))
    order.sort()
    covered = tuple(group for group in GROUPS if group in seen)

    def site(place: int) -> SiteRow:
        result = results[place]
        return _site(result, covered, ranks.get(result.row), folders.get(result.row))

    return Listing(
        title=title,
        counts=tuple(
            (verdict, count(numbers[verdict]), VERDICT_MEANING[verdict]) for verdict in VERDICT_ORDER
        ),
        group_titles=tuple(group_title(group) for group in covered),
        not_covered=joined([group_title(group).lower() for group in GROUPS if group not in covered]),
        sites=_Rows([place for _, _, place, bad in order if not bad], site),
        bad=_Rows([place for _, _, place, bad in order if bad], lambda place: _bad(results[place])),
        facts=_facts(run),
        unit_cautions=tuple(str(text) for text in run.get("unit_cautions") or ()),
        notes=tuple(str(text) for text in run.get("notes") or ()),
    )


class _Rows(Sequence[Any]):
    """Rows of a table, each made when its turn comes."""

    def __init__(self, places: Sequence[int], make: Callable[[int], Any]) -> None:
        self._places = places
        self._make = make

    def __len__(self) -> int:
        return len(self._places)

    def __getitem__(self, at: Any) -> Any:
        return self._make(self._places[at])


def _site(result: Result, covered: Sequence[str], rank: int | None, folder: str | None) -> SiteRow:
    """One site as text; the deciding check is named where the reason does not begin with it."""
    title = _TITLES.get(result.governing_check, result.governing_check)
    return SiteRow(
        rank="" if rank is None else str(rank),
        site_id=result.site_id,
        name=result.name,
        link="" if folder is None else f"sites/{quote(folder)}/worst-hour.html",
        verdict=result.verdict,
        groups=tuple(result.groups.get(group, UNKNOWN) for group in covered),
        governing="" if result.reason.startswith(title) else title,
        reason=readable(result.reason),
        headroom=percent(result.figures.get("headroom_share")),
        asks=tuple(quantity(result.figures.get(name, result.asks.get(name)), unit) for name, unit in _ASKS),
    )


def _bad(result: Result) -> BadRow:
    """One unusable row."""
    reasons = result.faults or ((result.reason,) if result.reason else (UNKNOWN,))
    return BadRow(str(result.row), result.site_id, result.name, reasons)


def _facts(run: Mapping[str, Any]) -> tuple[Fact, ...]:
    """What was run on what: program, files, criteria."""
    facts = []
    if run.get("version"):
        facts.append(Fact("Program", f"edgecheck {run['version']}"))
    for entry in run.get("inputs") or ():
        digest = str(entry.get("sha256") or "")
        facts.append(
            Fact(
                str(entry.get("role", "file")).capitalize(),
                str(entry.get("file", "")),
                f"SHA-256 {digest[:16]}…" if digest else "",
            )
        )
    criteria = run.get("criteria") or {}
    if criteria.get("name"):
        facts.append(Fact("Criteria", str(criteria["name"])))
    return tuple(facts)
