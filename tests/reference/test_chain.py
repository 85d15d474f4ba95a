"""One site through the whole chain against the reference, from the rows of a real weather file.

The file is pvlib's sample 723170TYA.CSV (TMY3, Greensboro, National Renewable Energy Laboratory). Here it is
read with the csv module: a row's label is the end of its hour, and it carries no sky longwave.
"""

import csv
import math
import random
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pvlib
import pytest

from edgecheck.base.liquids import liquids
from edgecheck.chain import qualify
from edgecheck.checks.result import Result
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.weather.read import read_weather
from tests.reference import model
from tests.reference.liquid_march import march, ride_through
from tests.reference.model import Hour, Site, conditions
from tests.reference.service import load, service_headroom, setpoint_headroom
from tests.reference.sun_faces import sun_on_faces

HERE = Path(__file__).parent
FILE = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
SITES = {
    "plain": {"elevation_m": 273, "front_azimuth_deg": 180},
    "hill": {
        "elevation_m": 640,
        "front_azimuth_deg": 315,
        "roof_surface": "light",
        "station_wind_share": 0.3,
        "recirculation": 0.1,
        "inlet_roof_mixing": 0.06,
        "canopy_transmittance": 0.6,
        "it_load_kw": 8.6,
        "warming_k": 1.5,
        "urban_heat_k": 1.0,
        "extreme_dry_bulb_c": 46.0,
        "extreme_return_years": 20,
    },
}


@cache
def file_rows() -> tuple[dict[str, str], list[dict[str, str]]]:
    with FILE.open(encoding="utf-8", newline="") as stream:
        head = next(csv.reader(stream))
        names = ("usaf", "name", "state", "zone", "latitude", "longitude", "elevation")
        return dict(zip(names, head, strict=True)), list(csv.DictReader(stream))


def standard_pressure(elevation: float) -> float:
    return 101325.0 * (1.0 - 2.25577e-5 * elevation) ** 5.25588


def sky_longwave(air: float, dew: float, tenths: float) -> float:
    """Clark & Allen 1978 for the clear sky, Walton 1983 for cloud."""
    clear = 0.787 + 0.764 * math.log((dew + model.KELVIN) / 273.0)
    cloud = 1.0 + 0.0224 * tenths - 0.0035 * tenths**2 + 0.00028 * tenths**3
    return clear * cloud * model.black_body(air)


def reference_hour(cells: dict[str, object], row: int, shift: float = 0.0) -> Hour:
    """Air and sun at the site in one row; `shift` is that of a spell, over warming and urban heat."""
    head, rows = file_rows()
    one = rows[row]
    air, dew = float(one["Dry-bulb (C)"]), float(one["Dew-point (C)"])
    elevation, here = float(head["elevation"]), float(cells["elevation_m"])
    change = -0.0065 * (here - elevation) + float(cells.get("warming_k", 0.0))
    warmer = air + change + float(cells.get("urban_heat_k", 0.0)) + shift
    longwave = sky_longwave(air, dew, float(one["OpqCld (tenths)"]))
    roof = model.ROOFS[str(cells.get("roof_surface", "dark"))]
    ghi, dni, dhi = (float(one[f"{name} (W/m^2)"]) for name in ("GHI", "DNI", "DHI"))
    lit = sun_on_faces(
        float(head["latitude"]),
        float(head["longitude"]),
        elevation,
        float(head["zone"]),
        datetime(2001, 1, 1) + timedelta(hours=row),
        30.0,
        ghi,
        dni,
        dhi,
        1.0 - roof[0],
        float(cells["front_azimuth_deg"]),
        float(cells.get("canopy_transmittance", 1.0)),
    )
    ratio = standard_pressure(here) / standard_pressure(elevation)
    return Hour(
        temp_air=warmer,
        temp_dew=min(dew, warmer),
        pressure=100.0 * float(one["Pressure (mbar)"]) * ratio,
        longwave_down=longwave * ((warmer + model.KELVIN) / (air + model.KELVIN)) ** 4,
        wind_speed=float(one["Wspd (m/s)"]),
        ghi=ghi,
        irradiance=lit,
    )


def reference_site(cells: dict[str, object]) -> Site:
    return Site(
        roof=model.ROOFS[str(cells.get("roof_surface", "dark"))],
        wind_share=float(cells.get("station_wind_share", 0.5)),
        recirculation=float(cells.get("recirculation", 0.05)),
        mixing=float(cells.get("inlet_roof_mixing", 0.04)),
        it_load=1000.0 * float(cells.get("it_load_kw", 6.0)),
    )


@pytest.fixture(scope="module", params=list(SITES))
def qualified(request, tmp_path_factory) -> tuple[dict[str, object], Result]:
    cells = SITES[request.param]
    path = tmp_path_factory.mktemp("list") / "sites.csv"
    row = {"site_id": "S", "latitude_deg": 36.1, "longitude_deg": -79.95} | cells
    path.write_text(",".join(row) + "\n" + ",".join(map(str, row.values())) + "\n", encoding="utf-8")
    (site,) = load_sites(path).sites
    return cells, qualify(site, load_unit(HERE / "unit.toml"), read_weather(FILE))


UNIT = model.read_unit(HERE / "unit.toml")
LIQUID = liquids()["synthetic-hydrocarbon-4"]
CP, DENSITY = LIQUID.heat_capacity(UNIT.setpoint), LIQUID.density(UNIT.setpoint)


def test_hours_of_the_year(qualified):
    """Eighty hours, half of them the warmest; the sun's algorithms differ by up to half a watt a face."""
    cells, result = qualified
    hourly = {name: np.asarray(result.hourly[name]) for name in result.hourly.data_vars}
    lost = np.asarray(result.outage["ride_through"]), np.asarray(result.outage["pump_lost"])
    draw = random.Random(4)
    rows = [*np.argsort(hourly["temp_air"])[-40:], *draw.sample(range(8760), 40)]
    site = reference_site(cells)
    daylight = 0
    for i in map(int, rows):
        hour = reference_hour(cells, i)
        now = conditions(hour, UNIT, site)
        daylight += hour.ghi > 300.0
        assert hourly["temp_air"][i] == pytest.approx(now.temp_air, abs=1e-9)
        assert hourly["roof"][i] == pytest.approx(now.deck, abs=1e-6)
        assert hourly["inlet_air"][i] == pytest.approx(now.t_in, abs=1e-6)
        assert hourly["equivalent_inlet"][i] == pytest.approx(now.t_eq, abs=1e-6)
        slow = model.condensing(UNIT, UNIT.setpoint, now.t_in, now.t_eq, now.factor, CP)
        assert hourly["condensing"][i] == pytest.approx(slow, abs=1e-6)
        for name, part in model.envelope_split(hour, UNIT, site, now.deck).items():
            assert hourly[name][i] == pytest.approx(part, abs=0.5 if name == "solar" else 1e-3)
        assert hourly["load"][i] == pytest.approx(load(now, UNIT, UNIT.setpoint), abs=0.5)
        assert hourly["headroom"][i] == pytest.approx(setpoint_headroom(now, UNIT, CP), abs=0.5)
        service = service_headroom(now, UNIT, CP, step=0.05)
        assert hourly["service_headroom"][i] == pytest.approx(service.headroom, abs=1.0)
        assert str(hourly["binding"][i]) == service.binding
        start = max(UNIT.setpoint + UNIT.band / 2.0, float(hourly["liquid"][i]))
        for fast, pump_runs in zip(lost, (True, False), strict=True):
            minutes = ride_through(now, UNIT, DENSITY, CP, start, UNIT.shutdown, pump_runs)
            assert fast[i] / 60.0 == pytest.approx(minutes, rel=1e-3)
    assert daylight > 30


def test_hot_spell(qualified):
    """168 hours about the hottest, shifted to the extreme; on the hill capacity is exceeded."""
    cells, result = qualified
    spell = result.hot_spell
    first = int(np.flatnonzero(np.asarray(result.hourly["time"]) == np.asarray(spell["time"])[0])[0])
    year, week = np.asarray(result.hourly["temp_air"]), np.asarray(spell["temp_air"])
    assert first <= int(np.argmax(year)) < first + 168 == first + len(week)
    shift = float(week[0] - year[first])
    if "extreme_dry_bulb_c" in cells:
        assert week.max() == pytest.approx(46.0 + 2.5, abs=1e-9)
    site = reference_site(cells)
    hours = [conditions(reference_hour(cells, first + i, shift), UNIT, site) for i in range(168)]
    slow = march(hours, UNIT, DENSITY, CP, "last-column")
    assert np.asarray(spell["liquid"]) == pytest.approx(np.array([one.end for one in slow]), abs=0.02)
    peak = max(one.highest for one in slow) + UNIT.band / 2.0
    assert result.figures["liquid_peak_c"] == pytest.approx(peak, abs=0.02)
    assert any(one.servers_off > 0.0 for one in slow) == ("warming_k" in cells)
