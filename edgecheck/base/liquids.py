"""Dielectric liquids: density and specific heat by family.

The numbers stand in `liquids.toml`, each family with its source and confidence. A unit file may bring its own
values instead.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

FILLING_TEMPERATURE = 20.0  # degC, at which a unit's volume is measured (common practice, no source)


@dataclass(frozen=True)
class Liquid:
    """A dielectric liquid with properties linear in temperature.

    Parameters
    ----------
    label : str
        Words for reports.
    reference_c : float
        Temperature of the stated values. [degC]
    density_kg_m3, density_slope_kg_m3k : float
        Density and its slope. [kg/m3], [kg/m3K]
    heat_capacity_j_kgk, heat_capacity_slope_j_kgk2 : float
        Specific heat and its slope. [J/kgK], [J/kgK2]
    pour_c : float or None
        Pour point, None where unknown. [degC]
    confidence, source : str
        How well the values are known, and from where.
    """

    label: str
    reference_c: float
    density_kg_m3: float
    density_slope_kg_m3k: float
    heat_capacity_j_kgk: float
    heat_capacity_slope_j_kgk2: float
    pour_c: float | None
    confidence: str
    source: str

    def density(self, temperature: float) -> float:
        """Density at a temperature [degC]. [kg/m3]"""
        return self.density_kg_m3 + self.density_slope_kg_m3k * (temperature - self.reference_c)

    def heat_capacity(self, temperature: float) -> float:
        """Specific heat at a temperature [degC]. [J/kgK]"""
        return self.heat_capacity_j_kgk + self.heat_capacity_slope_j_kgk2 * (temperature - self.reference_c)


@cache
def liquids() -> Mapping[str, Liquid]:
    """The built-in families by name."""
    text = files("edgecheck.base").joinpath("liquids.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: Liquid(**row) for name, row in tomllib.loads(text).items()})
