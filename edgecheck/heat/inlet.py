"""Air into the cooling section, and what altitude and fouling make of it.

Mixing with warm air off the roof and recirculation of discharge air are balances; the air-side factor
reproduces the published altitude factors of air-cooled condensers (0.95, 0.90, 0.85, 0.80 at 762, 1525, 2285,
3050 m) by density to the power 0.6, the exponent of heat transfer at finned coils.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import HEAT_CAPACITY_AIR, STANDARD_PRESSURE
from edgecheck.base.humid_air import air_density

FloatArray = NDArray[np.float64]


def roof_mixing_rise(temp_air: ArrayLike, roof: ArrayLike, mixing: float) -> FloatArray:
    """Warming of the inlet air by air off the roof.

    Parameters
    ----------
    temp_air, roof : array_like, shape (...)
        Outdoor air; roof surface. [degC]
    mixing : float
        Share of roof-warm air in the inlet. [-]

    Returns
    -------
    ndarray, shape (...)
        m (T_roof - T_air) where the roof is the warmer, else 0. [K]
    """
    return mixing * np.maximum(0.0, np.asarray(roof, dtype=float) - np.asarray(temp_air, dtype=float))


def recirculation_rise(
    temp_air: ArrayLike, pressure: ArrayLike, share: float, heat_rejected: ArrayLike, airflow: float
) -> FloatArray:
    """Warming of the inlet air by the unit's own discharge air.

    Parameters
    ----------
    temp_air, pressure : array_like, shape (...)
        Outdoor air. [degC], [Pa]
    share : float
        Share of the inlet air that is discharge air, below 1. [-]
    heat_rejected : array_like, shape (...)
        Heat given to the air. [W]
    airflow : float
        Volume flow through the coil. [m3/s]

    Returns
    -------
    ndarray, shape (...)
        r/(1-r) Q/(rho cp V): the mixing balance of a stream that is partly its own discharge. [K]
    """
    rise = np.asarray(heat_rejected, dtype=float) / (
        air_density(temp_air, pressure) * HEAT_CAPACITY_AIR * airflow
    )
    return np.asarray(share / (1.0 - share) * rise)


def air_side_factor(pressure: ArrayLike, fouling: float, airflow_ratio: float = 1.0) -> FloatArray:
    """Growth of (condensing - inlet air) for the same heat, by thin air, fouling and a slowed fan.

    Parameters
    ----------
    pressure : array_like, shape (...)
        At the site. [Pa]
    fouling : float
        Share of air-side heat transfer lost between cleanings. [-]
    airflow_ratio : float
        Airflow over that at full fan speed, above 0. [-]

    Returns
    -------
    ndarray, shape (...)
        1/((d n)^0.6 (1-f)), d = p/101325, n the airflow ratio: heat transfer goes with the air's mass flow. [-]
    """
    relative = np.asarray(pressure, dtype=float) / STANDARD_PRESSURE * airflow_ratio
    return np.asarray(1.0 / (relative**0.6 * (1.0 - fouling)))
