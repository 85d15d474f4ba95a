"""What a weather file is after reading: one record a file, one record a year.

All arrays have shape (n,) with n = 8760 hours, 24 for a design day, and cannot be written to. Row i applies to the
hour that begins at `time[i]`, for radiation (means over the hour) and for readings alike.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.notes import Note
from edgecheck.weather.header import HeaderExtremes
from edgecheck.weather.quality import Finding, Flag
from edgecheck.weather.readers.design_day import DesignDay

Format = Literal["EPW", "TMY2", "TMY3", "NSRDB CSV", "PVGIS CSV", "PVGIS JSON", "hourly CSV", "design day"]
FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class WeatherYear:
    """One year of hourly weather at the station.

    Parameters
    ----------
    time : ndarray of datetime64[m], shape (n,)
        Local standard time without zone, start of the hour. Typical years carry the calendar of 2001.
    temp_air, temp_dew : ndarray, shape (n,)
        Air temperature and dew point, dew point not above air temperature. [degC]
    pressure : ndarray, shape (n,)
        Station pressure, NaN throughout where the file has none. [Pa]
    ghi, dni, dhi : ndarray, shape (n,)
        Global horizontal, beam normal, diffuse horizontal irradiance; the beam is zero where the centre of
        the sun is below the true horizon. [W/m2]
    longwave_down : ndarray, shape (n,)
        Longwave from the sky, NaN where the file has none. [W/m2]
    wind_speed : ndarray, shape (n,)
        Wind at the station. [m/s]
    opaque_cover : ndarray, shape (n,)
        Sky covered by opaque cloud, NaN where unknown. [tenths]
    source_year : ndarray of int, shape (n,)
        The calendar year the file gives for each hour.
    """

    time: NDArray[np.datetime64]
    temp_air: FloatArray
    temp_dew: FloatArray
    pressure: FloatArray
    ghi: FloatArray
    dni: FloatArray
    dhi: FloatArray
    longwave_down: FloatArray
    wind_speed: FloatArray
    opaque_cover: FloatArray
    source_year: NDArray[np.int64]

    def __post_init__(self) -> None:
        for array in vars(self).values():
            array.flags.writeable = False

    @property
    def typical(self) -> bool:
        """Whether the hours come from several years put together."""
        return bool(np.any(self.source_year != self.source_year[0]))


@dataclass(frozen=True)
class Weather:
    """A weather file that may carry a verdict.

    Parameters
    ----------
    name : str
        File name without folders.
    format : str
        As recognised from the content, one of `Format`.
    sha256 : str
        Of the file's bytes.
    place : str
        Station name with state and country where the file gives them.
    latitude, longitude : float
        Of the station, north and east positive. [deg]
    elevation : float
        Of the station. [m]
    utc_offset_h : float
        Local standard time minus UTC. [h]
    years : tuple of WeatherYear
        One for a typical or single year, several for a multi-year file.
    header : HeaderExtremes, optional
        Extremes that the file's header prints.
    sun_offset_min : float
        Minutes after the start of a row at which the sun is taken. [min]
    closure : float
        Mean of abs(ghi - dni cos z - dhi) at that offset, over hours with any irradiance. [W/m2]
    beam_below_horizon : int
        Hours that had beam while the sun was below the true horizon.
    filled : mapping of str to int
        Filled hours by variable.
    synthetic : bool
        Whether the file says that its data are made up.
    notes : tuple of Note
        What was done to the data.
    flags : tuple of Flag
        What is doubtful about the data.
    findings : tuple of Finding
        Everything that was looked at, doubtful or not; the flags are those raised.
    cycle : DesignDay, optional
        The design day that repeats; the weather is then of no place, and its one year is 24 hours long.
    """

    name: str
    format: Format
    sha256: str
    place: str
    latitude: float
    longitude: float
    elevation: float
    utc_offset_h: float
    years: tuple[WeatherYear, ...]
    header: HeaderExtremes | None
    sun_offset_min: float
    closure: float
    beam_below_horizon: int
    filled: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    synthetic: bool = False
    notes: tuple[Note, ...] = ()
    flags: tuple[Flag, ...] = ()
    findings: tuple[Finding, ...] = ()
    cycle: DesignDay | None = None
