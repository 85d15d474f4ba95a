"""Positions that look wrong beside the others of the list: exchanged, with a sign missing, or zero.

In go the latitudes and longitudes of all rows, out come doubts with the likely reading. Nothing is corrected.
What counts as far is common practice, no source: four times the distance within which 80 % of the list lie.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_EARTH_RADIUS_KM = (
    6371.0088  # mean radius R1 of the GRS 80 ellipsoid (Moritz 2000, Geodetic Reference System 1980)
)
_FEWEST = 5
_FAR_KM = 500.0
_NEAR_KM = 100.0
_FAR_FACTOR = 4.0
_NEAR_FACTOR = 1.5
_WITHIN = 80.0
_MINORITY = 0.05
_MARGIN_DEG = 5.0


@dataclass(frozen=True)
class Doubt:
    """Why a position should be looked at, and in which column: latitude_deg or longitude_deg."""

    column: str
    text: str


def position_doubts(latitude: Sequence[float], longitude: Sequence[float]) -> dict[int, Doubt]:
    """Find positions that do not fit the others.

    Parameters
    ----------
    latitude, longitude : sequence of float, length n
        [deg], NaN where unknown.

    Returns
    -------
    doubts : dict
        Position in the sequences -> doubt; at most one a row. Fewer than five positions say nothing about each
        other.
    """
    lat = np.asarray(latitude, dtype=float)
    lon = np.asarray(longitude, dtype=float)
    there = np.isfinite(lat) & np.isfinite(lon)
    doubts: dict[int, Doubt] = {}
    for at in np.flatnonzero((lat == 0.0) & (lon == 0.0)):
        doubts[int(at)] = Doubt("latitude_deg", "0, 0 lies in the open sea; is the position unknown?")
        there[at] = False
    if there.sum() < _FEWEST:
        return doubts
    for column, values in (("latitude_deg", lat), ("longitude_deg", lon)):
        doubts |= _wrong_sign(column, values, there)
    there[list(doubts)] = False
    if there.sum() >= _FEWEST:
        doubts |= _exchanged(lat, lon, there)
    return doubts


def _wrong_sign(column: str, values: Floats, there: NDArray[np.bool_]) -> dict[int, Doubt]:
    """Few values of the other sign, far from the rest, that fit in with their sign changed."""
    count = int(there.sum())
    negative = there & (values < 0.0)
    positive = there & (values > 0.0)
    few, most, sign = (
        (positive, negative, "negative")
        if positive.sum() <= negative.sum()
        else (negative, positive, "positive")
    )
    if not few.any() or few.sum() > max(1, _MINORITY * count) or most.sum() < _FEWEST - 1:
        return {}
    low, high = values[most].min(), values[most].max()
    margin = max(_MARGIN_DEG, high - low)
    doubts = {}
    for at in np.flatnonzero(few):
        value = float(values[at])
        fits = low - _MARGIN_DEG <= -value <= high + _MARGIN_DEG
        far = value < low - margin or value > high + margin
        if fits and far:
            whose = "all other rows are" if few.sum() == 1 else "nearly all other rows are"
            doubts[int(at)] = Doubt(column, f"{whose} {sign}; is the sign missing or wrong? {-value:.10g}")
    return doubts


def _exchanged(lat: Floats, lon: Floats, there: NDArray[np.bool_]) -> dict[int, Doubt]:
    """Positions far from the others that are near them with latitude and longitude exchanged."""
    middle = (float(np.median(lat[there])), float(np.median(lon[there])))
    distance = great_circle_km(lat, lon, *middle)
    spread = float(np.percentile(distance[there], _WITHIN))
    other = great_circle_km(lon, lat, *middle)
    suspect = (
        there
        & (np.abs(lon) <= 90.0)
        & (distance > max(_FAR_KM, _FAR_FACTOR * spread))
        & (other <= max(_NEAR_KM, _NEAR_FACTOR * spread))
    )
    return {
        int(at): Doubt(
            "latitude_deg",
            f"are latitude and longitude exchanged? As written the site lies {distance[at]:,.0f} km from the middle "
            f"of the list, as latitude {lon[at]:.10g} and longitude {lat[at]:.10g} it would be {other[at]:,.0f} km",
        )
        for at in np.flatnonzero(suspect)
    }


def great_circle_km(lat: Floats, lon: Floats, to_lat: float, to_lon: float) -> Floats:
    """Distance on a sphere by the haversine formula (Sinnott 1984, Sky and Telescope 68, 159).

    Parameters
    ----------
    lat, lon : ndarray, shape (n,)
        [deg]
    to_lat, to_lon : float
        [deg]

    Returns
    -------
    distance : ndarray, shape (n,)
        [km]
    """
    a, b = np.radians(lat), np.radians(to_lat)
    half = np.sin((a - b) / 2.0) ** 2 + np.cos(a) * np.cos(b) * np.sin(np.radians(lon - to_lon) / 2.0) ** 2
    return np.asarray(2.0 * _EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.clip(half, 0.0, 1.0))))
