"""Sheet `verdicts`: the planner's own cells, then ours, one row a site.

The headings are those of verdicts.csv, in its order, and carry the unit; so the sheet can be given back as a
list. Numbers are numbers, a verdict is a word with a fill behind it.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from openpyxl.utils import get_column_letter

from edgecheck.checks.model import GROUPS
from edgecheck.inputs.columns import Column, Heading, columns, headings
from edgecheck.inputs.sites import SiteList
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS, returned_names
from edgecheck.inputs.written_numbers import both_readings
from edgecheck.outputs.listed_row import ListedRow
from edgecheck.outputs.result_columns import RESULT_COLUMNS
from edgecheck.outputs.sheet_book import Book
from edgecheck.outputs.sheet_cells import (
    HEADING,
    OUR_HEADING,
    PLAIN,
    WRAPPED,
    Look,
    lines_of,
    set_up,
    status_look,
)

TITLE = "verdicts"
_STATUSES = frozenset({"verdict", *GROUPS})
_WIDEST, _NARROWEST = 40.0, 9.0
_LOOKED_AT = 300
# A sheet holds 65 530 links ("Excel specifications and limits", support.microsoft.com).
_MOST_LINKS = 65_000
# Characters that the filter button of a heading takes.
_FILTER = 3.0
_FROZEN_AT_MOST = 4
_SEEN_AT_ONCE = 90.0
_LOOKS = {
    name: WRAPPED
    if name == "reason"
    else PLAIN
    if column.number_format == "General"
    else Look(number_format=column.number_format)
    for name, column in RESULT_COLUMNS.items()
} | {"rank": Look(number_format="0", side="center")}


@dataclass(frozen=True)
class OwnColumn:
    """One column of the planner's list.

    Parameters
    ----------
    heading : str
        In the list.
    returned : str
        In our table.
    numeric : bool
        Whether the program reads numbers in it.
    """

    heading: str
    returned: str
    numeric: bool


class VerdictSheet:
    """The sheet in the making.

    Parameters
    ----------
    book : Book
        Gets the sheet.
    site_list : SiteList
        The list as it came.
    pages : mapping
        Page of a site, relative to the workbook, by the row's line number.
    """

    def __init__(self, book: Book, site_list: SiteList, pages: Mapping[int, str]) -> None:
        self._cells = cells = book.sheet(TITLE)
        self._pages = pages
        own = own_columns(site_list)
        self._own = own_values(site_list, own)
        own_widths = [_width(column, site_list.cells[column.heading].head(_LOOKED_AT)) for column in own]
        our_widths = [max(RESULT_COLUMNS[name].width, len(name) + _FILTER) for name in VERDICT_COLUMNS]
        widths = [*own_widths, *our_widths]
        frozen = 1 + next((at for at, column in enumerate(own) if _is_id(site_list, column)), 0)
        sheet = cells.sheet
        set_up(sheet, widths, freeze=f"{get_column_letter(frozen + 1)}2")
        first_ours = len(own) + 1
        if sum(own_widths) > _SEEN_AT_ONCE:
            # The list's columns stand left of ours: the sheet opens where ours begin, with the id beside them.
            sheet.sheet_view.pane.topLeftCell = f"{get_column_letter(first_ours)}2"
        last_row = len(site_list.sites) + 1
        sheet.auto_filter.ref = f"A1:{get_column_letter(len(widths))}{last_row}"
        sheet.print_title_cols = f"A:{get_column_letter(frozen)}"
        last_printed = get_column_letter(first_ours + VERDICT_COLUMNS.index("reason"))
        sheet.print_area = f"{get_column_letter(first_ours)}1:{last_printed}{last_row}"
        own_headings = [cells.cell(column.returned, HEADING) for column in own]
        cells.append([*own_headings, *cells.row(VERDICT_COLUMNS, OUR_HEADING)])

    def add(self, row: ListedRow) -> None:
        """Write the next row of the list."""
        cell = self._cells.cell
        written = [cell(column[row.place]) for column in self._own]
        for name, value in row.values.items():
            text = row.texts[name]
            if name in _STATUSES:
                written.append(cell(value, status_look(str(value))))
            elif isinstance(value, float) and math.isfinite(value):
                written.append(cell(float(text), _LOOKS[name]))
            else:
                written.append(cell(value if isinstance(value, int | float) else text, _LOOKS[name]))
        lines = lines_of(row.values["reason"], RESULT_COLUMNS["reason"].width)
        linked = written[-1] is not None and row.place < _MOST_LINKS
        self._cells.append(written, lines, link=self._pages.get(row.result.row, "") if linked else "")


def _is_id(site_list: SiteList, column: OwnColumn) -> bool:
    return site_list.known.get(column.heading) == "site_id"


def own_columns(site_list: SiteList) -> tuple[OwnColumn, ...]:
    """The list's columns in its order; a site_id far from the left moves to the front, where it can be frozen."""
    names = returned_names(site_list.columns)
    known = columns()
    found = [
        OwnColumn(heading, names[heading], _kind(site_list, heading, known) == "number")
        for heading in site_list.columns
    ]
    far = [at for at, column in enumerate(found) if _is_id(site_list, column)]
    if far and far[0] >= _FROZEN_AT_MOST:
        found.insert(0, found.pop(far[0]))
    return tuple(found)


def _kind(site_list: SiteList, heading: str, known: Mapping[str, Column]) -> str:
    column = known.get(site_list.known.get(heading, ""))
    return "" if column is None else column.kind


def own_values(site_list: SiteList, own: Sequence[OwnColumn]) -> list[list[Any]]:
    """Values of the list's cells by column.

    A workbook's cells keep value and type. A CSV file has only text: where the program reads numbers, a number
    becomes one, and everything else stays text as written.
    """
    if site_list.values is not None:
        places = [site_list.columns.index(column.heading) for column in own]
        return [[row[place] for row in site_list.values] for place in places]
    return [_column_values(site_list, column) for column in own]


def _column_values(site_list: SiteList, column: OwnColumn) -> list[Any]:
    texts: list[Any] = site_list.cells[column.heading].tolist()
    if not column.numeric:
        return texts
    known, heading = site_list.known[column.heading], headings().get(column.heading)
    return [
        _number(text, site.number(known), heading) for text, site in zip(texts, site_list.sites, strict=True)
    ]


def _number(text: str, read: float | None, heading: Heading | None) -> float | str:
    """The number that a cell shows; its text where it is none, or where point and comma leave a doubt."""
    point, comma = both_readings(text)
    if point is None or comma is None or point == comma:
        found = comma if point is None else point
        return text if found is None else found
    for reading in (point, comma):
        meant = reading if heading is None else heading.si(reading)
        if read is not None and math.isclose(read, meant):
            return reading
    return text


def _width(column: OwnColumn, texts: Iterable[str]) -> float:
    """Wide enough for most cells, and for the heading with its filter button."""
    longest = max((len(line) for text in texts for line in text.splitlines()), default=0)
    return min(_WIDEST, max(_NARROWEST, longest + 1.0, len(column.returned) + _FILTER))
