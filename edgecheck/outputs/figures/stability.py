"""The governing wind case of the loose unit on its plan and from the side, to scale, with its design forces."""

from collections.abc import Mapping, Sequence
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from edgecheck.outputs.figures.canvas import AIR, CAPACITY, FAINT, INK, LOAD, PAPER, Drawing, draw
from edgecheck.outputs.number_text import quantity

# text stays readable where it crosses a line
_BEHIND: dict[str, Any] = {"facecolor": PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 0.6}
_ARROW = 0.45  # of the unit's height


def governing_case(detail: Mapping[str, Any]) -> Drawing | None:
    """Plan and side view of the governing case.

    Parameters
    ----------
    detail : mapping
        `stability` with `governing` and `state`, `roof` with `feet_m`.

    Returns
    -------
    Drawing or None
        None where the wind or the feet are unknown.
    """
    found, roof = detail.get("stability") or {}, detail.get("roof") or {}
    case, state, feet = found.get("governing"), found.get("state"), roof.get("feet_m")
    if not case or not state or not feet:
        return None
    forces = (
        f"wind {quantity(case['force_kn'], 'kN')} at {case['height_m']:.2f} m, uplift "
        f"{quantity(case['uplift_kn'], 'kN')}, weight {quantity(case['weight_kn'], 'kN')}"
    )
    caption = (
        f"Governing case of the loose unit: {case['text']}. Plan with the front at the bottom, and view across the "
        f"wind, to scale; arrows not to scale. With the factors of the combination: {forces}."
    )
    alt = f"{case['text']}: {forces}."

    def paint(figure: Figure) -> None:
        plan = figure.add_axes((0.01, 0.02, 0.47, 0.94))
        side = figure.add_axes((0.52, 0.02, 0.47, 0.94))
        for axes in (plan, side):
            axes.set_aspect("equal")
            axes.set_axis_off()
        _plan(plan, feet, state, case)
        _side(side, feet, state, case)

    return Drawing("stability", caption, alt, draw("stability", 2.6, alt, paint, width=6.4))


def _plan(
    axes: Axes,
    feet: Sequence[Sequence[float]],
    state: Mapping[str, Any],
    case: Mapping[str, Any],
) -> None:
    """Body, edges of the base with the lee one marked, centre of gravity, wind."""
    middle = state["middle_m"]
    sizes = [(along, back) for along, back, _, _ in state["blocks_m"]]
    for along, back in sizes:
        corner = (middle[0] - along / 2.0, middle[1] - back / 2.0)
        axes.add_patch(Rectangle(corner, along, back, facecolor="#eef2f3", edgecolor=INK, lw=1.0))
    axes.plot([foot[0] for foot in feet], [foot[1] for foot in feet], "s", color=INK, ms=4, mfc="none")
    toward = case["direction"]
    points = [point for edge in state["edges_m"] for point in edge]
    reach = max(point[0] * toward[0] + point[1] * toward[1] for point in points)
    for start, end in state["edges_m"]:
        lee = all(abs(p[0] * toward[0] + p[1] * toward[1] - reach) < 1e-9 for p in (start, end))
        axes.plot(
            [start[0], end[0]], [start[1], end[1]], color=LOAD if lee else FAINT, lw=2.4 if lee else 0.8
        )
    centre = state["centre_of_gravity_m"]
    axes.plot([centre[0]], [centre[1]], "o", color=CAPACITY, mfc="none", ms=7)
    axes.annotate(
        "centre of gravity", centre[:2], (6, 4), textcoords="offset points", fontsize=7, bbox=_BEHIND
    )
    size = _ARROW * max(top for *_, top in state["blocks_m"])
    outer = [max(one[axis] for one in sizes) for axis in (0, 1)]
    half = (outer[0] if toward[0] else outer[1]) / 2.0
    tip = (middle[0] - toward[0] * half, middle[1] - toward[1] * half)
    tail = (tip[0] - toward[0] * size, tip[1] - toward[1] * size)
    _arrow(axes, tail, tip, f"wind {quantity(case['force_kn'], 'kN')}", AIR)
    low = [min(middle[axis] - outer[axis] / 2.0, tail[axis]) for axis in (0, 1)]
    high = [max(middle[axis] + outer[axis] / 2.0, tail[axis]) for axis in (0, 1)]
    axes.set_xlim(low[0] - 0.25, high[0] + 0.25)
    axes.set_ylim(low[1] - 0.15, high[1] + 0.15)


def _side(
    axes: Axes,
    feet: Sequence[Sequence[float]],
    state: Mapping[str, Any],
    case: Mapping[str, Any],
) -> None:
    """Seen across the wind, which comes from the left: force, weight, uplift, the edge it turns about."""
    toward = case["direction"]
    axis = 0 if toward[0] else 1
    sign = toward[axis]

    middle = state["middle_m"][axis]

    def along(value: float) -> float:
        return sign * (value - middle)

    points = [along(point[axis]) for edge in state["edges_m"] for point in edge]
    body = max(state["blocks_m"], key=lambda block: block[3])
    for block in state["blocks_m"]:
        corner = (-block[axis] / 2.0, block[2])
        axes.add_patch(
            Rectangle(corner, block[axis], block[3] - block[2], facecolor="#eef2f3", edgecolor=INK, lw=1.0)
        )
    under = max((block[3] for block in state["blocks_m"] if block is not body), default=0.0)
    for place in sorted({along(foot[axis]) for foot in feet}):
        axes.plot([place, place], [under, body[2]], color=INK, lw=3.0, solid_capstyle="butt")
    width, top = max(block[axis] for block in state["blocks_m"]) / 2.0, body[3]
    left, right = min(points), max(points)
    axes.plot([min(left, -width) - 0.1, max(right, width) + 0.1], [0.0, 0.0], color=INK, lw=1.2)
    axes.plot([right], [0.0], "^", color=LOAD, ms=8)
    size, level, face = _ARROW * top, case["height_m"], -body[axis] / 2.0
    wind = f"wind {quantity(case['force_kn'], 'kN')}"
    _arrow(axes, (face - size, level), (face, level), "", AIR)
    axes.annotate(
        wind, (face, level), (-6, 5), textcoords="offset points", ha="right", fontsize=7.5, color=AIR
    )
    centre = state["centre_of_gravity_m"]
    at = along(centre[axis])
    weight = f"weight {quantity(case['weight_kn'], 'kN')}"
    _arrow(axes, (at, centre[2]), (at, centre[2] - 0.9 * centre[2]), weight, CAPACITY)
    if case["uplift_kn"]:
        _arrow(axes, (0.0, top), (0.0, top + 0.6 * size), f"uplift {quantity(case['uplift_kn'], 'kN')}", LOAD)
    axes.set_xlim(min(left, -width, face - size) - 0.3, max(right, width) + 0.3)
    axes.set_ylim(-0.12, top + 0.6 * size + 0.2)


def _arrow(axes: Axes, tail: tuple[float, float], tip: tuple[float, float], text: str, colour: str) -> None:
    """An arrow with its text beside its tail."""
    axes.annotate("", tip, tail, arrowprops={"arrowstyle": "-|>", "lw": 1.6, "color": colour})
    axes.annotate(text, tail, (4, 5), textcoords="offset points", fontsize=7.5, color=colour, bbox=_BEHIND)
