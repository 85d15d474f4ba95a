"""The site list as a table of text: bytes to rows, with the line that each row begins on.

In goes a CSV file (UTF-8 with or without a byte order mark, else Windows-1252; commas, semicolons or tabs),
out comes a `SiteTable` whose cells are exactly as written. The file is cut into rows by Python's csv module,
which keeps every character of a cell and knows the line a row begins on; the table itself is a pandas
DataFrame.
"""

import codecs
import csv
import hashlib
import io
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.spreadsheet_text import unprotect

SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
_CELL_LIMIT = 1_000_000


@dataclass(frozen=True)
class SiteTable:
    """Text of a list.

    Parameters
    ----------
    cells : pandas.DataFrame, shape (rows, columns)
        Headings without blanks around them; cells as written.
    lines : tuple of int, length rows
        Line that each row begins on, headings on line 1 (or later, after blank lines).
    overlong : mapping of int to int
        Position of a row -> how many cells it has, for rows with more cells than there are headings.
    sha256 : str
        Of the file's bytes.
    notes : tuple of Note
        Encoding, separator, short and blank rows.
    """

    cells: pd.DataFrame
    lines: tuple[int, ...]
    overlong: dict[int, int]
    sha256: str
    notes: tuple[Note, ...]


def read_table(path: Path) -> SiteTable:
    """Read a list as text.

    Parameters
    ----------
    path : Path
        A CSV file.

    Returns
    -------
    table : SiteTable

    Raises
    ------
    InputFaults
        The file cannot be read, is empty, is no text, has no heading row, a heading twice or a column without
        a heading, or ends inside a quoted cell.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise _refused(path, f"cannot be read: {error.strerror or error}") from error
    notes: list[Note] = []
    text = _decode(path, data, notes)
    headings, rows, lines = _rows(path, text, notes)
    headings, rows, overlong = _even(path, headings, rows, lines, notes)
    twice = [heading for heading, count in Counter(headings).items() if count > 1]
    if twice:
        raise InputFaults(
            tuple(
                Fault(path.name, "line 1", name, "", "the column is there twice; keep one") for name in twice
            )
        )
    columns = {heading: _column(rows, at) for at, heading in enumerate(headings)}
    cells = pd.DataFrame(columns, index=range(len(rows)), dtype=str)
    return SiteTable(cells, tuple(lines), overlong, hashlib.sha256(data).hexdigest(), tuple(notes))


def _refused(path: Path, why: str, where: str = "", value: str = "") -> InputFaults:
    return InputFaults((Fault(path.name, where, "", value, why),))


def _decode(path: Path, data: bytes, notes: list[Note]) -> str:
    if not data.strip():
        raise _refused(path, "the file is empty")
    if data.startswith(b"PK\x03\x04") or data.startswith(b"\xd0\xcf\x11\xe0"):
        raise _refused(path, "this is a workbook; save the sheet as CSV (UTF-8)")
    wide = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    encodings = ["utf-16"] if wide else ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\x00" in text:
            break
        if encoding == "cp1252":
            notes.append(
                Note("list-encoding", "info", f"{path.name} is not UTF-8; it was read as Windows-1252 text")
            )
        return text
    raise _refused(path, "this is not a text file; a CSV file in UTF-8 is needed")


def _separator(text: str) -> str:
    """Find the separator that occurs most often, outside quotes, in the first line that is not blank."""
    line = next((line for line in io.StringIO(text) if line.strip()), "")
    outside = "".join(line.split('"')[::2])
    return max(SEPARATORS, key=outside.count)


def _rows(path: Path, text: str, notes: list[Note]) -> tuple[list[str], list[list[str]], list[int]]:
    separator = _separator(text)
    if separator != ",":
        notes.append(
            Note("list-separator", "info", f"{path.name}: cells are separated by a {SEPARATORS[separator]}")
        )
    csv.field_size_limit(max(_CELL_LIMIT, csv.field_size_limit()))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[list[str]] = []
    lines: list[int] = []
    blank = 0
    line = 1
    try:
        for row in reader:
            if any(cell and not cell.isspace() for cell in row):
                rows.append(row)
                lines.append(line)
            elif row and rows:
                blank += 1
            line = reader.line_num + 1
    except csv.Error as error:
        raise _refused(path, f"a quoted cell does not end properly ({error})", f"line {line}") from error
    if not rows:
        raise _refused(path, "the file has no heading row")
    if blank:
        notes.append(
            Note("list-blank-rows", "info", f"{path.name}: rows without any cell were left out", blank)
        )
    headings = [unprotect(cell.strip()) for cell in rows[0]]
    return headings, rows[1:], lines[1:]


def _even(
    path: Path, headings: list[str], rows: list[list[str]], lines: list[int], notes: list[Note]
) -> tuple[list[str], list[list[str]], dict[int, int]]:
    """Rows of equal length; columns without heading and cells are dropped."""
    width = len(headings)
    overlong: dict[int, int] = {}
    short = 0
    for at, row in enumerate(rows):
        if len(row) < width:
            short += 1
            row.extend([""] * (width - len(row)))
        elif len(row) > width:
            if any(cell.strip() for cell in row[width:]):
                overlong[at] = len(row)
            del row[width:]
    if short:
        text = f"{path.name}: rows with fewer cells than headings; the rest of them counts as empty"
        notes.append(Note("list-short-rows", "caution", text, short))
    nameless = [at for at, heading in enumerate(headings) if not heading]
    filled = [at for at in nameless if any(row[at].strip() for row in rows)]
    if filled:
        raise InputFaults(
            tuple(
                Fault(path.name, "line 1", f"column {at + 1}", "", "has cells but no heading; give it one")
                for at in filled
            )
        )
    if nameless:
        keep = [at for at in range(width) if headings[at]]
        headings = [headings[at] for at in keep]
        for row in rows:
            row[:] = [row[at] for at in keep]
    return headings, rows, overlong


def _column(rows: list[list[str]], at: int) -> list[str]:
    return [unprotect(row[at]) if row[at].startswith("'") else row[at] for row in rows]
