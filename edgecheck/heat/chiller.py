"""Cooling section of kind `chiller`: a rating table, read at the equivalent inlet temperature.

    T_eq   = T_in + dT_split (X - 1)              what the table is read at
    T_cond = T_in + dT_split X q,  q = heat to the air/rated heat rejection

X is the air-side factor of `inlet.py`. Nothing is extrapolated: outside its rows and columns the table's edge
holds and the hours are counted; past the last column the capacity is unknown (published chiller curves turn
over when they are continued to warm liquid). Only the condensing temperature goes on rising above the last
row, with the slope of the last two, so that the pressure limit is not missed.

An on-off machine rejects its full heat whenever it runs. A variable-speed machine slows so far that the condensing
limit holds, with its fan at full speed, and stops where its least speed is still too much:

    q(CR) = (CR Q_cap + (P - P_fan)(a + (1-a) CR) + P_fan)/rated,   CR* where T_cond = limit
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.heat.chiller_kernel import condensing_at_rows, in_rising_order
from edgecheck.heat.curve import NONE, CoolingCurve, ambient_limits, by_hour, highest_allowed, in_columns
from edgecheck.heat.electricity import PartLoad
from edgecheck.heat.section import InletAir, LiquidSpan
from edgecheck.heat.section_kernel import read_columns, stage_at

FloatArray = NDArray[np.float64]

ABOVE_SHUTDOWN = 5.0  # K, where the curve of a machine that slows ends
_APART = 1e-7  # K, least distance of two knots


@dataclass(frozen=True)
class Rows:
    """The rating table read at an inlet, over the temperature of the liquid that arrives.

    Parameters
    ----------
    inlet : ndarray, shape (...)
        Air into the condenser. [degC]
    knots, capacity, power : ndarray, shape (row, ...)
        [degC], [W], [W]
    slope_above : ndarray, shape (...)
        Of heat to the air above the last row, for the condensing temperature alone. [W/K]
    per_watt : ndarray, shape (...)
        Rise of the condensing temperature over the inlet for each watt to the air. [K/W]
    fan : float
        The fan's part of `power`. [W]
    """

    inlet: FloatArray
    knots: FloatArray
    capacity: FloatArray
    power: FloatArray
    slope_above: FloatArray
    per_watt: FloatArray
    fan: float


@dataclass(frozen=True)
class Stage:
    """A chiller at some liquid temperatures.

    Parameters
    ----------
    full_capacity, power : ndarray
        At full speed. [W]
    condensing : ndarray
        At the least speed. [degC]
    slowed_capacity : ndarray, optional
        At the highest speed that the condensing limit allows, not below the least; None where there is one speed. [W]
    speed_rise : ndarray, optional
        Condensing temperature at full speed less that at the least; None where there is one speed. [K]
    """

    full_capacity: FloatArray
    power: FloatArray
    condensing: FloatArray
    slowed_capacity: FloatArray | None = None
    speed_rise: FloatArray | None = None

    @property
    def capacity(self) -> FloatArray:
        """At the highest speed that is allowed. [W]"""
        return self.full_capacity if self.slowed_capacity is None else self.slowed_capacity


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
    standby : float
        Drawn while nothing is asked for. [W]
    part_load : PartLoad
        How power follows the load.
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
    fan_power: float
    standby: float
    part_load: PartLoad

    @property
    def slows(self) -> bool:
        """Whether the compressor follows the load by its speed."""
        return self.part_load.least_share < 1.0

    def equivalent_inlet(self, inlet_air: ArrayLike, factor: ArrayLike) -> FloatArray:
        """Inlet temperature at which the table is read.

        Parameters
        ----------
        inlet_air : array_like, shape (...)
            Air into the condenser. [degC]
        factor : array_like, shape (...)
            Air-side factor X. [-]

        Returns
        -------
        ndarray, shape (...)
            [degC]
        """
        return np.asarray(inlet_air, dtype=float) + self.split * (np.asarray(factor, dtype=float) - 1.0)

    def curve(self, air: InletAir, span: LiquidSpan) -> CoolingCurve:
        """Capacity, power and limits of every hour.

        Parameters
        ----------
        air : InletAir
            Shape (time,).
        span : LiquidSpan
            Setpoint and service temperature, for counting hours outside the rows; shutdown, up to which a
            machine that slows is followed.

        Returns
        -------
        CoolingCurve
        """
        rows = self.rows(air.inlet, air.factor, air.fan_speed)
        equivalent = self.equivalent_inlet(air.inlet, air.factor)
        condensing = self._condensing(rows, self.part_load.least_share)
        trip = self._trip(rows, condensing, self.part_load.least_share)
        knots = self.knots(rows, trip, span)
        stage = self.stage(rows, knots) if self.slows else Stage(rows.capacity, rows.power, condensing)
        locked, exceedance = ambient_limits(air.outdoor, air.inlet, self.inlet_min, self.inlet_max)
        beyond = (equivalent > self.inlet_columns[-1]) & (locked == NONE)
        return CoolingCurve(
            knots=knots,
            capacity=stage.capacity,
            power=stage.power,
            condensing=stage.condensing,
            condensing_slope=rows.per_watt * self.part_load.least_share * rows.slope_above,
            condensing_limit=self.condensing_limit,
            trip=trip,
            locked=locked,
            beyond=beyond,
            exceedance=np.where(beyond, equivalent - self.inlet_columns[-1], exceedance),
            equivalent_inlet=equivalent,
            least_share=self.part_load.least_share,
            speed_rise=stage.speed_rise,
            full_capacity=stage.full_capacity if self.slows else None,
            below_rows=int(np.count_nonzero(span.setpoint < rows.knots[0])),
            above_rows=int(np.count_nonzero(span.service_max > rows.knots[-1])),
            below_columns=int(np.count_nonzero(equivalent < self.inlet_columns[0])),
        )

    def rows(self, inlet: FloatArray, factor: FloatArray, fan_speed: float = 1.0) -> Rows:
        """Table at an inlet, its edges held.

        Parameters
        ----------
        inlet, factor : ndarray, shape (...) and one that broadcasts to it
            Air into the condenser; air-side factor X. [degC], [-]
        fan_speed : float
            Share of full fan speed. [-]

        Returns
        -------
        Rows
        """
        equivalent = self.equivalent_inlet(inlet, factor)
        tables = read_columns(self.inlet_columns, (self.capacity, self.power), equivalent.ravel())
        capacity, power = tables.reshape(2, -1, *equivalent.shape)
        fan = self.fan_power * fan_speed**3
        power = power - (self.fan_power - fan)
        at = self.liquid_rows.reshape((-1,) + (1,) * equivalent.ndim)
        knots = np.broadcast_to(at, capacity.shape)
        if self.leaving_basis:
            knots = knots + capacity / self.liquid_heat_rate
        slope = np.zeros_like(equivalent)
        if len(knots) > 1:
            more = (capacity[-1] + power[-1]) - (capacity[-2] + power[-2])
            slope = more / (knots[-1] - knots[-2])
        per_watt = self.split / self.rated_heat_rejection * np.asarray(factor, dtype=float)
        inlet, per_watt = (np.broadcast_to(one, equivalent.shape) for one in (inlet, per_watt))
        return Rows(inlet, np.asarray(knots, dtype=float), capacity, power, slope, per_watt, fan)

    def stage(self, rows: Rows, liquid: FloatArray) -> Stage:
        """Chiller at some temperatures of the liquid that arrives, shape (...) or (knot, ...). [degC]"""
        places = np.ascontiguousarray(liquid)
        found = stage_at(
            in_columns(rows.knots), by_hour(rows.capacity), by_hour(rows.power),
            rows.inlet.ravel(), rows.per_watt.ravel(), rows.slope_above.ravel(),
            places.reshape(-1, rows.inlet.size),
            rows.fan, self.fan_power, self.part_load.offset, self.part_load.least_share, self.condensing_limit,
        )  # fmt: skip
        full, power, condensing, *slowed = found.reshape(-1, *places.shape)
        return Stage(full, power, condensing, *slowed)

    def trip(self, rows: Rows, share: float | None = None) -> FloatArray:
        """Highest liquid temperature at which the condensing limit holds.

        Parameters
        ----------
        rows : Rows
            From `rows`, shape (row, ...).
        share : float, optional
            Of full speed; the least that the machine can run at if not given. [-]

        Returns
        -------
        ndarray, shape (...)
            Infinities as in `highest_allowed`. [degC]
        """
        share = self.part_load.least_share if share is None else share
        return self._trip(rows, self._condensing(rows, share), share)

    def _condensing(self, rows: Rows, share: float) -> FloatArray:
        """Condensing temperature at the rows and a share of full speed, shape (row, ...). [degC]"""
        offset = self.part_load.offset
        rises = condensing_at_rows(
            by_hour(rows.capacity), by_hour(rows.power), rows.inlet.ravel(), rows.per_watt.ravel(),
            rows.fan, self.fan_power, offset, share,
        )  # fmt: skip
        return rises.reshape(rows.capacity.shape)

    def _trip(self, rows: Rows, condensing: FloatArray, share: float) -> FloatArray:
        slope = rows.per_watt * share * rows.slope_above
        return highest_allowed(rows.knots, condensing, slope, self.condensing_limit)

    def knots(self, rows: Rows, trip: FloatArray, span: LiquidSpan) -> FloatArray:
        """Rows of the table; of a machine that slows also where it begins to, where it stops, and two between."""
        if not self.slows:
            return rows.knots
        top = np.maximum(rows.knots[-1] + 1.0, span.shutdown + ABOVE_SHUTDOWN)
        begins = np.clip(self.trip(rows, share=1.0), rows.knots[0], top)
        stops = np.clip(trip, begins, top)
        between = [begins + share * (stops - begins) for share in (0.0, 1 / 3, 2 / 3, 1.0)]
        return rising(np.stack([*rows.knots, *between, top]))

    def power_of(self, full: FloatArray, ratio: FloatArray, fan: float | None = None) -> FloatArray:
        """Mean power without standby at a share of full capacity; `fan` [W] where it differs from the full fan."""
        return self.part_load.power(full, ratio, self.fan_power if fan is None else fan)

    def input_power(self, curve: CoolingCurve, liquid: FloatArray, cooled: FloatArray) -> FloatArray:
        """Mean power of compressor and fan.

        Parameters
        ----------
        curve : CoolingCurve
            Of this section.
        liquid : ndarray, shape (time,)
            Arriving liquid. [degC]
        cooled : ndarray, shape (time,)
            Mean heat taken out. [W]

        Returns
        -------
        ndarray, shape (time,)
            Standby where nothing is taken out. [W]
        """
        ratio = curve.capacity_ratio(liquid, cooled)
        return np.where(ratio > 0.0, self.power_of(curve.power_at(liquid), ratio), self.standby)

    def worked(self, air: InletAir, liquid: float) -> dict[str, float]:
        """Steps from the inlet air to the condensing temperature, in the first hour of `air`."""
        equivalent = float(self.equivalent_inlet(air.inlet[0], air.factor[0]))
        return {
            "air_side_factor": float(air.factor[0]),
            "derate_rise": equivalent - float(air.inlet[0]),
            "split": self.split,
            "table_end": float(self.inlet_columns[-1]),
            "least_share": self.part_load.least_share,
            "condensing_limit": self.condensing_limit,
        }


def rising(knots: FloatArray) -> FloatArray:
    """Knots of every hour in rising order, none closer than a hair to the next; shape (knot, time)."""
    return in_rising_order(np.ascontiguousarray(knots), _APART)
