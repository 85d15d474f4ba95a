"""Cooling section of kind `dry-cooler`: a coil in outdoor air, without a compressor.

Capacity is nearly linear in the liquid's temperature and zero at the inlet air's; what bends it is the liquid's
heat capacity, some 0.2 % per kelvin. With relative slope a of m cp and knots at distances d1, d2 from the inlet
air, the straight line between them is off by at most a (sqrt(d2) - sqrt(d1))^2, since e C_min never grows faster
than m cp itself; the knots are set evenly in sqrt(d) so that this stays below 0.1 %.

Altitude and fouling act in the conductance, so nothing is read at an equivalent inlet temperature. There is no
condensing limit.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.coil import Coil
from edgecheck.heat.coil_kernel import knots_from
from edgecheck.heat.coil_table import per_kelvin
from edgecheck.heat.curve import CoolingCurve, ambient_limits
from edgecheck.heat.electricity import fan_share
from edgecheck.heat.section import InletAir, LiquidSpan

FloatArray = NDArray[np.float64]

STRAIGHT_WITHIN = 0.9e-3  # relative error of the straight line between two knots
ABOVE_SHUTDOWN = 5.0  # K, where the curve ends: after shutdown only pump and shell warm the liquid
_FIRST = 0.5  # K from the inlet air to the first knot above it


@dataclass(frozen=True)
class DryCooler:
    """Coil, fans and limits of one dry cooler, SI.

    Parameters
    ----------
    coil : Coil
        [W/K]
    fan_power : float
        At full speed. [W]
    fan_exponent : float
        Of fan power in the share of capacity: 3 for a fan that slows, 1 for one that is switched. [-]
    still_share : float
        Share of full heat transfer that remains with the fans off; 0 where the liquid can go past the coil. [-]
    inlet_max, inlet_min : float
        Maker's limits: on the air that enters; on the outdoor air. [degC]
    standby : float
        Controls, drawn at all times. [W]
    """

    coil: Coil
    fan_power: float
    fan_exponent: float
    still_share: float
    inlet_max: float
    inlet_min: float
    standby: float

    def curve(self, air: InletAir, span: LiquidSpan) -> CoolingCurve:
        """Capacity, power and limits of every hour.

        Parameters
        ----------
        air : InletAir
            Shape (time,).
        span : LiquidSpan
            Setpoint and shutdown, between which the curve is within 0.1 % of the coil's exact heat.

        Returns
        -------
        CoolingCurve
            Its condensing temperature is NaN and its condensing limit infinite.
        """
        inlet = air.inlet
        knots = self._knots(inlet, span)
        capacity = np.empty_like(knots)
        capacity[0] = 0.0
        capacity[1:] = per_kelvin(self.coil, knots[1:], air.density, air.fan_speed) * (knots[1:] - inlet)
        locked, exceedance = ambient_limits(air.outdoor, inlet, self.inlet_min, self.inlet_max)
        return CoolingCurve(
            knots=knots,
            capacity=capacity,
            power=np.broadcast_to(self.standby + self.fan_power * air.fan_speed**3, knots.shape),
            condensing=np.broadcast_to(np.nan, knots.shape),
            condensing_slope=np.zeros_like(inlet),
            condensing_limit=math.inf,
            trip=np.full(inlet.shape, np.inf),
            locked=locked,
            beyond=np.zeros(inlet.shape, dtype=bool),
            exceedance=exceedance,
            equivalent_inlet=inlet,
            still_share=self.still_share,
        )

    def _knots(self, inlet: FloatArray, span: LiquidSpan) -> FloatArray:
        """The inlet temperature, then knots evenly in sqrt(d) from the setpoint to past shutdown.

        A coil that passes heat with its fans off does so below the setpoint too: its knots begin at the inlet.
        """
        top = span.shutdown + ABOVE_SHUTDOWN
        lowest = self.inlet_min if self.still_share > 0.0 else span.setpoint
        liquid = self.coil.liquid
        bend = abs(liquid.slope) / float(liquid.at(span.setpoint))
        # the widest spread of sqrt(d) is that of an inlet just below the lowest temperature
        widest = math.sqrt(top - lowest + _FIRST) - math.sqrt(_FIRST)
        pieces = max(1, math.ceil(widest * math.sqrt(bend / STRAIGHT_WITHIN)))
        return knots_from(inlet, lowest, top, _FIRST, pieces)

    def input_power(self, curve: CoolingCurve, liquid: FloatArray, cooled: FloatArray) -> FloatArray:
        """Mean power of fans and controls.

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
            Standby, and the fans at the share of capacity that still air does not cover, to the fan's
            exponent. [W]
        """
        ratio = curve.capacity_ratio(liquid, cooled)
        duty = np.maximum(0.0, (ratio - self.still_share) / (1.0 - self.still_share))
        fans = curve.power_at(liquid) - self.standby
        return np.asarray(self.standby + fans * fan_share(duty, self.fan_exponent))

    def worked(self, air: InletAir, liquid: float) -> dict[str, float]:
        """Steps from the air's density to the heat of the coil, in the first hour of `air`."""
        return coil_steps(self.coil, air, liquid) | {"fan_power": self.fan_power * air.fan_speed**3}


def coil_steps(coil: Coil, air: InletAir, liquid: float) -> dict[str, float]:
    """Steps from the air's density to the heat of a coil, in the first hour of `air`.

    Parameters
    ----------
    coil : Coil
        Of a dry cooler or an economiser.
    air : InletAir
        Shape (time,), of which the first hour is used.
    liquid : float
        Arriving liquid. [degC]

    Returns
    -------
    dict
        coil_conductance, coil_liquid_rate, coil_air_rate [W/K]; coil_ntu, coil_rate_ratio,
        coil_effectiveness [-]; coil_heat [W]; coil_rated_conductance, coil_air_share, coil_airflow.
    """
    density, inlet = float(air.density[0]), float(air.inlet[0])
    conductance = float(coil.conductance_in(density, air.fan_speed))
    rates = float(coil.liquid.at(liquid)), float(coil.air_rate(density, air.fan_speed))
    heat = float(coil.per_kelvin(liquid, density, air.fan_speed))
    return {
        "coil_rated_conductance": coil.conductance,
        "coil_air_share": coil.air_share,
        "coil_airflow": coil.airflow * air.fan_speed,
        "coil_conductance": conductance,
        "coil_liquid_rate": rates[0],
        "coil_air_rate": rates[1],
        "coil_ntu": conductance / min(rates),
        "coil_rate_ratio": min(rates) / max(rates),
        "coil_effectiveness": heat / min(rates),
        "coil_heat": max(0.0, heat * (liquid - inlet)),
    }
