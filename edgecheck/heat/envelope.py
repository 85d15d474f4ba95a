"""Heat through the shell: roof surface, outer surfaces, heat into the liquid and its split by cause.

Each outer surface and the roof deck solve their own balance of sun, longwave, convection and conduction

    alpha I + eps (L_in - sigma Ts^4) + hc (Ta - Ts) + (Tl - Ts)/(1/h_in + R) = 0

by Newton's method, all hours at once. The left side is concave and falls with Ts, so Newton's method
converges from any start, and a step of d leaves an error of at most 6 eps sigma T^2/(hc + 1/(1/h_in + R)) d^2, below
0.01 d^2. Walls differ only in their sun: in the dark they are one wall. Convection hc = 4 + 4 v: ISO 6946:2017 Annex
C. Every heat term is positive into the liquid.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import STEFAN_BOLTZMANN, ZERO_CELSIUS

FloatArray = NDArray[np.float64]

FACES = ("lid", "front", "right", "back", "left", "floor")
_LID, _FLOOR = 0, 5  # the walls lie between
MIN_WIND_ON_ROOF = 1.0  # m/s, engineering default: buoyant mixing over a hot deck, stall of the anemometer
_LAST_STEP = 1e-6  # K; what it leaves is below 1e-13 K
_MAX_STEPS = 40


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


def radiation_coefficient(temp_mean: ArrayLike, emissivity: float = 1.0) -> FloatArray:
    """Radiation coefficient about a mean temperature, ISO 6946:2017 Annex C.

    Parameters
    ----------
    temp_mean : array_like, shape (...)
        Mean of surface and surroundings. [degC]
    emissivity : float
        Of the surface. [-]

    Returns
    -------
    ndarray, shape (...)
        4 eps sigma T^3. [W/m2K]
    """
    kelvin = np.asarray(temp_mean, dtype=float) + ZERO_CELSIUS
    return np.asarray(4.0 * emissivity * STEFAN_BOLTZMANN * (kelvin * kelvin * kelvin))


def surface_temperature(
    absorbed: ArrayLike,
    longwave_in: ArrayLike,
    temp_air: ArrayLike,
    convection: ArrayLike,
    *,
    emissivity: float,
    conductance: ArrayLike = 0.0,
    temp_inside: ArrayLike = 0.0,
    start: ArrayLike | None = None,
) -> FloatArray:
    """Temperature of a surface that balances sun, longwave, convection and conduction.

    Parameters
    ----------
    absorbed : array_like, shape (...)
        Absorbed irradiance, absorptance times irradiance. [W/m2]
    longwave_in : array_like, shape (...)
        Longwave that falls on the surface. [W/m2]
    temp_air : array_like, shape (...)
        Outdoor air. [degC]
    convection : array_like, shape (...)
        Convection coefficient. [W/m2K]
    emissivity : float
        Of the surface. [-]
    conductance : array_like, shape (...)
        From the inside to the surface, 1/(1/h_in + R); 0 for an insulated deck. [W/m2K]
    temp_inside : array_like, shape (...)
        Liquid behind the shell. [degC]
    start : array_like, shape (...), optional
        Where the search begins; the air if not given. [degC]

    Returns
    -------
    ndarray, shape (...)
        Surface temperature; NaN where an input is NaN. [degC]
    """
    air = np.asarray(temp_air, dtype=float) + ZERO_CELSIUS
    inside = np.asarray(temp_inside, dtype=float) + ZERO_CELSIUS
    hc = np.asarray(convection, dtype=float)
    gain = np.asarray(absorbed, dtype=float) + emissivity * np.asarray(longwave_in, dtype=float)
    through = np.asarray(conductance, dtype=float)
    steady = np.asarray(gain + hc * air + through * inside)
    linear = np.asarray(hc + through)
    radiating = emissivity * STEFAN_BOLTZMANN
    first = air if start is None else np.asarray(start, dtype=float) + ZERO_CELSIUS
    surface = np.broadcast_to(first, np.broadcast_shapes(first.shape, steady.shape, linear.shape)).copy()
    for _ in range(_MAX_STEPS):
        # Newton's step from T, written as its end: (steady + 3 eps sigma T^4)/(linear + 4 eps sigma T^3)
        cube = surface * surface
        cube *= surface
        cube *= radiating
        end = cube * surface
        end *= 3.0
        end += steady
        cube *= 4.0
        cube += linear
        end /= cube
        surface -= end
        moving = np.any(np.abs(surface, out=surface) > _LAST_STEP)
        surface = end
        if not moving:
            break
    return surface - ZERO_CELSIUS


def roof_temperature(
    ghi: ArrayLike,
    longwave_down: ArrayLike,
    temp_air: ArrayLike,
    wind_at_unit: ArrayLike,
    *,
    absorptance: float,
    emissivity: float,
) -> FloatArray:
    """Temperature of the roof surface: unshaded sun, sky above, no heat from below.

    Parameters
    ----------
    ghi, longwave_down : array_like, shape (...)
        Global horizontal irradiance; sky longwave. [W/m2]
    temp_air : array_like, shape (...)
        Outdoor air. [degC]
    wind_at_unit : array_like, shape (...)
        Share of the station's wind that reaches the roof; not below 1 m/s here. [m/s]
    absorptance, emissivity : float
        Of the roof surface. [-]

    Returns
    -------
    ndarray, shape (...)
        [degC]
    """
    wind = np.maximum(MIN_WIND_ON_ROOF, np.asarray(wind_at_unit, dtype=float))
    return surface_temperature(
        absorptance * np.asarray(ghi, dtype=float),
        longwave_down,
        temp_air,
        convection_coefficient(wind),
        emissivity=emissivity,
    )


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
    irradiance : ndarray, shape (6, ...)
        On the faces. [W/m2]
    longwave_in : tuple of ndarray, shape (...)
        On lid, walls and floor. [W/m2]
    temp_air, convection : ndarray, shape (...)
        [degC], [W/m2K]
    temp_liquid : float
        [degC]

    Returns
    -------
    ndarray, shape (6, ...)
        In the order of FACES. [degC]
    """
    shape = np.broadcast_shapes(irradiance.shape[1:], *(np.shape(one) for one in (temp_air, convection)))
    hours = int(np.prod(shape))
    air, hc = (np.broadcast_to(one, shape).reshape(hours) for one in (temp_air, convection))
    sun = shell.absorptance * np.broadcast_to(irradiance, (len(FACES), *shape)).reshape(len(FACES), hours)
    lid, wall, floor = (np.broadcast_to(one, shape).reshape(hours) for one in longwave_in)

    def solved(
        absorbed: FloatArray, longwave: FloatArray, face: int, at: FloatArray, film: FloatArray, **start: Any
    ) -> FloatArray:
        return surface_temperature(
            absorbed, longwave, at, film, emissivity=shell.emissivity, temp_inside=temp_liquid,
            conductance=float(shell.conductance[face]), **start,
        )  # fmt: skip

    surfaces = np.empty((len(FACES), hours))
    surfaces[_LID] = solved(sun[_LID], lid, _LID, air, hc)
    surfaces[_FLOOR] = solved(sun[_FLOOR], floor, _FLOOR, air, hc)
    walls = range(_LID + 1, _FLOOR)
    lit = np.flatnonzero(np.any(sun[_LID + 1 : _FLOOR] != 0.0, axis=0))
    dark: dict[float, FloatArray] = {}
    for face in walls:
        through = float(shell.conductance[face])
        if through not in dark:
            dark[through] = solved(np.zeros(1), wall, face, air, hc)
        surfaces[face] = without_sun = dark[through]
        surfaces[face, lit] = solved(
            sun[face, lit], wall[lit], face, air[lit], hc[lit], start=without_sun[lit]
        )
    return surfaces.reshape(len(FACES), *shape)


def _into_liquid(
    shell: Shell,
    irradiance: FloatArray,
    longwave_in: tuple[FloatArray, FloatArray, FloatArray],
    temp_air: FloatArray,
    convection: FloatArray,
    temp_liquid: float,
) -> tuple[FloatArray, FloatArray]:
    """Heat into the liquid [W] summed over the faces, and the surface temperatures."""
    surfaces = outer_surfaces(shell, irradiance, longwave_in, temp_air, convection, temp_liquid)
    heat = np.einsum("f,f...->...", shell.area * shell.conductance, surfaces - temp_liquid)
    return np.asarray(heat), surfaces


def envelope_total(
    shell: Shell,
    irradiance: FloatArray,
    longwave_down: FloatArray,
    roof: FloatArray,
    roof_emissivity: float,
    temp_air: FloatArray,
    wind_at_unit: FloatArray,
    temp_liquid: float,
) -> FloatArray:
    """Heat through the shell into the liquid without its split; parameters as in `envelope_heat`. [W]"""
    lid, wall, floor = longwave_on_faces(longwave_down, roof, roof_emissivity)
    convection = convection_coefficient(wind_at_unit)
    return _into_liquid(shell, irradiance, (lid, wall, floor), temp_air, convection, temp_liquid)[0]


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
    total, surfaces = _into_liquid(shell, irradiance, longwave, temp_air, convection, temp_liquid)

    outside = convection + radiation_coefficient(surfaces, shell.emissivity)
    inside = shell.conductance.reshape((-1,) + (1,) * (surfaces.ndim - 1))
    area = shell.area.reshape(inside.shape)
    conductance = np.sum(area * inside * outside / (inside + outside), axis=0)
    in_the_dark = partial(_in_the_dark, shell, longwave, temp_air, convection, temp_liquid)
    return EnvelopeHeat(total, conductance, surfaces, in_the_dark)


def _in_the_dark(
    shell: Shell,
    longwave_in: tuple[FloatArray, FloatArray, FloatArray],
    temp_air: FloatArray,
    convection: FloatArray,
    temp_liquid: float,
) -> tuple[FloatArray, FloatArray]:
    """Totals [W] without sun: as it is, and in black surroundings at air temperature."""
    dark = np.zeros((len(FACES), 1))
    black = (STEFAN_BOLTZMANN * (temp_air + ZERO_CELSIUS) ** 4,) * 3
    return (
        _into_liquid(shell, dark, longwave_in, temp_air, convection, temp_liquid)[0],
        _into_liquid(shell, dark, black, temp_air, convection, temp_liquid)[0],
    )
