"""A coil with a chiller behind it as its compiled loops see it; see `economiser.py` and `section_kernel.py`."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

# what `parts_behind_coil` gives: the coil's heat; capacity and power of the chiller behind it at full speed; of the
# chiller alone; power of both; condensing temperature at the least speed, and its rise to full speed
PARTS = (
    "coil", "rest_capacity", "rest_power", "alone_capacity", "alone_power", "power", "condensing", "speed_rise",
)  # fmt: skip


class Behind(NamedTuple):
    """A coil with a chiller behind it, the same in all hours; SI, as in `Chiller`, `Economiser` and `coil_table`.

    `per_watt` is in air of standard pressure [K/W]; `condenser_rate` the capacity rate of the condenser's air for each
    kg/m3 of its density, infinite where the coil does not warm it; `table` is empty where there is no polynomial.
    """

    columns: FloatArray
    capacity: FloatArray
    power: FloatArray
    liquid_rows: FloatArray
    leaving_basis: bool
    liquid_heat_rate: float
    split: float
    per_watt: float
    fan: float
    rated_fan: float
    offset: float
    least: float
    limit: float
    condenser_rate: float
    over: float
    rate: float
    rate_slope: float
    reference: float
    table: FloatArray
    box: tuple[float, float, float, float]


class Air(NamedTuple):
    """Of every hour: liquid from which the coil is in use, inlet air, density, air-side factor, chiller barred."""

    starts: FloatArray
    inlet: FloatArray
    density: FloatArray
    factor: FloatArray
    barred: NDArray[np.bool_]
