"""One row of the site list, and the list: what the reader hands on."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from edgecheck.base.errors import Fault
from edgecheck.base.notes import Note
from edgecheck.inputs.cells import DOES_NOT_APPLY, Value
from edgecheck.inputs.toml_source import SourceFile

if TYPE_CHECKING:
    import pandas as pd

    from edgecheck.inputs.assumptions import Assumption


@dataclass(frozen=True)
class CellCaution:
    """A cell whose value should be looked at before relying on the checks it feeds.

    Parameters
    ----------
    column : str
        Column of the cell, or its US twin; for a column of another name, what it is mapped to.
    value : str
        The cell as written.
    text : str
        Why, with the unit the value may be in.
    checks : tuple of str
        Ids of the checks that the column feeds; empty for a column that feeds none.
    """

    column: str
    value: str
    text: str
    checks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Site:
    """One row of the list.

    Parameters
    ----------
    row : int
        Line of the file on which the row begins; the headings are on line 1.
    site_id, name : str
        As in the list, without blanks around it; empty where the cell is.
    values : mapping
        Column -> number in the column's unit, text, pairs or `DOES_NOT_APPLY`. Only columns that the program
        knows, always under their own name (never that of a US twin). An empty cell has no key.
    cautions : tuple of CellCaution
        Values that are possible but not usual.
    faults : tuple of Fault
        Why the row cannot be used; empty for a row that can.
    unassessable : mapping
        Check id -> why it cannot be assessed: a wrong cell in a column that feeds only checks that are not
        required. The cell's column has no key in `values`.
    assumed : mapping
        Column -> the assumption whose value stands in `values` for its empty cell.
    set_aside : tuple of str
        Wrong cells behind `unassessable`, each once.
    """

    row: int
    site_id: str
    name: str = ""
    values: Mapping[str, Value] = field(default_factory=dict)
    cautions: tuple[CellCaution, ...] = ()
    faults: tuple[Fault, ...] = ()
    unassessable: Mapping[str, str] = field(default_factory=dict)
    assumed: "Mapping[str, Assumption]" = field(default_factory=dict)
    set_aside: tuple[str, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether the row has no fault."""
        return not self.faults

    @property
    def findings(self) -> tuple[str, ...]:
        """All that is wrong or doubtful in the row, each cell once, with the likely reading."""
        faults = [(fault.key, fault.value, fault.allowed) for fault in self.faults]
        cautions = [(caution.column, caution.value.strip(), caution.text) for caution in self.cautions]
        told = [
            f"{key} {value!r}: {text}" if value else f"{key}: {text}" if key else text
            for key, value, text in faults + cautions
        ]
        return (*told[: len(faults)], *self.set_aside, *told[len(faults) :])

    def get(self, key: str) -> Value | None:
        """Look up the value of a column; None where the cell is empty."""
        return self.values.get(key)

    def known(self, key: str) -> bool:
        """Whether the cell says something, `none` included."""
        return key in self.values

    def number(self, key: str) -> float | None:
        """Look up the number of a column in its unit; None where the cell is empty or says `none`."""
        value = self.values.get(key)
        return value if isinstance(value, float) else None

    def text(self, key: str) -> str | None:
        """Look up the text or choice of a column; None where the cell is empty or does not apply."""
        value = self.values.get(key)
        return value if isinstance(value, str) and value is not DOES_NOT_APPLY else None


@dataclass(frozen=True)
class Change:
    """A cell that an answer of a survey filled or replaced.

    Parameters
    ----------
    site_id : str
        The row.
    key : str
        Column of the site list.
    old, new : str
        The cell before and after, in the unit of the list's column.
    heading : str
        Heading of the cell in the list.
    """

    site_id: str
    key: str
    old: str
    new: str
    heading: str = ""


@dataclass(frozen=True)
class SiteList:
    """A site list as read.

    Parameters
    ----------
    path : Path
        The file.
    sha256 : str
        Of its bytes, in hex.
    columns : tuple of str
        Headings in file order, without those of an earlier run's verdicts.
    cells : pandas.DataFrame, shape (rows, columns)
        Text of every row exactly as written (less the apostrophe that protects from formulas), usable or not.
    sites : tuple of Site
        In the order of the rows of `cells`.
    known : mapping
        Heading -> column, for headings that the program knows (US twins lead to their column).
    own_columns : tuple of str
        Headings that the program does not know; they come back untouched.
    lookalikes : mapping
        Own heading -> the known column that it nearly is.
    returned_as : mapping
        Heading -> heading under which it comes back (`own_<name>` where a verdict column has that name).
    notes : tuple of Note
        What was remarkable about the file.
    values : tuple of tuple, optional
        Rows of the workbook's values in the order of `columns`: str, int, float, bool, datetime, time, timedelta
        or None for an empty cell. A string stays a string, whatever it begins with; a formula has its result.
        None for a CSV file.
    changes : tuple of Change
        Cells that answers of a survey filled or replaced, in list order.
    blank_rows : int
        Rows without any cell that were left out.
    sheet : str
        Sheet of the workbook; empty for a CSV file.
    header_line : int
        Line of the headings.
    side_files : mapping of str to SourceFile
        "columns" and "survey" -> the mapping file and the filled-in survey, where there were any.
    """

    path: Path
    sha256: str
    columns: tuple[str, ...]
    cells: "pd.DataFrame"
    sites: tuple[Site, ...]
    known: Mapping[str, str]
    own_columns: tuple[str, ...]
    lookalikes: Mapping[str, str]
    returned_as: Mapping[str, str]
    notes: tuple[Note, ...] = ()
    values: tuple[tuple[object, ...], ...] | None = None
    changes: tuple[Change, ...] = ()
    blank_rows: int = 0
    sheet: str = ""
    header_line: int = 1
    side_files: Mapping[str, SourceFile] = field(default_factory=dict)

    @property
    def usable(self) -> tuple[Site, ...]:
        """Rows without a fault, in list order."""
        return tuple(site for site in self.sites if site.usable)

    @property
    def unusable(self) -> tuple[Site, ...]:
        """Rows with a fault, in list order."""
        return tuple(site for site in self.sites if not site.usable)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Faults of all rows, in list order."""
        return tuple(fault for site in self.sites for fault in site.faults)

    @property
    def counts(self) -> dict[str, int]:
        """Numbers of rows, usable and unusable rows, cells with a caution, and rows without any cell."""
        return {
            "rows": len(self.sites),
            "usable": len(self.usable),
            "unusable": len(self.unusable),
            "cautioned_cells": sum(len(site.cautions) for site in self.sites),
            "blank_rows": self.blank_rows,
        }

    @property
    def findings(self) -> tuple[str, ...]:
        """All that is wrong or doubtful in rows, one text a row: "row R-003 (line 4): ...; ..."."""
        return tuple(
            f"row {site.site_id} (line {site.row}): {'; '.join(found)}"
            for site in self.sites
            if (found := site.findings)
        )

    def only(self, site_id: str) -> "SiteList":
        """The same list with no other row than those of this id."""
        kept = [place for place, site in enumerate(self.sites) if site.site_id == site_id]
        return replace(
            self,
            cells=self.cells.iloc[kept].reset_index(drop=True),
            sites=tuple(self.sites[place] for place in kept),
            values=None if self.values is None else tuple(self.values[place] for place in kept),
            changes=tuple(change for change in self.changes if change.site_id == site_id),
        )

    def site(self, site_id: str) -> Site | None:
        """Find the row with this id; None where there is none."""
        return next((site for site in self.sites if site.site_id == site_id), None)
