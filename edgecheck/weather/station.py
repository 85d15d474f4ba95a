"""The weather station that serves a site.

In: a folder of weather files, positions. Out: the file with the least distance plus 50 km for 300 m of
elevation difference (engineering default). Only the heads of the files are read; look-ups are vectorised
over sites.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.readers.formats import SUFFIXES, format_of
from edgecheck.weather.readers.table import Station
from edgecheck.weather.readers.text import HEAD_BYTES, decode, read_bytes
from edgecheck.weather.thresholds import thresholds

EARTH_RADIUS_KM = 6371.0088  # mean radius, IUGG 1980
FloatArray = NDArray[np.float64]


class Nearest(NamedTuple):
    """The station found for a site.

    Parameters
    ----------
    path : Path or None
        None where no station is near enough.
    distance_km : float
        To the best station, also where it is too far; NaN without any station. [km]
    elevation_difference : float
        Site minus station, 0 where the site's elevation is unknown. [m]
    reason : str
        Why there is none; empty otherwise.
    """

    path: Path | None
    distance_km: float
    elevation_difference: float
    reason: str = ""


def distance_km(lat1: ArrayLike, lon1: ArrayLike, lat2: ArrayLike, lon2: ArrayLike) -> FloatArray:
    """Great-circle distance on a sphere (haversine formula).

    Parameters
    ----------
    lat1, lon1, lat2, lon2 : array_like, broadcastable
        Positions. [deg]

    Returns
    -------
    distance : ndarray
        [km]
    """
    north1, north2 = np.radians(lat1), np.radians(lat2)
    half_north = (north2 - north1) / 2.0
    half_east = np.radians(np.asarray(lon2, dtype=float) - np.asarray(lon1, dtype=float)) / 2.0
    square = np.sin(half_north) ** 2 + np.cos(north1) * np.cos(north2) * np.sin(half_east) ** 2
    return np.asarray(2.0 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.clip(square, 0.0, 1.0))))


@dataclass(frozen=True)
class StationIndex:
    """Stations by their files' heads.

    Parameters
    ----------
    folder : str
        For messages.
    paths : tuple of Path
        Weather files, by name.
    stations : tuple of Station
        Their stations.
    skipped : tuple of str
        Files with a weather suffix that are no weather files: name and reason.
    """

    folder: str
    paths: tuple[Path, ...]
    stations: tuple[Station, ...]
    skipped: tuple[str, ...] = ()

    @classmethod
    def from_folder(cls, folder: str | Path) -> "StationIndex":
        """Read the heads of all weather files that stand directly in a folder."""
        folder = Path(folder)
        files = sorted(
            (path for path in folder.iterdir() if path.suffix.lower() in SUFFIXES and path.is_file()),
            key=lambda path: path.name,
        )
        return cls.from_files(files, folder.name)

    @classmethod
    def from_files(cls, files: Sequence[str | Path], folder: str = "the list") -> "StationIndex":
        """Read the heads of these files."""
        paths, stations, skipped = [], [], []
        for path in map(Path, files):
            try:
                stations.append(read_station(path))
                paths.append(path)
            except WeatherRefused as refusal:
                skipped.append(str(refusal))
        return cls(folder, tuple(paths), tuple(stations), tuple(skipped))

    def nearest(self, latitude: float, longitude: float, elevation: float | None = None) -> Nearest:
        """Best station of one site; see `nearest_weather`."""
        height = np.nan if elevation is None else elevation
        return self.nearest_many([latitude], [longitude], [height])[0]

    def nearest_many(
        self, latitude: ArrayLike, longitude: ArrayLike, elevation: ArrayLike
    ) -> tuple[Nearest, ...]:
        """Best station of each site.

        Parameters
        ----------
        latitude, longitude : array_like, shape (site,)
            [deg]
        elevation : array_like, shape (site,)
            NaN where unknown. [m]

        Returns
        -------
        tuple of Nearest
            One a site.
        """
        north, east, height = (np.asarray(values, dtype=float) for values in (latitude, longitude, elevation))
        if not self.paths:
            reason = f"there is no weather file in {self.folder}"
            return tuple(Nearest(None, np.nan, 0.0, reason) for _ in north)
        limits = thresholds()["station"]
        where = np.array([(one.latitude, one.longitude, one.elevation) for one in self.stations])
        found: list[Nearest] = []
        block = max(1, 2_000_000 // len(self.paths))
        for first in range(0, len(north), block):
            part = slice(first, first + block)
            far = distance_km(north[part, None], east[part, None], where[:, 0], where[:, 1])
            up = np.nan_to_num(height[part, None] - where[:, 2], nan=0.0)
            score = far + limits["km_per_m"] * np.abs(up)
            near = (far <= limits["distance_km"]) & (np.abs(up) <= limits["elevation_m"])
            best = np.argmin(np.where(near, score, np.inf), axis=1)
            none = ~near.any(axis=1)
            best = np.where(none, np.argmin(score, axis=1), best)
            row = np.arange(len(best))
            found.extend(
                self._result(int(index), float(km), float(m), bool(lacking))
                for index, km, m, lacking in zip(best, far[row, best], up[row, best], none, strict=True)
            )
        return tuple(found)

    def _result(self, index: int, far: float, up: float, lacking: bool) -> Nearest:
        path = self.paths[index]
        if not lacking:
            return Nearest(path, far, up)
        limits = thresholds()["station"]
        reason = (
            f"no weather station within {limits['distance_km']:.0f} km and {limits['elevation_m']:.0f} m of "
            f"elevation; the best of {len(self.paths)} is {path.name}, {far:.0f} km away and {up:+.0f} m"
        )
        return Nearest(None, far, up, reason)


def read_station(path: str | Path) -> Station:
    """Station of a weather file, from its head.

    Raises
    ------
    WeatherRefused
        If it is no weather file or its station is not given.
    """
    path = Path(path)
    lines = decode(path.name, read_bytes(path, HEAD_BYTES)).lines
    return format_of(path.name, lines).station(path.name, lines)


def nearest_weather(
    folder: str | Path | Sequence[str | Path],
    latitude: float,
    longitude: float,
    elevation: float | None = None,
) -> Nearest:
    """Weather file that serves a site.

    Parameters
    ----------
    folder : str, Path or sequence of them
        A folder, or the files themselves.
    latitude, longitude : float
        Of the site. [deg]
    elevation : float, optional
        Of the site; None leaves elevation out of account. [m]

    Returns
    -------
    Nearest
        Path None with a reason where no station is within 100 km and 500 m.
    """
    if isinstance(folder, str | Path):
        return StationIndex.from_folder(folder).nearest(latitude, longitude, elevation)
    return StationIndex.from_files(folder).nearest(latitude, longitude, elevation)
