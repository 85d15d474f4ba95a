"""TMY3: comma-separated, two header lines, 01:00 to 24:00 at the end of the interval.

In: lines of text. Out: `RawTable` at the start of the interval. Layout and missing codes: Wilcox & Marion,
Users manual for TMY3 data sets, NREL/TP-581-43156 (2008). pvlib reads the rows.
"""

import csv
import io
import warnings

import numpy as np
import pandas as pd
from pvlib import iotools

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.readers.table import (
    IntArray,
    RawTable,
    Station,
    checked_station,
    guarded,
    missing_from,
    numbers,
    same_count,
)
from edgecheck.weather.readers.text import FileText

DATE, TIME = "Date (MM/DD/YYYY)", "Time (HH:MM)"
MISSING = -9900.0
# bare name: pvlib's name, factor to SI, further missing code, label
COLUMNS = {
    "temp_air": ("temp_air", 1.0, 99.9, "dry bulb"),
    "temp_dew": ("temp_dew", 1.0, 99.9, "dew point"),
    "relative_humidity": ("relative_humidity", 1.0, 999.0, "relative humidity"),
    "pressure": ("pressure", 100.0, 9999.0, "station pressure"),
    "ghi": ("ghi", 1.0, 9999.0, "global horizontal irradiance"),
    "dni": ("dni", 1.0, 9999.0, "beam irradiance"),
    "dhi": ("dhi", 1.0, 9999.0, "diffuse irradiance"),
    "wind_speed": ("wind_speed", 1.0, 999.0, "wind speed"),
    "opaque_cover": ("OpqCld (tenths)", 1.0, 99.0, "opaque cover"),
}


def is_tmy3(lines: list[str]) -> bool:
    """Whether the second line names this format's columns."""
    return len(lines) > 1 and lines[1].startswith(DATE)


def tmy3_station(name: str, lines: list[str]) -> Station:
    """Station of the first line.

    Raises
    ------
    WeatherRefused
        If it has fewer than seven fields or numbers out of range.
    """
    fields = [field.strip() for field in next(csv.reader([lines[0]]))]
    if len(fields) < 7:
        raise WeatherRefused(name, f"the station line has {len(fields)} fields instead of 7", "line 1")
    place = ", ".join(part for part in fields[1:3] if part)
    texts = dict(zip(("utc_offset_h", "latitude", "longitude", "elevation"), fields[3:7], strict=True))
    return checked_station(name, "line 1", place, texts)


def read_tmy3_table(text: FileText) -> RawTable:
    """Read a TMY3 file.

    Raises
    ------
    WeatherRefused
        If a column is missing, a row has another number of fields, a date or a used cell is not a number;
        names the line.
    """
    name, lines = text.name, text.lines
    place = tmy3_station(name, lines)
    names = lines[1].split(",")
    rows = lines[2:]
    line = np.arange(3, 3 + len(rows), dtype=np.int64)
    if not rows:
        raise WeatherRefused(name, "there are no rows of data below the header", "line 2")
    same_count(name, rows, line, ",", len(names))
    date, time = names.index(DATE), names.index(TIME) if TIME in names else -1
    if time < 0:
        raise WeatherRefused(name, f"the column {TIME} is missing", "line 2")
    year, month, day, hour = _dates(name, rows, line, date, time)
    head = f"0,station,,{place.utc_offset_h!r},{place.latitude!r},{place.longitude!r},{place.elevation!r}\n"
    content = head + "\n".join(lines[1:]) + "\n"
    with warnings.catch_warnings():
        warnings.simplefilter(
            "ignore", pd.errors.DtypeWarning
        )  # text among numbers: `numbers` names the line
        frame, _ = guarded(name, lambda: iotools.read_tmy3(io.StringIO(content), map_variables=True))
    columns = {}
    for key, (column, factor, code, label) in COLUMNS.items():
        if column not in frame.columns:
            raise WeatherRefused(name, f"the column of {label} is missing", "line 2")
        values = missing_from(missing_from(numbers(name, frame, column, line, label), MISSING), code)
        columns[key] = np.round(values * factor, 3)
    return RawTable(
        name=name,
        format="TMY3",
        station=place,
        line=line,
        year=year,
        month=month,
        day=day,
        hour=hour,
        columns=columns,
        synthetic="synthetic" in lines[0].lower(),
        notes=text.notes,
    )


def _dates(
    name: str, rows: list[str], line: IntArray, date: int, time: int
) -> tuple[IntArray, IntArray, IntArray, IntArray]:
    """Year, month, day and hour at the start of each interval."""
    stamps = np.empty((len(rows), 4), dtype=np.int64)
    for i, row in enumerate(rows):
        fields = row.split(",", max(date, time) + 1)
        try:
            month, day, year = (int(part) for part in fields[date].split("/"))
            hour, minute = (int(part) for part in fields[time].split(":"))
        except ValueError:
            reason = f"date {fields[date]!r} and time {fields[time]!r}; MM/DD/YYYY and HH:MM are wanted"
            raise WeatherRefused(name, reason, f"line {line[i]}") from None
        if minute != 0 or not 0 <= hour <= 24:
            raise WeatherRefused(name, f"time {fields[time]!r}; whole hours are wanted", f"line {line[i]}")
        if hour == 0:  # midnight written as the beginning of the next day
            before = np.datetime64(f"{year:04d}-{month:02d}-{day:02d}") - np.timedelta64(1, "D")
            year, month, day = (int(part) for part in str(before).split("-"))
            hour = 24
        stamps[i] = year, month, day, hour - 1
    return stamps[:, 0], stamps[:, 1], stamps[:, 2], stamps[:, 3]
