"""A workbook whose rows come as text; openpyxl makes everything else of it, styles and sheets.

In go rows, a sheet at a time or of several sheets in turn, out comes an XLSX file (ISO/IEC 29500). Nothing in it
depends on the time or the machine.
"""

import datetime as dt
import re
import shutil
import zipfile
from collections.abc import Mapping
from os import PathLike
from pathlib import Path
from typing import IO, Any, BinaryIO

from openpyxl.packaging.core import DocumentProperties
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.writer.excel import ExcelWriter

from edgecheck.outputs.sheet_cells import SheetCells

# The oldest time that a ZIP archive can hold; the workbook says nothing of when it was written.
_NO_TIME = (1980, 1, 1, 0, 0, 0)
_NO_ROWS = re.compile(rb"<sheetData *(?:/>|></sheetData>)")


class Book:
    """A workbook in the making; of its rows nothing is in memory."""

    def __init__(self) -> None:
        self._book = Workbook(write_only=True)
        self._sheets: list[SheetCells] = []

    def sheet(self, title: str) -> SheetCells:
        """The next sheet, to be filled row by row."""
        cells = SheetCells(self._book.create_sheet(title))
        self._sheets.append(cells)
        return cells

    def save(self, title: str, out: Path | BinaryIO) -> None:
        """Write the workbook, once, without the time of writing.

        Parameters
        ----------
        title : str
            Of the workbook.
        out : Path or binary file
            Where to.
        """
        moment = dt.datetime(*_NO_TIME, tzinfo=dt.UTC).replace(tzinfo=None)
        self._book.properties = DocumentProperties(
            creator="edgecheck", title=title, created=moment, modified=moment
        )
        rows = {}
        for number, cells in enumerate(self._sheets, start=1):
            cells.sheet._get_writer()  # it begins with an empty list of links
            cells.sheet._hyperlinks += [Hyperlink(ref=place, target=to) for place, to in cells.links]
            rows[f"xl/worksheets/sheet{number}.xml"] = cells.rows
        ExcelWriter(self._book, _Archive(out, rows)).save()
        for cells in self._sheets:
            cells.rows.close()


class _Archive(zipfile.ZipFile):
    """A ZIP archive whose entries all bear the same time, and whose sheets get their rows.

    Parameters
    ----------
    out : Path or binary file
        Where to.
    rows : mapping
        Name of a sheet in the archive -> its rows.
    """

    def __init__(self, out: Path | BinaryIO, rows: Mapping[str, IO[bytes]]) -> None:
        super().__init__(out, "w", zipfile.ZIP_DEFLATED)
        self._rows = rows

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
        """Add a sheet, piece by piece: openpyxl's file of it with our rows inside."""
        name = str(arcname or filename)
        head, tail = _NO_ROWS.split(Path(filename).read_bytes())
        rows = self._rows[name]
        rows.seek(0)
        with self.open(_entry(name), "w", force_zip64=True) as to:
            to.write(head + b"<sheetData>")
            shutil.copyfileobj(rows, to, 1 << 20)
            to.write(b"</sheetData>" + tail)


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, _NO_TIME)
    entry.compress_type = zipfile.ZIP_DEFLATED
    # As on Unix, whatever the system: the owner may read and write.
    entry.create_system, entry.external_attr = 3, 0o600 << 16
    return entry
