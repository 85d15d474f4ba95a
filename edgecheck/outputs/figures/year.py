"""The year in two figures: every hour by its headroom and cause, and the hours sorted by headroom.

Both are drawn from the hourly service headroom; hours in which it is unknown are shown as such and counted as
short.
"""

from typing import TYPE_CHECKING

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from edgecheck.outputs.figures.canvas import CAPACITY, FAINT, INK, LOAD, SHORTFALL, Drawing, draw
from edgecheck.outputs.figures.causes import CLASSES, KEYS, class_of_hours, picture
from edgecheck.outputs.number_text import count, day_text, kilowatt, month_name, percent

if TYPE_CHECKING:
    import xarray as xr

_HOURS_A_DAY = 24
_KEYS_A_ROW = 3
_MAP_HEIGHT = 2.12  # inch, without the key
_KEY_ROW_HEIGHT = 0.21  # inch


def headroom_share(hourly: "xr.Dataset") -> NDArray[np.float64]:
    """Service headroom over the heat to reject at the setpoint, or over IT and pump heat where that is more."""
    load = hourly["load"].to_numpy()
    least = (hourly["it"] + hourly["pump_heat"]).to_numpy()
    room, asked = hourly["service_headroom"].to_numpy(), np.fmax(load, least)
    out = np.where(np.isnan(room), np.nan, np.where(room < 0.0, -np.inf, np.inf))
    return np.asarray(np.divide(room, asked, out=out, where=asked > 0.0), dtype=float)


def year_map(hourly: "xr.Dataset", worst: np.datetime64 | None) -> Drawing:
    """Every hour of the year by headroom and cause.

    Parameters
    ----------
    hourly : xarray.Dataset
        Whole days, from hour 0.
    worst : datetime64, optional
        The worst hour, marked with a ring.

    Returns
    -------
    Drawing
        Days along, hours of the day up.
    """
    share = headroom_share(hourly)
    classes = class_of_hours(share, hourly["binding"].to_numpy().astype(str))
    time = hourly["time"].to_numpy()
    days = classes.size // _HOURS_A_DAY
    grid = classes[: days * _HOURS_A_DAY].reshape(days, _HOURS_A_DAY).T
    numbers = np.bincount(classes, minlength=len(CLASSES))
    short = int(numbers[KEYS.index("capacity") :].sum())
    open_limits = [
        f"{count(numbers[index])} h {item.label}"
        for index, item in enumerate(CLASSES)
        if index >= KEYS.index("capacity") and numbers[index]
    ]
    what = f"{count(short)} h of {count(classes.size)} h are short of headroom"
    detail = f" ({', '.join(open_limits)})" if open_limits else ""
    place = _place_of(time, worst)
    ring = "" if place is None else f" The ring marks the worst hour, {day_text(worst)}."
    caption = (
        f"Every hour of the year by service headroom and by the limit that is open: {what}{detail}.{ring}"
    )
    alt = f"Map of the year, days along and hours of the day up, local standard time. {what}{detail}.{ring}"

    rows = -(-int(np.count_nonzero(numbers)) // _KEYS_A_ROW)
    height = _MAP_HEIGHT + _KEY_ROW_HEIGHT * rows

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.075, 1.0 - 1.62 / height, 0.915, 1.55 / height))
        axes.imshow(
            picture(grid[::-1], wide=2, high=8),
            extent=(0, days, 0, _HOURS_A_DAY),
            aspect="auto",
            interpolation="none",
        )
        starts, names = _month_starts(time[: days * _HOURS_A_DAY : _HOURS_A_DAY])
        axes.set_xticks(starts, names, ha="left")
        axes.set_yticks([0, 6, 12, 18, 24])
        axes.set_ylabel("hour, local standard time", fontsize=7)
        if place is not None:
            for size, colour in ((3.6, "white"), (1.4, "black")):
                axes.plot([place[0]], [place[1]], "o", ms=11, mfc="none", mec=colour, mew=size, clip_on=False)
        _key(figure, numbers, height)

    return Drawing("year-map", caption, alt, draw("year-map", height, alt, paint))


def _place_of(time: NDArray[np.datetime64], moment: np.datetime64 | None) -> tuple[float, float] | None:
    """Day and hour of a moment on the map, in the middle of its cell; None where it is not of this year."""
    if moment is None:
        return None
    found = np.flatnonzero(time == moment)
    if not found.size:
        return None
    day, hour = divmod(int(found[0]), _HOURS_A_DAY)
    return day + 0.5, hour + 0.5


def _month_starts(days: NDArray[np.datetime64]) -> tuple[list[int], list[str]]:
    """Positions and names of the months."""
    months = days.astype("datetime64[M]").astype(int) % 12 + 1
    starts = [index for index in range(months.size) if index == 0 or months[index] != months[index - 1]]
    return starts, [month_name(int(months[index])) for index in starts]


def _key(figure: Figure, numbers: NDArray[np.int_], height: float) -> None:
    """Name the classes that occur, each with its hours, three in a row below the map."""
    for position, index in enumerate(np.flatnonzero(numbers)):
        line, column = divmod(position, _KEYS_A_ROW)
        left = 0.075 + 0.31 * column
        bottom = (height - _MAP_HEIGHT - _KEY_ROW_HEIGHT * line) / height
        swatch = figure.add_axes((left, bottom, 0.030, 0.14 / height))
        swatch.imshow(picture(np.array([[index]]), wide=26, high=18), aspect="auto", interpolation="none")
        swatch.set_xticks([])
        swatch.set_yticks([])
        for spine in swatch.spines.values():
            spine.set_visible(True)
        text = f"{CLASSES[index].label}: {count(numbers[index])} h"
        figure.text(left + 0.037, bottom + 0.07 / height, text, va="center", fontsize=7)


def duration_curve(hourly: "xr.Dataset", required_share: float | None) -> Drawing:
    """Hours of the year sorted by service headroom, shortest first.

    Parameters
    ----------
    hourly : xarray.Dataset
        The year.
    required_share : float, optional
        Share of the heat to reject that the criteria ask for.

    Returns
    -------
    Drawing
        Hours on a logarithmic axis, so that the few hours that decide can be seen.
    """
    ordered, unknown = sorted_headroom(hourly["service_headroom"].to_numpy())
    least = float(ordered[0]) if ordered.size else float("nan")
    short = int((ordered < 0).sum()) + unknown
    tight = (
        ""
        if required_share is None
        else (f", and the criteria ask for {percent(required_share)} of the heat to reject")
    )
    missing = f" In {count(unknown)} h it is not known; they stand first." if unknown else ""
    caption = (
        f"Hours of the year sorted by service headroom. The least known one is {kilowatt(least)}; "
        f"{count(short)} h are short{tight}.{missing}"
    )
    alt = f"Curve of service headroom in kW over hours of the year, from {kilowatt(least)} upwards.{missing}"

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.085, 0.20, 0.885, 0.76))
        _duration(axes, ordered, unknown)
        if required_share is not None:
            load = hourly["load"].to_numpy()
            asked = required_share * float(np.nanmax(load)) / 1000.0
            axes.axhline(asked, color=INK, lw=0.8, ls=(0, (4, 2)))
            at_left = unknown == 0
            axes.text(
                0.01 if at_left else 0.99,
                asked,
                f"asked for at the greatest load: {kilowatt(asked * 1000.0)}",
                va="bottom",
                ha="left" if at_left else "right",
                fontsize=7,
                transform=axes.get_yaxis_transform(),
            )

    return Drawing("duration", caption, alt, draw("duration", 2.3, alt, paint))


def sorted_headroom(headroom: NDArray[np.float64]) -> tuple[NDArray[np.float64], int]:
    """Known headroom in rising order, and how many hours are unknown. [W, hours]"""
    known = np.sort(headroom[np.isfinite(headroom)])
    return known, int(headroom.size - known.size)


def _duration(axes: Axes, ordered: NDArray[np.float64], unknown: int) -> None:
    """The curve at about 200 places, evenly spaced on the logarithmic axis."""
    total = ordered.size + unknown
    if ordered.size:
        ranks = np.unique(np.geomspace(1, ordered.size, 200).round().astype(int))
        level = ordered[ranks - 1] / 1000.0
        axes.plot(ranks + unknown, level, color=CAPACITY)
        axes.fill_between(
            ranks + unknown,
            level,
            0,
            where=level < 0,
            facecolor=SHORTFALL,
            edgecolor=LOAD,
            hatch="////",
            lw=0,
        )
        axes.set_ylim(min(0.0, float(level.min()) * 1.1), max(0.5, float(level.max()) * 1.08))
    if unknown:
        axes.axvspan(1, unknown + 0.5, facecolor="none", edgecolor=FAINT, hatch="xx", lw=0.4)
        axes.text(1.1, 0.97, "not known", va="top", fontsize=7, transform=axes.get_xaxis_transform())
    axes.axhline(0, color=INK, lw=0.8)
    axes.set_xscale("log")
    axes.set_xlim(1, max(total, 2))
    ticks = [tick for tick in (1, 3, 10, 30, 100, 300, 1000, 3000, 8760) if tick <= total]
    axes.set_xticks(ticks, [str(tick) for tick in ticks])
    axes.minorticks_off()
    axes.set_xlabel("hours of the year with no more than this headroom (logarithmic)")
    axes.set_ylabel("service headroom, kW")
