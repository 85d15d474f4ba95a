"""The formats that are known, each recognised from its first lines."""

from collections.abc import Callable
from dataclasses import dataclass

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.readers.epw import epw_station, is_epw, read_epw_table
from edgecheck.weather.readers.nsrdb import is_nsrdb, nsrdb_station, read_nsrdb_table
from edgecheck.weather.readers.plain import is_plain, plain_station, read_plain_table
from edgecheck.weather.readers.pvgis_csv import is_pvgis_csv, pvgis_csv_station, read_pvgis_csv_table
from edgecheck.weather.readers.pvgis_json import is_pvgis_json, pvgis_json_station, read_pvgis_json_table
from edgecheck.weather.readers.table import RawTable, Station
from edgecheck.weather.readers.text import FileText
from edgecheck.weather.readers.tmy2 import is_tmy2, read_tmy2_table, tmy2_station
from edgecheck.weather.readers.tmy3 import is_tmy3, read_tmy3_table, tmy3_station

SUFFIXES = (".epw", ".tm2", ".csv", ".json")


@dataclass(frozen=True)
class KnownFormat:
    """How one format is recognised and read.

    Parameters
    ----------
    name : str
        For messages.
    knows : callable
        Whether the first lines are of this format.
    station : callable
        File name and first lines to the station.
    read : callable
        The whole text to its rows.
    """

    name: str
    knows: Callable[[list[str]], bool]
    station: Callable[[str, list[str]], Station]
    read: Callable[[FileText], RawTable]


FORMATS = (
    KnownFormat("EPW", is_epw, epw_station, read_epw_table),
    KnownFormat("TMY2", is_tmy2, tmy2_station, read_tmy2_table),
    KnownFormat("TMY3", is_tmy3, tmy3_station, read_tmy3_table),
    KnownFormat("NSRDB CSV", is_nsrdb, nsrdb_station, read_nsrdb_table),
    KnownFormat("PVGIS CSV", is_pvgis_csv, pvgis_csv_station, read_pvgis_csv_table),
    KnownFormat("PVGIS JSON", is_pvgis_json, pvgis_json_station, read_pvgis_json_table),
    KnownFormat("hourly CSV", is_plain, plain_station, read_plain_table),
)


def format_of(name: str, lines: list[str]) -> KnownFormat:
    """Format of a file by its first lines.

    Raises
    ------
    WeatherRefused
        If no format knows it.
    """
    for known in FORMATS:
        if known.knows(lines):
            return known
    names = ", ".join(known.name for known in FORMATS)
    raise WeatherRefused(
        name, f"not a weather file of a known format ({names}); it begins with {lines[0][:40]!r}", "line 1"
    )
