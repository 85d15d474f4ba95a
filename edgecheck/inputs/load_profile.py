"""How the servers' load goes over the hours: a CSV or XLSX file beside the site list.

Three forms, all in local standard time, the hour being the one that begins then:

    hour,mon,tue,wed,thu,fri,sat,sun     24 rows, hour 0 to 23: shares of it_load_kw by day of the week
    hour,share                           24 rows: the same every day
    share  or  kw                        8760 rows: the year from 1 January, 00:00, without 29 February

A series may have a column `hour` of its own, counted from 0 or 1 without a gap.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.inputs.site_table import read_source
from edgecheck.inputs.source_rows import SourceRows, WantedNames, plain_heading
from edgecheck.inputs.written_numbers import both_readings

FloatArray = NDArray[np.float64]
Form = Literal["week", "day", "year"]

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
HOURS_A_DAY, HOURS_A_YEAR, HOURS_A_LEAP_YEAR = 24, 8760, 8784
MOST_SHARE = 2.0  # more is a percentage, or another load's file
MOST_KW = 1000.0
_KNOWN = ("hour", "share", "kw", *DAYS)
_WANTED = WantedNames(frozenset(_KNOWN), (frozenset(("share", "kw", "mon")),))
_SHOWN_FAULTS = 10
_MONDAY = 3  # 1970-01-01 was a Thursday
_BEFORE_MONTH = np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])


@dataclass(frozen=True)
class LoadProfile:
    """Load of the servers over the hours.

    Parameters
    ----------
    name : str
        File name without folders.
    sha256 : str
        Of the file's bytes.
    form : {"week", "day", "year"}
        Hour of the day by day of the week, hour of the day, or hour of the year.
    in_kw : bool
        Whether the values are kW; else they are shares of the IT load.
    values : ndarray, shape (24, 7), (24, 1) or (8760,)
        [kW] or [-]
    """

    name: str
    sha256: str
    form: Form
    in_kw: bool
    values: FloatArray

    def shares(self, time: NDArray[np.datetime64], load_kw: float) -> FloatArray:
        """Load of some hours as a share of an IT load.

        Parameters
        ----------
        time : ndarray of datetime64, shape (time,)
            Local standard time at the start of each hour; no 29 February.
        load_kw : float
            The IT load, above 0. [kW]

        Returns
        -------
        ndarray, shape (time,)
            [-]
        """
        hour = time.astype("datetime64[h]")
        day = hour.astype("datetime64[D]")
        of_day = (hour - day).astype(np.int64)
        if self.form == "year":
            month = day.astype("datetime64[M]")
            of_month = (day - month.astype("datetime64[D]")).astype(np.int64)
            of_year = _BEFORE_MONTH[month.astype(np.int64) % 12] + of_month
            found = self.values[HOURS_A_DAY * of_year + of_day]
        else:
            weekday = (day.astype(np.int64) + _MONDAY) % len(DAYS) if self.form == "week" else 0
            found = self.values[of_day, weekday]
        return np.asarray(found / load_kw if self.in_kw else found, dtype=float)

    def most_kw(self, load_kw: float) -> float:
        """Greatest load in any hour, for an IT load [kW]. [kW]"""
        most = float(np.max(self.values))
        return most if self.in_kw else most * load_kw


def read_load_profile(path: str | Path) -> LoadProfile:
    """Read a load profile.

    Parameters
    ----------
    path : str or Path
        CSV with any common separator, or XLSX, in one of the three forms.

    Returns
    -------
    LoadProfile

    Raises
    ------
    InputFaults
        Carries the faults with line, column, value and what is allowed.
    """
    path = Path(path)
    rows = read_source(path, _WANTED)
    names = [plain_heading(str(cell).strip()) for cell in rows.rows[0]]
    form, columns = _form(path.name, rows, names)
    reader = _Reader(path.name, rows, names)
    values = reader.values(columns)
    reader.hours(form)
    reader.finish()
    in_kw = columns == ("kw",)
    return LoadProfile(path.name, rows.sha256, form, in_kw, values[:, 0] if form == "year" else values)


def _form(file: str, rows: SourceRows, names: Sequence[str]) -> tuple[Form, tuple[str, ...]]:
    """What kind of file it is, and the columns that hold its values."""

    def refused(key: str, text: str) -> InputFaults:
        return InputFaults((Fault(file, f"line {rows.lines[0]}", key, "", text),))

    twice = [name for name in _KNOWN if names.count(name) > 1]
    if twice:
        raise refused(twice[0], "the column stands twice")
    days = [name for name in DAYS if name in names]
    single = [name for name in ("share", "kw") if name in names]
    if not days and not single:
        raise refused("", "needed: the columns hour and mon to sun, or a column share or kw")
    if len(single) > 1 or (days and single):
        raise refused(single[0], f"beside {'kw' if len(single) > 1 else days[0]}; keep one of the two")
    if days and len(days) < len(DAYS):
        missing = ", ".join(name for name in DAYS if name not in days)
        raise refused(missing, "a table by day of the week needs all seven days")
    count = len(rows.rows) - 1
    if days or (single == ["share"] and "hour" in names and count <= HOURS_A_DAY):
        if "hour" not in names:
            raise refused("hour", "the column is missing: 0 to 23")
        if count != HOURS_A_DAY:
            raise refused("hour", f"{HOURS_A_DAY} rows are needed, hours 0 to 23; there are {count}")
        return ("week", DAYS) if days else ("day", ("share",))
    if count != HOURS_A_YEAR:
        holes = [line + 1 for line, after in pairwise(rows.lines) if after != line + 1]
        if holes:
            text = f"{HOURS_A_YEAR} rows are needed, one an hour; there are {count}; line {holes[0]} is empty"
            raise refused(single[0], text)
        leap = "; leave out 29 February" if count == HOURS_A_LEAP_YEAR else ""
        hint = "; 24 rows need the column hour" if count == HOURS_A_DAY and single == ["share"] else leap
        raise refused(single[0], f"{HOURS_A_YEAR} rows are needed, one an hour; there are {count}{hint}")
    return "year", (single[0],)


class _Reader:
    """Cells of a load profile with their faults."""

    def __init__(self, file: str, rows: SourceRows, names: Sequence[str]) -> None:
        self.file, self.rows, self.names = file, rows, names
        self.faults: list[Fault] = []

    def values(self, columns: tuple[str, ...]) -> FloatArray:
        """Numbers of some columns; shape (row, column), NaN in the place of a fault."""
        return np.array([self._column(name) for name in columns], dtype=float).T

    def hours(self, form: Form) -> None:
        """Hours run without a gap; a series may count from 0 or 1."""
        if "hour" not in self.names:
            return
        first = 0
        for place, (line, text) in enumerate(self._cells("hour")):
            found = both_readings(text)[0]
            if place == 0 and form == "year" and found == 1.0:
                first = 1
            if found != place + first:
                wanted = f"hour {place + first} is due: hours run from {first} without a gap"
                self._fault(line, "hour", text, wanted)
                return  # every later one is off too

    def finish(self) -> None:
        """Raise what was found."""
        if not self.faults:
            return
        shown = self.faults[:_SHOWN_FAULTS]
        more = len(self.faults) - len(shown)
        rest = [Fault(self.file, "", "", "", f"and {more} more cells like these")] if more else []
        raise InputFaults((*shown, *rest))

    def _column(self, name: str) -> list[float]:
        most = MOST_KW if name == "kw" else MOST_SHARE
        wanted = f"a load in kW, 0 to {most:g}" if name == "kw" else f"a share of it_load_kw, 0 to {most:g}"
        found = []
        for line, text in self._cells(name):
            readings = [value for value in both_readings(text) if value is not None]
            value = next((value for value in readings if 0.0 <= value <= most), float("nan"))
            if value != value:
                per_cent = name != "kw" and any(most < value <= 100.0 for value in readings)
                hint = "; is it in per cent? divide by 100" if per_cent else ""
                why = "is missing" if not text else "is needed"
                self._fault(line, name, text, f"{wanted}, {why}{hint}")
            found.append(value)
        return found

    def _cells(self, name: str) -> list[tuple[int, str]]:
        place = self.names.index(name)
        return [
            (line, str(row[place]).strip() if place < len(row) else "")
            for line, row in zip(self.rows.lines[1:], self.rows.rows[1:], strict=True)
        ]

    def _fault(self, line: int, key: str, value: str, text: str) -> None:
        self.faults.append(Fault(self.file, f"line {line}", key, value, text))
