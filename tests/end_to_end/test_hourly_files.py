"""hourly.csv, hourly.nc and hot-spell.csv of the shipped example."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import xarray as xr
from command_line import Answer, read_table

COLUMNS = (
    *("time", "temp_air_c", "roof_c", "inlet_air_c", "equivalent_inlet_c", "condensing_c", "it_kw"),
    *("pump_heat_kw", "solar_kw", "envelope_kw", "longwave_kw", "load_kw", "capacity_kw", "headroom_kw"),
    *("service_headroom_kw", "liquid_c", "input_kw", "binding"),
)


@pytest.fixture(scope="module")
def site(example_run: tuple[Path, Answer]) -> Path:
    return example_run[0] / "reports" / "sites" / "sites" / "R-001"


@pytest.fixture(scope="module")
def hourly(site: Path) -> pd.DataFrame:
    return pd.read_csv(site / "hourly.csv", encoding="utf-8-sig")


@pytest.fixture
def netcdf(site: Path) -> Iterator[xr.Dataset]:
    with xr.open_dataset(site / "hourly.nc") as data:
        yield data


def half_step(values: "pd.Series[float]") -> float:
    """Half of the last decimal that a column shows."""
    return 0.5 * 10.0 ** -max(len(text.partition(".")[2]) for text in values.astype(str))


def test_columns_and_hours(hourly: pd.DataFrame) -> None:
    assert set(COLUMNS) <= set(hourly.columns)
    assert list(hourly.columns[:6]) == list(COLUMNS[:6])
    assert hourly["time"].tolist()[:2] == ["2001-01-01 00:00", "2001-01-01 01:00"]
    assert len(hourly) == 8760
    assert hourly["time"].iloc[-1] == "2001-12-31 23:00"


@pytest.mark.parametrize("file", ["hourly.csv", "hot-spell.csv"])
def test_columns_add_up(site: Path, file: str) -> None:
    # Energy balance: every heat term is positive into the liquid. Each value is rounded to what its column shows.
    data = pd.read_csv(site / file, encoding="utf-8-sig")
    half = half_step(data["load_kw"])
    terms = data[["it_kw", "pump_heat_kw", "solar_kw", "envelope_kw", "longwave_kw"]].sum(axis=1)
    assert np.max(np.abs(data["load_kw"] - terms)) <= 6.1 * half
    assert np.max(np.abs(data["headroom_kw"] - (data["capacity_kw"] - data["load_kw"]))) <= 3.1 * half


def test_values_are_sensible(hourly: pd.DataFrame) -> None:
    # Common practice, no source: unit in full sun takes up a few per cent of its load through the shell.
    assert hourly["solar_kw"].between(0.0, 0.3).all()
    assert (hourly["it_kw"] == 6.0).all()
    assert (hourly["inlet_air_c"] >= hourly["temp_air_c"]).all()
    assert (hourly["condensing_c"] > hourly["inlet_air_c"]).all()
    assert hourly["capacity_kw"].between(6.9, 10.6).all()
    assert set(hourly["binding"]) == {"none"}


def test_night_has_no_sun(hourly: pd.DataFrame) -> None:
    clock = hourly["time"].str[11:13].astype(int)
    assert (hourly.loc[(clock < 4) | (clock > 21), "solar_kw"] == 0.0).all()
    assert (hourly.loc[clock == 12, "solar_kw"] > 0.0).all()


def test_netcdf_holds_the_same_hours(hourly: pd.DataFrame, netcdf: xr.Dataset) -> None:
    assert netcdf.sizes["time"] == len(hourly)
    times = pd.DatetimeIndex(netcdf["time"].to_numpy()).strftime("%Y-%m-%d %H:%M")
    assert times.tolist() == hourly["time"].tolist()
    assert set(netcdf.data_vars) == set(hourly.columns) - {"time"}
    for name in hourly.columns.drop(["time", "binding"]):
        assert np.allclose(netcdf[name], hourly[name], rtol=0.0, atol=1.01 * half_step(hourly[name])), name
    assert [str(text) for text in netcdf["binding"].to_numpy().astype(str)] == hourly["binding"].tolist()
    assert netcdf["load_kw"].attrs["units"] == "kW"
    assert netcdf.attrs["utc_offset_h"] == -5.0


def test_hot_spell_is_a_week_with_the_listed_extreme(site: Path) -> None:
    rows = read_table(site / "hot-spell.csv")
    assert len(rows) == 168
    assert max(float(row["temp_air_c"]) for row in rows) == pytest.approx(38.5, abs=0.051)
