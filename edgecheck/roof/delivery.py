"""Ways of bringing the unit onto the roof.

In: a row of the site list, the unit. Out: every way with its steps, each yes, no or unknown. [kg, m, N]

What is moved is the heaviest part where the unit's file states one, else the whole unit, drained and without
servers. The file states no sizes of parts: a part is taken as large as the box, for the tank is one piece
(engineering default). Lift, doors and stairs: the shorter side and the height need 50 mm of play; the lift carries
the part, a trolley of 40 kg and two persons of 75 kg (EN 81-20 counts 75 kg a person). On the roof a pallet truck
of 60 kg stands on four wheels, the load on one of them times 1.5 for unevenness. Play, trolley, truck and factor
are engineering defaults. Landings, turns, slings and the lifting plan are not looked at.
"""

from dataclasses import dataclass

from edgecheck.base.constants import GRAVITY
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.lifts import stands_on
from edgecheck.roof.reserve import KILO

TROLLEY = 40.0  # kg
PERSON = 75.0  # kg
COMPANY = TROLLEY + 2.0 * PERSON  # kg, beside the part in the lift
PLAY = 0.05  # m
TRUCK = 60.0  # kg
WHEEL_FACTOR = 1.5

ONE_PERSON = 25.0  # kg close to the body, HSE INDG143 and L23 (from memory)
TEAM_SHARES = {1: 1.0, 2: 2.0 / 3.0, 3: 1.0 / 2.0}  # of the sum of the persons' guidelines, HSE L23

_LIFT_KEYS = (
    "lift_rated_kg", "lift_car_width_m", "lift_car_depth_m", "lift_door_width_m", "lift_door_height_m",
)  # fmt: skip


@dataclass(frozen=True)
class Package:
    """What is moved in one piece: its name, mass [kg], plan and height [m]."""

    name: str
    mass: float
    plan: tuple[float, float]
    height: float

    @property
    def width(self) -> float:
        """Shorter side of the plan with play, in m."""
        return min(self.plan) + PLAY


@dataclass(frozen=True)
class Step:
    """One thing that must be possible: yes, no, or unknown for want of the keys named."""

    name: str
    possible: bool | None
    text: str
    missing: tuple[str, ...] = ()


@dataclass(frozen=True)
class Way:
    """One way onto the roof.

    Parameters
    ----------
    name : str
        In words.
    steps : tuple of Step
        All must be possible.
    aids : tuple of str
        Help without which it does not work, known to be needed.
    aids_unknown : tuple of str
        Keys without which it is not known whether help is needed.
    """

    name: str
    steps: tuple[Step, ...]
    aids: tuple[str, ...] = ()
    aids_unknown: tuple[str, ...] = ()

    @property
    def possible(self) -> bool | None:
        """Whether it works, with help where needed."""
        found = [step.possible for step in self.steps]
        return False if False in found else None if None in found else True

    @property
    def clean(self) -> bool | None:
        """Whether it works without help."""
        if self.possible is False or self.aids:
            return False
        return None if self.aids_unknown else self.possible

    @property
    def missing(self) -> tuple[str, ...]:
        """Keys that would settle the steps and the help."""
        steps = (key for step in self.steps if step.possible is None for key in step.missing)
        return tuple(dict.fromkeys((*steps, *self.aids_unknown)))


def package(unit: Unit) -> Package:
    """What is moved in one piece.

    Parameters
    ----------
    unit : Unit
        Its tables [body] and [mass] are read.

    Returns
    -------
    package : Package
    """
    body = unit.body
    part = unit.mass.heaviest_part_kg
    if part is not None and part < unit.mass.dry_kg:
        name, mass = "heaviest part (unit: mass.heaviest_part_kg)", part
    else:
        name, mass = "whole unit, drained, without servers (unit: mass.dry_kg)", unit.mass.dry_kg
    return Package(name, mass, (body.length_m, body.depth_m), body.foot_height_m + body.height_m)


def team_guideline(persons: int) -> float:
    """Mass that a team may lift under good conditions.

    Parameters
    ----------
    persons : int
        1, 2 or 3; a larger team finds no grip on a box of this size.

    Returns
    -------
    mass : float
        [kg]
    """
    return TEAM_SHARES[persons] * persons * ONE_PERSON


def greatest_by_hand() -> float:
    """Greatest mass that any team may lift, in kg."""
    return max(team_guideline(persons) for persons in TEAM_SHARES)


def wheel_load(mass: float) -> float:
    """Load of one wheel of the pallet truck, in N, for the mass it carries in kg."""
    return (mass + TRUCK) / 4.0 * WHEEL_FACTOR * GRAVITY


def ways_up(site: Site, moved: Package) -> tuple[Way, ...]:
    """Ways onto the roof.

    Parameters
    ----------
    site : Site
        A row of the site list.
    moved : Package
        What is moved.

    Returns
    -------
    ways : tuple of Way
        By crane; by lift to the roof; by lift and through the hatch; up the stairs.
    """
    lift, stairs, hatch, door = (one(site, moved) for one in (_lift, _stairs, _hatch, _door))
    boards, unknown = _boards(site, moved)
    return (
        Way("crane beside the building", (_crane(site),)),
        Way("lift to the roof", (lift, _to_roof(site), door), boards, unknown),
        Way("lift, then through the hatch", (lift, hatch, door), ("hoist over the hatch", *boards), unknown),
        Way("up the stairs", (stairs, door), (*_climber(moved), *boards), unknown),
    )


def _crane(site: Site) -> Step:
    said = site.text("crane_access")
    if said is None:
        return Step("crane", None, "not known whether a crane can reach the place", ("crane_access",))
    return Step("crane", said == "yes", f"crane_access: {said}")


def _to_roof(site: Site) -> Step:
    said = site.text("lift_to_roof")
    if said is None:
        return Step("stop at the roof", None, "not known whether the lift stops there", ("lift_to_roof",))
    return Step("stop at the roof", said == "yes", f"lift_to_roof: {said}")


def _lift(site: Site, moved: Package) -> Step:
    absent = [key for key in _LIFT_KEYS if site.known(key) and site.number(key) is None]
    if absent:
        return Step("lift", False, f"there is none ({absent[0]}: none)")
    rated, width, depth, door, height = (site.number(key) for key in _LIFT_KEYS)
    load = moved.mass + COMPANY
    if rated is not None and load > rated:
        return Step("lift", False, f"{moved.mass:.0f} kg with trolley and two persons exceed {rated:g} kg")
    if door is not None and moved.width > door:
        return Step("lift", False, f"{moved.width:.2f} m do not pass the door of {door:g} m")
    if height is not None and moved.height + PLAY > height:
        return Step("lift", False, f"{moved.height + PLAY:.2f} m do not pass the door {height:g} m high")
    sides = [side for side in (width, depth) if side is not None]
    narrow = any(min(moved.plan) > side for side in sides)
    if narrow or (len(sides) == 2 and not stands_on(moved.plan, (sides[0], sides[1]))):
        floor = " x ".join(f"{side:g}" for side in sides)
        plan = f"{moved.plan[0]:g} x {moved.plan[1]:g} m"
        return Step("lift", False, f"{plan} do not stand in the car of {floor} m")
    unknown = tuple(key for key in _LIFT_KEYS if not site.known(key))
    if unknown:
        return Step("lift", None, f"not known: {', '.join(unknown)}", unknown)
    return Step("lift", True, f"{load:.0f} kg with trolley and two persons within {rated:g} kg, and it fits")


def _opening(site: Site, key: str, name: str, moved: Package) -> Step:
    wide = site.number(key)
    if wide is None:
        return Step(name, None, f"not known: {key}", (key,))
    fits = moved.width <= wide
    return Step(name, fits, f"{moved.width:.2f} m {'pass' if fits else 'do not pass'} {wide:g} m")


def _door(site: Site, moved: Package) -> Step:
    if site.known("door_width_m") and site.number("door_width_m") is None:
        return Step("doors", True, "no door on the way (door_width_m: none)")
    return _opening(site, "door_width_m", "doors", moved)


def _stairs(site: Site, moved: Package) -> Step:
    if site.known("stair_width_m") and site.number("stair_width_m") is None:
        return Step("stairs", False, "there are none (stair_width_m: none)")
    return _opening(site, "stair_width_m", "stairs", moved)


def _hatch(site: Site, moved: Package) -> Step:
    keys = ("hatch_length_m", "hatch_width_m")
    absent = [key for key in keys if site.known(key) and site.number(key) is None]
    if absent:
        return Step("hatch", False, f"there is none ({absent[0]}: none)")
    sides = [site.number(key) for key in keys]
    need = (moved.plan[0] + PLAY, moved.plan[1] + PLAY)
    known = [side for side in sides if side is not None]
    if any(min(need) > side for side in known) or (
        len(known) == 2 and not stands_on(need, (known[0], known[1]))
    ):
        hole = " x ".join(f"{side:g}" for side in known)
        return Step("hatch", False, f"{need[0]:.2f} x {need[1]:.2f} m do not pass the hatch of {hole} m")
    unknown = tuple(key for key, side in zip(keys, sides, strict=True) if side is None)
    if unknown:
        return Step("hatch", None, f"not known: {', '.join(unknown)}", unknown)
    return Step("hatch", True, f"{need[0]:.2f} x {need[1]:.2f} m pass the hatch")


def _climber(moved: Package) -> tuple[str, ...]:
    if moved.mass <= greatest_by_hand():
        return ()
    return (f"powered stair climber or tackle for {moved.mass:.0f} kg",)


def _boards(site: Site, moved: Package) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Boards on the roof, where a wheel of the pallet truck is too heavy; keys where that is not known."""
    reserve = site.number("roof_reserve_point_kn")
    if reserve is None:
        return (), ("roof_reserve_point_kn",)
    load = wheel_load(moved.mass) / KILO
    if load <= reserve:
        return (), ()
    text = f"boards on the roof under the pallet truck ({load:.2f} kN a wheel against {reserve:g} kN)"
    return (text,), ()
