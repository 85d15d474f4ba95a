"""The lists of a finished run, all made while its results pass by once.

In: a run, its folder. Out: verdicts.csv, verdicts.xlsx, survey.csv and sites.geojson, what run.json says, and the
list page. Every result is read and put into words once; nothing of it stays in memory but what the page shows.
"""

from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from edgecheck.outputs.folder import LineFile, RunFolder
from edgecheck.outputs.geojson import Points
from edgecheck.outputs.listed_row import listed_rows
from edgecheck.outputs.pages import page_of
from edgecheck.outputs.run_facts import RunFacts, record_of
from edgecheck.outputs.survey_sheet import survey_head, survey_rows, survey_text
from edgecheck.outputs.tables import VerdictTable
from edgecheck.outputs.views.listing import Overview
from edgecheck.outputs.workbook import VerdictBook
from edgecheck.screening.run import Run
from edgecheck.screening.survey import questions_at

_BOOK, _TEXTS = "verdicts.xlsx", ("verdicts.csv", "survey.csv", "sites.geojson")


def write_lists(
    folder: RunFolder,
    run: Run,
    command: Sequence[str],
    written: Mapping[int, str],
    pages: Mapping[int, str],
) -> tuple[dict[str, Any], str]:
    """Write the lists.

    Parameters
    ----------
    folder : RunFolder
        Where to.
    run : Run
        Finished.
    command : sequence of str
        The words of the command line.
    written, pages : mapping
        Site folder, and page of a site relative to the folder, by the row's line number, where there is one.

    Returns
    -------
    record : dict
        What run.json says of the run.
    page : str
        index.html.

    Raises
    ------
    FolderRefused
        If one cannot be written; none is then put in place.
    ValueError
        If there is not one result a row.
    """
    if len(run.results) != len(run.plan.site_list.sites):
        raise ValueError(f"{len(run.results)} results for {len(run.plan.site_list.sites)} rows of the list")
    lists = _Lists(run, command, written, pages)
    folder.write_together((_BOOK, *_TEXTS), lambda parts: lists.fill(folder.path, parts))
    return lists.record, page_of(lists.overview.finished(run.plan.site_list.path.stem, lists.record))


class _Lists:
    """The lists in the making."""

    def __init__(
        self, run: Run, command: Sequence[str], written: Mapping[int, str], pages: Mapping[int, str]
    ) -> None:
        site_list = run.plan.site_list
        reports = {row: name for row, name in written.items() if row in pages}
        self.run, self.command, self.written = run, command, written
        self.table, self.points = VerdictTable(site_list), Points(site_list.sites)
        self.book = VerdictBook(run.plan, pages)
        self.overview = Overview(run.plan.criteria.need, reports, site_list)
        self.record: dict[str, Any] = {}

    def fill(self, folder: Path, parts: Mapping[str, Path]) -> None:
        """Fill the files at the paths that stand for them."""
        run, facts = self.run, RunFacts()
        with ExitStack() as to_close:
            files = [to_close.enter_context(LineFile(folder / name, parts[name])) for name in _TEXTS]
            verdicts, survey, points = files
            verdicts.write(self.table.head())
            survey.write(survey_head())
            points.write(self.points.head())
            for row in listed_rows(run.results, run.ranks, self.written):
                questions = survey_rows(questions_at(run.plan, row.place, row.result))
                facts.add(row.result)
                verdicts.write(self.table.line(row))
                survey.write(survey_text(questions))
                points.write(self.points.line(row))
                self.book.add(row, questions)
                self.overview.add(row)
            points.write(self.points.end())
        self.record = record_of(run, self.command, facts)
        self.book.save(self.record, run.verdicts, parts[_BOOK])
