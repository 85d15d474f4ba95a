"""Heat balance of one hour: what flows into the liquid, and what the cooling section can take out."""

import math
from collections.abc import Mapping

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from edgecheck.base.variables import variables
from edgecheck.outputs.figures.canvas import CAPACITY, FAINT, INK, LOAD, Drawing, draw
from edgecheck.outputs.number_text import degrees, is_known, kilowatt, step

TERMS = ("it", "pump_heat", "solar", "envelope", "longwave")


def heat_balance(key: str, when: str, values: Mapping[str, float | None]) -> Drawing:
    """Bars of the heat terms one after the other, the sum, and the capacity beside it.

    Parameters
    ----------
    key : str
        Start of ids.
    when : str
        The hour in words.
    values : mapping
        Terms, `load` and `capacity` at the setpoint under the names of variables.toml. [W]

    Returns
    -------
    Drawing
        Horizontal bars in kW, each with its number.
    """
    load, capacity = values.get("load"), values.get("capacity")
    spare = None if not (is_known(load) and is_known(capacity)) else float(capacity) - float(load)  # type: ignore[arg-type]
    caption = (
        f"Heat balance of {when} at the setpoint: {kilowatt(load)} to reject, capacity {kilowatt(capacity)}, "
        f"headroom {kilowatt(spare)}."
    )
    floats = spare is not None and spare < 0.0 and _carried_when_warmer(values)
    if floats:
        caption += (
            f" The liquid floats above the setpoint: at {degrees(values.get('service_liquid'))} the capacity is "
            f"{kilowatt(values.get('service_capacity'))}, the headroom {kilowatt(values.get('service_headroom'))}."
        )
    alt = "Bars of the heat into the liquid. " + "; ".join(
        f"{variables()[name].label} {kilowatt(values.get(name))}" for name in (*TERMS, "load", "capacity")
    )

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.325, 0.17, 0.665, 0.80))
        _bars(axes, values, floats=floats)

    return Drawing(key, caption, alt, draw(key, 2.2, alt, paint))


def _carried_when_warmer(values: Mapping[str, float | None]) -> bool:
    """Whether the heat is carried at a liquid temperature above the setpoint."""
    names = ("service_headroom", "service_capacity", "service_liquid")
    return (
        all(is_known(values.get(name)) for name in names) and float(values["service_headroom"] or 0.0) >= 0.0
    )


def _bars(axes: Axes, values: Mapping[str, float | None], *, floats: bool) -> None:
    """One bar a term from where the last one ended, then sum and capacity from zero."""
    reached = 0.0
    rows: list[tuple[str, float, float | None, str, str]] = []
    for name in TERMS:
        value = values.get(name)
        rows.append((name, reached, value, LOAD if (value or 0.0) >= 0 else CAPACITY, "////"))
        reached += 0.0 if not is_known(value) else float(value or 0.0) / 1000.0
    rows.append(("load", 0.0, values.get("load"), LOAD, ""))
    rows.append(("capacity", 0.0, values.get("capacity"), CAPACITY, ""))
    labels = [variables()[row[0]].label for row in rows]
    if floats:
        rows.append(("service_capacity", 0.0, values.get("service_capacity"), CAPACITY, ""))
        labels.append(f"with the liquid at {degrees(values.get('service_liquid'))}")
    for place, (_name, start, value, colour, hatch) in enumerate(rows):
        width = 0.0 if not is_known(value) else float(value or 0.0) / 1000.0
        axes.barh(
            place,
            width,
            left=start,
            height=0.62,
            facecolor=colour if not hatch else "none",
            edgecolor=colour,
            hatch=hatch,
            lw=0.7,
        )
        end = max(start, start + width)
        text = step(value, "kW", factor=1000.0, decimals=3, signed=bool(hatch))
        axes.annotate(text, (end, place), (4, 0), textcoords="offset points", va="center", fontsize=7.5)
        if hatch and place:
            axes.plot([start, start], [place - 0.69, place + 0.31], color=FAINT, lw=0.6)
    axes.set_yticks(range(len(rows)), labels)
    axes.invert_yaxis()
    axes.axvline(0, color=INK, lw=0.8)
    extents = [edge for _, start, value, _, _ in rows for edge in _ends(start, value)]
    low, high = min(0.0, *extents), max(0.1, *extents)
    axes.set_xlim(low - 0.02 * (high - low) if low < 0 else 0.0, high + 0.14 * (high - low))
    axes.set_xlabel("kW, positive into the liquid (capacity: out of it)")
    axes.tick_params(axis="y", length=0)


def _ends(start: float, value: float | None) -> tuple[float, float]:
    """Both ends of a bar. [kW]"""
    width = 0.0 if value is None or not math.isfinite(value) else value / 1000.0
    return start, start + width
