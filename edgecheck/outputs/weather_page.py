"""A weather file as a page: where and when, the year in a figure, extremes, quality, what was done to it.

In: weather as read. Out: one self-contained HTML page, the same bytes for the same file. Text of the file is
escaped.
"""

from typing import Any

import numpy as np

from edgecheck.outputs.figures.weather_year import annual_extremes, weather_year
from edgecheck.outputs.number_text import count, degrees, quantity, step, unit_text
from edgecheck.outputs.page_template import page_template
from edgecheck.weather.extremes import Extreme, cold_extreme, hot_extreme
from edgecheck.weather.quality import quality_table
from edgecheck.weather.series import Weather, WeatherYear

RETURN_YEARS = 20.0
_SOURCES = {
    "list": "site list",
    "header": "header of the file",
    "years": "annual extremes of the file",
    "estimate": "estimate",
    "cycle": "the design day itself",
}


def weather_page(weather: Weather, return_years: float = RETURN_YEARS, allowance: float = 4.5) -> str:
    """Page of a weather file.

    Parameters
    ----------
    weather : Weather
        As read.
    return_years : float
        Return period of the extremes shown. [a]
    allowance : float
        Added to the file's maximum where no extreme is known. [K]

    Returns
    -------
    str
        HTML.
    """
    extremes = (weather, None, None, None, return_years, allowance)
    hot, cold = hot_extreme(*extremes), cold_extreme(*extremes)
    drawings = [annual_extremes(weather, hot, cold)]
    if weather.cycle is None:
        drawings.insert(0, weather_year(weather, hot, cold))
    return page_template("weather.html.j2").render(
        weather=weather,
        facts=_facts(weather),
        years=[_year(year) for year in weather.years],
        drawings=[drawing for drawing in drawings if drawing is not None],
        extremes=[_extreme("hot", hot), _extreme("cold", cold)],
        quality=[
            (row.flag, count(row.hours), _worst(row.worst), row.first, row.raised)
            for row in quality_table(weather)
        ],
    )


def _facts(weather: Weather) -> list[dict[str, Any]]:
    """Station and how the file was read."""
    position = f"latitude {weather.latitude:.5g}°, longitude {weather.longitude:.6g}°"
    closure = quantity(weather.closure, "W/m2")
    return [
        {"label": "Format", "value": weather.format, "remark": _day(weather)},
        {"label": "Station", "value": weather.place or "not named", "remark": position},
        {"label": "Elevation", "value": step(weather.elevation, "m", decimals=0), "remark": ""},
        {"label": "Local standard time", "value": f"UTC{weather.utc_offset_h:+g} h", "remark": ""},
        {
            "label": "Sun taken after the start of each hour",
            "value": count(weather.sun_offset_min, "min"),
            "remark": f"mean closure of the three irradiance components {closure}",
        },
        {"label": "SHA-256", "value": weather.sha256, "remark": ""},
    ]


def _day(weather: Weather) -> str:
    """What a design day is and where it comes from; empty for other weather."""
    return "" if weather.cycle is None else f"{weather.cycle.title}; {weather.cycle.source}"


def _worst(text: str) -> str:
    """A value with its unit as pages write it."""
    value, blank, unit = text.partition(" ")
    return value + blank + unit_text(unit)


def _year(year: WeatherYear) -> tuple[str, ...]:
    """One row of the table of years."""
    source = np.unique(year.source_year)
    name = str(source[0]) if len(source) == 1 else f"typical, {source[0]} to {source[-1]}"
    return (
        name,
        degrees(float(np.max(year.temp_air))),
        degrees(float(np.min(year.temp_air))),
        degrees(float(np.mean(year.temp_air))),
        count(float(np.sum(year.ghi)) / 1000.0),
        quantity(float(np.mean(year.wind_speed)), "m/s", figures=2),
    )


def _extreme(which: str, extreme: Extreme) -> tuple[str, ...]:
    """One row of the table of extremes."""
    known = extreme.low is not None and extreme.high is not None
    band = f"{degrees(extreme.low)} to {degrees(extreme.high)}" if known else "not known"
    period = f"{extreme.return_years:g} years" if extreme.return_years is not None else "none"
    return (which, degrees(extreme.value), band, period, _SOURCES[extreme.source], extreme.note)
