"""What the cooling sections of a unit can do over inlet air and liquid temperature, for drawing.

Outdoor and inlet air are the same in the map. Density and air-side factor are those of the place in its median hour.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.curve import NONE
from edgecheck.heat.machine import Machine
from edgecheck.heat.section import InletAir
from edgecheck.heat.series import Surroundings

FloatArray = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class CapacityMap:
    """Capacity of the sections in service over inlet air and liquid.

    Parameters
    ----------
    inlet : ndarray, shape (inlet,)
        [degC]
    liquid : ndarray, shape (liquid,)
        [degC]
    capacity : ndarray, shape (liquid, inlet)
        At the highest speed that the limits allow; past a rating table that of its last column. [W]
    barred : ndarray of bool, shape (liquid, inlet)
        Where a maker's limit leaves no capacity.
    unknown : ndarray of bool, shape (liquid, inlet)
        Past the rating table, where nobody has stated the capacity.
    """

    inlet: FloatArray
    liquid: FloatArray
    capacity: FloatArray
    barred: Mask
    unknown: Mask


def capacity_map(
    machine: Machine, around: Surroundings, inlet: FloatArray, liquid: FloatArray
) -> CapacityMap:
    """Capacity over inlet air and liquid.

    Parameters
    ----------
    machine : Machine
        The unit.
    around : Surroundings
        Of the place, for the density of its air.
    inlet : ndarray, shape (inlet,)
        [degC]
    liquid : ndarray, shape (liquid,)
        [degC]

    Returns
    -------
    CapacityMap
    """
    same = np.ones_like(inlet)
    air = InletAir(
        outdoor=inlet,
        inlet=inlet,
        density=float(np.median(around.density)) * same,
        factor=float(np.median(around.factor)) * same,
        fan_speed=machine.fan_speed,
    )
    curve = machine.cooling.curve(air, machine.span).times(machine.in_service)
    at = liquid[:, np.newaxis]
    allowed = (curve.locked == NONE) & (at <= curve.trip)
    shape = (len(liquid), len(inlet))
    return CapacityMap(
        inlet=inlet,
        liquid=liquid,
        capacity=np.stack([curve.capacity_at(temperature) for temperature in liquid]),
        barred=np.broadcast_to(~allowed, shape),
        unknown=np.broadcast_to(curve.beyond, shape) & allowed,
    )
