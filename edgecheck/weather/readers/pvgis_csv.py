"""PVGIS CSV: a few header lines, a table of the chosen months, hourly rows, a legend.

In: lines of text. Out: `RawTable` in UTC. A series of whole years has no table of months.
"""

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.readers.pvgis import TIME, pvgis_station, pvgis_table
from edgecheck.weather.readers.table import RawTable, Station, data_rows, parsed
from edgecheck.weather.readers.text import FileText

FIRST = "latitude (decimal degrees)"
KEYS = {FIRST: "latitude", "longitude (decimal degrees)": "longitude", "elevation (m)": "elevation"}
OFFSET = "irradiance time offset (h)"
HEAD_LINES = 40


def is_pvgis_csv(lines: list[str]) -> bool:
    """Whether the first line is this format's."""
    return lines[0].strip().lower().startswith(FIRST)


def pvgis_csv_station(name: str, lines: list[str]) -> Station:
    """Station of the first lines.

    Raises
    ------
    WeatherRefused
        If latitude, longitude or elevation is missing or out of range.
    """
    head = _head(lines)
    return pvgis_station(name, "lines 1 to 3", {KEYS[key]: text for key, text in head.items() if key in KEYS})


def read_pvgis_csv_table(text: FileText) -> RawTable:
    """Read a PVGIS CSV file.

    Raises
    ------
    WeatherRefused
        If the header or a column is missing, a row has another number of cells, a time or a used cell cannot
        be read; names the line.
    """
    name, lines = text.name, text.lines
    place = pvgis_csv_station(name, lines)
    start = next((i for i, row in enumerate(lines[:HEAD_LINES]) if row.startswith("time")), None)
    if start is None:
        raise WeatherRefused(name, f"the line of column names, which begins with {TIME}, is missing")
    names = [field.strip() for field in lines[start].split(",")]
    if names[0] != TIME:
        reason = (
            f"the first column is {names[0]!r} instead of {TIME}: a series of radiation on a plane has neither "
            "humidity nor the three components; the typical year (TMY) is wanted"
        )
        raise WeatherRefused(name, reason, f"line {start + 1}")
    rows, line = data_rows(lines, start + 1)
    count = next((i for i, row in enumerate(rows) if not row[0].isdigit()), len(rows))
    rows, line = rows[:count], line[:count]  # a legend follows
    if not rows:
        raise WeatherRefused(name, "there are no rows of data below the column names", f"line {start + 1}")
    frame = parsed(name, names, rows, line)
    return pvgis_table(text, "PVGIS CSV", place, frame, line, "line", _head(lines).get(OFFSET))


def _head(lines: list[str]) -> dict[str, str]:
    """Texts of the first lines by their key, in small letters."""
    found = (row.split(":", 1) for row in lines[:HEAD_LINES] if ":" in row and not row[0].isdigit())
    return {key.strip().lower(): value.strip() for key, value in found}
