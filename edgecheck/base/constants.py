"""Physical constants and the standard atmosphere.

Sources: CODATA 2018 (Stefan-Boltzmann), ISO 80000 (zero Celsius), CGPM 1901 (standard gravity),
dry-air gas constant and specific heat as used throughout the program; the standard-atmosphere power law
is that of the ICAO/ISO 2533 troposphere in the form printed by ASHRAE Fundamentals.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4
ZERO_CELSIUS = 273.15  # K
GRAVITY = 9.80665  # m/s2
GAS_CONSTANT_DRY_AIR = 287.042  # J/kgK
HEAT_CAPACITY_AIR = 1006.0  # J/kgK
STANDARD_PRESSURE = 101_325.0  # Pa
LAPSE_RATE = 0.0065  # K/m


def standard_pressure(elevation: ArrayLike) -> NDArray[np.float64]:
    """Pressure of the standard atmosphere.

    Parameters
    ----------
    elevation : array_like, shape (...)
        Height above sea level. [m]

    Returns
    -------
    pressure : ndarray, shape (...)
        101325 (1 - 2.25577e-5 z)^5.25588. [Pa]
    """
    z = np.asarray(elevation, dtype=float)
    return np.asarray(STANDARD_PRESSURE * (1.0 - 2.25577e-5 * z) ** 5.25588)
