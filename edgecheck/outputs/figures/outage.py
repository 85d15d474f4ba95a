"""Loss of cooling: how the liquid warms with the pump running and with the pump stopped."""

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from edgecheck.outputs.figures.canvas import AIR, INK, LIMIT, LIQUID, Drawing, draw
from edgecheck.outputs.figures.spell import label_right
from edgecheck.outputs.number_text import is_known, quantity

if TYPE_CHECKING:
    import xarray as xr

CURVES = (
    ("liquid_cooling_lost", "pump running", LIQUID, "-"),
    ("liquid_pump_lost", "pump stopped", AIR, (0, (5, 1.5))),
)


def crossing(minute: NDArray[np.float64], liquid: NDArray[np.float64], limit: float | None) -> float | None:
    """First minute at which a rising curve reaches a limit, straight between its points; None if never. [min]"""
    if limit is None or not np.isfinite(limit):
        return None
    above = np.flatnonzero(liquid >= limit)
    if not above.size:
        return None
    place = int(above[0])
    if place == 0:
        return float(minute[0])
    part = (limit - liquid[place - 1]) / (liquid[place] - liquid[place - 1])
    return float(minute[place - 1] + part * (minute[place] - minute[place - 1]))


def loss_curves(outage: "xr.Dataset", limits: Mapping[str, float | None], shutdown: float | None) -> Drawing:
    """Liquid temperature after the loss of cooling in the governing hour.

    Parameters
    ----------
    outage : xarray.Dataset
        `liquid_cooling_lost` and `liquid_pump_lost` on the dimension `minute`. [degC]
    limits : mapping
        Name of a limit and its temperature. [degC]
    shutdown : float, optional
        Temperature at which the servers stop. [degC]

    Returns
    -------
    Drawing
        Minutes along; each curve marked where it meets the shutdown temperature.
    """
    minute = outage["minute"].to_numpy().astype(float)
    reached = {name: crossing(minute, outage[name].to_numpy().astype(float), shutdown) for name, *_ in CURVES}
    caption = "Liquid after the loss of cooling in the hour that governs: " + "; ".join(
        f"with the {label} servers stop after {quantity(reached[name], 'min')}"
        if is_known(reached[name])
        else f"with the {label} the shutdown temperature is not reached within {quantity(minute[-1], 'min')}"
        for name, label, *_ in CURVES
    )
    alt = f"Two rising curves of liquid temperature over minutes. {caption}."

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.085, 0.18, 0.74, 0.79))
        _curves(axes, outage, minute, reached, limits)

    return Drawing("outage", f"{caption}.", alt, draw("outage", 2.5, alt, paint))


def _curves(
    axes: Axes,
    outage: "xr.Dataset",
    minute: NDArray[np.float64],
    reached: Mapping[str, float | None],
    limits: Mapping[str, float | None],
) -> None:
    """Curves, limits and the minutes at which the servers stop."""
    last = max((value for value in reached.values() if value is not None), default=float(minute[-1]))
    end = (
        float(minute[-1])
        if any(value is None for value in reached.values())
        else min(minute[-1], max(last * 1.12, float(minute[1] - minute[0])))
    )
    shown = minute <= end + (minute[1] - minute[0])
    for name, label, colour, style in CURVES:
        liquid = outage[name].to_numpy().astype(float)
        stop = reached[name]
        part = shown if stop is None else shown & (minute <= stop)
        places, values = minute[part], liquid[part]
        if stop is not None:
            places, values = np.append(places, stop), np.append(values, np.interp(stop, minute, liquid))
        axes.plot(places, values, color=colour, ls=style)
        place = 4 * (len(places) - 1) // 5
        left = name == "liquid_pump_lost"
        axes.annotate(
            label,
            (places[place], values[place]),
            (-8, 0) if left else (8, -8),
            textcoords="offset points",
            ha="right" if left else "left",
            color=colour,
            fontsize=7.5,
        )
        if stop is not None:
            axes.plot([stop], [values[-1]], "o", color=colour, ms=4)
            axes.annotate(
                quantity(stop, "min"),
                (stop, values[-1]),
                (0, 5),
                textcoords="offset points",
                ha="center",
                fontsize=7.5,
                color=INK,
            )
    axes.set_xlim(0, end)
    axes.xaxis.set_major_locator(MaxNLocator(7, integer=True))
    low, high = axes.get_ylim()
    known = [float(value) for value in limits.values() if value is not None and np.isfinite(value)]
    axes.set_ylim(min([low, *known]) - 2, max([high, *known]) + 4)
    names = []
    for label, limit in limits.items():
        if is_known(limit):
            axes.axhline(float(limit), color=LIMIT, lw=0.8, ls=(0, (6, 2)))  # type: ignore[arg-type]
            names.append((float(limit), f"{label} {quantity(limit, 'degC')}", LIMIT))  # type: ignore[arg-type]
    label_right(axes, names, gap=0.075)
    axes.set_xlabel("minutes after the loss of cooling")
    axes.set_ylabel("liquid, °C")
