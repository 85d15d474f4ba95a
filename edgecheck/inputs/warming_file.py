"""Warming month by month: a small CSV or XLSX file beside the site list.

In goes a file with the columns month, shift_k, range_factor and twelve rows, out comes `MonthlyWarming`. What it
does to the air is said in `edgecheck.weather.warming`.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.inputs.site_table import read_source
from edgecheck.inputs.source_rows import WantedNames, plain_heading
from edgecheck.inputs.written_numbers import both_readings

MONTHS = 12
COLUMNS = ("month", "shift_k", "range_factor")
# Possible values: a shift as of the column warming_k with room for single months, a range between half and double.
SHIFT_K = (-5.0, 15.0)
RANGE_FACTOR = (0.5, 2.0)
_WANTED = WantedNames(frozenset(COLUMNS), tuple(frozenset((name,)) for name in COLUMNS))


@dataclass(frozen=True)
class MonthlyWarming:
    """Twelve shifts of the monthly mean with twelve stretches of the excursion about it, January first.

    Parameters
    ----------
    name : str
        File name without folders.
    sha256 : str
        Of the file's bytes.
    shift : tuple of float
        Added to the mean of each month. [K]
    range_factor : tuple of float
        Stretch of each hour's distance from that mean, and so of the daily range. [-]
    """

    name: str
    sha256: str
    shift: tuple[float, ...]
    range_factor: tuple[float, ...]


def load_warming(path: str | Path) -> MonthlyWarming:
    """Read a warming file.

    Parameters
    ----------
    path : str or Path
        CSV with any common separator, or XLSX, with the columns month (1 to 12, each once), shift_k, range_factor.

    Returns
    -------
    MonthlyWarming

    Raises
    ------
    InputFaults
        Carries every fault with line, column, value and what is allowed.
    """
    path = Path(path)
    rows = read_source(path, _WANTED)
    names = [plain_heading(str(cell).strip()) for cell in rows.rows[0]]
    absent = [name for name in COLUMNS if names.count(name) != 1]
    if absent:
        text = f"needed once each: {', '.join(COLUMNS)}"
        where = f"line {rows.lines[0]}"
        raise InputFaults(tuple(Fault(path.name, where, name, "", text) for name in absent))
    places = {name: names.index(name) for name in COLUMNS}
    reader = _Reader(path.name)
    for line, row in zip(rows.lines[1:], rows.rows[1:], strict=True):
        reader.row(line, {name: str(row[at]).strip() if at < len(row) else "" for name, at in places.items()})
    return reader.finished(rows.sha256)


class _Reader:
    """Rows of a warming file with their faults."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self.months: dict[int, tuple[float, float]] = {}

    def row(self, line: int, cells: dict[str, str]) -> None:
        """Read one row."""
        where = f"line {line}"
        month = self._number(where, "month", cells["month"], (1.0, float(MONTHS)))
        shift = self._number(where, "shift_k", cells["shift_k"], SHIFT_K)
        factor = self._number(where, "range_factor", cells["range_factor"], RANGE_FACTOR)
        if month is None:
            return
        if month != int(month):
            self._fault(where, "month", cells["month"], "a whole number from 1 to 12 is needed")
        elif int(month) in self.months:
            self._fault(where, "month", cells["month"], "this month stands in the file already")
        else:
            self.months[int(month)] = (shift or 0.0, factor or 1.0)

    def finished(self, sha256: str) -> MonthlyWarming:
        """Make the record of the twelve rows, or raise all faults."""
        missing = [str(month) for month in range(1, MONTHS + 1) if month not in self.months]
        if missing and not self.faults:
            self._fault("", "month", "", f"twelve rows are needed; missing: {', '.join(missing)}")
        if self.faults:
            raise InputFaults(tuple(self.faults))
        rows: list[tuple[float, float]] = [self.months[month] for month in range(1, MONTHS + 1)]
        shift, factor = zip(*rows, strict=True)
        return MonthlyWarming(self.file, sha256, shift, factor)

    def _number(self, where: str, key: str, text: str, limits: tuple[float, float]) -> float | None:
        low, high = limits
        for value in both_readings(text):
            if value is not None and low <= value <= high:
                return value
        self._fault(where, key, text, f"a number from {low:g} to {high:g} is needed")
        return None

    def _fault(self, where: str, key: str, value: Any, text: str) -> None:
        self.faults.append(Fault(self.file, where, key, str(value), text))
