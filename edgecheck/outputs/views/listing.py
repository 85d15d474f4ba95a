"""The list page: counts, the sites as rows, what stands against them, and how much load they carry.

Results pass by once; of a site only what its row shows is kept, and only of the best sites.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from edgecheck.checks.model import GROUPS
from edgecheck.checks.result import Result
from edgecheck.inputs.sites import SiteList
from edgecheck.outputs.figures.canvas import Drawing
from edgecheck.outputs.figures.site_loads import site_loads
from edgecheck.outputs.listed_row import ListedRow, listed_rows
from edgecheck.outputs.number_text import count
from edgecheck.outputs.views.head import Fact
from edgecheck.outputs.views.portfolio_loads import LoadRow, Loads
from edgecheck.outputs.views.portfolio_reasons import ReasonRow, Reasons
from edgecheck.outputs.views.portfolio_rows import Portfolio, SiteRows
from edgecheck.outputs.words import VERDICT_MEANING, VERDICT_ORDER, group_title, joined

MOST_SITES = 5000
WITHOUT_A_PROGRAM = 50


@dataclass(frozen=True)
class StaticRow:
    """A site as it stands in the page before its program runs, or where none may."""

    site_id: str
    name: str
    folder: str
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Listing:
    """Everything on the list page; numbers of sites are text."""

    title: str
    counts: tuple[tuple[str, str, str], ...]
    sites: str
    on_page: str
    left_out: str
    portfolio: Portfolio
    columns: tuple[tuple[str, str], ...]
    rows: tuple[StaticRow, ...]
    mapped: int
    not_covered: str
    group_filters: tuple[tuple[str, str, tuple[str, ...]], ...]
    reasons: tuple[ReasonRow, ...]
    loads: tuple[LoadRow, ...]
    loads_unknown: str
    load_drawing: Drawing | None
    undecided: str
    unusable: str
    open_checks: str
    sites_with_open_checks: str
    own_left_out: str
    facts: tuple[Fact, ...]
    unit_cautions: tuple[str, ...]
    notes: tuple[str, ...]


def listing(
    results: Iterable[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
    title: str,
    run: Mapping[str, Any],
    site_list: SiteList | None = None,
) -> Listing:
    """The list page as text; parameters as in `edgecheck.outputs.pages.list_page`."""
    need = (run.get("criteria") or {}).get("need") or {}
    overview = Overview(need, folders, site_list)
    for row in listed_rows(results, ranks, folders):
        overview.add(row)
    return overview.finished(title, run)


class Overview:
    """The list page in the making.

    Parameters
    ----------
    need : mapping
        required, confirm or off by check id.
    reports : mapping
        Site folder by the row's line number, where a report was written.
    site_list : SiteList, optional
        The list as it was read.
    """

    def __init__(
        self, need: Mapping[str, str], reports: Mapping[int, str], site_list: SiteList | None = None
    ) -> None:
        self._reports = reports
        self._numbers: Counter[str] = Counter()
        self._groups: dict[str, set[str]] = {group: set() for group in GROUPS}
        self._reasons, self._loads, self._rows = Reasons(need), Loads(), SiteRows(site_list)

    def add(self, row: ListedRow) -> None:
        """Take in the next site, in the order of the list."""
        result = row.result
        self._numbers[result.verdict] += 1
        for group, verdict in result.groups.items():
            self._groups[group].add(verdict)
        against = self._reasons.add(result)
        self._loads.add(result.verdict, result.figures.get("max_it_load_kw"), _checked_load(result))
        if row.rank is None or row.rank <= MOST_SITES:
            self._rows.add(row, self._reports.get(result.row), against)

    def finished(self, title: str, run: Mapping[str, Any]) -> Listing:
        """The page, under the name of the list, with what run.json says of the run."""
        numbers, groups, reasons, loads = self._numbers, self._groups, self._reasons, self._loads
        portfolio = self._rows.finished(MOST_SITES)
        total = numbers.total()
        covered = [group for group in GROUPS if groups[group] - {"not covered"}]
        shown = [place for place, column in enumerate(portfolio.columns) if column.shown]
        every = loads.largest("go", "conditional")
        return Listing(
            title=title,
            counts=tuple(
                (verdict, count(numbers[verdict]), VERDICT_MEANING[verdict]) for verdict in VERDICT_ORDER
            ),
            sites=count(total),
            on_page=count(len(portfolio.rows)),
            left_out=count(total - len(portfolio.rows)) if total > len(portfolio.rows) else "",
            portfolio=portfolio,
            columns=tuple((portfolio.columns[place].title, portfolio.columns[place].kind) for place in shown),
            rows=tuple(
                StaticRow(row[0], row[1], row[2], tuple(portfolio.words(row, place) for place in shown))
                for row in portfolio.rows[:WITHOUT_A_PROGRAM]
            ),
            mapped=sum(row[3] is not None for row in portfolio.rows),
            not_covered=joined([group_title(group).lower() for group in GROUPS if group not in covered])
            if covered
            else "",
            group_filters=tuple(
                (group, group_title(group), tuple(word for word in _WORDS if word in groups[group]))
                for group in covered
            ),
            reasons=reasons.rows(),
            loads=loads.rows(),
            loads_unknown=count(loads.unknown) if loads.unknown else "",
            load_drawing=site_loads(loads.largest("go"), every) if every else None,
            undecided=count(numbers["undecided"]),
            unusable=count(numbers["unusable"]),
            open_checks=count(reasons.open_checks),
            sites_with_open_checks=count(reasons.sites_with_open_checks),
            own_left_out=joined(list(portfolio.left_out)),
            facts=_facts(run),
            unit_cautions=tuple(str(text) for text in run.get("unit_cautions") or ()),
            notes=tuple(str(text) for text in run.get("notes") or ()),
        )


_WORDS = (*VERDICT_ORDER, "not covered", "off", "not applicable")


def _checked_load(result: Result) -> Any:
    """IT load at which the site was checked, None where it is not on record. [kW]"""
    return next((entry.get("value") for entry in result.inputs if entry["key"] == "it_load_kw"), None)


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
