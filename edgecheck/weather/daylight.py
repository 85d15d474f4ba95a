"""The sunlit hours of a file's years, set against the sun.

In: finished years, the station. Out: where in the hour the irradiance belongs, how far its components are apart in
every sunlit hour, and the years without beam from below the horizon.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.alignment import Alignment, Irradiance, align, hour_residuals
from edgecheck.weather.looks import Skylight
from edgecheck.weather.readers.table import RawTable, Station
from edgecheck.weather.series import WeatherYear
from edgecheck.weather.thresholds import thresholds

FloatArray = NDArray[np.float64]
HORIZON_DEG = 90.0
AN_HOUR_MIN = 60.0


@dataclass(frozen=True)
class Lit(Irradiance):
    """The hours of all years with any irradiance; arrays of shape (m,), in order.

    Parameters
    ----------
    rows : ndarray of int
        Their place among the hours of all years.
    """

    rows: NDArray[np.int64]

    def skylight(self, station: Station, alignment: Alignment) -> Skylight:
        """Set every hour against the sun where the file's offset puts it, and every third day an hour aside."""
        where = (station.latitude, station.longitude, station.utc_offset_h)
        zenith, residual = hour_residuals(*where, self, alignment.offset_min)
        days = self.time.astype("datetime64[D]").astype(np.int64)
        tried = days % thresholds()["sun"]["shift_day_step"] == 0
        aside = np.full((2, len(self.time)), np.nan)
        for row, change in zip(aside, (-AN_HOUR_MIN, AN_HOUR_MIN), strict=True):
            row[tried] = hour_residuals(*where, self.some(tried), alignment.offset_min + change)[1]
        month = self.time.astype("datetime64[M]").astype(np.int64)
        return Skylight(zenith, residual, month, aside, alignment.closure, alignment.told_apart)


def lit_hours(years: Sequence[WeatherYear]) -> Lit:
    """Hours of all years with any irradiance."""
    time, ghi, dni, dhi = (
        np.concatenate([getattr(year, name) for year in years]) for name in ("time", "ghi", "dni", "dhi")
    )
    rows = np.flatnonzero((ghi > 0) | (dni > 0) | (dhi > 0))
    return Lit(time[rows], ghi[rows], dni[rows], dhi[rows], rows)


def aligned(raw: RawTable, lit: Lit) -> Alignment:
    """Choose where in the hour the irradiance belongs.

    Raises
    ------
    WeatherRefused
        If there is no irradiance, or it belongs to other hours.
    """
    station = raw.station
    where = (station.latitude, station.longitude, station.utc_offset_h)
    try:
        return align(raw.name, *where, lit, raw.offset_min)
    except WeatherRefused as refusal:
        if not any(note.code == "irradiance-time-offset" for note in raw.notes):
            raise
        hint = (
            "; EPW files of this source may hold rows in UTC under a local zone: its CSV or JSON file is read"
        )
        raise WeatherRefused(refusal.file, refusal.reason + hint, refusal.where) from refusal


def beam_above_horizon(
    years: Sequence[WeatherYear], lit: Lit, zenith: FloatArray
) -> tuple[list[WeatherYear], int]:
    """Beam set to zero where the centre of the sun is below the true horizon.

    Parameters
    ----------
    years : sequence of WeatherYear
        All of the same length.
    lit : Lit
        Their hours with any irradiance.
    zenith : ndarray, shape (m,)
        True zenith of those. [deg]

    Returns
    -------
    years : list of WeatherYear
    count : int
        Hours that had such beam.
    """
    below = (zenith >= HORIZON_DEG) & (lit.dni > 0)
    beam = np.concatenate([year.dni for year in years])
    beam[lit.rows[below]] = 0.0
    parts = np.split(beam, len(years))
    return [replace(year, dni=part) for year, part in zip(years, parts, strict=True)], int(below.sum())
