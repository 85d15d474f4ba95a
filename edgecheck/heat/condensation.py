"""Water on cold surfaces: the coldest wetted surface against the dew point, and the insulation that keeps it dry.

While the compressor runs, the coldest surface that touches outside air holds evaporating refrigerant: liquid that
arrives, less what the cooling section takes out of it, less the evaporator's approach. While it stands, every
surface is as warm as the liquid. A flat layer of insulation carries

    (T_air - T_outside) h = (T_outside - T_surface)/R

and stays dry where T_outside reaches the dew point, so R = (T_dew - T_surface)/(h (T_air - T_dew)). On a pipe
less does: the outside is larger than the inside. In saturated air no insulation does.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

OUTER_FILM = 8.0  # W/m2K, engineering default: still air and radiation on a matt horizontal pipe
FOAM_CONDUCTIVITY = 0.036  # W/mK, engineering default: closed-cell foam near 10 degC
DESIGN_HUMIDITY = (
    90.0  # %, engineering default: insulation is chosen for air up to it; beyond, the layer grows fast
)


def coldest_surface(
    liquid: ArrayLike, running: ArrayLike, duty: ArrayLike, heat_rate: float, approach: float
) -> FloatArray:
    """Temperature of the coldest wetted surface.

    Parameters
    ----------
    liquid : array_like, shape (...)
        Arriving at the cooling section. [degC]
    running : array_like of bool, shape (...)
        Whether the cooling section runs.
    duty : array_like, shape (...)
        What it takes out while it runs. [W]
    heat_rate : float
        Mass flow times specific heat of the liquid. [W/K]
    approach : float
        Leaving liquid minus evaporating temperature; 0 without a compressor. [K]

    Returns
    -------
    ndarray, shape (...)
        T - Q/(m cp) - approach, or T where it stands. [degC]
    """
    at_rest = np.asarray(liquid, dtype=float)
    below = np.asarray(duty, dtype=float) / heat_rate + approach
    return np.where(np.asarray(running, dtype=bool), at_rest - below, at_rest)


def insulation_resistance(
    surface: ArrayLike, temp_air: ArrayLike, temp_dew: ArrayLike, film: float = OUTER_FILM
) -> FloatArray:
    """Least thermal resistance of a flat layer whose outside stays at the dew point.

    Parameters
    ----------
    surface, temp_air, temp_dew : array_like, shape (...)
        [degC]
    film : float
        From air to the outside of the layer. [W/m2K]

    Returns
    -------
    ndarray, shape (...)
        0 where the surface is dry bare, infinite in saturated air, NaN where an input is NaN. [m2K/W]
    """
    cold, air, dew = np.broadcast_arrays(
        *(np.asarray(values, dtype=float) for values in (surface, temp_air, temp_dew))
    )
    below, room = dew - cold, air - dew
    with np.errstate(divide="ignore", invalid="ignore"):
        needed = np.where(room > 0.0, below / (film * room), np.inf)
    resistance = np.where(below > 0.0, needed, 0.0)
    return np.where(np.isnan(below) | np.isnan(room), np.nan, resistance)
