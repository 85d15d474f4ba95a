"""Rows of a file before anything is known about them: what the readers of CSV and XLSX hand on."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from edgecheck.base.notes import Note


@dataclass(frozen=True)
class WantedNames:
    """Headings that the reader of a file looks for.

    Parameters
    ----------
    known : frozenset of str
        Every heading that says something to the program, without needless blanks.
    required : tuple of frozenset of str
        For each column that must be there, the headings that may stand for it.
    """

    known: frozenset[str]
    required: tuple[frozenset[str], ...]

    def holds_all(self, texts: Sequence[str]) -> bool:
        """Whether a row holds a heading for every required column."""
        found = set(texts)
        return all(names & found for names in self.required)

    def count(self, texts: Sequence[str]) -> int:
        """How many cells of a row are known headings."""
        return sum(text in self.known for text in texts)


def plain_heading(text: str) -> str:
    """Heading with single blanks and without line breaks, as headings are compared."""
    return " ".join(text.split())


@dataclass(frozen=True)
class SourceRows:
    """The filled rows of a file.

    Parameters
    ----------
    file : str
        Name without folders.
    sha256 : str
        Of the file's bytes, in hex.
    rows : list of list
        Cells from the first column on; rows may differ in length. Text of a CSV file as written; values of a
        workbook with their type, None for an empty cell. Rows without any cell are left out.
    lines : list of int
        Line of the file, or row of the sheet, that each row begins on.
    blank_lines : list of int
        Lines of rows without any cell.
    sheet : str
        Name of the sheet; empty for a CSV file.
    notes : list of Note
        Encoding, separator, sheet and the like.
    shown : mapping of (int, int) to str
        Line and column (from 0) -> text, for numbers that a sheet shows with leading zeros.
    formulas : mapping of (int, int) to bool
        Line and column of every formula -> whether the sheet holds its result.
    merged : tuple of (int, int, int, int)
        First line, first column, last line, last column of merged cells.
    hidden : tuple of int
        Lines that the sheet does not show.
    """

    file: str
    sha256: str
    rows: list[list[Any]]
    lines: list[int]
    blank_lines: list[int] = field(default_factory=list)
    sheet: str = ""
    notes: list[Note] = field(default_factory=list)
    shown: Mapping[tuple[int, int], str] = field(default_factory=dict)
    formulas: Mapping[tuple[int, int], bool] = field(default_factory=dict)
    merged: tuple[tuple[int, int, int, int], ...] = ()
    hidden: tuple[int, ...] = ()

    @property
    def is_workbook(self) -> bool:
        """Whether cells have types."""
        return bool(self.sheet)
