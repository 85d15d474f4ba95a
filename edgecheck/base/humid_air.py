"""Properties of air at the site.

Density is that of dry air as an ideal gas; at 35 degC and 40 % relative humidity humid air is 0.9 % lighter,
which the rating of the air side absorbs.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import GAS_CONSTANT_DRY_AIR, ZERO_CELSIUS


def air_density(temp_air: ArrayLike, pressure: ArrayLike) -> NDArray[np.float64]:
    """Density of dry air, ideal gas.

    Parameters
    ----------
    temp_air : array_like, shape (...)
        Air temperature. [degC]
    pressure : array_like, shape (...)
        Air pressure. [Pa]

    Returns
    -------
    density : ndarray, shape (...)
        p/(R T) with R 287.042 J/kgK. [kg/m3]
    """
    kelvin = np.asarray(temp_air, dtype=float) + ZERO_CELSIUS
    return np.asarray(np.asarray(pressure, dtype=float) / (GAS_CONSTANT_DRY_AIR * kelvin))
