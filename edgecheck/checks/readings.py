"""Readings of a series' hours that several checks ask for, each taken once for as long as the series lives.

In: headroom or cooling curve of a series. Out: the worst hour; the capacity at full speed. [W]
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.kept import kept
from edgecheck.heat.curve import CoolingCurve
from edgecheck.heat.headroom import Headroom, worst_hour


@kept
def worst_of(room: Headroom) -> int:
    """Index of the worst hour, as `worst_hour` finds it."""
    return worst_hour(room)


@kept
def full_capacity(curve: CoolingCurve, liquid: float) -> NDArray[np.float64]:
    """Capacity at full speed at a liquid temperature, every limit left aside.

    Parameters
    ----------
    curve : CoolingCurve
        Of a series.
    liquid : float
        [degC]

    Returns
    -------
    ndarray, shape (time,)
        Shared by all who ask: not to be written to. [W]
    """
    found = curve.full_capacity_at(liquid)
    found.flags.writeable = False
    return found
