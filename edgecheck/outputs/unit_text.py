"""A unit file in words, for the command `edgecheck unit`."""

from collections.abc import Iterator

import numpy as np

from edgecheck.base.liquids import FILLING_TEMPERATURE, Liquid
from edgecheck.inputs.cooling import ChillerWithEconomiser, Cooling, DryCooler
from edgecheck.inputs.unit import Unit
from edgecheck.inputs.unit_liquid import head_space, liquid_of
from edgecheck.roof.mass import mass_states
from edgecheck.weather.climate_class import class_named
from edgecheck.weather.corrosion import category_number


def unit_text(unit: Unit) -> str:
    """What the program makes of a unit file.

    Parameters
    ----------
    unit : Unit
        As read.

    Returns
    -------
    str
        Lines for a terminal.

    Raises
    ------
    InputFaults
        If the liquid's family is not known.
    """
    liquid = liquid_of(unit)
    limits = unit.liquid
    cooling = unit.cooling
    heat = (
        limits.volume_litre
        / 1000.0
        * liquid.density(limits.setpoint_c)
        * liquid.heat_capacity(limits.setpoint_c)
    )
    lines = [
        f"{unit.name}: {cooling.kind}, {unit.servers.load_kw:g} kW of servers (at most {unit.servers.load_max_kw:g})",
        f"  body {unit.body.length_m:g} x {unit.body.depth_m:g} x {unit.body.height_m:g} m, "
        f"{len(unit.mass.feet_m)} feet",
        f"  liquid: {limits.volume_litre:g} l of {liquid.label} ({liquid.source}); heat capacity of the bath "
        f"{heat / 1000.0 + unit.servers.heat_capacity_kj_k:.0f} kJ/K",
        *liquid_lines(unit, liquid),
        f"  {limits.limit_basis}: setpoint {limits.setpoint_c:g}, service up to {limits.service_max_c:g}, alarm "
        f"{limits.alarm_c:g}, shutdown {limits.shutdown_c:g}, restart below {limits.restart_c:g} degC",
    ]
    for state in mass_states(unit, liquid.density(FILLING_TEMPERATURE)).values():
        centre = ", ".join(f"{value:.2f}" for value in state.centre_of_gravity)
        lines.append(f"  {state.name}: {state.mass:.0f} kg, centre of gravity {centre} m")
    lines += cooling_lines(cooling)
    lines.append(_qualification(unit))
    for used in unit.defaults_used:
        reason = f" ({used.reason})" if used.reason else ""
        lines.append(f"  default: {used.key} = {used.value}{reason}")
    lines += [f"  note: {note.text}" for note in unit.notes]
    lines += [f"  {source.name}: SHA-256 {source.sha256}" for source in unit.source_files]
    return "\n".join(lines)


def _qualification(unit: Unit) -> str:
    """Declared class and coating, and whether they are known here."""
    declared, coating = unit.qualification.climate_class, unit.qualification.coating_category
    found = None if declared is None else class_named(declared)
    said = "no environmental class declared" if declared is None else f"class {declared}: not known here"
    if found is not None:
        unsure = len(found.from_memory)
        said = f"{found.title}, {unsure} of {len(found.limits)} limits from memory"
    paint = "no coating category declared" if coating is None else f"coating {coating}"
    if coating is not None and category_number(coating) is None:
        paint += ": not known here"
    return f"  qualification: {said}; {paint}"


def liquid_lines(unit: Unit, liquid: Liquid) -> Iterator[str]:
    """Properties of the liquid at the setpoint with how well each is known, what is missing, and the head space.

    Parameters
    ----------
    unit : Unit
        As read.
    liquid : Liquid
        Of the unit.
    """
    setpoint, start = unit.liquid.setpoint_c, unit.liquid.start_min_c
    at_setpoint = (
        ("density", liquid.density(setpoint), "kg/m3"),
        ("heat_capacity", liquid.heat_capacity(setpoint), "J/kgK"),
        ("conductivity", liquid.conductivity(setpoint), "W/mK"),
        ("viscosity", liquid.viscosity(setpoint), "mm2/s"),
    )
    for name, value, unit_word in at_setpoint:
        words = "specific heat" if name == "heat_capacity" else name
        if np.isnan(value):
            yield f"    {words} at {setpoint:g} degC: not known"
        else:
            yield f"    {words} at {setpoint:g} degC: {value:.4g} {unit_word}{_how_known(liquid, name)}"
    at_start = liquid.viscosity(start)
    shown = "not known" if np.isnan(at_start) else f"{at_start:.3g} mm2/s"
    yield f"    viscosity at {start:g} degC, the coldest start of the pumps: {shown}"
    for name, point in (
        ("pour", liquid.pour_c),
        ("solid_below", liquid.solid_below_c),
        ("flash", liquid.flash_c),
        ("fire", liquid.fire_c),
    ):
        words = "sets when held below" if name == "solid_below" else f"{name} point"
        if point is not None:
            yield f"    {words}: {point:g} degC{_how_known(liquid, name, ' K')}"
        elif name != "solid_below":
            yield f"    {words}: not known"
    yield from (f"    {note.text}" for note in liquid.notes_at(start) if note.level == "caution")
    room = head_space(unit, liquid)
    if room.note() is None:
        yield (
            f"    head space: {room.there:g} litre; the liquid grows by {room.needed:.1f} litre from filling at "
            f"{FILLING_TEMPERATURE:g} degC to shutdown at {room.hottest:g} degC"
        )


def _how_known(liquid: Liquid, name: str, unit: str = "") -> str:
    """Tolerance, confidence and source in brackets."""
    known = liquid.known[name]
    spread = ""
    if known.tolerance is not None:
        spread = f"+-{known.tolerance:g}{unit}, " if unit else f"+-{known.tolerance:.0%}, "
    said = known.source if known.source.startswith("from memory") else f"{known.confidence}: {known.source}"
    return f" ({spread}{'the unit file' if known.confidence == 'unit file' else said})"


def cooling_lines(cooling: Cooling) -> Iterator[str]:
    """Rating, limits and number of the cooling sections.

    Parameters
    ----------
    cooling : Cooling
        The table of the unit file.
    """
    air = f"air {cooling.inlet_air_min_c:g} to {cooling.inlet_air_max_c:g} degC"
    if cooling.sections > 1:
        duty = "one stands by" if cooling.section_duty == "standby" else "all share the heat"
        yield f"  {cooling.sections} identical cooling sections, {duty}; ratings below are of one"
    if isinstance(cooling, DryCooler):
        yield (
            f"  coil: {cooling.conductance_kw_k:g} kW/K, {cooling.air_side_share:.0%} of its resistance on the air "
            f"side, {cooling.airflow_m3_s:g} m3/s; fans {cooling.fan_kw:g} kW, {cooling.fan_control}; {air}"
        )
        return
    yield (
        f"  rating table: {len(cooling.liquid_c)} liquid by {len(cooling.inlet_air_c)} air temperatures, "
        f"{cooling.liquid_basis} basis, {cooling.capacity_basis}; {air}, condensing up to "
        f"{cooling.condensing_max_c:g} less {cooling.condensing_margin_k:g} K"
    )
    if cooling.part_load == "variable-speed":
        yield f"  compressor of variable speed, down to {cooling.capacity_min_share:.0%} of its capacity"
    if isinstance(cooling, ChillerWithEconomiser):
        coldest = cooling.inlet_air_min_c if cooling.coil_air_min_c is None else cooling.coil_air_min_c
        yield (
            f"  economiser: coil of {cooling.coil_conductance_kw_k:g} kW/K, air {cooling.coil_air}, from "
            f"{cooling.changeover_k:g} K between liquid and inlet air, down to {coldest:g} degC outdoors"
        )
