"""What the demo's EPW writer writes, the reader reads: any zone, hemisphere, elevation and pattern of gaps."""

import importlib.util
import sys
import tempfile
import tomllib
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather

CLIMATES = Path(__file__).resolve().parents[2] / "climates"
# bare name: field of the row, missing code
FIELDS = {
    "temp_air": (6, "99.9"),
    "temp_dew": (7, "99.9"),
    "pressure": (9, "999999"),
    "longwave_down": (12, "9999"),
    "ghi": (13, "9999"),
    "dni": (14, "9999"),
    "dhi": (15, "9999"),
    "wind_speed": (21, "999"),
}
NEEDED = ("temp_air", "ghi", "dni", "dhi", "wind_speed", "pressure")


@cache
def generator() -> ModuleType:
    sys.path.insert(0, str(CLIMATES))
    try:
        spec = importlib.util.spec_from_file_location("make_climates", CLIMATES / "make_climates.py")
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        return module
    finally:
        sys.path.remove(str(CLIMATES))


PLACES = tomllib.loads((CLIMATES / "places.toml").read_text(encoding="utf-8"))["place"]
places = st.builds(
    lambda place, latitude, zone, east, elevation: (
        place
        | {
            "latitude": round(latitude, 2),
            "longitude": round((zone * 15.0 + east + 180.0) % 360.0 - 180.0, 2),
            "utc_offset_h": zone,
            "elevation_m": round(elevation, 1),
        }
    ),
    st.sampled_from(PLACES),
    st.floats(-62.0, 62.0),
    st.sampled_from([-11.0, -9.5, -7.0, -3.5, 0.0, 1.0, 4.5, 5.5, 9.5, 12.0]),
    st.floats(-7.5, 7.5),
    st.floats(-300.0, 4500.0),
)
gap_patterns = st.lists(
    st.tuples(st.sampled_from(sorted(FIELDS)), st.integers(1, 8740), st.integers(1, 9)), max_size=4
)


def read(text: str) -> Weather:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "written.epw"
        path.write_text(text, encoding="ascii")
        return read_weather(path)


def holed(text: str, pattern: list[tuple[str, int, int]]) -> str:
    lines = text.split("\n")
    for name, first, length in pattern:
        field, code = FIELDS[name]
        for i in range(8 + first, 8 + first + length):
            cells = lines[i].split(",")
            cells[field] = code
            lines[i] = ",".join(cells)
    return "\n".join(lines)


def longest_gap(pattern: list[tuple[str, int, int]], name: str) -> int:
    missing = np.zeros(8762, dtype=int)
    for variable, first, length in pattern:
        if variable == name:
            missing[first + 1 : first + 1 + length] = 1
    edges = np.flatnonzero(np.diff(missing))
    return int(np.max(edges[1::2] - edges[::2], initial=0))


@settings(
    max_examples=12,
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # a year an example: shrinking takes minutes
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(places, gap_patterns)
def test_written_and_read_again(place: dict[str, Any], pattern: list[tuple[str, int, int]]) -> None:
    made = generator().hourly(place)
    text = holed(generator().epw_text(place), pattern)
    if any(longest_gap(pattern, name) > 6 for name in NEEDED):
        with pytest.raises(WeatherRefused, match="hours on end"):
            read(text)
        return
    weather = read(text)
    (year,) = weather.years
    assert (weather.latitude, weather.longitude) == (place["latitude"], place["longitude"])
    assert (weather.utc_offset_h, weather.elevation) == (
        round(place["utc_offset_h"], 1),
        place["elevation_m"],
    )
    assert weather.synthetic
    assert weather.sun_offset_min == 30
    assert weather.closure < 1.5
    if not any(
        name in ("ghi", "dni", "dhi") for name, _, _ in pattern
    ):  # a gap at dawn is filled from the day
        assert not weather.flags
    names = dict.fromkeys(FIELDS, "") | {name: name for name in FIELDS} | {"longwave_down": "longwave"}
    for name, source in names.items():
        kept = np.ones(8760, dtype=bool)
        for variable, first, length in pattern:
            if variable == name:
                kept[first : first + length] = False
        values = getattr(year, name)
        ours, theirs = values[kept], made[source][kept]
        if name == "dni":  # beam at the horizon is taken as zero
            theirs = np.where(ours == 0.0, 0.0, theirs)
            assert np.count_nonzero(made[source] > 0) - np.count_nonzero(values > 0) < 60
        assert ours == pytest.approx(theirs, abs=0.051 if name.startswith(("temp", "wind")) else 0.5), name
        if name == "temp_dew":  # computed from the humidity, which is printed in whole percent
            assert np.all(np.abs(values - made[source])[~kept] < 2.5)
            continue
        gap = int((~kept).sum())
        if name == "longwave_down" and longest_gap(pattern, name) > 6:
            continue  # not needed: a long gap stays, and is computed later
        assert weather.filled.get(name, 0) == gap
        assert np.isfinite(values).all()
