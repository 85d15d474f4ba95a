"""Pressure under the unit on roof covering and insulation, for years and for a while.

In: the unit, what it puts on the roof, the load of a person. Out: every case with its pressure, the greatest
lasting and the greatest passing one. [N, m, Pa]

Lasting: the unit in operation with its spreader, all feet in contact, the centre of gravity anywhere in its
tolerance; soft layers settle until every foot bears (engineering default). Passing: one foot free until they
have settled, or a person on the worst foot or corner (EN 1991-1-1 table 6.10: 1.0 kN; ASCE 7 table 4.3-1:
1.33 kN), who never comes together with other loads. Wind and snow are not in it.

A rigid frame presses with its whole plan, without tension; it is taken to lie in the middle under the box. Slab,
board and bare feet press where `contact_areas` says; the spreader's own weight is counted through the feet.
"""

from dataclasses import dataclass

from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.contact import contact_areas
from edgecheck.roof.demand import RoofDemand
from edgecheck.roof.load import spreader_side
from edgecheck.roof.plate import plate_pressure

PERSON_EN = 1000.0  # N, EN 1991-1-1 table 6.10, category H (from memory)
PERSON_ASCE = 1330.0  # N (300 lbf), ASCE 7 table 4.3-1, roofs subject to maintenance workers


@dataclass(frozen=True)
class BearingCase:
    """One way of pressing: what is assumed, whether it lasts, the force that presses [N] and the pressure [Pa]."""

    text: str
    lasting: bool
    force: float
    pressure: float


@dataclass(frozen=True)
class Bearing:
    """Pressure under the unit.

    Parameters
    ----------
    how : str
        What presses on the roof.
    cases : tuple of BearingCase
        Empty where the unit tips over by its own data.
    least_gap : float
        Least distance between two feet along the front or back, the greatest side of square pads. [m]
    """

    how: str
    cases: tuple[BearingCase, ...]
    least_gap: float

    @property
    def lasting(self) -> BearingCase | None:
        """Case with the greatest lasting pressure."""
        return max((one for one in self.cases if one.lasting), key=lambda one: one.pressure, default=None)

    @property
    def passing(self) -> BearingCase | None:
        """Case with the greatest passing pressure."""
        return max((one for one in self.cases if not one.lasting), key=lambda one: one.pressure, default=None)

    def pad_side(self, lasting_limit: float, passing_limit: float) -> float | None:
        """Side of the square rigid pad that every foot would need.

        Parameters
        ----------
        lasting_limit, passing_limit : float
            [Pa]

        Returns
        -------
        side : float or None
            With the pad's own 25 kg/m2; None where no pad is light enough or pads would overlap. [m]
        """
        sides = []
        for case, limit in ((self.lasting, lasting_limit), (self.passing, passing_limit)):
            side = None if case is None else spreader_side(limit, case.force)
            if side is None:
                return None
            sides.append(side)
        return max(sides) if max(sides) <= self.least_gap else None


def bearing(unit: Unit, demand: RoofDemand, person: float, thickness: float | None) -> Bearing:
    """Pressure under the unit with what lies under its feet.

    Parameters
    ----------
    unit : Unit
        Its tables [body] and [mass] are read.
    demand : RoofDemand
        What it puts on the roof; its spreader decides how the feet press.
    person : float
        Weight of a person. [N]
    thickness : float, optional
        Of a slab; None counts as 0. [m]

    Returns
    -------
    bearing : Bearing
    """
    feet = unit.mass.feet_m
    gap = min(
        max(abs(one[0] - other[0]), abs(one[1] - other[1]))
        for number, one in enumerate(feet)
        for other in feet[:number]
    )
    spreader = demand.spreader
    if spreader.rigid_plan is not None:
        plan = spreader.rigid_plan
        how = f"rigid frame, {plan[0]:.2f} x {plan[1]:.2f} m"
        return Bearing(how, _frame_cases(unit, demand, plan, person), gap)
    plate = unit.mass.foot_plate_m
    grown = (thickness or 0.0) if spreader.kind == "slab" else 0.0
    under = None
    if spreader.plan is not None:
        left = (unit.body.length_m - spreader.plan[0]) / 2.0
        front = (unit.body.depth_m - spreader.plan[1]) / 2.0
        under = (left, front, left + spreader.plan[0], front + spreader.plan[1])
    areas = contact_areas(feet, plate, grown, under)
    how = f"foot plates of {plate[0] * 1000:.0f} x {plate[1] * 1000:.0f} mm"
    if grown > 0.0:
        how += f", spread through {grown * 1000:.0f} mm of slab"
    elif spreader.stated:
        how += " through a board that bends" if spreader.kind == "board" else ", nothing credited between"
    return Bearing(how, _foot_cases(demand, areas, person), gap)


def site_bearing(site: Site, unit: Unit, demand: RoofDemand, person: float) -> Bearing:
    """Pressure under the unit at a site.

    Parameters
    ----------
    site : Site
        A row of the site list: its spreader's thickness is read.
    unit : Unit
        The unit.
    demand : RoofDemand
        What it puts on the roof.
    person : float
        Weight of a person. [N]

    Returns
    -------
    bearing : Bearing
    """
    thickness = site.number("spreader_thickness_mm")
    return bearing(unit, demand, person, None if thickness is None else thickness / 1000.0)


def persons(site: Site) -> tuple[float, ...]:
    """Weight of a person by the site's standard, in N; both where the standard is not known, heavier last."""
    standard = site.text("load_standard")
    if standard is None:
        return PERSON_EN, PERSON_ASCE
    return (PERSON_EN,) if standard == "en" else (PERSON_ASCE,)


def _foot_cases(demand: RoofDemand, areas: tuple[float, ...], person: float) -> tuple[BearingCase, ...]:
    if demand.point.value is None:
        return ()
    cases: list[BearingCase] = []
    for case in demand.point.cases:
        if not case.reactions:
            if case.greatest is not None:
                cases.append(BearingCase(case.text, False, case.greatest, case.greatest / min(areas)))
            continue
        pressures = [force / area for force, area in zip(case.reactions, areas, strict=True)]
        worst = pressures.index(max(pressures))
        lasting = case.unsupported is None
        cases.append(BearingCase(case.text, lasting, case.reactions[worst], pressures[worst]))
        if lasting:
            with_person = [(force + person) / area for force, area in zip(case.reactions, areas, strict=True)]
            worst = with_person.index(max(with_person))
            text = f"{case.text}, a person of {person / 1000:.2f} kN over foot {worst + 1}"
            cases.append(BearingCase(text, False, case.reactions[worst] + person, with_person[worst]))
    return tuple(cases)


def _frame_cases(
    unit: Unit, demand: RoofDemand, plan: tuple[float, float], person: float
) -> tuple[BearingCase, ...]:
    """Frame in the middle under the box; the tolerance of the centre of gravity on the unfavourable side."""
    operating = demand.operating
    share = operating.mass / demand.mass
    middle = (unit.body.length_m / 2.0, unit.body.depth_m / 2.0)
    off = [
        share * (abs(centre - half) + operating.tolerance)
        for centre, half in zip(operating.centre_of_gravity, middle, strict=False)
    ]
    force = demand.weight + person
    moved = [(demand.weight * one + person * side / 2.0) / force for one, side in zip(off, plan, strict=True)]
    alone = plate_pressure(demand.weight, plan, (off[0], off[1]))
    beside = plate_pressure(force, plan, (moved[0], moved[1]))
    if alone is None or beside is None:
        return ()
    text = f"whole weight {off[0] * 1000:.0f} and {off[1] * 1000:.0f} mm off the middle of the frame"
    return (
        BearingCase(text, True, demand.weight, alone),
        BearingCase(
            f"the same with a person of {person / 1000:.2f} kN on the corner of the frame",
            False,
            force,
            beside,
        ),
    )
