"""Power of the servers over the temperature of the liquid around them.

    P(T) = P0 (1 + leakage (T - T_set))                              up to the alarm
    P(T) = P(T_alarm) + (s P_full - P(T_alarm)) (T - T_alarm)/(T_stop - T_alarm)      from there to shutdown

P0 is the power at the setpoint, P_full what would be drawn at shutdown without throttling, s the share of it that is
left there. Two straight pieces: the balance of the liquid stays piecewise linear.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class ServerPower:
    """How the servers' power goes with the liquid, as a share of that at the setpoint.

    Parameters
    ----------
    setpoint, alarm, shutdown : float
        [degC]
    leakage : float
        Growth of the power with temperature, as a share of that at the setpoint. [1/K]
    throttle_share : float
        Share of their power that servers still draw at shutdown, having throttled evenly since the alarm; 1 for
        servers that draw it all until they stop. [-]
    """

    setpoint: float
    alarm: float
    shutdown: float
    leakage: float = 0.0
    throttle_share: float = 1.0

    @property
    def throttles(self) -> bool:
        """Whether the power falls before the servers stop."""
        return self.throttle_share < 1.0

    @property
    def bend(self) -> float:
        """Temperature from which they throttle; infinite where they never do. [degC]"""
        return self.alarm if self.throttles else math.inf

    @property
    def slope_above(self) -> float:
        """Slope of the share above the bend; below it the slope is the leakage. [1/K]"""
        if not self.throttles:
            return self.leakage
        at_alarm, at_stop = self._unthrottled(self.alarm), self._unthrottled(self.shutdown)
        return (self.throttle_share * at_stop - at_alarm) / (self.shutdown - self.alarm)

    def factor(self, liquid: ArrayLike) -> FloatArray:
        """Power at a liquid temperature over that at the setpoint.

        Parameters
        ----------
        liquid : array_like, shape (...)
            Above shutdown that of shutdown is used where servers throttle. [degC]

        Returns
        -------
        ndarray, shape (...)
            [-]
        """
        temperature = np.asarray(liquid, dtype=float)
        share = 1.0 + self.leakage * (temperature - self.setpoint)
        if not self.throttles:
            return np.asarray(share)
        past = np.minimum(temperature, self.shutdown) - self.alarm
        return np.where(past > 0.0, self._unthrottled(self.alarm) + self.slope_above * past, share)

    def _unthrottled(self, liquid: float) -> float:
        return 1.0 + self.leakage * (liquid - self.setpoint)
