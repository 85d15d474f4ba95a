"""The roof's part of the report as text: mass, reactions, spreader, member, reserve.

Snow, bearing, space and delivery come from the views of their own.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from edgecheck.checks.model import CheckResult
from edgecheck.outputs.number_text import UNKNOWN, fixed, is_known, quantity, readable
from edgecheck.outputs.views.head import Fact
from edgecheck.outputs.views.roof_loads import Bearing, Snow, bearing, member_share, snow
from edgecheck.outputs.views.roof_place import Delivery, delivery, space

_MOST_CASES = 8


@dataclass(frozen=True)
class MassTable:
    """Mass build-up: a row a part with its mass in every state, sums, and the centre of gravity of each state."""

    states: tuple[str, ...]
    parts: tuple[tuple[str, tuple[str, ...], str], ...]
    sums: tuple[str, ...]
    centres: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Roof:
    """Tables of the roof section."""

    mass: MassTable
    reactions: tuple[tuple[str, str, str], ...]
    reactions_left_out: int
    facts: tuple[Fact, ...]
    snow: Snow | None
    bearing: Bearing | None
    space: tuple[Fact, ...]
    delivery: Delivery | None
    screening: str


def roof(detail: Mapping[str, Any], checks: Sequence[CheckResult] = ()) -> Roof | None:
    """Roof section of a result's detail and checks; None where nothing is known of the roof's side."""
    found = detail.get("roof")
    if not found:
        return None
    cases = sorted(found.get("reactions") or (), key=lambda case: -(case.get("greatest_kn") or 0.0))
    return Roof(
        mass=_mass(found.get("mass_states") or ()),
        reactions=tuple(_case(case) for case in cases[:_MOST_CASES]),
        reactions_left_out=max(0, len(cases) - _MOST_CASES),
        facts=(*_facts(found), *member_share(checks)),
        snow=snow(found.get("snow")),
        bearing=bearing(found.get("bearing")),
        space=space(found.get("space"), found.get("clearances") or ()),
        delivery=delivery(found.get("delivery")),
        screening=str(found.get("screening") or ""),
    )


def _mass(states: Sequence[Mapping[str, Any]]) -> MassTable:
    """All mass states side by side; a part that a state does not have is left blank."""
    sources: dict[str, str] = {}
    for state in states:
        for line in state.get("lines") or ():
            sources.setdefault(str(line["name"]), str(line.get("source", "")))
    columns = [
        {str(line["name"]): line.get("mass_kg") for line in state.get("lines") or ()} for state in states
    ]
    return MassTable(
        states=tuple(str(state["name"]) for state in states),
        parts=tuple(
            (
                name,
                tuple(quantity(column[name], "kg") if name in column else "" for column in columns),
                readable(source),
            )
            for name, source in sources.items()
        ),
        sums=tuple(quantity(state.get("mass_kg"), "kg") for state in states),
        centres=tuple((str(state["name"]), _centre(state)) for state in states),
    )


def _centre(state: Mapping[str, Any]) -> str:
    """Centre of gravity from the front left corner at foot level, with its tolerance and source."""
    centre = state.get("centre_of_gravity_m")
    if not centre:
        return UNKNOWN
    text = (
        f"{fixed(centre[0], 2)} m along the front, {fixed(centre[1], 2)} m back, {fixed(centre[2], 2)} m up"
    )
    if is_known(state.get("tolerance_m")):
        text += f", each ± {fixed(state['tolerance_m'], 2)} m"
    return f"{text} ({state['centre_source']})" if state.get("centre_source") else text


def _case(case: Mapping[str, Any]) -> tuple[str, str, str]:
    """One load case: text, force of every foot, the greatest."""
    forces = case.get("forces_kn") or ()
    return (
        str(case["case"]),
        " / ".join(fixed(force, 2) for force in forces)
        if forces or case.get("greatest_kn")
        else "does not stand",
        quantity(case.get("greatest_kn"), "kN"),
    )


def _facts(found: Mapping[str, Any]) -> tuple[Fact, ...]:
    """Pressures, point demand, spreader, member, and what the roof is said to have in reserve."""
    facts = [
        Fact("Weight on the roof in operation", quantity(found.get("roof_weight_kn"), "kN"), ""),
        Fact("Pressure under the base", quantity(found.get("patch_kpa"), "kPa"), _plan(found.get("plan_m"))),
        Fact(
            "Greatest load on one foot",
            quantity(found.get("point_demand_kn"), "kN"),
            str(found.get("point_case") or ""),
        ),
    ]
    if is_known(found.get("free_area_kpa")):
        facts.append(
            Fact("Spread evenly over the whole free area", quantity(found["free_area_kpa"], "kPa"), "")
        )
    member = found.get("member")
    if member:
        facts.append(
            Fact(
                "Equivalent uniform load on a member",
                quantity(member.get("equivalent_kpa"), "kPa"),
                f"span {quantity(member.get('span_m'), 'm')}, spacing {quantity(member.get('spacing_m'), 'm')}",
            )
        )
    facts += [_reserve(found, "reserve", "Uniform reserve of the roof", "kpa", "kPa")]
    facts += [_reserve(found, "point_reserve", "Point reserve of the roof", "kn", "kN")]
    spreader = found.get("spreader") or {}
    if spreader.get("kind") not in (None, "none"):
        facts.append(_spreader(spreader))
    return tuple(facts)


def _spreader(spreader: Mapping[str, Any]) -> Fact:
    """What lies under the feet, and whether its plan counts."""
    mass = UNKNOWN if spreader.get("mass_source", "").startswith("unknown") else spreader.get("mass_kg")
    counts = (
        "counts as rigid over its plan" if spreader.get("counts_as_rigid") else "its plan is not credited"
    )
    kind = "of unknown kind" if spreader["kind"] == "unknown" else spreader["kind"]
    source = readable(str(spreader.get("mass_source") or UNKNOWN))
    return Fact(
        f"Spreader ({kind})",
        mass if isinstance(mass, str) else quantity(mass, "kg"),
        f"{_plan(spreader.get('plan_m'))}, {counts}; mass: {source}",
    )


def _plan(plan: Any) -> str:
    """Length by depth."""
    return f"on {float(plan[0]):g} m by {float(plan[1]):g} m" if plan else f"plan {UNKNOWN}"


def _reserve(found: Mapping[str, Any], key: str, label: str, suffix: str, unit: str) -> Fact:
    """A reserve with its source and evidence; an unknown one with what is missing."""
    reserve = found.get(key) or {}
    if not is_known(reserve.get(f"value_{suffix}")):
        missing = ", ".join(str(name) for name in reserve.get("missing") or ())
        return Fact(label, UNKNOWN, f"missing: {missing}" if missing else "")
    remarks = [str(reserve["source"])] if reserve.get("source") else []
    if reserve.get("evidence"):
        remarks.append(f"evidence: {reserve['evidence']}")
    if reserve.get("for_information"):
        remarks.append("for information only")
    return Fact(label, quantity(reserve.get(f"value_{suffix}"), unit), ", ".join(remarks))
