"""PVGIS typical years and series: what the CSV and the JSON file share.

Hours are in UTC and stand at the beginning of what they describe; the irradiance belongs to the moment
`irradiance time offset` hours later, where the file names one. In: a frame under PVGIS's column names. Out:
`RawTable` in UTC. Layout: PVGIS user manual, typical meteorological year. pvlib's reader takes exactly 8760 rows of
one typical year, whatever the file holds, so the rows are read here; the tests compare both.
"""

import numpy as np
import pandas as pd

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.readers.table import IntArray, RawTable, Station, calendar, checked_station, numbers
from edgecheck.weather.readers.text import FileText
from edgecheck.weather.series import Format

TIME = "time(UTC)"
# bare name: PVGIS's name, label
COLUMNS = {
    "temp_air": ("T2m", "air temperature"),
    "relative_humidity": ("RH", "relative humidity"),
    "ghi": ("G(h)", "global horizontal irradiance"),
    "dni": ("Gb(n)", "beam irradiance"),
    "dhi": ("Gd(h)", "diffuse irradiance"),
    "longwave_down": ("IR(h)", "sky longwave"),
    "wind_speed": ("WS10m", "wind speed"),
    "pressure": ("SP", "air pressure"),
}
OPTIONAL = ("longwave_down", "pressure")


def pvgis_station(name: str, where: str, texts: dict[str, str]) -> Station:
    """Station of latitude, longitude and elevation; its rows are in UTC.

    Raises
    ------
    WeatherRefused
        If one is missing, no number or out of range.
    """
    for key in ("latitude", "longitude", "elevation"):
        if not texts.get(key):
            raise WeatherRefused(name, f"the {key} is not given", where)
    return checked_station(name, where, "", {**texts, "utc_offset_h": "0"})


def pvgis_table(
    text: FileText,
    format: Format,
    place: Station,
    frame: pd.DataFrame,
    line: IntArray,
    row_word: str,
    offset: str | None,
) -> RawTable:
    """Rows of either file.

    Parameters
    ----------
    text : FileText
        For the name and notes.
    format : str
        Name of the format.
    place : Station
    frame : DataFrame
        Under PVGIS's names.
    line : ndarray of int, shape (rows,)
        Line, or number, of each row.
    row_word : str
        What `line` counts.
    offset : str, optional
        Irradiance time offset as written. [h]

    Raises
    ------
    WeatherRefused
        If a column is missing, a time or a used cell cannot be read.
    """
    name = text.name
    for key, (column, label) in COLUMNS.items():
        if column not in frame.columns and key not in OPTIONAL:
            raise WeatherRefused(name, f"the column {column} ({label}) is missing")
    stamps = frame[TIME].astype(str)
    time = pd.to_datetime(stamps, format="%Y%m%d:%H%M", errors="coerce")
    bad = (time.isna() | (time.dt.minute != 0)).to_numpy()
    if bad.any():
        first = int(np.argmax(bad))
        reason = f"time {stamps.iloc[first]!r}; whole hours as YYYYMMDD:HHMM are wanted"
        raise WeatherRefused(name, reason, f"{row_word} {line[first]}")
    columns = {
        key: numbers(name, frame, column, line, label)
        for key, (column, label) in COLUMNS.items()
        if column in frame.columns
    }
    columns["temp_dew"] = np.full(len(line), np.nan)
    year, month, day, hour = calendar(time.to_numpy())
    return RawTable(
        name=name,
        format=format,
        station=place,
        line=line,
        year=year,
        month=month,
        day=day,
        hour=hour,
        columns=columns,
        offset_min=None if offset is None else _minutes(name, offset),
        utc=True,
        row_word=row_word,
        notes=text.notes,
    )


def _minutes(name: str, offset: str) -> float:
    try:
        value = 60.0 * float(offset)
    except ValueError:
        value = np.nan
    if not -60.0 <= value <= 60.0:
        raise WeatherRefused(name, f"irradiance time offset {offset!r}; -1 to 1 h is wanted")
    return value
