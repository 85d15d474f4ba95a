"""Sheet `about`: what was run on what, the criteria with their reasons, counts, and what to be careful about."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from edgecheck.checks.declarations import CHECKS
from edgecheck.inputs.criteria import TABLES, Criteria
from edgecheck.inputs.sites import SiteList
from edgecheck.outputs.run_facts import SYNTHETIC
from edgecheck.outputs.sheet_book import Book
from edgecheck.outputs.sheet_cells import TITLE, WRAPPED, Look, SheetCells, lines_of, set_up
from edgecheck.outputs.views.grounds import CAUTIONS
from edgecheck.outputs.words import VERDICT_MEANING, VERDICT_ORDER
from edgecheck.screening.plan import Plan

NAME = "about"
_WIDTHS = (34.0, 30.0, 90.0)
_VALUE = Look(wrap=True, side="left")
_MOST_CHANGES = 500
_SYNTHETIC = "The weather of this run is synthetic. It belongs to no real place."

Line = tuple[str, Any, str]
Section = tuple[str, list[Line]]


def write_about_sheet(
    book: Book,
    record: Mapping[str, Any],
    plan: Plan,
    verdicts: Mapping[str, int],
    remarks: Sequence[str] = (),
) -> None:
    """Write the sheet.

    Parameters
    ----------
    book : Book
        Gets the sheet.
    record : mapping
        What run.json says of the run.
    plan : Plan
        For the list's cautions, assumptions, and criteria with origin and reason.
    verdicts : mapping
        Rows by verdict.
    remarks : sequence of str
        What the other sheets leave out.
    """
    cells = book.sheet(NAME)
    set_up(cells.sheet, _WIDTHS, freeze="")
    sections = (
        ("Read this first", [("", "", text) for text in _cautions(record)]),
        ("Run", list(_run(record))),
        ("Counts", list(_counts(record, verdicts))),
        ("Notes", [("", "", text) for text in (*remarks, *_notes(record))]),
        ("Assumed values, each a condition", list(_assumptions(plan))),
        ("Cells that survey answers filled or replaced", list(_changes(plan.site_list))),
        ("Cells to look at, by column", list(_cell_cautions(plan.site_list))),
        ("Defaults that served for empty cells", list(_defaults(record))),
        (f"Criteria: {plan.criteria.name}", list(_limits(plan.criteria))),
        ("How much each check is needed", list(_needs(plan.criteria))),
    )
    row = 1
    for title, lines in sections:
        if not lines:
            continue
        cells.append([cells.cell(title, TITLE), cells.cell("", TITLE), cells.cell("", TITLE)])
        for line in lines:
            row += 1
            _write_line(cells, line, row)
        cells.append([])
        row += 2


def _write_line(cells: SheetCells, line: Line, row: int) -> None:
    """A line of three cells, or of one over the whole width where there is only a text."""
    name, value, text = line
    if name == "" and value == "":
        cells.sheet.merged_cells.add(f"A{row}:C{row}")
        cells.append([cells.cell(text, WRAPPED)], lines_of(text, sum(_WIDTHS)))
        return
    shown = zip(line, _WIDTHS, strict=True)
    looks = (WRAPPED, _VALUE, WRAPPED)
    row_cells = [cells.cell(part, look) for part, look in zip(line, looks, strict=True)]
    cells.append(row_cells, max(lines_of(part, width) for part, width in shown))


def _cautions(record: Mapping[str, Any]) -> list[str]:
    made_up = any(text.startswith(SYNTHETIC) for text in record["notes"])
    return [*([_SYNTHETIC] if made_up else []), *CAUTIONS]


def _run(record: Mapping[str, Any]) -> Iterator[Line]:
    yield "Program", f"edgecheck {record['version']}", ""
    yield "Command", " ".join(record["command"]), ""
    for entry in record["inputs"]:
        yield f"File: {entry['role']}", entry["file"], f"SHA-256 {entry['sha256']}"


def _counts(record: Mapping[str, Any], verdicts: Mapping[str, int]) -> Iterator[Line]:
    yield "Rows of the list", record["counts"]["sites"], ""
    for verdict in VERDICT_ORDER:
        yield verdict, verdicts.get(verdict, 0), VERDICT_MEANING[verdict]
    yield "Usable rows with a caution", record["counts"]["cautioned"], "at least one check is a caution"
    yield "Cells with a caution", record["cautioned_cells"], "possible, but not usual; listed below"


def _notes(record: Mapping[str, Any]) -> Iterator[str]:
    yield from record["notes"]
    for text in record["unit_cautions"]:
        yield f"Caution of the unit, counted in no verdict: {text}"


def _assumptions(plan: Plan) -> Iterator[Line]:
    used = Counter(entry.line for site in plan.site_list.sites for entry in site.assumed.values())
    for entry in plan.assumptions.entries if plan.assumptions else ():
        where = ", ".join(f"{heading} = {text}" for heading, text in entry.where.items())
        only = f"; only where {where}" if where else ""
        yield entry.key, entry.value_text, f"by {entry.by}: {entry.why}{only}; rows: {used[entry.line]}"


def _changes(site_list: SiteList) -> Iterator[Line]:
    for change in site_list.changes[:_MOST_CHANGES]:
        yield (
            change.site_id,
            change.heading or change.key,
            f"{change.old or 'empty'} -> {change.new or 'empty'}",
        )
    more = len(site_list.changes) - _MOST_CHANGES
    if more > 0:
        yield "", "", f"and {more} more"


def _cell_cautions(site_list: SiteList) -> Iterator[Line]:
    """One line a column: how many cells, and the first of them."""
    numbers: Counter[str] = Counter()
    first: dict[str, str] = {}
    for site in site_list.sites:
        for caution in site.cautions:
            numbers[caution.column] += 1
            first.setdefault(caution.column, f"first: {site.site_id} (line {site.row}): {caution.text}")
    for column, text in first.items():
        yield column, numbers[column], text


def _defaults(record: Mapping[str, Any]) -> Iterator[Line]:
    for key, entry in record["defaults"].items():
        reason = f"{entry['reason']}; " if entry["reason"] else ""
        yield key, entry["value"], f"{reason}sites: {entry['sites']}"


def _limits(criteria: Criteria) -> Iterator[Line]:
    for key, value in criteria.values().items():
        table, _, name = key.partition(".")
        meaning = TABLES[table].model_fields[name].description or ""
        yield key, value, _joined(meaning, criteria, key)


def _needs(criteria: Criteria) -> Iterator[Line]:
    titles = {check.id: check.title for check in CHECKS}
    reasons = Counter(criteria.reasons.get(f"need.{check}", "") for check in criteria.need)
    common = reasons.most_common(1)[0][0]
    if common:
        yield "", "", f"why: {common}"
    for check, need in criteria.need.items():
        yield check, need, _joined(titles[check], criteria, f"need.{check}", common)


def _joined(meaning: str, criteria: Criteria, key: str, known: str = "") -> str:
    """Meaning, origin and reason in one text; a reason that has been said already is left out."""
    origin = "" if criteria.origin[key] == "shipped" else "set by your criteria file"
    reason = criteria.reasons.get(key, "")
    why = f"why: {reason}" if reason and reason != known else ""
    return "; ".join(part for part in (meaning, origin, why) if part)
