"""The record of a site behind its verdict: figures, inputs as used, notes, tables for pages.

In: what the heat and roof rooms found. Out: plain mappings with units in their names, ready for JSON.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from functools import lru_cache
from typing import Any, Literal

import numpy as np

from edgecheck.base.liquids import Liquid
from edgecheck.base.notes import Note
from edgecheck.checks.facts import (
    first_of_each_binding,
    free_cooling,
    longest_run,
    monthly,
    sections_record,
    ten_worst,
    worst_hour_record,
)
from edgecheck.checks.feed_record import FEED_NOT_CHECKED
from edgecheck.checks.heat import clock
from edgecheck.checks.lazy import Later, Sections
from edgecheck.checks.model import CheckResult, Need
from edgecheck.checks.outage import Losses
from edgecheck.checks.readings import worst_of
from edgecheck.checks.result import WorstHour
from edgecheck.checks.table_notes import table_notes
from edgecheck.heat.headroom import worst_hour
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.columns import columns
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.inputs.warming_file import MonthlyWarming
from edgecheck.roof.not_checked import NOT_CHECKED as ROOF_NOT_CHECKED
from edgecheck.weather.quality import quality_table
from edgecheck.weather.site_air import site_air_notes

KILO = 1e3
LARGE_SHIFT_K = 6.0
HIGH_SITE_M = 1500.0

# Published factors of whole air-cooled condensing units by altitude ("Effects of altitude", Table 4-2)
_ALTITUDE_M = (762.0, 1525.0, 2285.0, 3050.0)
_WHOLE_UNIT = (0.98, 0.97, 0.95, 0.93)

# What no check looks at yet, beside what the roof's record says of itself
NOT_CHECKED = (
    "Stratification in the bath, hot spots on boards, snow or leaves on the coil, wind against the discharge.",
    *FEED_NOT_CHECKED,
    "Rain, hail, air pressure, pollutants, sand, animals and vibration of the environmental class; what happens within "
    "an hour: gusts and quick changes of temperature. Corrosion by road salt, exhausts or in gaps.",
)
# And of a kind with a coil between liquid and outdoor air
COIL_NOT_CHECKED = (
    "The coil's liquid side at another temperature than its rating's (oil is thicker when cold), "
    "and its pressure drop."
)


def worst_hours(heat: SiteHeat) -> tuple[WorstHour, ...]:
    """Worst hour of year and hot spell, then one a binding limit and series."""
    place = heat.place
    spans = (
        (heat.station_temp, 0.0),
        (heat.hot.station_temp, heat.hot.shift),
        (heat.cold.station_temp, heat.cold.shift),
    )
    series = [(entry, *span) for entry, span in zip(heat.all_series, spans, strict=False)]

    def record(title: str, which: int, hour: int) -> WorstHour:
        (name, run, time, _), station_temp, shift = series[which]
        read = float(station_temp[hour])
        warming = place.warming
        if place.monthly is not None:  # the rest of the way from the station's air
            warming = float(run.surroundings.temp_air[hour]) - read - place.elevation_shift - shift
        return worst_hour_record(
            title,
            name,
            run,
            heat.machine,
            time,
            hour,
            read,
            place.elevation_shift,
            round(warming, 9),
            shift,
        )

    titles = [(0, "Worst hour of the year"), (1, "Worst hour of the hot spell")]
    if heat.settling is not None:
        titles = [(0, "Worst hour of the design day")]
    found = [record(title, which, worst_hour(series[which][0][1].headroom)) for which, title in titles]
    for which, ((name, run, _, _), _, _) in enumerate(series):
        found += [
            record(f"Worst hour with the limit {binding}, {name}", which, hour)
            for binding, hour in first_of_each_binding(run).items()
        ]
    return tuple(found)


def figures(
    heat: SiteHeat,
    results: Mapping[str, CheckResult],
    asks: Mapping[str, Any],
    largest_it_load: float | None,
    inputs: Iterable[Mapping[str, Any]],
    sound_dba: float | None,
) -> dict[str, Any]:
    """Columns of verdicts.csv after the reason."""
    room = heat.year.headroom
    worst = worst_of(room)
    share, spare = float(room.share[worst]), float(room.service[worst])
    weather = heat.place.station.weather
    return {
        "headroom_share": None if math.isnan(share) else share,
        "headroom_kw": None if math.isnan(spare) else spare / KILO,
        "worst_time": clock(heat.time[worst]),
        "liquid_peak_c": results["heat.hot-spell"].demand,
        "ride_through_minutes": results["outage.cooling-lost"].demand,
        "pump_lost_minutes": results["outage.pump-lost"].demand,
        "max_it_load_kw": None if largest_it_load is None else largest_it_load / KILO,
        "asks_mass_kg": asks["asks_mass_kg"],
        "asks_area_m2": asks["asks_area_m2"],
        "asks_kpa": asks["asks_kpa"],
        "asks_point_kn": asks["asks_point_kn"],
        "asks_ampere": asks["asks_ampere"],
        "sound_dba": sound_dba,
        "weather_file": weather.name,
        "weather_distance_km": heat.place.distance_km,
        "defaults_used": [entry["key"] for entry in inputs if entry["origin"] == "default"],
        "assumed": [entry["key"] for entry in inputs if entry["origin"] == "assumed"],
    }


def inputs_as_used(site: Site, unit: Unit, heat: SiteHeat) -> tuple[dict[str, Any], ...]:
    """Every value as read, with defaults, assumed values (and by whom), and what serves for an empty cell."""
    served: dict[str, tuple[Any, str, str]] = {
        "it_load_kw": (unit.servers.load_kw, "unit", "the unit's load"),
        "elevation_m": (heat.place.station.weather.elevation, "station", "the weather station's"),
        "front_azimuth_deg": (heat.front_azimuth, "default", heat.front_azimuth_why),
        "recirculation": (heat.place.roof.recirculation, "default", heat.place.roof.recirculation_why),
    }
    entries: list[dict[str, Any]] = []
    values, assumed = site.values, site.assumed
    nowhere = set()
    if heat.place.monthly is not None:
        nowhere.add("warming_k")
    if heat.settling is not None:
        nowhere.add("elevation_m")
    defaults = _defaults((site.text("load_standard") or "none").split("7-")[0])
    for key, column in columns().items():
        value, used = values.get(key), column.used
        if value is not None:
            found = str(value) if isinstance(value, str) else value
            if key in assumed:
                by, why = assumed[key].by, assumed[key].why
                signed = {
                    "origin": "assumed",
                    "reason": f"by {by}: {why}",
                    "used": used,
                    "by": by,
                    "why": why,
                }
                entries.append({"key": key, "value": found, **signed})
            else:
                entries.append({"key": key, "value": found, "origin": "list", "reason": "", "used": used})
        elif key in nowhere:
            continue
        elif key in served:
            found, origin, reason = served[key]
            entries.append({"key": key, "value": found, "origin": origin, "reason": reason, "used": used})
        elif key in defaults:
            entries.append(defaults[key].copy())
    return tuple(entries)


@lru_cache(maxsize=8)
def _defaults(family: str) -> dict[str, dict[str, Any]]:
    """What stands for an empty cell under a family of load standards, by column."""
    return {
        key: {
            "key": key,
            "value": column.default,
            "origin": "default",
            "reason": column.default_reason,
            "used": column.used,
        }
        for key, column in columns().items()
        if column.default is not None and column.standard in ("", family)
    }


def to_survey(results: Iterable[CheckResult], need: Mapping[str, Need]) -> tuple[str, ...]:
    """Questions that would settle what is not assessed: required checks first, then in the order of the checks."""
    waiting = [result for result in results if result.status == "not assessed" and need[result.id] != "off"]
    found: dict[str, str] = {}
    for result in sorted(waiting, key=lambda one: need[one.id] != "required"):
        for key in result.missing:
            column = columns().get(key)
            asked = f"{key}: {column.question} ({column.knows})" if column and column.question else key
            found.setdefault(key, asked)
    return tuple(found.values())


def detail(
    heat: SiteHeat,
    unit: Unit,
    liquid: Liquid,
    roof: Later[dict[str, Any]],
    running: Losses,
    stopped: Losses,
) -> dict[str, Any]:
    """Tables for pages, by subject; what only a report needs is made at the first look."""
    weather = heat.place.station.weather
    bath = heat.machine.bath
    short = heat.year.headroom.short
    hours_short = int(np.count_nonzero(short))
    return {
        "unit": {
            "name": unit.name,
            "kind": unit.cooling.kind,
            "liquid": liquid.label,
            "liquid_source": liquid.source,
            "setpoint_c": heat.machine.setpoint,
            "service_max_c": heat.machine.service_max,
            "alarm_c": heat.machine.alarm,
            "shutdown_c": bath.shutdown,
            "restart_c": bath.restart,
            "limit_shift_k": heat.machine.limit_shift,
            "heat_capacity_kj_k": bath.heat_capacity / KILO,
            "it_load_kw": heat.machine.it / KILO,
            "load_profile": _load_profile(heat),
            "throttle_share": heat.machine.throttle_share,
            "body_m": [unit.body.length_m, unit.body.depth_m, unit.body.height_m],
        },
        "weather": Sections(
            {
                "file": weather.name,
                "format": weather.format,
                "place": weather.place,
                "latitude_deg": weather.latitude,
                "longitude_deg": weather.longitude,
                "elevation_m": weather.elevation,
                "distance_km": heat.place.distance_km,
                "sha256": weather.sha256,
                "synthetic": weather.synthetic,
                "cycle": _cycle(heat),
                "sun_offset_min": weather.sun_offset_min,
                "closure_w_m2": weather.closure,
                "filled": dict(weather.filled),
                "source_years": list(heat.place.station.source_years),
                "years": _spread(heat),
                "quality": Later(lambda: [asdict(row) for row in quality_table(weather)]),
            }
        ),
        "extremes": {
            name: {
                "value_c": spell.extreme.value,
                "source": spell.extreme.source,
                "low_c": spell.extreme.low,
                "high_c": spell.extreme.high,
                "return_years": spell.extreme.return_years,
                "note": spell.extreme.note,
                "shift_k": spell.shift,
            }
            for name, spell in (("hot", heat.hot), ("cold", heat.cold))
        },
        "roof": roof,
        "hours_short": hours_short,
        "longest_run_h": longest_run(short) if hours_short else 0,
        "sections": Later(lambda: sections_record(heat)),
        "free_cooling": Later(lambda: free_cooling(heat.year)),
        "ten_worst": Later(lambda: ten_worst(heat.year, heat.time)),
        "monthly": Later(lambda: monthly(heat.year, heat.time)),
        "outage": {
            "ride_through_minutes": running.worst.minutes,
            "ride_through_when": running.worst.when,
            "to_alarm_minutes": running.worst.minutes_to_alarm,
            "pump_lost_minutes": stopped.worst.minutes,
            "pump_lost_when": stopped.worst.when,
            "pump_lost_to_alarm_minutes": stopped.worst.minutes_to_alarm,
        },
        "front_azimuth_deg": {"value": heat.front_azimuth, "why": heat.front_azimuth_why},
        "not_checked": [
            *NOT_CHECKED,
            *(() if unit.cooling.kind == "chiller" else (COIL_NOT_CHECKED,)),
            *ROOF_NOT_CHECKED,
        ],
    }


def notes(heat: SiteHeat, unit: Unit) -> tuple[Note, ...]:
    """Everything that affects how far the result can be trusted."""
    station = heat.place.station
    found = [*station.weather.notes]
    found += [Note(flag.code, "caution", flag.text, flag.count, flag.worst) for flag in station.weather.flags]
    if heat.settling is None:
        found += site_air_notes(station.years[0].hours, station.weather.elevation, heat.place.elevation)
    for name, spell in (("hot", heat.hot), ("cold", heat.cold)):
        if spell.extreme.note:
            level: Literal["info", "caution"] = "caution" if spell.estimated else "info"
            found.append(Note(f"{name}-extreme", level, spell.extreme.note))
        if abs(spell.shift) > LARGE_SHIFT_K:
            text = f"The {name} spell was shifted by {spell.shift:+.1f} K to reach its extreme."
            found.append(Note(f"{name}-spell-shift", "caution", text, worst=spell.shift))
    if heat.settling is not None and not heat.settling.settled:
        days, change = heat.settling.days, f"{heat.settling.change:.2g} K from the day before."
        text = f"The design day does not come to repeat itself in {days} days: the liquid still differs by {change}"
        found.append(Note("design-day-unsettled", "caution", text, worst=heat.settling.change))
    if heat.place.monthly is not None:
        found.append(_monthly_note(heat.place.monthly))
    found += unit.notes
    found += table_notes(heat)
    if heat.machine.limit_shift:
        text = f"Limits stated on the supply were raised by {heat.machine.limit_shift:.1f} K to the bulk."
        found.append(Note("supply-limits", "info", text))
        if heat.profile is not None:
            text = (
                "They were raised by the rise at full load in every hour. With less load the bulk stays closer to the "
                "supply: headroom in hours of little load is a little too great."
            )
            found.append(Note("supply-limits-profile", "caution", text))
    here = heat.place.station_elevation if heat.place.elevation is None else heat.place.elevation
    if here > HIGH_SITE_M and heat.machine.cycling is not None:
        published = float(np.interp(here, _ALTITUDE_M, _WHOLE_UNIT))
        text = (
            f"At {here:.0f} m a published table gives whole condensing units {published:.2f} of their sea-level "
            "capacity; this calculation derates the condenser only."
        )
        found.append(Note("altitude-whole-unit", "caution", text, worst=published))
    return tuple(found)


def _load_profile(heat: SiteHeat) -> dict[str, Any] | None:
    """How the servers' load goes over the year; None where it is the same in every hour."""
    profile = heat.profile
    if profile is None:
        return None
    shares = np.asarray(heat.year.load_share)
    return {
        "file": profile.name,
        "form": profile.form,
        "in_kw": profile.in_kw,
        "least_share": float(np.min(shares)),
        "mean_share": float(np.mean(shares)),
        "greatest_share": float(np.max(shares)),
    }


def _monthly_note(monthly: MonthlyWarming) -> Note:
    low, high = min(monthly.shift), max(monthly.shift)
    text = (
        f"Air is warmed month by month by {monthly.name}: means by {low:+.1f} to {high:+.1f} K, daily ranges by "
        f"{min(monthly.range_factor):.2f} to {max(monthly.range_factor):.2f} times (shift and stretch by Belcher, "
        "Hacker & Powell 2005); dew points stay, capped at the air temperature; extremes follow their month."
    )
    return Note("monthly-warming", "info", text, worst=high)


def _spread(heat: SiteHeat) -> list[dict[str, Any]]:
    """Worst hour of each year of a file of several years."""
    worst = int(heat.time[0].astype("datetime64[Y]").astype(int)) + 1970
    return [
        {
            "year": one.year,
            "least_share": one.share,
            "hours_barred": one.barred_hours,
            "hours_short": one.short_hours,
            "temp_max_c": one.temp_max,
            "temp_min_c": one.temp_min,
            "role": "worst" if one.year == worst else "median" if one.year == heat.median_year else "",
        }
        for one in heat.spread
    ]


def _cycle(heat: SiteHeat) -> dict[str, Any] | None:
    """The design day and how it comes to repeat itself; None for other weather."""
    day, settling = heat.place.station.weather.cycle, heat.settling
    if day is None or settling is None:
        return None
    return {
        "name": day.name,
        "title": day.title,
        "source": day.source,
        "confidence": day.confidence,
        "sun_source": day.sun_source,
        "wind_source": day.wind_source,
        "days": settling.days,
        "change_k": settling.change,
        "settled": settling.settled,
    }
