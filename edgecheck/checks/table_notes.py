"""Notes on the rating table: hours of the year outside it, and those in which its limit slows the compressor.

In: the heat of a site. Out: notes for its result.
"""

import numpy as np

from edgecheck.base.notes import Note
from edgecheck.checks.readings import full_capacity
from edgecheck.heat.site_heat import SiteHeat


def table_notes(heat: SiteHeat) -> list[Note]:
    """Hours of the year outside the rating table, and in which its limit slows the compressor."""
    curve = heat.year.curve
    edges = (
        ("table-below-columns", curve.below_columns, "the inlet air lies below the first column"),
        ("table-below-rows", curve.below_rows, "the setpoint lies below the first row"),
        ("table-above-rows", curve.above_rows, "the service temperature lies above the last row"),
    )
    found = [
        Note(code, "info", f"In {count} h of the year {text} of the rating table; its edge is used.", count)
        for code, count, text in edges
        if count
    ]
    setpoint = heat.machine.setpoint
    slowed = 0
    if curve.full_capacity is not None:  # else it has one speed
        held = curve.capacity_at(setpoint) < (1.0 - 1e-6) * full_capacity(curve, setpoint)
        slowed = int(np.count_nonzero(held & curve.allowed_at(setpoint)))
    if slowed:
        text = (
            f"In {slowed} h of the year the compressor must slow at full load to hold its condensing limit."
        )
        found.append(Note("compressor-slows", "info", text, slowed))
    beyond = int(np.count_nonzero(curve.beyond))
    if beyond:
        text = f"In {beyond} h of the year the inlet lies past the last column: the capacity is unknown."
        found.append(Note("table-past-columns", "caution", text, beyond))
    return found
