"""The sites of the list page as compact rows, best rank first.

A row holds id, name, folder of the report, position, the checks that stand against the site, and a cell a column.
Texts stand once, in a pool, and rows point at them; numbers have the digits that the page prints. Only these rows
stay in memory, however long the list is.
"""

import json
import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from edgecheck.inputs.sites import Site, SiteList
from edgecheck.outputs.geojson import geometry
from edgecheck.outputs.listed_row import ListedRow
from edgecheck.outputs.number_text import cell, readable
from edgecheck.outputs.views.portfolio_columns import (
    PageColumn,
    list_words,
    number_words,
    our_columns,
    own_column,
    printed_number,
)

MOST_OWN_COLUMNS = 8
# A cell of a list may hold whole letters; a page of thousands of sites cannot.
LONGEST_OWN, LONGEST_OURS = 300, 1200
_HEAD = 6  # fields of a row before its cells
_NOTHING = ("", "not covered")


class SiteRows:
    """Rows of the sites that stand on the page.

    Parameters
    ----------
    site_list : SiteList, optional
        As it was read; without it no position and no own column is known.
    """

    def __init__(self, site_list: SiteList | None) -> None:
        headings = [] if site_list is None else own_headings(site_list)
        self.left_out = tuple(headings[MOST_OWN_COLUMNS:])
        headings = headings[:MOST_OWN_COLUMNS]
        names = {} if site_list is None else site_list.returned_as
        self._columns = [*our_columns(), *(own_column(names.get(name, name)) for name in headings)]
        self._own = [] if site_list is None else [site_list.cells[name].tolist() for name in headings]
        self._sites: Sequence[Site] = () if site_list is None else site_list.sites
        self._pool: dict[str, int] = {"": 0}
        self._rows: list[tuple[float, int, list[Any]]] = []

    def add(self, row: ListedRow, report: str | None, against: Sequence[int]) -> None:
        """Take in a site: its row, the folder of its report where it has one, and the checks against it."""
        result, latitude, longitude = row.result, None, None
        found = geometry(self._sites[row.place]) if row.place < len(self._sites) else None
        if found is not None:
            longitude, latitude = (round(degrees, 5) for degrees in found["coordinates"])
        head: list[Any] = [
            cut(result.site_id, LONGEST_OWN), cut(result.name, LONGEST_OWN), report or "", latitude, longitude,
            list(against),
        ]  # fmt: skip
        ours = [self._cell(row, column) for column in self._columns if not column.own]
        own = [self._text(cut(texts[row.place], LONGEST_OWN)) for texts in self._own]
        self._rows.append((math.inf if row.rank is None else row.rank, result.row, [*head, *ours, *own]))

    def finished(self, most: int) -> "Portfolio":
        """The best rows, without columns in which no site has anything."""
        self._rows.sort(key=lambda entry: entry[:2])
        rows = [row for _, _, row in self._rows[:most]]
        texts = list(self._pool)
        kept = [
            place
            for place, column in enumerate(self._columns)
            if any(_says_something(row[_HEAD + place], column, texts) for row in rows)
        ]
        slim = tuple((*row[:_HEAD], *(row[_HEAD + place] for place in kept)) for row in rows)
        return Portfolio(tuple(self._columns[place] for place in kept), tuple(texts), slim, self.left_out)

    def _cell(self, row: ListedRow, column: PageColumn) -> Any:
        value = row.values[column.key]
        if column.kind == "number":
            return printed_number(value, column)
        if column.kind == "list":
            return [self._text(_shown(cell(entry))) for entry in value or ()]
        text = row.texts[column.key]
        return self._text(_shown(text) if column.key == "reason" else text)

    def _text(self, text: str) -> int:
        return self._pool.setdefault(text, len(self._pool))


class Portfolio:
    """The sites of a page.

    Parameters
    ----------
    columns : tuple of PageColumn
        What the table can show.
    texts : tuple of str
        The pool.
    rows : tuple of tuple
        One a site, best first: id, name, folder, latitude, longitude, checks against it, then a cell a column.
    left_out : tuple of str
        Own columns for which there is no room.
    """

    def __init__(
        self,
        columns: tuple[PageColumn, ...],
        texts: tuple[str, ...],
        rows: tuple[tuple[Any, ...], ...],
        left_out: tuple[str, ...],
    ) -> None:
        self.columns = columns
        self.texts = texts
        self.rows = rows
        self.left_out = left_out

    def json(self, verdicts: Sequence[str]) -> str:
        """What the page's program reads, safe inside a script element of HTML."""
        record: Mapping[str, Any] = {
            "verdicts": list(verdicts),
            "columns": [column.to_dict() for column in self.columns],
            "texts": self.texts,
            "rows": self.rows,
        }
        text = json.dumps(record, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        for sign in "<>&\u2028\u2029":
            text = text.replace(sign, f"\\u{ord(sign):04x}")
        return text

    def words(self, row: Sequence[Any], place: int) -> str:
        """The cell of a row in a column, as the page shows it."""
        column, value = self.columns[place], row[_HEAD + place]
        if column.kind == "number":
            return number_words(value, column)
        if column.kind == "list":
            return list_words([self.texts[entry] for entry in value])
        return self.texts[value]


def own_headings(site_list: SiteList) -> list[str]:
    """The planner's own columns that say anything, in the order of the list."""
    return [name for name in site_list.own_columns if any(text.strip() for text in site_list.cells[name])]


def cut(text: str, longest: int) -> str:
    """Text of a bearable length; what was cut off is marked with "…"."""
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


@lru_cache(4096)
def _shown(text: str) -> str:
    """A sentence of ours as the page has it; most are those of many sites."""
    return cut(readable(text), LONGEST_OURS)


def _says_something(value: Any, column: PageColumn, texts: Sequence[str]) -> bool:
    if column.kind == "number":
        return value is not None
    return bool(value) if column.kind == "list" else texts[value] not in _NOTHING
