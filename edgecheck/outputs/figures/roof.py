"""Plan of the unit on the roof, to scale: body, feet, what each foot carries, centres of gravity."""

from collections.abc import Mapping, Sequence
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from edgecheck.outputs.figures.canvas import CAPACITY, FAINT, INK, LOAD, Drawing, draw
from edgecheck.outputs.number_text import quantity

_KINDS = {
    "frame": "rigid frame",
    "slab": "slab",
    "board": "board",
    "unknown": "spreader of unknown kind",
}
_MARKS = (("s", 11), ("o", 8), ("x", 6))


def roof_plan(roof: Mapping[str, Any]) -> Drawing | None:
    """Plan of the unit with feet, reactions and centres of gravity.

    Parameters
    ----------
    roof : mapping
        `feet_m` (pairs from the front left corner), `body_m` or `plan_m` (length, depth), `reactions` with
        `forces_kn` a foot, `mass_states` with `centre_of_gravity_m`, optionally `spreader` with `plan_m`.

    Returns
    -------
    Drawing or None
        None where feet or body are unknown.
    """
    feet, under = roof.get("feet_m"), roof.get("spreader") or {}
    spreader = under.get("plan_m")
    body = roof.get("body_m") or (roof.get("plan_m") if not spreader else None)
    if not body or not feet:
        return None
    greatest = greatest_a_foot(roof.get("reactions") or (), len(feet))
    known = [value for value in greatest if value is not None]
    what = quantity(max(known, default=None), "kN")
    kind = _KINDS.get(str(under.get("kind")), "spreader")
    carrier = f", on a {kind} of {spreader[0]:g} m by {spreader[1]:g} m (dashed)" if spreader else ""
    if not spreader and under.get("kind") not in (None, "none"):
        carrier = f"; the {kind} under it is not drawn, its size is not known"
    caption = (
        f"Plan of the unit seen from above, front at the bottom, {body[0]:g} m by {body[1]:g} m, to scale{carrier}. "
        f"Beside each foot the greatest load of all cases; the greatest of them is {what}."
    )
    alt = f"Plan with {len(feet)} feet. " + "; ".join(
        f"foot {number}: {quantity(value, 'kN')}" for number, value in enumerate(greatest, 1)
    )

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.01, 0.01, 0.69, 0.98))
        axes.set_aspect("equal")
        axes.set_axis_off()
        _plan(axes, roof, (float(body[0]), float(body[1])), spreader, greatest)
        if spreader:
            depth = max(float(body[1]), (float(body[1]) + spreader[1]) / 2)
            axes.annotate(
                f"{kind}, {spreader[0]:g} m by {spreader[1]:g} m",
                ((float(body[0]) - spreader[0]) / 2, depth),
                (0, 2),
                textcoords="offset points",
                fontsize=7,
                va="bottom",
            )

    return Drawing("roof-plan", caption, alt, draw("roof-plan", 2.9, alt, paint, width=5.6))


def greatest_a_foot(reactions: Sequence[Mapping[str, Any]], feet: int) -> list[float | None]:
    """Greatest reaction of every foot over the cases that give one for each foot. [kN]"""
    rows = [row["forces_kn"] for row in reactions if len(row.get("forces_kn") or ()) == feet]
    return [max((float(row[foot]) for row in rows), default=None) for foot in range(feet)]


def _plan(
    axes: Axes,
    roof: Mapping[str, Any],
    body: tuple[float, float],
    spreader: Sequence[float] | None,
    greatest: Sequence[float | None],
) -> None:
    """Body, spreader, feet with their loads, centres of gravity, dimensions, scale."""
    length, depth = body
    axes.add_patch(Rectangle((0, 0), length, depth, facecolor="#eef2f3", edgecolor=INK, lw=1.0))
    left, lower = 0.0, 0.0
    if spreader:
        left, lower = (length - spreader[0]) / 2, (depth - spreader[1]) / 2
        axes.add_patch(
            Rectangle(
                (left, lower), spreader[0], spreader[1], fill=False, edgecolor=INK, ls=(0, (5, 3)), lw=0.8
            )
        )
    plate = roof.get("foot_plate_m") or (0.08 * depth, 0.08 * depth)
    for number, ((along, back), load) in enumerate(zip(roof["feet_m"], greatest, strict=True), 1):
        axes.add_patch(
            Rectangle(
                (along - plate[0] / 2, back - plate[1] / 2),
                plate[0],
                plate[1],
                facecolor="none",
                edgecolor=LOAD,
                hatch="//////",
                lw=0.8,
            )
        )
        on_left = along < length / 2
        axes.annotate(
            f"{number}: {quantity(load)}",
            (along + (plate[0] if on_left else -plate[0]) * 0.75, back),
            (2 if on_left else -2, 0),
            textcoords="offset points",
            ha="left" if on_left else "right",
            va="center",
            fontsize=7.5,
        )
    for (mark, size), state in zip(_MARKS, roof.get("mass_states") or (), strict=False):
        centre = state.get("centre_of_gravity_m")
        if centre:
            axes.plot(
                [centre[0]],
                [centre[1]],
                mark,
                color=CAPACITY,
                mec=CAPACITY,
                mew=1.2,
                mfc="none",
                ms=size,
                label=state["name"],
                ls="none",
            )
    if axes.get_legend_handles_labels()[0]:
        axes.legend(
            loc="upper left",
            bbox_to_anchor=(1.02, 1.0),
            fontsize=7,
            title="centre of gravity",
            title_fontsize=7,
            alignment="left",
            borderaxespad=0.0,
        )
    axes.text(
        1.02,
        0.55,
        "beside each foot: its number\nand its greatest load, kN",
        fontsize=7,
        transform=axes.transAxes,
    )
    right, bottom, top = max(length, length - left), min(0.0, lower), max(depth, depth - lower)
    unit = max(right - left, top - bottom)
    line, side = bottom - 0.06 * unit, min(0.0, left) - 0.06 * unit
    _dimension(axes, (0, line), (length, line), f"{length:g} m, front")
    _dimension(axes, (side, 0), (side, depth), f"{depth:g} m")
    _scale(axes, 0.0, line - 0.15 * unit)
    axes.set_xlim(side - 0.10 * unit, right + 0.02 * unit)
    axes.set_ylim(line - 0.19 * unit, top + (0.08 if spreader else 0.02) * unit)


def _dimension(axes: Axes, start: tuple[float, float], end: tuple[float, float], text: str) -> None:
    """A dimension line with its length."""
    axes.annotate(
        "",
        end,
        start,
        arrowprops={"arrowstyle": "<->", "lw": 0.7, "color": FAINT, "shrinkA": 0, "shrinkB": 0},
    )
    upright = start[0] == end[0]
    axes.annotate(
        text,
        ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2),
        (-4, 0) if upright else (0, -3),
        textcoords="offset points",
        ha="right" if upright else "center",
        va="center" if upright else "top",
        fontsize=7.5,
        rotation=90 if upright else 0,
    )


def _scale(axes: Axes, left: float, bottom: float) -> None:
    """A bar of half a metre."""
    axes.plot([left, left + 0.5], [bottom, bottom], color=INK, lw=2.4, solid_capstyle="butt")
    axes.annotate("0.5 m", (left + 0.25, bottom), (0, 3), textcoords="offset points", ha="center", fontsize=7)
