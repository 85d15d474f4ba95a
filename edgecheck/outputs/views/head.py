"""Page one: verdict, reason, groups, conditions, what to survey, and what the roof must offer."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.model import GROUPS, CheckResult
from edgecheck.checks.result import Result
from edgecheck.outputs.number_text import (
    UNKNOWN,
    count,
    degrees,
    is_known,
    percent,
    quantity,
    readable,
    time_text,
)
from edgecheck.outputs.views.checks import against
from edgecheck.outputs.views.reason import in_words, one_sentence, shortened, what_it_adds
from edgecheck.outputs.words import STATUS_ORDER, VERDICT_MEANING, ask_title, group_title

_TITLES = {check.id: check.title for check in CHECKS}
_NAME_LENGTH = 56  # characters of page one; the whole stands among the inputs as read


@dataclass(frozen=True)
class Fact:
    """A labelled value.

    Parameters
    ----------
    label, value : str
        What it is, and the formatted value.
    remark : str
        Source or explanation, empty where none.
    """

    label: str
    value: str
    remark: str = ""


@dataclass(frozen=True)
class GroupRow:
    """A group of checks with its verdict, how its checks came out, and the check that decides it."""

    title: str
    verdict: str
    statuses: str
    decided_by: str


@dataclass(frozen=True)
class Head:
    """Everything on page one."""

    site_id: str
    short_name: str
    name: str
    verdict: str
    meaning: str
    reason: str
    adds: str
    governing: str
    place: tuple[str, ...]
    facts: tuple[Fact, ...]
    groups: tuple[GroupRow, ...]
    asks: tuple[Fact, ...]
    unit_name: str
    unit_plan: str
    faults: tuple[str, ...]


def head(result: Result, need: Mapping[str, str]) -> Head:
    """Page one of a result.

    Parameters
    ----------
    result : Result
        The site.
    need : mapping
        required, confirm or off by check id.

    Returns
    -------
    Head
        Text only.
    """
    return Head(
        site_id=result.site_id,
        name=result.name,
        short_name=shortened(result.name, _NAME_LENGTH),
        verdict=result.verdict,
        meaning=VERDICT_MEANING[result.verdict],
        reason=one_sentence(result),
        adds=what_it_adds(result),
        governing=result.governing_check,
        place=_place(result),
        facts=_facts(result),
        groups=tuple(_group(result, name, need) for name in GROUPS) if result.groups else (),
        asks=asks(result),
        unit_name=_unit_name(result),
        unit_plan=_unit_plan(result),
        faults=result.faults,
    )


def _place(result: Result) -> tuple[str, ...]:
    """Unit, load, position and elevation, as far as they are known."""
    unit = result.detail.get("unit") or {}
    values = {str(entry["key"]): entry.get("value") for entry in result.inputs}
    parts = [shortened(str(unit["name"]), _NAME_LENGTH)] if unit.get("name") else []
    if is_known(values.get("it_load_kw")):
        parts.append(f"{quantity(values['it_load_kw'], 'kW')} of servers")
    if is_known(values.get("latitude_deg")) and is_known(values.get("longitude_deg")):
        parts.append(f"latitude {values['latitude_deg']:g}°, longitude {values['longitude_deg']:g}°")
    if isinstance(values.get("elevation_m"), int | float):
        parts.append(f"{values['elevation_m']:g} m above sea level")
    return tuple(readable(part) for part in parts)


def _facts(result: Result) -> tuple[Fact, ...]:
    """The four numbers a reader looks for first."""
    if not result.figures:
        return ()
    figures, unit = result.figures, result.detail.get("unit") or {}
    year, spell = ("the design day", "the design day") if result.is_type else ("the year", "the hot spell")
    return (
        Fact(
            f"Least service headroom of {year}",
            percent(figures.get("headroom_share")),
            f"{quantity(figures.get('headroom_kw'), 'kW')}, {in_words(time_text(figures.get('worst_time')))} "
            "local standard time",
        ),
        Fact(
            f"Highest liquid temperature in {spell}",
            degrees(figures.get("liquid_peak_c")),
            f"alarm at {degrees(unit.get('alarm_c'))}",
        ),
        Fact(
            "From loss of cooling to server shutdown",
            quantity(figures.get("ride_through_minutes"), "min"),
            f"{quantity(figures.get('pump_lost_minutes'), 'min')} with the pump stopped",
        ),
        Fact(
            "Largest IT load at the required margin",
            quantity(figures.get("max_it_load_kw"), "kW"),
            "",
        ),
    )


def _group(result: Result, name: str, need: Mapping[str, str]) -> GroupRow:
    """One group: verdict, numbers of statuses, the check that decides."""
    outcomes = [check for check in result.checks if check.id.startswith(f"{name}.")]
    numbers = [
        f"{sum(check.status == status for check in outcomes)} {status}"
        for status in STATUS_ORDER
        if any(check.status == status for check in outcomes)
    ]
    return GroupRow(
        title=group_title(name),
        verdict=result.groups.get(name, UNKNOWN),
        statuses=", ".join(numbers) or "no check built",
        decided_by=_decided_by(outcomes, need),
    )


def _decided_by(outcomes: list[CheckResult], need: Mapping[str, str]) -> str:
    """The check with the worst status; a required one before one to confirm, one switched off never.

    What is true of the unit whatever the site decides only where nothing else was looked at.
    """
    of_unit = {check.id for check in CHECKS if check.of_unit}
    in_force = [check for check in outcomes if need.get(check.id) != "off"]
    counted = [check for check in in_force if check.id not in of_unit] or in_force
    if not counted:
        return ""
    worst = min(
        counted,
        key=lambda check: (
            STATUS_ORDER.index(check.status),
            need.get(check.id) != "required",
            -(check.utilisation or 0.0),
        ),
    )
    numbers = against(worst)
    return f"{_TITLES.get(worst.id, worst.id)}: {worst.status}{f' ({numbers})' if numbers else ''}"


def asks(result: Result) -> tuple[Fact, ...]:
    """What the roof and the building must offer, in the order of the result; unknown ones say so.

    Ballast is rounded up: less would not hold the unit.
    """
    rows = []
    for key, value in result.asks.items():
        title, unit = ask_title(str(key))
        if isinstance(value, str):
            rows.append(Fact(title, value))
        elif str(key).endswith("ballast_kg") and is_known(value):
            rows.append(Fact(title, count(math.ceil(value), unit)))
        else:
            rows.append(Fact(title, quantity(value, unit)))
    return tuple(rows)


def _unit_name(result: Result) -> str:
    """What stands on the roof, by its name."""
    unit = result.detail.get("unit") or {}
    return shortened(str(unit.get("name") or "the unit"), _NAME_LENGTH)


def _unit_plan(result: Result) -> str:
    """Length and depth of the unit; empty where they are not known."""
    body = (result.detail.get("roof") or {}).get("body_m")
    return f"{float(body[0]):g} m long and {float(body[1]):g} m deep" if body and len(body) >= 2 else ""
