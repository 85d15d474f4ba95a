"""Weather on its way to whoever computes: read once a run, sent once, prepared once in every process.

In: a weather file. Out: a parcel of bytes under the key of its content, and in the process that receives it a
`Station` with the sun worked out. The process that computes needs no weather files on its disk.
"""

import copyreg
import hashlib
import io
import pickle
import zlib
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from types import MappingProxyType
from typing import Any

from edgecheck.heat.station import Station
from edgecheck.weather.readers.text import read_bytes
from edgecheck.weather.series import Weather

# Years of weather that a process keeps prepared: some 6 MB each with the light on all faces.
_KEPT_YEARS = 16


@dataclass(frozen=True)
class Parcel:
    """A weather file as read, ready to be sent.

    Parameters
    ----------
    key : str
        Of its content.
    data : bytes
        The packed `Weather`.
    """

    key: str
    data: bytes


class _Pickler(pickle.Pickler):
    """Packs mappings that cannot be written to, which plain pickle refuses."""

    dispatch_table: Mapping[type, Any] = {
        **copyreg.dispatch_table,
        MappingProxyType: lambda mapping: (_closed, (dict(mapping),)),
    }


def _closed(mapping: dict[Any, Any]) -> Mapping[Any, Any]:
    return MappingProxyType(mapping)


def content_key(path: Path) -> str:
    """SHA-256 of a weather file's bytes, as `Weather.sha256` has it, without reading it further.

    Raises
    ------
    WeatherRefused
        If it cannot be opened.
    """
    return hashlib.sha256(read_bytes(path)).hexdigest()


def packed(weather: Weather) -> Parcel:
    """Pack a weather file."""
    out = io.BytesIO()
    _Pickler(out, protocol=pickle.HIGHEST_PROTOCOL).dump(weather)
    return Parcel(f"{weather.name} {weather.sha256}", zlib.compress(out.getvalue(), level=1))


def unpacked(parcel: Parcel) -> Weather:
    """The weather file of a parcel, its arrays closed against writing as after reading."""
    weather: Weather = pickle.loads(zlib.decompress(parcel.data))
    for year in weather.years:
        for array in vars(year).values():
            array.flags.writeable = False
    return weather


class Stations:
    """Prepared weather files of one process; those used last are kept.

    Parameters
    ----------
    most_years : int
        Years that are kept in all; the file used last is kept whatever its length.
    """

    def __init__(self, most_years: int = _KEPT_YEARS) -> None:
        self._most = most_years
        self._kept: OrderedDict[str, Station] = OrderedDict()
        self._lock = Lock()

    def get(self, key: str, parcel: Parcel | None) -> Station | None:
        """The station of a key, prepared from the parcel where it is not there yet; None without either."""
        with self._lock:
            if key not in self._kept:
                if parcel is None:
                    return None
                self._kept[key] = Station.of(unpacked(parcel))
            self._kept.move_to_end(key)
            while len(self._kept) > 1 and sum(len(one.years) for one in self._kept.values()) > self._most:
                self._kept.popitem(last=False)
            return self._kept[key]


STATIONS = Stations()
"""Of this process."""
