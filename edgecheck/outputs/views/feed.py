"""The power feed in the report: the hot hour step by step, starting, drop over the cable, battery, as text."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from edgecheck.outputs.number_text import quantity, readable
from edgecheck.outputs.views.head import Fact
from edgecheck.outputs.words import joined

Row = tuple[str, ...]


@dataclass(frozen=True)
class FeedView:
    """Tables of the section on the power feed.

    Parameters
    ----------
    intro : str
        Which hour, which rule; or why nothing is known.
    facts : tuple of Fact
        Connection, spare current.
    running, dc, starting, cable : tuple of rows
        What, formula, clause, numbers, value; empty where something is not known.
    starting_text, cable_text : str
        Why there are no rows; empty where there are.
    battery : tuple of str
        What runs on without the mains, and for how long.
    not_checked : tuple of str
        What nobody has looked at.
    """

    intro: str
    facts: tuple[Fact, ...]
    running: tuple[Row, ...]
    dc: tuple[Row, ...]
    starting: tuple[Row, ...]
    cable: tuple[Row, ...]
    starting_text: str
    cable_text: str
    battery: tuple[str, ...]
    not_checked: tuple[str, ...]


def feed(detail: Mapping[str, Any]) -> FeedView | None:
    """Section on the power feed of a result's detail; None where nothing was looked at."""
    found = detail.get("feed")
    if not found:
        return None
    not_checked = tuple(str(text) for text in found.get("not_checked") or ())
    if not found.get("known"):
        text = "The unit file says nothing of the unit's supply: no current can be worked out."
        return FeedView(text, (), (), (), (), (), "", "", (), not_checked)
    starting, cable = _rows(found["starting"]), _rows(found["cable"])
    return FeedView(
        intro=_intro(found),
        facts=_facts(found),
        running=_rows(found["running"]),
        dc=_rows(found["dc"]),
        starting=starting,
        cable=cable,
        starting_text="" if starting else "The unit file states no starting current.",
        cable_text="" if cable else "Length and section of the cable or the board's voltage are not known.",
        battery=_battery(found["battery"], detail.get("outage") or {}),
        not_checked=not_checked,
    )


def _intro(found: Mapping[str, Any]) -> str:
    hour = found["hour"]
    text = (
        f"A feed carries what is drawn while the cooling runs in full, not the mean of an hour. Most is drawn in the "
        f"{hour['when']}, local standard time"
    )
    text += ", at an extreme that is an estimate." if hour["estimated"] else "."
    if hour["unknown_hours"]:
        text += f" {hour['unknown_hours']} h lie past the rating table and are not counted: their power is unknown."
    if found["rule_stated"]:
        return f"{text} The list states the rule: {found['rules'][0]}."
    return f"{text} The list states no rule: a pass must hold by both {joined(found['rules'])}."


def _facts(found: Mapping[str, Any]) -> tuple[Fact, ...]:
    missing = ", ".join(dict.fromkeys(str(key) for key in found["missing"]))
    remark = f"missing: {missing}" if missing else ""
    connection = str(found["connection"])
    return (
        Fact("The unit lies", readable(connection) or "not known", "" if connection else remark),
        Fact(
            "Spare at the board, in one phase",
            quantity(found["spare_ampere"], "A"),
            str(found["spare_source"]) or remark,
        ),
    )


def _rows(steps: Sequence[Mapping[str, Any]]) -> tuple[Row, ...]:
    return tuple(
        (
            str(step["what"]),
            str(step["formula"]),
            str(step["clause"]),
            readable(str(step["numbers"])),
            quantity(step["value"], str(step["unit"]), figures=4),
        )
        for step in steps
    )


def _battery(battery: Mapping[str, Any], outage: Mapping[str, Any]) -> tuple[str, ...]:
    """What runs on without the mains."""
    stops = joined([str(part) for part in battery["stops_with_mains"]])
    if not battery["on_battery"]:
        return (
            f"Nothing is said of a battery: with the mains {stops} stop together, and the liquid is heated no more.",
        )
    lines = [
        f"On the DC plant's battery: {joined([str(part) for part in battery['on_battery']])}. With the mains stop: "
        f"{stops}. The servers go on heating a bath that nothing cools."
    ]
    if outage:
        lines.append(
            f"From there to server shutdown: {quantity(outage.get('pump_lost_minutes'), 'min')} with the pump stopped, "
            f"{quantity(outage.get('ride_through_minutes'), 'min')} if the pump is kept running from the battery."
        )
    return tuple(lines)
