"""Wind on rooftop equipment by ASCE 7-16 and 7-22: velocity pressure and the forces of 29.4.1.

In: basic speed, exposure, heights, sizes. Out: pressures [Pa], forces [N] and factors. All at strength level;
load combinations bring them down to allowable stress.

    7-16   q_h = 0.613 K_z K_zt K_d K_e V^2   (26.10-1)    F_h = q_h (GC_r) A_f       (29.4-2)
    7-22   q_h = 0.613 K_z K_zt K_e V^2                    F_h = q_h K_d (GC_r) A_f

F_v likewise with (GC_r) and A_r of 29.4-3, upward, together with F_h. K_d counts once in either edition.
The pressure is that of the building's mean roof height. Not less than 0.77 kPa on the vertical projected area
A_f (29.7). No shelter by parapets or other plant. Constants of K_z and where K_d stands are as several
published calculations use them; K_d 0.85 and K_e are from memory.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from edgecheck.roof.silhouette import Face
from edgecheck.roof.steps import Step

Edition = Literal["asce7-16", "asce7-22"]

PRESSURE_CONSTANT = 0.613  # N s2/m4
LEAST_HEIGHT = 4.572  # m, 15 ft: K_z is held below
DIRECTIONALITY = 0.85  # K_d of rooftop equipment, Table 26.6-1
MINIMUM_PRESSURE = 770.0  # Pa, 29.7
HORIZONTAL, VERTICAL = 1.9, 1.5  # upper values of (GC_r), 29.4.1

_FOOT = 0.3048
# Table 26.11-1: alpha, z_g [m]
_PROFILE: Mapping[Edition, Mapping[str, tuple[float, float]]] = {
    "asce7-16": {"B": (7.0, 1200 * _FOOT), "C": (9.5, 900 * _FOOT), "D": (11.5, 700 * _FOOT)},
    "asce7-22": {"B": (7.5, 3280 * _FOOT), "C": (9.8, 2460 * _FOOT), "D": (11.5, 1935 * _FOOT)},
}
_FACTOR: Mapping[Edition, float] = {"asce7-16": 2.01, "asce7-22": 2.41}
TITLES: Mapping[str, str] = {"asce7-16": "ASCE 7-16", "asce7-22": "ASCE 7-22"}


def exposure_coefficient(height: float, exposure: str, edition: Edition) -> float:
    """Velocity pressure exposure coefficient K_z (Table 26.10-1).

    2.01 (z/z_g)^(2/alpha) in 7-16, 2.41 (z/z_g)^(2/alpha) in 7-22; z not below 4.6 m (15 ft) nor above z_g.

    Parameters
    ----------
    height : float
        Above ground, not negative. [m]
    exposure : str
        "B", "C" or "D".
    edition : {"asce7-16", "asce7-22"}
        Which table.

    Returns
    -------
    coefficient : float

    Raises
    ------
    ValueError
        A negative height, an exposure that does not exist.
    """
    if not height >= 0.0:
        raise ValueError(f"height must not be negative, not {height}")
    if exposure not in _PROFILE[edition]:
        raise ValueError(f"there is no exposure {exposure!r}")
    alpha, gradient = _PROFILE[edition][exposure]
    z = min(max(height, LEAST_HEIGHT), gradient)
    return float(_FACTOR[edition] * (z / gradient) ** (2.0 / alpha))


def elevation_factor(elevation: float | None) -> float:
    """Ground elevation factor K_e = exp(-0.000119 z) (26.9).

    Parameters
    ----------
    elevation : float, optional
        Of the ground above sea level. [m]

    Returns
    -------
    factor : float
        1, which is permitted everywhere, where the elevation is unknown.
    """
    return 1.0 if elevation is None else math.exp(-0.000119 * elevation)


def velocity_pressure(
    speed: float,
    exposure: float,
    topography: float = 1.0,
    elevation: float = 1.0,
    directionality: float = 1.0,
) -> float:
    """Velocity pressure 0.613 K_z K_zt K_e V^2, with K_d where it is handed over.

    Parameters
    ----------
    speed : float
        Basic wind speed V, 3-second gust at 10 m in exposure C, positive. [m/s]
    exposure, topography, elevation, directionality : float
        K_z, K_zt, K_e, K_d.

    Returns
    -------
    pressure : float
        [Pa]

    Raises
    ------
    ValueError
        A speed that is not positive.
    """
    if not speed > 0.0:
        raise ValueError(f"wind speed must be positive, not {speed}")
    return PRESSURE_CONSTANT * exposure * topography * elevation * directionality * speed**2


def rooftop_coefficient(area: float, reference: float | None, upper: float) -> float:
    """Force coefficient (GC_r) of 29.4.1.

    The upper value up to a tenth of the reference area, down to 1.0 in a straight line at the whole of it.

    Parameters
    ----------
    area : float
        A_f or A_r of the equipment, positive. [m2]
    reference : float, optional
        B h, or B L of the building; None, or none at ground level: the upper value. [m2]
    upper : float
        1.9 for the horizontal force, 1.5 for the uplift.

    Returns
    -------
    coefficient : float
    """
    if not reference:
        return upper
    share = (area / reference - 0.1) / 0.9
    return upper + (1.0 - upper) * min(max(share, 0.0), 1.0)


@dataclass(frozen=True)
class AsceWind:
    """Wind on a unit by ASCE 7, strength level.

    Parameters
    ----------
    edition : {"asce7-16", "asce7-22"}
        Which one.
    speed, exposure : float, str
        V [m/s] and its exposure.
    height : float
        Mean roof height h. [m]
    topography, elevation, directionality : float
        K_zt, K_e, K_d.
    building : tuple of float, optional
        Plan of the building; None: unknown, upper values of (GC_r). [m]
    """

    edition: Edition
    speed: float
    exposure: str
    height: float
    topography: float = 1.0
    elevation: float = 1.0
    directionality: float = DIRECTIONALITY
    building: tuple[float, float] | None = None

    @property
    def standard(self) -> str:
        """Name of the edition."""
        return TITLES[self.edition]

    @property
    def speed_text(self) -> str:
        """The wind in words."""
        return f"V {self.speed:g} m/s, exposure {self.exposure}, {self.height:g} m"

    @cached_property
    def pressure(self) -> float:
        """q_h without K_d. [Pa]"""
        kz = exposure_coefficient(self.height, self.exposure, self.edition)
        return velocity_pressure(self.speed, kz, self.topography, self.elevation)

    def coefficient(self, face: Face, area: float) -> float:
        """(GC_r) of a projected area [m2]; the greater side of the building is the safe one."""
        reference = None if self.building is None else max(self.building) * self.height
        return rooftop_coefficient(area, reference, HORIZONTAL)

    def force(self, face: Face, area: float) -> float:
        """Force on a projected area [m2] behind a face, not less than 0.77 kPa. [N]"""
        pressure = self.pressure * self.directionality * self.coefficient(face, area)
        return max(pressure, MINIMUM_PRESSURE) * area

    def uplift(self, area: float) -> float:
        """Upward force on a plan area [m2]. [N]"""
        reference = None if self.building is None else self.building[0] * self.building[1]
        coefficient = rooftop_coefficient(area, reference, VERTICAL)
        return self.pressure * self.directionality * coefficient * area

    def steps(self) -> tuple[Step, ...]:
        """The way to the pressure and the coefficients, line by line."""
        kz = exposure_coefficient(self.height, self.exposure, self.edition)
        z = max(self.height, LEAST_HEIGHT)
        early = self.edition == "asce7-16"
        kd = self.directionality
        name = self.standard
        found = [
            Step(
                "exposure coefficient",
                f"{_FACTOR[self.edition]:g} (z/zg)^(2/alpha)",
                f"{name} Table 26.10-1",
                f"z {z:.2f} m, exposure {self.exposure}",
                kz,
            ),
            Step("topographic factor", "", f"{name} 26.8", "", self.topography),
            Step("ground elevation factor", "exp(-0.000119 z)", f"{name} 26.9", "", self.elevation),
            Step("directionality factor", "", f"{name} Table 26.6-1 (from memory)", "", kd),
            Step(
                "velocity pressure",
                "0.613 Kz Kzt Kd Ke V^2" if early else "0.613 Kz Kzt Ke V^2",
                f"{name} 26.10-1",
                f"V {self.speed:g} m/s",
                self.pressure * (kd if early else 1.0),
                "Pa",
            ),
        ]
        size = "building's size unknown: upper value" if self.building is None else "by the building's size"
        kd_text = "" if early else "Kd "
        found += [
            Step(
                "horizontal coefficient of a small unit",
                f"qh {kd_text}(GCr) Af",
                f"{name} 29.4.1",
                size,
                HORIZONTAL,
            ),
            Step(
                "uplift coefficient of a small unit",
                f"qh {kd_text}(GCr) Ar",
                f"{name} 29.4.1",
                size,
                VERTICAL,
            ),
            Step("least pressure on Af", "", f"{name} 29.7", "strength level", MINIMUM_PRESSURE, "Pa"),
        ]
        return tuple(found)
