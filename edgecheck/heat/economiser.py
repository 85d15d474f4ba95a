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
from edgecheck.heat.chiller import ABOVE_SHUTDOWN, Chiller, Stage, rising
from edgecheck.heat.coil import Coil
from edgecheck.heat.coil_table import per_kelvin
from edgecheck.heat.curve import (
    NONE,
    Bracket,
    CoolingCurve,
    ambient_limits,
    highest_allowed,
    interpolate,
    read_together,
)
from edgecheck.heat.dry_cooler import coil_steps
from edgecheck.heat.section import InletAir, LiquidSpan

FloatArray = NDArray[np.float64]

COMES_IN_OVER = 0.5  # K, engineering default: hysteresis of the changeover


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
        starts = self._starts_at(alone, air, span.setpoint)
        knots = self._knots(alone, air, starts, span)

        share = np.clip((knots - starts) / COMES_IN_OVER, 0.0, 1.0)
        heat = (
            share * per_kelvin(self.coil, knots, air.density, air.fan_speed) * np.maximum(0.0, knots - inlet)
        )
        behind = knots - heat / self.coil.liquid.at(knots)
        warmed = inlet + (heat / self._condenser_rate(air) if self.before_condenser else 0.0)
        rest = self._stage(warmed, air, behind)

        barred = air.outdoor < chiller.inlet_min
        running = np.where(barred, 0.0, 1.0)
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
        return EconomiserCurve(
            knots=knots,
            capacity=heat + running * rest.capacity,
            power=running * rest.power + np.where(heat > 0.0, self._coil_fan(fan, barred), 0.0),
            condensing=rest.condensing,
            condensing_slope=slope,
            condensing_limit=chiller.condensing_limit,
            trip=np.where(barred, np.inf, trip),
            locked=locked,
            beyond=beyond,
            exceedance=np.where(beyond, past, exceedance),
            equivalent_inlet=equivalent,
            least_share=alone.least_share,
            speed_rise=rest.speed_rise if chiller.slows else None,
            full_capacity=heat + running * rest.full_capacity if chiller.slows else None,
            below_rows=alone.below_rows,
            above_rows=alone.above_rows,
            below_columns=alone.below_columns,
            coil=heat,
            rest_capacity=running * rest.full_capacity,
            rest_power=rest.power,
            alone_capacity=running * alone_capacity,
            alone_power=alone_power,
        )

    def _starts_at(self, alone: CoolingCurve, air: InletAir, setpoint: float) -> FloatArray:
        """Liquid temperature from which the coil is in use, infinite where it is too cold for it; shape (time,)."""
        saved = (1.0 - self.chiller.part_load.offset) * alone.power_at(setpoint)
        saved = saved / np.maximum(alone.full_capacity_at(setpoint), 1.0)
        coil = self._coil_at(setpoint, air)
        barred = air.outdoor < self.chiller.inlet_min
        for_fan = np.where(barred, 0.0, self.coil_fan_power * air.fan_speed**3 / (saved * coil))
        starts = air.inlet + np.maximum(self.changeover, for_fan)
        return np.where(air.outdoor < self.coil_air_min, np.inf, starts)

    def _coil_at(self, liquid: float, air: InletAir) -> FloatArray:
        """Heat of the coil per kelvin at one liquid temperature, shape (time,). [W/K]"""
        return per_kelvin(self.coil, np.full((1, len(air.inlet)), liquid), air.density, air.fan_speed)[0]

    def _knots(self, alone: CoolingCurve, air: InletAir, starts: FloatArray, span: LiquidSpan) -> FloatArray:
        """Knots of the chiller alone, where the coil comes in, and where the liquid behind it meets those knots."""
        top = np.maximum(alone.knots[-1] + 1.0, span.shutdown + ABOVE_SHUTDOWN)
        drop = self._coil_at(span.setpoint, air) / self.coil.liquid.at(span.setpoint)
        behind = (alone.knots - drop * air.inlet) / (1.0 - np.minimum(drop, 0.95))
        full = starts + COMES_IN_OVER
        lowest = alone.knots[0]
        parts = [*alone.knots, starts, full, *np.maximum(behind, full), *np.linspace(lowest, top, 6)]
        return rising(np.clip(np.stack(parts), lowest, top))

    def _stage(self, warmed: FloatArray, air: InletAir, behind: FloatArray) -> Stage:
        """The chiller behind the coil, a different inlet at every knot where the coil warms it."""
        if not self.before_condenser:
            return self.chiller.stage(self.chiller.rows(air.inlet, air.factor, air.fan_speed), behind)
        return self.chiller.stage(self.chiller.rows(warmed, air.factor, air.fan_speed), behind)

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
        return interpolate(knots, np.broadcast_to(warmed, knots.shape), liquid)

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
        there = Bracket(made.knots, liquid)

        def part(name: str) -> FloatArray:
            return there.of(getattr(made, name))

        coil = part("coil")
        in_use = coil > 0.0
        duty = np.clip(np.divide(cooled, coil, out=np.zeros(coil.shape), where=in_use), 0.0, 1.0)
        fans = duty**chiller.part_load.fan_exponent

        rest = np.maximum(0.0, cooled - coil)
        behind, full = part("rest_capacity"), part("rest_power")
        ratio = np.divide(rest, behind, out=np.zeros(coil.shape), where=behind > 0.0)
        if self.shares_fan:
            own = chiller.fan_power
            with_coil = chiller.power_of(full - own, ratio, fan=0.0) + own * fans
        else:
            with_coil = chiller.power_of(full, ratio) + self.coil_fan_power * fans
        with_coil = with_coil + np.where(ratio > 0.0, 0.0, chiller.standby)

        can = part("alone_capacity")
        ratio = np.divide(cooled, can, out=np.zeros(coil.shape), where=can > 0.0)
        alone = np.where(can > 0.0, chiller.power_of(part("alone_power"), ratio), np.inf)
        # the chiller alone is a choice where it can carry the heat, or where there is no coil
        alone = np.where((ratio > 1.0 + 1e-9) & in_use, np.inf, alone)
        drawn = np.where(in_use, np.minimum(with_coil, alone), np.where(can > 0.0, alone, 0.0))
        return np.where(cooled > 0.0, drawn, chiller.standby)

    def worked(self, air: InletAir, liquid: float) -> dict[str, float]:
        """Steps of the chiller and of the coil, in the first hour of `air`."""
        return self.chiller.worked(air, liquid) | coil_steps(self.coil, air, liquid)
