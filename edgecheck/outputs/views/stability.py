"""Wind and earthquake in the report: actions with formula and clause, combinations, the fixing, as text."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from edgecheck.outputs.number_text import UNKNOWN, count, fixed, is_known, quantity
from edgecheck.outputs.views.head import Fact

_LEVELS = {"design": "design level", "asd": "allowable stress level"}
_LOST = {"sliding": "slides", "overturning": "tips", "uplift": "lifts"}

Row = tuple[str, ...]


@dataclass(frozen=True)
class StabilityView:
    """Tables of the section on wind and earthquake.

    Parameters
    ----------
    intro : str
        What was looked at, or why nothing was.
    facts : tuple of Fact
        State, governing case, ballast, anchors.
    actions, faces, combinations, cases, uplift : tuple of rows
        Actions (what, formula, clause, numbers, value); forces by face; combinations (text, clause, what it
        judges, level); utilisations by face; other uplift coefficients.
    seismic : tuple of rows
        As `actions`.
    seismic_text : str
        Exemption, or what is missing; empty where there are rows.
    reference : tuple of rows
        Figures at reference winds, where the site's is not known.
    not_checked : tuple of str
        What nobody has looked at.
    """

    intro: str
    facts: tuple[Fact, ...]
    actions: tuple[Row, ...]
    faces: tuple[Row, ...]
    combinations: tuple[Row, ...]
    cases: tuple[Row, ...]
    uplift: tuple[Row, ...]
    seismic: tuple[Row, ...]
    seismic_text: str
    reference: tuple[Row, ...]
    not_checked: tuple[str, ...]


def stability(detail: Mapping[str, Any]) -> StabilityView | None:
    """Section on wind and earthquake of a result's detail; None where nothing was looked at."""
    found = detail.get("stability")
    if not found:
        return None
    wind, seismic = found["wind"], found["seismic"]
    return StabilityView(
        intro=_intro(found),
        facts=(*_facts(found), *_anchor_facts(found)),
        actions=tuple(_step(step) for step in wind["steps"]),
        faces=tuple(_face(face) for face in found["faces"]),
        combinations=tuple(
            (one["text"], one["clause"], one["judges"], _LEVELS[one["level"]])
            for one in found["combinations"]
        ),
        cases=_cases(found["effects"]),
        uplift=tuple(
            (fixed(one["coefficient"], 1), ratio(one["utilisation"]), one["case"])
            for one in found["uplift_coefficients"]
        ),
        seismic=tuple(_step(step) for step in seismic["steps"]),
        seismic_text=_seismic(seismic),
        reference=tuple(_reference(one) for one in found["reference"]),
        not_checked=tuple(found["not_checked"]),
    )


def ratio(value: Any) -> str:
    """A utilisation with two decimals; "unlimited" where nothing resists, which a store writes as "infinite"."""
    if value == "infinite":
        return "unlimited"
    if not is_known(value):
        return UNKNOWN
    number = float(value)
    return "unlimited" if number == float("inf") else fixed(number, 2)


def _intro(found: Mapping[str, Any]) -> str:
    wind, state = found["wind"], found["state"]
    if wind["text"] is None:
        lacking = ", ".join(wind["missing"])
        return (
            f"The wind on the unit is not known ({lacking}). "
            "The figures below hold for a reference wind and for no site."
        )
    return (
        f"{wind['standard']}, {wind['text']}. Judged in the lightest state in which the unit can be left alone: "
        f"{state['name']}, {quantity(state['mass_kg'], 'kg')}. Utilisation is the destabilising over the resisting "
        "effect with the factors of the standard; above 1 the unit does not hold."
    )


def _facts(found: Mapping[str, Any]) -> list[Fact]:
    state, fixing = found["state"], found["fixing"]
    facts = [
        Fact(
            "The unit stands on",
            "its feet" if state["base"] == "feet" else "the edges of the frame it is bolted to",
            f"centre of gravity ± {fixed(state['tolerance_m'], 2)} m along either axis",
        ),
        _friction(found["friction"]),
    ]
    worst, operating = found["governing"], found["operating"]
    if worst:
        facts.append(Fact("Loose: greatest utilisation", ratio(worst["utilisation"]), worst["text"]))
    if operating:
        text = f"{quantity(operating['mass_kg'], 'kg')}, for information: {operating['case']}"
        facts.append(Fact("The same in operation", ratio(operating["utilisation"]), text))
    if fixing["stated_ballast_kg"]:
        label = f"With the stated ballast of {_kilogram(fixing['stated_ballast_kg'])}"
        facts.append(Fact(label, ratio(fixing["with_stated_ballast"]), ""))
    if fixing["ballast_for_kg"]:
        by = ", ".join(f"{kind} {_kilogram(mass)}" for kind, mass in fixing["ballast_for_kg"].items())
        whole = UNKNOWN if found["friction"]["value"] is None else _kilogram(fixing["ballast_kg"])
        facts.append(Fact("Ballast that is enough", whole, by))
    facts += [
        Fact(f"Roof under {_kilogram(one['ballast_kg'])} of ballast", one["status"], one["text"])
        for one in fixing["roof_with_ballast"]
    ]
    return facts


def _friction(friction: Mapping[str, Any]) -> Fact:
    value = friction["value"]
    if value is None:
        return Fact(
            "Friction", UNKNOWN, "there is no default: without it neither sliding nor ballast is judged"
        )
    remark = "from a test" if friction["tested"] else "a suggestion, to be confirmed by a test"
    return Fact("Friction", fixed(value, 2), f"{remark}. {friction['remark']}".removesuffix(". "))


def _anchor_facts(found: Mapping[str, Any]) -> list[Fact]:
    anchors = found["anchors"]
    facts = []
    for action, name in (("wind", "in the wind"), ("seismic", "in an earthquake")):
        forces = anchors[action]
        if not forces:
            continue
        count, level = anchors["count"], _LEVELS[anchors["level"]]
        facts += [
            Fact(
                f"Tension of one of {count} anchors {name}",
                quantity(forces["tension_kn"], "kN"),
                f"{level}; {forces['tension_case']}; lee edge presses with {quantity(forces['lee_edge_kn'], 'kN')}",
            ),
            Fact(
                f"Shear of one anchor {name}",
                quantity(forces["shear_kn"], "kN"),
                f"{level}; {forces['shear_case']}; equal share, no friction",
            ),
        ]
    if is_known(anchors["stated_tension_kn"]) or is_known(anchors["stated_shear_kn"]):
        tension, shear = (quantity(anchors[f"stated_{kind}_kn"], "kN") for kind in ("tension", "shear"))
        facts.append(Fact("Stated resistance of one anchor", f"{tension} tension, {shear} shear", ""))
    return facts


def _step(step: Mapping[str, Any]) -> Row:
    return (
        str(step["what"]),
        str(step["formula"]),
        str(step["clause"]),
        str(step["numbers"]),
        quantity(step["value"], str(step["unit"]), figures=4),
    )


def _face(face: Mapping[str, Any]) -> Row:
    return (
        str(face["face"]),
        quantity(face["area_m2"], "m2"),
        fixed(face["coefficient"], 2),
        quantity(face["force_kn"], "kN"),
        quantity(face["height_m"], "m"),
        quantity(face["uplift_kn"], "kN"),
    )


def _cases(found: Sequence[Mapping[str, Any]]) -> tuple[Row, ...]:
    """A row a combination, face and uplift: what sliding and overturning come to, in words and as a number."""
    rows: dict[tuple[str, str, str], dict[str, str]] = {}
    for one in found:
        lifting = "" if one["kind"] == "uplift" else "with uplift" if one["uplift"] else "without uplift"
        face = "any" if one["kind"] == "uplift" else str(one["face"])
        rows.setdefault((one["combination"], face, lifting), {})[one["kind"]] = _held(one)
    return tuple((*key, *(cells.get(kind, "") for kind in _LOST)) for key, cells in rows.items())


def _held(one: Mapping[str, Any]) -> str:
    value = one["utilisation"]
    lost = value == "infinite" or float(value) > 1.0
    return f"{_LOST[one['kind']] if lost else 'holds'}, {ratio(value)}"


def _seismic(seismic: Mapping[str, Any]) -> str:
    if seismic["exempt"]:
        return f"No seismic check is asked for: {seismic['exempt']}."
    if seismic["missing"]:
        return f"The seismic action is not known ({', '.join(seismic['missing'])})."
    return ""


def _reference(one: Mapping[str, Any]) -> Row:
    return (
        str(one["at"]),
        quantity(one["force_kn"], "kN"),
        _kilogram(one["ballast_kg"]),
        quantity(one["tension_kn"], "kN"),
        quantity(one["shear_kn"], "kN"),
    )


def _kilogram(mass: Any) -> str:
    """Ballast rounded up to whole kilograms."""
    return count(math.ceil(mass), "kg") if is_known(mass) else "no ballast is enough"
