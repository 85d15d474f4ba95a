"""A coil between liquid and outdoor air: heat per kelvin of (liquid - inlet air).

    Q    = e C_min (T_liquid - T_in)                    e: cross-flow, both unmixed
    1/UA = s/(UA0 (n rho/rho_ref)^m (1-f)) + (1-s)/(UA0 g)

s is the air side's share of the thermal resistance, n the share of full fan speed, f fouling. The airflow is the
fan's volume flow, so thin or warm air weakens the air side and its capacity rate alike. Exponent of finned coils
0.6: common practice. g stands for the liquid side at another temperature than the rating's and is 1 here: oil in
tubes is thinner when warm, so that g = 1 is on the safe side in hot hours and optimistic in cold ones, when there
is capacity to spare.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import HEAT_CAPACITY_AIR
from edgecheck.heat.effectiveness import crossflow_effectiveness
from edgecheck.heat.section import LiquidRate

FloatArray = NDArray[np.float64]

LIQUID_SIDE = 1.0  # g above


@dataclass(frozen=True)
class Coil:
    """Coil of one cooling section.

    Parameters
    ----------
    conductance : float
        UA0 at rated flows, clean. [W/K]
    air_share, air_exponent : float
        Share of the resistance on the air side; exponent of the air's mass flow. [-]
    rating_density : float
        Air density of the rating. [kg/m3]
    fouling : float
        Share of air-side heat transfer lost between cleanings. [-]
    airflow : float
        At full fan speed. [m3/s]
    liquid : LiquidRate
        Through the coil.
    """

    conductance: float
    air_share: float
    air_exponent: float
    rating_density: float
    fouling: float
    airflow: float
    liquid: LiquidRate

    def conductance_in(self, density: ArrayLike, fan_speed: float = 1.0) -> FloatArray:
        """Conductance UA in air of a density [kg/m3]; shape of `density`. [W/K]"""
        relative = np.asarray(density, dtype=float) * fan_speed / self.rating_density
        air = self.air_share / (relative**self.air_exponent * (1.0 - self.fouling))
        return np.asarray(self.conductance / (air + (1.0 - self.air_share) / LIQUID_SIDE))

    def air_rate(self, density: ArrayLike, fan_speed: float = 1.0) -> FloatArray:
        """Capacity rate of the air; shape of `density`. [W/K]"""
        return np.asarray(density, dtype=float) * (self.airflow * fan_speed * HEAT_CAPACITY_AIR)

    def per_kelvin(self, liquid: ArrayLike, density: ArrayLike, fan_speed: float = 1.0) -> FloatArray:
        """Heat per kelvin of (liquid - inlet air).

        Parameters
        ----------
        liquid : array_like, shape (...) or (knot, ...)
            Temperature of the liquid that arrives. [degC]
        density : array_like, shape (...)
            Of the air. [kg/m3]
        fan_speed : float
            Share of full fan speed. [-]

        Returns
        -------
        ndarray, shape of liquid and density together
            e C_min. [W/K]
        """
        conductance, air = self.conductance_in(density, fan_speed), self.air_rate(density, fan_speed)
        rate = self.liquid.at(liquid)
        least, most = np.minimum(rate, air), np.maximum(rate, air)
        return np.asarray(least * crossflow_effectiveness(conductance / least, least / most))
