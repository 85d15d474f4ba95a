"""A weather file in figures: the year that holds its hottest hour, and the extremes of several years.

In: weather as read and its extremes. Out: drawings for a page. Nothing from the file's text stands in them.
"""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from edgecheck.outputs.figures.canvas import AIR, CAPACITY, FAINT, INK, LIMIT, LOAD, SHORTFALL, Drawing, draw
from edgecheck.outputs.figures.spell import label_right
from edgecheck.outputs.number_text import count, day_text, degrees, month_name, quantity
from edgecheck.weather.extremes import Extreme
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.spells import cold_window, hot_window

FloatArray = NDArray[np.float64]
_HOURS_A_DAY = 24
_LEFT, _WIDE = 0.075, 0.715
_BAND = "#e9edee"


def hottest_year(weather: Weather) -> WeatherYear:
    """Year of the file that holds its hottest hour, the first on a tie."""
    return max(weather.years, key=lambda year: float(np.max(year.temp_air)))


def weather_year(weather: Weather, hot: Extreme, cold: Extreme) -> Drawing:
    """The hottest year day by day: temperature, sun, wind.

    Parameters
    ----------
    weather : Weather
        As read.
    hot, cold : Extreme
        At the station's elevation, drawn as lines with their bands.

    Returns
    -------
    Drawing
        Three panels over the days of the year.
    """
    year = hottest_year(weather)
    highest, lowest = int(np.argmax(year.temp_air)), int(np.argmin(year.temp_air))
    which = "" if len(weather.years) == 1 else f", {year.source_year[0]}, which holds the file's hottest hour"
    caption = (
        f"The year day by day{which}: air temperature from each day's lowest to its highest with the mean, dew point "
        f"dotted; highest {degrees(year.temp_air[highest])} on {day_text(year.time[highest])}, lowest "
        f"{degrees(year.temp_air[lowest])} on {day_text(year.time[lowest])}; extremes that spells are shifted to as "
        "lines, the weeks around the two hours hatched. Below, global irradiance of each day and its mean wind."
    )
    alt = f"Bands and bars over the days of the year. {caption}"

    def paint(figure: Figure) -> None:
        upper = figure.add_axes((_LEFT, 0.49, _WIDE, 0.49))
        middle = figure.add_axes((_LEFT, 0.27, _WIDE, 0.17))
        lower = figure.add_axes((_LEFT, 0.08, _WIDE, 0.14))
        _temperature(upper, year, hot, cold)
        _sun(middle, year)
        _wind(lower, year)
        for axes in (upper, middle, lower):
            axes.set_xlim(0, len(year.time) // _HOURS_A_DAY)
            _months(axes, year, names=axes is lower)

    return Drawing("weather-year", caption, alt, draw("weather-year", 4.3, alt, paint))


def annual_extremes(weather: Weather, hot: Extreme, cold: Extreme) -> Drawing | None:
    """Highest and lowest hour of every year with the extremes drawn from them.

    Parameters
    ----------
    weather : Weather
        As read.
    hot, cold : Extreme
        At the station's elevation.

    Returns
    -------
    Drawing or None
        None for a file of one year.
    """
    if len(weather.years) < 2:
        return None
    numbers = np.array([year.source_year[0] for year in weather.years])
    high = np.array([float(np.max(year.temp_air)) for year in weather.years])
    low = np.array([float(np.min(year.temp_air)) for year in weather.years])
    caption = (
        f"Highest and lowest hour of each of the {len(numbers)} years, {numbers[0]} to {numbers[-1]}: highest "
        f"{degrees(high.min())} to {degrees(high.max())}, lowest {degrees(low.min())} to {degrees(low.max())}; the "
        "extremes as lines with their bands."
    )
    alt = f"Two rows of points over the years. {caption}"

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((_LEFT, 0.13, _WIDE, 0.84))
        axes.plot(numbers, high, "^", color=LOAD, ms=4.5)
        axes.plot(numbers, low, "v", color=CAPACITY, ms=4.5)
        names = [
            *_line(axes, hot, "hot extreme", LOAD, (numbers[0] - 0.5, numbers[-1] + 0.5)),
            *_line(axes, cold, "cold extreme", CAPACITY, (numbers[0] - 0.5, numbers[-1] + 0.5)),
        ]
        axes.set_xlim(numbers[0] - 0.5, numbers[-1] + 0.5)
        axes.set_xticks([int(n) for n in numbers[:: max(1, len(numbers) // 10)]])
        axes.set_ylabel("°C")
        label_right(axes, names)

    return Drawing("annual-extremes", caption, alt, draw("annual-extremes", 2.4, alt, paint))


def _days(values: FloatArray) -> FloatArray:
    """Hours as whole days, shape (days, 24)."""
    days = len(values) // _HOURS_A_DAY
    return values[: days * _HOURS_A_DAY].reshape(days, _HOURS_A_DAY)


def _temperature(axes: Axes, year: WeatherYear, hot: Extreme, cold: Extreme) -> None:
    air = _days(year.temp_air)
    day = np.arange(len(air)) + 0.5
    axes.fill_between(day, air.min(axis=1), air.max(axis=1), step="mid", facecolor=SHORTFALL, lw=0)
    axes.plot(day, air.mean(axis=1), color=AIR, lw=1.0)
    axes.plot(day, _days(year.temp_dew).mean(axis=1), color=CAPACITY, lw=0.9, ls=(0, (1, 1.2)))
    for find, marker, colour, best in (
        (hot_window, "^", LOAD, np.argmax),
        (cold_window, "v", CAPACITY, np.argmin),
    ):
        week = find(year.temp_air)
        axes.axvspan(
            week.start / _HOURS_A_DAY,
            week.stop / _HOURS_A_DAY,
            facecolor="none",
            edgecolor=FAINT,
            hatch="////",
            lw=0,
        )
        hour = int(best(year.temp_air))
        axes.plot([hour / _HOURS_A_DAY], [year.temp_air[hour]], marker, color=colour, ms=5)
    names = [
        (float(air[-30:].mean()), "air, mean", AIR),
        (float(year.temp_dew[-720:].mean()), "dew point", CAPACITY),
        *_line(axes, hot, "hot extreme", LOAD, (0.0, float(len(air)))),
        *_line(axes, cold, "cold extreme", CAPACITY, (0.0, float(len(air)))),
    ]
    axes.axhline(0.0, color=FAINT, lw=0.5)
    axes.set_ylabel("°C")
    label_right(axes, names)


def _line(
    axes: Axes, extreme: Extreme, name: str, colour: str, ends: tuple[float, float]
) -> list[tuple[float, str, str]]:
    """An extreme over the whole width with its band, and its label."""
    axes.plot(ends, [extreme.value, extreme.value], color=LIMIT, lw=0.8, ls=(0, (6, 2)))
    if extreme.low is not None and extreme.high is not None:
        axes.fill_between(ends, extreme.low, extreme.high, facecolor=_BAND, edgecolor=FAINT, lw=0.5, zorder=0)
    return [(extreme.value, f"{name} {quantity(extreme.value, 'degC')}", colour)]


def _sun(axes: Axes, year: WeatherYear) -> None:
    daily = _days(year.ghi).sum(axis=1) / 1000.0
    axes.fill_between(np.arange(len(daily)) + 0.5, 0.0, daily, step="mid", facecolor=AIR, lw=0)
    axes.set_ylim(0.0, max(1.0, float(daily.max()) * 1.08))
    axes.set_ylabel("kWh/m²")
    text = f"sun, {count(float(np.sum(year.ghi)) / 1000.0, 'kWh/m2')} a year".replace("m2", "m²")
    axes.text(1.012, 0.5, text.replace(", ", ",\n"), transform=axes.transAxes, va="center", fontsize=7)


def _wind(axes: Axes, year: WeatherYear) -> None:
    daily = _days(year.wind_speed).mean(axis=1)
    axes.plot(np.arange(len(daily)) + 0.5, daily, color=INK, lw=0.8)
    axes.set_ylim(0.0, max(1.0, float(daily.max()) * 1.08))
    axes.set_ylabel("m/s")
    text = f"wind, mean\n{quantity(float(np.mean(year.wind_speed)), 'm/s', figures=2)}"
    axes.text(1.012, 0.5, text, transform=axes.transAxes, va="center", fontsize=7)


def _months(axes: Axes, year: WeatherYear, *, names: bool) -> None:
    """Ticks at the beginning of the months."""
    month = year.time[::_HOURS_A_DAY].astype("datetime64[M]").astype(int) % 12 + 1
    starts = np.flatnonzero(np.concatenate(([True], month[1:] != month[:-1])))
    axes.set_xticks(starts.tolist(), [month_name(int(month[i])) if names else "" for i in starts], ha="left")
