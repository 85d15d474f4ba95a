"""The list as a table of text: rows of a file to columns under headings, with the line of each row.

In goes a CSV or XLSX file, out comes a `SiteTable` whose cells are exactly as written, or as they would stand in
a CSV file; a workbook's values keep their type beside the text. The table itself is a pandas DataFrame.
"""

import hashlib
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import pandas as pd

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.csv_rows import csv_rows
from edgecheck.inputs.header_row import header_at, heading_texts
from edgecheck.inputs.sheet_notes import sheet_notes
from edgecheck.inputs.sheet_text import cell_text, column_letters
from edgecheck.inputs.source_rows import SourceRows, WantedNames
from edgecheck.inputs.spreadsheet_text import unprotect

_ZIP = b"PK\x03\x04"
_OLE = b"\xd0\xcf\x11\xe0"


@dataclass(frozen=True)
class SiteTable:
    """Text of a list.

    Parameters
    ----------
    cells : pandas.DataFrame, shape (rows, columns)
        Headings without blanks around them; cells as written.
    lines : tuple of int, length rows
        Line of the file, or row of the sheet, that each row begins on.
    header_line : int
        Line of the headings.
    overlong : mapping of int to int
        Position of a row -> how many cells it has, for rows with more cells than there are headings.
    sha256 : str
        Of the file's bytes.
    sheet : str
        Name of the sheet; empty for a CSV file.
    values : mapping of str to list
        Heading -> value of each row with its type, for the columns of a workbook.
    uncomputed : mapping of str to tuple of int
        Heading -> positions of rows whose formula has no result in the file.
    blank_rows : int
        Rows without any cell below the headings.
    notes : tuple of Note
        Encoding, separator, titles, short and blank rows, formulas, merged cells.
    """

    cells: pd.DataFrame
    lines: tuple[int, ...]
    header_line: int
    overlong: dict[int, int]
    sha256: str
    sheet: str = ""
    values: dict[str, list[object]] = field(default_factory=dict)
    uncomputed: dict[str, tuple[int, ...]] = field(default_factory=dict)
    blank_rows: int = 0
    notes: tuple[Note, ...] = ()

    def without(self, names: Iterable[str]) -> "SiteTable":
        """The same table without some columns."""
        gone = set(names)
        return replace(
            self,
            cells=self.cells.drop(columns=list(gone)),
            values={name: column for name, column in self.values.items() if name not in gone},
            uncomputed={name: rows for name, rows in self.uncomputed.items() if name not in gone},
        )


def read_source(path: Path, wanted: WantedNames, sheet: str | None = None, prefer: str = "") -> SourceRows:
    """Read the rows of a CSV or XLSX file.

    Parameters
    ----------
    path : Path
        What kind of file it is is told by its bytes.
    wanted : WantedNames
        Headings that are looked for.
    sheet : str, optional
        Name of a workbook's sheet.
    prefer : str
        Sheet that is taken where none is named.

    Returns
    -------
    source : SourceRows

    Raises
    ------
    InputFaults
        The file cannot be read as either.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        text = f"cannot be read: {error.strerror or error}"
        raise InputFaults((Fault(path.name, "", "", "", text),)) from error
    sha256 = hashlib.sha256(data).hexdigest()
    if data.startswith(_OLE):
        text = "this is an old or locked workbook; save it as XLSX, or save the sheet as CSV (UTF-8)"
        raise InputFaults((Fault(path.name, "", "", "", text),))
    if data.startswith(_ZIP):
        from edgecheck.inputs.workbook_rows import workbook_rows

        return workbook_rows(path.name, data, sha256, sheet, prefer)
    if sheet is not None:
        text = "this is not a workbook and has no sheets; leave --sheet out"
        raise InputFaults((Fault(path.name, "", "--sheet", sheet, text),))
    return csv_rows(path.name, data, sha256, wanted)


def read_table(path: Path, wanted: WantedNames, sheet: str | None = None, prefer: str = "") -> SiteTable:
    """Read a list as text; see `read_source`.

    Raises
    ------
    InputFaults
        The file cannot be read, is empty, or has a heading twice or a column of a CSV file without a heading.
    """
    source = read_source(path, wanted, sheet, prefer)
    return table_of(source, header_at(source, wanted))


def table_of(source: SourceRows, header: int) -> SiteTable:
    """Cut rows into columns; the rows of `source` are used up.

    Parameters
    ----------
    source : SourceRows
        Rows of a file.
    header : int
        Position of the headings.

    Returns
    -------
    table : SiteTable
    """
    headings = heading_texts(source, source.rows[header])
    header_line = source.lines[header]
    notes = list(source.notes)
    if header:
        text = f"{source.file}: {header} line{'s' * (header > 1)} above the headings on line {header_line} left out"
        notes.append(Note("list-title-lines", "info", text, header))
    rows, lines = source.rows[header + 1 :], source.lines[header + 1 :]
    source.rows.clear()
    rows, lines = _without_repeats(source, headings, rows, lines, notes)
    blank = sum(line > header_line for line in source.blank_lines)
    if blank:
        text = f"{source.file}: rows without any cell were left out"
        notes.append(Note("list-blank-rows", "info", text, blank))
    names, overlong = _evened(source, header_line, headings, rows, notes)
    notes.extend(sheet_notes(source, header_line, {at: name for name, at in names.items()}))
    count = len(rows)
    columns = list(zip(*rows, strict=True)) if rows else [()] * (max(names.values(), default=0) + 1)
    rows.clear()
    texts = {name: _texts(columns[at], at, source, lines) for name, at in names.items()}
    values = {name: list(columns[at]) for name, at in names.items()} if source.is_workbook else {}
    return SiteTable(
        cells=pd.DataFrame(texts, index=range(count), dtype=str),
        lines=tuple(lines),
        header_line=header_line,
        overlong=overlong,
        sha256=source.sha256,
        sheet=source.sheet,
        values=values,
        uncomputed=_uncomputed(source, names, lines),
        blank_rows=blank,
        notes=tuple(notes),
    )


def _without_repeats(
    source: SourceRows, headings: list[str], rows: list[list[Any]], lines: list[int], notes: list[Note]
) -> tuple[list[list[Any]], list[int]]:
    """Leave out rows that repeat the headings, as printed lists do on every page."""
    first = next((at for at, heading in enumerate(headings) if heading), 0)
    name = headings[first]
    repeats = {
        at
        for at, row in enumerate(rows)
        if len(row) > first
        and cell_text(row[first]).strip() == name
        and heading_texts(source, row) == headings
    }
    if not repeats:
        return rows, lines
    text = f"{source.file}: rows that repeat the headings were left out"
    notes.append(Note("list-repeated-headings", "info", text, len(repeats)))
    kept = [at for at in range(len(rows)) if at not in repeats]
    return [rows[at] for at in kept], [lines[at] for at in kept]


def _evened(
    source: SourceRows, header_line: int, headings: list[str], rows: list[list[Any]], notes: list[Note]
) -> tuple[dict[str, int], dict[int, int]]:
    """Make rows equally long; heading -> column of the source, and rows with too many cells."""
    if source.is_workbook:
        headings = headings + [""] * (max(map(len, rows), default=0) - len(headings))
    width = len(headings)
    empty: object = None if source.is_workbook else ""
    overlong: dict[int, int] = {}
    short = 0
    for at, row in enumerate(rows):
        if len(row) < width:
            short += 1
            row.extend([empty] * (width - len(row)))
        elif len(row) > width:
            if any(cell_text(cell).strip() for cell in row[width:]):
                overlong[at] = len(row)
            del row[width:]
    if short and not source.is_workbook:
        text = f"{source.file}: rows with fewer cells than headings; the rest of them counts as empty"
        notes.append(Note("list-short-rows", "caution", text, short))
    nameless = [at for at, heading in enumerate(headings) if not heading]
    filled = [at for at in nameless if any(cell_text(row[at]).strip() for row in rows)]
    where = f"line {header_line}"
    if filled and not source.is_workbook:
        text = "has cells but no heading; give it one"
        raise InputFaults(tuple(Fault(source.file, where, f"column {at + 1}", "", text) for at in filled))
    for at in filled:
        headings[at] = f"column {column_letters(at)}"
    if filled:
        text = f"{source.file}: columns with cells but no heading are kept as {_listed(headings, filled)}"
        notes.append(Note("list-nameless-columns", "caution", text, len(filled)))
    twice = [heading for heading, count in Counter(headings).items() if heading and count > 1]
    if twice:
        text = "the column is there twice; keep one"
        raise InputFaults(tuple(Fault(source.file, where, name, "", text) for name in twice))
    return {heading: at for at, heading in enumerate(headings) if heading}, overlong


def _listed(headings: Sequence[str], places: Sequence[int]) -> str:
    return ", ".join(repr(headings[at]) for at in places)


def _texts(column: Sequence[Any], at: int, source: SourceRows, lines: list[int]) -> list[str]:
    """Text of the cells of a column."""
    if not source.is_workbook:
        return [unprotect(cell) if cell[:1] == "'" else cell for cell in column]
    texts = [cell if isinstance(cell, str) else cell_text(cell) for cell in column]
    if source.shown:
        for place, line in enumerate(lines):
            if (line, at) in source.shown:
                texts[place] = source.shown[line, at]
    return texts


def _uncomputed(source: SourceRows, names: dict[str, int], lines: list[int]) -> dict[str, tuple[int, ...]]:
    missing = {place for place, has_result in source.formulas.items() if not has_result}
    if not missing:
        return {}
    found = {
        name: tuple(place for place, line in enumerate(lines) if (line, at) in missing)
        for name, at in names.items()
    }
    return {name: places for name, places in found.items() if places}
