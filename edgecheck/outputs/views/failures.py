"""When things fail: every cause in one table, then what happens in sentences with their numbers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from edgecheck.checks.model import CheckResult
from edgecheck.checks.result import Result
from edgecheck.outputs.number_text import (
    UNKNOWN,
    count,
    degrees,
    fixed,
    is_known,
    kilowatt,
    quantity,
    step,
    time_text,
)

Row = tuple[str, str, str, str, str]


@dataclass(frozen=True)
class FailuresView:
    """Tables of the section on failures.

    Parameters
    ----------
    rows : tuple of Row
        Cause, what comes of it, limit, status of its check, hour that governs.
    cut, winter, wet : tuple of str
        Sentences on the short power cut, the long one in winter, water on cold surfaces; empty where it was
        not computed.
    """

    rows: tuple[Row, ...]
    cut: tuple[str, ...]
    winter: tuple[str, ...]
    wet: tuple[str, ...]


def failures(result: Result) -> FailuresView | None:
    """Failures of a site; None where nothing was computed.

    Parameters
    ----------
    result : Result
        Its detail holds `outage` and, of the further failures, `failures`.
    """
    outage, found = result.detail.get("outage") or {}, result.detail.get("failures") or {}
    if not outage and not found:
        return None
    unit, by_id = result.detail.get("unit") or {}, {check.id: check for check in result.checks}
    rows = [*_losses(outage, unit, by_id)]
    cut, winter, wet = (found.get(name) or {} for name in ("restart", "winter", "condensation"))
    if cut:
        rows.append(
            _row("Short power cut", f"liquid up to {degrees(cut['peak_c'])}", "restart", by_id, cut["when"])
        )
    if winter:
        title = f"Power off for {winter['power_off_hours']:g} h in winter"
        text = f"{hours_text(winter['hours'])} to servers on; liquid down to {degrees(winter['coldest_c'])}"
        rows.append(_row(title, text, "winter-start", by_id, winter["when"]))
    if wet:
        text = (
            f"{count(wet['hours'], 'h')} of the year with cold surfaces below the dew point"
            if is_known(wet["hours"])
            else "hours with cold surfaces below the dew point are not known: the evaporator's approach is missing"
        )
        rows.append(_row("Humid air", text, "condensation", by_id, f"year {wet['when']}"))
    return FailuresView(
        rows=tuple(rows),
        cut=_cut(cut) if cut else (),
        winter=_winter(winter) if winter else (),
        wet=_wet(wet) if wet else (),
    )


def _losses(
    outage: Mapping[str, Any], unit: Mapping[str, Any], by_id: Mapping[str, CheckResult]
) -> Sequence[Row]:
    """Loss of cooling, with and without the pump."""
    if not outage:
        return ()
    at = f"to server shutdown at {degrees(unit.get('shutdown_c'))}"
    alarm = f"to the alarm at {degrees(unit.get('alarm_c'))}"
    causes = (
        ("Cooling lost, pump running", "cooling-lost", "ride_through", "to_alarm_minutes"),
        ("Cooling and pump lost", "pump-lost", "pump_lost", "pump_lost_to_alarm_minutes"),
    )
    return [
        _row(
            title,
            f"{quantity(outage.get(f'{name}_minutes'), 'min')} {at}, {quantity(outage.get(to_alarm), 'min')} {alarm}",
            check_id,
            by_id,
            outage.get(f"{name}_when"),
        )
        for title, check_id, name, to_alarm in causes
    ]


def _row(title: str, text: str, check: str, by_id: Mapping[str, CheckResult], when: Any) -> Row:
    outcome = by_id.get(f"outage.{check}")
    status = outcome.status if outcome else UNKNOWN
    return title, text, _limit(check, outcome), status, time_text(when)


_LIMITS = {
    "cooling-lost": "at least {} to shutdown",
    "pump-lost": "at least {} to shutdown",
    "restart": "at most {}, the alarm",
    "winter-start": "at most {} to servers on",
    "condensation": "none",
}
_UNITS = {"cooling-lost": "min", "pump-lost": "min", "restart": "degC", "winter-start": "h"}


def _limit(check: str, outcome: CheckResult | None) -> str:
    """What the check asks for, in words."""
    if outcome is None or not is_known(outcome.limit):
        return UNKNOWN
    return _LIMITS[check].format(quantity(outcome.limit, _UNITS.get(check, "")))


def hours_text(hours: Any) -> str:
    """Hours to servers on; "unlimited time" (a store: "infinite") where no heat suffices, minutes below one."""
    if hours in (float("inf"), "infinite"):
        return "unlimited time"
    if is_known(hours) and 0.0 < float(hours) < 1.0:
        return quantity(60.0 * float(hours), "min")
    return quantity(hours, "h")


def _cut(cut: Mapping[str, Any]) -> tuple[str, ...]:
    """How the liquid gets to its peak after a short power cut."""
    length = (
        f"a cut of {quantity(cut['cut_min'], 'min')}, in which sun and air warm the liquid to "
        f"{degrees(cut['at_return_c'])}"
        if cut["cut_min"]
        else "a momentary cut, since without power the liquid only cools"
    )
    lines = [
        f"In the worst hour the liquid is at {degrees(cut['start_c'])}, the greater of the upper edge of the control "
        f"band and the hour's own temperature. Of all cuts up to an hour the worst is {length}.",
        f"Then all servers draw their full load at once, and cooling comes {quantity(cut['delay_min'], 'min')} later, "
        f"after controller and restart delay: the liquid reaches {degrees(cut['peak_c'])}. The alarm is at "
        f"{degrees(cut['alarm_c'])}.",
    ]
    if cut["hours_held"]:
        lines.append(
            f"In {count(cut['hours_held'], 'h')} of year and spells the liquid is then warmer than the condensing "
            "limit allows: the machine does not come back by itself while all servers run."
        )
    return tuple(lines)


def _winter(winter: Mapping[str, Any]) -> tuple[str, ...]:
    """Cooling down and warming up again."""
    by = (
        "where the liquid is thin enough"
        if winter["start_limit_by"] == "viscosity"
        else "as the maker states"
    )
    limit = winter["start_limit_c"]
    lines = [
        "From any hour of the year and of the cold spell, power is off for "
        f"{winter['power_off_hours']:g} h. The liquid cools through the shell in the station's full wind, "
        "without any shelter. In the cut that takes longest to recover from it is at "
        f"{degrees(winter['at_return_c'])} when power returns; the coldest liquid of all cuts is "
        f"{degrees(winter['coldest_c'])} ({time_text(winter['coldest_when'])}).",
        f"It flows down to {degrees(winter['sets_c'])}."
        if is_known(winter["sets_c"])
        else "Its pour point is not known.",
        f"The pumps start from {degrees(limit)} on, {by}."
        if is_known(limit)
        else "The temperature from which on the pumps start is not known.",
    ]
    if is_known(limit) and winter["at_return_c"] < limit:
        lines.append(_warming(winter))
    return tuple(lines)


def _warming(winter: Mapping[str, Any]) -> str:
    """What warms the bath, how long it takes and what would be enough."""
    heater, idle = winter["heater_w"], winter["idle_w"]
    sources = [f"a heater of {kilowatt(heater)}" if is_known(heater) else "a heater whose power is not known"]
    if is_known(idle):
        sources.append(f"servers that idle with {kilowatt(idle)}")
    text = f"Until then {' and '.join(sources)} warm the whole bath: {hours_text(winter['hours'])} to servers on."
    if (
        winter["hours"] is not None
        and winter["hours"] != "infinite"
        and winter["hours"] <= winter["allowed_hours"]
    ):
        return text
    needed = winter["heat_needed_w"]
    within = f"{winter['allowed_hours']:g} h"
    if needed in (float("inf"), "infinite"):
        return f"{text} No heater would do within {within}."
    return f"{text} {kilowatt(needed)} in all would do within {within}."


def _wet(wet: Mapping[str, Any]) -> tuple[str, ...]:
    """Surface and dew point of the worst hour, and the insulation as a worked example."""
    approach = (
        "the evaporator's approach is not known and taken as 0 K"
        if wet["approach_k"] is None
        else f"evaporator approach {step(wet['approach_k'], 'K', decimals=1)}"
    )
    distance = step(abs(wet["below_k"]), "K", decimals=1)
    lines = [
        f"In the worst hour ({time_text(wet['when'])}) the coldest surface, liquid less Q/(m c) less the approach, "
        f"is at {step(wet['surface_c'], 'degC', decimals=1)}, {distance} {'below' if wet['below_k'] > 0 else 'above'} "
        f"the dew point of {step(wet['dew_point_c'], 'degC', decimals=1)}; {approach}.",
    ]
    if wet["foam_mm"]:
        lines.append(
            "A flat layer stays dry with d = k (T_dew − T_surface)/(h (T_air − T_dew)), "
            f"k {fixed(wet['foam_w_mk'], 3)} W/mK, h {fixed(wet['film_w_m2k'], 1)} W/m²K (engineering defaults): "
            f"{fixed(wet['foam_mm'], 1)} mm for air up to {fixed(wet['design_humidity_percent'], 0)} % relative "
            f"humidity. Its outside is wet in {count(wet['hours_wet_outside'], 'h')} of more humid air. "
            "On a pipe somewhat less is enough."
        )
    if wet["hours_unknown"]:
        lines.append(f"Capacity or dew point is not known in {count(wet['hours_unknown'], 'h')}.")
    return tuple(lines)
