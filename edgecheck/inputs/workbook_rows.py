"""Rows of a workbook's sheet.

In go the bytes of an XLSX file and perhaps the name of a sheet, out come `SourceRows`. A merged range gives its
value to its first cell only. A formula counts by the result that the sheet holds.
"""

import bisect
from collections.abc import Iterable, Sequence
from itertools import pairwise

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.key_path import did_you_mean
from edgecheck.inputs.sheet_scan import ScannedSheet, scan_sheet
from edgecheck.inputs.source_rows import SourceRows
from edgecheck.inputs.workbook_parts import BrokenWorkbook, Sheet, WorkbookParts, read_parts

_MOST_BLANK = 100_000


def workbook_rows(
    file: str, data: bytes, sha256: str, sheet: str | None = None, prefer: str = ""
) -> SourceRows:
    """Read a sheet.

    Parameters
    ----------
    file : str
        Name for messages.
    data : bytes
        The file.
    sha256 : str
        Of the bytes.
    sheet : str, optional
        Name of the sheet; the first visible one if not given.
    prefer : str
        Name of a sheet that is taken instead of the first, where there is one.

    Returns
    -------
    rows : SourceRows

    Raises
    ------
    InputFaults
        The file is no workbook, or has no such sheet, or the sheet is empty.
    """
    try:
        parts = read_parts(data)
        chosen = _chosen(file, parts, sheet, prefer)
        with parts.open(chosen) as stream:
            scanned = scan_sheet(stream, parts)
    except BrokenWorkbook as error:
        text = f"this workbook cannot be opened ({error}); save it again as XLSX, or save the sheet as CSV (UTF-8)"
        raise InputFaults((Fault(file, "", "", "", text),)) from error
    if not scanned.rows:
        raise InputFaults((Fault(file, "", "", chosen.name, "the sheet is empty"),))
    _clear_merged(scanned)
    notes = []
    if sheet is None and len(parts.sheets) > 1:
        text = (
            f"{file}: the sheet {chosen.name!r} was read, one of {len(parts.sheets)}; --sheet names another"
        )
        notes.append(Note("list-sheet", "info", text))
    return SourceRows(
        file=file,
        sha256=sha256,
        rows=scanned.rows,
        lines=scanned.lines,
        blank_lines=_gaps(scanned.lines),
        sheet=chosen.name,
        notes=notes,
        shown=scanned.shown,
        formulas=scanned.formulas,
        merged=tuple(scanned.merged),
        hidden=tuple(scanned.hidden),
    )


def _chosen(file: str, parts: WorkbookParts, sheet: str | None, prefer: str) -> Sheet:
    names = [found.name for found in parts.sheets]
    if not names:
        raise InputFaults((Fault(file, "", "", "", "the workbook has no sheet with cells"),))
    if sheet is not None:
        if sheet not in names:
            text = f"there is no such sheet; the workbook has {', '.join(names)}{did_you_mean(sheet, names)}"
            raise InputFaults((Fault(file, "", "--sheet", sheet, text),))
        return parts.sheets[names.index(sheet)]
    if prefer in names:
        return parts.sheets[names.index(prefer)]
    return next((found for found in parts.sheets if found.visible), parts.sheets[0])


def _clear_merged(scanned: ScannedSheet) -> None:
    """Empty all cells of merged ranges but the first; programs may leave old values behind them."""
    for first_line, first, last_line, last in scanned.merged:
        begin = bisect.bisect_left(scanned.lines, first_line)
        end = bisect.bisect_right(scanned.lines, last_line)
        for at in range(begin, end):
            row = scanned.rows[at]
            start = first + 1 if scanned.lines[at] == first_line else first
            for column in range(start, min(last + 1, len(row))):
                row[column] = None
    kept = [at for at, row in enumerate(scanned.rows) if any(value is not None for value in row)]
    if len(kept) < len(scanned.rows):
        scanned.rows[:] = [scanned.rows[at] for at in kept]
        scanned.lines[:] = [scanned.lines[at] for at in kept]


def _gaps(lines: Sequence[int]) -> list[int]:
    """Rows between the filled ones."""
    gaps: list[int] = []
    for before, after in pairwise(lines):
        if after > before + 1:
            gaps.extend(_some(range(before + 1, after)))
    return gaps


def _some(gap: range) -> Iterable[int]:
    """Rows of a gap, not more than anybody wants to hear about."""
    return gap[:_MOST_BLANK]
