"""Cooling section of kind `chiller-with-economiser`: a coil in outdoor air before the chiller in the liquid.

The coil takes the arriving liquid at T, the chiller the liquid at T - Q_coil/C_liquid; a rating table on leaving
temperatures starts from there, so that the coil's drop is taken off once. Where the coil stands before the
condenser it warms the condenser's air by Q_coil/(rho cp V).

The coil is in use where the liquid is more than the changeover above the inlet air, the outdoor air not below the
coil's own limit, and the compressor power that it saves, (1-a) P/Q_cap for each watt at the setpoint, exceeds its
fan's. It comes in over half a kelvin, the hysteresis of a control. The chiller's low limit does not bar the coil; a
trip of the pressure switch stops both. What an hour draws is the lesser of the chiller alone and of the coil with
the chiller for the rest, so that the economiser never costs energy. The coil's pressure drop, which lowers the
liquid's flow a little, is left aside.
"""

from dataclasses import dataclass, replace
from typing import Any, Self, cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import HEAT_CAPACITY_AIR
from edgecheck.heat.chiller import ABOVE_SHUTDOWN, Chiller, rising
from edgecheck.heat.coil import Coil
from edgecheck.heat.coil_kernel import coil_in_use, economiser_knots, with_coil_fan
from edgecheck.heat.coil_table import per_kelvin
from edgecheck.heat.curve import (
    NONE,
    CoolingCurve,
    ambient_limits,
    highest_allowed,
    in_columns,
    interpolate,
    read_together,
)
from edgecheck.heat.dry_cooler import coil_steps
from edgecheck.heat.electricity import fan_share
from edgecheck.heat.section import InletAir, LiquidSpan

FloatArray = NDArray[np.float64]

COMES_IN_OVER = 0.5  # K, engineering default: hysteresis of the changeover
_EVEN_KNOTS = 6


@dataclass(frozen=True)
class EconomiserCurve(CoolingCurve):
    """A cooling curve that keeps its two parts, all of shape (knot, time).

    Parameters
    ----------
    coil : ndarray
        Heat of the coil in use, 0 where it is not. [W]
    rest_capacity, rest_power : ndarray
        The chiller behind the coil at full speed. [W]
    alone_capacity, alone_power : ndarray
        The chiller with the coil out of use; capacity 0 where outdoor air bars it. [W]
    """

    coil: FloatArray | None = None
    rest_capacity: FloatArray | None = None
    rest_power: FloatArray | None = None
    alone_capacity: FloatArray | None = None
    alone_power: FloatArray | None = None

    def times(self, count: int) -> Self:
        """The curve of several identical machines that run alike."""
        names = ("coil", "rest_capacity", "rest_power", "alone_capacity", "alone_power")
        parts: dict[str, Any] = {name: count * cast(FloatArray, getattr(self, name)) for name in names}
        return replace(super().times(count), **parts)

    def free_cooling_at(self, liquid: ArrayLike) -> FloatArray:
        """Heat of the coil in use; shape (time,). [W]"""
        return self.part("coil", liquid)

    def part(self, name: str, liquid: ArrayLike) -> FloatArray:
        """One of the parts by its name at a liquid temperature. [W]"""
        return self._read(cast(FloatArray, getattr(self, name)), liquid)


@dataclass(frozen=True)
class Economiser:
    """A chiller with a coil before it, SI.

    Parameters
    ----------
    chiller : Chiller
        Its limits are the section's, but for the coil's low limit.
    coil : Coil
        With air of its own or before the condenser.
    coil_fan_power : float
        At full speed; 0 where the condenser fan serves both. [W]
    before_condenser : bool
        Whether the coil's air goes on to the condenser.
    condenser_airflow : float
        At full fan speed. [m3/s]
    coil_air_min : float
        Lowest outdoor air for the coil. [degC]
    changeover : float
        Liquid minus inlet air from which the coil is in use. [K]
    """

    chiller: Chiller
    coil: Coil
    coil_fan_power: float
    before_condenser: bool
    condenser_airflow: float
    coil_air_min: float
    changeover: float

    @property
    def inlet_max(self) -> float:
        """Maker's limit on the air that enters. [degC]"""
        return self.chiller.inlet_max

    @property
    def inlet_min(self) -> float:
        """Lowest outdoor air in which chiller or coil may run. [degC]"""
        return min(self.chiller.inlet_min, self.coil_air_min)

    @property
    def shares_fan(self) -> bool:
        """Whether the condenser fan serves the coil too."""
        return self.coil_fan_power == 0.0

    def curve(self, air: InletAir, span: LiquidSpan) -> EconomiserCurve:
        """Capacity, power and limits of every hour.

        Parameters
        ----------
        air : InletAir
            Shape (time,).
        span : LiquidSpan
            Setpoint, service temperature, shutdown.

        Returns
        -------
        EconomiserCurve
        """
        chiller, inlet = self.chiller, air.inlet
        alone = chiller.curve(air, span)
        at_setpoint = per_kelvin(
            self.coil, np.full((1, len(inlet)), span.setpoint), air.density, air.fan_speed
        )[0]
        starts = self._starts_at(alone, air, span.setpoint, at_setpoint)
        knots = self._knots(alone, air, starts, span, at_setpoint)

        exchange, rate = per_kelvin(self.coil, knots, air.density, air.fan_speed), self.coil.liquid
        heat, behind = coil_in_use(
            knots, exchange, starts, inlet, COMES_IN_OVER, rate.at_reference, rate.slope, rate.reference
        )
        warmed = inlet + heat / self._condenser_rate(air) if self.before_condenser else inlet
        rest = chiller.stage(chiller.rows(warmed, air.factor, air.fan_speed), behind)

        barred = air.outdoor < chiller.inlet_min
        locked, exceedance = ambient_limits(air.outdoor, inlet, self.inlet_min, self.inlet_max)
        equivalent = chiller.equivalent_inlet(self._at(span.setpoint, knots, warmed), air.factor)
        highest = chiller.equivalent_inlet(self._at(span.service_max, knots, warmed), air.factor)
        past = np.maximum(equivalent, highest) - chiller.inlet_columns[-1]
        beyond = (past > 0.0) & (locked == NONE) & ~barred
        slope = alone.condensing_slope
        trip = highest_allowed(knots, rest.condensing, slope, chiller.condensing_limit)
        fan = self.coil_fan_power * air.fan_speed**3
        full = alone.capacity if alone.full_capacity is None else alone.full_capacity
        alone_capacity, alone_power = read_together(alone.knots, (full, alone.power), knots)
        rest_capacity = _unless(barred, rest.full_capacity)
        return EconomiserCurve(
            knots=knots,
            capacity=heat + _unless(barred, rest.capacity),
            power=with_coil_fan(_unless(barred, rest.power), heat, self._coil_fan(fan, barred)),
            condensing=rest.condensing,
            condensing_slope=slope,
            condensing_limit=chiller.condensing_limit,
            trip=np.where(barred, np.inf, trip),
            locked=locked,
            beyond=beyond,
            exceedance=np.where(beyond, past, exceedance),
            equivalent_inlet=equivalent,
            least_share=alone.least_share,
            speed_rise=rest.speed_rise,
            full_capacity=heat + rest_capacity if chiller.slows else None,
            below_rows=alone.below_rows,
            above_rows=alone.above_rows,
            below_columns=alone.below_columns,
            coil=heat,
            rest_capacity=rest_capacity,
            rest_power=rest.power,
            alone_capacity=_unless(barred, alone_capacity),
            alone_power=alone_power,
        )

    def _starts_at(self, alone: CoolingCurve, air: InletAir, setpoint: float, coil: FloatArray) -> FloatArray:
        """Liquid temperature from which the coil is in use, infinite where it is too cold for it; shape (time,).

        `coil` is its heat for each kelvin at the setpoint, shape (time,). [W/K]
        """
        saved = (1.0 - self.chiller.part_load.offset) * alone.power_at(setpoint)
        saved = saved / np.maximum(alone.full_capacity_at(setpoint), 1.0)
        barred = air.outdoor < self.chiller.inlet_min
        for_fan = np.where(barred, 0.0, self.coil_fan_power * air.fan_speed**3 / (saved * coil))
        starts = air.inlet + np.maximum(self.changeover, for_fan)
        return np.where(air.outdoor < self.coil_air_min, np.inf, starts)

    def _knots(
        self, alone: CoolingCurve, air: InletAir, starts: FloatArray, span: LiquidSpan, coil: FloatArray
    ) -> FloatArray:
        """Knots of the chiller alone, where the coil comes in, and where the liquid behind it meets those knots."""
        drop = coil / self.coil.liquid.at(span.setpoint)
        top = span.shutdown + ABOVE_SHUTDOWN
        return rising(
            economiser_knots(
                in_columns(alone.knots), starts, air.inlet, drop, COMES_IN_OVER, top, _EVEN_KNOTS
            )
        )

    def _condenser_rate(self, air: InletAir) -> FloatArray:
        """Capacity rate of the condenser's air. [W/K]"""
        return air.density * (self.condenser_airflow * air.fan_speed * HEAT_CAPACITY_AIR)

    def _coil_fan(self, fan: float, barred: NDArray[np.bool_]) -> FloatArray:
        """Power of the coil's air at full fan; a fan that both share is in the chiller's power while that runs."""
        return (
            np.where(barred, self.chiller.fan_power, 0.0) if self.shares_fan else np.full(barred.shape, fan)
        )

    @staticmethod
    def _at(liquid: float, knots: FloatArray, warmed: FloatArray) -> FloatArray:
        return interpolate(knots, warmed, liquid) if warmed.ndim > 1 else warmed

    def input_power(self, curve: CoolingCurve, liquid: FloatArray, cooled: FloatArray) -> FloatArray:
        """Mean power: the lesser of the chiller alone, and of the coil with the chiller for the rest.

        Parameters
        ----------
        curve : EconomiserCurve
            Of this section.
        liquid : ndarray, shape (time,)
            Arriving liquid. [degC]
        cooled : ndarray, shape (time,)
            Mean heat taken out. [W]

        Returns
        -------
        ndarray, shape (time,)
            Standby where nothing is taken out, and with the compressor at rest. [W]
        """
        made = cast(EconomiserCurve, curve)
        chiller = self.chiller
        parts = (made.coil, made.rest_capacity, made.rest_power, made.alone_capacity, made.alone_power)
        coil, behind, full, can, alone_power = read_together(
            made.knots, cast(tuple[FloatArray, ...], parts), liquid
        )
        in_use = coil > 0.0
        duty = np.clip(np.divide(cooled, coil, out=np.zeros(coil.shape), where=in_use), 0.0, 1.0)
        fans = fan_share(duty, chiller.part_load.fan_exponent)

        rest = np.maximum(0.0, cooled - coil)
        ratio = np.divide(rest, behind, out=np.zeros(coil.shape), where=behind > 0.0)
        if self.shares_fan:
            own = chiller.fan_power
            with_coil = chiller.power_of(full - own, ratio, fan=0.0) + own * fans
        else:
            with_coil = chiller.power_of(full, ratio) + self.coil_fan_power * fans
        with_coil = with_coil + np.where(ratio > 0.0, 0.0, chiller.standby)

        ratio = np.divide(cooled, can, out=np.zeros(coil.shape), where=can > 0.0)
        alone = np.where(can > 0.0, chiller.power_of(alone_power, ratio), np.inf)
        # the chiller alone is a choice where it can carry the heat, or where there is no coil
        alone = np.where((ratio > 1.0 + 1e-9) & in_use, np.inf, alone)
        drawn = np.where(in_use, np.minimum(with_coil, alone), np.where(can > 0.0, alone, 0.0))
        return np.where(cooled > 0.0, drawn, chiller.standby)

    def worked(self, air: InletAir, liquid: float) -> dict[str, float]:
        """Steps of the chiller and of the coil, in the first hour of `air`."""
        return self.chiller.worked(air, liquid) | coil_steps(self.coil, air, liquid)


def _unless(barred: NDArray[np.bool_], values: FloatArray) -> FloatArray:
    """Values (knot, time), 0 in hours in which the chiller is barred."""
    return np.where(barred, 0.0, values) if barred.any() else values
