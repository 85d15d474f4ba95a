"""What a reader should know about the numbers of a list: decimal commas, both marks, separators of thousands."""

from collections.abc import Mapping

import pandas as pd

from edgecheck.base.notes import Note
from edgecheck.inputs.written_numbers import NumberStyle, both_readings, thousands_in

_MIXED = NumberStyle("", "column")


def number_notes(file: str, cells: pd.DataFrame, styles: Mapping[str, NumberStyle]) -> list[Note]:
    """Notes about the columns of numbers.

    Parameters
    ----------
    file : str
        Name of the list.
    cells : pandas.DataFrame, shape (rows, columns)
        Cells as text.
    styles : mapping
        Heading -> how its numbers are written.

    Returns
    -------
    notes : list of Note
        Empty for a list with decimal points only.
    """
    notes = []
    commas = [name for name, style in styles.items() if style == NumberStyle(",", "column")]
    if commas:
        text = f"{file}: decimal commas in {', '.join(commas)}"
        notes.append(Note("list-decimal-comma", "info", text, len(commas)))
    mixed = [name for name, style in styles.items() if style == _MIXED]
    if mixed:
        text = f"{file}: decimal commas and decimal points in {', '.join(mixed)}"
        notes.append(Note("list-mixed-decimals", "caution", text, len(mixed)))
    for name, style in styles.items():
        found = thousands_in(cells[name].unique().tolist(), style) if style.said_by == "column" else []
        if found:
            point, comma = both_readings(found[0])
            value = point if style.decimal == "." else comma
            count = int(cells[name].isin(found).sum())
            text = f"{file}: separators of thousands in {name}, such as {found[0].strip()!r} read as {value:.10g}"
            notes.append(Note("list-thousands", "info", text, count))
    return notes
