"""One year of a weather file at a site: its air, the sun on the faces, and any part of it run through the balance."""

from copy import copy
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.balance import LiquidCourse
from edgecheck.heat.curve import CoolingCurve
from edgecheck.heat.it_load import ItLoad
from edgecheck.heat.machine import Machine
from edgecheck.heat.periodic import settled_day
from edgecheck.heat.place import Place
from edgecheck.heat.series import (
    HeatSeries,
    Surroundings,
    in_the_sun,
    run_series,
    section_curve,
    surroundings,
)
from edgecheck.heat.station import StationYear
from edgecheck.weather.site_air import SiteAir, site_air
from edgecheck.weather.warming import warming_change

FloatArray = NDArray[np.float64]


class SiteYear:
    """One year at the site: air, irradiance on the faces, and any part of it run through the balance."""

    def __init__(
        self, place: Place, year: StationYear, machine: Machine, load: ItLoad, azimuth: float
    ) -> None:
        self.place, self.machine, self.year, self.hours = place, machine, year, year.hours
        self.load = load
        self.air = air_of(place, year)
        self.irradiance = self._sun_on_faces(azimuth)
        self.azimuth = azimuth

    def _sun_on_faces(self, azimuth: float) -> FloatArray:
        """With the front to a direction [deg], shape (6, n). [W/m2]"""
        place = self.place
        return self.year.light.on_faces(azimuth, place.roof.albedo, place.canopy_transmittance, place.skyline)

    @cached_property
    def all_hours(self) -> Surroundings:
        """Roof, shell and inlet air of all hours as they are."""
        share = self.load.shares(self.hours.time)
        return surroundings(self.air, self.hours.ghi, self.irradiance, self.machine, self.place.roof, share)

    @cached_property
    def section(self) -> CoolingCurve:
        """What one cooling section can do in all hours, whatever the orientation."""
        return section_curve(self.all_hours, self.machine)

    def turned(self, azimuth: float) -> "SiteYear":
        """The same year with the front to another direction [deg]; what does not depend on it is kept."""
        if azimuth == self.azimuth:
            return self
        other = copy(self)
        other.azimuth, other.irradiance = azimuth, self._sun_on_faces(azimuth)
        other.all_hours = in_the_sun(self.all_hours, other.irradiance, self.machine, self.place.roof)
        return other

    def run(self) -> HeatSeries:
        """Heat series of all hours."""
        return run_series(self.all_hours, self.machine, self._settled(self.all_hours), self.section)

    def run_spell(self, hours: slice, shift: float, *, warm: bool) -> HeatSeries:
        """Heat series of some hours, the air shifted by `shift` [K]; a design day stands for its spells."""
        if self.is_cycle and not shift:
            return self.run()
        time = self.hours.time
        around = surroundings(
            self.air.window(hours).shifted(shift),
            self.hours.ghi[hours],
            self.irradiance[:, hours],
            self.machine,
            self.place.roof,
            self.load.shares(time) if self.is_cycle else self.load.spell_shares(time[hours], time, warm=warm),
        )
        return run_series(around, self.machine, self._settled(around))

    def _settled(self, around: Surroundings) -> LiquidCourse | None:
        """Course of the liquid on a design day that repeats itself; None where the hours follow one another."""
        return settled_day(around, self.machine)[0] if self.is_cycle else None

    @property
    def is_cycle(self) -> bool:
        """Whether the year is one day that repeats itself."""
        return self.place.station.weather.cycle is not None


def air_of(place: Place, year: StationYear) -> SiteAir:
    """Air at the site in one year of the file, warming included."""
    warming: FloatArray | float = place.warming
    if place.monthly is not None:
        warming = warming + warming_change(before_warming(place, year), year.hours.time, place.monthly)
    return site_air(year.hours, place.station_elevation, place.elevation, warming, year.longwave_down)


def before_warming(place: Place, year: StationYear) -> FloatArray:
    """Air temperature at the site in one year of the file, without any warming, shape (n,). [degC]"""
    return np.asarray(year.hours.temp_air + place.elevation_shift)
