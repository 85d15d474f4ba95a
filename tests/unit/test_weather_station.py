"""Nearest weather file: distance plus elevation, from file heads only."""

from pathlib import Path

import numpy as np
import pytest
from real_weather import PVLIB_FILES, pvlib_file
from weather_files import EPW_HEADER

from edgecheck.weather.station import Nearest, StationIndex, distance_km, nearest_weather, read_station


def head(folder: Path, name: str, latitude: float, longitude: float, elevation: float) -> Path:
    """A file whose head is all there is to read."""
    first = f"LOCATION,{name},-,-,invented,000000,{latitude},{longitude},0.0,{elevation}"
    path = folder / name
    path.write_text("\n".join([first, *EPW_HEADER[1:]]), encoding="utf-8")
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    head(tmp_path, "coast.epw", 45.0, 5.0, 10.0)
    head(tmp_path, "hill.epw", 45.1, 5.0, 400.0)
    head(tmp_path, "far.EPW", 47.0, 5.0, 10.0)
    (tmp_path / "readme.txt").write_text("LOCATION,not looked at", encoding="utf-8")
    (tmp_path / "list.csv").write_text("site_id,latitude_deg\nA,45\n", encoding="utf-8")
    (tmp_path / "broken.epw").write_text("LOCATION,x,-,-,x,0,95,0,0,0", encoding="utf-8")
    (tmp_path / "empty.epw").write_bytes(b"")
    return tmp_path


def test_distance_of_known_pairs() -> None:
    """London Heathrow to New York JFK 5540 km (great-circle distance in airline tables, from memory, 0.3 %);
    one minute of arc is one nautical mile, 1852 m, by its old definition."""
    assert float(distance_km(51.4775, -0.4614, 40.6398, -73.7789)) == pytest.approx(5540, rel=3e-3)
    assert float(distance_km(45.0, 5.0, 45.0 + 1 / 60, 5.0)) == pytest.approx(1.852, rel=2e-3)
    assert float(distance_km(0.0, 179.9, 0.0, -179.9)) == pytest.approx(0.2 * 60 * 1.852, rel=2e-3)
    assert float(distance_km(90.0, 0.0, -90.0, 77.0)) == pytest.approx(np.pi * 6371.0088)


def test_nearest_by_distance(folder: Path) -> None:
    found = nearest_weather(folder, 45.06, 5.0)
    assert found.path == folder / "hill.epw"
    assert found.distance_km == pytest.approx(0.04 * 111.195, rel=1e-3)
    assert (found.elevation_difference, found.reason) == (0.0, "")


def test_elevation_counts_as_distance(folder: Path) -> None:
    """The hill is 4 km away but 390 m higher, which counts as 65 km; the coast is 7 km away."""
    found = nearest_weather(folder, 45.06, 5.0, 10.0)
    assert found.path == folder / "coast.epw"
    assert found.elevation_difference == 0
    assert nearest_weather(folder, 45.06, 5.0, 390.0).path == folder / "hill.epw"


def test_too_far_and_too_high_name_the_best(folder: Path) -> None:
    far = nearest_weather(folder, 40.0, 5.0)
    assert far.path is None
    assert "100 km" in far.reason
    assert "coast.epw" in far.reason
    high = nearest_weather(folder, 45.0, 5.0, 2000.0)
    assert high.path is None
    assert "500 m" in high.reason


def test_a_far_station_inside_the_limits_beats_a_near_one_outside(tmp_path: Path) -> None:
    near = head(tmp_path, "near.epw", 45.0, 5.0, 0.0)
    far = head(tmp_path, "far.epw", 45.85, 5.0, 510.0)  # 94.5 km
    assert nearest_weather([near, far], 45.0, 5.0, 510.0).path == far


def test_files_that_are_no_weather_are_skipped_with_reasons(folder: Path) -> None:
    index = StationIndex.from_folder(folder)
    assert [path.name for path in index.paths] == ["coast.epw", "far.EPW", "hill.epw"]
    assert len(index.skipped) == 3
    assert any("latitude 95" in reason for reason in index.skipped)


def test_empty_folder(tmp_path: Path) -> None:
    found = nearest_weather(tmp_path, 45.0, 5.0)
    assert isinstance(found, Nearest)
    assert found.path is None
    assert "no weather file" in found.reason
    assert np.isnan(found.distance_km)


def test_many_at_once_equal_one_by_one(folder: Path) -> None:
    index = StationIndex.from_folder(folder)
    random = np.random.default_rng(7)
    north, east = random.uniform(44, 48, 300), random.uniform(4, 6, 300)
    height = np.where(random.random(300) < 0.3, np.nan, random.uniform(0, 900, 300))
    many = index.nearest_many(north, east, height)
    for i, found in enumerate(many):
        one = index.nearest(north[i], east[i], None if np.isnan(height[i]) else height[i])
        assert found == one
    assert {found.path is None for found in many} == {True, False}


@pytest.mark.parametrize(
    ("name", "latitude", "longitude", "elevation"),
    [
        (PVLIB_FILES[0], 25.8, -80.267, 2),
        (PVLIB_FILES[1], 55.317, -160.517, 7),
        (PVLIB_FILES[2], 36.1, -79.95, 273),
    ],
)
def test_heads_of_the_files_that_pvlib_ships(
    name: str, latitude: float, longitude: float, elevation: float
) -> None:
    station = read_station(pvlib_file(name))
    assert station.latitude == pytest.approx(latitude, abs=1e-3)
    assert station.longitude == pytest.approx(longitude, abs=1e-3)
    assert station.elevation == elevation
