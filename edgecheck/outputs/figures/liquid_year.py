"""The liquid over the year: its highest and lowest temperature of every day, with the unit's limits."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure

from edgecheck.outputs.figures.canvas import LIMIT, LIQUID, Drawing, draw
from edgecheck.outputs.figures.spell import label_right
from edgecheck.outputs.number_text import count, day_text, degrees, is_known, month_name, quantity

if TYPE_CHECKING:
    import xarray as xr

_HOURS_A_DAY = 24
TOLD_APART_K = 0.05  # of the setpoint, in counting hours


def liquid_over_year(hourly: "xr.Dataset", limits: Mapping[str, float | None]) -> Drawing | None:
    """Daily highest and lowest liquid temperature.

    Parameters
    ----------
    hourly : xarray.Dataset
        `liquid` at the end of every hour, whole days.
    limits : mapping
        Name of a limit and its temperature, drawn as a line where it is known; "setpoint" is counted against. [degC]

    Returns
    -------
    Drawing or None
        None where a temperature is unknown, and where the liquid stays at one.
    """
    liquid, time = hourly["liquid"].to_numpy(), hourly["time"].to_numpy()
    days = liquid.size // _HOURS_A_DAY
    by_day = liquid[: days * _HOURS_A_DAY].reshape(days, _HOURS_A_DAY)
    if not days or not np.isfinite(by_day).all() or float(np.ptp(by_day)) < TOLD_APART_K:
        return None
    high, low = by_day.max(axis=1), by_day.min(axis=1)
    top, bottom = int(np.argmax(liquid)), int(np.argmin(liquid))
    what = (
        f"between {degrees(liquid[bottom])} ({day_text(time[bottom])}) and {degrees(liquid[top])} "
        f"({day_text(time[top])})"
    )
    setpoint = limits.get("setpoint")
    held = ""
    if is_known(setpoint):
        above = int(np.count_nonzero(liquid > float(setpoint) + TOLD_APART_K))  # type: ignore[arg-type]
        below = int(np.count_nonzero(liquid < float(setpoint) - TOLD_APART_K))  # type: ignore[arg-type]
        held = f" It ends {count(above, 'h')} above and {count(below, 'h')} below the setpoint of {degrees(setpoint)}."
    caption = (
        f"The liquid over the year at the end of the hours, lowest to highest of every day: {what}.{held}"
    )
    alt = f"Band over 365 days with the limits as lines: {what}.{held}"

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.085, 0.13, 0.735, 0.83))
        axes.fill_between(np.arange(days) + 0.5, low, high, facecolor="#9db9c4", edgecolor=LIQUID, lw=0.8)
        names: list[tuple[float, str, str]] = []
        for name, limit in limits.items():
            if is_known(limit):
                value = float(limit)  # type: ignore[arg-type]
                axes.axhline(value, color=LIMIT, lw=0.8, ls=(0, (6, 2)))
                names.append((value, f"{name} {quantity(value, 'degC')}", LIMIT))
        bottom_edge, top_edge = axes.get_ylim()
        room = 0.06 * (top_edge - bottom_edge)
        axes.set_ylim(bottom_edge - room, top_edge + room)
        axes.set_xlim(0, days)
        label_right(axes, names, gap=0.085)
        months = time[: days * _HOURS_A_DAY : _HOURS_A_DAY].astype("datetime64[M]").astype(int) % 12 + 1
        starts = [day for day in range(days) if day == 0 or months[day] != months[day - 1]]
        axes.set_xticks(starts, [month_name(int(months[day])) for day in starts], ha="left")
        axes.set_ylabel("liquid, °C")

    return Drawing("liquid-year", caption, alt, draw("liquid-year", 2.3, alt, paint))
