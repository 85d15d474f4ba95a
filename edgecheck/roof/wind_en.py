"""Wind on a box on a roof by EN 1991-1-4: peak velocity pressure and force coefficient.

In: basic velocity, terrain, height, sizes. Out: pressures [Pa], forces [N] and factors.

EN 1991-1-4:2005 has no clause for equipment on roofs. The box is taken as an element with rectangular section
and sharp corners (7.6, Figure 7.23) and the end effect of its slenderness (7.13, Figure 7.36), at the height
of its top above the ground, c_s c_d = 1 (6.2(1)b). Three engineering defaults go with it: 1.25 on the force
within e/4 of the roof's edge (e of 7.2.3), an uplift of 1.0 q_p on the plan (suction on the lid plus pressure
in the gap under the feet), and no shelter by parapets or other plant. Figures 7.23 and 7.36 are drawings:
the corner points here are from memory, straight between them over the logarithm as the figures are drawn.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from edgecheck.roof.silhouette import Face
from edgecheck.roof.steps import Step

AIR_DENSITY = 1.25  # kg/m3, EN 1991-1-4 4.5(1) note 2, recommended
TURBULENCE_FACTOR = 1.0  # k_I, 4.4(1) note 2, recommended
HIGHEST = 200.0  # m, 4.3.2(1): the profile is given up to here


@dataclass(frozen=True)
class Terrain:
    """Roughness length and least height of a terrain category. [m]"""

    roughness: float
    least_height: float


# EN 1991-1-4 Table 4.1
TERRAINS: Mapping[str, Terrain] = {
    "0": Terrain(0.003, 1.0),
    "I": Terrain(0.01, 1.0),
    "II": Terrain(0.05, 2.0),
    "III": Terrain(0.3, 5.0),
    "IV": Terrain(1.0, 10.0),
}

# EN 1991-1-4 Figure 7.23, sharp corners: depth over breadth, c_f,0
_SECTION = ((0.2, 2.0), (0.7, 2.4), (1.0, 2.1), (2.0, 1.65), (5.0, 1.0), (10.0, 0.9))
# EN 1991-1-4 Figure 7.36, solid: slenderness, psi_lambda; 0.60 + 0.10 lg(lambda) up to 10
_END_EFFECT = ((1.0, 0.60), (10.0, 0.70), (70.0, 0.92))


@dataclass(frozen=True)
class PeakPressure:
    """Peak velocity pressure with everything on the way to it.

    Parameters
    ----------
    height : float
        z_e; the factors hold at z_min where that is higher. [m]
    basic_velocity : float
        v_b. [m/s]
    terrain : str
        Category.
    terrain_factor, roughness : float
        k_r, c_r.
    mean_velocity : float
        v_m. [m/s]
    intensity : float
        I_v.
    basic, peak : float
        q_b, q_p. [Pa]
    exposure : float
        c_e = q_p/q_b.
    """

    height: float
    basic_velocity: float
    terrain: str
    terrain_factor: float
    roughness: float
    mean_velocity: float
    intensity: float
    basic: float
    peak: float
    exposure: float


def peak_pressure(
    velocity: float,
    terrain: str,
    height: float,
    orography: float = 1.0,
    density: float = AIR_DENSITY,
) -> PeakPressure:
    """Peak velocity pressure at a height.

    v_m = c_r c_o v_b, c_r = k_r ln(z/z_0), k_r = 0.19 (z_0/0.05)^0.07, I_v = k_I/(c_o ln(z/z_0)), all at
    z_min below z_min; q_p = (1 + 7 I_v) rho v_m^2/2 (EN 1991-1-4 4.3.1, 4.3.2, 4.4, 4.5). Above 200 m the
    formula is carried on.

    Parameters
    ----------
    velocity : float
        Basic wind velocity v_b, 10-minute mean, positive. [m/s]
    terrain : str
        Category "0", "I", "II", "III" or "IV".
    height : float
        Above ground, not negative. [m]
    orography : float
        c_o.
    density : float
        Of air. [kg/m3]

    Returns
    -------
    pressure : PeakPressure

    Raises
    ------
    ValueError
        A velocity that is not positive, a negative height, a terrain that does not exist.
    """
    if not velocity > 0.0:
        raise ValueError(f"wind velocity must be positive, not {velocity}")
    if not height >= 0.0:
        raise ValueError(f"height must not be negative, not {height}")
    if terrain not in TERRAINS:
        raise ValueError(f"there is no terrain category {terrain!r}")
    ground = TERRAINS[terrain]
    logarithm = math.log(max(height, ground.least_height) / ground.roughness)
    factor = 0.19 * (ground.roughness / TERRAINS["II"].roughness) ** 0.07
    roughness = factor * logarithm
    mean = roughness * orography * velocity
    intensity = TURBULENCE_FACTOR / (orography * logarithm)
    basic = density * velocity**2 / 2.0
    peak = (1.0 + 7.0 * intensity) * density * mean**2 / 2.0
    return PeakPressure(
        height, velocity, terrain, factor, roughness, mean, intensity, basic, peak, peak / basic
    )


def section_coefficient(depth_over_breadth: float) -> float:
    """Force coefficient c_f,0 of a long rectangular section with sharp corners (Figure 7.23).

    Parameters
    ----------
    depth_over_breadth : float
        Size along the wind over size across it, positive.

    Returns
    -------
    coefficient : float
    """
    return _over_logarithm(depth_over_breadth, _SECTION)


def end_effect(height: float, breadth: float) -> float:
    """Factor psi_lambda of a solid element with a free end (Table 7.16, Figure 7.36).

    lambda = 2 l/b for l below 15 m, not more than 70 and not less than 1.

    Parameters
    ----------
    height, breadth : float
        Of the face. [m]

    Returns
    -------
    factor : float
    """
    return _over_logarithm(2.0 * height / breadth, _END_EFFECT)


def edge_strip(building: tuple[float, float] | None, building_height: float) -> float:
    """Width e/4 of the strip along the roof's edge in which the edge factor applies.

    e = min(b, 2 h) (7.2.3), b the greater plan size of the building; 2 h where the plan is unknown.

    Parameters
    ----------
    building : tuple of float, optional
        Plan of the building. [m]
    building_height : float
        [m]

    Returns
    -------
    strip : float
        [m]
    """
    reach = 2.0 * building_height
    if building is not None:
        reach = min(max(building), reach)
    return reach / 4.0


@dataclass(frozen=True)
class EnWind:
    """Wind on a unit by EN 1991-1-4, characteristic.

    Parameters
    ----------
    pressure : PeakPressure
        At the unit's top.
    body : tuple of float
        Length, depth and height of the body; they give the coefficient. [m]
    edge_factor : float
        On the horizontal force; 1 away from the roof's edge.
    edge_reason : str
        Why that factor.
    uplift_coefficient : float
        c_z on the plan.
    orography, density : float
        As used. [-, kg/m3]
    """

    pressure: PeakPressure
    body: tuple[float, float, float]
    edge_factor: float
    edge_reason: str
    uplift_coefficient: float
    orography: float = 1.0
    density: float = AIR_DENSITY

    standard: str = "EN 1991-1-4"

    @property
    def speed_text(self) -> str:
        """The wind in words."""
        at = self.pressure
        return f"vb {at.basic_velocity:g} m/s, terrain {at.terrain}, {at.height:.2f} m"

    def coefficient(self, face: Face, area: float | None = None) -> float:
        """Force coefficient c_f = c_f,0 psi_lambda of a face, with the edge factor; the area has no influence."""
        return self._coefficients[0 if face.direction[0] == 0.0 else 1]

    @cached_property
    def _coefficients(self) -> tuple[float, float]:
        """Force coefficient of a long side and of an end."""
        length, depth, height = self.body
        side, end = _box_coefficient(length, depth, height), _box_coefficient(depth, length, height)
        return self.edge_factor * side, self.edge_factor * end

    def force(self, face: Face, area: float) -> float:
        """Force on a projected area [m2] behind a face. [N]"""
        return self.pressure.peak * self.coefficient(face) * area

    def uplift(self, area: float) -> float:
        """Upward force on a plan area [m2]. [N]"""
        return self.uplift_coefficient * self.pressure.peak * area

    def steps(self) -> tuple[Step, ...]:
        """The way to the pressure and the coefficients, line by line."""
        at = self.pressure
        least = TERRAINS[at.terrain].least_height
        z = f"z {max(at.height, least):.2f} m" + (", z_min governs" if at.height < least else "")
        z0 = f"z0 {TERRAINS[at.terrain].roughness:g} m"
        found = [
            Step("terrain factor", "0.19 (z0/0.05)^0.07", "EN 1991-1-4 4.3.2(1)", z0, at.terrain_factor),
            Step("roughness factor", "kr ln(z/z0)", "EN 1991-1-4 4.3.2(1)", f"{z}, {z0}", at.roughness),
            Step(
                "mean velocity",
                "cr co vb",
                "EN 1991-1-4 4.3.1(1)",
                f"co {self.orography:g}, vb {at.basic_velocity:g} m/s",
                at.mean_velocity,
                "m/s",
            ),
            Step("turbulence intensity", "1/(co ln(z/z0))", "EN 1991-1-4 4.4(1)", z, at.intensity),
            Step(
                "peak velocity pressure",
                "(1 + 7 Iv) rho vm^2/2",
                "EN 1991-1-4 4.5(1)",
                f"rho {self.density:g} kg/m3",
                at.peak,
                "Pa",
            ),
        ]
        length, depth, height = self.body
        for name, across, along in (("front or back", length, depth), ("an end", depth, length)):
            section, end = section_coefficient(along / across), end_effect(height, across)
            found.append(
                Step(
                    f"force coefficient, wind on {name}",
                    "cf,0 psi",
                    "EN 1991-1-4 7.6, Figure 7.23; 7.13, Figure 7.36",
                    f"d/b {along / across:.2f}: cf,0 {section:.2f}; l/b {height / across:.2f}: psi {end:.3f}",
                    section * end,
                )
            )
        found.append(
            Step("edge factor on the force", "", "engineering default", self.edge_reason, self.edge_factor)
        )
        text = "suction on the lid and pressure in the gap under the feet"
        found.append(
            Step("uplift coefficient of the plan", "", "engineering default", text, self.uplift_coefficient)
        )
        return tuple(found)


@lru_cache(maxsize=64)
def _box_coefficient(across: float, downwind: float, height: float) -> float:
    """c_f,0 psi_lambda of a box: many sites share a unit."""
    return section_coefficient(downwind / across) * end_effect(height, across)


def _over_logarithm(value: float, points: tuple[tuple[float, float], ...]) -> float:
    """Straight lines over the logarithm, held at both ends."""
    if not value > 0.0:
        raise ValueError(f"a ratio of sizes must be positive, not {value}")
    at = [math.log(x) for x, _ in points]
    return float(np.interp(math.log(value), at, [y for _, y in points]))
