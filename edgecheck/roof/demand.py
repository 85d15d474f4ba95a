"""What the unit puts on a roof: weight, pressure, foot force, member load.

In: the unit, the density of its liquid, the spreader. Out: one record that checks, asks and pages read. [N,
m, Pa, kg] The roof sees the operating state, the spreader and the ballast.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from edgecheck.base.constants import GRAVITY
from edgecheck.inputs.unit import Unit
from edgecheck.roof.footing import PointDemand, point_demand
from edgecheck.roof.load import member_demand, pressure, spreader_side
from edgecheck.roof.mass import MassState, mass_states
from edgecheck.roof.spreader import Spreader


@dataclass(frozen=True)
class RoofDemand:
    """What the unit puts on a roof.

    Parameters
    ----------
    states : mapping of str to MassState
        Mass build-up of every state.
    spreader : Spreader
        As stated by the site.
    ballast : float
        Fixed to the unit, in the operating state. [kg]
    mass : float
        Operating with ballast, and the spreader. [kg]
    plan : tuple of float
        Plan over which the weight is taken as uniform. [m]
    body : tuple of float
        Plan of the box. [m]
    base : tuple of float
        Distance between the outer feet, along the front and back. [m]
    footprint : tuple of float
        Distance between the outer edges of the foot plates, along the front and back; the greater of them is
        the least side of a square spreader. [m]
    point : PointDemand
        Greatest force of one foot; the spreader's weight is counted as if it went through the feet. [N]
    """

    states: Mapping[str, MassState]
    spreader: Spreader
    ballast: float
    mass: float
    plan: tuple[float, float]
    body: tuple[float, float]
    base: tuple[float, float]
    footprint: tuple[float, float]
    point: PointDemand

    @property
    def operating(self) -> MassState:
        """The unit as it runs, with its ballast, without the spreader."""
        return self.states["operating"]

    @property
    def weight(self) -> float:
        """Weight of the operating unit with the spreader, in N."""
        return self.mass * GRAVITY

    @property
    def area(self) -> float:
        """Area of `plan`, in m2."""
        return self.plan[0] * self.plan[1]

    @property
    def patch(self) -> float:
        """Weight over the plan, in Pa."""
        return pressure(self.weight, self.area)

    @property
    def lid(self) -> float:
        """Plan area of the box on which snow lies, in m2."""
        return self.body[0] * self.body[1]

    @property
    def reach(self) -> float:
        """How far a stated rigid frame reaches beyond the outer edges of the foot plates, in m; 0 without one."""
        rigid = self.spreader.rigid_plan
        if rigid is None:
            return 0.0
        return max((long - own) / 2.0 for long, own in zip(rigid, self.footprint, strict=True))

    def without_rigidity(self) -> "RoofDemand":
        """The same with a spreader of which only the mass is credited."""
        loose = replace(self.spreader, kind="board")
        return replace(self, spreader=loose, plan=loose.bearing_plan(self.body))

    def patch_with(self, extra: float) -> float:
        """Weight and a further load [N] over the plan, in Pa."""
        return pressure(self.weight + extra, self.area)

    def member(self, span: float, spacing: float, extra: float = 0.0) -> float:
        """Uniform load that strains a roof member as much, in the worse orientation.

        Parameters
        ----------
        span, spacing : float
            Of the roof's members, positive. [m]
        extra : float
            Further load on the unit. [N]

        Returns
        -------
        equivalent : float
            [Pa]
        """
        return member_demand(self.weight + extra, span, spacing, self.spreader.rigid_plan, self.base)

    def spreader_for(self, limit: float, extra: float = 0.0) -> float | None:
        """Side of the square rigid frame under which the unit meets a limit, instead of any spreader stated.

        Parameters
        ----------
        limit : float
            [Pa]
        extra : float
            Further load on the unit. [N]

        Returns
        -------
        side : float or None
            [m]
        """
        return spreader_side(limit, self.operating.mass * GRAVITY + extra, max(self.footprint))


def roof_demand(unit: Unit, liquid_density: float, spreader: Spreader, ballast: float = 0.0) -> RoofDemand:
    """Work out what the unit puts on a roof.

    Parameters
    ----------
    unit : Unit
        Its tables [body], [mass] and [liquid] are read.
    liquid_density : float
        At filling temperature, 20 degC. [kg/m3]
    spreader : Spreader
        `NO_SPREADER` where the site states none.
    ballast : float
        Fixed to the unit, not negative. [kg]

    Returns
    -------
    demand : RoofDemand

    Raises
    ------
    ValueError
        Fewer than three feet, feet in one line, or a density that is not positive.
    """
    states = mass_states(unit, liquid_density, ballast)
    operating = states["operating"]
    mass = operating.mass + spreader.mass
    feet = unit.mass.feet_m
    base = tuple(max(foot[axis] for foot in feet) - min(foot[axis] for foot in feet) for axis in (0, 1))
    plate = unit.mass.foot_plate_m
    centre = operating.centre_of_gravity
    return RoofDemand(
        states=states,
        spreader=spreader,
        ballast=ballast,
        mass=mass,
        plan=spreader.bearing_plan((unit.body.length_m, unit.body.depth_m)),
        body=(unit.body.length_m, unit.body.depth_m),
        base=(base[0], base[1]),
        footprint=(base[0] + plate[0], base[1] + plate[1]),
        point=point_demand(feet, mass * GRAVITY, (centre[0], centre[1]), operating.tolerance),
    )
