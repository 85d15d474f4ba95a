"""How long the servers run on when cooling is lost.

One node: C dT/dt = Q0 - k (T - T0), with k the envelope's conductance less the rise of IT power with
temperature, of either sign. The time to rise by dT is t = -(C/k) log1p(-k dT/Q0).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


def time_to_rise(heat: ArrayLike, conductance: ArrayLike, capacity: float, rise: ArrayLike) -> FloatArray:
    """Time until the liquid has warmed by `rise`.

    Parameters
    ----------
    heat : array_like, shape (...)
        Net heat into the liquid at the start. [W]
    conductance : array_like, shape (...)
        k of C dT/dt = Q0 - k (T - T0); negative where IT power grows faster than the envelope loses. [W/K]
    capacity : float
        Heat capacity that takes part. [J/K]
    rise : array_like, shape (...)
        From the start to the limit. [K]

    Returns
    -------
    ndarray, shape (...)
        0 where there is nothing to rise, infinite where the liquid settles below the limit, NaN where an
        input is NaN. [s]
    """
    q, k, dt = np.broadcast_arrays(
        np.asarray(heat, dtype=float), np.asarray(conductance, dtype=float), np.asarray(rise, dtype=float)
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = k * dt / q
        straight = capacity * dt / q
        curved = -(capacity / k) * np.log1p(-ratio)
        time = np.where(np.abs(ratio) < 1e-9, straight, curved)
    time = np.where((q <= 0.0) | (ratio >= 1.0), np.inf, time)
    time = np.where(dt <= 0.0, 0.0, time)
    unknown = np.isnan(q) | np.isnan(k) | np.isnan(dt)
    return np.where(unknown, np.nan, time)


def temperature_after(
    start: ArrayLike, heat: ArrayLike, conductance: ArrayLike, capacity: float, seconds: ArrayLike
) -> FloatArray:
    """Liquid temperature some time after cooling is lost.

    Parameters
    ----------
    start : array_like, shape (...)
        [degC]
    heat, conductance, capacity : array_like, shape (...), and float
        As in `time_to_rise`. [W], [W/K], [J/K]
    seconds : array_like, shape (...)
        Time since the loss. [s]

    Returns
    -------
    ndarray, shape (...)
        [degC]
    """
    first, q, k, t = (np.asarray(values, dtype=float) for values in (start, heat, conductance, seconds))
    exponent = k * t / capacity
    straight = np.abs(exponent) < 1e-9
    curved = -np.expm1(-exponent) / np.where(straight, 1.0, k)
    return np.asarray(first + q * np.where(straight, t / capacity, curved))
