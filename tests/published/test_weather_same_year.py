"""One published typical year in two formats decides the same.

Golden, Colorado, station 724666: the TMY3 file of the US national laboratory, and its rows set out anew as an EPW
file by the plain rules of both formats (a row ends at its label; mbar and Pa; missing sky longwave). The conversion
uses nothing of the program.
"""

import csv
from pathlib import Path

import numpy as np
import pytest
from real_weather import real_file

from edgecheck.chain import qualify
from edgecheck.demo.files import demo_inputs
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather

HEADER = (
    "LOCATION,Golden,CO,USA,TMY3,724666,39.742,-105.179,-7.0,1829.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,set out from the TMY3 file",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
)


def as_epw(tmy3: Path) -> str:
    """Rows of a TMY3 file as an EPW file: hour 1 of both ends at 01:00."""
    lines = list(csv.reader(tmy3.read_text(encoding="latin-1").splitlines()))
    names = {name.split(" (")[0]: place for place, name in enumerate(lines[1])}
    rows = []
    for cells in lines[2:]:
        month, day, year = cells[0].split("/")
        value = {name: cells[place] for name, place in names.items()}
        rows.append(
            ",".join(
                (
                    f"{year},{int(month)},{int(day)},{int(cells[1][:2])},0,_",
                    value["Dry-bulb"],
                    value["Dew-point"],
                    value["RHum"],
                    str(int(value["Pressure"]) * 100),
                    value["ETR"],
                    value["ETRN"],
                    "9999",
                    value["GHI"],
                    value["DNI"],
                    value["DHI"],
                    "999999,999999,999999,9999",
                    value["Wdir"],
                    value["Wspd"],
                    value["TotCld"],
                    value["OpqCld"],
                    "9999,99999,9,999999999,999,.999,999,99,999,999,99",
                )
            )
        )
    return "\n".join([*HEADER, *rows]) + "\n"


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> tuple[Weather, Weather]:
    tmy3 = real_file("golden-tmy3")
    epw = tmp_path_factory.mktemp("golden") / "golden.epw"
    epw.write_text(as_epw(tmy3), encoding="utf-8")
    return read_weather(epw), read_weather(tmy3)


def test_readings_are_the_same_hour_by_hour(files: tuple[Weather, Weather]) -> None:
    """Labels of the end and of the start of the interval, mbar and Pa, missing codes: nothing is left of them."""
    (epw,), (tmy3,) = (weather.years for weather in files)
    for name in (
        "temp_air",
        "temp_dew",
        "pressure",
        "ghi",
        "dni",
        "dhi",
        "wind_speed",
        "opaque_cover",
        "source_year",
    ):
        assert np.array_equal(getattr(epw, name), getattr(tmy3, name)), name
    assert [weather.sun_offset_min for weather in files] == [30, 30]
    assert [weather.flags for weather in files] == [(), ()]


def test_headroom_hours_agree(files: tuple[Weather, Weather], tmp_path: Path) -> None:
    """Hours with less than a given headroom, from the few worst to most of the year, within 1 %."""
    path = tmp_path / "sites.csv"
    path.write_text(
        "site_id,latitude_deg,longitude_deg,elevation_m\nG-1,39.742,-105.179,1829\n", encoding="utf-8"
    )
    (site,) = load_sites(path).sites
    unit = load_unit(demo_inputs().unit)
    epw, tmy3 = (qualify(site, unit, weather) for weather in files)
    assert epw.hourly is not None
    assert tmy3.hourly is not None
    one, other = (result.hourly["service_headroom"].to_numpy() for result in (epw, tmy3))
    for share in (0.02, 0.1, 0.25, 0.5, 0.75, 0.9):
        level = float(np.quantile(one, share))
        hours = int((one < level).sum())
        assert int((other < level).sum()) == pytest.approx(hours, rel=0.01), share
    assert float(other.min()) == pytest.approx(float(one.min()), rel=0.01)
    assert epw.worst_hours[0].time == tmy3.worst_hours[0].time


def test_the_same_class_and_the_same_corrosivity(files: tuple[Weather, Weather], tmp_path: Path) -> None:
    """Every limit of every class is left in the same hours, and the annual means agree."""
    path = tmp_path / "sites.csv"
    path.write_text(
        "site_id,latitude_deg,longitude_deg,elevation_m,so2_deposition_mg_m2_d,cl_deposition_mg_m2_d\n"
        "G-1,39.742,-105.179,1829,3,1\n",
        encoding="utf-8",
    )
    (site,) = load_sites(path).sites
    unit = load_unit(demo_inputs().unit)
    epw, tmy3 = (qualify(site, unit, weather).detail["environment"] for weather in files)
    assert epw["class"]["name"] == tmy3["class"]["name"] == "4.1"
    assert [row["hours"] for row in epw["class"]["rows"]] == [row["hours"] for row in tmy3["class"]["rows"]]
    assert epw["class"]["hours"] == tmy3["class"]["hours"] > 0
    assert epw["class"]["covering"] == tmy3["class"]["covering"]
    for key in ("steel_um_a", "zinc_um_a", "wet_hours", "temp_mean_c", "humidity_mean_percent"):
        assert epw["corrosion"][key] == pytest.approx(tmy3["corrosion"][key], rel=1e-9)
