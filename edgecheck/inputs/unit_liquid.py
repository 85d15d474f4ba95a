"""The liquid of a unit: a family of the built-in library, or what the unit file says of its own; and its head space.

In: the unit's records. Out: `base.liquids.Liquid`, and whether the liquid has room to expand in.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.liquids import FILLING_TEMPERATURE, Curve, Known, Liquid, liquids
from edgecheck.base.notes import Note
from edgecheck.base.viscosity import Viscosity
from edgecheck.inputs import unit_records
from edgecheck.inputs.key_path import did_you_mean

if TYPE_CHECKING:
    from edgecheck.inputs.unit_records import LiquidProperties, Unit

VALUE_REACH_K = 80.0
"""How far from its temperature one value of density, specific heat or conductivity is used, K (engineering default).
Density falls by 0.07 to 0.1 % and specific heat rises by 0.1 to 0.2 % a kelvin in the library: the two errors are
opposite, and the bath's heat capacity comes out a little too small in the warm, the safe side."""

VISCOSITY_LOW_C, VISCOSITY_HIGH_C = -20.0, 120.0
"""Where the line through viscosities at 40 and 100 degC is used, degC: below -20 it makes synthetic hydrocarbons far
too thick (engineering default)."""

_PROPERTIES = ("density", "heat_capacity", "conductivity", "viscosity", "pour", "flash", "fire")


def liquid_of(unit: "Unit") -> Liquid:
    """Liquid of a unit: its own values, or a family of the library.

    Raises
    ------
    InputFaults
        If the family is not known.
    """
    found = liquid_in(unit.liquid)
    if found is None:
        family = unit.liquid.family
        file = unit.source_files[0].name if unit.source_files else unit.name
        raise InputFaults((Fault(file, "", "liquid.family", family, unknown_family(family)),))
    return found


def unknown_family(family: str) -> str:
    """Say that the library has no such liquid, and what is allowed."""
    text = f"not a liquid of the library; allowed: {', '.join(liquids())}, or a table [liquid.properties]"
    return text + did_you_mean(family, liquids())


def liquid_in(record: unit_records.Liquid) -> Liquid | None:
    """Liquid that a [liquid] table names or describes; None for a family that the library does not have."""
    own = record.properties
    return liquids().get(record.family) if own is None else _own_liquid(record.family, own)


def _own_liquid(name: str, own: "LiquidProperties") -> Liquid:
    density = own.density_kg_m3
    slope = 0.0 if isinstance(density, tuple) else -(own.expansion_per_k or 0.0) * density
    return Liquid(
        label=name,
        density_curve=_curve(own, density, slope),
        heat_capacity_curve=_curve(own, own.heat_capacity_j_kg_k),
        conductivity_curve=None if own.conductivity_w_m_k is None else _curve(own, own.conductivity_w_m_k),
        viscosity_curve=_viscosity(own),
        expands=isinstance(density, tuple) or own.expansion_per_k is not None,
        pour_c=own.pour_point_c,
        flash_c=own.flash_point_c,
        fire_c=own.fire_point_c,
        known=dict.fromkeys(_PROPERTIES, Known("unit file", "the unit file")),
    )


def _curve(own: "LiquidProperties", value: float | tuple[float, ...], slope: float = 0.0) -> Curve:
    if isinstance(value, tuple):
        return Curve(tuple(zip(own.temperature_c or (), value, strict=True)))
    reference = own.reference_c
    return Curve.line(reference, value, slope, reference - VALUE_REACH_K, reference + VALUE_REACH_K)


def _viscosity(own: "LiquidProperties") -> Viscosity | None:
    """Viscosity from the list, or from 40 and 100 degC; None where there is but one value, or none."""
    if own.viscosity_mm2_s is not None:
        temperatures = own.temperature_c or ()
        anchors = tuple(zip(temperatures, own.viscosity_mm2_s, strict=True))
        return Viscosity(anchors, temperatures[0], temperatures[-1])
    at_40, at_100 = own.viscosity_40_mm2_s, own.viscosity_100_mm2_s
    if at_40 is None or at_100 is None:
        return None
    pour = VISCOSITY_LOW_C if own.pour_point_c is None else own.pour_point_c
    low = min(max(VISCOSITY_LOW_C, pour), 40.0)
    return Viscosity(((40.0, at_40), (100.0, at_100)), low, VISCOSITY_HIGH_C)


@dataclass(frozen=True)
class HeadSpace:
    """Room for the liquid's expansion from filling to shutdown.

    Parameters
    ----------
    hottest : float
        Bulk temperature at shutdown. [degC]
    needed : float
        Growth of the liquid's volume; NaN where its expansion is not known. [litre]
    there : float or None
        What the unit file gives; None where it gives nothing. [litre]
    """

    hottest: float
    needed: float
    there: float | None

    def note(self) -> Note | None:
        """A caution where the room is too small, an information where it cannot be checked, else None."""
        grows = f"from filling at {FILLING_TEMPERATURE:g} degC to shutdown at {self.hottest:g} degC"
        if np.isnan(self.needed):
            text = f"head space not checked: the liquid's expansion {grows} is not known"
            return Note("unit-head-space", "info", text)
        if self.there is None:
            text = (
                f"head space not checked: the unit file gives no head_space_litre; the liquid grows by "
                f"{self.needed:.1f} litre {grows}"
            )
            return Note("unit-head-space", "info", text)
        if self.there < self.needed:
            text = (
                f"the liquid grows by {self.needed:.1f} litre {grows}; the head space is {self.there:g} litre"
            )
            return Note("unit-head-space", "caution", text, worst=self.needed - self.there)
        return None


def head_space(unit: "Unit", liquid: Liquid) -> HeadSpace:
    """Head space of a unit.

    Parameters
    ----------
    unit : Unit
        Limits on the supply are raised to the bulk by the most that the servers and pumps can heat the liquid.
    liquid : Liquid
        Of the unit.

    Returns
    -------
    HeadSpace
        needed = volume (rho(filling) / rho(shutdown) - 1).
    """
    limits, cooling, servers = unit.liquid, unit.cooling, unit.servers
    hottest = limits.shutdown_c
    if limits.limit_basis == "supply":
        heat = servers.load_max_kw * (1.0 + servers.distribution_loss_share)
        heat += cooling.pump_kw * cooling.pump_heat_to_liquid
        rate = cooling.liquid_flow_kg_s * liquid.heat_capacity(limits.setpoint_c) / 1000.0
        hottest += heat / rate
    growth = liquid.expansion(FILLING_TEMPERATURE, hottest) - 1.0
    return HeadSpace(hottest, limits.volume_litre * growth, limits.head_space_litre)
