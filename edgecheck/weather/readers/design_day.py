"""Design days: 24 published hours in a TOML file, with where the sun stands and where each value comes from.

In: the text of a file with the key `design_day`, or the name of one that is shipped. Out: `DesignDay`. The shipped
days lie in `climates/cycles`, each with its source.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import WeatherRefused
from edgecheck.inputs.type_qualification import CYCLE_PREFIX, cycle_name
from edgecheck.weather.readers.text import FileText

FloatArray = NDArray[np.float64]

COLUMNS = ("hour", "temp_air_c", "ghi_w_m2", "relative_humidity", "wind_speed_m_s")
HOURS = 24
_KEY = "design_day"
_TEXTS = ("name", "title", "source", "confidence", "sun_source", "wind_source")
_NUMBERS: Mapping[str, tuple[float, float]] = {
    "latitude_deg": (-90.0, 90.0),
    "month": (1.0, 12.0),
    "day": (1.0, 31.0),
    "sun_minutes": (0.0, 60.0),
}
_RANGES: Mapping[str, tuple[float, float]] = {
    "temp_air_c": (-75.0, 65.0),
    "ghi_w_m2": (0.0, 1400.0),
    "relative_humidity": (1.0, 100.0),
    "wind_speed_m_s": (0.0, 60.0),
}


@dataclass(frozen=True, eq=False)
class DesignDay:
    """A design day as its file gives it.

    Parameters
    ----------
    name, title : str
        What a list calls it; what people call it.
    source, confidence, sun_source, wind_source : str
        Where the hours come from and how well that is known; where sun and wind come from.
    latitude : float
        At which the sun is taken. [deg]
    date : datetime64[D]
        On which it is taken, in the calendar of 2001.
    sun_offset_min : float
        Minutes after the start of an hour at which it is taken. [min]
    temp_air, ghi, relative_humidity, wind_speed : ndarray, shape (24,)
        Hour 1 of the tables, which ends at 01:00, comes first. [degC], [W/m2], [%], [m/s]
    file, sha256 : str
        Name without folders, and the SHA-256 of the bytes.
    """

    name: str
    title: str
    source: str
    confidence: str
    sun_source: str
    wind_source: str
    latitude: float
    date: np.datetime64
    sun_offset_min: float
    temp_air: FloatArray
    ghi: FloatArray
    relative_humidity: FloatArray
    wind_speed: FloatArray
    file: str
    sha256: str


@cache
def shipped_days() -> Mapping[str, Path]:
    """Names of the shipped design days -> their files; empty where they were not installed."""
    package = Path(__file__).resolve().parents[2]
    for folder in (package / "climates" / "cycles", package.parent / "climates" / "cycles"):
        found = {path.stem: path for path in sorted(folder.glob("*.toml"))}
        if found:
            return MappingProxyType(found)
    return MappingProxyType({})


def cycle_path(text: str) -> tuple[Path | None, str]:
    """File of a design day.

    Parameters
    ----------
    text : str
        "cycle:NAME", in any case.

    Returns
    -------
    path, reason : Path or None, str
        None with what is allowed where no shipped day has this name.
    """
    name = cycle_name(text)
    days = shipped_days()
    if name in days:
        return days[name], ""
    known = ", ".join(f"{CYCLE_PREFIX}{one}" for one in days) or "none: installed without its data"
    return None, f"there is no design day {name!r}; known: {known}"


def is_design_day(lines: list[str]) -> bool:
    """Whether the first key of a text is that of a design day."""
    for line in lines:
        plain = line.strip()
        if plain and not plain.startswith("#"):
            return plain.split("=")[0].strip() == _KEY
    return False


def read_design_day(text: FileText, sha256: str) -> DesignDay:
    """Read a design day.

    Parameters
    ----------
    text : FileText
        The file.
    sha256 : str
        Of its bytes.

    Returns
    -------
    DesignDay

    Raises
    ------
    WeatherRefused
        If a key is missing or wrong, or there are not 24 hours in order; names the key or the row.
    """
    try:
        document = tomllib.loads("\n".join(text.lines))
    except tomllib.TOMLDecodeError as error:
        raise WeatherRefused(text.name, f"this design day is no valid TOML: {error}") from error
    texts = {key: _text(text.name, document, key) for key in _TEXTS}
    numbers = {key: _number(text.name, key, document.get(key), limits) for key, limits in _NUMBERS.items()}
    for key in ("month", "day"):
        if numbers[key] != int(numbers[key]):
            raise WeatherRefused(text.name, f"a whole number is needed, not {document[key]!r}", key)
    hours = _hours(text.name, document)
    try:
        date = np.datetime64(f"2001-{int(numbers['month']):02d}-{int(numbers['day']):02d}", "D")
    except ValueError as error:
        raise WeatherRefused(text.name, "month and day are no date", "day") from error
    return DesignDay(
        **texts,
        latitude=numbers["latitude_deg"],
        date=date,
        sun_offset_min=numbers["sun_minutes"],
        temp_air=hours["temp_air_c"],
        ghi=hours["ghi_w_m2"],
        relative_humidity=hours["relative_humidity"],
        wind_speed=hours["wind_speed_m_s"],
        file=text.name,
        sha256=sha256,
    )


def _text(file: str, document: Mapping[str, Any], key: str) -> str:
    value = document.get(key)
    if not isinstance(value, str) or not value.strip():
        raise WeatherRefused(file, "text in quotes is needed", key)
    return value.strip()


def _number(file: str, where: str, value: object, limits: tuple[float, float]) -> float:
    low, high = limits
    wrong = isinstance(value, bool) or not isinstance(value, int | float)
    if wrong or not low <= value <= high:  # type: ignore[operator]
        raise WeatherRefused(file, f"a number from {low:g} to {high:g} is needed, not {value!r}", where)
    return float(value)  # type: ignore[arg-type]


def _hours(file: str, document: Mapping[str, Any]) -> dict[str, FloatArray]:
    names, rows = document.get("columns"), document.get("rows")
    if names != list(COLUMNS):
        raise WeatherRefused(file, f"must be {list(COLUMNS)}", "columns")
    if not isinstance(rows, list) or len(rows) != HOURS:
        raise WeatherRefused(file, "24 rows are needed, hour 1 to 24", "rows")
    table = np.empty((HOURS, len(COLUMNS) - 1))
    for place, row in enumerate(rows):
        where = f"rows, hour {place + 1}"
        if not isinstance(row, list) or len(row) != len(COLUMNS) or row[0] != place + 1:
            raise WeatherRefused(file, f"a row of {', '.join(COLUMNS)} in order is needed", where)
        for column, (name, limits) in enumerate(_RANGES.items()):
            table[place, column] = _number(file, f"{where}, {name}", row[column + 1], limits)
    return {name: table[:, column].copy() for column, name in enumerate(_RANGES)}
