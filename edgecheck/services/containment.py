"""How much liquid a leak can bring, and what there is to hold it back.

In: the liquid's volume and densities, shares, rain. Out: litres needed and litres there. [l, kg/m3, m2, mm]

The volume is that of the liquid at its largest expansion: filled cold, it is at its hottest when the servers stop.
Mass is kept, so V = V_fill rho_fill/rho_hot. Rain takes room in whatever is open to it, and how much is known only
where its area is: 1 mm on 1 m2 is 1 l.
"""

import math
from dataclasses import dataclass

from edgecheck.services.containment_rules import Rule


@dataclass(frozen=True)
class Needed:
    """What must be held back, without rain.

    Parameters
    ----------
    filled : float
        Volume as filled. [l]
    largest : float
        Volume at the largest expansion. [l]
    practice : float
        By the practice value. [l]
    rule : Rule, optional
        The named rule.
    ruled : float, optional
        By the named rule; None where there is none or its threshold is not reached. [l]
    """

    filled: float
    largest: float
    practice: float
    rule: Rule | None
    ruled: float | None

    @property
    def most(self) -> float:
        """By practice and rule. [l]"""
        return max(self.practice, self.ruled or 0.0)


@dataclass(frozen=True)
class Holder:
    """Something that holds liquid back.

    Parameters
    ----------
    name : str
        "tray of the unit" or "containment of the roof".
    source : str
        Keys it comes from.
    volume : float
        [l]
    rain_least, rain_most : float
        Rain that takes its room: bounds, infinite where nobody knows. [l]
    why : str
        How the rain was found, or why it was not.
    """

    name: str
    source: str
    volume: float
    rain_least: float
    rain_most: float
    why: str

    def surely_holds(self, liquid: float) -> bool:
        """Whether it holds a volume of liquid [l] whatever the rain."""
        return liquid + self.rain_most <= self.volume

    def may_hold(self, liquid: float) -> bool:
        """Whether it holds a volume of liquid [l] if no more rain than is certain falls into it."""
        return liquid + self.rain_least <= self.volume


def largest_volume(filled: float, density_filling: float, density_hottest: float) -> float:
    """Volume of the liquid at its largest expansion.

    Parameters
    ----------
    filled : float
        Volume at filling temperature, not negative. [l]
    density_filling, density_hottest : float
        Density at filling and at the hottest temperature. [kg/m3]

    Returns
    -------
    volume : float
        V rho_fill/rho_hot, from the conservation of mass; never less than filled. [l]

    Raises
    ------
    ValueError
        A density that is not positive and finite.
    """
    for density in (density_filling, density_hottest):
        if not 0.0 < density < math.inf:
            raise ValueError(f"density of the liquid must be positive and finite, not {density}")
    return filled * max(1.0, density_filling / density_hottest)


def needed(filled: float, largest: float, practice_share: float, rule: Rule | None) -> Needed:
    """What must be held back of one unit's liquid.

    Parameters
    ----------
    filled, largest : float
        Volume as filled and at the largest expansion. [l]
    practice_share : float
        Of the largest volume, by practice. [-]
    rule : Rule, optional
        Named rule.

    Returns
    -------
    needed : Needed
        Without rain.
    """
    ruled = None
    if rule is not None and rule.reaches(largest):
        ruled = rule.required((largest,), practice_share)
    return Needed(filled, largest, round(practice_share * largest, 6), rule, ruled)


def rain_volume(area: float, depth: float) -> float:
    """Rain on an open area [m2] from a depth of rain [mm], in l."""
    return area * depth


def tray(volume: float, kind: str, area: float, rain: float | None) -> Holder:
    """The unit's own tray.

    Parameters
    ----------
    volume : float
        [l]
    kind : str
        "integral" (roofed), "open", or "unknown".
    area : float
        Its plan. [m2]
    rain : float, optional
        Depth of the design storm; None where unknown. [mm]

    Returns
    -------
    holder : Holder
        An open tray collects all of the storm; one of unknown kind between none and all of it.
    """
    source = "unit: mass.tray_litre"
    if kind == "integral":
        return Holder("tray of the unit", source, volume, 0.0, 0.0, "roofed: no rain")
    if rain is None:
        why = "open to the rain, and the design storm is not known"
        if kind != "open":
            why = "not known whether it is roofed, nor the design storm"
        return Holder("tray of the unit", source, volume, 0.0, math.inf, why)
    falls = rain_volume(area, rain)
    storm = f"{area:.2f} m2 x {rain:g} mm = {falls:.0f} l of rain"
    if kind == "open":
        return Holder("tray of the unit", source, volume, falls, falls, f"open: {storm}")
    return Holder("tray of the unit", source, volume, 0.0, falls, f"not known whether it is roofed; {storm}")


def roof_containment(volume: float, rain: float | None) -> Holder:
    """What the roof itself holds back [l]: open to the rain, on an area that nobody has stated; rain in mm."""
    why = "open to the rain; its area is not in the list, and rain on it is not added"
    if rain is not None:
        why += f" ({rain:g} mm are {rain:g} l on every m2)"
    return Holder("containment of the roof", "site: containment_litre", volume, 0.0, math.inf, why)
