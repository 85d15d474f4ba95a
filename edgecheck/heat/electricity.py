"""Part load of a compressor with its condenser fan, and how often it starts.

On-off machines by EN 14825 with a degradation coefficient Cc of 0.9, in power form P = P_full (0.9 CR + 0.1).
A variable-speed machine draws P = (P_full - P_fan)(a + (1-a) CR) + P_fan CR^m down to the least share of capacity
that it can run at, with m 3 for a fan that slows and 1 for one that is switched; below that it is switched on and
off at its least speed, again with Cc 0.9 as EN 14825 has it. An on-off machine is the case of the least share 1.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.heat.electricity_kernel import part_load_power, starts_and_runs

FloatArray = NDArray[np.float64]

CYCLING_OFFSET = 0.10  # 1 - Cc of EN 14825
FAN_EXPONENT = {"variable": 3.0, "cycling": 1.0}  # fan laws: power with the cube of the speed


@dataclass(frozen=True)
class PartLoad:
    """How power follows the load.

    Parameters
    ----------
    least_share : float
        Least share of full capacity that the machine can run at; 1 for on-off. [-]
    offset : float
        Share a of the compressor's full power at vanishing speed. [-]
    fan_exponent : float
        Of fan power in the share of capacity. [-]
    """

    least_share: float = 1.0
    offset: float = CYCLING_OFFSET
    fan_exponent: float = 1.0

    def power(self, power_full: ArrayLike, capacity_ratio: ArrayLike, fan: float) -> FloatArray:
        """Mean power of compressor and fan.

        Parameters
        ----------
        power_full : array_like, shape (...)
            At full capacity, the fan included. [W]
        capacity_ratio : array_like, shape (...)
            Heat taken out over capacity at full speed, 0..1. [-]
        fan : float
            The fan's part of `power_full`. [W]

        Returns
        -------
        ndarray, shape (...)
            0 where nothing is taken out. [W]
        """
        full, ratio = np.broadcast_arrays(
            np.asarray(power_full, dtype=float), np.asarray(capacity_ratio, dtype=float)
        )
        drawn = part_load_power(
            full.ravel(), ratio.ravel(), fan, self.least_share, self.offset, self.fan_exponent, CYCLING_OFFSET
        )
        return drawn.reshape(full.shape)


def fan_share(speed: FloatArray, exponent: float) -> FloatArray:
    """Power of a fan as a share of that at full speed; shape of the speed. [-]"""
    return speed * speed * speed if exponent == 3.0 else np.asarray(speed**exponent)


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
    cap, heat = np.broadcast_arrays(np.asarray(capacity, dtype=float), np.asarray(load, dtype=float))
    starts, run = starts_and_runs(cap.ravel(), heat.ravel(), heat_capacity * band)
    return starts.reshape(cap.shape), run.reshape(cap.shape)
