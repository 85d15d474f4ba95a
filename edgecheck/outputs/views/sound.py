"""Sound at the neighbour in the report: sources, the way to the window term by term, levels, quiet mode, as text."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from edgecheck.outputs.number_text import UNKNOWN, count, day_text, is_known, percent, quantity, step
from edgecheck.outputs.views.head import Fact
from edgecheck.outputs.views.sound_way import source_steps, way_steps
from edgecheck.outputs.views.worst_hour import StepRow

Row = tuple[str, ...]

_ORIGINS = {
    "list": "the list",
    "criteria": "the criteria file",
    "shipped": "engineering default",
    "none": "none, says the list",
}
_BASES = {
    "maximum": "the greatest running level",
    "hour-average": "the loudest hour's average",
    "year-average": "the average of all its hours in the year",
}
NOT_IN_IT = (
    "Sound that the building carries: structure-borne sound and vibration.",
    "Echoes between buildings, a second roof edge, sound through doors and shafts.",
    "Tones, beats and short peaks when the compressor starts.",
    "Clock change: the periods are in local standard time throughout the year.",
)


@dataclass(frozen=True)
class SoundView:
    """Parts of the section.

    Parameters
    ----------
    intro : str
        What is known, or what is missing.
    ask : str
        From which distance the unit meets the night limit; empty where unknown.
    sources, way : tuple of StepRow
        Worked example: sound power level of the running unit by night; from there to the window.
    remarks : tuple of str
        Which treatment of reflection was used and why, screen, credit, facade.
    levels : tuple of rows
        Period, running, loudest hour, when, average, limit, its origin.
    held : str
        Which level the limit is held against.
    quiet : tuple of Fact
        Quiet mode.
    quiet_text : str
        What it comes to.
    not_in_it : tuple of str
        What no number here includes.
    """

    intro: str
    ask: str
    sources: tuple[StepRow, ...]
    way: tuple[StepRow, ...]
    remarks: tuple[str, ...]
    levels: tuple[Row, ...]
    held: str
    quiet: tuple[Fact, ...]
    quiet_text: str
    not_in_it: tuple[str, ...] = NOT_IN_IT


def sound(detail: Mapping[str, Any]) -> SoundView | None:
    """The section, from a result's detail.

    Parameters
    ----------
    detail : mapping
        With `sound`, as `edgecheck.checks.sound_record.sound_detail` makes it.

    Returns
    -------
    SoundView or None
        None where nothing was computed.
    """
    found = detail.get("sound")
    if not found:
        return None
    way, sources = found["path"], found["sources"]
    known = way is not None and sources is not None and found["neighbour"] is not False
    quiet = found["quiet"] if known else None
    return SoundView(
        intro=_intro(found),
        ask=_ask(found),
        sources=source_steps(sources) if known else (),
        way=way_steps(way, found, sources) if known else (),
        remarks=_remarks(way, found) if known else (),
        levels=tuple(_level(one) for one in found["periods"]) if known else (),
        held=_held(found) if known else "",
        quiet=_quiet(quiet) if quiet else (),
        quiet_text=_quiet_text(quiet) if quiet else "",
    )


def _level_text(value: Any) -> str:
    return step(value, "dBA", decimals=1)


def _intro(found: Mapping[str, Any]) -> str:
    if found["neighbour"] is False:
        return "The list says that there is no neighbour."
    missing = []
    if found["neighbour"] is None:
        missing.append("how far the nearest window is")
    if found["missing_unit_keys"]:
        missing.append(f"{' and '.join(found['missing_unit_keys'])} of the unit file")
    if missing:
        return f"The level at the neighbour is not known. What is missing: {'; '.join(missing)}."
    text = f"The nearest window is {quantity(found['distance_m'], 'm')} away in a straight line."
    if found["unknown_hours"]:
        hours = count(found["unknown_hours"], "h")
        text += f" In {hours} the capacity is not known; the unit counts as running at full capacity in them."
    return text


def _ask(found: Mapping[str, Any]) -> str:
    asked, night = found["asks_distance_m"], found["periods"][0]
    if found["neighbour"] is False or not is_known(asked) or not is_known(night["limit_dba"]):
        return ""
    limit = f"{_level_text(night['limit_dba'])} ({_ORIGINS[night['limit_origin']]})"
    return (
        f"In the open, the running unit meets the night limit of {limit} from a distance of "
        f"{step(math.ceil(10.0 * asked) / 10.0, 'm', decimals=1)} on."
    )


def _remarks(way: Mapping[str, Any], found: Mapping[str, Any]) -> tuple[str, ...]:
    said = [f"Reflection is treated as {way['method']}: {way['why']}."]
    screened = "A screen counts" if way["screen_db"] else "No screen counts"
    said.append(f"{screened}: {way['screen_why']}.")
    if way["credit_db"]:
        said.append(
            f"Ground and screen take {step(way['credit_db'], 'dB', decimals=1)} off. A limit that is met only with "
            "them is a caution until somebody has confirmed them."
        )
    if found["receiver_position"] is None:
        said.append(
            "Whether the limit holds in front of a facade, where the level is 3 dB higher, is not known."
        )
    if found["tonal_open_db"]:
        more = step(found["tonal_open_db"], "dB", decimals=0)
        said.append(
            f"The unit file does not say whether the sound has a tone. {more} more (common practice) must fit "
            "for a pass."
        )
    return tuple(said)


def _level(one: Mapping[str, Any]) -> Row:
    hours = UNKNOWN if one["from_h"] is None else f"{one['from_h']:02d} to {one['to_h']:02d} h"
    if one["hours_running"] == 0:
        levels: Row = ("does not run", "does not run", "", "does not run")
    else:
        levels = (
            _level_text(one["running_dba"]),
            _level_text(one["hour_dba"]),
            day_text(one["hour_time"]) if one["hour_time"] else "",
            _level_text(one["year_dba"]),
        )
    limit = _level_text(one["limit_dba"]) if is_known(one["limit_dba"]) else "none"
    return (f"{one['period']}, {hours}", *levels, limit, _ORIGINS[one["limit_origin"]])


def _held(found: Mapping[str, Any]) -> str:
    basis = found["basis"]
    if basis is None:
        text = (
            "Nobody has said what the limit is held against. A pass needs the greatest running level to meet it; "
            "only an average of the whole year above it is a failure."
        )
    else:
        text = f"The limit is held against {_BASES[basis]} of the period."
    background = found["background_dba"]
    night = found["periods"][0]["running_dba"]
    if is_known(background) and is_known(night):
        over = step(abs(night - background), "dB", decimals=1)
        where = "above" if night >= background else "below"
        text += (
            f" The running level by night lies {over} {where} the background of {_level_text(background)}."
        )
    return text


def _whole(share: float) -> str:
    """A share that is a whole per cent."""
    return count(100.0 * share, "%")


def _quiet_text(quiet: Mapping[str, Any]) -> str:
    if not quiet["needed"]:
        return "The night limit needs no slower fan."
    if quiet["why_none"] == "compressor":
        return (
            f"No fan speed helps: the compressor alone makes {_level_text(quiet['compressor_alone_dba'])} at the "
            f"window, against {_level_text(quiet['limit_dba'])}."
        )
    if quiet["why_none"]:
        return (
            f"The fan would have to run at {percent(quiet['exact_speed'])} of full speed, slower than a fan of "
            "variable speed is taken to run."
        )
    night = quiet["night"]
    text = f"With the fan held at {_whole(quiet['speed'])} of full speed by night the running unit meets the limit. "
    if is_known(night["headroom_kw"]):
        text += (
            f"The least service headroom of any night hour is then {step(night['headroom_kw'], 'kW')}, "
            f"{percent(night['share'])} of the heat to reject ({day_text(night['time'])}); the criteria ask for "
            f"{percent(quiet['required_share'])}."
        )
    else:
        past = count(night["hours_unknown"], "h")
        text += f"Whether it still cools enough is not known: {past} lie past the rating table."
    if not quiet["fan_can_slow"]:
        text += " This fan runs at full speed whenever it runs: the maker would have to offer a slow speed."
    return text


def _quiet(quiet: Mapping[str, Any]) -> tuple[Fact, ...]:
    if not quiet.get("night"):
        return ()
    facts = [
        Fact("Fan speed", _whole(quiet["speed"]), "rounded down to a whole per cent"),
        Fact(
            "Running level at the window", _level_text(quiet["running_dba"]),
            f"limit {_level_text(quiet['limit_dba'])}",
        ),
        Fact(
            "Airflow", quantity(quiet["airflow_m3_s"], "m³/s"),
            f"{quantity(quiet['airflow_full_m3_s'], 'm³/s')} at full speed",
        ),
        Fact("Power of the fan", percent(quiet["fan_power_share"]), "of full speed, cube of the speed"),
    ]  # fmt: skip
    for key, name in (
        ("full_speed_night", "Least night headroom, fan at full speed"),
        ("night", "Least night headroom, fan slowed"),
        ("hot_spell_night", "Least headroom in a night of the hot spell, fan slowed"),
    ):
        one = quiet[key]
        value = UNKNOWN
        if is_known(one["headroom_kw"]):
            value = f"{step(one['headroom_kw'], 'kW')}, {percent(one['share'])}"
        short = f"; {count(one['hours_short'], 'h')} short" if one["hours_short"] else ""
        guess = (
            "; its extreme is an estimate"
            if key == "hot_spell_night" and quiet["hot_spell_estimated"]
            else ""
        )
        facts.append(Fact(name, value, f"{day_text(one['time'])}{short}{guess}"))
    return tuple(facts)
