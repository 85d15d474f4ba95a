"""What the unit's cooling can do over inlet air and liquid temperature, with the site's hours upon it.

A unit with a rating table is drawn as a map with lines of equal capacity; a dry cooler, whose capacity is nearly
straight in both temperatures, as two lines against the inlet air.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from edgecheck.heat.capacity_map import CapacityMap
from edgecheck.outputs.figures.canvas import CAPACITY, FAINT, INK, LIMIT, LOAD, PAPER, Drawing, draw
from edgecheck.outputs.figures.spell import label_right
from edgecheck.outputs.number_text import count, degrees, is_known, kilowatt, quantity

if TYPE_CHECKING:
    import xarray as xr

KILO = 1000.0
_DOTS = 150  # at most, so that a page stays small
_SIZES = ((1, 1.6), (10, 2.8), (100, 4.4))  # hours from which on, width of the dot
_LEVELS = 8


def capacity_over_air(found: CapacityMap, hourly: "xr.Dataset", unit: Mapping[str, Any]) -> Drawing | None:
    """Capacity over inlet air and liquid.

    Parameters
    ----------
    found : CapacityMap
        Of the unit at the place's air density.
    hourly : xarray.Dataset
        The year: `inlet_air`, `liquid`, `load`.
    unit : mapping
        `kind`, setpoint_c, service_max_c, alarm_c.

    Returns
    -------
    Drawing or None
        None where no capacity is known anywhere.
    """
    inlet, liquid, load = (hourly[name].to_numpy() for name in ("inlet_air", "liquid", "load"))
    if not np.isfinite(found.capacity).any() or not np.isfinite(inlet).any():
        return None
    hottest = float(np.nanmax(inlet))
    most = float(np.nanmax(load))
    there = {
        name: _at(found, float(unit[key]), hottest)
        for name, key in (("setpoint", "setpoint_c"), ("service limit", "service_max_c"))
        if is_known(unit.get(key))
    }
    numbers = " and ".join(f"{kilowatt(value)} at the {name}" for name, value in there.items())
    hours = (
        f"The year's hours reach {degrees(hottest)} of inlet air, where the capacity is {numbers}; the greatest heat "
        f"to reject in any hour is {kilowatt(most)}."
    )
    dry = unit.get("kind") == "dry-cooler"
    what = (
        "Capacity against inlet air with the liquid at setpoint and service limit, and below it how many hours of the "
        "year have that air."
        if dry
        else "Capacity in kW over inlet air and liquid; small, middle and large dots stand for fewer than 10, fewer "
        "than 100 and more hours of the year."
    )
    ends = "" if dry else _ends(found)
    caption = f"{what} {hours}{ends} Air density of the site's median hour."
    alt = f"{'Lines' if dry else 'Map with lines of equal capacity'}. {hours}{ends}"

    def paint(figure: Figure) -> None:
        if dry:
            _lines(figure, found, inlet, load, unit)
        else:
            _map(figure.add_axes((0.085, 0.13, 0.735, 0.83)), found, inlet, liquid, most, unit)

    return Drawing("capacity", caption, alt, draw("capacity", 3.2, alt, paint))


def _at(found: CapacityMap, liquid: float, inlet: float) -> float | None:
    """Capacity at a point of the map, None where it is unknown; 0 where a limit bars it. [W]"""
    row = int(np.argmin(np.abs(found.liquid - liquid)))
    column = int(np.argmin(np.abs(found.inlet - inlet)))
    if found.barred[row, column]:
        return 0.0
    if found.unknown[row, column]:
        return None
    along = [float(np.interp(inlet, found.inlet, values)) for values in found.capacity]
    return float(np.interp(liquid, found.liquid, along))


def _ends(found: CapacityMap) -> str:
    """Which parts of the map are closed."""
    parts = []
    if found.barred.any():
        parts.append("hatched: a maker's limit leaves no capacity")
    if found.unknown.any():
        parts.append("crossed: past the rating table, capacity not known")
    return f" {'; '.join(parts).capitalize()}." if parts else ""


def _map(
    axes: Axes,
    found: CapacityMap,
    inlet: NDArray[np.float64],
    liquid: NDArray[np.float64],
    most: float,
    unit: Mapping[str, Any],
) -> None:
    """Lines of equal capacity, closed parts, hours, limits of the liquid."""
    capacity = np.where(found.barred | found.unknown, np.nan, found.capacity / KILO)
    for mask, hatch in ((found.barred, "////"), (found.unknown, "xxxx")):
        if mask.any():
            shown = axes.contourf(
                found.inlet,
                found.liquid,
                mask.astype(float),
                levels=[0.5, 1.5],
                colors=[PAPER],
                hatches=[hatch],
            )
            shown.set_edgecolor(FAINT)
            shown.set_linewidth(0.0)
    if np.isfinite(capacity).any():
        low, high = float(np.nanmin(capacity)), float(np.nanmax(capacity))
        if high - low > 1e-6:
            lines = axes.contour(
                found.inlet, found.liquid, capacity, levels=_LEVELS, colors=[CAPACITY], linewidths=0.9
            )
            axes.clabel(lines, fontsize=6.5, fmt="%g", colors=[CAPACITY])
        if low < most / KILO < high:
            text = f"dashed: {most / KILO:.2f} kW,\nthe greatest heat\nto reject"
            axes.text(1.025, 1.0, text, color=LOAD, fontsize=6.5, va="top", transform=axes.transAxes)
            axes.contour(
                found.inlet, found.liquid, capacity, levels=[most / KILO], colors=[LOAD], linewidths=1.6,
                linestyles=[(0, (4, 1.5))],
            )  # fmt: skip
    _dots(axes, inlet, liquid)
    names = []
    for name, key in (("setpoint", "setpoint_c"), ("service limit", "service_max_c"), ("alarm", "alarm_c")):
        if is_known(unit.get(key)):
            value = float(unit[key])
            axes.axhline(value, color=LIMIT, lw=0.7, ls=(0, (6, 2)))
            names.append((value, f"{name} {quantity(value, 'degC')}", LIMIT))
    axes.set_xlim(float(found.inlet[0]), float(found.inlet[-1]))
    axes.set_ylim(float(found.liquid[0]), float(found.liquid[-1]))
    label_right(axes, names, gap=0.06)
    axes.set_xlabel("air into the cooling section, °C")
    axes.set_ylabel("liquid, °C")


def _dots(axes: Axes, inlet: NDArray[np.float64], liquid: NDArray[np.float64]) -> None:
    """Hours in cells of some kelvin, area by their number; cells grow until there are few enough."""
    known = np.isfinite(inlet) & np.isfinite(liquid)
    size = 1.0
    while True:
        cells = np.round(np.stack([inlet[known], liquid[known]]) / size)
        places, number = np.unique(cells, axis=1, return_counts=True)
        if number.size <= _DOTS:
            break
        size *= 1.5
    for (least, width), (more, _) in zip(_SIZES, (*_SIZES[1:], (np.inf, 0.0)), strict=True):
        mine = (number >= least) & (number < more)
        axes.plot(*(places[:, mine] * size), "o", ms=width, mfc=INK, mec=PAPER, mew=0.3, ls="none", zorder=3)


def _lines(
    figure: Figure,
    found: CapacityMap,
    inlet: NDArray[np.float64],
    load: NDArray[np.float64],
    unit: Mapping[str, Any],
) -> None:
    """Capacity at setpoint and service limit against inlet air; hours of the year below."""
    upper = figure.add_axes((0.085, 0.40, 0.735, 0.57))
    lower = figure.add_axes((0.085, 0.14, 0.735, 0.20))
    names = []
    for name, key, style in (
        ("setpoint", "setpoint_c", "-"),
        ("service limit", "service_max_c", (0, (5, 1.5))),
    ):
        if not is_known(unit.get(key)):
            continue
        values = [np.interp(float(unit[key]), found.liquid, column) / KILO for column in found.capacity.T]
        barred = found.barred.all(axis=0)
        drawn = np.where(barred, np.nan, values)
        upper.plot(found.inlet, drawn, color=CAPACITY, ls=style)
        last = drawn[np.isfinite(drawn)]
        if last.size:
            names.append((float(last[-1]), f"liquid at {name}", CAPACITY))
    most = float(np.nanmax(load)) / KILO
    upper.axhline(most, color=LOAD, lw=1.0, ls=(0, (1.5, 1.2)))
    names.append((most, f"greatest load {most:.2f} kW", LOAD))
    upper.set_ylim(0.0, None)
    upper.set_xlim(float(found.inlet[0]), float(found.inlet[-1]))
    label_right(upper, names, gap=0.09)
    upper.set_ylabel("capacity, kW")
    upper.tick_params(labelbottom=False)
    edges = np.arange(np.floor(found.inlet[0]), np.ceil(found.inlet[-1]) + 1.0)
    number, _ = np.histogram(inlet[np.isfinite(inlet)], edges)
    lower.stairs(number, edges, fill=True, facecolor=FAINT, edgecolor=INK, lw=0.5)
    lower.set_xlim(upper.get_xlim())
    lower.text(
        1.025,
        0.5,
        f"hours a kelvin,\nmost {count(number.max())}",
        fontsize=7,
        va="center",
        transform=lower.transAxes,
    )
    lower.set_xlabel("air into the cooling section, °C")
    lower.set_ylabel("h")
