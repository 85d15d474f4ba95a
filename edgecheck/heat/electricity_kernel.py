"""Part load of a compressor with its fan in every hour, and how often it starts; see `electricity.py`."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel

FloatArray = NDArray[np.float64]


@kernel
def part_load_power(
    full: FloatArray,
    capacity_ratio: FloatArray,
    fan: float,
    least: float,
    offset: float,
    exponent: float,
    cycling_offset: float,
) -> FloatArray:
    """Mean power (hour) at shares of capacity, cycled below the least share; 0 where nothing is taken out. [W]"""
    result = np.empty(len(full))
    for hour in range(len(full)):
        ratio = capacity_ratio[hour]
        ratio = 0.0 if ratio < 0.0 else ratio
        ratio = 1.0 if ratio > 1.0 else ratio
        speed = least if ratio < least else ratio
        of_fan = speed * speed * speed if exponent == 3.0 else speed**exponent
        running = (full[hour] - fan) * (offset + (1.0 - offset) * speed) + fan * of_fan
        share = ratio / speed
        cycled = (1.0 - cycling_offset) * share + cycling_offset if share < 1.0 else 1.0
        result[hour] = running * cycled if ratio > 0.0 else 0.0
    return result


@kernel
def starts_and_runs(capacity: FloatArray, load: FloatArray, stored: float) -> tuple[FloatArray, FloatArray]:
    """Starts an hour [1/h] and run time [s] of a machine that holds a band which stores some heat [J]."""
    starts, run = np.empty(len(load)), np.empty(len(load))
    for hour in range(len(load)):
        swings = (load[hour] > 0.0) & (capacity[hour] > load[hour])
        on, off = stored / (capacity[hour] - load[hour]), stored / load[hour]
        run[hour] = on if swings else np.inf
        starts[hour] = 3600.0 / (on + off) if swings else 0.0
    return starts, run
