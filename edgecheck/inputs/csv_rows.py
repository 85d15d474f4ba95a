"""Rows of a CSV file: bytes to text, text to cells.

In go the bytes, out come `SourceRows`. UTF-8 and UTF-16 with or without a byte order mark, else Windows-1252;
commas, semicolons or tabs. Python's csv module cuts the text into rows: it keeps every character of a cell and
knows the line that a row begins on.
"""

import codecs
import csv
import io
import re
from collections import Counter
from itertools import islice
from typing import Any

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.source_rows import SourceRows, WantedNames, plain_heading
from edgecheck.inputs.spreadsheet_text import unprotect

SEPARATORS = {";": "semicolon", "\t": "tab", ",": "comma"}
_CELL_LIMIT = 1_000_000
_LOOKED_AT = 60
_COVERED = 0.6
_NAMED = re.compile(r'\s*"?sep=(.)"?\s*', re.IGNORECASE)


def csv_rows(file: str, data: bytes, sha256: str, wanted: WantedNames) -> SourceRows:
    """Read the rows of a CSV file.

    Parameters
    ----------
    file : str
        Name for messages.
    data : bytes
        The file.
    sha256 : str
        Of the bytes.
    wanted : WantedNames
        Headings that tell the separator.

    Returns
    -------
    rows : SourceRows
        Cells exactly as written, protecting apostrophes included.

    Raises
    ------
    InputFaults
        The file is empty, is no text, or ends inside a quoted cell.
    """
    notes: list[Note] = []
    text = _decode(file, data, notes)
    separator = _separator(text, wanted)
    if separator != ",":
        said = f"{file}: cells are separated by a {SEPARATORS.get(separator, separator)}"
        notes.append(Note("list-separator", "info", said))
    csv.field_size_limit(max(_CELL_LIMIT, csv.field_size_limit()))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[list[Any]] = []
    lines: list[int] = []
    blank: list[int] = []
    line = 1
    try:
        for row in reader:
            if any(cell and not cell.isspace() for cell in row):
                rows.append(row)
                lines.append(line)
            elif row:
                blank.append(line)
            line = reader.line_num + 1
    except csv.Error as error:
        raise _refused(file, f"a quoted cell does not end properly ({error})", f"line {line}") from error
    if not rows:
        raise _refused(file, "the file has no heading row")
    return SourceRows(file, sha256, rows, lines, blank, notes=notes)


def _refused(file: str, why: str, where: str = "") -> InputFaults:
    return InputFaults((Fault(file, where, "", "", why),))


def _decode(file: str, data: bytes, notes: list[Note]) -> str:
    if not data.strip():
        raise _refused(file, "the file is empty")
    wide = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    for encoding in ["utf-16"] if wide else ["utf-8-sig", *_wide_without_mark(data), "cp1252"]:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\x00" in text:
            continue
        if encoding == "cp1252":
            said = f"{file} is not UTF-8; it was read as Windows-1252 text"
            notes.append(Note("list-encoding", "info", said))
        return text
    raise _refused(file, "this is not a text file; a CSV file in UTF-8 is needed")


def _wide_without_mark(data: bytes) -> list[str]:
    """UTF-16 where every other byte of the beginning is zero, as in western text."""
    head = data[:200]
    if len(head) < 20 or len(data) % 2:
        return []
    if not any(head[::2]) and all(head[1::2]):
        return ["utf-16-be"]
    return ["utf-16-le"] if not any(head[1::2]) and all(head[::2]) else []


def _separator(text: str, wanted: WantedNames) -> str:
    """Find the separator that gives the wanted headings, else rows of one width.

    The first line may name it (`sep=;`).
    """
    if named := _NAMED.fullmatch(text.partition("\n")[0]):
        return named[1]
    cut = {separator: _first_rows(text, separator) for separator in SEPARATORS}
    names = {
        separator: [[plain_heading(unprotect(cell.strip())) for cell in row] for row in rows]
        for separator, rows in cut.items()
    }
    for separator, rows in names.items():
        if any(wanted.holds_all(row) for row in rows):
            return separator
    known = {separator: max(map(wanted.count, rows), default=0) for separator, rows in names.items()}
    widths = {separator: _width(rows) for separator, rows in cut.items()}
    best = max(SEPARATORS, key=lambda separator: (known[separator], widths[separator]))
    return best if widths[best] > 1 else ","


def _first_rows(text: str, separator: str) -> list[list[str]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        return [row for row in islice(reader, _LOOKED_AT) if any(map(str.strip, row))]
    except csv.Error:
        return []


def _width(rows: list[list[str]]) -> int:
    """Number of cells that most rows have; 1 where they differ."""
    if not rows:
        return 0
    width, count = Counter(map(len, rows)).most_common(1)[0]
    return width if count >= _COVERED * len(rows) else 1
