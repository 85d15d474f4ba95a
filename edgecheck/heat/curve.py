"""What a cooling section can do in an hour, as a function of the liquid temperature.

Whatever the kind of machine, capacity and power of an hour are kept as piecewise linear functions of the
temperature of the liquid that arrives, with one set of knots an hour; limits stand beside them. The balance of
the liquid needs nothing else.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.heat.curve_kernel import read
from edgecheck.heat.section_kernel import opening

FloatArray = NDArray[np.float64]

INLET_LOW, INLET_HIGH, CONDENSING, BEYOND_TABLE, CAPACITY, NONE = range(6)
BINDING_NAMES = ("inlet-low", "inlet-high", "condensing", "beyond-table", "capacity", "none")


@dataclass(frozen=True)
class CoolingCurve:
    """Capacity, power and limits of every hour.

    Parameters
    ----------
    knots : ndarray, shape (knot, time)
        Liquid temperatures, rising along the first axis. [degC]
    capacity, power : ndarray, shape (knot, time)
        At the highest speed that the limits allow, and power at full speed; constant below the first and above
        the last knot. Where `beyond` is set they are those of the last column of the table: an upper bound of
        the capacity. [W]
    condensing : ndarray, shape (knot, time)
        Condensing temperature at the least share of capacity that the machine can run at, which for an on-off
        machine is its full capacity; NaN without a condenser. [degC]
    condensing_slope : ndarray, shape (time,)
        Its slope above the last knot. [K/K]
    condensing_limit : float
        No capacity above it; infinite for a machine without one. [degC]
    trip : ndarray, shape (time,)
        Highest liquid temperature at which the condensing limit still holds. [degC]
    locked : ndarray of int, shape (time,)
        INLET_LOW or INLET_HIGH where the maker's ambient limits bar the machine, else NONE.
    beyond : ndarray of bool, shape (time,)
        Hours past the last column of the table, where the capacity is unknown.
    exceedance : ndarray, shape (time,)
        By how much the limit in `locked`, or the last column of the table, is exceeded; 0 elsewhere. [K]
    equivalent_inlet : ndarray, shape (time,)
        Inlet temperature at which the rating table is read; the inlet itself where there is none. [degC]
    still_share : float
        Share of the capacity that the machine passes whether it is asked to or not, as a coil in still air;
        0 where it can be bypassed. [-]
    least_share : float
        Least share of full capacity that the machine can run at; 1 for on-off. [-]
    speed_rise : ndarray, shape (knot, time), optional
        Condensing temperature at full speed minus `condensing`; None where there is one speed. [K]
    full_capacity : ndarray, shape (knot, time), optional
        At full speed, where the condensing limit may let the machine give less; None where it never does. [W]
    below_rows, above_rows, below_columns : int
        Hours in which setpoint or service temperature lie outside the rows of the table; in which the inlet
        lies below its first column.
    """

    knots: FloatArray
    capacity: FloatArray
    power: FloatArray
    condensing: FloatArray
    condensing_slope: FloatArray
    condensing_limit: float
    trip: FloatArray
    locked: NDArray[np.int8]
    beyond: NDArray[np.bool_]
    exceedance: FloatArray
    equivalent_inlet: FloatArray
    still_share: float = 0.0
    least_share: float = 1.0
    speed_rise: FloatArray | None = None
    full_capacity: FloatArray | None = None
    below_rows: int = 0
    above_rows: int = 0
    below_columns: int = 0

    def window(self, hours: slice | NDArray[np.intp]) -> Self:
        """The same curve for some of its hours; the counts of hours are not kept."""
        cut: dict[str, Any] = {
            field.name: value[..., hours]
            for field in fields(self)
            if isinstance(value := getattr(self, field.name), np.ndarray)
        }
        if same_in_all_hours(self.knots):
            cut["knots"] = np.broadcast_to(self.knots[:, :1], (len(self.knots), len(cut["trip"])))
        return replace(self, **cut, below_rows=0, above_rows=0, below_columns=0)

    def times(self, count: int) -> Self:
        """The curve of several identical machines that run alike."""
        if count == 1:
            return self
        full = None if self.full_capacity is None else count * self.full_capacity
        return replace(self, capacity=count * self.capacity, power=count * self.power, full_capacity=full)

    def part(self, name: str, liquid: ArrayLike) -> FloatArray:
        """What stands over the knots under a name, at a liquid temperature; shape (time,)."""
        return interpolate(self.knots, getattr(self, name), liquid)

    def capacity_at(self, liquid: ArrayLike) -> FloatArray:
        """Capacity at a liquid temperature, ambient limits and pressure switch left aside. [W]"""
        return self.part("capacity", liquid)

    def full_capacity_at(self, liquid: ArrayLike) -> FloatArray:
        """Capacity at full speed at a liquid temperature, every limit left aside. [W]"""
        return self.part("capacity" if self.full_capacity is None else "full_capacity", liquid)

    def free_cooling_at(self, liquid: ArrayLike) -> FloatArray:
        """Part of the capacity that a coil in outdoor air gives before a compressor; shape (time,). [W]"""
        return np.zeros(np.broadcast_shapes(np.shape(liquid), self.trip.shape))

    def capacity_ratio(self, liquid: ArrayLike, cooled: ArrayLike) -> FloatArray:
        """Heat taken out as a share of the capacity at full speed, 0..1; 0 where there is none. [-]"""
        full = self.full_capacity_at(liquid)
        heat = np.asarray(cooled, dtype=float)
        ratio = np.divide(
            heat, full, out=np.zeros(np.broadcast_shapes(heat.shape, full.shape)), where=full > 0
        )
        return np.clip(ratio, 0.0, 1.0)

    def power_at(self, liquid: ArrayLike) -> FloatArray:
        """Power at full speed at a liquid temperature. [W]"""
        return self.part("power", liquid)

    def condensing_at(self, liquid: ArrayLike) -> FloatArray:
        """Condensing temperature that is held against the limit, continued above the last knot. [degC]"""
        above = np.maximum(0.0, np.asarray(liquid, dtype=float) - self.knots[-1])
        return self.part("condensing", liquid) + self.condensing_slope * above

    def allowed_at(self, liquid: ArrayLike) -> NDArray[np.bool_]:
        """Whether every limit holds at a liquid temperature."""
        return np.asarray((self.locked == NONE) & (np.asarray(liquid, dtype=float) <= self.trip))


def ambient_limits(
    outdoor: FloatArray, inlet: FloatArray, least: float, most: float
) -> tuple[NDArray[np.int8], FloatArray]:
    """Maker's limits of the air, strict.

    Parameters
    ----------
    outdoor, inlet : ndarray, shape (time,)
        Outdoor air, on which the low limit is tested; air that enters. [degC]
    least, most : float
        Limits. [degC]

    Returns
    -------
    locked : ndarray of int, shape (time,)
        INLET_LOW, INLET_HIGH or NONE.
    exceedance : ndarray, shape (time,)
        By how much the limit is exceeded, 0 where it holds. [K]
    """
    low, high = outdoor < least, inlet > most
    locked = np.where(low, INLET_LOW, np.where(high, INLET_HIGH, NONE)).astype(np.int8)
    return locked, np.where(low, least - outdoor, np.where(high, inlet - most, 0.0))


def interpolate(knots: FloatArray, values: FloatArray, at: ArrayLike) -> FloatArray:
    """Piecewise linear interpolation with its own knots in every hour, constant outside them.

    Parameters
    ----------
    knots, values : ndarray, shape (knot, ...)
        Abscissae, rising along the first axis, and ordinates.
    at : array_like, shape (...)
        Where to read.

    Returns
    -------
    ndarray, shape (...)
    """
    where = np.asarray(at, dtype=float)
    if values.strides[0] == 0:  # the same at all knots
        return np.broadcast_to(values[0], np.broadcast_shapes(values.shape[1:], where.shape)).copy()
    if where.ndim == 0 and same_in_all_hours(knots) and np.isfinite(where):
        column = knots.reshape(len(knots), -1)[:, 0]
        k = int(np.searchsorted(column, where, side="right"))
        if k in (0, len(column)):
            return values[max(0, k - 1)].copy()
        share = float((where - column[k - 1]) / (column[k] - column[k - 1]))
        return np.asarray(values[k - 1] + share * (values[k] - values[k - 1]))
    return read_together(knots, (values,), where)[0]


def read_together(knots: FloatArray, several: Sequence[FloatArray], at: FloatArray) -> FloatArray:
    """Read several values over the same knots as `interpolate`, at places of shape (...) or (place, ...).

    Returns
    -------
    ndarray, shape (values, ...) or (values, place, ...)
    """
    shape = several[0].shape[1:]
    if at.shape[at.ndim - len(shape) :] != shape:
        at = np.full(shape, at) if at.ndim == 0 else np.broadcast_to(at, np.broadcast_shapes(shape, at.shape))
    rows = tuple(by_hour(values) for values in several)
    places = np.ascontiguousarray(at).reshape(-1, rows[0].shape[1])
    return read(in_columns(knots), rows, places).reshape(len(rows), *at.shape)


def by_hour(values: FloatArray) -> FloatArray:
    """Values over knots in the form that kernels read, shape (knot, hour)."""
    return np.ascontiguousarray(values).reshape(len(values), -1)


def in_columns(knots: FloatArray) -> FloatArray:
    """Knots in the form that kernels read: shape (knot, hour), or (knot, 1) where all hours have the same."""
    if same_in_all_hours(knots):
        return knots.reshape(len(knots), -1)[:, :1].copy()
    return by_hour(knots)


def same_in_all_hours(knots: FloatArray) -> bool:
    """Whether knots are one column stretched over all hours, as a table on arriving liquid gives them."""
    return not any(knots.strides[1:])


def highest_allowed(
    knots: FloatArray, condensing: FloatArray, slope_above: FloatArray, limit: float
) -> FloatArray:
    """Highest liquid temperature below the first at which the condensing limit opens.

    Parameters
    ----------
    knots, condensing : ndarray, shape (knot, time)
        Liquid and condensing temperatures; below the first knot the latter is constant. [degC]
    slope_above : ndarray, shape (time,)
        Slope of the condensing temperature above the last knot. [K/K]
    limit : float
        Highest condensing temperature that is allowed. [degC]

    Returns
    -------
    ndarray, shape (time,)
        Minus infinity where the limit is open at any liquid temperature, plus infinity where at none. [degC]
    """
    return opening(in_columns(knots), by_hour(condensing), slope_above, limit)
