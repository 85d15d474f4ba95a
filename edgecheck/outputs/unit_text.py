"""A unit file in words, for the command `edgecheck unit`."""

from edgecheck.base.liquids import FILLING_TEMPERATURE
from edgecheck.chain import liquid_of
from edgecheck.inputs.unit import Unit
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
        f"  {limits.limit_basis}: setpoint {limits.setpoint_c:g}, service up to {limits.service_max_c:g}, alarm "
        f"{limits.alarm_c:g}, shutdown {limits.shutdown_c:g}, restart below {limits.restart_c:g} degC",
    ]
    for state in mass_states(unit, liquid.density(FILLING_TEMPERATURE)).values():
        centre = ", ".join(f"{value:.2f}" for value in state.centre_of_gravity)
        lines.append(f"  {state.name}: {state.mass:.0f} kg, centre of gravity {centre} m")
    if cooling.kind == "chiller":
        lines += [
            f"  rating table: {len(cooling.liquid_c)} liquid by {len(cooling.inlet_air_c)} air temperatures, "
            f"{cooling.liquid_basis} basis, {cooling.capacity_basis}; air {cooling.inlet_air_min_c:g} to "
            f"{cooling.inlet_air_max_c:g} degC, condensing up to {cooling.condensing_max_c:g} less "
            f"{cooling.condensing_margin_k:g} K",
        ]
    else:
        lines.append("  read and checked; cooling sections of this kind are not computed yet")
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
