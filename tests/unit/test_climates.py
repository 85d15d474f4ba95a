"""The demo's synthetic weather years: made again byte for byte, readable, closed, physical, and labelled."""

import importlib.util
import math
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pandas as pd
import pvlib
import pytest

CLIMATES = Path(__file__).resolve().parents[2] / "climates"
PLACES = tomllib.loads((CLIMATES / "places.toml").read_text(encoding="utf-8"))["place"]
FILES = [place["file"] for place in PLACES]


def read(name: str) -> tuple[pd.DataFrame, dict[str, Any]]:
    with (CLIMATES / name).open(encoding="ascii") as text:
        return pvlib.iotools.read_epw(text)


@pytest.fixture(scope="module")
def years() -> dict[str, tuple[pd.DataFrame, dict[str, Any]]]:
    return {name: read(name) for name in FILES}


@pytest.fixture
def generator(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(CLIMATES))
    spec = importlib.util.spec_from_file_location("make_climates", CLIMATES / "make_climates.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_five_files_are_made_again_byte_for_byte(tmp_path: Path) -> None:
    subprocess.run(
        [sys.executable, CLIMATES / "make_climates.py", "--out", tmp_path], check=True, capture_output=True
    )
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(FILES)
    assert sorted(path.name for path in CLIMATES.glob("*.epw")) == sorted(FILES)
    for name in FILES:
        assert (tmp_path / name).read_bytes() == (CLIMATES / name).read_bytes(), name


@pytest.mark.parametrize("relative_error", [1e-14, -1e-14])
def test_another_platforms_rounding_changes_no_byte(
    relative_error: float, generator: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Library functions differ between platforms by some units in the last place (about 1e-16 each)."""

    def slightly_off(function: Callable[..., Any]) -> Callable[..., Any]:
        return lambda *arguments: function(*arguments) * (1.0 + relative_error)

    for name in ("sin", "cos", "exp", "log", "tan", "arcsin", "arctan2", "interp"):
        monkeypatch.setattr(np, name, slightly_off(getattr(np, name)))
    for place in PLACES:
        assert generator.epw_text(place) == (CLIMATES / place["file"]).read_text(encoding="ascii"), place[
            "file"
        ]


@pytest.mark.parametrize("name", FILES)
def test_a_file_is_at_most_1_3_megabytes_and_says_that_it_is_synthetic(name: str) -> None:
    assert (CLIMATES / name).stat().st_size <= 1_300_000
    head = (CLIMATES / name).read_text(encoding="ascii").splitlines()[:8]
    assert [line.split(",")[0] for line in head] == [
        "LOCATION",
        "DESIGN CONDITIONS",
        "TYPICAL/EXTREME PERIODS",
        "GROUND TEMPERATURES",
        "HOLIDAYS/DAYLIGHT SAVINGS",
        "COMMENTS 1",
        "COMMENTS 2",
        "DATA PERIODS",
    ]
    location = head[0].split(",")
    assert len(location) == 10
    assert location[2:6] == ["-", "-", "edgecheck synthetic", "000000"]
    for comment in head[5:7]:
        assert "synthetic, invented for the demo, not a real place; made by make_climates.py" in comment


@pytest.mark.parametrize("name", FILES)
def test_pvlib_reads_a_whole_year_in_order(
    name: str, years: dict[str, tuple[pd.DataFrame, dict[str, Any]]]
) -> None:
    table, place = years[name]
    assert len(table) == 8760
    assert bool((table.index[1:] - table.index[:-1] == pd.Timedelta("1h")).all())
    assert set(table["year"]) == {2005}
    # Local standard time belongs to the longitude: solar noon within 45 minutes of clock noon.
    assert abs(place["TZ"] - place["longitude"] / 15.0) < 0.75


@pytest.mark.parametrize("name", FILES)
def test_global_is_direct_and_diffuse_at_the_middle_of_the_hour(
    name: str, years: dict[str, tuple[pd.DataFrame, dict[str, Any]]]
) -> None:
    """The sun is pvlib's ephemeris, not the generator's own."""
    table, place = years[name]
    residual = {}
    for minutes in (0, 30, 60):
        position = pvlib.solarposition.get_solarposition(
            table.index + pd.Timedelta(minutes=minutes),
            place["latitude"],
            place["longitude"],
            place["altitude"],
            method="ephemeris",
        )
        cosine = np.maximum(np.cos(np.radians(position["apparent_zenith"].to_numpy())), 0.0)
        residual[minutes] = np.abs(table["ghi"] - table["dni"] * cosine - table["dhi"]).to_numpy()
        if minutes == 30:
            assert not (table["dni"].to_numpy()[position["zenith"].to_numpy() >= 90.0] > 0.0).any()
    assert residual[30].mean() < 2.0
    assert residual[30].max() < 2.0
    assert residual[30].mean() < 0.1 * min(residual[0].mean(), residual[60].mean())


@pytest.mark.parametrize("name", FILES)
def test_values_are_physical(name: str, years: dict[str, tuple[pd.DataFrame, dict[str, Any]]]) -> None:
    table, place = years[name]
    assert bool((table["temp_dew"] <= table["temp_air"]).all())
    assert bool(table["relative_humidity"].between(1, 100).all())
    assert bool(table["wind_speed"].between(0.0, 22.0).all())
    assert bool(table["opaque_sky_cover"].between(0, 10).all())
    assert bool(table[["ghi", "dni", "dhi"]].min().ge(0).all())
    # Never more than the sun sends above the atmosphere.
    assert bool((table["dni"] <= table["etrn"]).all())
    assert bool((table["ghi"] <= table["etr"] + 1).all())
    # Standard atmosphere (power law as in pvlib), within 3 %.
    standard = pvlib.atmosphere.alt2pres(place["altitude"])
    assert bool((np.abs(table["atmospheric_pressure"] / standard - 1.0) < 0.03).all())
    assert table["temp_air"].diff().abs().max() < 5.0
    # The sky radiates less than a black body at air temperature, and more than half of it.
    black = 5.670374419e-8 * (table["temp_air"] + 273.15) ** 4
    assert bool((table["ghi_infrared"] / black).between(0.5, 1.0).all())
    # Warmest about 15 h, coolest before or about sunrise, on the mean day.
    mean_day = table["temp_air"].groupby(table["hour"]).mean()
    assert int(mean_day.idxmax()) in (15, 16)
    assert int(mean_day.idxmin()) in (5, 6)


# Between which values the lowest, and between which the highest temperature of the year must lie. [degC]
CLIMATE_RANGES = {
    "hot-dry.epw": (0.0, 6.0, 45.0, 46.5),
    "hot-humid-coast.epw": (18.0, 23.0, 34.0, 36.0),
    "temperate-coast.epw": (-5.0, -3.0, 30.0, 32.0),
    "cold-continental.epw": (-34.0, -32.0, 32.0, 34.0),
    "high-plateau.epw": (-3.0, 2.0, 26.0, 28.0),
}


@pytest.mark.parametrize("name", FILES)
def test_the_climate_is_the_one_it_is_named_for(
    name: str, years: dict[str, tuple[pd.DataFrame, dict[str, Any]]]
) -> None:
    temp_air = years[name][0]["temp_air"]
    low, low_most, high_least, high = CLIMATE_RANGES[name]
    assert low <= temp_air.min() <= low_most
    assert high_least <= temp_air.max() <= high
    text = (CLIMATES / "README.md").read_text(encoding="utf-8")
    row = next(line for line in text.splitlines() if line.startswith(f"| `{name}`"))
    assert f"{temp_air.min():.1f} / {temp_air.mean():.1f} / {temp_air.max():.1f} degC" in row


def test_the_humid_coast_is_humid(years: dict[str, tuple[pd.DataFrame, dict[str, Any]]]) -> None:
    assert 25.5 < years["hot-humid-coast.epw"][0]["temp_dew"].max() < 27.5
    assert years["hot-dry.epw"][0]["relative_humidity"].mean() < 40.0


@pytest.mark.parametrize("name", FILES)
def test_sky_longwave_follows_the_published_formula(
    name: str, years: dict[str, tuple[pd.DataFrame, dict[str, Any]]]
) -> None:
    """Written out anew from the Engineering Reference of the US Department of Energy, Climate Calculations."""
    table, _ = years[name]
    for i in range(0, 8760, 97):
        row = table.iloc[i]
        cover = float(row["opaque_sky_cover"])
        clear = 0.787 + 0.764 * math.log((row["temp_dew"] + 273.15) / 273.0)
        emissivity = clear * (1.0 + 0.0224 * cover - 0.0035 * cover**2 + 0.00028 * cover**3)
        assert row["ghi_infrared"] == pytest.approx(
            5.6697e-8 * emissivity * (row["temp_air"] + 273.15) ** 4, abs=0.6
        )


@pytest.mark.parametrize("name", FILES)
def test_header_extremes_are_stated_with_their_gumbel_values_or_not_at_all(name: str) -> None:
    """Field order of 2017 (EPW data dictionary, US Department of Energy); scipy's Gumbel distribution as the oracle."""
    from scipy.stats import gumbel_r

    fields = (CLIMATES / name).read_text(encoding="ascii").splitlines()[1].split(",")
    if name in ("hot-humid-coast.epw", "high-plateau.epw"):
        assert fields == ["DESIGN CONDITIONS", "0"]
        return
    assert (fields[1], fields[4], fields[20], fields[53]) == ("1", "Heating", "Cooling", "Extremes")
    low_mean, high_mean, low_sd, high_sd = (float(field) for field in fields[57:61])
    scale = math.sqrt(6.0) / math.pi
    for place, years_between in enumerate((5, 10, 20, 50)):
        excess = gumbel_r.ppf(1.0 - 1.0 / years_between, loc=-0.5772156649 * scale, scale=scale)
        low, high = (float(field) for field in fields[61 + 2 * place : 63 + 2 * place])
        assert low == pytest.approx(low_mean - excess * low_sd, abs=0.06)
        assert high == pytest.approx(high_mean + excess * high_sd, abs=0.06)
    table, _ = read(name)
    assert float(fields[66]) > table["temp_air"].max()  # a 20-year maximum above this one year's
    assert float(fields[65]) < table["temp_air"].min()
    assert float(fields[6]) == pytest.approx(table["temp_air"].quantile(0.004), abs=0.1)
    assert float(fields[23]) == pytest.approx(table["temp_air"].quantile(0.996), abs=0.1)
