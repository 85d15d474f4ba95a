"""Missing values: short gaps filled in time.

In: one variable of one year. Out: the variable without short gaps, and how many hours were filled. Gaps
longer than the limit in thresholds.toml refuse the file when the variable is needed and stay when it is
not.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.quality import LABELS
from edgecheck.weather.thresholds import thresholds

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Gap:
    """A run of missing hours: first and one past the last row."""

    first: int
    end: int

    @property
    def hours(self) -> int:
        """Length in hours."""
        return self.end - self.first


def gaps(values: FloatArray) -> tuple[Gap, ...]:
    """Find the runs of NaN.

    Parameters
    ----------
    values : ndarray, shape (n,)
    """
    missing = np.isnan(values)
    if not missing.any():
        return ()
    edges = np.diff(np.concatenate(([0], missing.astype(np.int8), [0])))
    return tuple(
        Gap(int(first), int(end))
        for first, end in zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1), strict=True)
    )


def filled(
    file: str, name: str, values: FloatArray, line: NDArray[np.int64], needed: bool
) -> tuple[FloatArray, int]:
    """Interpolate short gaps linearly in time; at the ends of the year the nearest value is held.

    Parameters
    ----------
    file, name : str
        File for messages; variable.
    values : ndarray, shape (n,)
        NaN where missing.
    line : ndarray of int, shape (n,)
        Line of each row.
    needed : bool
        Whether a long gap refuses the file.

    Returns
    -------
    values : ndarray, shape (n,)
        Without short gaps.
    count : int
        Filled hours.

    Raises
    ------
    WeatherRefused
        If a needed variable has a gap longer than the limit; names the hours.
    """
    found = gaps(values)
    if not found:
        return values, 0
    limit = thresholds()["gap"]["longest_h"]
    long = [gap for gap in found if gap.hours > limit]
    if needed and long:
        worst = max(long, key=lambda gap: gap.hours)
        if worst.hours == len(values):
            raise WeatherRefused(file, f"{LABELS[name][0]} is missing throughout")
        reason = f"{LABELS[name][0]} is missing for {worst.hours} hours on end (at most {limit} are filled)"
        if len(long) > 1:
            reason += f", and in {len(long) - 1} more gaps of more than {limit} hours"
        raise WeatherRefused(file, reason, f"lines {line[worst.first]} to {line[worst.end - 1]}")
    missing = np.isnan(values)
    if missing.all():
        return values, 0
    hours = np.arange(len(values), dtype=float)
    result = np.array(values)
    result[missing] = np.interp(hours[missing], hours[~missing], values[~missing])
    for gap in long:
        result[gap.first : gap.end] = np.nan
    return result, sum(gap.hours for gap in found if gap.hours <= limit)
