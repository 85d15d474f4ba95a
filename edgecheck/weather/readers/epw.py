"""EPW: comma-separated, eight header lines, hours 1 to 24 ending at the label.

In: lines of text. Out: `RawTable`. The header is read here, by keyword; pvlib reads the rows. Layout and
missing codes: the format's data dictionary (Auxiliary Programs manual of the format's publisher). Relative
humidity in published files is over ice below freezing (their dew points say so).
"""

import csv
import io
import re
import warnings
from calendar import monthrange

import numpy as np
import pandas as pd
from pvlib import iotools

from edgecheck.base.errors import WeatherRefused
from edgecheck.base.notes import Note
from edgecheck.weather.header import header_extremes
from edgecheck.weather.readers.table import (
    IntArray,
    RawTable,
    Station,
    checked_station,
    data_rows,
    guarded,
    missing_from,
    numbers,
    same_count,
)
from edgecheck.weather.readers.text import FileText

KEYWORDS = (
    "LOCATION",
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME PERIODS",
    "GROUND TEMPERATURES",
    "HOLIDAYS/DAYLIGHT SAVINGS",
    "COMMENTS 1",
    "COMMENTS 2",
    "DATA PERIODS",
)
SPELLINGS = {"HOLIDAYS/DAYLIGHT SAVING": "HOLIDAYS/DAYLIGHT SAVINGS"}
_PVGIS_OFFSET = re.compile(r"irradiance time offset \(h\)\s*:\s*(-?\d+(?:\.\d*)?)", re.IGNORECASE)
FIELDS = 35
LEAST_FIELDS = 24  # up to opaque cover
# bare name: pvlib's name, missing code, label
COLUMNS = {
    "temp_air": ("temp_air", 99.9, "dry bulb"),
    "temp_dew": ("temp_dew", 99.9, "dew point"),
    "relative_humidity": ("relative_humidity", 999.0, "relative humidity"),
    "pressure": ("atmospheric_pressure", 999999.0, "station pressure"),
    "longwave_down": ("ghi_infrared", 9999.0, "horizontal infrared"),
    "ghi": ("ghi", 9999.0, "global horizontal irradiance"),
    "dni": ("dni", 9999.0, "beam irradiance"),
    "dhi": ("dhi", 9999.0, "diffuse irradiance"),
    "wind_speed": ("wind_speed", 999.0, "wind speed"),
    "opaque_cover": ("opaque_sky_cover", 99.0, "opaque cover"),
}


def is_epw(lines: list[str]) -> bool:
    """Whether one of the first lines begins like a header line of this format."""
    return any(_keyword(text) in KEYWORDS for text in lines[: len(KEYWORDS)])


def epw_station(name: str, lines: list[str]) -> Station:
    """Station of the LOCATION line alone.

    Raises
    ------
    WeatherRefused
        If the first line is no LOCATION line or its numbers are out of range.
    """
    return _location(name, lines[0])[0]


def read_epw_table(text: FileText) -> RawTable:
    """Read an EPW file.

    Raises
    ------
    WeatherRefused
        If a header line is missing, coordinates are wrong, a row has another number of fields, a date or a
        used cell is not a number; names the line.
    """
    name, lines = text.name, text.lines
    header, first = _header(name, lines)
    place, source, notes = _location(name, lines[0])
    extremes, extreme_notes = header_extremes(_split(header["DESIGN CONDITIONS"]))
    offset_min, offset_notes = _stated_offset(header["COMMENTS 2"], place.utc_offset_h)
    notes += offset_notes
    rows, line = data_rows(lines, first)
    if not rows:
        raise WeatherRefused(name, "there are no rows of data below the header", f"line {first}")
    per_hour, period_notes = _records_per_hour(name, header["DATA PERIODS"], first, rows)
    rows, row_notes = _full_rows(name, rows, line)
    frame, year = _frame(name, rows, line, place)
    columns = {
        key: missing_from(numbers(name, frame, column, line, label), code)
        for key, (column, code, label) in COLUMNS.items()
    }
    month, day, hour = (
        numbers(name, frame, key, line, key, blank=False).astype(np.int64) for key in ("month", "day", "hour")
    )
    synthetic = "synthetic" in source.lower() or "synthetic weather" in header["COMMENTS 1"].lower()
    return RawTable(
        name=name,
        format="EPW",
        station=place,
        line=line,
        year=year,
        month=month,
        day=day,
        hour=hour - 1,
        columns=columns,
        records_per_hour=per_hour,
        offset_min=offset_min,
        ice=True,
        header=extremes,
        synthetic=synthetic,
        typical=synthetic,
        notes=text.notes + notes + extreme_notes + period_notes + row_notes,
    )


def _keyword(line: str) -> str:
    word = line.split(",", 1)[0].strip().strip('"').upper()
    return SPELLINGS.get(word, word)


def _split(line: str) -> list[str]:
    return [field.strip() for field in next(csv.reader([line]))]


def _header(name: str, lines: list[str]) -> tuple[dict[str, str], int]:
    """Header lines by keyword, and the index of the first data line."""
    if _keyword(lines[0]) != "LOCATION":
        raise WeatherRefused(name, "the header line LOCATION is missing", "line 1")
    header: dict[str, str] = {}
    position = 0
    last = ""
    while position < len(lines) and "DATA PERIODS" not in header:
        line = lines[position]
        keyword = _keyword(line)
        if keyword in header:
            raise WeatherRefused(name, f"the header line {keyword} occurs twice", f"line {position + 1}")
        if keyword in KEYWORDS:
            header[keyword], last = line, keyword
        elif last.startswith("COMMENTS"):
            header[last] += " " + line  # a quoted comment may run over several lines
        else:
            missing = next(key for key in KEYWORDS if key not in header)
            reason = f"the header line {missing} is missing: found {line[:40]!r} in its place"
            raise WeatherRefused(name, reason, f"line {position + 1}")
        position += 1
    for keyword in KEYWORDS:
        if keyword not in header:
            raise WeatherRefused(name, f"the header line {keyword} is missing")
    return header, position


def _location(name: str, line: str) -> tuple[Station, str, tuple[Note, ...]]:
    """Station, source of the data, notes."""
    if _keyword(line) != "LOCATION":
        raise WeatherRefused(name, "the header line LOCATION is missing", "line 1")
    fields = _split(line)
    if len(fields) < 10:
        raise WeatherRefused(name, f"LOCATION has {len(fields)} fields instead of 10", "line 1")
    notes: tuple[Note, ...] = ()
    extra = [field for field in fields[10:] if field]
    for field in extra:
        if _is_number(field):
            reason = f"LOCATION has a number too many ({field}): decimal commas?"
            raise WeatherRefused(name, reason, "line 1")
    if extra:
        notes = (
            Note("location-extra", "info", f"Further fields of LOCATION are ignored: {', '.join(extra)}."),
        )
    place = ", ".join(part for part in fields[1:4] if part.strip(" -"))
    texts = dict(zip(("latitude", "longitude", "utc_offset_h", "elevation"), fields[6:10], strict=True))
    return checked_station(name, "line 1", place, texts), fields[4], notes


def _stated_offset(comment: str, utc_offset_h: float) -> tuple[float | None, tuple[Note, ...]]:
    """Minutes after the start of a row, where a comment of PVGIS places its irradiance.

    Its rows are those of its UTC files, one by one, under the local zone: hour 1 is 00:00 UTC. In the one published
    file at hand (zone 1) the comment is the UTC offset less an hour, so only its part of an hour is taken. For zones
    other than 0 and 1 such rows lie outside their hour, which the test of the irradiance finds.
    """
    found = _PVGIS_OFFSET.search(comment)
    if found is None:
        return None, ()
    minutes = 60.0 * (utc_offset_h + float(found[1]) % 1.0)
    text = "The comments name a time offset of the irradiance, as PVGIS writes it; the irradiance itself is tested."
    return minutes if 0.0 <= minutes <= 75.0 else None, (Note("irradiance-time-offset", "info", text),)


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _records_per_hour(name: str, line: str, number: int, rows: list[str]) -> tuple[int, tuple[Note, ...]]:
    """Count as DATA PERIODS declares it, or as the first rows show where it is silent."""
    fields = _split(line)
    if len(fields) < 3 or not fields[2]:
        first = rows[0].split(",", 4)[:4]
        count = next((i for i, row in enumerate(rows[:61]) if row.split(",", 4)[:4] != first), 1)
        text = f"DATA PERIODS does not give the records per hour; the first rows show {count}."
        return count, (Note("records-per-hour", "info", text),)
    try:
        count = int(float(fields[2]))
    except (ValueError, OverflowError):
        reason = f"DATA PERIODS gives {fields[2]!r} for the records per hour"
        raise WeatherRefused(name, reason, f"line {number}") from None
    if not 1 <= count <= 60 or 60 % count:
        reason = f"{count} records per hour; a divisor of 60 is wanted"
        raise WeatherRefused(name, reason, f"line {number}")
    return count, ()


def _full_rows(name: str, rows: list[str], line: IntArray) -> tuple[list[str], tuple[Note, ...]]:
    """Rows of 35 fields: older files have fewer, some have a comma at the end of every row."""
    count = rows[0].count(",") + 1
    if count == FIELDS + 1 and all(row.endswith(",") for row in rows):
        rows, count = [row[:-1] for row in rows], FIELDS
    if not LEAST_FIELDS <= count <= FIELDS:
        noun = "field" if count == 1 else "fields"
        raise WeatherRefused(name, f"the row has {count} {noun} instead of {FIELDS}", f"line {line[0]}")
    same_count(name, rows, line, ",", count)
    if count == FIELDS:
        return rows, ()
    padding = "," * (FIELDS - count)
    text = f"Rows have {count} of {FIELDS} fields; the last ones, which are not used, are taken as empty."
    return [row + padding for row in rows], (Note("short-rows", "info", text),)


def _frame(name: str, rows: list[str], line: IntArray, place: Station) -> tuple[pd.DataFrame, IntArray]:
    """Read the rows by pvlib; also the year of each."""
    location = (
        f"LOCATION,,,,,,{place.latitude!r},{place.longitude!r},{place.utc_offset_h!r},{place.elevation!r}\n"
    )
    content = location + "header\n" * (len(KEYWORDS) - 1) + "\n".join(rows) + "\n"
    with warnings.catch_warnings():
        warnings.simplefilter(
            "ignore", pd.errors.DtypeWarning
        )  # text among numbers: `numbers` names the line
        try:
            frame, _ = iotools.read_epw(io.StringIO(content))
        except (ValueError, TypeError):
            year = _years(name, rows, line)  # the years may stand in the way (29 February, 1990.0)
            frame, _ = guarded(name, lambda: iotools.read_epw(io.StringIO(content), coerce_year=2000))
            return frame, year
    if len(frame) != len(rows):
        raise WeatherRefused(name, f"{len(frame)} rows were read of the {len(rows)} in the file")
    return frame, numbers(name, frame, "year", line, "year", blank=False).astype(np.int64)


def _years(name: str, rows: list[str], line: IntArray) -> IntArray:
    """Year of each row, after a look at every date; refuses the first that cannot be."""
    years = np.empty(len(rows), dtype=np.int64)
    ranges = {"year": (1, 9999), "month": (1, 12), "day": (1, 31), "hour": (1, 24)}
    for i, row in enumerate(rows):
        texts = row.split(",", 4)[:4]
        for (key, (low, high)), text in zip(ranges.items(), texts, strict=True):
            found = float(text) if _is_number(text) else np.nan
            if not low <= found <= high or found != int(found):
                reason = f"{key} is {text.strip()!r}; {low} to {high} is wanted"
                raise WeatherRefused(name, reason, f"line {line[i]}")
        month, day = int(float(texts[1])), int(float(texts[2]))
        if day > monthrange(2000, month)[1]:
            raise WeatherRefused(name, f"there is no day {day} in month {month}", f"line {line[i]}")
        years[i] = int(float(texts[0]))
    return years
