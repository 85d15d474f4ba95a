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


def hour_residuals(
    latitude: float, longitude: float, utc_offset_h: float, hours: Irradiance, offset_min: float
) -> tuple[FloatArray, FloatArray]:
    """Zenith and residual of every hour at one offset.

    Parameters
    ----------
    latitude, longitude : float
        [deg]
    utc_offset_h : float
        [h]
    hours : Irradiance
        m hours.
    offset_min : float
        [min]

    Returns
    -------
    zenith : ndarray, shape (m,)
        Without refraction. [deg]
    residual : ndarray, shape (m,)
        abs(ghi - dni cos z - dhi), with no beam from below the horizon. [W/m2]
    """
    zenith = true_zenith(latitude, longitude, utc_offset_h, hours.time, offset_min)
    cosine = np.maximum(np.cos(np.radians(zenith)), 0.0)
    return zenith, np.abs(hours.ghi - hours.dni * cosine - hours.dhi)


def align(
    name: str,
    latitude: float,
    longitude: float,
    utc_offset_h: float,
    hours: Irradiance,
    stated_min: float | None = None,
) -> Alignment:
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
    stated_min : float, optional
        Where the file says its irradiance belongs, in place of the middle of the hour; tested like it. [min]

    Raises
    ------
    WeatherRefused
        If there is no irradiance, or the best offset lies outside the hour by more than a quarter.
    """
    limits = thresholds()["sun"]
    if len(hours.time) == 0:
        raise WeatherRefused(name, "there is no irradiance in any hour")
    middle, others = limits["usual_min"], limits["other_min"]
    usual = float(middle if stated_min is None else stated_min)
    offsets = np.unique([usual, middle, *others])
    found = dict(
        zip(offsets.tolist(), residuals(latitude, longitude, utc_offset_h, hours, offsets), strict=True)
    )
    own = float(found[usual])
    offset = min(found, key=lambda one: (found[one], one))
    if not found[offset] < limits["other_share"] * own:
        offset = usual
    days = hours.time.astype("datetime64[D]").astype(np.int64)
    sample = hours.some(days % limits["day_step"] == 0)
    if len(sample.time) == 0:
        sample = hours
    best, least, contrast = _best(latitude, longitude, utc_offset_h, sample)
    told_apart = contrast >= limits["contrast_w_m2"]
    low, high = limits["best_min"]
    if told_apart and not low <= best <= high:
        if least < limits["clearly_share"] * own:
            reason = (
                f"global, beam and diffuse irradiance fit together best with the sun {best:+.0f} min after the "
                f"start of the row (residual {least:.1f} W/m2, but {own:.1f} W/m2 at {usual:.0f} min): "
                "the rows are shifted, or the zone or longitude in the header is wrong"
            )
        else:
            reason = (
                "global, beam and diffuse irradiance fit together nowhere near their hours (residual "
                f"{own:.1f} W/m2 with the sun {usual:.0f} min after the start of the row, {least:.1f} W/m2 at best): "
                "they do not belong together, or the zone or longitude in the header is wrong"
            )
        raise WeatherRefused(name, reason, "all hours with sun")
    return Alignment(offset, float(found[offset]), best, told_apart)


def _best(
    latitude: float, longitude: float, utc_offset_h: float, hours: Irradiance
) -> tuple[float, float, float]:
    """Best offset of the grid, its residual, and the range of the residual over the grid.

    A coarse grid comes first, the fine one only around its best: the residual falls towards the right place
    from both sides.
    """
    first, last, fine, coarse = thresholds()["sun"]["offsets_min"]
    grid = np.arange(first, last + coarse, coarse, dtype=float)
    curve = residuals(latitude, longitude, utc_offset_h, hours, grid)
    best = float(grid[int(np.argmin(curve))])
    near = np.arange(
        max(first, best - coarse + fine), min(last, best + coarse - fine) + fine, fine, dtype=float
    )
    close = residuals(latitude, longitude, utc_offset_h, hours, near)
    least = float(close.min())
    return float(near[int(np.argmin(close))]), least, float(curve.max()) - least
