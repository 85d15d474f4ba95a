"""The unit file's tables other than [cooling], and the unit made of them.

Attribute names are the keys of the file, with their units: m, kg, degC, kW unless the key says otherwise.
"""

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from edgecheck.base.notes import Note
from edgecheck.base.viscosity import THINNEST
from edgecheck.inputs.cooling import Cooling
from edgecheck.inputs.quantities import (
    LARGEST,
    Celsius,
    NotNegative,
    Number,
    Positive,
    PositiveOrList,
    Record,
    Share,
    SlowGrowth,
    Text,
    default,
    key,
)
from edgecheck.inputs.toml_source import SourceFile

Point = tuple[Number, Number]
Position = tuple[Number, Number, Number]
Viscous = Annotated[float, Field(strict=True, ge=THINNEST, le=LARGEST)]


class Body(Record):
    """The box."""

    length_m: Positive = key("length along the front, m")
    depth_m: Positive = key("depth, m")
    height_m: Positive = key("height of the top above the feet's ground, m")
    foot_height_m: NotNegative = key("height of the feet, m")
    solar_absorptance: Share = key("share of sunlight that the aged surface absorbs")
    emissivity: Share = default(0.90, "engineering default: paints of any colour", "longwave emissivity")
    wall_resistance_m2k_w: NotNegative = key("walls: shell and insulation, without surface films, m2K/W")
    lid_resistance_m2k_w: NotNegative = key("lid: shell and insulation, without surface films, m2K/W")
    floor_resistance_m2k_w: NotNegative = key("floor: shell and insulation, without surface films, m2K/W")
    inner_film_w_m2k: Positive = default(
        60.0,
        "engineering default: slow oil along a wall",
        "film coefficient from liquid to wall, W/m2K",
    )


class Mass(Record):
    """Mass, centre of gravity, feet; positions from the front left corner at foot level: along, back, up."""

    dry_kg: Positive = key("box, cooling section and pumps, without servers and liquid, kg")
    servers_kg: NotNegative = key("servers, kg")
    tray_litre: NotNegative | None = default(None, "", "containment inside the unit, litre")
    tray: Literal["integral", "open", "unknown"] = default(
        "unknown",
        "engineering default: no rain is added to a tray that is not said to be open",
        "whether the tray is roofed (integral) or collects rain (open)",
    )
    tray_area_m2: Positive | None = default(
        None, "", "plan of an open tray, m2; that of the box where it is not given"
    )
    centre_of_gravity_m: Position = key("centre of gravity when operating, m")
    centre_of_gravity_drained_m: Position = key("centre of gravity when drained, m")
    cg_tolerance_m: NotNegative = default(
        0.05,
        "engineering default: what a weighing on four feet can tell",
        "tolerance of the centre of gravity in every direction, m",
    )
    feet_m: tuple[Point, ...] = key("position of every foot, m", min_length=3)
    foot_plate_m: tuple[Positive, Positive] = key("plate under a foot, along and back, m")
    mounting: Literal["rigid", "rubber", "spring"] | None = default(
        None, "", "how the unit stands on its feet"
    )
    isolator_deflection_mm: Positive | None = default(
        None, "", "how far the isolators sink under the operating unit, mm"
    )
    lowest_rotating_hz: Positive | None = default(
        None, "", "lowest frequency of a compressor or fan that turns, Hz"
    )
    heaviest_part_kg: Positive | None = default(None, "", "heaviest part when carried up in parts, kg")


class LiquidProperties(Record):
    """A liquid that the built-in library does not have: one value of each property, or a list over temperature_c."""

    density_kg_m3: PositiveOrList = key("density at reference_c, kg/m3")
    heat_capacity_j_kg_k: PositiveOrList = key("specific heat at reference_c, J/kgK")
    reference_c: Celsius = default(
        20.0, "data sheets usually give values at 20 degC", "temperature of the values"
    )
    temperature_c: tuple[Celsius, ...] | None = default(
        None, "", "temperatures of the properties that are given as lists, degC", min_length=2
    )
    expansion_per_k: NotNegative | None = default(None, "", "thermal expansion, 1/K")
    conductivity_w_m_k: PositiveOrList | None = default(None, "", "thermal conductivity, W/mK")
    viscosity_mm2_s: tuple[Viscous, ...] | None = default(
        None, "", "kinematic viscosity over temperature_c, mm2/s"
    )
    viscosity_40_mm2_s: Viscous | None = default(None, "", "kinematic viscosity at 40 degC, mm2/s")
    viscosity_100_mm2_s: Viscous | None = default(None, "", "kinematic viscosity at 100 degC, mm2/s")
    pour_point_c: Celsius | None = default(None, "", "pour point, degC")
    flash_point_c: Celsius | None = default(None, "", "flash point, degC")
    fire_point_c: Celsius | None = default(None, "", "fire point, degC")


class Liquid(Record):
    """The liquid and its temperatures."""

    family: Text = key("a family of the built-in library, or the name of the liquid in [liquid.properties]")
    properties: LiquidProperties | None = default(None, "", "a liquid that the library does not have")
    volume_litre: Positive = key("liquid in tank and circuit, litre")
    head_space_litre: NotNegative | None = default(
        None, "", "room above the liquid at filling temperature for its expansion, litre"
    )
    limit_basis: Literal["return", "supply"] = key(
        "whether the temperatures below are of the tank's bulk or supply"
    )
    setpoint_c: Celsius = key("what the control holds, degC")
    service_max_c: Celsius = key("highest temperature allowed in continuous service, degC")
    alarm_c: Celsius = key("alarm, degC")
    shutdown_c: Celsius = key("the servers stop, degC")
    restart_c: Celsius = key("below it the servers start again, degC")
    start_min_c: Celsius = key("below it the circulation pumps do not start, degC")
    start_viscosity_mm2_s: Positive | None = default(
        None, "", "most viscous liquid that the circulation pumps can start with, mm2/s"
    )
    natural_circulation_share: Share = default(
        0.40,
        "engineering default: no source; 0.3 to 0.5 is common",
        "share of the liquid that takes part when the pump has stopped",
        gt=0,
    )


class Servers(Record):
    """The servers under the liquid."""

    load_kw: Positive = key("electrical power, kW")
    load_max_kw: Positive = key("what the box can be filled with, kW")
    heat_capacity_kj_k: NotNegative = key("submerged hardware and tank without the liquid, kJ/K")
    distribution_loss_share: Share = key(
        "power conversion inside the box as a share of the load; 0 where the load is metered at its terminals"
    )
    leakage_share_per_k: SlowGrowth = default(
        0.0,
        "engineering default: the load does not depend on the liquid's temperature",
        "growth of the servers' power with the liquid's temperature above setpoint, 1/K",
    )
    idle_load_share: Share | None = default(
        None,
        "",
        "share of the load that the servers give off idling in a bath too cold for its pumps, to warm it; left out "
        "where they must stay off",
    )


class Electrical(Record):
    """Connection to the supply."""

    volt: Positive = key("rated voltage, V")
    phases: Literal[1, 3] = key("phases")
    power_factor: Share = default(
        0.95, "engineering default: rectifiers with power factor correction", "power factor", gt=0
    )
    starting_ampere: Positive | None = default(None, "", "starting current, A")
    compressor_start: Literal["direct", "soft", "inverter"] | None = default(
        None, "", "how the compressor starts; ignored where there is none"
    )
    servers_input: Literal["ac", "dc48"] = default(
        "ac",
        "",
        "what the servers run on: the same feed as the rest (ac) or a -48 V DC plant (dc48)",
    )
    dc_min_volt: Positive = default(
        40.5,
        "ETSI EN 300 132-2, from memory: lower end of the normal service range",
        "lowest voltage at which servers on DC must run, V",
    )
    dc_efficiency: Share = default(
        0.96,
        "engineering default: 0.95 to 0.97 is common practice",
        "efficiency of the conversion between DC plant and unit",
        gt=0,
    )


class Clearance(Record):
    """Free distances that the maker asks for."""

    intake_m: NotNegative | None = default(None, "", "before the air intake, m")
    discharge_m: NotNegative | None = default(None, "", "before the air discharge, m")
    service_m: NotNegative | None = default(None, "", "for service, m")


class Qualification(Record):
    """Declared classes."""

    climate_class: Text | None = default(None, "", "environmental class, such as 4.1")
    coating_category: Text | None = default(None, "", "corrosivity category of the coating, such as C4")


@dataclass(frozen=True)
class DefaultUsed:
    """A key that the file leaves out: its path, the value that holds, and why."""

    key: str
    value: float | str | tuple[float, ...]
    reason: str


class Unit(Record):
    """A unit as its file describes it.

    `source_files`, `defaults_used` and `notes` are the reader's, not keys of the file.
    """

    schema_version: Literal[1] = Field(default=1, alias="schema", description="schema of the file")
    name: Text = key("name of the unit")
    body: Body
    mass: Mass
    liquid: Liquid
    servers: Servers
    cooling: Annotated[Cooling, Field(discriminator="kind")]
    electrical: Electrical | None = None
    clearance: Clearance = Clearance()
    qualification: Qualification = Qualification()
    source_files: tuple[SourceFile, ...] = ()
    defaults_used: tuple[DefaultUsed, ...] = ()
    notes: tuple[Note, ...] = ()


TABLES: dict[str, type[Record]] = {
    "body": Body,
    "mass": Mass,
    "liquid": Liquid,
    "servers": Servers,
    "electrical": Electrical,
    "clearance": Clearance,
    "qualification": Qualification,
}
REQUIRED_TABLES = ("body", "mass", "liquid", "servers", "cooling")
