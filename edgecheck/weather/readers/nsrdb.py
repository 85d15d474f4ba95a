"""NSRDB CSV: two header lines, column names, records every 5 to 60 minutes, instantaneous at their time.

In: lines of text. Out: `RawTable`. pvlib reads the rows; its reader takes whole zones and elevations only, so it is
given a header of its own, and the station is read here. Layout: NREL, Standard time series data file format
(the CSV format of the National Solar Radiation Database).
"""

import csv
import io

import numpy as np
import pandas as pd
from pvlib import iotools

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.readers.table import (
    IntArray,
    RawTable,
    Station,
    checked_station,
    data_rows,
    guarded,
    maybe_cut,
    numbers,
    parsed,
    same_count,
)
from edgecheck.weather.readers.text import FileText

STAMP = ("Year", "Month", "Day", "Hour", "Minute")
# bare name: NSRDB's name, pvlib's name, factor to SI
COLUMNS = {
    "temp_air": ("Temperature", "temp_air", 1.0),
    "temp_dew": ("Dew Point", "temp_dew", 1.0),
    "relative_humidity": ("Relative Humidity", "relative_humidity", 1.0),
    "pressure": ("Pressure", "pressure", 100.0),
    "ghi": ("GHI", "ghi", 1.0),
    "dni": ("DNI", "dni", 1.0),
    "dhi": ("DHI", "dhi", 1.0),
    "wind_speed": ("Wind Speed", "wind_speed", 1.0),
}
OPTIONAL = ("temp_dew", "relative_humidity", "pressure")


def is_nsrdb(lines: list[str]) -> bool:
    """Whether the first line names this format's station fields."""
    if len(lines) < 2 or not lines[0].lstrip('"').startswith("Source"):
        return False
    return {"Latitude", "Longitude", "Time Zone"} <= set(_fields(lines[0]))


def nsrdb_station(name: str, lines: list[str]) -> Station:
    """Station of the first two lines; zones and elevations may have fractions.

    Raises
    ------
    WeatherRefused
        If a field is missing, no number or out of range.
    """
    head = dict(zip(_fields(lines[0]), _fields(lines[1]), strict=False))
    keys = {
        "latitude": "Latitude",
        "longitude": "Longitude",
        "utc_offset_h": "Time Zone",
        "elevation": "Elevation",
    }
    for field in keys.values():
        if not head.get(field):
            raise WeatherRefused(name, f"{field} is not given", "line 2")
    places = [head.get(key, "-") for key in ("City", "State", "Country")]
    known = [text for text in places if text not in ("-", "")]
    place = ", ".join(known) or f"{head.get('Source', '')} {head.get('Location ID', '')}".strip()
    return checked_station(name, "line 2", place, {key: head[field] for key, field in keys.items()})


def read_nsrdb_table(text: FileText) -> RawTable:
    """Read an NSRDB CSV file.

    Raises
    ------
    WeatherRefused
        If a column is missing, a row has another number of cells, a cell is no number, or the records are not
        evenly spaced; names the line.
    """
    name, lines = text.name, text.lines
    place = nsrdb_station(name, lines)
    if len(lines) < 3:
        raise WeatherRefused(name, "the line of column names is missing", "line 3")
    names = [field for field in _fields(lines[2]) if field]
    for column in (*STAMP, *(source for key, (source, _, _) in COLUMNS.items() if key not in OPTIONAL)):
        if column not in names:
            raise WeatherRefused(name, f"the column {column} is missing", "line 3")
    if "Dew Point" not in names and "Relative Humidity" not in names:
        raise WeatherRefused(name, "the columns Dew Point and Relative Humidity are both missing", "line 3")
    rows, line = data_rows(lines, 3)
    if not rows:
        raise WeatherRefused(name, "there are no rows of data below the column names", "line 3")
    same_count(name, rows, line, ",", max(rows[0].count(",") + 1, len(names)))
    frame = _frame(name, names, rows, line)
    stamp = {key: numbers(name, frame, key, line, key, blank=False).astype(np.int64) for key in STAMP}
    columns = {
        key: np.round(numbers(name, frame, column, line, source) * factor, 3)
        for key, (source, column, factor) in COLUMNS.items()
        if column in frame.columns
    }
    columns.setdefault("temp_dew", np.full(len(line), np.nan))
    per_hour, first = _records(name, stamp["Hour"] * 60 + stamp["Minute"], line)
    return RawTable(
        name=name,
        format="NSRDB CSV",
        station=place,
        line=line,
        year=stamp["Year"],
        month=stamp["Month"],
        day=stamp["Day"],
        hour=stamp["Hour"],
        columns=columns,
        records_per_hour=per_hour,
        offset_min=first + 30.0 * (1.0 - 1.0 / per_hour),
        utc=place.utc_offset_h == 0,
        notes=text.notes + maybe_cut(text),
    )


def _fields(line: str) -> list[str]:
    return [field.strip() for field in next(csv.reader([line]))] if line else []


def _frame(name: str, names: list[str], rows: list[str], line: IntArray) -> pd.DataFrame:
    """Read the rows by pvlib; what it stumbles over is looked for again, to name the line."""
    head = "Latitude,Longitude,Time Zone,Local Time Zone,Elevation\n0,0,0,0,0\n"
    # pvlib wants whole numbers in these two, which are not used and may be empty
    plain = [f"{one} code" if one in ("Cloud Type", "Fill Flag") else one.replace(",", " ") for one in names]
    content = head + ",".join(plain) + "\n" + "\n".join(rows) + "\n"
    try:
        frame, _ = iotools.read_nsrdb_psm4(io.StringIO(content))
    except (ValueError, TypeError):
        empty = [f"unused {i}" for i in range(rows[0].count(",") + 1 - len(plain))]
        again = parsed(name, [*plain, *empty], rows, line)
        for column in plain:
            numbers(name, again, column, line, column, blank=column not in STAMP)
        return guarded(name, lambda: iotools.read_nsrdb_psm4(io.StringIO(content)))[0]
    return frame


def _records(name: str, minute: IntArray, line: IntArray) -> tuple[int, int]:
    """Records an hour, and the minute of the first of each hour."""
    step = int(minute[1] - minute[0]) if len(minute) > 1 else 60
    if not 1 <= step <= 60 or 60 % step:
        reason = f"the records are {step} minutes apart; a divisor of 60 is wanted"
        raise WeatherRefused(name, reason, f"line {line[1]}")
    first = int(minute[0] % step)
    uneven = minute % step != first
    if uneven.any():
        reason = f"the records are not evenly spaced: minute {minute[np.argmax(uneven)] % 60}"
        raise WeatherRefused(name, reason, f"line {line[int(np.argmax(uneven))]}")
    return 60 // step, first
