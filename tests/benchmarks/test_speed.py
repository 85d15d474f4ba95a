"""Speed as a ratio to pvlib's own EPW reader in the same run; printed, never a pass or fail by the clock."""

from pathlib import Path

import pvlib
import pytest
from real_weather import pvlib_file

from edgecheck.chain import Station, qualify
from edgecheck.demo.files import climate_files
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.outputs.pages import site_page
from edgecheck.weather.read import read_weather

EXAMPLES = Path(__file__).parents[1] / "data" / "examples"
EPW = climate_files() / "temperate-coast.epw"


@pytest.fixture(scope="module")
def station() -> Station:
    return Station.of(read_weather(pvlib_file("723170TYA.CSV")))


@pytest.fixture(scope="module")
def case(station: Station):
    site = load_sites(EXAMPLES / "sites.csv").site("R-003")
    unit = load_unit(EXAMPLES / "unit.toml")
    qualify(site, unit, station)
    return site, unit, station


@pytest.mark.benchmark(group="ratio to pvlib.iotools.read_epw")
def test_reference_read_epw(benchmark) -> None:
    data, _ = benchmark(pvlib.iotools.read_epw, EPW)
    assert len(data) == 8760


@pytest.mark.benchmark(group="ratio to pvlib.iotools.read_epw")
def test_read_weather(benchmark) -> None:
    assert benchmark(read_weather, EPW).format == "EPW"


@pytest.mark.benchmark(group="ratio to pvlib.iotools.read_epw")
def test_one_site(benchmark, case) -> None:
    assert benchmark(qualify, *case).verdict in ("conditional", "undecided")


@pytest.mark.benchmark(group="ratio to pvlib.iotools.read_epw")
def test_report(benchmark, case) -> None:
    result = qualify(*case)
    page = benchmark(site_page, result, need={check.id: "required" for check in result.checks})
    assert page.startswith("<!doctype html>") or "<html" in page
