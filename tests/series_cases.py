"""Short invented series through the heat room, for checks: air as given, no sun, no roof, nothing mixed in.

With these the equivalent inlet is the outdoor air, so that a capacity can be read off the table of `heat_cases`.
"""

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
from heat_cases import machine as made

from edgecheck.base.constants import STEFAN_BOLTZMANN
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.series import HeatSeries, run_series, surroundings
from edgecheck.heat.site_heat import SiteHeat, Spell
from edgecheck.weather.extremes import Extreme
from edgecheck.weather.site_air import SiteAir

BARE = Microclimate(
    roof_absorptance=0.9, roof_emissivity=0.9, wind_share=0.5, recirculation=0.0, roof_mixing=0.0
)
MILD = 20.0


def clean(**changes: object) -> Machine:
    """A machine without fouling: at sea level its table is read at the inlet air."""
    return made(fouling=0.0, **changes)


def air_at(temp: Sequence[float]) -> SiteAir:
    """Hours of some air temperature at sea level, dry, under a sky as warm as the air."""
    t = np.asarray(temp, dtype=float)
    return SiteAir(
        temp_air=t,
        temp_dew=t - 8.0,
        pressure=np.full(t.shape, 101_325.0),
        longwave_down=STEFAN_BOLTZMANN * (t + 273.15) ** 4,
        wind_speed=np.full(t.shape, 3.0),
    )


def run(temp: Sequence[float], machine: Machine, site: Microclimate = BARE) -> HeatSeries:
    """Series of some hours without sun."""
    dark = np.zeros(len(temp))
    return run_series(surroundings(air_at(temp), dark, np.zeros((6, len(temp))), machine, site), machine)


def times(count: int) -> np.ndarray:
    return np.datetime64("2001-07-01T00:00", "m") + 60 * np.arange(count)


def spell(
    temp: Sequence[float],
    machine: Machine,
    *,
    warm: bool = True,
    source: str = "list",
    extreme: float | None = None,
) -> Spell:
    """Hours around an extreme; `temp` is the unshifted week, shifted as a whole to `extreme` if given."""
    week = np.asarray(temp, dtype=float)
    own = float(week.max() if warm else week.min())

    def at(target: Extreme) -> Spell:
        shift = target.value - own
        return Spell(
            series=run(week + shift, machine),
            time=times(len(week)),
            station_temp=week,
            extreme=target,
            shift=shift,
            own=own,
            at=lambda value: at(Extreme(value, "list", None)),
        )

    return at(Extreme(own if extreme is None else extreme, cast(Any, source), None))


def heat_of(
    machine: Machine,
    year: Sequence[float] = (MILD,) * 6,
    hot: Spell | None = None,
    cold: Spell | None = None,
) -> SiteHeat:
    """Year and spells of a site; what is not given is mild."""
    mild = spell([MILD] * 6, machine)
    return SiteHeat(
        place=cast(Any, SimpleNamespace()),
        machine=machine,
        year=run(year, machine),
        time=times(len(year)),
        station_temp=np.asarray(year, dtype=float),
        hot=mild if hot is None else hot,
        cold=mild if cold is None else cold,
        front_azimuth=0.0,
        front_azimuth_why="",
    )
