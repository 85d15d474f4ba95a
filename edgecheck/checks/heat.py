"""Checks of the heat group: weather, station, headroom, spells, operating range, cycling.

In: heat series of year and spells, the machine, the criteria. Out: one result a check. A missing or unknown
hour is never counted as a good one.
"""

import math

import numpy as np
from numpy.typing import NDArray

from edgecheck.checks.estimated import EXTREME_KEYS, fails_at, on_estimate
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.checks.readings import full_capacity, worst_of
from edgecheck.heat.curve import CONDENSING, INLET_HIGH, INLET_LOW, NONE
from edgecheck.heat.electricity import cycling
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.site_heat import SiteHeat, Spell
from edgecheck.heat.stage_kernel import stage_and_rest
from edgecheck.inputs.criteria import Criteria
from edgecheck.weather.series import Weather

STATION_DISTANCE_KM = 50.0
STATION_ELEVATION_M = 300.0
CONDENSING_CAUTION_K = 2.0
TYPE_ONLY = "type qualification only: each place is decided with weather of its own"

LIMIT_WORDS = {
    INLET_LOW: "below the maker's low-ambient limit",
    INLET_HIGH: "above the maker's inlet air limit",
    CONDENSING: "above the condensing limit",
}

TABLE_ENDS = ("unit: capacity_kw beyond the last column",)

_BALANCE = "hourly heat balance of the liquid; limits of the unit's maker"

HEAT_CHECKS: tuple[Check, ...] = (
    Check(
        id="heat.weather",
        title="Weather file: quality flags raised",
        sense="at most",
        unit="",
        inputs=(("weather",),),
        at_worst="caution",
        basis="closure of the three irradiance components, gaps, usual ranges, pressure against elevation",
        confidence="engineering default",
    ),
    Check(
        id="heat.station",
        title="Distance of the weather station",
        sense="at most",
        unit="km",
        inputs=(("latitude_deg", "longitude_deg"),),
        has_true_zero=True,
        at_worst="caution",
        basis="50 km and 300 m of elevation",
        confidence="engineering default",
    ),
    Check(
        id="heat.headroom",
        title="Service headroom in the worst hour of the year",
        sense="at least",
        unit="share",
        inputs=(("weather",),),
        has_true_zero=True,
        basis=f"{_BALANCE}; margin by the criteria",
        confidence="engineering default",
    ),
    Check(
        id="heat.hot-spell",
        title="Liquid peak in the hot spell",
        sense="at most",
        unit="degC",
        inputs=(("weather", "extreme_dry_bulb_c"),),
        basis=f"{_BALANCE}; week around the hottest hour, shifted to the extreme",
        confidence="engineering default",
    ),
    Check(
        id="heat.operating-range",
        title="Hours outside the maker's operating range",
        sense="at most",
        unit="h",
        inputs=(("weather",),),
        has_true_zero=True,
        basis="maker's limits of inlet air and condensing pressure",
        confidence="engineering default",
    ),
    Check(
        id="heat.cold-spell",
        title="Least liquid temperature in the cold spell",
        sense="at least",
        unit="degC",
        inputs=(("weather", "extreme_cold_dry_bulb_c"),),
        basis=f"{_BALANCE}; week around the coldest hour, shifted to the extreme",
        confidence="engineering default",
    ),
    Check(
        id="heat.cycling",
        title="Compressor starts an hour",
        sense="at most",
        unit="1/h",
        inputs=(("weather",),),
        has_true_zero=True,
        at_worst="caution",
        basis="3600/(C band/(Q_cap - Q) + C band/Q); the maker's starts and shortest run",
        confidence="engineering default",
    ),
)


def clock(time: np.datetime64) -> str:
    """Local standard time as YYYY-MM-DD HH:MM."""
    return str(time.astype("datetime64[m]")).replace("T", " ")


def weather_check(check: Check, weather: Weather) -> CheckResult:
    """Caution where a quality flag is raised, and for a design day, which is the weather of no place."""
    if weather.cycle is not None:
        note = f"Type qualification: the design day {weather.cycle.title} repeats; it stands for no place."
        return outcome(check, "caution", 0.0, 0.0, note=note, condition=TYPE_ONLY)
    flags = weather.flags
    status: Status = "caution" if flags else "pass"
    note = " ".join(flag.text for flag in flags)
    condition = f"weather file {weather.name}: look at its quality flags" if flags else ""
    return outcome(check, status, float(len(flags)), 0.0, note=note, condition=condition)


def station_check(check: Check, distance_km: float | None, elevation_difference: float | None) -> CheckResult:
    """Caution where the station is far away or at another height.

    Parameters
    ----------
    check : Check
        Declaration of heat.station.
    distance_km : float or None
        From site to station; None for a design day.
    elevation_difference : float or None
        Station minus site; None where the site's elevation is unknown. [m]
    """
    if distance_km is None:
        return outcome(check, "not applicable", note="A design day has no station.")
    height = 0.0 if elevation_difference is None else abs(elevation_difference)
    far = distance_km > STATION_DISTANCE_KM
    high = height > STATION_ELEVATION_M
    parts = [f"{distance_km:.0f} km"] if far else []
    parts += [f"{height:.0f} m of elevation"] if high else []
    note = ""
    if elevation_difference is None:
        note = "The site's elevation is not given; the station's is used."
    if far or high:
        note = f"The weather station is {' and '.join(parts)} away. {note}".strip()
    condition = "confirm that the weather station stands for the site" if far or high else ""
    return outcome(
        check, "caution" if far or high else "pass", distance_km, STATION_DISTANCE_KM, note=note,
        condition=condition,
    )  # fmt: skip


def headroom_check(
    check: Check, year: HeatSeries, time: NDArray[np.datetime64], criteria: Criteria
) -> CheckResult:
    """Service headroom share of the worst hour against the criteria's least share."""
    limit = criteria.heat.headroom_min_share
    room = year.headroom
    worst = worst_of(room)
    least = int(np.argmin(room.share_bound))
    if room.share_bound[least] < limit or not math.isfinite(room.share_bound[least]):
        hour = worst if room.share_bound[worst] < limit else least
        share = float(room.share_bound[hour])
        limit_open = LIMIT_WORDS.get(int(room.binding[hour]))
        note = f"No capacity in this hour: {limit_open}." if limit_open else ""
        return outcome(check, "fail", share, limit, governed_by=clock(time[hour]), note=note)
    if np.isnan(room.service).any():
        return outcome(
            check,
            "not assessed",
            float(room.share_bound[worst]),
            limit,
            governed_by=clock(time[worst]),
            note=_to_rate(year),
            missing=TABLE_ENDS,
        )
    share = float(room.share_bound[worst])
    caution = share < criteria.heat.headroom_caution_share
    return outcome(
        check,
        "caution" if caution else "pass",
        share,
        limit,
        governed_by=clock(time[worst]),
        note=f"Below {criteria.heat.headroom_caution_share:.0%}." if caution else "",
        condition="confirm IT load and roof air temperatures: heat headroom is narrow" if caution else "",
    )


def _to_rate(*series: HeatSeries) -> str:
    """Which temperature the maker must rate, of the series that goes farthest past the table."""
    ends = [
        (float(np.max(one.equivalent_inlet[one.headroom.unknown])), one)
        for one in series
        if np.any(one.headroom.unknown)
    ]
    hottest, farthest = max(ends, key=lambda end: end[0])
    hours = int(np.count_nonzero(farthest.headroom.unknown))
    return (
        f"Past the last column of the rating table in {hours} h, inside the maker's limits: capacity unknown. "
        f"The maker must rate {_upward(hottest):.1f} degC inlet air."
    )


def _upward(value: float) -> float:
    """A value rounded up to the decimal that is printed."""
    return math.ceil(value * 10.0 - 1e-6) / 10.0


def hot_spell_check(check: Check, spell: Spell, machine: Machine, criteria: Criteria) -> CheckResult:
    """Liquid peak of the hot spell against alarm less the margin, servers on all the time."""
    course = spell.series.course
    peak = float(np.max(course.peak)) + machine.band / 2.0
    limit = machine.alarm - criteria.heat.hot_spell_liquid_margin_k
    when = clock(spell.time[int(np.argmax(course.peak))])
    fails = peak > limit or course.stops > 0
    short = int(np.count_nonzero(spell.series.headroom.short))
    notes: list[str] = []
    if course.stops:
        minutes = float(np.sum(course.servers_off)) / 60.0
        notes.append(f"Servers stop for {minutes:.0f} min.")
    if short:
        notes.append(f"{short} h short of capacity.")
    missing: tuple[str, ...] = ()
    condition: str | tuple[str, ...] = ()
    near = peak > limit - criteria.heat.hot_spell_liquid_caution_k
    status: Status = "fail" if fails else "caution" if short or near else "pass"
    if status == "caution":
        condition = ("hot spell: liquid comes near its limit", "confirm load and extreme")
    if not fails and np.any(spell.series.headroom.unknown):
        status, missing, condition = "not assessed", TABLE_ENDS, ()
        notes.append(_to_rate(spell.series))
    elif spell.estimated:
        status, missing, text, condition = on_estimate(
            status, spell, "hot", lambda tried: hot_spell_check(check, tried, machine, criteria).status
        )
        notes.append(text)
    return outcome(
        check, status, peak, limit, governed_by=when, note=" ".join(notes), missing=missing,
        condition=condition,
    )  # fmt: skip


def operating_range_check(check: Check, heat: SiteHeat) -> CheckResult:
    """Hours of year and spells in which a maker's limit bars the machine."""
    named = tuple((series, name, estimated) for name, series, _, estimated in heat.all_series)
    counts = {name: _barred(series) for series, name, _ in named}
    firm = sum(counts[name] for _, name, estimated in named if not estimated)
    total = sum(counts.values())
    parts = [
        f"{name}: {int(np.count_nonzero(series.headroom.binding == code))} h {word}"
        for series, name, _ in named
        if counts[name]
        for code, word in LIMIT_WORDS.items()
        if np.any(series.headroom.binding == code)
    ]
    note = "; ".join(parts)
    if firm:
        return outcome(check, "fail", float(total), 0.0, note=note, governed_by=parts[0])
    if heat.unknown_hours:
        rate = _to_rate(*(series for series, _, _ in named))
        return outcome(
            check, "not assessed", float(total), 0.0, note=f"{note} {rate}".strip(), missing=TABLE_ENDS,
        )  # fmt: skip
    if total:
        spells = {"hot spell": heat.hot, "cold spell": heat.cold}
        barred = {name: spell for name, spell in spells.items() if counts[name]}
        texts = [f"{note}; only with an extreme that is an estimate."]
        for name, spell in barred.items():
            value = fails_at(spell, lambda tried: "fail" if _barred(tried.series) else "pass")
            texts.append(f"The check would fail from a {name} with an extreme of {value:.1f} degC.")
        return outcome(
            check, "not assessed", float(total), 0.0, missing=tuple(EXTREME_KEYS[name] for name in barred),
            governed_by=parts[0], note=" ".join(texts),
        )  # fmt: skip
    margin, where = min((_condensing_margin(series, heat.machine), name) for series, name, _ in named)
    if margin < CONDENSING_CAUTION_K:
        return outcome(
            check, "caution", 0.0, 0.0, governed_by=where,
            note=f"{_how_near(margin)} ({where}).",
            condition="keep the coil clean: the pressure limit is within 2 K in the hottest hours",
        )  # fmt: skip
    return outcome(check, "pass", 0.0, 0.0)


def _how_near(margin: float) -> str:
    if margin < 0.0:
        return f"The condensing limit opens as the liquid warms, by {-margin:.1f} K"
    return f"The condensing limit comes within {margin:.1f} K of opening"


def _barred(series: HeatSeries) -> int:
    return int(np.count_nonzero(series.headroom.barred))


def _condensing_margin(series: HeatSeries, machine: Machine) -> float:
    """Least distance of the condensing temperature from its limit, at the hour's liquid temperature. [K]

    Infinite without a condenser, and in hours that an ambient limit bars or in which a coil alone runs. These are left
    out only where something lies near the limit: what is farther away is a lower bound.
    """
    curve = series.curve
    if math.isinf(curve.condensing_limit):
        return math.inf
    liquid = np.maximum(series.course.peak, machine.setpoint)
    condensing = curve.condensing_at(liquid)
    margin = curve.condensing_limit - float(condensing.max())
    if margin >= CONDENSING_CAUTION_K:
        return margin
    running = (curve.locked == NONE) & (curve.trip < np.inf)
    return curve.condensing_limit - float(np.max(np.where(running, condensing, -np.inf)))


def cold_spell_check(check: Check, spell: Spell, machine: Machine) -> CheckResult:
    """Least liquid temperature with servers on, and hours without capacity, in the cold spell."""
    course = spell.series.course
    least = course.lowest_on
    barred = _barred(spell.series)
    fails = barred > 0 or least < machine.start_min or course.stops > 0
    notes = []
    if barred:
        limits = [word for code, word in LIMIT_WORDS.items() if np.any(spell.series.headroom.binding == code)]
        notes.append(f"{barred} h without capacity: {' and '.join(limits)}.")
    if course.stops:
        notes.append(f"Servers stop for {float(np.sum(course.servers_off)) / 60.0:.0f} min.")
    status: Status = "fail" if fails else "pass"
    missing: tuple[str, ...] = ()
    condition = ""
    if not fails and np.any(spell.series.headroom.unknown):
        status, missing = "not assessed", TABLE_ENDS
        notes.append(_to_rate(spell.series))
    elif spell.estimated:
        status, missing, text, condition = on_estimate(
            status, spell, "cold", lambda tried: cold_spell_check(check, tried, machine).status
        )
        notes.append(text)
    when = clock(spell.time[int(np.argmin(spell.series.surroundings.temp_air))])
    return outcome(
        check, status, least, machine.start_min, governed_by=when, note=" ".join(notes), missing=missing,
        condition=condition,
    )  # fmt: skip


def cycling_check(
    check: Check, year: HeatSeries, time: NDArray[np.datetime64], machine: Machine
) -> CheckResult:
    """Starts and run time of the compressor through the year.

    A compressor that follows the load is switched below the least share of its capacity; behind an economiser it
    carries what the coil leaves. Sections in service are taken to start and stop together. Fans that are switched
    start as often as they are asked to.
    """
    switched = machine.cycling
    if switched is None:
        return outcome(check, "not applicable", note="The cooling section has no compressor.")
    setpoint = machine.setpoint
    coil = year.curve.free_cooling_at(setpoint)
    full, room = full_capacity(year.curve, setpoint), year.headroom
    stage, rest = stage_and_rest(
        full, coil, year.load.at_setpoint, room.binding, room.capacity, switched.least_share
    )
    starts, run = cycling(stage, rest, machine.bath.heat_capacity, switched.band)
    most = int(np.argmax(starts))
    shortest = float(np.min(run))
    too_many = float(starts[most]) > switched.starts_max
    too_short = shortest < switched.run_min
    note = "It does not cycle in any hour."
    if math.isfinite(shortest):
        note = f"Shortest run {shortest:.0f} s against {switched.run_min:.0f} s."
    status: Status = "pass"
    missing: tuple[str, ...] = ()
    condition = ""
    if too_many or too_short:
        cure = switched.band * max(float(starts[most]) / switched.starts_max, switched.run_min / shortest)
        note += f" A control band of {_upward(cure):.1f} K would cure it."
        status, condition = "caution", "agree a wider control band with the maker"
    elif np.any(room.unknown):
        status, missing = "not assessed", TABLE_ENDS
        note += f" {_to_rate(year)}"
    return outcome(
        check, status, float(starts[most]), switched.starts_max, governed_by=clock(time[most]), note=note,
        missing=missing, condition=condition,
    )  # fmt: skip
