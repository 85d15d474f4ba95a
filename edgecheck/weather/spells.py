"""The week that holds the file's hottest or coldest hour.

In: hourly air temperature of one year. Out: the slice of the 168-hour window, any start hour, that contains
the hottest hour and has the greatest mean (coldest hour and least mean); the earliest on a tie.
"""

import numpy as np
from numpy.typing import NDArray

SPELL_HOURS = 168


def hot_window(temp_air: NDArray[np.float64]) -> slice:
    """Week around the hottest hour.

    Parameters
    ----------
    temp_air : ndarray, shape (n,)
        Air temperature of one year. [degC]

    Returns
    -------
    slice
        168 hours inside the year.

    Raises
    ------
    ValueError
        If there are fewer than 168 hours.
    """
    hours = len(temp_air)
    if hours < SPELL_HOURS:
        raise ValueError(f"a spell needs {SPELL_HOURS} hours, the year has {hours}")
    peak = int(np.argmax(temp_air))
    first = max(0, peak - SPELL_HOURS + 1)
    last = min(peak, hours - SPELL_HOURS)
    sums = np.cumsum(np.concatenate(([0.0], temp_air[first : last + SPELL_HOURS])))
    # rounded: equal windows must not differ by the order of summation
    means = np.round((sums[SPELL_HOURS:] - sums[:-SPELL_HOURS]) / SPELL_HOURS, 9)
    start = first + int(np.argmax(means))
    return slice(start, start + SPELL_HOURS)


def cold_window(temp_air: NDArray[np.float64]) -> slice:
    """Week around the coldest hour; as `hot_window` with the signs turned."""
    return hot_window(-np.asarray(temp_air))
