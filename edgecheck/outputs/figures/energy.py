"""Energy by month: bars of servers, cooling and the rest, one upon the other."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from edgecheck.outputs.figures.canvas import CAPACITY, FAINT, INK, LOAD, PAPER, SHORTFALL, Drawing, draw
from edgecheck.outputs.number_text import count, month_name, quantity

# name, keys that are added, face, hatch: grey values and hatches differ, so that colour is not needed
_BARS = (
    ("servers", ("it_kwh",), "#d7e1e6", ""),
    ("pump and distribution", ("pump_kwh", "distribution_kwh"), PAPER, "////"),
    ("cooling", ("cooling_kwh",), CAPACITY, ""),
    ("standby", ("standby_kwh",), SHORTFALL, "xxx"),
)


def energy_by_month(detail: Mapping[str, Any]) -> Drawing | None:
    """Energy of every month by part; None where it was not computed."""
    found = detail.get("energy") or {}
    months = found.get("months") or []
    if not months:
        return None
    total = np.array([float(row["input_kwh"]) for row in months])
    most, least = int(np.argmax(total)), int(np.argmin(total))
    names = [month_name(int(row["month"])) for row in months]
    ratios = [row["partial_pue"] for row in months]
    known = [float(ratio) for ratio in ratios if ratio is not None and np.isfinite(ratio)]
    spread = f" Partial PUE from {quantity(min(known))} to {quantity(max(known))} by month." if known else ""
    what = (
        f"{count(found['input_kwh'], 'kWh')} over the year, most in {names[most]} ({count(total[most], 'kWh')}), "
        f"least in {names[least]} ({count(total[least], 'kWh')})"
    )
    caption = f"Electrical input by month and part: {what}.{spread}"
    alt = f"Stacked bars, one a month, of servers, pump and distribution, cooling, standby: {what}.{spread}"

    def paint(figure: Figure) -> None:
        _bars(figure.add_axes((0.085, 0.14, 0.885, 0.70)), months, names)

    return Drawing("energy", caption, alt, draw("energy", 2.5, alt, paint))


def _bars(axes: Axes, months: list[Mapping[str, Any]], names: list[str]) -> None:
    """One bar a month, the servers at the bottom; parts without energy are left out of the key."""
    place, bottom = np.arange(len(months)), np.zeros(len(months))
    for name, keys, face, hatch in _BARS:
        part = np.array([sum(float(row[key]) for key in keys) for row in months])
        if not part.any():
            continue
        axes.bar(
            place, part, 0.72, bottom=bottom, facecolor=face, edgecolor=INK, hatch=hatch, lw=0.5, label=name
        )
        bottom = bottom + part
    for x, row, top in zip(place.tolist(), months, bottom.tolist(), strict=True):
        ratio = row["partial_pue"]
        if ratio is not None and np.isfinite(ratio):
            axes.text(x, top, f"{ratio:.2f}", ha="center", va="bottom", fontsize=6.5, color=LOAD)
    axes.set_xticks(place, names)
    axes.set_xlim(-0.6, len(months) - 0.4)
    axes.set_ylabel("kWh a month")
    axes.grid(axis="y", color=FAINT, lw=0.4, alpha=0.5)
    axes.set_axisbelow(True)
    axes.legend(loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=4, fontsize=7, borderaxespad=0.2)
    axes.text(
        1.0, 1.03, "partial PUE above the bars", ha="right", fontsize=7, color=LOAD, transform=axes.transAxes
    )
