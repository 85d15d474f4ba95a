"""From a matplotlib figure to a piece of SVG that can stand in a page.

What goes in: a drawing function and its figure. What comes out: SVG without prolog, metadata or foreign names,
whose ids start with the figure's key, so that several figures can share a page; the same bytes every time. Text
stays text. Figures hold no text that a user wrote: names of sites and units belong to the page.
"""

import io
import re
import threading
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import matplotlib as mpl
from markupsafe import Markup
from matplotlib.figure import Figure

INK = "#1f2a30"
FAINT = "#8a949a"
PAPER = "#ffffff"
LOAD = "#8c2d04"
CAPACITY = "#1d5a73"
LIQUID = "#1d5a73"
AIR = "#a06a12"
LIMIT = "#5c2350"
SHORTFALL = "#e6cfc4"
WIDTH = 6.9

_SETTINGS: dict[Any, Any] = {
    "axes.edgecolor": FAINT,
    "axes.labelcolor": INK,
    "axes.labelsize": 8.0,
    "axes.linewidth": 0.6,
    "axes.spines.right": False,
    "axes.spines.top": False,
    "axes.titlesize": 8.0,
    "figure.facecolor": "none",
    "axes.facecolor": "none",
    "font.family": ["DejaVu Sans"],
    "font.size": 8.0,
    "hatch.color": INK,
    "hatch.linewidth": 0.5,
    "image.composite_image": False,
    "legend.frameon": False,
    "lines.linewidth": 1.2,
    "svg.fonttype": "none",
    "svg.image_inline": True,
    "text.color": INK,
    "xtick.color": INK,
    "xtick.labelsize": 7.5,
    "xtick.major.width": 0.6,
    "ytick.color": INK,
    "ytick.labelsize": 7.5,
    "ytick.major.width": 0.6,
}
# matplotlib keeps its settings for the whole process; one drawing at a time keeps threads apart.
_ONE_AT_A_TIME = threading.Lock()
_FONTS = "'DejaVu Sans', Verdana, sans-serif"


@dataclass(frozen=True)
class Drawing:
    """A figure ready for a page.

    Parameters
    ----------
    key : str
        Start of every id in it.
    caption : str
        What is seen, with the number that matters and its unit.
    alt : str
        The same for readers who cannot see it.
    svg : Markup
        The drawing.
    """

    key: str
    caption: str
    alt: str
    svg: Markup


def draw(
    key: str, height: float, alt: str, paint: Callable[[Figure], None], *, width: float = WIDTH
) -> Markup:
    """Draw a figure and return its SVG.

    Parameters
    ----------
    key : str
        Start of every id, letters and hyphens.
    height, width : float
        Size on paper. [inch]
    alt : str
        Text for readers who cannot see it.
    paint : callable
        Puts axes and artists on the empty figure.

    Returns
    -------
    Markup
        One `svg` element.
    """
    with _ONE_AT_A_TIME, mpl.rc_context({**_plain_settings(), **_SETTINGS, "svg.hashsalt": key}):
        figure = Figure(figsize=(width, height))
        paint(figure)
        out = io.StringIO()
        figure.savefig(
            out, format="svg", metadata={"Date": None, "Creator": None, "Format": None, "Type": None}
        )
    return _inline(out.getvalue(), key, alt)


@cache
def _plain_settings() -> dict[Any, Any]:
    """Collect matplotlib's own settings, so that a user's settings file does not change a page."""
    own = mpl.rcParamsDefault
    return {
        name: own[name]
        for name in own
        if name.split(".")[0]
        in ("axes", "figure", "font", "grid", "hatch", "image", "legend", "lines", "mathtext")
        or name.split(".")[0] in ("patch", "path", "savefig", "svg", "text", "xtick", "ytick")
    }


def _inline(text: str, key: str, alt: str) -> Markup:
    """Cut the drawing out of its file and make its ids the figure's own."""
    body = text[text.index("<svg") :]
    body = re.sub(r"\s*<metadata>.*?</metadata>", "", body, flags=re.DOTALL)
    body = re.sub(r"\s*<defs>\s*<style[^>]*>.*?</style>\s*</defs>", "", body, flags=re.DOTALL)
    body = re.sub(r"<!--.*?-->\s*", "", body, flags=re.DOTALL)
    body = re.sub(r'\sid="', f' id="{key}-', body)
    body = body.replace("url(#", f"url(#{key}-").replace('xlink:href="', 'href="')
    body = body.replace('href="#', f'href="#{key}-').replace("'DejaVu Sans'", _FONTS)
    head = re.search(r'viewBox="([^"]+)"', body)
    if head is None:
        raise ValueError(f"figure {key}: no viewBox in the drawing")
    start = body.index(">") + 1
    opening = (
        f'<svg class="drawing" role="img" viewBox="{head.group(1)}" aria-label="'
        f'{Markup.escape(alt)}" focusable="false">'
    )
    return Markup(opening + body[start:].strip())
