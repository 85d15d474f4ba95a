"""PVGIS JSON: inputs, chosen months, hourly records.

In: lines of text. Out: `RawTable` in UTC, its rows counted as records.
"""

import json
import re
from typing import Any

import numpy as np
import pandas as pd

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.readers.pvgis import COLUMNS, OPTIONAL, TIME, pvgis_station, pvgis_table
from edgecheck.weather.readers.table import RawTable, Station, counted_in
from edgecheck.weather.readers.text import HEAD_BYTES, FileText

RECORDS = "tmy_hourly"


def is_pvgis_json(lines: list[str]) -> bool:
    """Whether the text is a JSON object whose head has this format's location."""
    head = _head(lines)
    return head.startswith("{") and '"inputs"' in head and '"location"' in head


def pvgis_json_station(name: str, lines: list[str]) -> Station:
    """Station of the first characters.

    Raises
    ------
    WeatherRefused
        If latitude, longitude or elevation is missing or out of range.
    """
    head = _head(lines)
    texts = {}
    for key in ("latitude", "longitude", "elevation"):
        found = re.search(rf'"{key}"\s*:\s*"?(-?[\d.]+)', head)
        texts[key] = found[1] if found else ""
    return pvgis_station(name, "inputs.location", texts)


def read_pvgis_json_table(text: FileText) -> RawTable:
    """Read a PVGIS JSON file.

    Raises
    ------
    WeatherRefused
        If it is no JSON, a part is missing, or a record has no time or a text for a number; names the record.
    """
    name = text.name
    try:
        content = json.loads("\n".join(text.lines))
    except json.JSONDecodeError as error:
        reason = f"no JSON from here on ({error.msg}): the file is cut off or damaged"
        raise WeatherRefused(name, reason, f"line {error.lineno}, column {error.colno}") from None
    location = _part(name, content, "inputs", "location")
    keys = ("latitude", "longitude", "elevation")
    place = pvgis_station(name, "inputs.location", {key: _text(location.get(key)) for key in keys})
    records = _part(name, content, "outputs").get(RECORDS)
    if not isinstance(records, list) or not records:
        raise WeatherRefused(name, f"there are no records in {RECORDS}", "outputs")
    wanted = [TIME, *(column for key, (column, _) in COLUMNS.items() if key not in OPTIONAL)]
    for number, record in enumerate(records, 1):
        lacking = [key for key in wanted if not isinstance(record, dict) or key not in record]
        if lacking:
            raise WeatherRefused(name, f"{lacking[0]} is missing", f"record {number} of {RECORDS}")
    offset = location.get("irradiance_time_offset")
    line = np.arange(1, len(records) + 1, dtype=np.int64)
    stated = None if offset is None else _text(offset)
    with counted_in("record"):
        return pvgis_table(text, "PVGIS JSON", place, pd.DataFrame(records), line, "record", stated)


def _head(lines: list[str]) -> str:
    """First characters of the text, on one line."""
    head = ""
    for row in lines:
        head += row[:HEAD_BYTES].strip() + " "
        if len(head) >= HEAD_BYTES:
            break
    return head[:HEAD_BYTES].lstrip()


def _part(name: str, content: Any, *keys: str) -> dict[str, Any]:
    for i, key in enumerate(keys):
        content = content.get(key) if isinstance(content, dict) else None
        if not isinstance(content, dict):
            raise WeatherRefused(name, f"the part {'.'.join(keys[: i + 1])} is missing")
    return content


def _text(value: object) -> str:
    return "" if value is None else str(value)
