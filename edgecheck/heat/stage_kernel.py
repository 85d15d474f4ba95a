"""What a compressor that is switched gives, and what it must carry, in every hour and in one pass."""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel
from edgecheck.heat.curve import BEYOND_TABLE

FloatArray = NDArray[np.float64]


@kernel
def stage_and_rest(
    full: FloatArray,
    coil: FloatArray,
    load: FloatArray,
    binding: NDArray[np.int8],
    capacity: FloatArray,
    least_share: float,
) -> tuple[FloatArray, FloatArray]:
    """Least stage behind a coil and the load that the coil leaves it [W].

    The stage is 0 in hours that a limit bars (`binding`) or whose `capacity` is not known.
    """
    stage, rest = np.empty(full.size), np.empty(full.size)
    for hour in range(full.size):
        runs = binding[hour] >= BEYOND_TABLE and not np.isnan(capacity[hour])
        left = (full[hour] if runs else 0.0) - coil[hour]
        stage[hour] = least_share * (0.0 if left < 0.0 else left)
        asked = load[hour] - coil[hour]
        rest[hour] = 0.0 if asked < 0.0 else asked
    return stage, rest
