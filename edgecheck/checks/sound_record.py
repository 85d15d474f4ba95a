"""The record of sound at a site for pages and files: sources, way, levels by period, quiet mode.

In: a site, the unit, its year of heat, the criteria. Out: a plain mapping with units in its names, ready for JSON.
Where the distance is not known the level is not either, and what could be asked for stands in its place.
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.checks.heat import clock
from edgecheck.checks.sound import at_window
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.services.neighbour_level import by_hour_of_day, hour_of_day
from edgecheck.services.quiet_mode import QuietHours, least_of, quiet_hours, quiet_speed
from edgecheck.services.site_sound import PeriodSound, SiteSound, site_sound
from edgecheck.services.sound_propagation import (
    AIR_ABSORPTION,
    AIR_HUMIDITY,
    AIR_TEMPERATURE,
    FREQUENCY,
    SPEED_OF_SOUND,
    Path,
)
from edgecheck.services.sound_sources import FAN_SPEED_FLOOR, SoundSources, fan_level, identical

KILO = 1e3


def sound_detail(
    site: Site, unit: Unit, heat: SiteHeat, criteria: Criteria, found: SiteSound | None = None
) -> dict[str, Any]:
    """Tables for the page.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its tables [cooling] and [body] are read.
    heat : SiteHeat
        Its year, and the site's roof for the quiet mode.
    criteria : Criteria
        Periods, limits where the list has none, and the headroom that is asked for.
    found : SiteSound, optional
        What `site_sound` makes of these, where it is known already.

    Returns
    -------
    detail : dict
        neighbour (True, False where the list declares that there is none, None where it says nothing),
        distance_m, missing, basis, background_dba, tonal, sources, path, periods, by_hour, quiet,
        asks_distance_m; unknown values and silence are None.
    """
    found = site_sound(site, unit, heat, criteria) if found is None else found
    return {
        "neighbour": found.neighbour,
        "distance_m": found.distance,
        "missing_unit_keys": list(found.missing_keys),
        "receiver_position": None if found.facade is None else "facade" if found.facade else "free-field",
        "basis": found.basis,
        "background_dba": found.background,
        "tonal_db": found.tonal,
        "tonal_open_db": found.tonal_open,
        "sources": None if found.sources is None else _sources(found, found.sources),
        "path": None if found.way is None else _path(found, found.way),
        "periods": [_period(found, one, heat) for one in found.periods],
        "by_hour": _by_hour(found),
        "unknown_hours": int(np.count_nonzero(heat.year.headroom.unknown)),
        "quiet": _quiet(found, unit, heat, criteria.heat.headroom_min_share),
        "asks_distance_m": found.asked_distance,
    }


def sound_figure(found: SiteSound) -> float | None:
    """Greatest running level at the neighbour by night, without a supplement for a tone.

    Parameters
    ----------
    found : SiteSound
        Of the site.

    Returns
    -------
    float or None
        None where it is not known, or where the unit does not run by night. [dB(A)]
    """
    level = found.night.level
    if level is None or found.way is None or level.hours_running == 0:
        return None
    return at_window(found, level, "maximum") - found.tonal


def _sources(found: SiteSound, sources: SoundSources) -> dict[str, Any]:
    night = found.night.level
    speed = None
    if night is not None and found.day is not None and night.hours_running:
        speed = 1.0
    return {
        "fan_full_dba": sources.fan,
        "compressor_dba": sources.compressor,
        "sections_in_service": sources.sections,
        "sections_db": float(identical(0.0, sources.sections)),
        "fan_follows_load": sources.follows_load,
        "fan_speed_floor": FAN_SPEED_FLOOR,
        "switches_below_share": sources.least_share,
        "full_dba": float(sources.at_speed(1.0)),
        "night_fan_speed": speed,
        "night_fan_dba": None if speed is None else float(fan_level(sources.fan, speed)),
        "night_dba": None if speed is None else float(sources.at_speed(speed)),
    }


def _path(found: SiteSound, way: Path) -> dict[str, Any]:
    edge = way.edge
    return {
        "method": way.method,
        "why": way.why,
        "distance_m": way.known.distance,
        "source_height_m": way.known.source_height,
        "receiver_height_m": way.known.receiver_height,
        "divergence_db": way.divergence,
        "directivity_db": way.directivity,
        "air_db": way.air,
        "air_db_km": AIR_ABSORPTION * KILO,
        "air_temperature_c": AIR_TEMPERATURE,
        "air_humidity_percent": AIR_HUMIDITY,
        "mean_height_m": way.mean_height,
        "ground_db": way.ground,
        "screen_db": way.screen,
        "screen_why": way.screen_why,
        "wavelength_m": SPEED_OF_SOUND / FREQUENCY,
        "path_difference_m": None if edge is None else edge.path_difference,
        "screen_alone_db": None if edge is None else edge.attenuation,
        "facade_db": way.facade,
        "attenuation_db": way.attenuation,
        "credit_db": found.credit,
    }


def _finite(value: float) -> float | None:
    return value if np.isfinite(value) else None


def _period(found: SiteSound, one: PeriodSound, heat: SiteHeat) -> dict[str, Any]:
    level = one.level
    begins = np.flatnonzero(one.hours & ~np.roll(one.hours, 1))
    ends = (np.flatnonzero(one.hours & ~np.roll(one.hours, -1)) + 1) % 24
    record: dict[str, Any] = {
        "period": one.period,
        "from_h": int(begins[0]) if begins.size else None,
        "to_h": int(ends[0]) if ends.size else None,
        "limit_dba": one.limit.value,
        "limit_origin": one.limit.origin,
        "hours": None if level is None else level.hours,
        "hours_running": None if level is None else level.hours_running,
        "running_dba": None,
        "hour_dba": None,
        "hour_time": "",
        "year_dba": None,
        "held_against_dba": None,
    }
    if level is None or found.way is None or level.hours_running == 0:
        return record
    return {
        **record,
        "running_dba": at_window(found, level, "maximum"),
        "hour_dba": at_window(found, level, "hour-average"),
        "hour_time": clock(heat.time[level.hour_index]),
        "year_dba": at_window(found, level, "year-average"),
        "held_against_dba": at_window(found, level, found.basis or "maximum"),
    }


def _by_hour(found: SiteSound) -> list[dict[str, Any]]:
    """Levels at the window by hour of the day; empty where they are not known."""
    if found.day is None or found.way is None:
        return []
    off = found.tonal - found.way.attenuation
    running, average = by_hour_of_day(found.day)
    return [
        {
            "hour": hour,
            "running_dba": _finite(running[hour] + off),
            "average_dba": _finite(average[hour] + off),
        }
        for hour in range(24)
    ]


def _quiet(found: SiteSound, unit: Unit, heat: SiteHeat, required_share: float) -> dict[str, Any] | None:
    """Quiet mode; None where the level or the limit is not known."""
    allowed, level, limit = found.night_power_allowed, found.night.level, found.night.limit.value
    if allowed is None or level is None or limit is None or found.sources is None:
        return None
    can_slow = unit.cooling.fan_control == "variable"
    needed = level.hours_running > 0 and at_window(found, level, found.basis or "maximum") > limit
    base = {"needed": needed, "fan_can_slow": can_slow, "limit_dba": limit}
    if not needed:
        return {**base, "speed": None, "exact_speed": None, "why_none": ""}
    quiet = quiet_speed(found.sources, allowed)
    record = {**base, "speed": quiet.speed, "exact_speed": quiet.exact, "why_none": quiet.why_none}
    compressor = found.sources.compressor
    if compressor is not None:
        alone = float(identical(compressor, found.sources.sections))
        record["compressor_alone_dba"] = alone + limit - allowed
    if quiet.speed is None:
        return record
    slow = float(found.sources.at_speed(quiet.speed)) + limit - allowed
    return {**record, "running_dba": slow, **_slowed(found, heat, quiet.speed, required_share)}


def _slowed(found: SiteSound, heat: SiteHeat, speed: float, required_share: float) -> dict[str, Any]:
    """Headroom by night with the fan at a speed, and at full speed."""
    night = found.night.hours
    slow = quiet_hours(heat.year, heat.machine, speed, night[found.hour])
    hot = quiet_hours(heat.hot.series, heat.machine, speed, night[hour_of_day(heat.hot.time)])
    full = least_of(heat.year, heat.machine, night[found.hour])
    around = slow.series.surroundings
    enough = slow.share is not None and slow.share >= required_share
    return {
        "airflow_m3_s": slow.machine.airflow,
        "airflow_full_m3_s": heat.machine.airflow,
        "fan_power_share": speed**3,
        "night": _headroom(slow, heat.time),
        "full_speed_night": _headroom(full, heat.time),
        "hot_spell_night": _headroom(hot, heat.hot.time),
        "hot_spell_estimated": heat.hot.estimated,
        "inlet_air_c": float(around.inlet_air[slow.hour]),
        "equivalent_inlet_c": float(slow.series.equivalent_inlet[slow.hour]),
        "air_side_factor": float(around.factor[slow.hour]),
        "required_share": required_share,
        "enough": enough,
    }


def _headroom(found: QuietHours, time: NDArray[np.datetime64]) -> dict[str, Any]:
    return {
        "time": clock(time[found.hour]),
        "headroom_kw": None if found.least is None else found.least / KILO,
        "share": found.share,
        "hours_short": found.short,
        "hours_unknown": found.unknown,
    }
