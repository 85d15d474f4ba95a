"""Containment, clearances and vibration in the report: worked numbers, as text.

In: the detail of a result. Out: facts and rows; unknown values say so.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from edgecheck.outputs.number_text import UNKNOWN, count, is_known, percent, quantity, readable, step
from edgecheck.outputs.views.head import Fact

Row = tuple[str, ...]


@dataclass(frozen=True)
class SiteServices:
    """The three sections.

    Parameters
    ----------
    containment : tuple of Fact
        Volume, expansion, what is asked for, named rule.
    holders : tuple of rows
        What holds the liquid back: name, source, volume, rain, remark.
    clearance : tuple of Fact
        Box, free area, walls, edge, parapet.
    distances : tuple of rows
        Kind, distance asked, distance left, in words.
    vibration : tuple of Fact
        Isolators, frequencies, share passed on; empty where nothing was looked at.
    vibration_remarks : tuple of str
        Cautions, or why nothing was looked at.
    """

    containment: tuple[Fact, ...]
    holders: tuple[Row, ...]
    clearance: tuple[Fact, ...]
    distances: tuple[Row, ...]
    vibration: tuple[Fact, ...]
    vibration_remarks: tuple[str, ...]


NO_VIBRATION = (
    "Not looked at: structure-borne sound needs the deflection of the isolators and the lowest rotating frequency "
    "from the unit file, and the span of the roof's members.",
)


def site_services(detail: Mapping[str, Any]) -> SiteServices | None:
    """Sections of a result's detail; None where there is no record of containment or clearances.

    Parameters
    ----------
    detail : mapping
        Its parts "containment", "clearance" and "vibration" are read.

    Returns
    -------
    sections : SiteServices or None
    """
    contained, clear = detail.get("containment"), detail.get("clearance")
    if not contained or not clear:
        return None
    shaken = detail.get("vibration")
    return SiteServices(
        containment=_containment(contained),
        holders=tuple(_holder(one) for one in contained["holders"]),
        clearance=_clearance(clear),
        distances=tuple(_distance(one) for one in clear["distances"]),
        vibration=() if not shaken else _vibration(shaken),
        vibration_remarks=tuple(readable(text) for text in shaken["cautions"]) if shaken else NO_VIBRATION,
    )


def _containment(found: Mapping[str, Any]) -> tuple[Fact, ...]:
    filled, largest = found["filled_litre"], found["largest_litre"]
    cold, hot = (step(found[f"density_{when}_kg_m3"], "kg/m³", decimals=1) for when in ("filling", "hottest"))
    expansion = f"{step(filled, 'litre', decimals=1)} · {cold} / {hot}"
    if not found["expansion_known"]:
        expansion = "the unit file states no expansion of the liquid"
    facts = [
        Fact("Liquid as filled", quantity(filled, "litre"), f"at {quantity(found['filling_c'], 'degC')}"),
        Fact(
            f"Liquid at {quantity(found['hottest_c'], 'degC')}, shutdown",
            quantity(largest, "litre"),
            expansion,
        ),
        Fact(
            "To be held back by practice",
            quantity(found["practice_litre"], "litre"),
            f"{percent(found['practice_share'])} of it, common practice; rain on top",
        ),
    ]
    rule = found["rule"]
    if rule is None:
        facts.append(Fact("Named rule", "none", "containment_rule is empty: the practice value alone"))
    elif rule["name"] is None:
        facts.append(Fact("Named rule", str(rule["stated"]), "not known here: the practice value was used"))
    else:
        reached = is_known(rule["required_litre"])
        holds = f"from {quantity(rule['threshold_litre'], 'litre')}"
        said = quantity(rule["required_litre"], "litre") if reached else "does not reach this unit"
        facts.append(
            Fact(f"Named rule, {rule['name']}", said, f"{holds}; {rule['source']}. {rule['remark']}")
        )
    return tuple(facts)


def _holder(one: Mapping[str, Any]) -> Row:
    return (
        str(one["name"]),
        str(one["source"]),
        quantity(one["litre"], "litre"),
        quantity(one["rain_litre"], "litre"),
        readable(str(one["why"])),
    )


def _clearance(found: Mapping[str, Any]) -> tuple[Fact, ...]:
    turned = found["turned"]
    front = "" if turned is None else f"front along the {'width' if turned else 'length'}"
    near = quantity(found["fall_protection_distance_m"], "m")
    return (
        Fact("Box", _plan(found["body_m"]), front),
        Fact("Free area", _plan(found["free_m"]), "what lies beyond it is taken as a wall"),
        Fact("Walls or screens within 3 m", count(found["walls"]), "of four sides"),
        Fact(
            "Distance from the nearest edge",
            quantity(found["edge_distance_m"], "m"),
            f"within {near} service needs fall protection",
        ),
        Fact("Parapet", quantity(found["parapet_height_m"], "m"), ""),
    )


def _plan(sides: Any) -> str:
    if not any(is_known(side) for side in sides):
        return UNKNOWN
    return " by ".join(step(side, "m") for side in sides)


def _distance(one: Mapping[str, Any]) -> Row:
    asked, left = one["asked_m"], one["left_m"]
    said = UNKNOWN
    if is_known(asked) and is_known(left):
        said = "kept" if left >= asked else "short"
    place = {
        "intake": "behind and at both ends",
        "discharge": "on whichever side is tightest",
        "service": "in front",
    }
    return str(one["kind"]), place[one["kind"]], step(asked, "m"), step(left, "m"), said


def _vibration(found: Mapping[str, Any]) -> tuple[Fact, ...]:
    natural, passed = quantity(found["natural_hz"], "Hz"), found["transmissibility"]
    return (
        Fact(
            "Natural frequency on the isolators",
            natural,
            f"√(g/δ)/(2π), δ = {quantity(found['deflection_mm'], 'mm')}",
        ),
        Fact(
            "Lowest rotating frequency", quantity(found["rotating_hz"], "Hz"), "unit: mass.lowest_rotating_hz"
        ),
        Fact(
            "Share of the force passed on",
            "unlimited" if passed == "infinite" else percent(passed),
            f"1/|(f/fₙ)² − 1|, f/fₙ = {step(found['ratio'], '')}; undamped, on a rigid floor",
        ),
        Fact(
            "Deflection of the roof under the unit, at most",
            quantity(found["roof_deflection_max_mm"], "mm"),
            f"half that of the isolators, common practice; members span {quantity(found['member_span_m'], 'm')}",
        ),
    )
