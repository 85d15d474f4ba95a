"""A weather file with the sun worked out, shared by every site it serves."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.light import StationLight
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.site_air import longwave_at_station

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class StationYear:
    """One year of a weather file with the sun worked out."""

    hours: WeatherYear
    light: StationLight

    @cached_property
    def longwave_down(self) -> FloatArray:
        """Longwave from the sky at the station, shape (n,). [W/m2]"""
        return longwave_at_station(self.hours)


@dataclass(frozen=True)
class Station:
    """A weather file with the sun worked out, shared by every site it serves.

    Parameters
    ----------
    weather : Weather
        The file.
    years : tuple of StationYear
        Its years, in order.
    """

    weather: Weather
    years: tuple[StationYear, ...]

    @classmethod
    def of(cls, weather: Weather) -> "Station":
        """Prepare a weather file."""
        return cls(weather, tuple(StationYear(year, StationLight(weather, year)) for year in weather.years))

    @cached_property
    def source_years(self) -> tuple[int, ...]:
        """Calendar years that the file gives for its hours."""
        return tuple(sorted({int(one) for year in self.years for one in np.unique(year.hours.source_year)}))

    def with_hour(self, *, hottest: bool) -> StationYear:
        """The year that holds the file's hottest or coldest hour, the earliest on a tie."""
        if hottest:
            return max(self.years, key=lambda one: float(np.max(one.hours.temp_air)))
        return min(self.years, key=lambda one: float(np.min(one.hours.temp_air)))
