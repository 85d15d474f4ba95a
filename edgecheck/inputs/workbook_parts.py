"""The parts of a workbook around its cells: sheets, texts shared by cells, styles that make numbers dates.

In go the bytes of an XLSX file, out comes `WorkbookParts`. The layout is that of ISO/IEC 29500-1 (Office Open
XML), 12.3 and 18.2 to 18.8. Which number formats are dates is openpyxl's knowledge. Cells are read by
`sheet_scan`: at 50,000 rows openpyxl's own reader takes three times as long and does not tell merged cells.
"""

import datetime as dt
import io
import posixpath
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import IO
from xml.etree import ElementTree as ET

from openpyxl.styles.numbers import BUILTIN_FORMATS, is_date_format, is_timedelta_format
from openpyxl.utils.datetime import MAC_EPOCH, WINDOWS_EPOCH

_ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")
_ZEROS = re.compile("0{2,}")
_ROOT_RELATIONS = "_rels/.rels"


class BrokenWorkbook(Exception):
    """The bytes are no workbook, or one that lacks a part."""


@dataclass(frozen=True)
class Styles:
    """What the style of a numeric cell says about its value.

    Parameters
    ----------
    dates, durations : frozenset of int
        Styles of dates, and among them of lengths of time.
    padded : mapping of int to int
        Style -> number of digits, for formats that fill up with zeros.
    """

    dates: frozenset[int] = frozenset()
    durations: frozenset[int] = frozenset()
    padded: dict[int, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Sheet:
    """A sheet with cells: its name, its part of the archive, and whether it is shown."""

    name: str
    part: str
    visible: bool


@dataclass(frozen=True)
class WorkbookParts:
    """A workbook without its cells.

    Parameters
    ----------
    sheets : tuple of Sheet
        In the order of their tabs.
    shared : tuple of str
        Texts that cells refer to by number.
    styles : Styles
        Styles of cells.
    epoch : datetime.datetime
        Day zero of its dates.
    """

    archive: zipfile.ZipFile
    sheets: tuple[Sheet, ...]
    shared: tuple[str, ...]
    styles: Styles
    epoch: dt.datetime

    def open(self, sheet: Sheet) -> IO[bytes]:
        """XML of a sheet."""
        return self.archive.open(sheet.part)


def read_parts(data: bytes) -> WorkbookParts:
    """Read what surrounds the cells of a workbook.

    Parameters
    ----------
    data : bytes
        The file.

    Returns
    -------
    parts : WorkbookParts

    Raises
    ------
    BrokenWorkbook
        Says what is wrong.
    """
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
        book = _target(archive, _ROOT_RELATIONS, "", "/officeDocument")
        root = ET.fromstring(archive.read(book))
        folder = posixpath.dirname(book)
        relations = posixpath.join(folder, "_rels", posixpath.basename(book) + ".rels")
        if _name(root) != "workbook":
            raise BrokenWorkbook("it is no XLSX workbook")
        return WorkbookParts(
            archive,
            tuple(_sheets(archive, root, relations, folder)),
            tuple(_shared(archive, _optional(archive, relations, folder, "/sharedStrings"))),
            _styles(archive, _optional(archive, relations, folder, "/styles")),
            _epoch(root),
        )
    except (zipfile.BadZipFile, KeyError, ET.ParseError, ValueError, RuntimeError) as error:
        raise BrokenWorkbook(str(error)) from error


def decoded(text: str) -> str:
    """Text with the characters that a workbook writes as `_xHHHH_` (ISO/IEC 29500-1, 22.9.2.19)."""
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text) if "_x" in text else text


def _name(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def _relations(archive: zipfile.ZipFile, part: str, folder: str) -> Iterator[tuple[str, str, str]]:
    """Id, type and target of every relation of a part."""
    for relation in ET.fromstring(archive.read(part)):
        target = relation.get("Target", "")
        inside = target.lstrip("/") if target.startswith("/") else posixpath.join(folder, target)
        yield relation.get("Id", ""), relation.get("Type", ""), posixpath.normpath(inside)


def _target(archive: zipfile.ZipFile, part: str, folder: str, kind: str) -> str:
    return next(
        (target for _, type_, target in _relations(archive, part, folder) if type_.endswith(kind)), ""
    )


def _optional(archive: zipfile.ZipFile, relations: str, folder: str, kind: str) -> str:
    target = _target(archive, relations, folder, kind)
    return target if target in archive.namelist() else ""


def _sheets(archive: zipfile.ZipFile, root: ET.Element, relations: str, folder: str) -> Iterator[Sheet]:
    parts = {
        key: target
        for key, type_, target in _relations(archive, relations, folder)
        if type_.endswith("/worksheet")
    }
    for element in root.iter():
        if _name(element) != "sheet":
            continue
        key = next((value for name, value in element.attrib.items() if name.endswith("}id")), "")
        if parts.get(key) in archive.namelist():
            visible = element.get("state", "visible") == "visible"
            yield Sheet(element.get("name", ""), parts[key], visible)


def _epoch(root: ET.Element) -> dt.datetime:
    settings = next((element for element in root.iter() if _name(element) == "workbookPr"), None)
    old_mac = settings is not None and settings.get("date1904", "0") in ("1", "true", "on")
    return MAC_EPOCH if old_mac else WINDOWS_EPOCH


def _shared(archive: zipfile.ZipFile, part: str) -> Iterator[str]:
    """Shared texts without their formats and without the readings above Asian letters."""
    if not part:
        return
    with archive.open(part) as stream:
        for _, element in ET.iterparse(stream):
            if _name(element) == "si":
                yield decoded("".join(_texts(element)))
                element.clear()


def _texts(element: ET.Element) -> Iterator[str]:
    for child in element:
        name = _name(child)
        if name == "t":
            yield child.text or ""
        elif name == "r":
            yield from _texts(child)


def _styles(archive: zipfile.ZipFile, part: str) -> Styles:
    if not part:
        return Styles()
    root = ET.fromstring(archive.read(part))
    formats = {number: str(code) for number, code in BUILTIN_FORMATS.items()}
    for element in root.iter():
        if _name(element) == "numFmt":
            formats[int(element.get("numFmtId", "0"))] = element.get("formatCode", "General")
    cells = next((element for element in root if _name(element) == "cellXfs"), None)
    codes = [formats.get(int(style.get("numFmtId", "0")), "General") for style in cells or ()]
    return Styles(
        frozenset(at for at, code in enumerate(codes) if is_date_format(code)),
        frozenset(at for at, code in enumerate(codes) if is_timedelta_format(code)),
        {at: len(code) for at, code in enumerate(codes) if _ZEROS.fullmatch(code)},
    )
