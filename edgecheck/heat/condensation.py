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

from edgecheck.base.compiled import kernel
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries

FloatArray = NDArray[np.float64]

OUTER_FILM = 8.0  # W/m2K, engineering default: still air and radiation on a matt horizontal pipe
FOAM_CONDUCTIVITY = 0.036  # W/mK, engineering default: closed-cell foam near 10 degC
DESIGN_HUMIDITY = (
    90.0  # %, engineering default: insulation is chosen for air up to it; beyond, the layer grows fast
)


def coldest_surface(
    series: HeatSeries, machine: Machine, heat_rate: float, approach: float | None
) -> FloatArray:
    """Temperature of the coldest wetted surface in every hour of a series.

    Parameters
    ----------
    series : HeatSeries
        Shape (time,).
    machine : Machine
        The unit.
    heat_rate : float
        Mass flow times specific heat of the liquid. [W/K]
    approach : float or None
        Leaving liquid minus evaporating temperature; None for a kind without a compressor, whose surfaces are not
        colder than the air that cools them. [K]

    Returns
    -------
    ndarray, shape (time,)
        T - Q/(m cp) - approach while the cooling section runs, T where it stands. [degC]
    """
    lowest, half_band = series.course.lowest, machine.band / 2.0
    coolest = np.where(lowest <= machine.setpoint, lowest - half_band, lowest)
    arriving = np.maximum(coolest, machine.setpoint - half_band)  # colder liquid does not start the machine
    full = series.curve.capacity_at(arriving)
    # a machine that is switched on and off runs at full capacity; one that follows takes out what is put in
    duty = full if machine.band > 0.0 else np.clip(series.load.at_setpoint, 0.0, full)
    surface = np.empty_like(arriving)
    _surfaces(arriving, coolest, duty, series.capacity_ratio, heat_rate, approach or 0.0, surface)
    if approach is None:
        surface = np.maximum(surface, np.minimum(coolest, series.surroundings.inlet_air))
    return surface


@kernel
def _surfaces(
    arriving: FloatArray,
    coolest: FloatArray,
    duty: FloatArray,
    ratio: FloatArray,
    heat_rate: float,
    approach: float,
    surface: FloatArray,
) -> None:
    """Liquid that arrives less Q/(m cp) and approach where the machine runs, not above the coolest liquid. [degC]"""
    for i in range(len(surface)):
        below = duty[i] / heat_rate + approach
        cold, rest = arriving[i] - (below if ratio[i] > 0.0 else 0.0), coolest[i]
        surface[i] = rest if rest < cold else cold


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
