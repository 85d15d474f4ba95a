"""How many sites carry how much IT load, as a step curve.

In go the largest IT loads of the sites that are go, and of those that are go or conditional; each step down is a
site whose largest load is passed. Line and hatch tell the two apart without colour.
"""

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from edgecheck.outputs.figures.canvas import CAPACITY, FAINT, INK, Drawing, draw
from edgecheck.outputs.number_text import count, quantity

FloatArray = NDArray[np.float64]

# Steps closer than this cannot be told apart on paper. [kW]
_APART = 0.01


def site_loads(go: Sequence[float], go_or_conditional: Sequence[float]) -> Drawing:
    """Draw the number of sites over the IT load.

    Parameters
    ----------
    go, go_or_conditional : sequence of float, not empty
        Largest IT load of every site of either kind. [kW]

    Returns
    -------
    Drawing
    """
    every, best = np.sort(go_or_conditional), np.sort(go)
    low, high = float(every[0]), float(every[-1])
    room = max(0.1 * (high - low), 0.05 * high, 0.1)
    ends = max(0.0, low - room), high + room
    span = (
        f"each carries {quantity(low, 'kW')}"
        if low == high
        else f"the least carries {quantity(low, 'kW')}, the most {quantity(high, 'kW')}"
    )
    caption = (
        f"Number of sites whose cooling keeps the required margins, over the IT load. Of {count(len(every))} go or "
        f"conditional sites {span}; {count(len(best))} of them {'is' if len(best) == 1 else 'are'} go."
    )

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.075, 0.19, 0.90, 0.76))
        _curve(axes, every, ends, CAPACITY, (0, (4, 2)), "go or conditional", hatch="////")
        if len(best):
            _curve(axes, best, ends, INK, "-", "go", hatch=None)
        axes.set_xlim(*ends)
        axes.set_ylim(0, len(every) * 1.18)
        axes.yaxis.set_major_locator(MaxNLocator(nbins=5, integer=True))
        axes.set_xlabel("IT load, kW")
        axes.set_ylabel("sites")

    return Drawing("site-loads", caption, caption, draw("site-loads", 2.3, caption, paint))


def steps(largest: FloatArray, ends: tuple[float, float]) -> tuple[FloatArray, FloatArray]:
    """Corners of the curve: loads [kW], and how many sites carry at least the load.

    Parameters
    ----------
    largest : array, shape (sites,)
        Rising. [kW]
    ends : tuple of float
        Ends of the axis. [kW]
    """
    rounded = np.round(largest / _APART) * _APART
    at = np.unique(rounded)
    carried = largest.size - np.searchsorted(rounded, at, side="right")
    return np.concatenate(([ends[0]], at, [ends[1]])), np.concatenate(([largest.size], carried, [0]))


def _curve(
    axes: Axes,
    largest: FloatArray,
    ends: tuple[float, float],
    colour: str,
    line: str | tuple[int, tuple[int, int]],
    name: str,
    hatch: str | None,
) -> None:
    load, sites = steps(largest, ends)
    axes.step(load, sites, where="post", color=colour, linestyle=line, lw=1.4)
    if hatch is None:
        axes.fill_between(load, sites, step="post", facecolor=FAINT, alpha=0.35, linewidth=0)
    else:
        axes.fill_between(
            load, sites, step="post", facecolor="none", edgecolor=FAINT, hatch=hatch, linewidth=0
        )
    text = f"{name}: {count(largest.size)}"
    axes.annotate(
        text, (ends[0], largest.size), xytext=(4, 2), textcoords="offset points", va="bottom", fontsize=7
    )
