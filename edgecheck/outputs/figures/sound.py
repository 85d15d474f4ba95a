"""Sound at the neighbour by hour of the day: greatest running level, average level, limits."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from edgecheck.outputs.figures.canvas import CAPACITY, FAINT, LIMIT, LOAD, Drawing, draw
from edgecheck.outputs.figures.spell import label_right
from edgecheck.outputs.number_text import is_known, step

_HOURS = 24


def sound_by_hour(detail: Mapping[str, Any]) -> Drawing | None:
    """Levels at the neighbour over the hours of the day.

    Parameters
    ----------
    detail : mapping
        `sound` with `by_hour` and `periods`.

    Returns
    -------
    Drawing or None
        None where the level is not known, or where the unit never runs.
    """
    found = detail.get("sound") or {}
    rows = found.get("by_hour") or []
    running, average = (_values(rows, key) for key in ("running_dba", "average_dba"))
    if not np.isfinite(running).any():
        return None
    limits = _limits(found["periods"])
    loudest, quietest = float(np.nanmax(running)), float(np.nanmin(average))
    held = ", ".join(
        f"{one['period']} {step(one['limit_dba'], 'dBA', decimals=0)}"
        for one in found["periods"]
        if is_known(one["limit_dba"]) and one["from_h"] is not None
    )
    tone = " The supplement for a tone is in it." if found["tonal_db"] else ""
    levels = (
        f"running at most {step(loudest, 'dBA', decimals=1)}, on average over the year down to "
        f"{step(quietest, 'dBA', decimals=1)}"
    )
    against = f"Limits: {held}." if held else "No limit holds."
    caption = f"Level at the nearest window by hour of the day: {levels}.{tone} {against}"
    alt = f"Steps of two sound levels over 24 hours, local standard time: {levels}. {against}"

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.085, 0.19, 0.735, 0.77))
        _levels(axes, running, average, limits)

    return Drawing("sound", caption, alt, draw("sound", 2.3, alt, paint))


def _values(rows: list[Mapping[str, Any]], key: str) -> NDArray[np.float64]:
    return np.array([np.nan if row[key] is None else float(row[key]) for row in rows], dtype=float)


def _limits(periods: list[Mapping[str, Any]]) -> NDArray[np.float64]:
    """Limit of every hour of the day; not a number where none holds. [dB(A)]"""
    limits = np.full(_HOURS, np.nan)
    for one in periods:
        if one["from_h"] is None or one["limit_dba"] is None:
            continue
        length = (one["to_h"] - one["from_h"]) % _HOURS or _HOURS
        limits[(one["from_h"] + np.arange(length)) % _HOURS] = one["limit_dba"]
    return limits


def _levels(
    axes: Axes, running: NDArray[np.float64], average: NDArray[np.float64], limits: NDArray[np.float64]
) -> None:
    """Three steps over the day, each with its own line style, named at the right."""
    names = []
    for values, colour, style, width, name in (
        (limits, LIMIT, (0, (6, 2)), 1.0, "limit"),
        (running, LOAD, "-", 1.6, "running, greatest"),
        (average, CAPACITY, (0, (1.5, 1.2)), 1.6, "average"),
    ):
        if not np.isfinite(values).any():
            continue
        axes.stairs(values, np.arange(_HOURS + 1), baseline=None, color=colour, ls=style, lw=width)
        last = float(values[np.isfinite(values)][-1])
        names.append((last, name, colour))
    every = np.concatenate([limits, running, average])
    low, high = float(np.nanmin(every)), float(np.nanmax(every))
    room = max(1.5, 0.12 * (high - low))
    axes.set_ylim(low - room, high + room)
    axes.set_xlim(0, _HOURS)
    axes.set_xticks([0, 3, 6, 9, 12, 15, 18, 21, 24])
    axes.grid(axis="y", color=FAINT, lw=0.4, alpha=0.5)
    axes.set_xlabel("hour, local standard time")
    axes.set_ylabel("at the window, dB(A)")
    label_right(axes, names, gap=0.085)
