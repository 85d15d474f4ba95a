"""Hours short of headroom against the servers' load, and from which load on a spell is not survived."""

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from edgecheck.heat.largest_load import AtLoad
from edgecheck.outputs.figures.canvas import CAPACITY, FAINT, INK, LIMIT, LOAD, PAPER, Drawing, draw
from edgecheck.outputs.number_text import count, is_known, kilowatt

KILO = 1000.0
_TICKS = (0, 1, 10, 100, 1000, 8760)


def hours_short_over_load(points: Sequence[AtLoad], own: float, largest: float | None) -> Drawing:
    """Hours short against load.

    Parameters
    ----------
    points : sequence of AtLoad
        In rising order of the load.
    own, largest : float, float or None
        The site's load; the largest at the required margins, where it is known. [W]

    Returns
    -------
    Drawing
        Filled marks where both spells are survived at the margin, crosses where one is not.
    """
    short = [point for point in points if point.hours_short]
    failing = next((point for point in points if not (point.hot_holds and point.cold_holds)), None)
    if not short:
        hours = f"no hour of the year is short up to {kilowatt(points[-1].load)}"
    else:
        hours = f"{count(points[-1].hours_short, 'h')} of the year are short at {kilowatt(points[-1].load)}"
        hours += (
            f", {count(short[0].hours_short, 'h')} at {kilowatt(short[0].load)}" if len(short) > 1 else ""
        )
        hours += ", none at less"
    spells = (
        "both spells hold at every load"
        if failing is None
        else f"a spell no longer holds at {kilowatt(failing.load)}"
    )
    what = f"{hours}; {spells}"
    margin = f" Largest load at the required margins: {kilowatt(largest)}." if is_known(largest) else ""
    caption = f"Hours short of headroom against the servers' load: {what}.{margin}"
    alt = f"Line with a mark at each load looked at, hours on a logarithmic axis: {what}.{margin}"

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.085, 0.17, 0.885, 0.70))
        _curve(axes, points)
        _marked_loads(axes, own, largest)
        axes.legend(loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=4, fontsize=7, borderaxespad=0.2)

    return Drawing("largest-load", caption, alt, draw("largest-load", 2.5, alt, paint))


def _curve(axes: Axes, points: Sequence[AtLoad]) -> None:
    loads = np.array([point.load for point in points]) / KILO
    hours = np.array([point.hours_short for point in points], dtype=float)
    held = np.array([point.hot_holds and point.cold_holds for point in points])
    axes.plot(loads, hours, color=CAPACITY, zorder=2)
    for mask, marker, face, name in (
        (held, "o", CAPACITY, "hot and cold spell hold"),
        (~held, "X", PAPER, "a spell does not hold"),
    ):
        if mask.any():
            axes.plot(
                loads[mask], hours[mask], marker, ms=6, mfc=face, mec=INK, mew=0.8, ls="none", label=name, zorder=3,
                clip_on=False,
            )  # fmt: skip
    axes.set_yscale("symlog", linthresh=1.0, linscale=0.6)
    axes.set_yticks(_TICKS, [str(tick) for tick in _TICKS])
    axes.minorticks_off()
    axes.set_ylim(0.0, max(10.0, float(hours.max()) * 1.5))
    axes.set_xlim(0.0, float(loads.max()) * 1.03)
    axes.grid(axis="y", color=FAINT, lw=0.4, alpha=0.5)
    axes.set_xlabel("servers' load, kW")
    axes.set_ylabel("hours short a year")


def _marked_loads(axes: Axes, own: float, largest: float | None) -> None:
    """The site's load and the largest as upright lines."""
    axes.axvline(own / KILO, color=LOAD, lw=1.1, ls=(0, (1.5, 1.2)), zorder=1, label="the site's load")
    if is_known(largest) and largest:
        axes.axvline(
            largest / KILO, color=LIMIT, lw=1.1, ls=(0, (6, 2)), zorder=1, label="largest at the margins"
        )
