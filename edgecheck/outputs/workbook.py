"""verdicts.xlsx: the run as a workbook for people.

Sheets: `verdicts` (the planner's own cells and ours), `survey` (what to find out, with a column for answers),
`columns` (what every column means), `about` (run, criteria, counts, cautions).
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, BinaryIO

from edgecheck.outputs.about_sheet import write_about_sheet
from edgecheck.outputs.column_sheet import write_column_sheet
from edgecheck.outputs.listed_row import ListedRow
from edgecheck.outputs.sheet_book import Book
from edgecheck.outputs.survey_sheet import MOST_ROWS, SurveySheet
from edgecheck.outputs.verdict_sheet import VerdictSheet
from edgecheck.screening.plan import Plan


class VerdictBook:
    """verdicts.xlsx in the making, row by row (a workbook by ISO/IEC 29500, XLSX).

    Parameters
    ----------
    plan : Plan
        What was screened.
    pages : mapping
        Page of a site, relative to the workbook, by the row's line number.
    most_questions : int
        Greatest number of rows of the survey.
    """

    def __init__(self, plan: Plan, pages: Mapping[int, str], most_questions: int = MOST_ROWS) -> None:
        self._plan = plan
        self._book = Book()
        self._verdicts = VerdictSheet(self._book, plan.site_list, pages)
        self._survey = SurveySheet(self._book, most_questions)

    def add(self, row: ListedRow, questions: Sequence[tuple[Any, ...]]) -> None:
        """Take in the next row of the list, with what to find out there (`survey_rows`)."""
        self._verdicts.add(row)
        self._survey.add(questions)

    def save(self, record: Mapping[str, Any], verdicts: Mapping[str, int], out: Path | BinaryIO) -> None:
        """Write the workbook when all rows have passed by.

        Parameters
        ----------
        record : mapping
            What run.json says of the run.
        verdicts : mapping
            Rows by verdict.
        out : Path or binary file
            Where to.
        """
        remarks = self._survey.finish()
        write_column_sheet(self._book, self._plan.site_list)
        write_about_sheet(self._book, record, self._plan, verdicts, remarks)
        self._book.save(self._plan.site_list.path.stem, out)
