"""Further sites on a known climate, each a little different from the last: nothing kept from one serves another."""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from edgecheck.chain import Station
from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.sites import Site, load_sites
from edgecheck.inputs.unit import Unit, load_unit
from edgecheck.weather.read import read_weather

EPW = climate_files() / "temperate-coast.epw"
KINDS = ("chiller", "dry-cooler", "chiller-with-economiser")
ROW = "KH-01"
ECONOMISER = """kind = "chiller-with-economiser"
coil_air = "separate"
coil_conductance_kw_k = 0.6
coil_airflow_m3_s = 1.3
coil_fan_kw = 0.25
coil_air_side_share = 0.45
"""


@cache
def station() -> Station:
    """The climate, the sun worked out."""
    return Station.of(read_weather(EPW))


@cache
def unit_of_kind(kind: str) -> Unit:
    """The demo's unit with one kind of cooling section."""
    unit = demo_inputs().unit
    if kind == "dry-cooler":
        return load_unit(unit.parent / "lapwing-6-dry.toml")
    if kind == "chiller":
        return load_unit(unit)
    text, count = re.subn(r'kind = "chiller"\n', ECONOMISER, unit.read_text(encoding="utf-8"))
    assert count == 1
    with TemporaryDirectory() as folder:
        file = Path(folder) / "economiser.toml"
        file.write_text(text, encoding="utf-8")
        return load_unit(file)


def further_sites(*, front_known: bool = True) -> Iterator[Site]:
    """Rows without end: elevation, load, distance to the neighbour, member span and wind change from row to row."""
    row = load_sites(demo_inputs().sites).site(ROW)
    number = 0
    while True:
        values = dict(row.values)
        values["elevation_m"] = 20.0 + 0.25 * (number % 400)
        values["it_load_kw"] = 4.8 + 0.001 * (number % 900)
        values["neighbour_distance_m"] = 20.0 + 0.5 * (number % 100)
        values["member_span_m"] = 5.0 + 0.001 * (number % 1000)
        values["en_wind_speed_m_s"] = 24.0 + 0.005 * (number % 800)
        values["roof_level_agl_m"] = 9.0 + 0.01 * (number % 700)
        if not front_known:
            values.pop("front_azimuth_deg", None)
        number += 1
        yield replace(row, values=values)
