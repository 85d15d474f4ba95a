"""Clearance: the distances that the maker asks for before intake, discharge and service side.

In: a site, the unit. Out: one result in metres, of the distance that is tightest, and the record behind it.

The list knows the free area and how many walls stand near, not which side they are on. Distances that the free area
leaves pass, unless the unit is closed in on all sides. Distances that it does not leave are a caution, never a
failure: what bounds a free area need not be a wall, and the air that walls send back is in the heat balance
already. A place within the fall protection distance of an edge, or one whose edge is not known, keeps a condition.
"""

from typing import Any

from edgecheck.checks.findings import Finding
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.space import FALL_PROTECTION_DISTANCE
from edgecheck.services.clearance import KINDS, MOST_WALLS, WALLS_SEEN, Distances, Left, left_free

CLEARANCE = Check(
    id="services.clearance",
    title="Distances to walls",
    sense="at least",
    unit="m",
    inputs=(("free_length_m", "free_width_m"),),
    has_true_zero=True,
    basis=(
        "The maker's distances on the free area, in either orientation (geometry): service in front, intake behind and "
        "at both ends, discharge on any side, since the unit file does not say which (engineering defaults). At "
        "most three sides closed in, fall protection within 2 m of an edge: common practice."
    ),
    confidence="engineering default",
)

_FREE = ("free_length_m", "free_width_m")
_WALLS, _EDGE, _PARAPET = "walls_within_3_m", "edge_distance_m", "parapet_height_m"


def clearance_check(site: Site, unit: Unit) -> CheckResult:
    """Judge the distances before intake, discharge and service side.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its tables [clearance] and [body] are read.

    Returns
    -------
    result : CheckResult
        "services.clearance" [m]: what the place leaves of the tightest distance, against what the maker asks for.
    """
    asked = {kind: getattr(unit.clearance, f"{kind}_m") for kind in KINDS}
    unstated = tuple(f"unit: clearance.{kind}_m" for kind in KINDS if asked[kind] is None)
    missing = tuple(key for key in (*_FREE, _WALLS) if site.number(key) is None)
    left = left_of(site, unit)
    walls = site.number(_WALLS)
    if left is None or walls is None:
        known = [value for value in asked.values() if value is not None]
        most = max(known, default=None)
        note = "What the place leaves is not known."
        if unstated:
            note = "The unit file does not state every distance."
        return outcome(
            CLEARANCE,
            "not assessed",
            limit=most,
            missing=(*unstated, *missing),
            note=f"{note} {_asked(asked)}",
        )
    finding = _finding(site, unit, left, int(walls))
    kind = left.tightest
    return outcome(
        CLEARANCE,
        finding.status,
        max(0.0, left.left.of(kind)),
        left.asked.of(kind),
        governed_by=f"{kind}, front along the {'width' if left.turned else 'length'} of the free area",
        missing=finding.missing,
        note=finding.text,
        condition=finding.conditions,
    )


def left_of(site: Site, unit: Unit) -> Left | None:
    """What the free area leaves of the maker's distances; None where either is not known."""
    stated = unit.clearance
    length, width = (site.number(key) for key in _FREE)
    if None in (stated.intake_m, stated.discharge_m, stated.service_m) or length is None or width is None:
        return None
    asked = Distances(
        intake=float(stated.intake_m or 0.0),
        discharge=float(stated.discharge_m or 0.0),
        service=float(stated.service_m or 0.0),
    )
    return left_free((unit.body.length_m, unit.body.depth_m), (length, width), asked)


def _finding(site: Site, unit: Unit, left: Left, walls: int) -> Finding:
    conditions = []
    if left.short:
        short = " and ".join(f"{left.asked.of(kind):g} m for the {kind}" for kind in left.short)
        text = f"The free area does not leave {short}."
        if left.short == ("discharge",):
            text = f"{text} It lies on a side that the unit file does not name."
        if walls:
            text = f"{text} {_walls(walls)} within {WALLS_SEEN:g} m."
            conditions.append(
                f"clearance: the maker agrees to less than {short}, or the unit stands elsewhere"
            )
        else:
            conditions.append(f"clearance: nothing as high as the unit stands nearer than {short}")
    else:
        text = f"The free area leaves every distance; {_walls(walls).lower()} within {WALLS_SEEN:g} m."
    if walls > MOST_WALLS:
        conditions.append(f"clearance: the maker agrees to more than {MOST_WALLS} sides closed in")
    edge = site.number(_EDGE)
    if edge is None:
        conditions.append(
            f"the place is {FALL_PROTECTION_DISTANCE:g} m or more from every edge, or has fall protection"
        )
    elif edge < FALL_PROTECTION_DISTANCE:
        conditions.append(f"fall protection, within {FALL_PROTECTION_DISTANCE:g} m of an edge")
    most = max(left.asked.of(kind) for kind in KINDS)
    if edge is not None and edge < most:
        parapet = site.number(_PARAPET)
        if parapet is None and not conditions:
            text = f"{text} The edge is {edge:g} m away, and its parapet is not known."
            return Finding("not assessed", text, missing=(_PARAPET,))
        if parapet is not None and parapet > unit.body.foot_height_m:
            conditions.append(
                f"clearance: intake and discharge do not face the parapet, {parapet:g} m high and {edge:g} m away"
            )
    return Finding("caution" if conditions else "pass", text, tuple(conditions))


def _walls(count: int) -> str:
    return (
        "No wall or screen"
        if count == 0
        else f"{count} {'wall or screen' if count == 1 else 'walls or screens'}"
    )


def _asked(asked: dict[str, float | None]) -> str:
    words = ", ".join(f"{kind} {value:g} m" for kind, value in asked.items() if value is not None)
    return f"The maker asks for: {words}." if words else "It states none."


def clearance_detail(site: Site, unit: Unit) -> dict[str, Any]:
    """Every number behind the check, for the report.

    Parameters
    ----------
    site, unit
        As in `clearance_check`.

    Returns
    -------
    detail : dict
        body_m, free_m, distances (kind, asked_m, left_m), turned, walls, edge_distance_m, parapet_height_m,
        fall_protection_distance_m; unknown values are None.
    """
    left = left_of(site, unit)
    return {
        "body_m": [unit.body.length_m, unit.body.depth_m],
        "free_m": [site.number(key) for key in _FREE],
        "distances": [
            {
                "kind": kind,
                "asked_m": getattr(unit.clearance, f"{kind}_m"),
                "left_m": None if left is None else left.left.of(kind),
            }
            for kind in KINDS
        ],
        "turned": None if left is None else left.turned,
        "walls": site.number(_WALLS),
        "edge_distance_m": site.number(_EDGE),
        "parapet_height_m": site.number(_PARAPET),
        "fall_protection_distance_m": FALL_PROTECTION_DISTANCE,
    }
