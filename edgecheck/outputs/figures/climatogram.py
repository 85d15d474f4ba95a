"""Climatogram: the hours of a year over temperature and humidity, with the envelope of a class.

Two panels share the temperature axis: relative humidity above, absolute humidity below. Hours are counted in cells;
cells inside the class are grey-blue, darker for more hours, cells outside are rust with slanted lines, so that a grey
print tells them apart. The envelope is drawn as a line: where the limits of temperature, relative and absolute humidity
meet, whichever of them binds.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from edgecheck.base.humid_air import absolute_humidity, relative_humidity
from edgecheck.outputs.figures.canvas import FAINT, LIMIT, Drawing, draw
from edgecheck.outputs.number_text import count, degrees, quantity

if TYPE_CHECKING:
    import xarray as xr

FloatArray = NDArray[np.float64]

_KEY = "climatogram"
_CELL_PIXELS = 6
_STEPS = ((1, (214, 226, 231)), (3, (170, 197, 207)), (10, (112, 154, 169)), (30, (54, 101, 119)))
_OUTSIDE, _STRIPE = (140, 45, 4), (255, 214, 186)
_LIMITS = ("temp_low", "temp_high", "humidity_low", "humidity_high", "water_low", "water_high")


def climatogram(hourly: "xr.Dataset | None", record: Mapping[str, Any]) -> Drawing | None:
    """Hours of the year over temperature and humidity.

    Parameters
    ----------
    hourly : xarray.Dataset or None
        With temp_air and temp_dew. [degC]
    record : mapping
        The class as in the detail of a result.

    Returns
    -------
    Drawing or None
        None where no class is known or the hours have no dew point.
    """
    limits = {row["parameter"]: float(row["limit"]) for row in record.get("rows") or ()}
    if hourly is None or "temp_dew" not in hourly or not all(name in limits for name in _LIMITS):
        return None
    air, dew = hourly["temp_air"].to_numpy(), hourly["temp_dew"].to_numpy()
    relative, water = relative_humidity(air, dew), absolute_humidity(air, dew)
    outside = _outside(air, relative, water, limits)
    number = int(np.count_nonzero(outside))
    of = "day" if len(air) == 24 else "year"
    caption = (
        f"The {count(len(air))} hours of the {of} over temperature and humidity, relative above and absolute below, "
        f"darker where there are more; the line is the envelope of class {record.get('name')} in temperature and "
        f"humidity. {count(number)} h lie outside it, rust with slanted lines. Air from {degrees(float(air.min()))} to "
        f"{degrees(float(air.max()))}, relative humidity from {quantity(float(relative.min()), '%', figures=2)} to "
        f"{quantity(float(relative.max()), '%')}, absolute humidity from "
        f"{quantity(float(water.min()), 'g/m³', figures=2)} to {quantity(float(water.max()), 'g/m³')}."
    )
    alt = f"Two maps of hours, temperature along, humidity up. {caption}"
    low = min(float(air.min()), limits["temp_low"]) - 3.0
    high = max(float(air.max()), limits["temp_high"]) + 3.0
    top = max(float(water.max()), limits["water_high"]) * 1.08

    def paint(figure: Figure) -> None:
        upper = figure.add_axes((0.085, 0.53, 0.74, 0.45))
        lower = figure.add_axes((0.085, 0.105, 0.74, 0.38))
        _panel(upper, air, relative, outside, (low, high), (0.0, 104.0), 2.0)
        _panel(lower, air, water, outside, (low, high), (0.0, top), top / 40.0)
        _envelope(upper, lower, limits)
        upper.set_ylabel("relative humidity, %")
        lower.set_ylabel("absolute humidity, g/m³")
        upper.tick_params(labelbottom=False)
        lower.set_xlabel("outdoor air at the site, °C")
        _legend(upper)

    return Drawing(_KEY, caption, alt, draw(_KEY, 4.5, alt, paint))


def _outside(
    air: FloatArray, relative: FloatArray, water: FloatArray, limits: Mapping[str, float]
) -> NDArray[np.bool_]:
    """Hours outside the limits of temperature and humidity."""
    edge = 1e-6
    found = np.zeros(air.shape, dtype=bool)
    for values, name in ((air, "temp"), (relative, "humidity"), (water, "water")):
        found |= values < limits[f"{name}_low"] - edge
        found |= values > limits[f"{name}_high"] + edge
    return found


def _panel(
    axes: Axes,
    air: FloatArray,
    humidity: FloatArray,
    outside: NDArray[np.bool_],
    across: tuple[float, float],
    up: tuple[float, float],
    cell: float,
) -> None:
    """Count hours in cells of 1 K and draw them as a picture."""
    columns = max(1, round(across[1] - across[0]))
    rows = max(1, round((up[1] - up[0]) / cell))
    inside_count, outside_count = (
        np.histogram2d(air[some], humidity[some], bins=(columns, rows), range=(across, up))[0].T
        for some in (~outside, outside)
    )
    axes.imshow(
        _picture(inside_count[::-1], outside_count[::-1]),
        extent=(*across, *up),
        aspect="auto",
        interpolation="none",
    )
    axes.set_xlim(*across)
    axes.set_ylim(*up)
    axes.grid(color=FAINT, lw=0.3, alpha=0.5)


def _picture(inside: FloatArray, outside: FloatArray) -> NDArray[np.uint8]:
    """Pixels of the cells; a cell with any hour outside shows it."""
    big_in = np.repeat(np.repeat(inside, _CELL_PIXELS, axis=0), _CELL_PIXELS, axis=1)
    big_out = np.repeat(np.repeat(outside, _CELL_PIXELS, axis=0), _CELL_PIXELS, axis=1)
    row, column = np.indices(big_in.shape)
    out = np.zeros((*big_in.shape, 4), dtype=np.uint8)
    for least, colour in _STEPS:
        out[big_in >= least] = (*colour, 255)
    out[big_out > 0] = (*_OUTSIDE, 255)
    out[(big_out > 0) & ((row + column) % 6 < 2)] = (*_STRIPE, 255)
    return out


def _envelope(upper: Axes, lower: Axes, limits: Mapping[str, float]) -> None:
    """Draw the limits as closed lines in both panels."""
    air = np.linspace(limits["temp_low"], limits["temp_high"], 200)
    saturated = absolute_humidity(air, air)  # g/m3 at 100 %
    # Where the least water is more than saturated air holds there is nothing inside.
    least_water = np.maximum(limits["water_low"], saturated * limits["humidity_low"] / 100.0)
    most_water = np.minimum(limits["water_high"], saturated * limits["humidity_high"] / 100.0)
    some = least_water <= most_water
    if not some.any():
        return
    for axes, factor in ((upper, 100.0 / saturated), (lower, np.ones_like(air))):
        bottom, top, along = (values[some] for values in (least_water * factor, most_water * factor, air))
        axes.plot(
            [*along, *along[::-1], along[0]],
            [*bottom, *top[::-1], bottom[0]],
            color=LIMIT,
            lw=1.3,
            ls=(0, (6, 2)),
        )


def _legend(axes: Axes) -> None:
    """Name shades, outside and envelope at the right."""
    rows = [(f"{least} h or more", colour, None) for least, colour in _STEPS]
    for place, (text, colour, _) in enumerate(rows):
        _swatch(axes, 0.93 - 0.105 * place, text, np.full((12, 20, 3), colour, dtype=np.uint8))
    row, column = np.indices((12, 20))
    striped = np.full((12, 20, 3), _OUTSIDE, dtype=np.uint8)
    striped[(row + column) % 6 < 2] = _STRIPE
    _swatch(axes, 0.93 - 0.105 * len(rows), "outside", striped)
    bottom = 0.93 - 0.105 * (len(rows) + 1)
    axes.plot(
        [1.02, 1.062],
        [bottom, bottom],
        color=LIMIT,
        lw=1.3,
        ls=(0, (3, 1.2)),
        clip_on=False,
        transform=axes.transAxes,
    )
    axes.text(1.075, bottom, "class", fontsize=7, va="center", transform=axes.transAxes)


def _swatch(axes: Axes, middle: float, text: str, pixels: NDArray[np.uint8]) -> None:
    inset = axes.inset_axes((1.02, middle - 0.035, 0.042, 0.07))
    inset.imshow(pixels, aspect="auto", interpolation="none")
    inset.set_xticks([])
    inset.set_yticks([])
    axes.text(1.075, middle, text, fontsize=7, va="center", transform=axes.transAxes)
