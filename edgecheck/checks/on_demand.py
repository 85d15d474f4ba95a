"""What only a report shows of a site's heat, worked out when a page asks for it.

Largest load load by load, and the map of the unit's capacity. Neither decides anything: a list of thousands of rows
is screened without them.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.capacity_map import CapacityMap, capacity_map
from edgecheck.heat.largest_load import AtLoad, at_loads
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.criteria import HeatCriteria

FloatArray = NDArray[np.float64]

STEPS = 10  # of the unit's greatest load
_BESIDE_K = 4.0  # of map beside the hours and the limits
_GRID = (33, 21)  # inlet, liquid


@dataclass(frozen=True)
class OnDemand:
    """What a report works out for itself.

    Parameters
    ----------
    year, hot, cold : HeatSeries
        Of the site.
    machine : Machine
        The unit at the site's full IT load.
    machine_at : callable
        Machine at an IT load [W].
    most, largest : float, float or None
        What the unit can be filled with; largest load at the required margins, where it is known. [W]
    margin : float
        Required distance of the hot spell's liquid peak from the alarm. [K]
    """

    year: HeatSeries
    hot: HeatSeries
    cold: HeatSeries
    machine: Machine
    machine_at: Callable[[float], Machine]
    most: float
    largest: float | None
    margin: float

    @classmethod
    def of(
        cls,
        heat: SiteHeat,
        machine_at: Callable[[float], Machine],
        most: float,
        criteria: HeatCriteria,
        largest: float | None,
    ) -> "OnDemand":
        """What a report may ask of a site's heat."""
        series = (heat.year, heat.hot.series, heat.cold.series)
        return cls(*series, heat.machine, machine_at, most, largest, criteria.hot_spell_liquid_margin_k)

    def loads(self) -> tuple[AtLoad, ...]:
        """Hours short and spells at tenths of the greatest load, at the site's load and at the largest."""
        tenths = [self.most * step / STEPS for step in range(1, STEPS + 1)]
        own = [load for load in (self.machine.it, self.largest) if load]
        # two loads within a watt are one, the site's own before a tenth
        chosen = {round(load): load for load in (*tenths, *own)}
        loads = sorted(chosen.values())
        return at_loads(self.year, self.hot, self.cold, self.machine_at, loads, self.margin)

    def capacity(self) -> CapacityMap:
        """Map of the unit's capacity over the air and liquid that the year and the hot spell bring."""
        machine = self.machine
        air = [series.surroundings.inlet_air for series in (self.year, self.hot, self.cold)]
        low = min(float(np.min(values)) for values in air)
        high = max(float(np.max(values)) for values in air)
        liquid = [series.course.liquid for series in (self.year, self.hot)]
        bottom = min(machine.setpoint, *(float(np.min(values)) for values in liquid))
        inlet = np.linspace(low - _BESIDE_K, max(high, machine.cooling.inlet_max) + _BESIDE_K, _GRID[0])
        top = max(machine.alarm, *(float(np.max(values)) for values in liquid))
        heights = np.linspace(bottom - _BESIDE_K, top + 2.0 * _BESIDE_K, _GRID[1])
        return capacity_map(machine, self.year.surroundings, inlet, heights)
