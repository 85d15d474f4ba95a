"""What a unit file must be consistent about when it describes a liquid of its own, and what the bath must know.

Rules take tables that are valid by themselves and yield faults as (path of the key, value, text).
"""

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from edgecheck.base import liquids
from edgecheck.inputs.key_path import KeyPath
from edgecheck.inputs.unit_records import Liquid, LiquidProperties

Finding = tuple[KeyPath, object, str]

_TABLE = ("liquid", "properties")
_LISTS = {
    "density_kg_m3": "fall",
    "heat_capacity_j_kg_k": "",
    "conductivity_w_m_k": "",
    "viscosity_mm2_s": "fall",
}


def property_rules(own: LiquidProperties) -> Iterator[Finding]:
    """Lists as long as temperature_c, that rises; density and viscosity fall with temperature; nothing twice."""
    lists = {name: value for name in _LISTS if isinstance(value := getattr(own, name), tuple)}
    temperatures = own.temperature_c
    if temperatures is None:
        for name, values in lists.items():
            yield (*_TABLE, name), list(values), "a list needs temperature_c, the temperatures of its values"
        return
    if not all(low < high for low, high in pairwise(temperatures)):
        yield (*_TABLE, "temperature_c"), list(temperatures), "must rise strictly from value to value"
    if not lists:
        text = f"no property is given as a list; a list may be given of {', '.join(_LISTS)}"
        yield (*_TABLE, "temperature_c"), list(temperatures), text
    for name, values in lists.items():
        if len(values) != len(temperatures):
            text = f"has {len(values)} values; temperature_c has {len(temperatures)}"
            yield (*_TABLE, name), list(values), text
        elif _LISTS[name] and not all(low > high for low, high in pairwise(values)):
            yield (*_TABLE, name), list(values), "must fall strictly with temperature"
    yield from _said_twice(own, lists)


def _said_twice(own: LiquidProperties, lists: dict[str, tuple[float, ...]]) -> Iterator[Finding]:
    if "density_kg_m3" in lists and own.expansion_per_k is not None:
        text = "the list of densities says it already; leave one of them out"
        yield (*_TABLE, "expansion_per_k"), own.expansion_per_k, text
    for name in ("viscosity_40_mm2_s", "viscosity_100_mm2_s"):
        value = getattr(own, name)
        if value is not None and "viscosity_mm2_s" in lists:
            text = "the list of viscosities stands for it; leave one of them out"
            yield (*_TABLE, name), value, text


def value_rules(own: LiquidProperties) -> Iterator[Finding]:
    """Thinner at 100 than at 40 degC; the fire point above the flash point."""
    at_40, at_100 = own.viscosity_40_mm2_s, own.viscosity_100_mm2_s
    if at_40 is not None and at_100 is not None and at_100 >= at_40:
        yield (*_TABLE, "viscosity_100_mm2_s"), at_100, f"must be less than viscosity_40_mm2_s, {at_40:g}"
    flash, fire = own.flash_point_c, own.fire_point_c
    if flash is not None and fire is not None and fire < flash:
        yield (*_TABLE, "fire_point_c"), fire, f"must be at least flash_point_c, {flash:g}"


def bath_rules(record: Liquid, liquid: liquids.Liquid) -> Iterator[Finding]:
    """Density known at filling temperature and setpoint, specific heat at the setpoint; a liquid that flows there.

    Parameters
    ----------
    record : unit_records.Liquid
        The file's table.
    liquid : base.liquids.Liquid
        The liquid that it names or describes.
    """
    needed = {
        "density": (liquid.density_curve, (liquids.FILLING_TEMPERATURE, record.setpoint_c)),
        "specific heat": (liquid.heat_capacity_curve, (record.setpoint_c,)),
    }
    for name, (curve, temperatures) in needed.items():
        missing = [at for at in temperatures if np.isnan(curve.at(at))]
        if missing:
            low, high = curve.range
            key = ("liquid", "setpoint_c") if record.properties is None else _TABLE
            text = (
                f"the liquid's {name} is known from {low:g} to {high:g} degC and needed at "
                f"{' and '.join(f'{at:g}' for at in missing)} degC (filling, setpoint)"
            )
            yield key, record.setpoint_c if record.properties is None else None, text
    if liquid.flows_above is not None and liquid.flows_above >= record.setpoint_c:
        text = f"the liquid does not flow there, but only above {liquid.flows_above:g} degC"
        yield ("liquid", "setpoint_c"), record.setpoint_c, text
