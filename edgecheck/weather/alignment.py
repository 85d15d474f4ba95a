"""Where in the hour the irradiance of a file belongs, tested by its own closure.

In: irradiance, time, station. Out: the offset of the sun after the start of each row, and the residual R(o)
= mean of abs(ghi - dni cos z - dhi) over the hours with any irradiance. Files do not agree: most close best
in the middle of the hour, whole national collections at its end, the oldest typical years at its start. The
three components only belong together at their own offset. A file whose best offset lies outside the hour by
more than a quarter has shifted rows or a wrong zone or longitude.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.sun import true_zenith
from edgecheck.weather.thresholds import thresholds

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Alignment:
    """Outcome of the test.

    Parameters
    ----------
    offset_min : float
        Minutes after the start of a row at which the sun is taken. [min]
    closure : float
        R there. [W/m2]
    best_min : float
        Best offset of the grid. [min]
    told_apart : bool
        Whether R depends on the offset enough to tell.
    """

    offset_min: float
    closure: float
    best_min: float
    told_apart: bool


@dataclass(frozen=True)
class Irradiance:
    """The hours of a file with any irradiance.

    Parameters
    ----------
    time : ndarray of datetime64[m], shape (m,)
        Start of the row.
    ghi, dni, dhi : ndarray, shape (m,)
        [W/m2]
    """

    time: NDArray[np.datetime64]
    ghi: FloatArray
    dni: FloatArray
    dhi: FloatArray

    def some(self, chosen: NDArray[np.bool_]) -> "Irradiance":
        """Take a part of the hours."""
        return Irradiance(self.time[chosen], self.ghi[chosen], self.dni[chosen], self.dhi[chosen])


def residuals(
    latitude: float, longitude: float, utc_offset_h: float, hours: Irradiance, offsets_min: FloatArray
) -> FloatArray:
    """R for several offsets.

    Parameters
    ----------
    latitude, longitude : float
        [deg]
    utc_offset_h : float
        [h]
    hours : Irradiance
        m hours with any irradiance.
    offsets_min : ndarray, shape (k,)
        [min]

    Returns
    -------
    ndarray, shape (k,)
        [W/m2]
    """
    count, many = len(hours.time), len(offsets_min)
    zenith = true_zenith(
        latitude, longitude, utc_offset_h, np.tile(hours.time, many), np.repeat(offsets_min, count)
    )
    cosine = np.maximum(np.cos(np.radians(zenith)), 0.0).reshape(many, count)
    return np.asarray(np.mean(np.abs(hours.ghi - hours.dni * cosine - hours.dhi), axis=-1))


def align(name: str, latitude: float, longitude: float, utc_offset_h: float, hours: Irradiance) -> Alignment:
    """Choose the offset.

    Parameters
    ----------
    name : str
        File for messages.
    latitude, longitude : float
        [deg]
    utc_offset_h : float
        [h]
    hours : Irradiance
        All hours with any irradiance.

    Raises
    ------
    WeatherRefused
        If there is no irradiance, or the best offset lies outside the hour by more than a quarter.
    """
    limits = thresholds()["sun"]
    if len(hours.time) == 0:
        raise WeatherRefused(name, "there is no irradiance in any hour")
    usual, others = limits["usual_min"], limits["other_min"]
    offsets = np.array([usual, *others], dtype=float)
    found = residuals(latitude, longitude, utc_offset_h, hours, offsets)
    offset, closure = float(usual), float(found[0])
    for other, value in zip(others, found[1:], strict=True):
        if value < limits["other_share"] * found[0] and value < closure:
            offset, closure = float(other), float(value)
    first, last, step = limits["offsets_min"]
    grid = np.arange(first, last + step, step, dtype=float)
    days = hours.time.astype("datetime64[D]").astype(np.int64)
    sample = hours.some(days % limits["day_step"] == 0)
    if len(sample.time) == 0:
        sample = hours
    curve = residuals(latitude, longitude, utc_offset_h, sample, grid)
    best = float(grid[int(np.argmin(curve))])
    told_apart = bool(np.ptp(curve) >= limits["contrast_w_m2"])
    low, high = limits["best_min"]
    if told_apart and not low <= best <= high:
        reason = (
            f"global, beam and diffuse irradiance fit together best with the sun {best:+.0f} min after the "
            f"start of the row (residual {curve.min():.1f} W/m2, but {found[0]:.1f} W/m2 at {usual} min): "
            "the rows are shifted, or the zone or longitude in the header is wrong"
        )
        raise WeatherRefused(name, reason, "all hours with sun")
    return Alignment(offset, closure, best, told_apart)
