"""Electrical input, partial PUE and cycling of the compressor.

Part load: on-off machines by EN 14825 with a degradation coefficient Cc of 0.9, in power form
P = P_full (0.9 CR + 0.1); variable speed P = P_full (a + (1-a) CR).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

CYCLING_OFFSET = 0.10  # 1 - Cc of EN 14825


def part_load_power(
    power_full: ArrayLike, capacity_ratio: ArrayLike, standby: float, offset: float = CYCLING_OFFSET
) -> FloatArray:
    """Mean power of a cooling section at part load.

    Parameters
    ----------
    power_full : array_like, shape (...)
        At full capacity. [W]
    capacity_ratio : array_like, shape (...)
        Cooling delivered over capacity, 0..1. [-]
    standby : float
        Power with no cooling asked for. [W]
    offset : float
        Share of full power that is left at vanishing load: 0.1 for on-off by EN 14825. [-]

    Returns
    -------
    ndarray, shape (...)
        [W]
    """
    full = np.asarray(power_full, dtype=float)
    ratio = np.clip(np.asarray(capacity_ratio, dtype=float), 0.0, 1.0)
    return np.where(ratio > 0.0, full * ((1.0 - offset) * ratio + offset), standby)


def cycling(
    capacity: ArrayLike, load: ArrayLike, heat_capacity: float, band: float
) -> tuple[FloatArray, FloatArray]:
    """Starts an hour and run time of an on-off machine that holds a band.

    Parameters
    ----------
    capacity, load : array_like, shape (...)
        At the setpoint. [W]
    heat_capacity : float
        Of the bath. [J/K]
    band : float
        Control band. [K]

    Returns
    -------
    starts, run : ndarray, shape (...)
        3600/(on + off) with on = C band/(Q_cap - Q), off = C band/Q; 0 starts and infinite run where the
        machine never stops, 0 starts where it never runs. [1/h], [s]
    """
    cap = np.asarray(capacity, dtype=float)
    heat = np.asarray(load, dtype=float)
    swings = (heat > 0.0) & (cap > heat)
    with np.errstate(divide="ignore", invalid="ignore"):
        on = np.where(swings, heat_capacity * band / (cap - heat), np.inf)
        off = np.where(swings, heat_capacity * band / heat, 0.0)
        starts = np.where(swings, 3600.0 / (on + off), 0.0)
    return starts, on
