"""verdicts.xlsx: the run as a workbook for people.

Sheets: `verdicts` (the planner's own cells and ours), `survey` (what to find out, with a column for answers),
`columns` (what every column means), `about` (run, criteria, counts, cautions). Nothing in it depends on the time
or the machine.
"""

import datetime as dt
import shutil
import zipfile
from collections.abc import Mapping
from os import PathLike
from pathlib import Path
from typing import Any, BinaryIO

from openpyxl.packaging.core import DocumentProperties
from openpyxl.workbook.workbook import Workbook
from openpyxl.writer.excel import ExcelWriter

from edgecheck.outputs.about_sheet import write_about_sheet
from edgecheck.outputs.column_sheet import write_column_sheet
from edgecheck.outputs.survey_sheet import Questions, write_survey_sheet
from edgecheck.outputs.verdict_sheet import write_verdict_sheet
from edgecheck.screening.run import Run

# The oldest time that a ZIP archive can hold; the workbook says nothing of when it was written.
_NO_TIME = (1980, 1, 1, 0, 0, 0)


def write_workbook(
    run: Run,
    questions: Questions,
    record: Mapping[str, Any],
    folders: Mapping[int, str],
    pages: Mapping[int, str],
    out: Path | BinaryIO,
) -> None:
    """Write verdicts.xlsx row by row (a workbook by ISO/IEC 29500, XLSX).

    Parameters
    ----------
    run : Run
        Finished.
    questions : Questions
        After they have passed by.
    record : mapping
        What run.json says of the run.
    folders : mapping
        Site folder by the row's line number, where one was written.
    pages : mapping
        Page of a site, relative to the workbook, by the row's line number.
    out : Path or binary file
        Where to.
    """
    plan = run.plan
    book = Workbook(write_only=True)
    write_verdict_sheet(book, plan.site_list, run.results, run.ranks, folders, pages)
    remarks = write_survey_sheet(book, questions)
    write_column_sheet(book, plan.site_list)
    write_about_sheet(book, record, plan, run.verdicts, remarks)
    _save(book, plan.site_list.path.stem, out)


def _save(book: Workbook, title: str, out: Path | BinaryIO) -> None:
    """Save the workbook without the time of writing."""
    moment = dt.datetime(*_NO_TIME, tzinfo=dt.UTC).replace(tzinfo=None)
    book.properties = DocumentProperties(creator="edgecheck", title=title, created=moment, modified=moment)
    ExcelWriter(book, _TimelessZip(out, "w", zipfile.ZIP_DEFLATED)).save()


class _TimelessZip(zipfile.ZipFile):
    """A ZIP archive whose entries all bear the same time."""

    def writestr(
        self,
        zinfo_or_arcname: zipfile.ZipInfo | str,
        data: Any,
        compress_type: int | None = None,
        compresslevel: int | None = None,
    ) -> None:
        """Add text or bytes."""
        given = zinfo_or_arcname
        name = given.filename if isinstance(given, zipfile.ZipInfo) else given
        super().writestr(_entry(name), data, compress_type, compresslevel)

    def write(
        self, filename: str | PathLike[str], arcname: str | PathLike[str] | None = None, *_: Any, **__: Any
    ) -> None:
        """Add a file, piece by piece."""
        entry = _entry(str(arcname or filename))
        entry.file_size = Path(filename).stat().st_size
        with Path(filename).open("rb") as source, self.open(entry, "w") as to:
            shutil.copyfileobj(source, to, 1 << 20)


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, _NO_TIME)
    entry.compress_type = zipfile.ZIP_DEFLATED
    # As on Unix, whatever the system: the owner may read and write.
    entry.create_system, entry.external_attr = 3, 0o600 << 16
    return entry
