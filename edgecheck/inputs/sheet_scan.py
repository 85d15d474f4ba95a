"""Cells of one sheet of a workbook, with their type.

In goes the XML of a sheet (ISO/IEC 29500-1, 18.3.1), out come the filled rows, what was a formula, which cells
are merged, and which rows are hidden. The file is read in one pass by expat and never held as a whole.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import IO, NamedTuple
from xml.parsers import expat

from openpyxl.utils.datetime import from_excel, from_ISO8601

from edgecheck.inputs.sheet_text import cell_place
from edgecheck.inputs.workbook_parts import BrokenWorkbook, Styles, WorkbookParts, decoded


@dataclass
class ScannedSheet:
    """What a sheet holds; see `SourceRows`, whose fields these become."""

    rows: list[list[object]] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    shown: dict[tuple[int, int], str] = field(default_factory=dict)
    formulas: dict[tuple[int, int], bool] = field(default_factory=dict)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    hidden: list[int] = field(default_factory=list)


def scan_sheet(stream: IO[bytes], parts: WorkbookParts) -> ScannedSheet:
    """Read the cells of a sheet.

    Parameters
    ----------
    stream : file
        XML of the sheet.
    parts : WorkbookParts
        The workbook around it.

    Returns
    -------
    sheet : ScannedSheet

    Raises
    ------
    BrokenWorkbook
        The XML is not well-formed, or refers to texts that are not there.
    """
    scan = _Scan(parts)
    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = scan.handlers()
    try:
        parser.ParseFile(stream)
    except (expat.ExpatError, ValueError, IndexError) as error:
        raise BrokenWorkbook(str(error)) from error
    return scan.sheet


_Handlers = tuple[Callable[[str, dict[str, str]], None], Callable[[str], None], Callable[[str], None]]


class _Scan:
    def __init__(self, parts: WorkbookParts) -> None:
        self.sheet = ScannedSheet()
        self.shared = parts.shared
        self.styles = parts.styles
        self.epoch = parts.epoch
        self.texts: dict[str, str] = {}

    def handlers(self) -> _Handlers:
        """Handlers of expat, as closures: a list of 50,000 rows calls them ten million times."""
        sheet, value_of, columns = self.sheet, self.value, dict[str, int]()
        row: list[object] = []
        buffer: list[str] = []
        line, column, taking, reading_aid, is_formula = 0, -1, False, False, False
        kind: str | None = None
        style: str | None = None
        tags = _tags("")
        cell_tag, row_tag, formula_tag, texts = tags.cell, tags.row, tags.formula, tags.texts

        def start(tag: str, attributes: dict[str, str]) -> None:
            nonlocal line, column, taking, kind, style, is_formula
            if tag == cell_tag:
                kind = attributes.get("t")
                style = attributes.get("s")
                is_formula = False
                buffer.clear()
                place = attributes.get("r")
                if place is None:
                    column += 1
                else:
                    letters = place.rstrip("0123456789")
                    found = columns.get(letters)
                    if found is None:
                        found = columns[letters] = cell_place(letters + "1")[1]
                    column = found
            elif tag in texts:
                taking = not reading_aid
            elif tag == row_tag:
                line = int(attributes["r"]) if "r" in attributes else line + 1
                column = -1
                row.clear()
                if attributes.get("hidden") in ("1", "true"):
                    sheet.hidden.append(line)
            elif tag in tags.rare or tag.endswith(":worksheet"):
                start_rare(tag, attributes)

        def start_rare(tag: str, attributes: dict[str, str]) -> None:
            nonlocal tags, cell_tag, row_tag, formula_tag, texts, reading_aid
            if tag == tags.merged:
                first, _, last = attributes.get("ref", "A1").replace("$", "").partition(":")
                sheet.merged.append((*cell_place(first), *cell_place(last or first)))
            elif tag == tags.reading_aid:
                reading_aid = True
            else:
                tags = _tags(tag.removesuffix("worksheet"))
                cell_tag, row_tag, formula_tag, texts = tags.cell, tags.row, tags.formula, tags.texts

        def end(tag: str) -> None:
            nonlocal taking, reading_aid, is_formula
            if tag == cell_tag:
                if not buffer and not is_formula:
                    return
                text = buffer[0] if len(buffer) == 1 else "".join(buffer)
                value: object
                if style is None and (kind is None or kind == "n"):
                    value = _number(text)
                else:
                    value = value_of(text, kind, style, line, column)
                if is_formula:
                    sheet.formulas[line, column] = value is not None or kind == "str"
                if value is not None:
                    if len(row) < column:
                        row.extend([None] * (column - len(row)))
                    if len(row) == column:
                        row.append(value)
                    else:
                        row[column] = value
            elif tag in texts:
                taking = False
                if tag == formula_tag:
                    is_formula = True
                    buffer.clear()
            elif tag == row_tag:
                if any(map(_filled, row)):
                    sheet.rows.append(row.copy())
                    sheet.lines.append(line)
            elif tag == tags.reading_aid:
                reading_aid = False

        def data(text: str) -> None:
            if taking:
                buffer.append(text)

        return start, end, data

    def value(self, text: str, kind: str | None, style: str | None, line: int, column: int) -> object:
        """Value of a cell; None where it is empty."""
        if not text:
            return None
        if kind == "s":
            return self.shared[int(text)] or None
        if kind in ("inlineStr", "str"):
            return self.texts.setdefault(text, decoded(text))
        if kind == "b":
            return text.strip() in ("1", "true")
        if kind == "d":
            return from_ISO8601(text)
        if kind == "e":
            return text
        number = _number(text)
        if style is None or number is None:
            return number
        return self._styled(number, int(style), line, column)

    def _styled(self, number: int | float, style: int, line: int, column: int) -> object:
        styles: Styles = self.styles
        if style in styles.dates:
            try:
                found: object = from_excel(number, self.epoch, timedelta=style in styles.durations)
            except (OverflowError, ValueError):
                return number
            return found.replace(tzinfo=None) if isinstance(found, dt.datetime) else found
        width = styles.padded.get(style)
        if width and isinstance(number, int) and len(str(number)) < width:
            self.sheet.shown[line, column] = f"{number:0{width}d}"
        return number


class _Tags(NamedTuple):
    """Names of the elements that matter."""

    row: str
    cell: str
    formula: str
    texts: frozenset[str]
    merged: str
    reading_aid: str
    rare: frozenset[str]


def _tags(prefix: str) -> _Tags:
    """Names of the elements, behind the prefix that some programs give them."""
    row, cell, value, text, formula, merged, aid = (
        f"{prefix}{name}" for name in ("row", "c", "v", "t", "f", "mergeCell", "rPh")
    )
    return _Tags(row, cell, formula, frozenset((value, text, formula)), merged, aid, frozenset((merged, aid)))


def _filled(value: object) -> bool:
    return value is not None and not (isinstance(value, str) and value.isspace())


def _number(text: str) -> int | float | None:
    """Whole numbers without a point as int, others as float; None for blanks."""
    if "." in text:
        return float(text)
    try:
        return int(text)
    except ValueError:
        return float(text) if text.strip() else None
