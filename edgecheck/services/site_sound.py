"""The sound of a unit at a site: sources, way to the window, levels and limits of the three periods.

In: a row of the list, the unit, its year of heat, the criteria. Out: `SiteSound`, which checks judge and the
report shows. What nobody has stated stays None; nothing is judged here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.criteria import Criteria, ServicesCriteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import DryCooler, Unit
from edgecheck.services.neighbour_level import (
    PERIODS,
    DayLevels,
    Mask,
    Period,
    PeriodLevel,
    day_levels,
    hour_levels,
    hour_of_day,
    period_hours,
    period_level,
)
from edgecheck.services.sound_propagation import Path, Surveyed, distance_for, open_path, path
from edgecheck.services.sound_sources import SoundSources, missing_keys, sources_of

TONAL_UNKNOWN: Final = (
    3.0  # dB, common practice: supplements of 3 or 6 dB, from memory (TA Laerm annex A.2.5.2)
)

Basis = Literal["hour-average", "year-average", "maximum"]
Origin = Literal["list", "criteria", "shipped", "none"]


@dataclass(frozen=True)
class Limit:
    """What a level is held against.

    Parameters
    ----------
    value : float or None
        None where the list says that there is none. [dB(A)]
    origin : {"list", "criteria", "shipped", "none"}
        The list, a criteria file of one's own, the shipped criteria; none by the list.
    """

    value: float | None
    origin: Origin


@dataclass(frozen=True)
class PeriodSound:
    """One period of the day.

    Parameters
    ----------
    period : str
        "night", "evening" or "day".
    hours : ndarray of bool, shape (24,)
        Hours of the day that belong to it.
    limit : Limit
        At the window.
    level : PeriodLevel or None
        As sound power level; None where the period has no hour or the sources are not known.
    """

    period: Period
    hours: Mask
    limit: Limit
    level: PeriodLevel | None


@dataclass(frozen=True)
class SiteSound:
    """Everything that is known of the unit's sound at a site.

    Parameters
    ----------
    neighbour : bool or None
        False where the list says that nobody lives near; None where it says nothing.
    distance : float or None
        Straight to the nearest window. [m]
    sources : SoundSources or None
        Of the unit; None where its file leaves a level out.
    missing_keys : tuple of str
        Keys of [cooling] that are left out.
    way, bare : Path or None
        To the window with credit for what is known, and without any.
    facade : bool or None
        Whether the limit holds in front of a facade; None where nobody has said it.
    tonal : float
        Supplement that the unit file states, else 0. [dB]
    tonal_open : float
        Supplement that could come on top, because the file states none. [dB]
    basis : str or None
        What the limit is held against.
    background : float or None
        Level at the window without the unit. [dB(A)]
    day : DayLevels or None
        Of the year by hour of the day, as sound power; None where the sources are not known.
    hour : ndarray of int, shape (time,)
        Hour of the day.
    periods : tuple of PeriodSound
        Night, evening, day.
    """

    neighbour: bool | None
    distance: float | None
    sources: SoundSources | None
    missing_keys: tuple[str, ...]
    way: Path | None
    bare: Path | None
    facade: bool | None
    tonal: float
    tonal_open: float
    basis: Basis | None
    background: float | None
    day: DayLevels | None
    hour: NDArray[np.int64]
    periods: tuple[PeriodSound, ...]

    @property
    def night(self) -> PeriodSound:
        """The night."""
        return self.periods[0]

    @property
    def credit(self) -> float:
        """What ground and parapet take off the level. [dB]"""
        return 0.0 if self.way is None or self.bare is None else self.way.attenuation - self.bare.attenuation

    @property
    def night_power_allowed(self) -> float | None:
        """Sound power level at which the night limit is just met; None without limit or distance. [dB(A)]"""
        if self.way is None or self.night.limit.value is None:
            return None
        return self.night.limit.value - self.tonal + self.way.attenuation

    @property
    def asked_distance(self) -> float | None:
        """Distance from which the running unit meets the night limit, without credit. [m]

        None where the level or the limit is not known, 0 where the unit does not run by night.
        """
        limit, level = self.night.limit.value, self.night.level
        if limit is None or level is None:
            return None
        if not np.isfinite(level.running):
            return 0.0
        return distance_for(level.running + self.tonal - limit, facade=bool(self.facade))


def site_sound(site: Site, unit: Unit, heat: SiteHeat, criteria: Criteria) -> SiteSound:
    """What is known of the unit's sound at a site.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its tables [cooling] and [body] are read.
    heat : SiteHeat
        Its year tells how hard the unit works in every hour.
    criteria : Criteria
        Periods of the day, and limits where the list has none.

    Returns
    -------
    SiteSound
    """
    sources = sources_of(unit)
    distance = site.number("neighbour_distance_m")
    position = site.text("receiver_position")
    tonal = unit.cooling.tonal_db
    year, hour = heat.year, hour_of_day(heat.time)
    day = None
    if sources is not None:
        day = day_levels(hour_levels(sources, year.capacity_ratio, year.headroom.unknown), hour)
    surveyed = None if distance is None else _surveyed(site, unit, distance)
    facade = None if position is None else position == "facade"
    by_period = period_hours(
        criteria.services.sound_day_begins_h,
        criteria.services.sound_evening_begins_h,
        criteria.services.sound_night_begins_h,
    )
    silent = site.get("neighbour_distance_m") is DOES_NOT_APPLY
    return SiteSound(
        neighbour=False if silent else None if distance is None else True,
        distance=distance,
        sources=sources,
        missing_keys=missing_keys(unit),
        way=None if surveyed is None else path(surveyed, facade=bool(facade)),
        bare=None if distance is None else open_path(distance, facade=bool(facade)),
        facade=facade,
        tonal=tonal or 0.0,
        tonal_open=TONAL_UNKNOWN if tonal is None and not isinstance(unit.cooling, DryCooler) else 0.0,
        basis=_basis(site),
        background=site.number("sound_background_dba"),
        day=day,
        hour=hour,
        periods=tuple(
            PeriodSound(
                period,
                by_period[period],
                _limit(site, period, criteria),
                None if day is None else period_level(day, by_period[period]),
            )
            for period in PERIODS
        ),
    )


def _surveyed(site: Site, unit: Unit, distance: float) -> Surveyed:
    """What the list knows of the way; the source sits at the top of the unit, where it is screened least."""
    roof, parapet = site.number("roof_level_agl_m"), site.number("parapet_height_m")
    return Surveyed(
        distance=distance,
        source_height=None if roof is None else roof + unit.body.height_m,
        receiver_height=site.number("receiver_height_m"),
        edge_height=None if roof is None or parapet is None else roof + parapet,
        edge_distance=site.number("edge_distance_m"),
    )


def _basis(site: Site) -> Basis | None:
    bases: Mapping[str, Basis] = {
        "hour-average": "hour-average", "year-average": "year-average", "maximum": "maximum",
    }  # fmt: skip
    return bases.get(site.text("sound_limit_basis") or "")


def _limit(site: Site, period: Period, criteria: Criteria) -> Limit:
    key = f"neighbour_limit_{period}_dba"
    stated = site.number(key)
    if stated is not None:
        return Limit(stated, "list")
    if site.get(key) is DOES_NOT_APPLY:
        return Limit(None, "none")
    own = criteria.origin.get(f"services.sound_limit_{period}_dba") == "file"
    return Limit(limit_of(criteria.services, period), "criteria" if own else "shipped")


def limit_of(services: ServicesCriteria, period: Period) -> float:
    """Limit of the criteria for a period, where the list has none. [dB(A)]"""
    return {
        "night": services.sound_limit_night_dba,
        "evening": services.sound_limit_evening_dba,
        "day": services.sound_limit_day_dba,
    }[period]
