"""Largest load, load by load, as a table."""

from collections.abc import Sequence

from edgecheck.heat.largest_load import AtLoad
from edgecheck.outputs.number_text import count, degrees, percent, quantity

HEADINGS = (
    "servers' load",
    "hours short",
    "least headroom share",
    "liquid peak in the hot spell",
    "hot spell",
    "least liquid in the cold spell",
    "cold spell",
)


def load_rows(points: Sequence[AtLoad], own: float, largest: float | None) -> tuple[tuple[str, ...], ...]:
    """One row a load; the site's load and the largest are named."""
    return tuple(
        (
            quantity(point.load, "kW", factor=1000.0) + _name(point.load, own, largest),
            count(point.hours_short, "h"),
            percent(point.least_share),
            degrees(point.hot_peak),
            "holds" if point.hot_holds else "fails",
            degrees(point.cold_lowest),
            "holds" if point.cold_holds else "fails",
        )
        for point in points
    )


def _name(load: float, own: float, largest: float | None) -> str:
    names = [
        name
        for value, name in ((own, "the site's"), (largest, "largest at the margins"))
        if value is not None and abs(load - value) < 1.0
    ]
    return f" ({', '.join(names)})" if names else ""
