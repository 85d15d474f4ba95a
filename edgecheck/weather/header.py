"""Extremes that the header of a weather file prints.

In: the DESIGN CONDITIONS line of an EPW file. Out: mean and standard deviation of the annual extreme dry
bulbs and the n-year values, or a note that says why they are not read.

The line keeps its length between editions of the handbook it comes from while its content moves: up to 2009
the greatest wet bulb stands between the wind speeds and the temperatures, later it stands elsewhere. The
layout is therefore found from the numbers: the one whose printed 20-year values agree with T_20 = M + F s.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from edgecheck.base.notes import Note
from edgecheck.weather.gumbel import return_value

RETURN_YEARS = (5, 10, 20, 50)
_WIND_SPEEDS = 3
_AGREEMENT_K = 0.3


@dataclass(frozen=True)
class HeaderExtremes:
    """Annual extreme dry bulbs at the station's elevation.

    Parameters
    ----------
    source : str
        The line's own words for where the values come from.
    mean_max, mean_min : float
        Mean of the annual maxima and minima. [degC]
    sd_max, sd_min : float
        Their standard deviations. [K]
    hot, cold : mapping of int to float
        Printed n-year values by n. [degC]
    """

    source: str
    mean_max: float
    mean_min: float
    sd_max: float
    sd_min: float
    hot: Mapping[int, float]
    cold: Mapping[int, float]


def header_extremes(fields: list[str]) -> tuple[HeaderExtremes | None, tuple[Note, ...]]:
    """Read the extremes of a DESIGN CONDITIONS line.

    Parameters
    ----------
    fields : list of str
        The line, split at its commas, with the keyword first.

    Returns
    -------
    extremes : HeaderExtremes or None
        None where the line has none or its layout cannot be told.
    notes : tuple of Note
        Why not, where the line has an extremes block that is not read.
    """
    names = [text.strip().lower() for text in fields]
    if "extremes" not in names:
        return None, ()
    start = names.index("extremes") + 1 + _WIND_SPEEDS
    source = fields[2].strip() if len(fields) > 2 else ""
    layouts = [_layout(source, fields, start + shift) for shift in (0, 1)]
    best = min((found for found in layouts if found is not None), default=None, key=lambda found: found[0])
    if best is None or best[0] > _AGREEMENT_K:
        text = (
            "The extremes of the file's header are not used: no known layout of the line prints 20-year "
            f"values within {_AGREEMENT_K} K of those that follow from its means and standard deviations."
        )
        return None, (Note("header-extremes-not-read", "info", text),)
    return best[1], ()


def _layout(source: str, fields: list[str], first: int) -> tuple[float, HeaderExtremes] | None:
    """Worst disagreement of the printed 20-year values, and the block, if it begins at field `first`."""
    try:
        values = [float(text) for text in fields[first : first + 4 + 2 * len(RETURN_YEARS)]]
    except ValueError:
        return None
    if len(values) < 4 + 2 * len(RETURN_YEARS) or not all(math.isfinite(value) for value in values):
        return None
    mean_min, mean_max, sd_min, sd_max = values[:4]
    if sd_min < 0 or sd_max < 0:
        return None
    cold = MappingProxyType(dict(zip(RETURN_YEARS, values[4::2], strict=True)))
    hot = MappingProxyType(dict(zip(RETURN_YEARS, values[5::2], strict=True)))
    worst = max(
        abs(hot[20] - return_value(mean_max, sd_max, 20)),
        abs(cold[20] - return_value(mean_min, -sd_min, 20)),
    )
    return worst, HeaderExtremes(source, mean_max, mean_min, sd_max, sd_min, hot, cold)
