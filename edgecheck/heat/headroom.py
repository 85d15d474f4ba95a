"""Headroom of every hour: at the setpoint, and the best within the service range.

A bath may float between setpoint and service temperature. Service headroom is the greatest difference between
capacity and heat to reject over that range; both are piecewise linear, so only the knots, the ends and the
point where the condensing limit opens can carry the maximum.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.curve import BEYOND_TABLE, CONDENSING, NONE, CoolingCurve, by_hour, in_columns
from edgecheck.heat.headroom_kernel import best_in_service, hour_by_hour

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class HeatLoad:
    """Heat to reject, linear in the liquid temperature about the setpoint, with another slope above a bend.

    Parameters
    ----------
    at_setpoint : ndarray, shape (time,)
        IT with distribution loss, pump and envelope. [W]
    slope : ndarray, shape (time,)
        d(load)/d(liquid temperature): leakage of the servers minus the envelope's conductance. [W/K]
    at_setpoint_off, slope_off : ndarray, shape (time,)
        The same with the servers stopped. [W], [W/K]
    internal, internal_slope : float or ndarray, shape (time,)
        IT and pump heat at the setpoint, the least divisor of a share, and its leakage. [W], [W/K]
    setpoint : float
        [degC]
    bend : float
        Liquid temperature from which servers that are on throttle; infinite where they never do. [degC]
    slope_above : ndarray, shape (time,), optional
        Of the load with servers on, above the bend. [W/K]
    """

    at_setpoint: FloatArray
    slope: FloatArray
    at_setpoint_off: FloatArray
    slope_off: FloatArray
    internal: FloatArray | float
    internal_slope: FloatArray | float
    setpoint: float
    bend: float = math.inf
    slope_above: FloatArray | None = None

    def at(self, liquid: FloatArray | float) -> FloatArray:
        """Heat to reject at a liquid temperature. [W]"""
        straight = self.at_setpoint + self.slope * (np.asarray(liquid) - self.setpoint)
        if self.slope_above is None:
            return straight
        return straight + (self.slope_above - self.slope) * np.maximum(0.0, np.asarray(liquid) - self.bend)

    def window(self, hours: slice | NDArray[np.intp]) -> "HeatLoad":
        """The same load for some of its hours, or for hours taken again and again."""
        return replace(
            self,
            at_setpoint=self.at_setpoint[hours],
            slope=self.slope[hours],
            at_setpoint_off=self.at_setpoint_off[hours],
            slope_off=self.slope_off[hours],
            internal=_part(self.internal, hours),
            internal_slope=_part(self.internal_slope, hours),
            slope_above=None if self.slope_above is None else self.slope_above[hours],
        )


def _part(values: FloatArray | float, hours: slice | NDArray[np.intp]) -> FloatArray | float:
    """Some hours of what may be the same in all."""
    return values[hours] if isinstance(values, np.ndarray) else values


@dataclass(frozen=True)
class Headroom:
    """Headroom of every hour; NaN where the capacity is unknown.

    Parameters
    ----------
    capacity, at_setpoint : ndarray, shape (time,)
        Capacity and headroom with the liquid at the setpoint; a barred hour has capacity 0. [W]
    service : ndarray, shape (time,)
        Service headroom; past the table an upper bound where that is already below zero, else NaN. [W]
    bound : ndarray, shape (time,)
        Service headroom with the table's last column past its end. [W]
    share : ndarray, shape (time,)
        Service headroom over max(load, IT + pump) at the same liquid temperature. [-]
    share_bound : ndarray, shape (time,)
        The share of `bound`. [-]
    liquid : ndarray, shape (time,)
        Liquid temperature that carries the service headroom. [degC]
    binding : ndarray of int, shape (time,)
        Index into BINDING_NAMES.
    exceedance : ndarray, shape (time,)
        Kelvin beyond the binding limit; 0 where none is open. [K]
    """

    capacity: FloatArray
    at_setpoint: FloatArray
    service: FloatArray
    bound: FloatArray
    share: FloatArray
    share_bound: FloatArray
    liquid: FloatArray
    binding: NDArray[np.int8]
    exceedance: FloatArray

    @property
    def barred(self) -> NDArray[np.bool_]:
        """Hours in which a maker's limit leaves no capacity."""
        return np.asarray(self.binding < BEYOND_TABLE)

    @property
    def unknown(self) -> NDArray[np.bool_]:
        """Hours past the rating table whose capacity nobody has stated."""
        return np.isnan(self.capacity)

    @property
    def short(self) -> NDArray[np.bool_]:
        """Hours short of capacity: service headroom below zero, or unknown."""
        return ~(self.service >= 0.0)


def headroom(curve: CoolingCurve, load: HeatLoad, service_max: float) -> Headroom:
    """Headroom of every hour.

    Parameters
    ----------
    curve : CoolingCurve
        What the machine can do.
    load : HeatLoad
        What it must do.
    service_max : float
        Highest liquid temperature allowed in continuous service. [degC]

    Returns
    -------
    Headroom
    """
    at_low = curve.capacity_at(load.setpoint)
    best, share, liquid = _best(curve, load, service_max, at_low)
    capacity, at_setpoint, service, known_share, binding = hour_by_hour(
        at_low, curve.trip, curve.locked, curve.beyond, load.at_setpoint, best, share, load.setpoint
    )
    exceedance, tripped = curve.exceedance, binding == CONDENSING
    if tripped.any():
        over = curve.condensing_at(load.setpoint) - curve.condensing_limit
        exceedance = np.where(tripped, over, exceedance)
    return Headroom(
        capacity=capacity,
        at_setpoint=at_setpoint,
        service=service,
        bound=best,
        share=known_share,
        share_bound=share,
        liquid=liquid,
        binding=binding,
        exceedance=exceedance,
    )


def service_share(curve: CoolingCurve, load: HeatLoad, service_max: float) -> FloatArray:
    """Service headroom share alone, `Headroom.share_bound`; parameters as in `headroom`, shape (time,). [-]"""
    return _best(curve, load, service_max)[1]


def _best(
    curve: CoolingCurve, load: HeatLoad, service_max: float, at_setpoint: FloatArray | None = None
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Greatest headroom over the service range [W], its share, its liquid [degC]; capacity at the setpoint if known."""
    like, low, high = load.at_setpoint, load.setpoint, max(load.setpoint, service_max)
    return best_in_service(
        in_columns(curve.knots), by_hour(curve.capacity),
        curve.capacity_at(low) if at_setpoint is None else at_setpoint, curve.capacity_at(high),
        curve.trip, curve.locked == NONE,
        like, load.slope, load.slope if load.slope_above is None else load.slope_above,
        _in_every(load.internal, like), _in_every(load.internal_slope, like),
        load.bend, low, high,
    )  # fmt: skip


def _in_every(value: FloatArray | float, hours: FloatArray) -> FloatArray:
    """What may be the same in all hours, hour by hour."""
    return value if isinstance(value, np.ndarray) else np.full(hours.shape, value)


def quotient(headroom: FloatArray, divisor: FloatArray) -> FloatArray:
    """Headroom [W] by heat [W]; infinite where no heat is to be rejected and none inside: nothing is asked. [-]"""
    nothing = np.where(headroom < 0.0, -np.inf, np.inf)
    return np.asarray(np.divide(headroom, divisor, out=nothing, where=divisor > 0.0))


def worst_hour(result: Headroom) -> int:
    """Index of the worst hour.

    Hours without capacity rank before all others, among them the greatest exceedance of the binding limit;
    then hours whose capacity is unknown, by exceedance; otherwise the least service headroom share. Ties: the
    earliest.

    Parameters
    ----------
    result : Headroom
        Of one series of hours.

    Returns
    -------
    int
    """
    if result.binding.min() >= BEYOND_TABLE and not np.isnan(result.service.min()):
        return _first_least(result.share_bound)
    rank, exceedance, _ = _order(result)
    return _first_least(np.where(rank == rank.max(), -exceedance, np.inf))


def _first_least(values: FloatArray) -> int:
    """Index of the first of the least values; one that is not a number is none."""
    first = int(np.argmin(values))
    return int(np.argmin(np.where(np.isnan(values), np.inf, values))) if np.isnan(values[first]) else first


def _order(result: Headroom) -> tuple[FloatArray, FloatArray, FloatArray]:
    """By what hours are put in order: class, kelvin beyond a limit, share."""
    barred = result.barred.astype(float)
    unknown = np.isnan(result.service).astype(float)
    rank = 2.0 * barred + unknown * (1.0 - barred)
    exceedance = np.where(rank > 0.0, result.exceedance, 0.0)
    return rank, exceedance, np.where(rank > 0.0, 0.0, result.share_bound)


def worst_order(result: Headroom, count: int) -> NDArray[np.intp]:
    """Indices of the worst hours, the worst first; order as in `worst_hour`."""
    rank, exceedance, share = _order(result)
    order = np.lexsort((np.arange(len(rank)), share, -exceedance, -rank))
    return np.asarray(order[:count])
