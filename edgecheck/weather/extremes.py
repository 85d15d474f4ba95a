"""The extreme that a spell is shifted to.

In: a weather file, the site's elevation, what the list gives, the criteria. Out: `Extreme` in degC at the
site's elevation, before urban heat and warming. The first of these that exists: the list; the file's
header; Gumbel from the annual extremes of a file of several years, at least the greatest of them; the file's
own extreme plus an allowance. A listed or header value that the file itself exceeds is not credible and gives
way to the last two. A design day is the extreme itself.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from edgecheck.weather.gumbel import likeliest_return_value, return_value, standard_error
from edgecheck.weather.series import Weather
from edgecheck.weather.site_air import elevation_change

Source = Literal["list", "header", "years", "estimate", "cycle"]
LEAST_YEARS = 5
NINETY_PERCENT = 1.645  # standard normal deviate of a two-sided 90 % band
# Extreme events over the same days of the typical year: mean +4.5 K, standard deviation 4.9 K, events of about
# 100 years at 4790 places (Building Services Engineering Research and Technology 2025,
# doi 10.1177/01436244251339722). The mean is the criteria's default allowance.
ESTIMATE_SD = 4.9


@dataclass(frozen=True)
class Extreme:
    """An extreme dry bulb at the site.

    Parameters
    ----------
    value : float
        At the site's elevation, before urban heat and warming. [degC]
    source : {"list", "header", "years", "estimate", "cycle"}
        The site list, the weather file's header, Gumbel from the file's several years, the estimate, or the
        design day itself.
    return_years : float, optional
        Return period; None for an estimate. [a]
    note : str
        How it was found; empty where there is nothing to say.
    credible : bool
        False where a listed or header value was dropped because the file itself exceeds it.
    low, high : float, optional
        Band of the value: 90 % by the length of the record for several years; one standard deviation of the
        published study for an estimate, not inside the file's own extreme. None for list and header, which
        do not say how long their records are. [degC]
    """

    value: float
    source: Source
    return_years: float | None
    note: str = ""
    credible: bool = True
    low: float | None = None
    high: float | None = None


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
    if weather.cycle is not None:
        own = sign * float(np.max(sign * weather.years[0].temp_air))
        unused = "The extreme of the site list is not used: a design day is the extreme itself."
        return Extreme(own, "cycle", None, unused if listed is not None else "")
    change = elevation_change(weather.elevation, site_elevation)
    annual = [sign * float(np.max(sign * year.temp_air)) + change for year in weather.years]
    own = sign * max(sign * value for value in annual)
    found = _from_list(listed, listed_years, return_years) or _from_header(
        weather, change, return_years, sign
    )
    if found is not None and sign * found.value >= sign * own:
        return found
    instead = _from_years(annual, own, return_years, sign) or _estimate(own, allowance, sign)
    if found is None:
        return instead
    name = "the site list" if found.source == "list" else "the file's header"
    word = "maximum" if sign > 0 else "minimum"
    text = f"The {found.value:.1f} degC of {name} is inside the file's own {word} and not credible. "
    return replace(instead, note=text + instead.note, credible=False)


def _estimate(own: float, allowance: float, sign: int) -> Extreme:
    near, far = max(0.0, allowance - ESTIMATE_SD), allowance + ESTIMATE_SD
    low, high = sorted((own + sign * near, own + sign * far))
    text = (
        f"Estimated as the weather file's own {'maximum' if sign > 0 else 'minimum'} at the site's elevation, "
        f"{own:.1f} degC, {'plus' if sign > 0 else 'minus'} {allowance:.1f} K; {low:.1f} to {high:.1f} degC "
        f"within one standard deviation, {ESTIMATE_SD} K."
    )
    return Extreme(own + sign * allowance, "estimate", None, text, True, low, high)


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


def _from_years(annual: list[float], own: float, return_years: float, sign: int) -> Extreme | None:
    """By moments; at least what the years themselves hold."""
    if len(annual) < LEAST_YEARS:
        return None
    mean, sd = float(np.mean(annual)), float(np.std(annual, ddof=1))
    value = return_value(mean, sign * sd, return_years)
    margin = NINETY_PERCENT * standard_error(sd, len(annual), return_years)
    low, high = value - margin, value + margin
    note = (
        f"{return_years:g}-year value from the {len(annual)} annual extremes of the weather file: {value:.1f} "
        f"degC by moments (mean {mean:.1f} degC, standard deviation {sd:.1f} K), between {low:.1f} and "
        f"{high:.1f} degC with 90 % confidence"
    )
    if sd > 0:
        likeliest = likeliest_return_value(annual, return_years, minima=sign < 0)
        note += f"; {likeliest:.1f} degC by maximum likelihood"
    if sign * own > sign * value:
        value = own
        note += f"; the years themselves reach {own:.1f} degC, which is used"
    return Extreme(value, "years", return_years, note + ".", True, min(low, value), max(high, value))
