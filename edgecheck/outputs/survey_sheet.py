"""The survey list: what is missing, asked as questions, as survey.csv and as a sheet to be filled in.

In go the questions of a run in their order, out come the text of survey.csv and the sheet `survey`, whose last
column waits for answers. Both have the same headings and may be given back.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import cache
from operator import attrgetter
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.cell_range import MultiCellRange
from openpyxl.worksheet.datavalidation import DataValidation

from edgecheck.inputs.columns import columns
from edgecheck.inputs.survey_columns import SURVEY_COLUMNS, SurveyItem
from edgecheck.outputs.number_text import cell as table_text
from edgecheck.outputs.sheet_book import Book
from edgecheck.outputs.sheet_cells import (
    ANSWER,
    HEADING,
    OUR_HEADING,
    Look,
    lines_of,
    set_up,
)
from edgecheck.outputs.tables import csv_line

TITLE = "survey"
# Nobody fills in more by hand; survey.csv always holds every question.
MOST_ROWS = 20_000
# Characters of a list of choices, and cells that share one list.
_LONGEST_CHOICES, _CELLS_TOGETHER = 255, 400
_WIDTHS = {
    "site_id": 14.0,
    "name": 20.0,
    "order": 8.0,
    "key": 26.0,
    "question": 44.0,
    "unit": 8.0,
    "allowed": 24.0,
    "who_knows": 18.0,
    "why": 36.0,
    "decides": 22.0,
    "answer": 24.0,
}
_WRAPPED = frozenset({"name", "key", "question", "allowed", "who_knows", "why", "decides"})
_PLAIN, _LINES, _ORDER = Look(lined=True), Look(lined=True, wrap=True), Look(lined=True, side="center")
_ANSWER = Look(fill=ANSWER, framed=True, wrap=True)


def survey_head() -> str:
    """Headings of survey.csv."""
    return csv_line(SURVEY_COLUMNS)


def survey_rows(items: Iterable[SurveyItem]) -> list[tuple[Any, ...]]:
    """What the table and the sheet say of questions, under the headings: texts, and the order as a number."""
    return [(*_before_decides(item), "; ".join(item.decides), item.answer) for item in items]


def survey_text(rows: Iterable[tuple[Any, ...]]) -> str:
    """Lines of survey.csv."""
    return "".join([csv_line(map(str, row)) for row in rows])


class SurveySheet:
    """The sheet in the making: all questions are counted, those of the first sites are shown.

    Parameters
    ----------
    book : Book
        Gets the sheet.
    most : int
        Greatest number shown.
    """

    def __init__(self, book: Book, most: int = MOST_ROWS) -> None:
        self.count = self.shown = 0
        self._most = most
        self._cells = cells = book.sheet(TITLE)
        # Rows by the answers that may be chosen there.
        self._choices: dict[str, list[int]] = defaultdict(list)
        set_up(cells.sheet, [_WIDTHS[name] for name in SURVEY_COLUMNS], freeze="C2")
        cells.append(
            [cells.cell(name, OUR_HEADING if name == "answer" else HEADING) for name in SURVEY_COLUMNS]
        )

    def add(self, rows: Sequence[tuple[Any, ...]]) -> None:
        """Take in the questions of the next site, from `survey_rows`; the sheet ends with a whole site."""
        complete = self.shown == self.count
        self.count += len(rows)
        if complete and self.count <= self._most:
            self._show(rows)
        elif complete and not self.shown:  # the first site alone has too many
            self._show(rows[: self._most])

    def _show(self, rows: Iterable[tuple[Any, ...]]) -> None:
        cells = self._cells
        for row in rows:
            self.shown += 1
            lines = max([lines_of(row[at], width) for at, width in _BROKEN])
            cells.append(list(map(cells.cell, row, _LOOKS)), lines)
            choices = _choices(row[_KEY])
            if choices:
                self._choices[choices].append(self.shown + 1)

    def finish(self) -> tuple[str, ...]:
        """End the sheet.

        Returns
        -------
        tuple of str
            What it leaves out, for the sheet `about`.
        """
        sheet = self._cells.sheet
        sheet.auto_filter.ref = f"A1:{get_column_letter(len(SURVEY_COLUMNS))}{self.shown + 1}"
        for choices, rows in self._choices.items():
            for start in range(0, len(rows), _CELLS_TOGETHER):
                sheet.data_validations.append(_offer(choices, rows[start : start + _CELLS_TOGETHER]))
        if self.shown == self.count:
            return ()
        return (
            f"The sheet {TITLE} holds {self.shown} of {self.count} questions; survey.csv holds all of them.",
        )


_before_decides = attrgetter(*SURVEY_COLUMNS[: SURVEY_COLUMNS.index("decides")])
_KEY = SURVEY_COLUMNS.index("key")


def _look(name: str) -> Look:
    if name == "answer":
        return _ANSWER
    if name == "order":
        return _ORDER
    return _LINES if name in _WRAPPED else _PLAIN


_LOOKS = tuple(_look(name) for name in SURVEY_COLUMNS)
# Columns whose text is broken into lines, by place, with their width.
_BROKEN = tuple((at, _WIDTHS[name]) for at, name in enumerate(SURVEY_COLUMNS) if _LOOKS[at].wrap)


@cache
def _choices(key: str) -> str:
    """Answers that may be chosen for a key, joined by commas; empty where it takes any."""
    column = columns().get(key)
    if column is None or not column.values:
        return ""
    words = [table_text(value) for value in column.values]
    if column.none_allowed and "none" not in words:
        words.append("none")
    choices = ",".join(words)
    return choices if len(choices) <= _LONGEST_CHOICES else ""


def _offer(choices: str, rows: Sequence[int]) -> DataValidation:
    """The choices as a list in the answer cells of these rows."""
    letter = get_column_letter(SURVEY_COLUMNS.index("answer") + 1)
    offered = DataValidation(
        type="list",
        formula1=f'"{choices}"',
        allow_blank=True,
        showErrorMessage=True,
        sqref=MultiCellRange(" ".join(f"{letter}{row}" for row in rows)),
    )
    offered.errorTitle = "Not one of the choices"
    offered.error = f"Choose one of: {choices.replace(',', ', ')}"[:_LONGEST_CHOICES]
    return offered
