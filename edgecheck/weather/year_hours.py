"""Rows of a file to whole years of hours.

In: month, day, hour of every row. Out: the rows of each year in order, or a refusal that names the hours. A
year is 8760 hours, or 8784 with 29 February; nothing may be missing, doubled or out of order.
"""

from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import WeatherRefused

IntArray = NDArray[np.int64]
TYPICAL_YEAR = 2001


@dataclass(frozen=True)
class YearRows:
    """One year of a file.

    Parameters
    ----------
    rows : slice
        Its rows.
    leap : bool
        Whether 29 February is among them.
    """

    rows: slice
    leap: bool


@cache
def _codes(leap: bool) -> IntArray:
    """Give month 10000 + day 100 + hour of every hour of a year."""
    year = 2000 if leap else TYPICAL_YEAR
    time = np.arange(f"{year}-01-01T00", f"{year + 1}-01-01T00", dtype="datetime64[h]")
    day = time.astype("datetime64[D]")
    month = day.astype("datetime64[M]")
    codes = (
        (month.astype(np.int64) % 12 + 1) * 10000
        + ((day - month.astype("datetime64[D]")).astype(np.int64) + 1) * 100
        + (time - day.astype("datetime64[h]")).astype(np.int64)
    )
    codes.flags.writeable = False
    return codes


def whole_years(
    name: str, line: IntArray, year: IntArray, month: IntArray, day: IntArray, hour: IntArray
) -> tuple[YearRows, ...]:
    """Split hourly rows into years.

    Parameters
    ----------
    name : str
        File for messages.
    line, year, month, day, hour : ndarray of int, shape (rows,)
        Line of the file; year, month, day and hour (0 to 23) at the start of the row.

    Returns
    -------
    tuple of YearRows
        In order.

    Raises
    ------
    WeatherRefused
        If an hour is missing, doubled, out of order or no date.
    """
    codes = month * 10000 + day * 100 + hour
    starts = np.flatnonzero(codes == _codes(False)[0])
    several = len(starts) > 1 and starts[0] == 0 and bool(np.all(np.diff(year[starts]) > 0))
    edges = [*starts, len(codes)] if several else [0, len(codes)]
    years = []
    for first, last in pairwise(edges):
        part = codes[first:last]
        leap = bool(np.any(part // 100 == 229))
        if not np.array_equal(part, _codes(leap)):
            raise WeatherRefused(name, *_reason(part, line[first:last], leap))
        years.append(YearRows(slice(int(first), int(last)), leap))
    return tuple(years)


def _reason(codes: IntArray, line: IntArray, leap: bool) -> tuple[str, str]:
    """Say what is wrong with the hours of a year, and where."""
    expected = _codes(leap)
    strange = np.flatnonzero(~np.isin(codes, expected))
    if len(strange):
        code = int(codes[strange[0]])
        reason = f"month {code // 10000}, day {code // 100 % 100}, hour {code % 100 + 1} is no hour of a year"
        return reason, f"line {line[strange[0]]}"
    values, counts = np.unique(codes, return_counts=True)
    missing = expected[~np.isin(expected, values)]
    doubled = values[counts > 1]
    if len(doubled):
        again = np.flatnonzero(codes == doubled[0])
        verb = "hour occurs" if len(doubled) == 1 else "hours occur"
        reason = f"{len(doubled)} {verb} more than once, first {hour_text(int(doubled[0]))}"
        if len(missing):
            reason += f"; {_missing(len(missing))}"
        return reason, f"lines {line[again[0]]} and {line[again[1]]}"
    if len(missing):
        ends = f"from {hour_text(int(missing[0]))} to {hour_text(int(missing[-1]))}"
        return f"{_missing(len(missing))}, {ends}", f"{len(codes)} rows of {len(expected)}"
    wrong = int(np.argmax(codes != expected))
    found, due = hour_text(int(codes[wrong])), hour_text(int(expected[wrong]))
    return f"the hours are out of order: {found} where {due} is due", f"line {line[wrong]}"


def _missing(count: int) -> str:
    return "1 hour is missing" if count == 1 else f"{count} hours are missing"


def hour_text(code: int) -> str:
    """Put an hour of the year in words, hour as files label it (1 to 24)."""
    return f"month {code // 10000} day {code // 100 % 100} hour {code % 100 + 1}"


def hourly(name: str, values: NDArray[np.float64], per_hour: int) -> NDArray[np.float64]:
    """Means over the records of each hour; an hour with a missing record is missing.

    Parameters
    ----------
    name : str
        File for messages.
    values : ndarray, shape (rows,)
        Records in order.
    per_hour : int
        Records an hour.

    Raises
    ------
    WeatherRefused
        If the rows are no whole number of hours.
    """
    if len(values) % per_hour:
        raise WeatherRefused(name, f"{len(values)} rows are no whole number of hours of {per_hour} records")
    return np.asarray(values.reshape(-1, per_hour).mean(axis=1))


def times(year: IntArray, leap: bool, typical: bool) -> NDArray[np.datetime64]:
    """Start of every hour of a year, without 29 February.

    Parameters
    ----------
    year : ndarray of int
        Year of each hour, only the first is used.
    leap : bool
        Whether 29 February is in the file and is dropped.
    typical : bool
        True takes the calendar of 2001.

    Returns
    -------
    ndarray of datetime64[m], shape (8760,)
    """
    shown = TYPICAL_YEAR if typical else int(year[0])
    start = np.datetime64(f"{shown:04d}-01-01T00:00", "m")
    end = np.datetime64(f"{shown + 1:04d}-01-01T00:00", "m")
    hours = np.arange(start, end, np.timedelta64(60, "m"))
    if len(hours) > 8760:
        february_29 = 59 * 24
        hours = np.delete(hours, slice(february_29, february_29 + 24))
    return hours
