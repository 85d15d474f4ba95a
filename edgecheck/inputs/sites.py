"""Reading a site list: file faults, row faults, own columns, cautions.

In goes a CSV file with one row a site, out comes a `SiteList`. A file that cannot serve raises `InputFaults`
with every fault found; a row that cannot serve keeps its place and carries its faults. Values are in the
units of columns.toml. A list is judged on itself alone: weather, unit and load files are only named here.
"""

from collections import defaultdict
from collections.abc import Mapping
from pathlib import Path

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.cells import DOES_NOT_APPLY, EMPTY, Reading, Value, read_cell
from edgecheck.inputs.columns import Heading, columns, headings
from edgecheck.inputs.criteria import Criteria, load_criteria
from edgecheck.inputs.lookalikes import lookalikes
from edgecheck.inputs.site_records import CellCaution, Site, SiteList
from edgecheck.inputs.site_table import SiteTable, read_table
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS, is_earlier_output, returned_names

__all__ = ["DOES_NOT_APPLY", "CellCaution", "Site", "SiteList", "load_sites"]

_FAMILIES = {"asce7-16": "asce", "asce7-22": "asce", "en": "en"}
_SHOWN_LINES = 4
_FAMILY_TITLES = {"asce": "ASCE 7", "en": "EN"}


class _Row:
    """A row while it is being read."""

    __slots__ = ("cautions", "faults", "line", "unassessable", "values")

    def __init__(self, line: int) -> None:
        self.line = line
        self.values: dict[str, Value] = {}
        self.cautions: list[CellCaution] = []
        self.faults: list[tuple[str, str, str]] = []
        self.unassessable: dict[str, str] = {}


def load_sites(path: str | Path, criteria: Criteria | None = None) -> SiteList:
    """Read a site list.

    Parameters
    ----------
    path : str or Path
        CSV file: UTF-8 (else Windows-1252), separated by commas, semicolons or tabs, headings in the first
        row.
    criteria : Criteria, optional
        Says which checks are required; a wrong cell makes a row unusable only where it feeds a required
        check. Without it the shipped set "full" is used.

    Returns
    -------
    sites : SiteList
        At least one row is usable.

    Raises
    ------
    InputFaults
        The file is unreadable or empty, has no headings, lacks a required column, has a column twice (a US
        twin beside its column included), or has no usable row.
    """
    path = Path(path)
    if criteria is None:
        criteria = load_criteria()
    table = read_table(path)
    notes = list(table.notes)
    cells = table.cells
    if is_earlier_output(cells.columns):
        cells = cells.drop(columns=list(VERDICT_COLUMNS))
        text = f"{path.name} is an earlier verdicts.csv; its verdict columns were left out"
        notes.append(Note("list-earlier-output", "info", text, len(VERDICT_COLUMNS)))
    names = tuple(str(name) for name in cells.columns)
    known = {name: headings()[name] for name in names if name in headings()}
    own = tuple(name for name in names if name not in known)
    present = {heading.column.name for heading in known.values()}
    alike = lookalikes(own, present)
    faults = _heading_faults(path.name, known, alike)
    if not table.lines:
        faults.append(Fault(path.name, "", "", "", "the list has headings but no row"))
    if faults:
        raise InputFaults(tuple(faults))
    rows = [_Row(line) for line in table.lines]
    for name, heading in known.items():
        _read_column(cells[name].tolist(), heading, rows, criteria.need)
    _judge_rows(rows, table, criteria.need)
    sites = tuple(_site(path.name, row) for row in rows)
    notes.extend(_list_notes(sites, alike))
    if not any(site.usable for site in sites):
        head = Fault(path.name, "", "", "", "no row of the list can be used")
        raise InputFaults((head, *(fault for site in sites for fault in site.faults)))
    return SiteList(
        path=path,
        sha256=table.sha256,
        columns=names,
        cells=cells,
        sites=sites,
        known={name: heading.column.name for name, heading in known.items()},
        own_columns=own,
        lookalikes=alike,
        returned_as=returned_names(names),
        notes=tuple(notes),
    )


def _heading_faults(file: str, known: Mapping[str, Heading], alike: Mapping[str, str]) -> list[Fault]:
    faults = []
    by_column: dict[str, list[str]] = defaultdict(list)
    for name, heading in known.items():
        by_column[heading.column.name].append(name)
    for column in columns().values():
        given = by_column.get(column.name, [])
        if column.required and not given:
            near = next((own for own, looks_like in alike.items() if looks_like == column.name), "")
            hint = f"; {near!r} looks like it: rename it or map it with --columns" if near else ""
            faults.append(Fault(file, "line 1", column.name, "", f"the required column is missing{hint}"))
        if len(given) > 1:
            text = f"the same quantity is also in {', '.join(given[1:])}; keep one"
            faults.append(Fault(file, "line 1", given[0], "", text))
    return faults


def _read_column(texts: list[str], heading: Heading, rows: list[_Row], need: Mapping[str, str]) -> None:
    """Read one column into the rows; every different text is read once."""
    column = heading.column
    readings: dict[str, Reading] = {text: read_cell(text, heading) for text in set(texts)}
    optional = not column.required and not any(need.get(check) == "required" for check in column.feeds)
    for text, row in zip(texts, rows, strict=True):
        reading = readings[text]
        if reading is EMPTY:
            continue
        if reading.value is not None:
            row.values[column.name] = reading.value
            if reading.caution:
                row.cautions.append(CellCaution(heading.name, text, reading.caution, column.feeds))
        elif optional:
            _set_aside(row, heading.name, text, reading.fault, column.feeds)
        else:
            row.faults.append((heading.name, text, reading.fault))


def _set_aside(row: _Row, heading: str, text: str, fault: str, checks: tuple[str, ...]) -> None:
    """Set a wrong cell aside that no required check needs; only its checks cannot be assessed."""
    if not checks:
        row.cautions.append(CellCaution(heading, text, f"not used: {fault}"))
    for check in checks:
        why = f"{heading} {text.strip()!r}: {fault}"
        row.unassessable[check] = f"{row.unassessable[check]}; {why}" if check in row.unassessable else why


def _judge_rows(rows: list[_Row], table: SiteTable, need: Mapping[str, str]) -> None:
    """Find faults of whole rows: required values missing, ids given twice, cells too many, wrong standard."""
    lines_of: dict[Value, list[int]] = defaultdict(list)
    for row in rows:
        if "site_id" in row.values:
            lines_of[row.values["site_id"]].append(row.line)
    required = [column for column in columns().values() if column.required]
    for at, row in enumerate(rows):
        wrong = {heading for heading, _, _ in row.faults}
        for column in required:
            if column.name not in row.values and not wrong & {column.name, *column.twin_names()}:
                row.faults.append((column.name, "", "the required value is missing"))
        lines = lines_of.get(row.values.get("site_id", ""), [])
        if len(lines) > 1:
            text = f"the id is also on {_lines_but(row.line, lines)}; every row needs an id of its own"
            row.faults.append(("site_id", str(row.values["site_id"]), text))
        if at in table.overlong:
            width = len(table.cells.columns)
            text = (
                f"{table.overlong[at]} cells under {width} headings; quote a cell that contains the separator"
            )
            row.faults.append(("", "", text))
        _judge_standard(row, need)


def _lines_but(line: int, lines: list[int]) -> str:
    others = [other for other in lines[: _SHOWN_LINES + 1] if other != line][:_SHOWN_LINES]
    more = len(lines) - 1 - len(others)
    shown = "line " + ", ".join(str(other) for other in others)
    return f"{shown} and {more} more" if more else shown


def _judge_standard(row: _Row, need: Mapping[str, str]) -> None:
    standard = row.values.get("load_standard")
    if standard is None:
        return
    family = _FAMILIES[str(standard)]
    filled: dict[str, list[str]] = defaultdict(list)
    for key in row.values:
        if columns()[key].standard:
            filled[columns()[key].standard].append(key)
    if not filled or family in filled:
        return
    other = next(iter(filled))
    keys = ", ".join(filled[other])
    text = (
        f"only columns of the other family, {_FAMILY_TITLES[other]}, are filled ({keys}); "
        f"fill those of {_FAMILY_TITLES[family]} or correct load_standard"
    )
    feeds = columns()["load_standard"].feeds
    if any(need.get(check) == "required" for check in feeds):
        row.faults.append(("load_standard", str(standard), text))
    else:
        _set_aside(row, "load_standard", str(standard), text, feeds)


def _site(file: str, row: _Row) -> Site:
    site_id = str(row.values.get("site_id", ""))
    where = f"row {site_id} (line {row.line})" if site_id else f"line {row.line}"
    return Site(
        row=row.line,
        site_id=site_id,
        name=str(row.values.get("name", "")),
        values=row.values,
        cautions=tuple(row.cautions),
        faults=tuple(Fault(file, where, key, text.strip(), why) for key, text, why in row.faults),
        unassessable=row.unassessable,
    )


def _list_notes(sites: tuple[Site, ...], alike: Mapping[str, str]) -> list[Note]:
    notes = [
        Note(
            "list-lookalike",
            "caution",
            f"{own} looks like {column}; kept as your own; map it with --columns",
        )
        for own, column in alike.items()
    ]
    filled = {key for site in sites for key in site.values}
    waiting = [name for name, column in columns().items() if name in filled and not column.used]
    if waiting:
        text = f"read and checked, and not used yet: {', '.join(waiting)}"
        notes.append(Note("list-not-used-yet", "info", text, len(waiting)))
    return notes
