"""Heat through the shell: roof surface, outer surfaces, heat into the liquid and its split by cause.

Each outer surface and the roof deck solve their own balance of sun, longwave, convection and conduction

    alpha I + eps (L_in - sigma Ts^4) + hc (Ta - Ts) + (Tl - Ts)/(1/h_in + R) = 0

in the loops of `envelope_kernel.py`, which start from the air. Convection hc = 4 + 4 v: ISO 6946:2017 Annex C. Every
heat term is positive into the liquid.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, partial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import STEFAN_BOLTZMANN, ZERO_CELSIUS
from edgecheck.heat.envelope_kernel import add_face, balance_face

FloatArray = NDArray[np.float64]

FACES = ("lid", "front", "right", "back", "left", "floor")
MIN_WIND_ON_ROOF = 1.0  # m/s, engineering default: buoyant mixing over a hot deck, stall of the anemometer


def convection_coefficient(wind: ArrayLike) -> FloatArray:
    """Outside convection coefficient, ISO 6946:2017 Annex C.

    Parameters
    ----------
    wind : array_like, shape (...)
        Wind at the surface. [m/s]

    Returns
    -------
    ndarray, shape (...)
        4 + 4 v. [W/m2K]
    """
    return 4.0 + 4.0 * np.asarray(wind, dtype=float)


def roof_temperature(
    ghi: FloatArray,
    longwave_down: FloatArray,
    temp_air: FloatArray,
    wind_at_unit: FloatArray,
    *,
    absorptance: float,
    emissivity: float,
) -> FloatArray:
    """Temperature of the roof surface: unshaded sun, sky above, no heat from below.

    Parameters
    ----------
    ghi, longwave_down : ndarray, shape (time,)
        Global horizontal irradiance; sky longwave. [W/m2]
    temp_air : ndarray, shape (time,)
        Outdoor air. [degC]
    wind_at_unit : ndarray, shape (time,)
        Share of the station's wind that reaches the roof; not below 1 m/s here. [m/s]
    absorptance, emissivity : float
        Of the roof surface. [-]

    Returns
    -------
    ndarray, shape (time,)
        NaN where an input is NaN. [degC]
    """
    film = convection_coefficient(np.maximum(MIN_WIND_ON_ROOF, wind_at_unit))
    sun, longwave, air = (np.ascontiguousarray(one) for one in (ghi, longwave_down, temp_air))
    roof = np.empty(len(air))
    balance_face(sun, longwave, air, film, float(absorptance), float(emissivity), 0.0, 0.0, roof)
    return roof


@dataclass(frozen=True)
class Shell:
    """The box as the envelope sees it.

    Parameters
    ----------
    area : ndarray, shape (6,)
        Areas in the order of FACES, without the feet. [m2]
    conductance : ndarray, shape (6,)
        1/(1/h_in + R) of each face. [W/m2K]
    absorptance, emissivity : float
        Of the outer surface. [-]
    """

    area: FloatArray
    conductance: FloatArray
    absorptance: float
    emissivity: float


@dataclass(frozen=True)
class EnvelopeHeat:
    """Heat through the shell with the liquid at one temperature.

    Parameters
    ----------
    total : ndarray, shape (time,)
        Into the liquid. [W]
    conductance : ndarray, shape (time,)
        Exact derivative -d(total)/d(liquid temperature) there. [W/K]
    surfaces : ndarray, shape (6, time)
        Outer surface temperatures in the order of FACES. [degC]
    in_the_dark : callable
        Total without sun, and in the dark in black surroundings at air temperature, shape (time,) each. [W]
    """

    total: FloatArray
    conductance: FloatArray
    surfaces: FloatArray
    in_the_dark: Callable[[], tuple[FloatArray, FloatArray]]

    @cached_property
    def _dark(self) -> tuple[FloatArray, FloatArray]:
        return self.in_the_dark()

    @property
    def solar(self) -> FloatArray:
        """Part of `total` that is the sun on the box, shape (time,). [W]"""
        return np.asarray(self.total - self._dark[0])

    @property
    def longwave(self) -> FloatArray:
        """Part of `total` by longwave exchange beyond black surroundings at air temperature, shape (time,). [W]"""
        return np.asarray(self._dark[0] - self._dark[1])

    @property
    def envelope(self) -> FloatArray:
        """The rest of `total`, exchange with the air, shape (time,). [W]"""
        return self._dark[1]


def longwave_on_faces(
    longwave_down: FloatArray, roof: FloatArray, roof_emissivity: float
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Longwave on lid, walls and floor.

    Parameters
    ----------
    longwave_down : ndarray, shape (time,)
        Sky longwave. [W/m2]
    roof : ndarray, shape (time,)
        Roof surface. [degC]
    roof_emissivity : float
        Of the roof. [-]

    Returns
    -------
    lid, wall, floor : ndarray, shape (time,)
        The sky; half sky and half roof; the roof, with the sky it reflects. [W/m2]
    """
    square = (roof + ZERO_CELSIUS) ** 2
    from_roof = (
        roof_emissivity * STEFAN_BOLTZMANN * (square * square) + (1.0 - roof_emissivity) * longwave_down
    )
    return longwave_down, (longwave_down + from_roof) / 2.0, from_roof


def outer_surfaces(
    shell: Shell,
    irradiance: FloatArray,
    longwave_in: tuple[FloatArray, FloatArray, FloatArray],
    temp_air: FloatArray,
    convection: FloatArray,
    temp_liquid: float,
) -> FloatArray:
    """Outer surface temperatures.

    Parameters
    ----------
    shell : Shell
        The box.
    irradiance : ndarray, shape (6, time)
        On the faces. [W/m2]
    longwave_in : tuple of ndarray, shape (time,)
        On lid, walls and floor. [W/m2]
    temp_air, convection : ndarray, shape (time,)
        [degC], [W/m2K]
    temp_liquid : float
        [degC]

    Returns
    -------
    ndarray, shape (6, time)
        In the order of FACES. [degC]
    """
    lid, wall, floor = (np.ascontiguousarray(one) for one in longwave_in)
    sun, air, film = (np.ascontiguousarray(one) for one in (irradiance, temp_air, convection))
    absorptance, emissivity, liquid = float(shell.absorptance), float(shell.emissivity), float(temp_liquid)
    surfaces = np.empty((len(FACES), len(air)))
    for face, longwave in enumerate((lid, wall, wall, wall, wall, floor)):
        through = float(shell.conductance[face])
        balance_face(sun[face], longwave, air, film, absorptance, emissivity, through, liquid, surfaces[face])
    return surfaces


def envelope_heat(
    shell: Shell,
    irradiance: FloatArray,
    longwave_down: FloatArray,
    roof: FloatArray,
    roof_emissivity: float,
    temp_air: FloatArray,
    wind_at_unit: FloatArray,
    temp_liquid: float,
) -> EnvelopeHeat:
    """Heat through the shell into the liquid, with its split.

    Parameters
    ----------
    shell : Shell
        The box.
    irradiance : ndarray, shape (6, time)
        On the faces in the order of FACES; the floor gets none. [W/m2]
    longwave_down : ndarray, shape (time,)
        Sky longwave. [W/m2]
    roof : ndarray, shape (time,)
        Roof surface in full sun, held for the split. [degC]
    roof_emissivity : float
        Of the roof. [-]
    temp_air : ndarray, shape (time,)
        Outdoor air. [degC]
    wind_at_unit : ndarray, shape (time,)
        [m/s]
    temp_liquid : float
        Temperature at which the balance is solved and linearised. [degC]

    Returns
    -------
    EnvelopeHeat
    """
    longwave = longwave_on_faces(longwave_down, roof, roof_emissivity)
    convection = convection_coefficient(wind_at_unit)
    total, conductance, surfaces = _into_liquid(
        shell, irradiance, longwave, temp_air, convection, temp_liquid
    )
    in_the_dark = partial(_in_the_dark, shell, longwave, temp_air, convection, temp_liquid)
    return EnvelopeHeat(total, conductance, surfaces, in_the_dark)


def _into_liquid(
    shell: Shell,
    irradiance: FloatArray,
    longwave_in: tuple[FloatArray, FloatArray, FloatArray],
    temp_air: FloatArray,
    convection: FloatArray,
    temp_liquid: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Heat into the liquid [W] over all faces, its fall with the liquid [W/K], the surfaces [degC]."""
    surfaces = outer_surfaces(shell, irradiance, longwave_in, temp_air, convection, temp_liquid)
    emissivity, liquid = float(shell.emissivity), float(temp_liquid)
    total, fall = np.zeros((2, len(temp_air)))
    for surface, area, through in zip(surfaces, shell.area.tolist(), shell.conductance.tolist(), strict=True):
        add_face(surface, convection, emissivity, area, through, liquid, total, fall)
    return total, fall, surfaces


def _in_the_dark(
    shell: Shell,
    longwave_in: tuple[FloatArray, FloatArray, FloatArray],
    temp_air: FloatArray,
    convection: FloatArray,
    temp_liquid: float,
) -> tuple[FloatArray, FloatArray]:
    """Totals [W] without sun: as it is, and in black surroundings at air temperature."""
    dark = np.zeros((len(FACES), len(temp_air)))
    black = (STEFAN_BOLTZMANN * (temp_air + ZERO_CELSIUS) ** 4,) * 3
    return (
        _into_liquid(shell, dark, longwave_in, temp_air, convection, temp_liquid)[0],
        _into_liquid(shell, dark, black, temp_air, convection, temp_liquid)[0],
    )
