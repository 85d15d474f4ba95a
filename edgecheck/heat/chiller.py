"""Cooling section of kind `chiller`: a rating table, read at the equivalent inlet temperature.

    T_eq   = T_in + dT_split (X - 1)              what the table is read at
    T_cond = T_in + dT_split X q,  q = (Q_cap + P)/rated heat rejection, at full capacity

X is the air-side factor of `inlet.py`. With the fan slowed it grows, and the fan's part of P falls with the cube
of the speed; q keeps the rated P, because the condenser does not reject the fan's heat.

Nothing is extrapolated: outside its rows and columns the table's edge holds and the hours are counted; past the
last column the capacity is unknown (published chiller curves turn over when they are continued to warm liquid).
Only the condensing temperature goes on rising above the last row, with the slope of the last two, so that the
pressure limit is not missed.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.heat.curve import INLET_HIGH, INLET_LOW, NONE, CoolingCurve, highest_allowed

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Chiller:
    """Rating table and limits of a chiller, SI.

    Parameters
    ----------
    liquid_rows : ndarray, shape (row,)
        Liquid temperatures of the rows. [degC]
    inlet_columns : ndarray, shape (column,)
        Inlet air temperatures of the columns. [degC]
    capacity, power : ndarray, shape (row, column)
        At full capacity; power of compressor and condenser fan. [W]
    leaving_basis : bool
        Rows are leaving liquid temperatures; else arriving.
    liquid_heat_rate : float
        Mass flow times specific heat of the liquid. [W/K]
    rated_heat_rejection : float
        To the air at the rating point. [W]
    split : float
        Condensing temperature minus inlet air at the rating point. [K]
    inlet_max, inlet_min : float
        Maker's limits: on the air that enters; on the outdoor air. [degC]
    condensing_limit : float
        Pressure switch as saturation temperature, less the margin. [degC]
    fan_power : float
        Condenser fan at full speed, part of `power`. [W]
    fan_speed : float
        Share of full speed, above 0. [-]
    """

    liquid_rows: FloatArray
    inlet_columns: FloatArray
    capacity: FloatArray
    power: FloatArray
    leaving_basis: bool
    liquid_heat_rate: float
    rated_heat_rejection: float
    split: float
    inlet_max: float
    inlet_min: float
    condensing_limit: float
    fan_power: float = 0.0
    fan_speed: float = 1.0

    def slowed(self, fan_speed: float) -> "Chiller":
        """The same cooling section with its fan at a share of full speed."""
        return replace(self, fan_speed=fan_speed)

    def equivalent_inlet(self, inlet_air: ArrayLike, factor: ArrayLike) -> FloatArray:
        """Inlet temperature at which the table is read.

        Parameters
        ----------
        inlet_air : array_like, shape (time,)
            Air into the cooling section. [degC]
        factor : array_like, shape (time,)
            Air-side factor X. [-]

        Returns
        -------
        ndarray, shape (time,)
            [degC]
        """
        return np.asarray(inlet_air, dtype=float) + self.split * (np.asarray(factor, dtype=float) - 1.0)

    def curve(
        self,
        inlet_air: FloatArray,
        temp_air: FloatArray,
        factor: FloatArray,
        service_range: tuple[float, float],
    ) -> CoolingCurve:
        """Capacity, power and limits of every hour.

        Parameters
        ----------
        inlet_air : ndarray, shape (time,)
            Air into the cooling section. [degC]
        temp_air : ndarray, shape (time,)
            Outdoor air, on which the low limit is tested. [degC]
        factor : ndarray, shape (time,)
            Air-side factor X. [-]
        service_range : (float, float)
            Setpoint and service temperature, for counting hours outside the rows. [degC]

        Returns
        -------
        CoolingCurve
        """
        equivalent = self.equivalent_inlet(inlet_air, factor)
        capacity = _read_columns(self.inlet_columns, self.capacity, equivalent)
        power = _read_columns(self.inlet_columns, self.power, equivalent)
        rows = np.broadcast_to(self.liquid_rows[:, None], capacity.shape)
        knots = rows + capacity / self.liquid_heat_rate if self.leaving_basis else rows

        ratio = (capacity + power) / self.rated_heat_rejection
        condensing = inlet_air + self.split * factor * ratio
        if len(knots) > 1:
            slope = (condensing[-1] - condensing[-2]) / (knots[-1] - knots[-2])
        else:
            slope = np.zeros_like(inlet_air)

        low = temp_air < self.inlet_min
        high = inlet_air > self.inlet_max
        locked = np.where(low, INLET_LOW, np.where(high, INLET_HIGH, NONE)).astype(np.int8)
        exceedance = np.where(low, self.inlet_min - temp_air, np.where(high, inlet_air - self.inlet_max, 0.0))
        setpoint, service = service_range
        return CoolingCurve(
            knots=np.asarray(knots, dtype=float),
            capacity=capacity,
            power=power - self.fan_power * (1.0 - self.fan_speed**3),
            condensing=condensing,
            condensing_slope=slope,
            condensing_limit=self.condensing_limit,
            trip=highest_allowed(knots, condensing, slope, self.condensing_limit),
            locked=locked,
            beyond=(equivalent > self.inlet_columns[-1]) & (locked == NONE),
            exceedance=exceedance,
            below_rows=int(np.count_nonzero(setpoint < knots[0])),
            above_rows=int(np.count_nonzero(service > knots[-1])),
            below_columns=int(np.count_nonzero(equivalent < self.inlet_columns[0])),
        )


def _read_columns(columns: FloatArray, table: FloatArray, at: FloatArray) -> FloatArray:
    """Every row of a table read along its columns, edges held; shape (row, time)."""
    return np.stack([np.interp(at, columns, row) for row in table])
