"""Heat through the shell: roof surface, outer surfaces, heat into the liquid and its split by cause.

Each outer surface and the roof deck solve their own balance of sun, longwave, convection and conduction

    alpha I + eps (L_in - sigma Ts^4) + hc (Ta - Ts) + (Tl - Ts)/(1/h_in + R) = 0

by Newton's method, all hours at once. The left side is concave and falls with Ts, so Newton's method
converges from any start. Convection hc = 4 + 4 v: ISO 6946:2017 Annex C. Every heat term is positive into
the liquid.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import STEFAN_BOLTZMANN, ZERO_CELSIUS

FloatArray = NDArray[np.float64]

FACES = ("lid", "front", "right", "back", "left", "floor")
MIN_WIND_ON_ROOF = 1.0  # m/s, engineering default: buoyant mixing over a hot deck, stall of the anemometer
_TOLERANCE = 1e-10  # K
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
    return 4.0 * emissivity * STEFAN_BOLTZMANN * (np.asarray(temp_mean, dtype=float) + ZERO_CELSIUS) ** 3


def surface_temperature(
    absorbed: ArrayLike,
    longwave_in: ArrayLike,
    temp_air: ArrayLike,
    convection: ArrayLike,
    *,
    emissivity: float,
    conductance: float = 0.0,
    temp_inside: ArrayLike = 0.0,
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
    conductance : float
        From the inside to the surface, 1/(1/h_in + R); 0 for an insulated deck. [W/m2K]
    temp_inside : array_like, shape (...)
        Liquid behind the shell. [degC]

    Returns
    -------
    ndarray, shape (...)
        Surface temperature; NaN where an input is NaN. [degC]
    """
    air = np.asarray(temp_air, dtype=float) + ZERO_CELSIUS
    inside = np.asarray(temp_inside, dtype=float) + ZERO_CELSIUS
    hc = np.asarray(convection, dtype=float)
    gain = np.asarray(absorbed, dtype=float) + emissivity * np.asarray(longwave_in, dtype=float)
    steady = gain + hc * air + conductance * inside
    linear = hc + conductance
    radiating = emissivity * STEFAN_BOLTZMANN
    surface = np.broadcast_to(air, np.broadcast_shapes(steady.shape, linear.shape)).copy()
    for _ in range(_MAX_STEPS):
        cube = surface * surface * surface
        step = (steady - linear * surface - radiating * cube * surface) / (linear + 4.0 * radiating * cube)
        surface += step
        if not np.any(np.abs(step) > _TOLERANCE):
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
    solar, longwave, envelope : ndarray, shape (time,)
        Parts of `total`: sun on the box, longwave exchange beyond black surroundings at air temperature, and
        the rest (exchange with air). They add up to it. [W]
    conductance : ndarray, shape (time,)
        Exact derivative -d(total)/d(liquid temperature) there. [W/K]
    surfaces : ndarray, shape (6, time)
        Outer surface temperatures in the order of FACES. [degC]
    """

    total: FloatArray
    solar: FloatArray
    longwave: FloatArray
    envelope: FloatArray
    conductance: FloatArray
    surfaces: FloatArray


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
    from_roof = (
        roof_emissivity * STEFAN_BOLTZMANN * (roof + ZERO_CELSIUS) ** 4
        + (1.0 - roof_emissivity) * longwave_down
    )
    return longwave_down, (longwave_down + from_roof) / 2.0, from_roof


def _into_liquid(
    shell: Shell,
    irradiance: FloatArray,
    longwave_in: FloatArray,
    temp_air: FloatArray,
    convection: FloatArray,
    temp_liquid: float,
) -> tuple[FloatArray, FloatArray]:
    """Heat into the liquid [W] summed over the faces, and the surface temperatures."""
    surfaces = np.stack(
        [
            surface_temperature(
                shell.absorptance * irradiance[face],
                longwave_in[face],
                temp_air,
                convection,
                emissivity=shell.emissivity,
                conductance=float(shell.conductance[face]),
                temp_inside=temp_liquid,
            )
            for face in range(len(FACES))
        ]
    )
    weight = (shell.area * shell.conductance).reshape((-1,) + (1,) * (surfaces.ndim - 1))
    return np.sum(weight * (surfaces - temp_liquid), axis=0), surfaces


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
    surroundings = np.stack([lid, wall, wall, wall, wall, floor])
    convection = convection_coefficient(wind_at_unit)
    return _into_liquid(shell, irradiance, surroundings, temp_air, convection, temp_liquid)[0]


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
    lid, wall, floor = longwave_on_faces(longwave_down, roof, roof_emissivity)
    surroundings = np.stack([lid, wall, wall, wall, wall, floor])
    black = np.broadcast_to(STEFAN_BOLTZMANN * (temp_air + ZERO_CELSIUS) ** 4, surroundings.shape)
    convection = convection_coefficient(wind_at_unit)
    dark = np.zeros_like(irradiance)

    total, surfaces = _into_liquid(shell, irradiance, surroundings, temp_air, convection, temp_liquid)
    without_sun, _ = _into_liquid(shell, dark, surroundings, temp_air, convection, temp_liquid)
    black_and_dark, _ = _into_liquid(shell, dark, black, temp_air, convection, temp_liquid)

    outside = convection + radiation_coefficient(surfaces, shell.emissivity)
    inside = shell.conductance.reshape((-1,) + (1,) * (surfaces.ndim - 1))
    area = shell.area.reshape(inside.shape)
    conductance = np.sum(area * inside * outside / (inside + outside), axis=0)
    return EnvelopeHeat(
        total=total,
        solar=total - without_sun,
        longwave=without_sun - black_and_dark,
        envelope=black_and_dark,
        conductance=conductance,
        surfaces=surfaces,
    )
