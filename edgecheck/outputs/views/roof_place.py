"""Room on the roof and the ways up to it, as text for the report.

In: the roof's record of a result. Out: facts and rows; unknown values say so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from edgecheck.outputs.number_text import UNKNOWN, is_known, quantity, step
from edgecheck.outputs.views.head import Fact
from edgecheck.outputs.words import joined

Row = tuple[str, ...]


@dataclass(frozen=True)
class Way:
    """One way up: its name, the word and mark of its state, steps, help, what is missing."""

    name: str
    mark: str
    state: str
    steps: tuple[str, ...]
    missing: str


@dataclass(frozen=True)
class Delivery:
    """What is brought up, and how."""

    facts: tuple[Fact, ...]
    ways: tuple[Way, ...]


def space(found: Mapping[str, Any] | None, clearances: Sequence[Mapping[str, Any]]) -> tuple[Fact, ...]:
    """Plan with clearances against the free area in both orientations, and the edge."""
    if not found:
        return ()
    need, free = found["need_m"], found["free_m"]
    around = joined([f"{one['name']} {quantity(one['m'], 'm')} ({one['source']})" for one in clearances])
    facts = [
        Fact("Unit or spreader with clearances", _plan(need), around),
        Fact("Free area", _plan(free), "free_length_m by free_width_m"),
        Fact(
            "With the front along the length", *_fits((need[0], need[1]), (free[0], free[1])),
        ),
        Fact(
            "Turned, with the front along the width", *_fits((need[1], need[0]), (free[0], free[1])),
        ),
    ]  # fmt: skip
    least = quantity(found["fall_protection_distance_m"], "m")
    edge = found["edge_distance_m"]
    remark = f"within {least} service needs fall protection" + (
        "" if is_known(edge) else "; taken as near an edge"
    )
    facts.append(Fact("Distance from the nearest edge", quantity(edge, "m"), remark))
    return tuple(facts)


def _plan(sides: Sequence[float | None]) -> str:
    """Length by width; a side that is not known says so."""
    if not any(is_known(side) for side in sides):
        return UNKNOWN
    return " by ".join(step(side, "m") for side in sides)


def _fits(need: tuple[float, float], free: tuple[float | None, float | None]) -> tuple[str, str]:
    """Whether one orientation fits, and where not."""
    pairs = list(zip(need, free, ("length", "width"), strict=True))
    short = [
        f"{step(side, 'm')} needed of {step(there, 'm')} of {name}"
        for side, there, name in pairs
        if there is not None and side > there
    ]
    if short:
        return "does not fit", joined(short)
    if None in free:
        return UNKNOWN, ""
    _, side, there, name = max(
        (side / there, side, there, name) for side, there, name in pairs if there is not None
    )
    return "fits", f"tightest: {step(side, 'm')} needed of {step(there, 'm')} of {name}"


def delivery(found: Mapping[str, Any] | None) -> Delivery | None:
    """What is brought up and every way up; None where there is no record."""
    if not found:
        return None
    size = f"{_plan(found['plan_m'])}, {step(found['height_m'], 'm')} high"
    facts = [Fact("Moved in one piece", quantity(found["mass_kg"], "kg"), f"{found['moved']}; {size}")]
    facts += [Fact(_capital(one["name"]), quantity(one["mass_kg"], "kg"), "") for one in found["pieces"]]
    by_hand = ", ".join(f"{one['persons']}: {quantity(one['mass_kg'], 'kg')}" for one in found["by_hand"])
    factor = step(found["crane_factor"], "", decimals=1)
    facts += [
        Fact(
            "Beside it in the lift",
            quantity(found["company_kg"], "kg"),
            "trolley and two persons, engineering default",
        ),
        Fact("One wheel of the pallet truck on the roof", quantity(found["wheel_load_kn"], "kN"), ""),
        Fact(
            "Hook of a crane",
            quantity(found["crane_hook_kn"], "kN"),
            f"drained, without servers, times {factor} (engineering default)",
        ),
        Fact("What persons may lift together", by_hand, "guideline of HSE L23, from memory"),
    ]
    return Delivery(tuple(facts), tuple(_way(way) for way in found["ways"]))


def _capital(text: Any) -> str:
    return str(text)[:1].upper() + str(text)[1:]


def _way(way: Mapping[str, Any]) -> Way:
    """A way in words: a word and a mark for its state."""
    aids = joined([str(aid) for aid in way["aids"]])
    if way["possible"] is False:
        mark, state = "fail", "does not work"
    elif way["possible"] is None:
        mark, state = "not assessed", UNKNOWN
    elif way["without_help"]:
        mark, state = "pass", "works"
    elif aids:
        mark, state = "caution", f"works with {aids}"
    else:
        mark, state = "not assessed", "works; help not known"
    if way["possible"] is None and aids:
        state = f"{UNKNOWN}; needs {aids}"
    return Way(
        name=str(way["name"]),
        mark=mark,
        state=state,
        steps=tuple(_step(one) for one in way["steps"]),
        missing=", ".join(str(key) for key in way["missing"]) if way["possible"] is not False else "",
    )


def _step(one: Mapping[str, Any]) -> str:
    """A step; what is not known is listed once, beside the way."""
    text = UNKNOWN if one["possible"] is None else str(one["text"])
    return f"{one['name']}: {text}"
