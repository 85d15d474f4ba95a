"""TMY2: fixed width, one header line, hours 1 to 24 ending at the label.

In: lines of text. Out: `RawTable` at the start of the interval. Layout, units and missing codes: Marion &
Urban, User's manual for TMY2s (1995). pvlib reads the rows, from a file only: it is given a clean copy.
"""

import re
import tempfile
from pathlib import Path

import numpy as np
from pvlib import iotools

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.readers.table import (
    RawTable,
    Station,
    checked_station,
    guarded,
    missing_from,
    numbers,
)
from edgecheck.weather.readers.text import FileText

WIDTH = 142
_HEADER = re.compile(
    r"^\s*(?P<id>\d{5})\s+(?P<city>.+?)\s+(?P<state>[A-Z]{2})\s+(?P<zone>-?\d+)\s+(?P<ns>[NS])\s+(?P<lat>\d+)"
    r"\s+(?P<lat_min>\d+)\s+(?P<ew>[EW])\s+(?P<lon>\d+)\s+(?P<lon_min>\d+)\s+(?P<elevation>-?\d+)\s*$"
)
# bare name: pvlib's name, missing code, factor to SI, label
COLUMNS = {
    "temp_air": ("DryBulb", 9999.0, 0.1, "dry bulb"),
    "temp_dew": ("DewPoint", 9999.0, 0.1, "dew point"),
    "relative_humidity": ("RHum", 999.0, 1.0, "relative humidity"),
    "pressure": ("Pressure", 9999.0, 100.0, "station pressure"),
    "ghi": ("GHI", 9999.0, 1.0, "global horizontal irradiance"),
    "dni": ("DNI", 9999.0, 1.0, "beam irradiance"),
    "dhi": ("DHI", 9999.0, 1.0, "diffuse irradiance"),
    "wind_speed": ("Wspd", 999.0, 0.1, "wind speed"),
    "opaque_cover": ("OpqCld", 99.0, 1.0, "opaque cover"),
}


def is_tmy2(lines: list[str]) -> bool:
    """Whether the first line is this format's station line."""
    return _HEADER.match(lines[0]) is not None


def tmy2_station(name: str, lines: list[str]) -> Station:
    """Station of the first line.

    Raises
    ------
    WeatherRefused
        If the line is not of this format or its numbers are out of range.
    """
    found = _HEADER.match(lines[0])
    if found is None:
        raise WeatherRefused(name, "the station line is not that of a TMY2 file", "line 1")
    latitude = (int(found["lat"]) + int(found["lat_min"]) / 60.0) * (1 if found["ns"] == "N" else -1)
    longitude = (int(found["lon"]) + int(found["lon_min"]) / 60.0) * (1 if found["ew"] == "E" else -1)
    texts = {
        "latitude": repr(latitude),
        "longitude": repr(longitude),
        "utc_offset_h": found["zone"],
        "elevation": found["elevation"],
    }
    return checked_station(name, "line 1", f"{found['city'].replace('_', ' ')}, {found['state']}", texts)


def read_tmy2_table(text: FileText) -> RawTable:
    """Read a TMY2 file.

    Raises
    ------
    WeatherRefused
        If the station line is wrong, a row has another width or a cell is not a number; names the line.
    """
    name, lines = text.name, text.lines
    place = tmy2_station(name, lines)
    rows = lines[1:]
    line = np.arange(2, 2 + len(rows), dtype=np.int64)
    if not rows:
        raise WeatherRefused(name, "there are no rows of data below the station line", "line 1")
    for number, row in zip(line, rows, strict=True):
        if len(row.rstrip()) != WIDTH:
            reason = f"the row has {len(row.rstrip())} characters instead of {WIDTH}"
            if number == line[-1] and len(row) < WIDTH:
                reason += ": the file is cut off"
            raise WeatherRefused(name, reason, f"line {number}")
        if not row[1:9].replace(" ", "0").isdigit():
            raise WeatherRefused(name, f"the row begins with {row[:9]!r}, not with a date", f"line {number}")
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "clean.tm2"
        ascii_rows = [row.encode("ascii", "replace").decode("ascii") for row in rows]
        copy.write_text("\n".join([_plain_header(lines[0]), *ascii_rows]), encoding="ascii", newline="\n")
        frame, _ = guarded(name, lambda: iotools.read_tmy2(copy))
    columns = {
        key: np.round(missing_from(numbers(name, frame, column, line, label), code) * factor, 3)
        for key, (column, code, factor, label) in COLUMNS.items()
    }
    year, month, day, hour = (
        numbers(name, frame, key, line, key, blank=False).astype(np.int64)
        for key in ("year", "month", "day", "hour")
    )
    return RawTable(
        name=name,
        format="TMY2",
        station=place,
        line=line,
        year=year + 1900,
        month=month,
        day=day,
        hour=hour - 1,
        columns=columns,
        synthetic="synthetic" in lines[0].lower(),
        typical=True,
        notes=text.notes,
    )


def _plain_header(line: str) -> str:
    """Rewrite the station line with a one-word city, which is all that pvlib takes."""
    found = _HEADER.match(line)
    assert found is not None
    parts = ["id", "zone", "ns", "lat", "lat_min", "ew", "lon", "lon_min", "elevation"]
    texts = {key: found[key] for key in parts}
    return " {id} STATION XX {zone} {ns} {lat} {lat_min} {ew} {lon} {lon_min} {elevation}".format(**texts)
