"""The year, the spells and the loss of cooling, as tables and sentences."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from edgecheck.checks.result import Result
from edgecheck.outputs.figures.liquid_year import TOLD_APART_K
from edgecheck.outputs.number_text import (
    UNKNOWN,
    count,
    degrees,
    is_known,
    kilowatt,
    month_name,
    percent,
    readable,
    step,
    time_text,
)
from edgecheck.outputs.views.reason import in_words
from edgecheck.outputs.words import binding_words

_SOURCES = {
    "list": "from the site list",
    "header": "from the weather file's header",
    "years": "from the annual extremes of the weather file",
    "estimate": "an estimate: no extreme is known for this place",
    "cycle": "that of the design day",
}


@dataclass(frozen=True)
class Year:
    """Tables and sentences of the year."""

    governing: str
    short: str
    cooling: tuple[str, ...]
    worst: tuple[tuple[str, ...], ...]
    months: tuple[tuple[str, ...], ...]


def year(result: Result) -> Year:
    """The year in tables: the ten worst hours, the months, hours short; free cooling and sections in words."""
    detail = result.detail
    span = "day" if result.is_type else "year"
    return Year(
        governing=_governing(result),
        short=_short(detail, span),
        cooling=(
            *_held(result),
            *_free_cooling(detail.get("free_cooling") or {}),
            *_sections(detail.get("sections") or {}),
        ),
        worst=tuple(_worst(number, row) for number, row in enumerate(detail.get("ten_worst") or (), 1)),
        months=tuple(_month(row) for row in detail.get("monthly") or ()),
    )


def _governing(result: Result) -> str:
    """The hour that governs, in words; empty where no hour was computed."""
    hour = next((one for one in result.worst_hours if one.spell in ("year", "design day")), None)
    if hour is None:
        return ""
    binds = "no limit is open" if hour.binding == "none" else f"open: {binding_words(hour.binding)}"
    return (
        f"The hour that governs is {in_words(time_text(hour.time))}, local standard time: outdoor air "
        f"{degrees(hour.values.get('temp_air'))}, service headroom {kilowatt(hour.values.get('service_headroom'))}, "
        f"{percent(hour.values.get('share'))} of the heat to reject; {binds}."
    )


def _short(detail: Mapping[str, Any], span: str) -> str:
    """Hours short and the longest run of them."""
    hours = detail.get("hours_short")
    if not is_known(hours):
        return f"Hours short of headroom: {UNKNOWN}."
    if not hours:
        return f"No hour of the {span} is short of headroom."
    return (
        f"{count(hours, 'h')} of the {span} are short of headroom (service headroom below zero, or capacity not "
        f"known); the longest run lasts {count(detail.get('longest_run_h'), 'h')}."
    )


def _held(result: Result) -> tuple[str, ...]:
    """Whether the liquid stays where it is held; where it does not a figure shows it."""
    if result.hourly is None:
        return ()
    liquid = result.hourly["liquid"].to_numpy()
    if not np.isfinite(liquid).all() or float(np.ptp(liquid)) >= TOLD_APART_K:
        return ()
    return (f"The liquid ends every hour of the year at {degrees(liquid[0])}, where the control holds it.",)


def _free_cooling(found: Mapping[str, Any]) -> tuple[str, ...]:
    """How much of the year's heat a coil before the chiller carries."""
    if not found:
        return ()
    return (
        f"The economiser's coil carries {percent(found.get('heat_share'))} of the heat of the year: all of it in "
        f"{count(found.get('hours_alone'), 'h')}, a part in {count(found.get('hours_helping'), 'h')}.",
    )


def _sections(found: Mapping[str, Any]) -> tuple[str, ...]:
    """What is left with one of several cooling sections failed."""
    if int(found.get("count") or 1) < 2:
        return ()
    duty = "one stands by" if found.get("stands_by") else "all share the heat"
    opening = f"{count(found.get('count'))} cooling sections: {duty}."
    if found.get("hours_short_one_failed") is None:
        return (f"{opening} With one failed none is left.",)
    return (
        f"{opening} With one failed the least service headroom of the year is "
        f"{percent(found.get('share_one_failed'))} ({time_text(found.get('worst_time_one_failed'))}) and "
        f"{count(found.get('hours_short_one_failed'), 'h')} are short.",
    )


def _worst(number: int, row: Mapping[str, Any]) -> tuple[str, ...]:
    """One of the ten worst hours."""
    power = row.get("headroom_kw")
    return (
        str(number),
        time_text(row.get("time")),
        degrees(row.get("temp_air_c")),
        step(power, "kW", decimals=3),
        percent(row.get("share")),
        binding_words(str(row.get("binding", ""))),
    )


def _month(row: Mapping[str, Any]) -> tuple[str, ...]:
    """One month."""
    month = row.get("month")
    return (
        month_name(int(month)) if isinstance(month, int) else str(month),
        degrees(row.get("temp_max_c")),
        percent(row.get("least_share")),
        count(row.get("hours_short"), "h"),
        degrees(row.get("liquid_peak_c")),
    )


def extreme_text(detail: Mapping[str, Any], which: str) -> str:
    """Source and size of the hot or cold extreme that its spell is shifted to."""
    extreme = (detail.get("extremes") or {}).get(which)
    if not extreme:
        return f"The {which} extreme is {UNKNOWN}."
    if extreme.get("source") == "cycle":
        return (
            f"The design day reaches {degrees(extreme.get('value_c'))}. {extreme.get('note') or ''}".strip()
        )
    years = extreme.get("return_years")
    source = _SOURCES.get(str(extreme.get("source")), str(extreme.get("source")))
    period = f", return period {count(years, 'years')}" if is_known(years) else ""
    shift = extreme.get("shift_k")
    moved = f" The file's own week is shifted by {step(shift, 'K', signed=True)}." if is_known(shift) else ""
    note = readable(str(extreme.get("note") or ""))
    text = (
        f"The {which} extreme is {degrees(extreme.get('value_c'))}{_band(extreme)}, {source}{period}.{moved}"
    )
    return f"{text} {note}".strip()


def _band(extreme: Mapping[str, Any]) -> str:
    """Between which values the extreme lies; its lower and upper end are known for estimates and annual extremes."""
    low, high = extreme.get("low_c"), extreme.get("high_c")
    if is_known(low) and is_known(high):
        return f" (band {degrees(low)} to {degrees(high)})"
    return f" (band {UNKNOWN})"


def input_peak_text(result: Result) -> str:
    """Greatest electrical input of the year."""
    if result.hourly is None or "input" not in result.hourly:
        return ""
    return f"Greatest electrical input of an hour: {kilowatt(float(result.hourly['input'].max()))}."
