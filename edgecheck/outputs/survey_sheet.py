"""The survey list: what is missing, asked as questions, as survey.csv and as a sheet to be filled in.

In go the questions of a run in their order, out come the text of survey.csv and the sheet `survey`, whose last
column waits for answers. Both have the same headings and may be given back.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.cell_range import MultiCellRange
from openpyxl.worksheet.datavalidation import DataValidation

from edgecheck.inputs.columns import columns
from edgecheck.inputs.survey_columns import SURVEY_COLUMNS, SurveyItem
from edgecheck.outputs.number_text import cell as table_text
from edgecheck.outputs.sheet_cells import (
    ANSWER,
    HEADING,
    OUR_HEADING,
    Look,
    SheetCells,
    lines_of,
    set_up,
)
from edgecheck.outputs.tables import csv_lines

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


class Questions:
    """Questions of a run as they pass by: all are counted, the first are kept for the sheet.

    Parameters
    ----------
    items : iterable of SurveyItem
        Questions of all sites, in their order.
    most : int
        Greatest number kept.
    """

    def __init__(self, items: Iterable[SurveyItem], most: int = MOST_ROWS) -> None:
        self.count = 0
        self._items = items
        self._most = most
        self._kept: list[SurveyItem] = []

    def __iter__(self) -> Iterator[SurveyItem]:
        for item in self._items:
            self.count += 1
            if self.count <= self._most + 1:
                self._kept.append(item)
            yield item

    def shown(self) -> list[SurveyItem]:
        """Those of the sheet: all, or as many as end with a site."""
        kept, most = self._kept, self._most
        if len(kept) <= most:
            return kept
        end = most
        while end > 0 and kept[end].site_id == kept[end - 1].site_id:
            end -= 1
        return kept[: end or most]


def survey_lines(items: Iterable[SurveyItem]) -> Iterator[str]:
    """Lines of survey.csv, one after the other, so that a long list need not be held as text."""
    return csv_lines(SURVEY_COLUMNS, ([table_text(value) for value in _values(item)] for item in items))


def write_survey_sheet(book: Workbook, questions: Questions) -> tuple[str, ...]:
    """Write the sheet.

    Parameters
    ----------
    book : Workbook
        Written row by row.
    questions : Questions
        After they have passed by.

    Returns
    -------
    tuple of str
        What the sheet leaves out, for the sheet `about`.
    """
    sheet = book.create_sheet(TITLE)
    cells = SheetCells(sheet)
    shown = questions.shown()
    set_up(sheet, [_WIDTHS[name] for name in SURVEY_COLUMNS], freeze="C2")
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(SURVEY_COLUMNS))}{len(shown) + 1}"
    cells.append([cells.cell(name, OUR_HEADING if name == "answer" else HEADING) for name in SURVEY_COLUMNS])
    looks = [(_look(name), _WIDTHS[name]) for name in SURVEY_COLUMNS]
    for item in shown:
        values = [value if isinstance(value, int) else table_text(value) for value in _values(item)]
        row = [cells.cell(value, look) for value, (look, _) in zip(values, looks, strict=True)]
        lines = [
            lines_of(value, width) for value, (look, width) in zip(values, looks, strict=True) if look.wrap
        ]
        cells.append(row, max(lines))
    for choices, rows in _choices(shown).items():
        for start in range(0, len(rows), _CELLS_TOGETHER):
            sheet.data_validations.append(_offer(choices, rows[start : start + _CELLS_TOGETHER]))
    if len(shown) == questions.count:
        return ()
    return (
        f"The sheet {TITLE} holds {len(shown)} of {questions.count} questions; survey.csv holds all of them.",
    )


def _values(item: SurveyItem) -> list[Any]:
    return [getattr(item, name, "") for name in SURVEY_COLUMNS]


def _look(name: str) -> Look:
    if name == "answer":
        return _ANSWER
    if name == "order":
        return _ORDER
    return _LINES if name in _WRAPPED else _PLAIN


def _choices(items: Sequence[SurveyItem]) -> dict[str, list[int]]:
    """Rows of the sheet by the answers that may be chosen there."""
    found: dict[str, list[int]] = defaultdict(list)
    for row, item in enumerate(items, start=2):
        column = columns().get(item.key)
        if column is None or not column.values:
            continue
        words = [table_text(value) for value in column.values]
        if column.none_allowed and "none" not in words:
            words.append("none")
        choices = ",".join(words)
        if len(choices) <= _LONGEST_CHOICES:
            found[choices].append(row)
    return found


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
