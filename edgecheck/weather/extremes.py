"""The extreme that a spell is shifted to.

In: a weather file, the site's elevation, what the list gives, the criteria. Out: `Extreme` in degC at the
site's elevation, before urban heat and warming. The first of these that exists: the list; the file's
header; Gumbel from the annual extremes of a file of several years; the file's own extreme plus an
allowance. A listed or header value that the file itself exceeds is not credible and gives way to the
estimate.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from edgecheck.weather.gumbel import gumbel_factor, return_value
from edgecheck.weather.series import Weather
from edgecheck.weather.site_air import elevation_change

__all__ = ["Extreme", "cold_extreme", "gumbel_factor", "hot_extreme", "return_value"]

Source = Literal["list", "header", "years", "estimate"]
LEAST_YEARS = 5


@dataclass(frozen=True)
class Extreme:
    """An extreme dry bulb at the site.

    Parameters
    ----------
    value : float
        At the site's elevation, before urban heat and warming. [degC]
    source : {"list", "header", "years", "estimate"}
        The site list, the weather file's header, Gumbel from the file's several years, or the estimate.
    return_years : float, optional
        Return period; None for an estimate. [a]
    note : str
        How it was found; empty where there is nothing to say.
    credible : bool
        False where a listed or header value was dropped because the file itself exceeds it.
    """

    value: float
    source: Source
    return_years: float | None
    note: str = ""
    credible: bool = True


def hot_extreme(
    weather: Weather,
    site_elevation: float | None,
    listed: float | None,
    listed_years: float | None,
    return_years: float,
    allowance: float = 4.5,
) -> Extreme:
    """Hot extreme at the site.

    Parameters
    ----------
    weather : Weather
        The file.
    site_elevation : float or None
        None takes the station's. [m]
    listed : float or None
        The list's extreme, at the site. [degC]
    listed_years : float or None
        Its return period. [a]
    return_years : float
        The criteria's return period. [a]
    allowance : float
        Added to the file's maximum where nothing better is known. [K]

    Returns
    -------
    Extreme
    """
    return _extreme(weather, site_elevation, listed, listed_years, return_years, allowance, sign=1)


def cold_extreme(
    weather: Weather,
    site_elevation: float | None,
    listed: float | None,
    listed_years: float | None,
    return_years: float,
    allowance: float = 4.5,
) -> Extreme:
    """Cold extreme at the site; as `hot_extreme` with minima and the allowance subtracted."""
    return _extreme(weather, site_elevation, listed, listed_years, return_years, allowance, sign=-1)


def _extreme(
    weather: Weather,
    site_elevation: float | None,
    listed: float | None,
    listed_years: float | None,
    return_years: float,
    allowance: float,
    sign: int,
) -> Extreme:
    """Both twins; `sign` is +1 for maxima, -1 for minima."""
    change = elevation_change(weather.elevation, site_elevation)
    annual = [sign * float(np.max(sign * year.temp_air)) + change for year in weather.years]
    own = sign * max(sign * value for value in annual)
    word = "maximum" if sign > 0 else "minimum"
    found = (
        _from_list(listed, listed_years, return_years)
        or _from_header(weather, change, return_years, sign)
        or _from_years(annual, return_years, sign)
    )
    if found is not None and sign * found.value >= sign * own:
        return found
    text = (
        f"Estimated as the weather file's own {word} at the site's elevation, {own:.1f} degC, "
        f"{'plus' if sign > 0 else 'minus'} {allowance:.1f} K."
    )
    if found is None:
        return Extreme(own + sign * allowance, "estimate", None, text)
    name = {"list": "the site list", "header": "the file's header", "years": "the file's years"}[found.source]
    text = f"The {found.value:.1f} degC of {name} is inside the file's own {word} and not credible. " + text
    return Extreme(own + sign * allowance, "estimate", None, text, credible=False)


def _from_list(listed: float | None, listed_years: float | None, return_years: float) -> Extreme | None:
    if listed is None:
        return None
    if listed_years is None:
        note = "The site list gives no return period for this extreme; it is used as given."
    elif listed_years != return_years:
        note = (
            f"The site list's extreme is for {listed_years:g} years, the criteria ask for {return_years:g}; "
            "it is used as given."
        )
    else:
        note = ""
    return Extreme(listed, "list", listed_years, note)


def _from_header(weather: Weather, change: float, return_years: float, sign: int) -> Extreme | None:
    header = weather.header
    if header is None:
        return None
    printed = (header.hot if sign > 0 else header.cold).get(int(return_years))
    if printed is not None and return_years == int(return_years):
        value, how = printed, "printed in the weather file's header"
    else:
        mean, sd = (header.mean_max, header.sd_max) if sign > 0 else (header.mean_min, header.sd_min)
        value = return_value(mean, sign * sd, return_years)
        how = f"from the header's mean {mean:.1f} degC and standard deviation {sd:.1f} K"
    note = f"{return_years:g}-year value {value:.1f} degC at the station, {how}"
    if change:
        note += f"; {change:+.1f} K for the elevation of the site"
    return Extreme(value + change, "header", return_years, note + ".")


def _from_years(annual: list[float], return_years: float, sign: int) -> Extreme | None:
    if len(annual) < LEAST_YEARS:
        return None
    mean, sd = float(np.mean(annual)), float(np.std(annual, ddof=1))
    note = (
        f"{return_years:g}-year value from the {len(annual)} annual extremes of the weather file "
        f"(mean {mean:.1f} degC, standard deviation {sd:.1f} K)."
    )
    return Extreme(return_value(mean, sign * sd, return_years), "years", return_years, note)
