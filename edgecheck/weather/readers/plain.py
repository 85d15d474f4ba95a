"""Hourly CSV: an open form for anyone's own series, under pvlib's column names.

::

    # place: North harbour
    # latitude: 53.5
    # longitude: 10.0
    # elevation: 12
    # utc_offset_h: 1
    # time_label: start
    time,temp_air,temp_dew,ghi,dni,dhi,wind_speed,pressure
    2021-01-01 00:00,3.2,1.0,0,0,0,4.1,101200

Lines that begin with # give the station: latitude and longitude in degrees (north and east positive), elevation in m,
and the hours that local standard time is ahead of UTC. `time_label` says what the time of a row is: `start` (usual) or
`end` of the interval its means are taken over, or `instant` for readings at that moment. `synthetic: yes` labels
made-up data. Columns, in any order: `time` as YYYY-MM-DD HH:MM in local standard time (with an offset such as +01:00 if
it is the same in every row); `temp_air`, `temp_dew` [degC] or `relative_humidity` [%]; `ghi`, `dni`, `dhi` [W/m2];
`wind_speed` [m/s]; optional `pressure` [Pa], `longwave_down` [W/m2], `opaque_cover` [tenths]. An empty cell is a
missing value. Other columns are ignored. Records may be 1 to 60 minutes apart; whole years are wanted, as many as there
are.
"""

import csv
import re

import numpy as np
import pandas as pd

from edgecheck.base.errors import WeatherRefused
from edgecheck.base.notes import Note
from edgecheck.weather.readers.table import (
    FloatArray,
    IntArray,
    RawTable,
    Station,
    calendar,
    checked_station,
    data_rows,
    maybe_cut,
    numbers,
    parsed,
)
from edgecheck.weather.readers.text import FileText

# column: label for messages
COLUMNS = {
    "temp_air": "air temperature",
    "temp_dew": "dew point",
    "relative_humidity": "relative humidity",
    "ghi": "global horizontal irradiance",
    "dni": "beam irradiance",
    "dhi": "diffuse irradiance",
    "wind_speed": "wind speed",
    "pressure": "air pressure",
    "longwave_down": "sky longwave",
    "opaque_cover": "opaque cloud cover",
}
REQUIRED = ("time", "temp_air", "ghi", "dni", "dhi", "wind_speed")
STATION_KEYS = ("latitude", "longitude", "elevation", "utc_offset_h")
LABELS = ("start", "end", "instant")
_ZONE = re.compile(r"\s*(?:(?P<utc>Z)|(?P<sign>[+-])(?P<hours>\d{2}):?(?P<minutes>\d{2}))$")


def is_plain(lines: list[str]) -> bool:
    """Whether the first line that is no comment names the columns of this form."""
    return {"time", "temp_air"} <= set(_names(lines)[1])


def plain_station(name: str, lines: list[str]) -> Station:
    """Station of the comment lines.

    Raises
    ------
    WeatherRefused
        If a key is missing, no number or out of range.
    """
    start, _ = _names(lines)
    keys = _keys(lines[:start])
    if "utc_offset_h" not in keys and len(lines) > start + 1:
        offset = _offset(lines[start + 1].split(",")[_names(lines)[1].index("time")].strip().strip('"'))
        if offset is not None:
            keys["utc_offset_h"] = repr(offset)
    for key in STATION_KEYS:
        if not keys.get(key):
            reason = f"the line '# {key}: ...' is missing above the column names"
            raise WeatherRefused(name, reason, f"line {start + 1}")
    return checked_station(
        name, f"lines 1 to {start}", keys.get("place", ""), {key: keys[key] for key in STATION_KEYS}
    )


def read_plain_table(text: FileText) -> RawTable:
    """Read a file of this form.

    Raises
    ------
    WeatherRefused
        If a key or column is missing, a row has another number of cells, a time or a used cell cannot be read,
        or the records are not evenly spaced; names the line.
    """
    name, lines = text.name, text.lines
    start, names = _names(lines)
    keys = _keys(lines[:start])
    for column in REQUIRED:
        if column not in names:
            raise WeatherRefused(name, f"the column {column} is missing", f"line {start + 1}")
    if "temp_dew" not in names and "relative_humidity" not in names:
        reason = "the columns temp_dew and relative_humidity are both missing"
        raise WeatherRefused(name, reason, f"line {start + 1}")
    label = keys.get("time_label", "start")
    if label not in LABELS:
        reason = f"time_label {label!r}; {', '.join(LABELS)} are known"
        raise WeatherRefused(name, reason, f"lines 1 to {start}")
    place = plain_station(name, lines)
    rows, line = data_rows(lines, start + 1)
    if not rows:
        raise WeatherRefused(name, "there are no rows of data below the column names", f"line {start + 1}")
    frame = parsed(name, names, rows, line)
    time = _times(name, frame["time"].astype(str), line, place.utc_offset_h)
    per_hour = _per_hour(name, time, line)
    step = 60 // per_hour
    first = 0.0 if label == "end" else float(time[0] % step)
    began = time - step if label == "end" else time
    columns: dict[str, FloatArray] = {
        key: numbers(name, frame, key, line, words) for key, words in COLUMNS.items() if key in names
    }
    columns.setdefault("temp_dew", np.full(len(line), np.nan))
    year, month, day, hour = calendar(began.astype("datetime64[m]"))
    return RawTable(
        name=name,
        format="hourly CSV",
        station=place,
        line=line,
        year=year,
        month=month,
        day=day,
        hour=hour,
        columns=columns,
        records_per_hour=per_hour,
        offset_min=first + 30.0 * (1.0 - 1.0 / per_hour) if label == "instant" else None,
        utc=place.utc_offset_h == 0,
        synthetic=keys.get("synthetic", "").lower() in ("yes", "true"),
        notes=text.notes + maybe_cut(text) + _ignored(keys, names),
    )


def _names(lines: list[str]) -> tuple[int, list[str]]:
    """Index of the line of column names, and the names; none where every line is a comment."""
    for i, line in enumerate(lines):
        if line.strip() and not line.lstrip().startswith("#"):
            known = "time" in line and "temp_air" in line
            return i, [field.strip() for field in next(csv.reader([line]))] if known else []
    return len(lines), []


def _keys(comments: list[str]) -> dict[str, str]:
    """Words behind each key of the comment lines."""
    pairs = (line.lstrip("# \t").split(":", 1) for line in comments if ":" in line)
    return {key.strip().lower(): value.strip() for key, value in pairs}


def _offset(stamp: str) -> float | None:
    """Hours ahead of UTC that a time carries, None where it carries none."""
    found = _ZONE.search(stamp) if ":" in stamp else None
    if found is None:
        return None
    if found["utc"]:
        return 0.0
    hours = int(found["hours"]) + int(found["minutes"]) / 60.0
    return -hours if found["sign"] == "-" else hours


def _times(name: str, stamps: "pd.Series[str]", line: IntArray, utc_offset_h: float) -> IntArray:
    """Minutes since 1970 in the file's own clock."""
    zones = stamps.str.extract(_ZONE.pattern)
    carried = zones["utc"].notna() | zones["sign"].notna()
    if carried.any():
        offsets = stamps.where(carried, "").map(_offset).to_numpy(dtype=float)
        wrong = offsets != utc_offset_h
        if wrong.any():
            first = int(np.argmax(wrong))
            reason = (
                f"time {stamps.iloc[first]!r}: every row must be in local standard time, UTC{utc_offset_h:+g} h, "
                "without summer time"
            )
            raise WeatherRefused(name, reason, f"line {line[first]}")
        stamps = stamps.str.replace(_ZONE.pattern, "", regex=True)
    time = pd.to_datetime(stamps, format="ISO8601", errors="coerce")
    bad = time.isna().to_numpy()
    if bad.any():
        first = int(np.argmax(bad))
        reason = f"time {stamps.iloc[first]!r}; YYYY-MM-DD HH:MM is wanted"
        raise WeatherRefused(name, reason, f"line {line[first]}")
    return time.to_numpy(dtype="datetime64[m]").astype(np.int64)


def _per_hour(name: str, time: IntArray, line: IntArray) -> int:
    """Records an hour, from the first two."""
    step = int(time[1] - time[0]) if len(time) > 1 else 60
    if not 1 <= step <= 60 or 60 % step:
        reason = f"the records are {step} minutes apart; a divisor of 60 is wanted"
        raise WeatherRefused(name, reason, f"line {line[1]}")
    uneven = time % step != time[0] % step
    if uneven.any():
        first = int(np.argmax(uneven))
        raise WeatherRefused(name, "the records are not evenly spaced", f"line {line[first]}")
    return 60 // step


def _ignored(keys: dict[str, str], names: list[str]) -> tuple[Note, ...]:
    known = (*STATION_KEYS, "place", "time_label", "synthetic")
    extra = [f"# {key}" for key in keys if key not in known]
    extra += [column for column in names if column not in COLUMNS and column != "time"]
    if not extra:
        return ()
    return (Note("ignored", "info", f"Not known, and not used: {', '.join(extra)}."),)
