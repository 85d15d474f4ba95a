"""Loops over the hours of a surface, behind `envelope.py`.

A surface balances steady - linear T - radiating T^4 = 0. The left side f is concave and falls with T; Halley's step,
-f f'/(f'^2 - f f''/2), leaves an error that goes with the third power of the one before. Three of them from the air
leave less than 1e-10 K, whatever sun, sky and liquid do to a surface outdoors.
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel
from edgecheck.base.constants import STEFAN_BOLTZMANN, ZERO_CELSIUS

FloatArray = NDArray[np.float64]

_STEPS = 3


@kernel
def _balanced(steady: float, linear: float, radiating: float, start: float) -> float:
    """Temperature [K] at which steady [W/m2] - linear [W/m2K] T - radiating [W/m2K4] T^4 vanishes."""
    temp = start
    for _ in range(_STEPS):
        square = temp * temp
        cube = radiating * square * temp
        net = steady - linear * temp - cube * temp
        fall = linear + 4.0 * cube
        temp += net * fall / (fall * fall + 6.0 * radiating * square * net)
    return temp


@kernel
def balance_face(
    irradiance: FloatArray,
    longwave: FloatArray,
    temp_air: FloatArray,
    film: FloatArray,
    absorptance: float,
    emissivity: float,
    conductance: float,
    temp_liquid: float,
    surface: FloatArray,
) -> None:
    """Fill `surface` [degC] of one face under irradiance and longwave [W/m2]; arrays of shape (time,)."""
    radiating = emissivity * STEFAN_BOLTZMANN
    for i in range(len(surface)):
        air = temp_air[i] + ZERO_CELSIUS
        gain = absorptance * irradiance[i] + emissivity * longwave[i]
        steady = gain + film[i] * air + conductance * (temp_liquid + ZERO_CELSIUS)
        surface[i] = _balanced(steady, film[i] + conductance, radiating, air) - ZERO_CELSIUS


@kernel
def add_face(
    surface: FloatArray,
    film: FloatArray,
    emissivity: float,
    area: float,
    conductance: float,
    temp_liquid: float,
    total: FloatArray,
    fall: FloatArray,
) -> None:
    """Add what comes through one face to `total` [W], and its fall with the liquid to `fall` [W/K]; shape (time,)."""
    radiating = emissivity * STEFAN_BOLTZMANN
    for i in range(len(surface)):
        kelvin = surface[i] + ZERO_CELSIUS
        outside = film[i] + 4.0 * radiating * (kelvin * kelvin * kelvin)
        total[i] += area * conductance * (surface[i] - temp_liquid)
        fall[i] += area * conductance * outside / (conductance + outside)
