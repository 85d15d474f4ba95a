"""A long power cut in winter: the liquid while power is off and while it is warmed up again."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from edgecheck.outputs.figures.canvas import AIR, FAINT, INK, LIMIT, LIQUID, Drawing, draw
from edgecheck.outputs.figures.spell import label_right
from edgecheck.outputs.number_text import degrees, is_known, quantity

if TYPE_CHECKING:
    import xarray as xr

_OFF = "#e4e7e8"


def winter_course(outage: "xr.Dataset", winter: Mapping[str, Any]) -> Drawing:
    """Liquid and outdoor air over the worst winter power cut and the warm-up after it.

    Parameters
    ----------
    outage : xarray.Dataset
        `winter_liquid` and `winter_air` on the dimension `winter_hour`, hours since the loss of power. [degC]
    winter : mapping
        Record of the winter cut: `power_off_hours`, `start_limit_c`, `sets_c`, `at_return_c`, `hours`, `delay_min`.

    Returns
    -------
    Drawing
    """
    hour = outage["winter_hour"].to_numpy().astype(float)
    liquid = outage["winter_liquid"].to_numpy().astype(float)
    air = outage["winter_air"].to_numpy().astype(float)
    off = float(winter["power_off_hours"])
    limit = winter.get("start_limit_c")
    caption = (
        f"The winter power cut that takes longest to recover from: liquid at {degrees(liquid[0])} when power goes, "
        f"{degrees(winter.get('at_return_c'))} when it returns after {off:g} h; {_recovery(winter)}"
    )
    alt = f"A curve of liquid temperature that falls over hours without power and rises once it is back. {caption}"

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.085, 0.18, 0.74, 0.79))
        axes.axvspan(0.0, off, facecolor=_OFF, edgecolor="none", lw=0)
        axes.plot(hour, liquid, color=LIQUID, lw=1.6)
        axes.step(hour, np.append(air[1:], air[-1]), where="post", color=AIR, ls=(0, (1.2, 1.2)), lw=1.0)
        names = [(float(liquid[-1]), "liquid", LIQUID), (float(air[-1]), "outdoor air", AIR)]
        for label, value in (("pumps start", limit), ("liquid sets", winter.get("sets_c"))):
            near = is_known(value) and float(value) > float(min(liquid.min(), air.min())) - 15.0  # type: ignore[arg-type]
            if near:
                axes.axhline(float(value), color=LIMIT, lw=0.8, ls=(0, (6, 2)))  # type: ignore[arg-type]
                names.append((float(value), f"{label} {degrees(value)}", LIMIT))  # type: ignore[arg-type]
        axes.axvline(off, color=FAINT, lw=0.8)
        axes.set_xlim(0.0, max(float(hour[-1]), off * 1.02))
        low, high = axes.get_ylim()
        axes.set_ylim(low - 2.0, high + 0.12 * (high - low))
        top = axes.get_xaxis_transform()
        axes.text(off / 2.0, 0.95, "power off", ha="center", va="top", fontsize=7.5, color=INK, transform=top)
        axes.annotate(
            "power is back",
            (off, 0.84),
            (-4, 0),
            xycoords=top,
            textcoords="offset points",
            ha="right",
            va="top",
            fontsize=7.5,
            color=INK,
        )
        axes.xaxis.set_major_locator(MaxNLocator(9, integer=True))
        label_right(axes, names, gap=0.075)
        axes.set_xlabel("hours after the loss of power")
        axes.set_ylabel("°C")

    return Drawing("winter", caption, alt, draw("winter", 2.5, alt, paint))


def _recovery(winter: Mapping[str, Any]) -> str:
    """When the servers are on again, as far as it is known."""
    hours, limit = winter.get("hours"), winter.get("start_limit_c")
    if not is_known(limit):
        return "the temperature at which the pumps start is not known."
    if not is_known(hours):
        return f"the pumps start at {degrees(limit)}; drawn without a heater, whose power is not known."
    if hours in (float("inf"), "infinite"):
        return f"the pumps start at {degrees(limit)}, which it does not reach."
    delay = quantity(winter.get("delay_min"), "min")
    return f"the servers are on {quantity(hours, 'h')} later, {delay} after the pumps may start at {degrees(limit)}."
