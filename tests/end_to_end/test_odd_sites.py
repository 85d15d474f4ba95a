"""Places and rows at the edges of what people ask: poles, south, half-hour zones, no sun, hardly any load."""

import json
import math
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from command_line import STATION, Answer, edgecheck, verdicts, write_list
from odd_weather import Place, write_epw

WORDS = ("screen", "sites.csv", "--unit", "unit.toml", "--hourly", "--report", "all")


def hourly(desk: Path, site_id: str, file: str = "hourly.csv") -> pd.DataFrame:
    return pd.read_csv(desk / "reports" / "sites" / "sites" / site_id / file, encoding="utf-8-sig")


def screen(desk: Path, *rows: dict[str, object], words: tuple[str, ...] = WORDS) -> Answer:
    write_list(desk / "sites.csv", rows)
    return edgecheck(*words, folder=desk)


def site_json(desk: Path, site_id: str) -> dict[str, object]:
    return dict(json.loads((desk / "reports" / "sites" / "sites" / site_id / "site.json").read_text("utf-8")))


def test_polar_night_and_midnight_sun(desk: Path) -> None:
    write_epw(desk / "arctic.epw", Place(78.2, 15.6, 1.0, 20.0, -8.0, 13.0, 2.0))
    place = {"latitude_deg": 78.2, "longitude_deg": 15.6, "weather": "arctic.epw", "elevation_m": 20}
    answer = screen(desk, {"site_id": "A", **place})
    assert answer.code == 0, answer.err
    data = hourly(desk, "A")
    month = data["time"].str[5:7].astype(int)
    clock = data["time"].str[11:13].astype(int)
    assert (data.loc[month == 12, "solar_kw"] == 0.0).all()
    assert (data.loc[(month == 6) & (clock == 0), "solar_kw"] > 0.0).all()
    assert np.isfinite(data.select_dtypes("number").to_numpy()).all()


@pytest.mark.parametrize("latitude", [89.9, -89.9])
def test_at_the_pole(desk: Path, latitude: float) -> None:
    write_epw(desk / "pole.epw", Place(latitude, 0.0, 0.0, 5.0, -12.0, 10.0, 0.0))
    # On the other side of the pole, 22 km away.
    rows = {"site_id": "A", "latitude_deg": latitude, "longitude_deg": 180, "weather": "pole.epw"}
    assert screen(desk, rows).code == 0
    row = verdicts(desk / "reports" / "sites")["A"]
    assert float(row["weather_distance_km"]) == pytest.approx(2 * 0.1 * math.pi / 180 * 6371.0, rel=1e-3)
    data = hourly(desk, "A")
    assert np.isfinite(data.select_dtypes("number").to_numpy()).all()
    dark = data["time"].str[5:7].astype(int) == (12 if latitude > 0 else 6)
    assert (data.loc[dark, "solar_kw"] == 0.0).all()


@pytest.mark.usefixtures("figures")
def test_southern_summer(desk: Path) -> None:
    write_epw(desk / "south.epw", Place(-33.9, 18.6, 2.0, 40.0, 17.0, 7.0, 6.0))
    place = {"latitude_deg": -33.9, "longitude_deg": 18.6, "weather": "south.epw"}
    assert screen(desk, {"site_id": "A", **place, "front_azimuth_deg": 0}).code == 0
    row = verdicts(desk / "reports" / "sites")["A"]
    assert row["worst_time"][5:7] in ("01", "02")
    assert float(row["headroom_share"]) > 0.3
    data = hourly(desk, "A")
    month = data["time"].str[5:7].astype(int)
    assert data.loc[month == 12, "solar_kw"].sum() > 1.3 * data.loc[month == 6, "solar_kw"].sum()


@pytest.mark.usefixtures("figures")
def test_half_hour_zone_keeps_the_sun_at_noon(desk: Path) -> None:
    # Solar noon, over the year on average: 12 h + (15 deg/h * zone - longitude) / 15 deg/h.
    write_epw(desk / "half.epw", Place(28.6, 77.2, 5.5, 220.0, 25.0, 8.0, 6.0))
    place = {"latitude_deg": 28.6, "longitude_deg": 77.2, "weather": "half.epw"}
    assert screen(desk, {"site_id": "A", **place, "front_azimuth_deg": 180}).code == 0
    data = hourly(desk, "A")
    clock = data["time"].str[11:13].astype(int) + 0.5
    middle = float((clock * data["solar_kw"]).sum() / data["solar_kw"].sum())
    assert middle == pytest.approx(12.0 + (15.0 * 5.5 - 77.2) / 15.0, abs=0.06)
    assert site_json(desk, "A")["detail"]["weather"]["longitude_deg"] == 77.2


@pytest.mark.usefixtures("figures")
def test_date_line_does_not_part_neighbours(desk: Path) -> None:
    write_epw(desk / "dateline.epw", Place(-17.0, 179.9, 12.0, 5.0, 26.0, 2.0, 3.0))
    row = {"site_id": "A", "latitude_deg": -17.0, "longitude_deg": -179.9, "weather": "dateline.epw"}
    assert screen(desk, row).code == 0
    far = float(verdicts(desk / "reports" / "sites")["A"]["weather_distance_km"])
    assert far == pytest.approx(0.2 * math.pi / 180 * 6371.0 * math.cos(math.radians(17.0)), rel=1e-3)


@pytest.mark.usefixtures("figures")
def test_unknown_elevation_takes_the_station_and_says_so(desk: Path) -> None:
    assert (
        screen(desk, {"site_id": "A", **STATION}, {"site_id": "B", **STATION, "elevation_m": 273}).code == 0
    )
    assert (hourly(desk, "A")["temp_air_c"] == hourly(desk, "B")["temp_air_c"]).all()
    texts = {site_id: [note["text"] for note in site_json(desk, site_id)["notes"]] for site_id in "AB"}
    told = set(texts["A"]) - set(texts["B"])
    assert len(told) == 1
    assert "elevation" in told.pop()
    assert set(texts["B"]) < set(texts["A"])


@pytest.mark.usefixtures("figures")
def test_a_kilometre_up_is_six_and_a_half_kelvin_colder(desk: Path) -> None:
    # International standard atmosphere, ISO 2533: -6.5 K/km.
    assert (
        screen(desk, {"site_id": "A", **STATION, "elevation_m": 1273}, {"site_id": "B", **STATION}).code == 0
    )
    step = hourly(desk, "A")["temp_air_c"] - hourly(desk, "B")["temp_air_c"]
    assert np.allclose(step, -6.5, atol=0.0101)


@pytest.mark.usefixtures("figures")
def test_canopy_and_horizon_take_the_sun_away(desk: Path) -> None:
    rows = [
        {"site_id": "open", **STATION, "front_azimuth_deg": 180},
        {"site_id": "canopy", **STATION, "front_azimuth_deg": 180, "canopy_transmittance": 0},
        {"site_id": "east wall", **STATION, "front_azimuth_deg": 180, "horizon": "0:0 30:60 150:60 180:0"},
    ]
    assert screen(desk, *rows).code == 0
    folder = {site_id: row["folder"] for site_id, row in verdicts(desk / "reports" / "sites").items()}
    solar = {site_id: hourly(desk, name)["solar_kw"].to_numpy() for site_id, name in folder.items()}
    clock = hourly(desk, "open")["time"].str[11:13].astype(int).to_numpy()
    assert np.all(solar["canopy"] <= solar["open"])
    # Only light from the roof onto the walls is left.
    assert 0.0 < solar["canopy"].sum() < 0.25 * solar["open"].sum()
    morning, afternoon = (clock >= 6) & (clock <= 9), (clock >= 14) & (clock <= 19)
    assert solar["east wall"][morning].sum() < 0.7 * solar["open"][morning].sum()
    assert np.array_equal(solar["east wall"][afternoon], solar["open"][afternoon])


@pytest.mark.usefixtures("figures")
def test_hardly_any_load_in_the_cold_lets_the_liquid_fall(desk: Path) -> None:
    write_epw(desk / "cold.epw", Place(60.0, 30.0, 2.0, 20.0, -5.0, 12.0, 3.0))
    place = {"latitude_deg": 60.0, "longitude_deg": 30.0, "weather": "cold.epw", "elevation_m": 20}
    assert screen(desk, {"site_id": "A", **place, "it_load_kw": 0.5}, {"site_id": "B", **place}).code == 0
    little, full = hourly(desk, "A"), hourly(desk, "B")
    # Shell of 5.7 m2 with 0.5 m2K/W and films: some 9 W/K, so 60 K take away more than 0.5 kW.
    assert little["load_kw"].min() < 0.1
    assert little["liquid_c"].min() <= 40.0
    assert (full["liquid_c"] == 40.0).all()
    row = verdicts(desk / "reports" / "sites")["A"]
    for name in ("headroom_share", "headroom_kw", "liquid_peak_c", "ride_through_minutes", "max_it_load_kw"):
        assert row[name] == "" or math.isfinite(float(row[name])), name
    assert float(row["headroom_share"]) > float(verdicts(desk / "reports" / "sites")["B"]["headroom_share"])


def test_load_below_the_losses_of_the_shell(desk: Path) -> None:
    write_epw(desk / "cold.epw", Place(60.0, 30.0, 2.0, 20.0, -5.0, 12.0, 3.0))
    place = {"latitude_deg": 60.0, "longitude_deg": 30.0, "weather": "cold.epw", "elevation_m": 20}
    assert screen(desk, {"site_id": "A", **place, "it_load_kw": 0.1}).code == 0
    data = hourly(desk, "A")
    assert data["load_kw"].min() < 0.0
    assert data["liquid_c"].min() < 39.0
    cooling = data["input_kw"] - 0.1 - 0.18
    assert (cooling[data["load_kw"] < -0.01] < 0.07).all()
    page = (desk / "reports" / "sites" / "sites" / "A" / "worst-hour.html").read_text(encoding="utf-8")
    assert not re.search(r"\b(nan|inf)\b", page, re.IGNORECASE)


@pytest.mark.usefixtures("figures")
def test_warmer_future_moves_every_hour_and_extreme(desk: Path) -> None:
    rows = [
        {"site_id": "now", **STATION, "extreme_dry_bulb_c": 40},
        {"site_id": "then", **STATION, "extreme_dry_bulb_c": 40, "warming_k": 2, "urban_heat_k": 1},
    ]
    assert screen(desk, *rows).code == 0
    step = hourly(desk, "then")["temp_air_c"] - hourly(desk, "now")["temp_air_c"]
    assert np.allclose(step, 3.0, atol=0.0101)
    hot = hourly(desk, "then", "hot-spell.csv")["temp_air_c"].max()
    assert hot == pytest.approx(43.0, abs=0.0101)


@pytest.mark.usefixtures("figures")
def test_unusual_cell_lowers_what_it_feeds_and_says_why(desk: Path) -> None:
    assert screen(desk, {"site_id": "A", **STATION, "it_load_kw": 0.4}, {"site_id": "B", **STATION}).code == 0
    status = {
        site_id: {check["id"]: check for check in site_json(desk, site_id)["checks"]}
        for site_id in ("A", "B")
    }
    assert status["B"]["heat.headroom"]["status"] == "pass"
    assert status["A"]["heat.headroom"]["status"] == "caution"
    assert status["A"]["heat.headroom"]["note"] == "it_load_kw 0.4: 0.5 to 30 kW is usual"
