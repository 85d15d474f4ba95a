"""The hot or cold spell: liquid and air over 168 hours, and heat to reject against capacity."""

from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from edgecheck.outputs.figures.canvas import (
    AIR,
    CAPACITY,
    FAINT,
    INK,
    LIMIT,
    LIQUID,
    LOAD,
    SHORTFALL,
    Drawing,
    draw,
)
from edgecheck.outputs.number_text import day_text, degrees, is_known, kilowatt, month_name, quantity

if TYPE_CHECKING:
    import xarray as xr


_DAY = 24


def spell_trajectory(
    key: str, title: str, spell: "xr.Dataset", limits: Mapping[str, float | None]
) -> Drawing:
    """Liquid, limits and air above; heat to reject and capacity below, hours without capacity hatched.

    Parameters
    ----------
    key : str
        Start of ids.
    title : str
        "hot spell" or "cold spell".
    spell : xarray.Dataset
        Hourly quantities over the spell.
    limits : mapping
        Name of a limit and its temperature, drawn as a line where it is known. [degC]

    Returns
    -------
    Drawing
        Two panels with one time axis.
    """
    time = spell["time"].to_numpy()
    liquid, air = spell["liquid"].to_numpy(), spell["temp_air"].to_numpy()
    load, capacity = spell["load"].to_numpy() / 1000.0, spell["capacity"].to_numpy() / 1000.0
    short = int((~(capacity >= load)).sum())
    caption = (
        f"The {title}: liquid at the end of each hour, highest {_extreme(liquid, time, np.nanargmax)}, lowest "
        f"{_extreme(liquid, time, np.nanargmin)}; outdoor air from {degrees(_least(air))} to "
        f"{degrees(-_least(-air))}; least capacity {kilowatt(_least(capacity) * 1000.0)}; {short} h in which the "
        "capacity at the setpoint does not cover the heat to reject or is not known."
    )
    alt = f"Lines over {'a day' if time.size == _DAY else 'seven days'}, local standard time. {caption}"

    def paint(figure: Figure) -> None:
        upper = figure.add_axes((0.085, 0.44, 0.74, 0.54))
        lower = figure.add_axes((0.085, 0.11, 0.74, 0.27))
        hours = np.arange(time.size)
        _temperatures(upper, hours, spell, limits)
        _heat(lower, hours, load, capacity)
        for axes in (upper, lower):
            axes.set_xlim(0, time.size)
        _days(upper, lower, time)

    return Drawing(key, caption, alt, draw(key, 3.7, alt, paint))


def _extreme(values: NDArray[np.float64], time: NDArray[np.datetime64], find: Callable[..., np.intp]) -> str:
    """Highest or lowest known temperature with its hour."""
    if not np.isfinite(values).any():
        return degrees(None)
    place = int(find(values))
    return f"{degrees(values[place])} ({day_text(time[place])})"


def _least(values: NDArray[np.float64]) -> float:
    """Least known value; not a number where none is known."""
    return float(np.nanmin(values)) if np.isfinite(values).any() else float("nan")


def _temperatures(
    axes: Axes, hours: NDArray[np.int_], spell: "xr.Dataset", limits: Mapping[str, float | None]
) -> None:
    """Liquid and both airs, with limits named at the right edge."""
    names: list[tuple[float, str, str]] = []
    for name, label, colour, style in (
        ("liquid", "liquid", LIQUID, "-"),
        ("inlet_air", "inlet air", AIR, (0, (5, 1.5))),
        ("temp_air", "outdoor air", AIR, (0, (1.2, 1.2))),
    ):
        values = spell[name].to_numpy()
        axes.plot(hours + 0.5, values, color=colour, ls=style, lw=1.6 if name == "liquid" else 1.0)
        if np.isfinite(values[-1]):
            names.append((float(values[-1]), label, colour))
    for label, limit in limits.items():
        if is_known(limit):
            axes.axhline(float(limit), color=LIMIT, lw=0.8, ls=(0, (6, 2)))  # type: ignore[arg-type]
            names.append((float(limit), f"{label} {quantity(limit, 'degC')}", LIMIT))  # type: ignore[arg-type]
    low, high = axes.get_ylim()
    low = min(low, 0.0) if low < 8.0 else low
    axes.set_ylim(low, high + 0.03 * (high - low))
    label_right(axes, names)
    axes.set_ylabel("°C")
    axes.tick_params(labelbottom=False)


def label_right(axes: Axes, names: list[tuple[float, str, str]], gap: float = 0.072) -> None:
    """Write names at the right edge beside their values, pushed apart where they would touch."""
    low, high = axes.get_ylim()
    places = [(value - low) / (high - low) for value, _, _ in names]
    order = sorted(range(len(names)), key=lambda index: places[index])
    spread = list(places)
    for before, after in pairwise(order):
        spread[after] = max(spread[after], spread[before] + gap)
    excess = spread[order[-1]] - 1.0 if order else 0.0
    if excess > 0:
        spread[order[-1]] = 1.0
        for after, before in zip(order[::-1], order[-2::-1], strict=False):
            spread[before] = min(spread[before], spread[after] - gap)
    for index, (_value, label, colour) in enumerate(names):
        axes.text(
            1.025, spread[index], label, color=colour, fontsize=7, va="center", transform=axes.transAxes
        )
        axes.plot(
            [1.002, 1.02],
            [places[index], spread[index]],
            color=colour,
            lw=0.5,
            clip_on=False,
            transform=axes.transAxes,
        )


def _heat(
    axes: Axes, hours: NDArray[np.int_], load: NDArray[np.float64], capacity: NDArray[np.float64]
) -> None:
    """Heat to reject and capacity as steps; shortfall hatched; hours of unknown capacity cross-hatched."""
    axes.step(hours, capacity, where="post", color=CAPACITY, lw=1.4)
    axes.step(hours, load, where="post", color=LOAD, lw=1.2, ls=(0, (4, 1.2)))
    axes.fill_between(
        hours,
        load,
        capacity,
        where=capacity < load,
        step="post",
        facecolor=SHORTFALL,
        edgecolor=LOAD,
        hatch="////",
        lw=0,
    )
    for hour in np.flatnonzero(~np.isfinite(capacity)).tolist():
        axes.axvspan(hour, hour + 1, facecolor="none", edgecolor=FAINT, hatch="xx", lw=0)
    finite = np.concatenate([load[np.isfinite(load)], capacity[np.isfinite(capacity)], [0.1]])
    axes.set_ylim(min(0.0, float(finite.min())), float(finite.max()) * 1.1)
    names = [
        (float(values[-1]), label, colour)
        for values, label, colour in ((capacity, "capacity", CAPACITY), (load, "heat to reject", LOAD))
        if np.isfinite(values[-1])
    ]
    label_right(axes, names, gap=0.15)
    axes.set_ylabel("kW")


def _days(upper: Axes, lower: Axes, time: NDArray[np.datetime64]) -> None:
    """Ticks at midnight, dates in the middle of the day; of a single day its hours."""
    if time.size == _DAY:
        hours = list(range(0, _DAY + 1, 6))
        for axes in (upper, lower):
            axes.set_xticks(hours, [str(hour) if axes is lower else "" for hour in hours])
        lower.set_xlabel("hour, local standard time")
        return
    since = (time - time.astype("datetime64[D]")).astype("timedelta64[h]").astype(int)
    starts = np.flatnonzero(since == 0)
    for axes in (upper, lower):
        axes.set_xticks(starts, ["" for _ in starts])
        axes.grid(axis="x", color=FAINT, lw=0.4, alpha=0.5)
    for start in starts.tolist():
        if start + 12 > time.size:
            continue
        day = str(time[start].astype("datetime64[D]"))
        lower.text(
            start + 12,
            -0.06,
            f"{int(day[8:])} {month_name(int(day[5:7]))}",
            ha="center",
            va="top",
            fontsize=7.5,
            color=INK,
            transform=lower.get_xaxis_transform(),
        )
    lower.set_xlabel("local standard time", labelpad=14)
