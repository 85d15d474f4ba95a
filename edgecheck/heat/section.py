"""What every kind of cooling section offers to the heat balance, and the air and liquid it is asked about.

A section is one of the unit's identical ones. Its rating, airflow, fans, rejected heat and standby are of one
section; the liquid's flow is that of the unit, shared alike by the sections in service.
"""

from dataclasses import dataclass
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.heat.curve import CoolingCurve

FloatArray = NDArray[np.float64]


class LiquidSpan(NamedTuple):
    """Liquid temperatures that matter. [degC]"""

    setpoint: float
    service_max: float
    shutdown: float


@dataclass(frozen=True)
class InletAir:
    """Air at a cooling section.

    Parameters
    ----------
    outdoor : ndarray, shape (time,)
        Outdoor air, on which low limits are tested. [degC]
    inlet : ndarray, shape (time,)
        Air into the section. [degC]
    density : ndarray, shape (time,)
        Of the air that the fans move. [kg/m3]
    factor : ndarray, shape (time,)
        Air-side factor X of a condenser, the slowed fan included; see `inlet.air_side_factor`. [-]
    fan_speed : float
        Share of full fan speed: airflow goes with it, fan power with its cube. [-]
    """

    outdoor: FloatArray
    inlet: FloatArray
    density: FloatArray
    factor: FloatArray
    fan_speed: float = 1.0

    def window(self, hours: slice | NDArray[np.intp]) -> "InletAir":
        """The same air for some of its hours."""
        return InletAir(
            self.outdoor[hours], self.inlet[hours], self.density[hours], self.factor[hours], self.fan_speed
        )


@dataclass(frozen=True)
class LiquidRate:
    """Capacity rate of the liquid through one section, m cp, linear in temperature.

    Parameters
    ----------
    at_reference, slope : float
        [W/K], [W/K2]
    reference : float
        [degC]
    """

    at_reference: float
    slope: float
    reference: float

    def at(self, liquid: ArrayLike) -> FloatArray:
        """Capacity rate at a liquid temperature. [W/K]"""
        away = np.asarray(liquid, dtype=float) - self.reference
        return np.asarray(np.maximum(self.at_reference + self.slope * away, 0.1 * self.at_reference))


class CoolingSection(Protocol):
    """One cooling section of any kind."""

    @property
    def inlet_max(self) -> float:
        """Maker's limit on the air that enters. [degC]"""
        ...

    @property
    def inlet_min(self) -> float:
        """Maker's limit on the outdoor air. [degC]"""
        ...

    def curve(self, air: InletAir, span: LiquidSpan) -> CoolingCurve:
        """Capacity, power and limits of every hour."""
        ...

    def input_power(self, curve: CoolingCurve, liquid: FloatArray, cooled: FloatArray) -> FloatArray:
        """Mean electrical power while the section takes out `cooled` [W] on average, standby included. [W]"""
        ...

    def worked(self, air: InletAir, liquid: float) -> dict[str, float]:
        """Steps of a worked example in the first hour of `air`, SI under bare names."""
        ...
