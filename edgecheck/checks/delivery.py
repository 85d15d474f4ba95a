"""Delivery: whether what must be moved in one piece finds a way onto the roof, and whether hands can lift it.

In: a site, the unit. Out: two results in kg.

Passes where a way is known that works without help; is a caution where every way that works needs help; fails
where every way is known not to work. A way that is not known leaves the check not assessed as long as it could
still be the better one; what is known then stands in the note.
"""

from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.delivery import (
    COMPANY,
    TEAM_SHARES,
    Way,
    greatest_by_hand,
    package,
    team_guideline,
    ways_up,
)

ROUTE = Check(
    id="delivery.route",
    title="Heaviest part along one way up",
    sense="at most",
    unit="kg",
    inputs=(
        ("crane_access",),
        (
            "lift_rated_kg", "lift_car_width_m", "lift_car_depth_m", "lift_door_width_m", "lift_door_height_m",
            "lift_to_roof", "door_width_m", "roof_reserve_point_kn",
        ),
        ("stair_width_m", "door_width_m", "roof_reserve_point_kn"),
    ),
    basis=(
        "Rated load with trolley of 40 kg and two persons of 75 kg (EN 81-20: 75 kg a person); the plan in the "
        "car by Carver's condition; 50 mm of play, parts as large as the box, pallet truck of 60 kg on four "
        "wheels times 1.5: engineering defaults. Turns, landings, slings and the lifting plan are not checked."
    ),
    confidence="engineering default",
)  # fmt: skip
LIFTING = Check(
    id="delivery.lifting",
    title="Mass in one piece by hand",
    sense="at most",
    unit="kg",
    has_true_zero=True,
    at_worst="caution",
    of_unit=True,
    basis=(
        "HSE L23 and INDG143 guideline: 25 kg a person close to the body; teams of two 2/3 and of three 1/2 of "
        "the sum (from memory)."
    ),
    confidence="memory",
)
DELIVERY_CHECKS: tuple[Check, ...] = (ROUTE, LIFTING)


def delivery_checks(site: Site, unit: Unit) -> tuple[CheckResult, CheckResult]:
    """Check the way onto the roof and the mass in one piece.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its tables [body] and [mass] are read.

    Returns
    -------
    results : tuple of CheckResult
        "delivery.route" and "delivery.lifting" [kg].
    """
    return _route(site, unit), _lifting(unit)


def _route(site: Site, unit: Unit) -> CheckResult:
    moved = package(unit)
    ways = ways_up(site, moved)
    rated = site.number("lift_rated_kg")
    room = None if rated is None else rated - COMPANY
    clean = next((way for way in ways if way.clean), None)
    if clean is not None:
        limit = room if clean.steps[0].name == "lift" else None
        note = f"{moved.name}: {clean.name}. {_grounds(clean)}"
        return outcome(ROUTE, "pass", moved.mass, limit, governed_by=clean.name, note=note)
    helped = next((way for way in ways if way.possible), None)
    better = [way for way in ways if way.clean is None]
    unknown = better if helped is not None else [way for way in ways if way.possible is None]
    if unknown:
        missing = tuple(dict.fromkeys(key for way in unknown for key in way.missing))
        known = "no way is known yet"
        if helped is not None:
            known = f"{helped.name} works with {' and '.join(_aids(helped))}; a better way may be open"
        return outcome(ROUTE, "not assessed", moved.mass, missing=missing, note=f"{moved.name}: {known}.")
    if helped is not None:
        limit = room if helped.steps[0].name == "lift" else None
        aids = " and ".join(helped.aids)
        note = f"{moved.name}: {helped.name}, with {aids}. {_grounds(helped)}"
        return outcome(
            ROUTE, "caution", moved.mass, limit, governed_by=helped.name, note=note,
            condition=f"delivery: {aids}",
        )  # fmt: skip
    reasons = dict.fromkeys(
        f"{step.name}: {step.text}" for way in ways for step in way.steps if step.possible is False
    )
    too_heavy = room if room is not None and moved.mass > room else None
    note = f"{moved.name} finds no way up. {'; '.join(reasons)}."
    return outcome(
        ROUTE, "fail", moved.mass, too_heavy, governed_by="every way is known not to work", note=note
    )


def _aids(way: Way) -> tuple[str, ...]:
    return way.aids or ("a pallet truck on the roof, if its point reserve allows",)


def _grounds(way: Way) -> str:
    return "; ".join(f"{step.name}: {step.text}" for step in way.steps) + "."


def _lifting(unit: Unit) -> CheckResult:
    moved = package(unit)
    most = greatest_by_hand()
    teams = ", ".join(f"{persons}: {team_guideline(persons):.1f} kg" for persons in TEAM_SHARES)
    governs = f"{moved.name}; persons and what they may lift {teams}"
    if LIFTING.spare(moved.mass, most) >= 0.0:
        return outcome(LIFTING, "pass", moved.mass, most, governed_by=governs)
    note = "No team lifts it by hand within the guideline: a mechanical aid does."
    return outcome(
        LIFTING, "caution", moved.mass, most, governed_by=governs, note=note,
        condition="a mechanical aid (trolley, stair climber, hoist, crane) moves the unit",
    )  # fmt: skip
