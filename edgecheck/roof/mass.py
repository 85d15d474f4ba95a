"""Mass of the unit, line by line, in the states that a roof sees.

In: the unit and the density of its liquid at filling temperature. Out: three states, each with its lines, its
mass and its centre of gravity. [kg, m]

Centres of gravity are the unit file's. Where it states no drained one, its reader raises the operating one
by 20 % of the box's height (engineering default: the liquid lies low, so the rest lies higher) and records
that; the state then carries the reason. The file does not say whether servers are in when it is drained:
the same point is used with and without them.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from edgecheck.base.kept import kept
from edgecheck.inputs.unit import Unit

LITRE = 1e-3  # m3
WATER_DENSITY = 1000.0  # kg/m3, rain

STATES = ("drained without servers", "drained", "operating")


@dataclass(frozen=True)
class MassLine:
    """One line of the mass build-up.

    Parameters
    ----------
    name : str
        What it is.
    mass : float
        [kg]
    source : str
        Keys of the unit file or the site list, or the assumption, it comes from.
    """

    name: str
    mass: float
    source: str


@dataclass(frozen=True)
class MassState:
    """The unit in one state.

    Parameters
    ----------
    name : str
        One of `STATES`.
    lines : tuple of MassLine
        The build-up.
    mass : float
        Sum of the lines. [kg]
    centre_of_gravity : tuple of float
        Along the front, back and up from the front left corner at foot level. [m]
    tolerance : float
        How far the centre of gravity may lie from there along each axis. [m]
    centre_source, tolerance_source : str
        Key of the unit file, or the reason of the default that stands in for it.
    """

    name: str
    lines: tuple[MassLine, ...]
    mass: float
    centre_of_gravity: tuple[float, float, float]
    tolerance: float
    centre_source: str
    tolerance_source: str


def mass_states(unit: Unit, liquid_density: float, ballast: float = 0.0) -> Mapping[str, MassState]:
    """Mass build-up of the unit in every state.

    Parameters
    ----------
    unit : Unit
        Its tables [body], [mass] and [liquid] are read.
    liquid_density : float
        At filling temperature, 20 degC. [kg/m3]
    ballast : float
        Fixed to the operating unit, centre of gravity where it was. [kg]

    Returns
    -------
    states : mapping of str to MassState
        "drained without servers" (as it is lifted), "drained" and "operating" (with servers and liquid, and
        with a full tray of rain water where the tray is open to the rain; a leak moves liquid and adds no
        mass).

    Raises
    ------
    ValueError
        A density that is not positive and finite.
    """
    return _build_up(unit, liquid_density, ballast) if ballast else _without_ballast(unit, liquid_density)


@kept
def _without_ballast(unit: Unit, liquid_density: float) -> Mapping[str, MassState]:
    """All sites of a unit share it."""
    return _build_up(unit, liquid_density, 0.0)


def _build_up(unit: Unit, liquid_density: float, ballast: float) -> Mapping[str, MassState]:
    if not 0.0 < liquid_density < float("inf"):
        raise ValueError(f"density of the liquid must be positive and finite, not {liquid_density}")
    box = MassLine("box with cooling section and pumps", unit.mass.dry_kg, "unit: mass.dry_kg")
    servers = MassLine("servers", unit.mass.servers_kg, "unit: mass.servers_kg")
    volume = unit.liquid.volume_litre
    liquid = MassLine(
        "liquid",
        volume * LITRE * liquid_density,
        f"unit: liquid.volume_litre, {liquid_density:.0f} kg/m3 at 20 degC",
    )
    drained = _point(unit.mass.centre_of_gravity_drained_m)
    drained_source = f"{_source(unit, 'centre_of_gravity_drained_m')}, with and without servers"
    operating = _point(unit.mass.centre_of_gravity_m)
    operating_source = "unit: mass.centre_of_gravity_m"
    lines: tuple[MassLine, ...] = (box, servers, liquid)
    if ballast:
        lines = (*lines, MassLine("ballast fixed to the unit", ballast, "site: ballast_kg"))
    if unit.mass.tray == "open" and unit.mass.tray_litre:
        rain = MassLine(
            "rain water, open tray full",
            unit.mass.tray_litre * LITRE * WATER_DENSITY,
            "unit: mass.tray_litre, mass.tray = open",
        )
        base = sum(line.mass for line in lines)
        tray = (unit.body.length_m / 2.0, unit.body.depth_m / 2.0, unit.body.foot_height_m)
        total = base + rain.mass
        along, back, up = (
            (base * own + rain.mass * water) / total for own, water in zip(operating, tray, strict=True)
        )
        operating = (along, back, up)
        operating_source += ", with the rain water in the middle of the plan at the underside of the box"
        lines = (*lines, rain)
    return {
        "drained without servers": _state("drained without servers", (box,), drained, drained_source, unit),
        "drained": _state("drained", (box, servers), drained, drained_source, unit),
        "operating": _state("operating", lines, operating, operating_source, unit),
    }


def _state(
    name: str, lines: tuple[MassLine, ...], centre: tuple[float, float, float], source: str, unit: Unit
) -> MassState:
    mass = float(sum(line.mass for line in lines))
    tolerance_source = _source(unit, "cg_tolerance_m")
    return MassState(name, lines, mass, centre, unit.mass.cg_tolerance_m, source, tolerance_source)


def _source(unit: Unit, key: str) -> str:
    for used in unit.defaults_used:
        if used.key == f"mass.{key}":
            return used.reason
    return f"unit: mass.{key}"


def _point(values: tuple[float, ...]) -> tuple[float, float, float]:
    along, back, up = (float(value) for value in values)
    return along, back, up
