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

from dataclasses import dataclass, field, replace
from typing import Self, cast

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import HEAT_CAPACITY_AIR
from edgecheck.heat.behind_coil import PARTS, Air, Behind
from edgecheck.heat.chiller import ABOVE_SHUTDOWN, Chiller, rising
from edgecheck.heat.coil import Coil
from edgecheck.heat.coil_kernel import economiser_knots
from edgecheck.heat.coil_table import per_kelvin, table_of
from edgecheck.heat.curve import NONE, CoolingCurve, ambient_limits, by_hour, in_columns
from edgecheck.heat.dry_cooler import coil_steps
from edgecheck.heat.electricity import fan_share
from edgecheck.heat.section import InletAir, LiquidSpan
from edgecheck.heat.section_kernel import behind_coil, parts_behind_coil

FloatArray = NDArray[np.float64]

COMES_IN_OVER = 0.5  # K, engineering default: hysteresis of the changeover
_EVEN_KNOTS = 6
_NO_TABLE = (np.empty((0, 0)), (0.0, 1.0, 0.0, 1.0))
_IN_WATT = PARTS.index("condensing")  # parts before it are in watt and go with the number of machines


@dataclass(frozen=True)
class EconomiserCurve(CoolingCurve):
    """A cooling curve whose parts are worked out where they are read, between the two knots around the liquid.

    `part` knows coil [W], the heat of the coil in use, 0 where it is not; rest_capacity and rest_power [W], the chiller
    behind the coil at full speed; alone_capacity and alone_power [W], the chiller with the coil out of use, capacity 0
    where outdoor air bars it; and what any curve has. `power` and `condensing` are empty.

    Parameters
    ----------
    section : Behind
        Coil and chiller of one machine.
    count : int
        Identical machines that run alike.
    fans : tuple of float
        Power of the coil's air beside a chiller; where that is barred. [W]
    starts, inlet, density, factor : ndarray, shape (time,)
        Liquid from which the coil is in use; inlet air; its density; air-side factor. [degC], [degC], [kg/m3], [-]
    barred : ndarray of bool, shape (time,)
        Hours too cold for the chiller.
    exchange : ndarray, shape (knot, time) or (0, time)
        Heat of the coil per kelvin at the knots, where `section` has no polynomial for it. [W/K]
    """

    section: Behind | None = None
    count: int = 1
    fans: tuple[float, float] = (0.0, 0.0)
    starts: FloatArray = field(default_factory=lambda: np.empty(0))
    inlet: FloatArray = field(default_factory=lambda: np.empty(0))
    density: FloatArray = field(default_factory=lambda: np.empty(0))
    factor: FloatArray = field(default_factory=lambda: np.empty(0))
    barred: NDArray[np.bool_] = field(default_factory=lambda: np.empty(0, dtype=bool))
    exchange: FloatArray = field(default_factory=lambda: np.empty((0, 0)))
    # in nearly every hour the liquid is at the setpoint: one reading serves many questions
    _latest: dict[str, FloatArray] = field(default_factory=dict, init=False, repr=False, compare=False)

    def times(self, count: int) -> Self:
        """The curve of several identical machines that run alike."""
        return self if count == 1 else replace(self, capacity=count * self.capacity, count=count * self.count)

    def free_cooling_at(self, liquid: ArrayLike) -> FloatArray:
        """Heat of the coil in use; shape (time,). [W]"""
        return self.part("coil", liquid)

    def full_capacity_at(self, liquid: ArrayLike) -> FloatArray:
        """Capacity at full speed at a liquid temperature, every limit left aside. [W]"""
        parts = self.parts(liquid)
        return parts["coil"] + parts["rest_capacity"]

    def part(self, name: str, liquid: ArrayLike) -> FloatArray:
        """One of the parts by its name at a liquid temperature; shape (time,)."""
        return super().part(name, liquid) if name == "capacity" else self.parts(liquid)[name]

    def parts(self, liquid: ArrayLike) -> dict[str, FloatArray]:
        """All parts by name at a liquid temperature; shape (time,)."""
        at = np.ascontiguousarray(np.broadcast_to(np.asarray(liquid, dtype=float), self.trip.shape))
        if not (self._latest and np.array_equal(self._latest["liquid"], at)):
            air = Air(self.starts, self.inlet, self.density, self.factor, self.barred)
            knots, exchange = (
                by_hour(self.knots),
                by_hour(self.exchange) if self.exchange.size else _NO_TABLE[0],
            )
            found = parts_behind_coil(cast(Behind, self.section), air, knots, exchange, at, self.fans)
            if self.count != 1:
                found[:_IN_WATT] *= self.count
            self._latest.update(zip(PARTS, found, strict=True), liquid=at.copy())
        return self._latest


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
        table = table_of(self.coil, knots, air.density, air.fan_speed)
        section = self._section(air.fan_speed, *(_NO_TABLE if table is None else table))
        exchange = np.empty((0, len(inlet)))
        if table is None:
            exchange = self.coil.per_kelvin(knots, air.density, air.fan_speed)
        barred = air.outdoor < chiller.inlet_min
        capacity, trip = behind_coil(
            section,
            Air(starts, inlet, air.density, air.factor, barred),
            knots,
            exchange,
            alone.condensing_slope,
        )
        fan = self.coil_fan_power * air.fan_speed**3
        made = EconomiserCurve(
            knots=knots,
            capacity=capacity,
            power=np.empty((0, len(inlet))),
            condensing=np.empty((0, len(inlet))),
            condensing_slope=alone.condensing_slope,
            condensing_limit=chiller.condensing_limit,
            trip=trip,
            locked=alone.locked,
            beyond=alone.beyond,
            exceedance=alone.exceedance,
            equivalent_inlet=alone.equivalent_inlet,
            least_share=alone.least_share,
            below_rows=alone.below_rows,
            above_rows=alone.above_rows,
            below_columns=alone.below_columns,
            section=section,
            # a fan that both share is in the chiller's power while that runs
            fans=(0.0, chiller.fan_power) if self.shares_fan else (fan, fan),
            starts=starts,
            inlet=inlet,
            density=air.density,
            factor=air.factor,
            barred=barred,
            exchange=exchange,
        )
        highest = alone.equivalent_inlet
        if self.before_condenser:
            at_service = self._warmed(made, air, span.service_max)
            made = replace(made, equivalent_inlet=self._warmed(made, air, span.setpoint))
            highest = np.maximum(made.equivalent_inlet, at_service)
        return self._limited(made, air, highest)

    def _limited(self, curve: EconomiserCurve, air: InletAir, highest: FloatArray) -> EconomiserCurve:
        """With the limits of the section; the table is read up to equivalent inlets `highest` [degC]."""
        locked, exceedance = ambient_limits(air.outdoor, air.inlet, self.inlet_min, self.inlet_max)
        past = highest - self.chiller.inlet_columns[-1]
        beyond = (past > 0.0) & (locked == NONE) & ~curve.barred
        return replace(curve, locked=locked, beyond=beyond, exceedance=np.where(beyond, past, exceedance))

    def _warmed(self, curve: EconomiserCurve, air: InletAir, liquid: float) -> FloatArray:
        """Inlet at which the table is read where the coil warms the condenser's air. [degC]"""
        heat = curve.free_cooling_at(liquid)
        return self.chiller.equivalent_inlet(air.inlet + heat / self._condenser_rate(air), air.factor)

    def _section(self, fan_speed: float, table: FloatArray, box: tuple[float, float, float, float]) -> Behind:
        """Numbers of coil and chiller that are the same in all hours."""
        chiller, rate = self.chiller, self.coil.liquid
        return Behind(
            columns=np.asarray(chiller.inlet_columns, dtype=float),
            capacity=np.ascontiguousarray(chiller.capacity),
            power=np.ascontiguousarray(chiller.power),
            liquid_rows=np.asarray(chiller.liquid_rows, dtype=float),
            leaving_basis=chiller.leaving_basis,
            liquid_heat_rate=chiller.liquid_heat_rate,
            split=chiller.split,
            per_watt=chiller.split / chiller.rated_heat_rejection,
            fan=chiller.fan_power * fan_speed**3,
            rated_fan=chiller.fan_power,
            offset=chiller.part_load.offset,
            least=chiller.part_load.least_share,
            limit=chiller.condensing_limit,
            condenser_rate=self._condenser_airflow_rate(fan_speed) if self.before_condenser else np.inf,
            over=COMES_IN_OVER,
            rate=rate.at_reference,
            rate_slope=rate.slope,
            reference=rate.reference,
            table=table,
            box=box,
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

    def _condenser_airflow_rate(self, fan_speed: float) -> float:
        """Capacity rate of the condenser's air for each kg/m3 of its density. [W m3/(K kg)]"""
        return self.condenser_airflow * fan_speed * HEAT_CAPACITY_AIR

    def _condenser_rate(self, air: InletAir) -> FloatArray:
        """Capacity rate of the condenser's air. [W/K]"""
        return air.density * self._condenser_airflow_rate(air.fan_speed)

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
        parts = made.parts(liquid)
        coil, behind, full = parts["coil"], parts["rest_capacity"], parts["rest_power"]
        can, alone_power = parts["alone_capacity"], parts["alone_power"]
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
