"""Dielectric liquids: their properties over temperature, how well each is known, and the built-in families.

The families' numbers stand in `liquids.toml`. A unit file may bring its own values instead. Nothing is extrapolated:
outside the range in which it is known, and where it is not known at all, a property is NaN; `Liquid.notes_at` says in
words what is missing at a temperature, and where the liquid no longer flows.
"""

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from itertools import pairwise
from types import MappingProxyType
from typing import Any, cast

import numpy as np

from edgecheck.base.notes import Note
from edgecheck.base.viscosity import Temperature, Viscosity

FILLING_TEMPERATURE = 20.0  # degC, at which a unit's volume is measured (common practice, no source)

_REFERENCE = 20.0  # degC, of the values in liquids.toml


@dataclass(frozen=True)
class Known:
    """How well a property is known.

    Parameters
    ----------
    confidence : str
        "published", "memory" or "unit file".
    source : str
        From where.
    tolerance : float, optional
        How far liquids of the family lie from the value: a share, for temperatures K.
    """

    confidence: str
    source: str
    tolerance: float | None = None


@dataclass(frozen=True)
class Curve:
    """A property over temperature: straight lines between points, unknown before the first and after the last.

    Parameters
    ----------
    points : tuple of (float, float)
        Temperature [degC], rising, and value.
    """

    points: tuple[tuple[float, float], ...]

    @classmethod
    def line(cls, reference: float, value: float, slope: float, low: float, high: float) -> "Curve":
        """Straight line through a value at a reference temperature [degC], from `low` to `high` [degC]."""
        return cls(tuple((at, value + slope * (at - reference)) for at in (low, high)))

    @property
    def range(self) -> tuple[float, float]:
        """First and last temperature. [degC]"""
        return self.points[0][0], self.points[-1][0]

    def at(self, temperature: Temperature) -> Temperature:
        """Value at a temperature [degC]; NaN outside the range."""
        if isinstance(temperature, float):
            return self._at_one(temperature)
        x, y = zip(*self.points, strict=True)
        return cast(Temperature, np.interp(temperature, x, y, left=np.nan, right=np.nan))

    def _at_one(self, temperature: float) -> float:
        """As `at`: without arrays a single number costs a tenth."""
        for (low, first), (high, last) in pairwise(self.points):
            if low <= temperature <= high:
                return first + (last - first) / (high - low) * (temperature - low)
        return math.nan


@dataclass(frozen=True)
class Liquid:
    """A dielectric liquid.

    Parameters
    ----------
    label : str
        Words for reports.
    density_curve, heat_capacity_curve : Curve
        [kg/m3], [J/kgK]
    conductivity_curve : Curve, optional
        [W/mK]
    viscosity_curve : Viscosity, optional
        [mm2/s]
    expands : bool
        Whether the density's course with temperature is known; else its one value stands for all.
    pour_c, solid_below_c : float, optional
        Pour point; temperature below which the liquid sets when held for days. [degC]
    flash_c, fire_c : float, optional
        Flash and fire point. [degC]
    known : mapping
        Name of a property -> how well it is known.
    """

    label: str
    density_curve: Curve
    heat_capacity_curve: Curve
    conductivity_curve: Curve | None = None
    viscosity_curve: Viscosity | None = None
    expands: bool = True
    pour_c: float | None = None
    solid_below_c: float | None = None
    flash_c: float | None = None
    fire_c: float | None = None
    known: Mapping[str, Known] = field(default_factory=dict)

    @property
    def source(self) -> str:
        """Where density and specific heat are from."""
        return "; ".join(dict.fromkeys(self.known[name].source for name in ("density", "heat_capacity")))

    @property
    def flows_above(self) -> float | None:
        """Temperature above which the liquid flows, also after days: the pour point, or where it sets. [degC]"""
        limits = [limit for limit in (self.pour_c, self.solid_below_c) if limit is not None]
        return max(limits, default=None)

    def density(self, temperature: Temperature) -> Temperature:
        """Density at a temperature [degC], NaN where unknown. [kg/m3]"""
        return self.density_curve.at(temperature)

    def heat_capacity(self, temperature: Temperature) -> Temperature:
        """Specific heat at a temperature [degC], NaN where unknown. [J/kgK]"""
        return self.heat_capacity_curve.at(temperature)

    def conductivity(self, temperature: Temperature) -> Temperature:
        """Thermal conductivity at a temperature [degC], NaN where unknown. [W/mK]"""
        return self.conductivity_curve.at(temperature) if self.conductivity_curve else _nothing(temperature)

    def viscosity(self, temperature: Temperature) -> Temperature:
        """Kinematic viscosity at a temperature [degC], NaN where unknown. [mm2/s]"""
        return self.viscosity_curve.at(temperature) if self.viscosity_curve else _nothing(temperature)

    def expansion(self, cold: float, warm: float) -> float:
        """Volume at `warm` over the volume at `cold` [degC]: the inverse ratio of densities.

        Returns
        -------
        ratio : float
            NaN where the course of the density is not known.
        """
        return self.density(cold) / self.density(warm) if self.expands else float("nan")

    def notes_at(self, temperature: float) -> tuple[Note, ...]:
        """What must be said about the liquid at a temperature [degC]: properties not known there, no flow."""
        values = {
            "density": self.density(temperature),
            "specific heat": self.heat_capacity(temperature),
            "conductivity": self.conductivity(temperature),
            "viscosity": self.viscosity(temperature),
        }
        notes = []
        unknown = [name for name, value in values.items() if np.isnan(value)]
        if unknown:
            text = f"{self.label}: {', '.join(unknown)} not known at {temperature:g} degC"
            notes.append(Note("liquid-unknown", "info", text))
        if self.pour_c is not None and temperature < self.pour_c:
            text = f"{self.label}: {temperature:g} degC is below the pour point, {self.pour_c:g} degC"
            notes.append(Note("liquid-pour-point", "caution", text))
        elif self.solid_below_c is not None and temperature < self.solid_below_c:
            text = (
                f"{self.label}: held for days at {temperature:g} degC it sets; it does so below "
                f"{self.solid_below_c:g} degC ({self.known['solid_below'].source})"
            )
            notes.append(Note("liquid-sets", "caution", text))
        return tuple(notes)


def _nothing(temperature: Temperature) -> Temperature:
    return cast(Temperature, np.full(np.shape(temperature), np.nan)[()])


@cache
def liquids() -> Mapping[str, Liquid]:
    """The built-in families by name."""
    text = files("edgecheck.base").joinpath("liquids.toml").read_text(encoding="utf-8")
    document = tomllib.loads(text)
    return MappingProxyType(
        {name: _liquid(row, document["source"]) for name, row in document["liquid"].items()}
    )


def _liquid(row: Mapping[str, Any], sources: Mapping[str, Mapping[str, str]]) -> Liquid:
    viscosity = row["viscosity_mm2_s"]
    anchors = tuple((float(at), float(value)) for at, value in viscosity["anchors"])
    return Liquid(
        label=row["label"],
        density_curve=_curve(row["density_kg_m3"]),
        heat_capacity_curve=_curve(row["heat_capacity_j_kgk"]),
        conductivity_curve=_curve(row["conductivity_w_mk"]),
        viscosity_curve=Viscosity(anchors, *viscosity["range_c"]),
        **{name: row[name]["value"] for name in _POINTS if name in row},
        known={
            _NAMES.get(key, key.removesuffix("_c")): _known(entry, sources)
            for key, entry in row.items()
            if key != "label"
        },
    )


_POINTS = ("pour_c", "solid_below_c", "flash_c", "fire_c")
_NAMES = {
    "density_kg_m3": "density",
    "heat_capacity_j_kgk": "heat_capacity",
    "conductivity_w_mk": "conductivity",
    "viscosity_mm2_s": "viscosity",
}


def _curve(entry: Mapping[str, Any]) -> Curve:
    return Curve.line(_REFERENCE, entry["at_20_c"], entry["slope_per_k"], *entry["range_c"])


def _known(entry: Mapping[str, Any], sources: Mapping[str, Mapping[str, str]]) -> Known:
    said = sources[entry["source"]]
    tolerance = entry.get("tolerance", entry.get("tolerance_k"))
    return Known(said["confidence"], said["text"], tolerance)
