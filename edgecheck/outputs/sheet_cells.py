"""Cells of a workbook that people open: values with their type, looks, and text that never becomes a formula.

In go plain values, out come the rows of a sheet as XML (ISO/IEC 29500-1, 18.3.1). Text is always a string cell,
whatever it begins with; characters that XML cannot hold are written as `_xHHHH_` (22.9.2.19, ST_Xstring).
"""

import datetime as dt
import math
import re
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import IO, Any
from xml.sax.saxutils import escape

import numpy as np
from openpyxl.cell.cell import WriteOnlyCell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import to_excel
from openpyxl.worksheet.page import PageMargins
from openpyxl.worksheet.properties import PageSetupProperties

from edgecheck.inputs.spreadsheet_text import FORMULA_STARTS

INK = "1F2A30"
SOFT = "55636B"
WASH = "EDF0F1"
DEEP = "D3E6EE"
ANSWER = "FFF8DC"
_LINE = "C5CDD1"
# A cell holds 32 767 characters ("Excel specifications and limits", support.microsoft.com).
LONGEST_TEXT = 32_767
_CUT = " (cut: {} characters)"
_UNSAFE = re.compile("[\x00-\x08\x0b-\x1f\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)")
_LONE_SURROGATE = re.compile("[\ud800-\udfff]")
# Points; a row is 409 points high at most ("Excel specifications and limits").
_LINE_HEIGHT, _HIGHEST_ROW = 13.2, 409.0
_TEXTS_KEPT = 8192
# Days before 1 March 1900 are counted differently by different spreadsheet programs.
_FIRST_SAFE_DAY = dt.date(1900, 3, 1)


@dataclass(frozen=True, eq=False)
class Look:
    """How a cell looks; each is made once and known by its identity.

    Parameters
    ----------
    fill, ink : str
        Colours as six hex digits; no fill where empty.
    bold, wrap : bool
        Bold text; text broken into lines.
    side : str
        "left", "center" or "right"; empty for text left and numbers right.
    number_format : str
        As spreadsheets write it.
    lined, framed : bool
        A thin line below the cell, also where it is empty; a line around it, for what somebody fills in.
    """

    fill: str = ""
    ink: str = INK
    bold: bool = False
    wrap: bool = False
    side: str = ""
    number_format: str = "General"
    lined: bool = False
    framed: bool = False


PLAIN = Look()
WRAPPED = Look(wrap=True)
HEADING = Look(fill=WASH, bold=True, wrap=True)
OUR_HEADING = Look(fill=DEEP, bold=True, wrap=True)
TITLE = Look(bold=True, fill=DEEP)

# Every status is a word; the fill only helps the eye.
_STATUS_LOOKS = {
    "go": Look(fill="CFE5EF", ink="1D5A73", bold=True),
    "conditional": Look(fill="F8E7C4", ink="6E4808", bold=True),
    "undecided": Look(fill="DFE4E7", ink="3C474E", bold=True),
    "no-go": Look(fill="F3CFBF", ink="7A2703", bold=True),
    "unusable": Look(fill="C9C9C9", ink=INK, bold=True),
    "not covered": Look(ink=SOFT),
    "off": Look(ink=SOFT),
    "not applicable": Look(ink=SOFT),
}


def status_look(status: str) -> Look:
    """Look of a verdict or of a group's word."""
    return _STATUS_LOOKS.get(status, PLAIN)


class SheetCells:
    """Makes the rows of one sheet, in a file of their own; every look is put together once.

    Parameters
    ----------
    sheet : openpyxl worksheet
        Everything of the sheet but its rows; of a workbook that is only written.

    Attributes
    ----------
    rows : binary file
        The rows so far; gone when it is closed.
    links : list of (str, str)
        Cell and where it leads to.
    """

    def __init__(self, sheet: Any) -> None:
        self.sheet = sheet
        self.rows: IO[bytes] = tempfile.TemporaryFile()  # noqa: SIM115
        self.links: list[tuple[str, str]] = []
        self._count = 0
        self._letters: list[str] = []
        self._styles: dict[tuple[Look, str, bool], str] = {}
        # Most texts stand in many rows.
        self._text = lru_cache(_TEXTS_KEPT)(self._text_cell)

    def append(self, row: Sequence[str | None], lines: int = 1, *, link: str = "") -> None:
        """Write the next row, high enough for so many lines of text; its last cell may be a link."""
        self._count += 1
        number = self._count
        while len(self._letters) < len(row):
            self._letters.append(f'<c r="{get_column_letter(len(self._letters) + 1)}')
        height = ""
        if lines > 1:
            points = min(_HIGHEST_ROW, _LINE_HEIGHT * lines + 2.0)
            height = f' ht="{points:.16g}" customHeight="1"'
        cells = [
            f'{letter}{number}"{cell}'
            for letter, cell in zip(self._letters, row, strict=False)
            if cell is not None
        ]
        self.rows.write(f'<row r="{number}"{height}>{"".join(cells)}</row>'.encode())
        if link:
            self.links.append((f"{get_column_letter(len(row))}{number}", link))

    def cell(self, value: Any, look: Look = PLAIN) -> str | None:
        """A cell with a value of its type; None for nothing to write.

        Parameters
        ----------
        value : str, number, bool, date, time, datetime, timedelta or None
            Not-a-number counts as None, an endless number is written "unlimited".
        look : Look
            The number format of a date or time is set by its type.

        Returns
        -------
        str or None
            The cell's XML behind its place; None where there is neither value, fill nor line.
        """
        if isinstance(value, str) and value:
            return self._text(value, look)
        held = sheet_value(value)
        if held is None:
            seen = look.fill or look.lined or look.framed
            return f"{self._style(look)} />" if seen else None
        if isinstance(held, str):
            return self._text(held, look)
        if isinstance(held, bool):
            return f'{self._style(look)} t="b"><v>{held:d}</v></c>'
        if not isinstance(held, int | float):
            style = self._style(look, _format_of(held) if look.number_format == "General" else "")
            return f'{style} t="n"><v>{to_excel(held):.16g}</v></c>'
        return f'{self._style(look)} t="n"><v>{held:.16g}</v></c>'

    def row(self, values: Iterable[Any], look: Look = PLAIN) -> list[str | None]:
        """Cells of one look."""
        return [self.cell(value, look) for value in values]

    def _text_cell(self, value: str, look: Look) -> str:
        text = sheet_text(value)
        # What begins like a formula stays text when somebody edits it.
        style = self._style(look, literal=text.startswith(FORMULA_STARTS))
        kept = ' xml:space="preserve"' if text != text.strip() else ""
        return f'{style} t="inlineStr"><is><t{kept}>{escape(text)}</t></is></c>'

    def _style(self, look: Look, number_format: str = "", literal: bool = False) -> str:
        key = look, number_format, literal
        found = self._styles.get(key)
        if found is None:
            made: Any = WriteOnlyCell(self.sheet)
            made.font = Font(name="Calibri", size=10, bold=look.bold, color=f"FF{look.ink}")
            made.alignment = Alignment(vertical="top", wrap_text=look.wrap, horizontal=look.side or None)
            made.number_format = number_format or look.number_format
            if look.fill:
                made.fill = PatternFill("solid", fgColor=f"FF{look.fill}")
            if look.framed or look.lined:
                line = Side(style="thin", color=f"FF{_LINE}")
                around = line if look.framed else None
                made.border = Border(left=around, right=around, top=around, bottom=line)
            if literal:
                made.quotePrefix = True
            found = self._styles[key] = f' s="{made.style_id}"'
        return found


def sheet_value(value: Any) -> Any:
    """The value as a cell can hold it.

    Parameters
    ----------
    value : object
        As known to the program, or as read from somebody's workbook.

    Returns
    -------
    str, number, bool, date, time, datetime, timedelta or None
        Empty text and not-a-number become None; dates that spreadsheets count differently, and times with a
        zone, become text.
    """
    if isinstance(value, np.generic):
        value = value.item()
    if value is None or value == "":
        return None
    if isinstance(value, bool | int):
        return value
    if isinstance(value, float):
        if math.isfinite(value):
            return value
        return None if math.isnan(value) else "unlimited" if value > 0 else "-unlimited"
    if isinstance(value, dt.datetime):
        safe = value.tzinfo is None and value.date() >= _FIRST_SAFE_DAY
        return value if safe else value.isoformat(sep=" ")
    if isinstance(value, dt.date):
        return value if value >= _FIRST_SAFE_DAY else value.isoformat()
    if isinstance(value, dt.time):
        return value if value.tzinfo is None else value.isoformat()
    if isinstance(value, dt.timedelta):
        return value
    return sheet_text(str(value))


def sheet_text(text: str) -> str:
    """Text as the file can hold it: control characters escaped, cut where it is too long, which the end says."""
    safe = _UNSAFE.sub(lambda found: f"_x{ord(found[0]):04X}_", text)
    safe = _LONE_SURROGATE.sub("\ufffd", safe)
    if len(safe) <= LONGEST_TEXT:
        return safe
    mark = _CUT.format(len(text))
    return safe[: LONGEST_TEXT - len(mark)] + mark


def lines_of(text: Any, width: float) -> int:
    """How many lines a text takes in a column of so many characters, roughly.

    A column's width counts digits of the larger standard font, so that a line holds more letters than that.
    """
    return _lines_of(str(text or ""), width)


@lru_cache(_TEXTS_KEPT)
def _lines_of(text: str, width: float) -> int:
    each = max(1, int(1.1 * width - 1.0))
    return sum(_broken(line, each) for line in text.splitlines()) or 1


def _broken(line: str, each: int) -> int:
    """Lines of so many letters at most, broken between words where there are any."""
    if len(line) <= each:
        return 1
    count, used = 1, 0
    for word in line.split(" "):
        if used and used + 1 + len(word) > each:
            count, used = count + 1, 0
        used += len(word) + (used > 0)
        if used > each:
            count += (used - 1) // each
            used = (used - 1) % each + 1
    return count


def _format_of(value: Any) -> str:
    """Number format of a date or time; empty for other values. Midnight is taken for a day without a time."""
    if isinstance(value, dt.datetime) and value.time() != dt.time():
        return "yyyy-mm-dd hh:mm:ss" if value.second or value.microsecond else "yyyy-mm-dd hh:mm"
    if isinstance(value, dt.date):
        return "yyyy-mm-dd"
    if isinstance(value, dt.time):
        return "hh:mm:ss"
    return "[h]:mm:ss" if isinstance(value, dt.timedelta) else ""


def set_up(sheet: Any, widths: Iterable[float], *, freeze: str) -> None:
    """Column widths, frozen rows and columns, and printing: landscape, one page wide, headings on each.

    Parameters
    ----------
    sheet : openpyxl worksheet
        Before its first row is written.
    widths : iterable of float
        In characters, from column A on.
    freeze : str
        First cell that scrolls; empty for a sheet without headings.
    """
    for place, width in enumerate(widths, start=1):
        sheet.column_dimensions[get_column_letter(place)].width = width
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_margins = PageMargins(left=0.4, right=0.4, top=0.5, bottom=0.6, header=0.3, footer=0.3)
    sheet.HeaderFooter.oddFooter.left.text = "&A"
    sheet.HeaderFooter.oddFooter.right.text = "&P / &N"
    if freeze:
        sheet.freeze_panes = freeze
        sheet.print_title_rows = "1:1"
