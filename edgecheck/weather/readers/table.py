"""What a reader hands on, and the checks that all readers share.

A reader recognises nothing and judges no values: it turns the file's columns into bare names and SI units,
its missing codes into NaN and its labels into the start of the interval. It refuses what cannot be read as
a table.
"""

import io
import warnings
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from edgecheck.base.errors import WeatherRefused
from edgecheck.base.notes import Note
from edgecheck.weather.header import HeaderExtremes
from edgecheck.weather.readers.text import FileText
from edgecheck.weather.series import Format

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Station:
    """Where the data belong.

    Parameters
    ----------
    place : str
        Name with state and country.
    latitude, longitude : float
        [deg]
    elevation : float
        [m]
    utc_offset_h : float
        [h]
    """

    place: str
    latitude: float
    longitude: float
    elevation: float
    utc_offset_h: float


@dataclass(frozen=True)
class RawTable:
    """A file's rows before any judgement; arrays of shape (rows,).

    Parameters
    ----------
    name : str
        File name.
    format : str
        Name of the format.
    station : Station
        From the header.
    line : ndarray of int
        Line of the file each row stands on, for messages.
    year, month, day, hour : ndarray of int
        Start of the interval, hour 0 to 23.
    columns : mapping of str to ndarray
        Bare names, SI and degC (relative humidity in %, cover in tenths), NaN where missing.
    records_per_hour : int
        As the header declares, or as the times of the rows say.
    offset_min : float, optional
        Minutes after the start of a row to which its irradiance belongs, where the file says so. [min]
    utc : bool
        Whether the rows are in UTC.
    row_word : str
        What `line` counts, for messages.
    ice : bool
        Whether relative humidity below freezing is over ice, rather than over water.
    header : HeaderExtremes, optional
        Extremes the header prints.
    synthetic : bool
        The file says its data are made up.
    typical : bool
        The hours belong to no single year, whatever year the rows carry.
    notes : tuple of Note
        What the reader had to assume.
    """

    name: str
    format: Format
    station: Station
    line: IntArray
    year: IntArray
    month: IntArray
    day: IntArray
    hour: IntArray
    columns: Mapping[str, FloatArray]
    records_per_hour: int = 1
    offset_min: float | None = None
    utc: bool = False
    row_word: str = "line"
    ice: bool = False
    header: HeaderExtremes | None = None
    synthetic: bool = False
    typical: bool = False
    notes: tuple[Note, ...] = ()


def checked_station(name: str, where: str, place: str, texts: Mapping[str, str]) -> Station:
    """Check and convert the header's coordinates.

    Parameters
    ----------
    name, where : str
        File and line for messages.
    place : str
        Station name.
    texts : mapping of str to str
        latitude, longitude, utc_offset_h, elevation as text.

    Raises
    ------
    WeatherRefused
        If one is no number or out of range.
    """
    ranges = {
        "latitude": (-90.0, 90.0, "deg"),
        "longitude": (-180.0, 180.0, "deg"),
        "utc_offset_h": (-12.0, 14.0, "h"),
        "elevation": (-450.0, 6000.0, "m"),
    }
    values = {}
    for key, (low, high, unit) in ranges.items():
        label = "UTC offset" if key == "utc_offset_h" else key
        try:
            value = float(texts[key])
        except ValueError:
            raise WeatherRefused(name, f"{label} {texts[key]!r} is not a number", where) from None
        if not low <= value <= high:
            raise WeatherRefused(name, f"{label} {value:g} is outside {low:g} to {high:g} {unit}", where)
        values[key] = value
    return Station(place, **values)


def numbers(
    name: str, frame: pd.DataFrame, source: str, line: IntArray, label: str, blank: bool = True
) -> FloatArray:
    """One column as floats, NaN where blank.

    Parameters
    ----------
    name : str
        File for messages.
    frame : DataFrame
        As pvlib returns it.
    source : str
        Column.
    line : ndarray of int, shape (rows,)
        Line of each row.
    label : str
        What the column is, for messages.
    blank : bool
        Whether empty cells are allowed.

    Raises
    ------
    WeatherRefused
        If a cell holds text; names the line.
    """
    column = frame[source]
    if not pd.api.types.is_numeric_dtype(column):
        parsed = pd.to_numeric(column, errors="coerce")
        bad = (parsed.isna() & column.notna()).to_numpy()
        if bad.any():
            first = int(np.argmax(bad))
            reason = f"{label} is {str(column.iloc[first])!r}, not a number"
            raise WeatherRefused(name, reason, f"line {line[first]}")
        column = parsed
    values = column.to_numpy(dtype=float, copy=True)
    if not blank and np.isnan(values).any():
        first = int(np.argmax(np.isnan(values)))
        raise WeatherRefused(name, f"{label} is empty", f"line {line[first]}")
    return values


def missing_from(values: FloatArray, code: float) -> FloatArray:
    """NaN where the value is the format's missing code."""
    return np.where(np.isclose(values, code, rtol=0.0, atol=1e-6), np.nan, values)


def same_count(name: str, rows: list[str], line: IntArray, separator: str, expected: int) -> None:
    """Refuse a row with another number of fields than `expected`; names the line."""
    counts = np.fromiter((row.count(separator) for row in rows), dtype=np.int64, count=len(rows)) + 1
    wrong = np.flatnonzero(counts != expected)
    if len(wrong):
        first = int(wrong[0])
        found = int(counts[first])
        reason = f"the row has {found} {'field' if found == 1 else 'fields'} instead of {expected}"
        if first == len(rows) - 1 and found < expected:
            reason += ": the file is cut off"
        raise WeatherRefused(name, reason, f"line {line[first]}")


def parsed(name: str, columns: list[str], rows: list[str], line: IntArray) -> pd.DataFrame:
    """Rows of comma-separated cells as a frame, each column numbers where all of its cells are.

    Parameters
    ----------
    name : str
        File for messages.
    columns : list of str
        Their names, all different.
    rows : list of str
    line : ndarray of int, shape (rows,)
        Line of each row.

    Raises
    ------
    WeatherRefused
        If a row has another number of cells, or a column occurs twice.
    """
    doubled = next((column for column in columns if columns.count(column) > 1), None)
    if doubled is not None:
        raise WeatherRefused(name, f"the column {doubled} occurs twice", f"line {line[0] - 1}")
    same_count(name, rows, line, ",", len(columns))
    with warnings.catch_warnings():
        warnings.simplefilter(
            "ignore", pd.errors.DtypeWarning
        )  # text among numbers: `numbers` names the line
        frame = guarded(
            name,
            lambda: pd.read_csv(io.StringIO("\n".join(rows)), names=columns, header=None, index_col=False),
        )
    return pd.DataFrame(frame)


@contextmanager
def counted_in(row_word: str) -> Iterator[None]:
    """Let refusals from within name rows by this word instead of lines."""
    try:
        yield
    except WeatherRefused as refusal:
        if row_word == "line":
            raise
        where = refusal.where.replace("line", row_word)
        raise WeatherRefused(refusal.file, refusal.reason, where) from refusal


def calendar(time: NDArray[np.datetime64]) -> tuple[IntArray, IntArray, IntArray, IntArray]:
    """Year, month, day and hour of each time, shape (rows,)."""
    index = pd.DatetimeIndex(time)
    year, month, day, hour = (
        part.to_numpy().astype(np.int64) for part in (index.year, index.month, index.day, index.hour)
    )
    return year, month, day, hour


def data_rows(lines: list[str], first: int) -> tuple[list[str], IntArray]:
    """Rows from index `first` on that are not blank, and the line each stands on."""
    rows = lines[first:]
    line = np.arange(first + 1, first + 1 + len(rows), dtype=np.int64)
    blank = [i for i, row in enumerate(rows) if not row or row.isspace()]
    if blank:
        full = np.setdiff1d(np.arange(len(rows)), blank)
        rows, line = [rows[i] for i in full], line[full]
    return rows, line


def maybe_cut(text: FileText) -> tuple[Note, ...]:
    """Say that the last line has no end, for formats whose last cell is used."""
    if text.ended:
        return ()
    words = "The last line has no line end: where the file is cut there, the last value is wrong."
    return (Note("no-last-line-end", "info", words),)


def guarded(name: str, read: Callable[[], Any]) -> Any:
    """Run a reader of pvlib; whatever it stumbles over refuses the file.

    Raises
    ------
    WeatherRefused
        With the reader's own words, where no check of ours has found the reason first.
    """
    try:
        return read()
    except (ValueError, KeyError, IndexError, TypeError, OverflowError, pd.errors.ParserError) as error:
        words = " ".join(str(error).split())[:160]
        raise WeatherRefused(name, f"cannot be read as a table ({words})") from error
