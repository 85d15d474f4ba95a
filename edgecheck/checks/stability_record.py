"""The record of wind and seismic action for pages and files, and what a roof must offer against them.

In: what was worked out for a site. Out: plain mappings with units in their names, ready for JSON. A row without
its wind gets figures at a reference wind, named as such: they stand for no site.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from edgecheck.base.constants import GRAVITY
from edgecheck.checks.findings import Finding
from edgecheck.inputs.combinations import Standard, combinations
from edgecheck.inputs.stability_criteria import StabilityCriteria
from edgecheck.inputs.unit import Unit
from edgecheck.roof.fixing import AnchorForce, anchor_force, anchoring, wind_pulls
from edgecheck.roof.reserve import KILO
from edgecheck.roof.silhouette import FACES
from edgecheck.roof.site_stability import (
    SiteStability,
    judged_by,
    most_ballast,
    national_values,
    pulled_by,
    with_uplift,
)
from edgecheck.roof.stability import Effect, Wind, effects, governing, needed_ballast
from edgecheck.roof.stand import Stand
from edgecheck.roof.wind_action import REFERENCE_HEIGHT, REFERENCE_SPEEDS, reference_wind

NOT_CHECKED = (
    "The unit's own frame and feet, and the bolts between unit and spreader frame.",
    "Sliding of a loose-laid or gravelled roof covering under the unit.",
    "What an anchor is fixed to, and how the roof covering is sealed round it.",
    "Wind across a corner of the unit, wind with lid or doors open, pipes and cables in the wind.",
)
_OTHER_UPLIFT = (0.0, 1.0, 1.5)
_TITLES: Mapping[str, str] = {"en": "EN", "asce7-16": "ASCE 7-16", "asce7-22": "ASCE 7-22"}


def stability_detail(
    found: SiteStability, unit: Unit, values: StabilityCriteria, roof: Mapping[float, Finding]
) -> dict[str, Any]:
    """Tables for the page.

    Parameters
    ----------
    found : SiteStability
        What was worked out.
    unit : Unit
        The unit.
    values : StabilityCriteria
        Nationally determined values and engineering defaults.
    roof : mapping of float to Finding
        What the roof checks say of a ballast [kg].

    Returns
    -------
    detail : dict
        standard, wind, state, faces, combinations, effects, governing, uplift_coefficients, friction, fixing,
        anchors, seismic, reference; unknown values are None, parts without a wind are empty.
    """
    wind, stand = found.wind.wind, found.stand
    return {
        "standard": None if found.wind.standard is None else _TITLES[found.wind.standard],
        "wind": _wind(found),
        "state": _state(stand),
        "faces": [] if wind is None else _faces(stand, wind),
        "combinations": _combinations(found, values),
        "effects": _effects(found.loose),
        "operating": None if wind is None else _worst(found.operating, wind, found),
        "governing": None if wind is None else _governing(found, wind),
        "uplift_coefficients": [
            {"coefficient": value, "utilisation": governing(other).utilisation, "case": governing(other).text}
            for value in _OTHER_UPLIFT
            if (other := with_uplift(found, value))
        ],
        "friction": {
            "value": found.friction.value,
            "tested": found.friction.tested,
            "remark": found.friction.remark,
        },
        "slope_deg": found.slope,
        "fixing": {
            "stated": found.fixing.kind,
            "stated_ballast_kg": found.fixing.ballast,
            "penetrations": found.fixing.penetrations,
            "ballast_kg": found.ballast,
            "ballast_for_kg": dict(found.ballast_for),
            "with_stated_ballast": governing(found.given).utilisation
            if found.fixing.ballast and found.given
            else None,
            "roof_with_ballast": [
                {"ballast_kg": mass, "status": one.status, "text": one.text} for mass, one in roof.items()
            ],
        },
        "anchors": _anchors(found),
        "seismic": {
            "exempt": found.seismic.exempt,
            "missing": list(found.seismic.missing),
            "horizontal_over_weight": found.seismic.horizontal,
            "steps": [step.to_dict() for step in found.seismic.steps],
        },
        "not_checked": list(NOT_CHECKED),
        "reference": [] if wind is not None else _references(found, unit, values),
    }


def stability_asks(
    found: SiteStability, unit: Unit, values: StabilityCriteria
) -> dict[str, float | str | None]:
    """What the roof must offer against the wind.

    Parameters
    ----------
    found, unit, values
        As in `stability_detail`.

    Returns
    -------
    asks : dict
        asks_wind_kn (greatest horizontal force, characteristic or strength level as the standard gives it),
        asks_ballast_kg (a word where none is enough), asks_anchor_tension_kn and asks_anchor_shear_kn of one anchor
        a foot (stated number of anchors where resistances are stated), asks_wind_at: what they hold for.
    """
    wind = found.wind.wind
    if wind is None:
        standard: Standard = found.wind.standard or "en"
        row = _reference(found, standard, unit, values)
        return {
            "asks_wind_kn": row["force_kn"],
            "asks_ballast_kg": _ballast(row["ballast_kg"]),
            "asks_anchor_tension_kn": row["tension_kn"],
            "asks_anchor_shear_kn": row["shear_kn"],
            "asks_wind_at": row["at"],
        }
    friction = values.friction_reference if found.friction.value is None else found.friction.value
    ballast = found.ballast
    if found.friction.value is None:
        slides = needed_ballast(
            found.stand, wind, found.combinations, friction, found.slope, kinds=("sliding",)
        )
        ballast = most_ballast({**found.ballast_for, "sliding": slides})
    forces = (*found.wind_anchors, *found.seismic_anchors)
    stated = "" if found.friction.value is not None else " (reference)"
    return {
        "asks_wind_kn": _greatest_force(found.stand, wind),
        "asks_ballast_kg": _ballast(ballast),
        "asks_anchor_tension_kn": _most(one.tension for one in forces),
        "asks_anchor_shear_kn": _most(one.shear for one in forces),
        "asks_wind_at": f"{wind.standard}, {wind.speed_text}; ballast at friction {friction:g}{stated}",
    }


def _wind(found: SiteStability) -> dict[str, Any]:
    wind = found.wind.wind
    return {
        "standard": None if wind is None else wind.standard,
        "text": None if wind is None else wind.speed_text,
        "steps": [] if wind is None else [step.to_dict() for step in wind.steps()],
        "missing": list(found.wind.missing),
    }


def _state(stand: Stand) -> dict[str, Any]:
    return {
        "name": stand.state,
        "mass_kg": stand.mass,
        "weight_kn": stand.mass * GRAVITY / KILO,
        "base": stand.base,
        "centre_of_gravity_m": list(stand.centre),
        "tolerance_m": stand.tolerance,
        "edges_m": [[list(edge.start), list(edge.end)] for edge in stand.edges],
        "middle_m": list(stand.middle),
        "blocks_m": [[block.along, block.back, block.bottom, block.top] for block in stand.blocks],
    }


def _faces(stand: Stand, wind: Wind) -> list[dict[str, Any]]:
    rows = []
    for face in FACES:
        area, height = stand.shadow(face)
        rows.append(
            {
                "face": face.name,
                "area_m2": area,
                "coefficient": wind.coefficient(face, area),
                "force_kn": wind.force(face, area) / KILO,
                "height_m": height,
                "plan_m2": stand.lid,
                "uplift_kn": wind.uplift(stand.lid) / KILO,
            }
        )
    return rows


def _combinations(found: SiteStability, values: StabilityCriteria) -> list[dict[str, Any]]:
    standard = found.wind.standard
    if standard is None:
        return []
    national = national_values(values)
    return [
        {
            "text": one.text,
            "clause": one.clause,
            "use": use,
            "level": one.level,
            "judges": "sliding, overturning, uplift" if one.stability else "anchors",
        }
        for use in ("wind", "seismic")
        for one in combinations(standard, use, national=national)
    ]


def _effects(found: Sequence[Effect]) -> list[dict[str, Any]]:
    return [
        {
            "kind": one.kind,
            "face": "" if one.kind == "uplift" else one.face.name,
            "uplift": one.lifting,
            "combination": one.combination.text,
            "destabilising": one.destabilising / KILO,
            "resisting": one.resisting / KILO,
            "unit": "kN m" if one.kind == "overturning" else "kN",
            "utilisation": one.utilisation,
        }
        for one in found
    ]


def _governing(found: SiteStability, wind: Wind) -> dict[str, Any]:
    worst = governing(found.loose)
    area, height = found.stand.shadow(worst.face)
    factor = worst.combination.wind
    return {
        "kind": worst.kind,
        "face": worst.face.name,
        "direction": list(worst.face.direction),
        "text": worst.text,
        "utilisation": worst.utilisation,
        "force_kn": factor * wind.force(worst.face, area) / KILO,
        "height_m": height,
        "uplift_kn": factor * wind.uplift(found.stand.lid) / KILO if worst.lifting else 0.0,
        "weight_kn": worst.combination.permanent * found.stand.mass * GRAVITY / KILO,
    }


def _worst(stand: Stand, wind: Wind, found: SiteStability) -> dict[str, Any]:
    worst = governing(
        [
            effect
            for combination in found.combinations
            for effect in effects(stand, wind, combination, found.friction.value, found.slope)
        ]
    )
    return {"mass_kg": stand.mass, "utilisation": worst.utilisation, "case": worst.text}


def _anchors(found: SiteStability) -> dict[str, Any]:
    anchors, fixing = found.anchors, found.fixing
    return {
        "count": None if anchors is None else anchors.count,
        "places_m": [] if anchors is None else [list(place) for place in anchors.places],
        "level": found.level,
        "stated_tension_kn": None if fixing.tension is None else fixing.tension / KILO,
        "stated_shear_kn": None if fixing.shear is None else fixing.shear / KILO,
        "wind": _forces(found.wind_anchors),
        "seismic": _forces(found.seismic_anchors),
    }


def _forces(forces: Sequence[AnchorForce]) -> dict[str, Any] | None:
    if not forces:
        return None
    pulled = max(forces, key=lambda one: one.tension)
    sheared = max(forces, key=lambda one: one.shear)
    return {
        "tension_kn": pulled.tension / KILO,
        "tension_case": pulled.text,
        "shear_kn": sheared.shear / KILO,
        "shear_case": sheared.text,
        "lee_edge_kn": pulled.compression / KILO,
    }


def _references(found: SiteStability, unit: Unit, values: StabilityCriteria) -> list[dict[str, Any]]:
    standard = found.wind.standard
    wanted: tuple[Standard, ...] = ("en", "asce7-16") if standard is None else (standard,)
    return [_reference(found, one, unit, values) for one in wanted]


def _reference(
    found: SiteStability, standard: Standard, unit: Unit, values: StabilityCriteria
) -> dict[str, Any]:
    """Figures at a wind that stands for no site."""
    wind = reference_wind(standard, REFERENCE_SPEEDS[standard], REFERENCE_HEIGHT, unit, values)
    force, ballast, tension, shear = _figures(found.stand, wind, standard, unit.mass.feet_m, values)
    return {
        "at": (
            f"reference, no site: {wind.standard}, {wind.speed_text}, near the roof's edge; ballast at friction "
            f"{values.friction_reference:g}; one anchor a foot"
        ),
        "force_kn": force,
        "ballast_kg": ballast,
        "tension_kn": tension,
        "shear_kn": shear,
    }


@lru_cache(maxsize=64)
def _figures(
    stand: Stand,
    wind: Wind,
    standard: Standard,
    feet: tuple[tuple[float, float], ...],
    values: StabilityCriteria,
) -> tuple[float, float | None, float | None, float | None]:
    """Force [kN], ballast [kg], tension and shear of an anchor [kN]: many sites of a list share them."""
    anchors = anchoring(feet, None)
    pulling = pulled_by(standard, "wind", "design", values)
    forces = (
        [] if anchors is None else [anchor_force(pull, anchors) for pull in wind_pulls(stand, wind, pulling)]
    )
    return (
        _greatest_force(stand, wind),
        needed_ballast(stand, wind, judged_by(standard, values), values.friction_reference),
        _most(one.tension for one in forces),
        _most(one.shear for one in forces),
    )


def _greatest_force(stand: Stand, wind: Wind) -> float:
    return max(wind.force(face, stand.shadow(face)[0]) for face in FACES) / KILO


def _most(forces: Any) -> float | None:
    return max((force / KILO for force in forces), default=None)


def _ballast(mass: float | None) -> float | str:
    return "none is enough" if mass is None else mass
