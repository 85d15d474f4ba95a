"""Whether the cells of a column look like what one of our columns holds, and in which unit.

In go cells and a column of ours, out comes a `Look`: how well they fit, and in words why.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from edgecheck.inputs.cells import read_cell
from edgecheck.inputs.columns import Column, Heading, columns
from edgecheck.inputs.coordinates import AXES, coordinate_in
from edgecheck.inputs.dates import date_in
from edgecheck.inputs.spreadsheet_text import is_empty
from edgecheck.inputs.written_numbers import both_readings, number_styles, number_written

_SAMPLE = 300
_MOST = 0.9
_MANY = 0.5
_UNKNOWN = 0.95
_POOR = 0.35
_ODD = 0.7


@dataclass(frozen=True)
class Look:
    """How cells fit a column.

    Parameters
    ----------
    fit : float
        From 0, they cannot be meant, to 1.
    unit : str
        Unit in which the numbers fit; empty for text.
    why : str
        In words.
    """

    fit: float
    unit: str
    why: str


def sample(cells: Sequence[str]) -> list[str]:
    """Cells that say something, some hundred of them from the whole length of the list."""
    filled = [text for text in cells if not is_empty(text)]
    return filled[:: max(1, len(filled) // _SAMPLE)][:_SAMPLE]


def look(cells: Sequence[str], column: Column, unit: str | None) -> Look:
    """Hold cells against a column.

    Parameters
    ----------
    cells : sequence of str
        A sample; see `sample`.
    column : Column
        One of ours.
    unit : str or None
        Unit that the heading names, as columns.toml names it; None where it names none.

    Returns
    -------
    look : Look
    """
    if not cells:
        return Look(_UNKNOWN, unit or column.unit, "no cell is filled")
    if column.kind == "number":
        return _numbers(cells, column, unit)
    if column.kind == "choice":
        heading = Heading(column.name, column)
        good = sum(read_cell(text, heading).value is not None for text in cells)
        return _words(good, len(cells), f"are among {column.range_text()}")
    if column.kind == "date":
        return _words(sum(date_in(text)[0] is not None for text in cells), len(cells), "are dates")
    if column.kind == "file":
        return _words(
            sum("." in text and " " not in text.strip() for text in cells), len(cells), "name a file"
        )
    if column.name == "site_id":
        return _words(len(set(cells)), len(cells), "differ from each other")
    letters = sum(any(letter.isalpha() for letter in text) for text in cells)
    return _words(letters, len(cells), "are words")


def _words(good: int, count: int, what: str) -> Look:
    share = good / count
    fit = 1.0 if share >= _MOST else _ODD if share >= _MANY else _POOR * share
    return Look(fit, "", f"{good} of {count} cells looked at {what}")


def _numbers(cells: Sequence[str], column: Column, unit: str | None) -> Look:
    heading = Heading(column.name, column, unit=column.unit)
    style = number_styles({column.name: set(cells)}, {})[column.name]
    numbers = [number_written(text, heading, style).number for text in cells]
    if column.name in AXES:
        numbers = [
            coordinate_in(text, column.name).degrees if number is None else number
            for text, number in zip(cells, numbers, strict=True)
        ]
    found = [number for number in numbers if number is not None]
    if len(found) < _MANY * len(cells):
        return Look(_POOR * len(found) / len(cells), "", f"{len(found)} of {len(cells)} cells are numbers")
    scales = column.scales() or {"": (1.0, 0.0)}
    tried = [unit] if unit is not None else list(scales)
    fits = {name: _share_usual(found, column, scales[name]) for name in tried}
    best = max(tried, key=lambda name: (fits[name] >= _MOST, name == tried[0], fits[name]))
    within = "possible" if column.usual_low is None else "usual"
    in_unit = f" in {best}" if best and best not in ("share", "factor") else ""
    why = f"{fits[best]:.0%} of the numbers looked at are {within}{in_unit}"
    if best != tried[0]:
        why += f", {fits[tried[0]]:.0%} in {tried[0]}"
    fit = 1.0 if fits[best] >= _MOST else _ODD if fits[best] >= _MANY else _POOR
    return Look(fit if best == tried[0] else fit * _ODD, best, why)


def _share_usual(numbers: Sequence[float], column: Column, scale: tuple[float, float]) -> float:
    factor, offset = scale
    values = [number * factor + offset for number in numbers]
    good = sum(
        column.possible(value) and column.usual(value) and (not column.values or value in column.values)
        for value in values
    )
    return good / len(values)


def columns_by_look(cells: Sequence[str]) -> Mapping[str, str]:
    """Columns of ours that cells can be known for without their heading.

    Parameters
    ----------
    cells : sequence of str
        A sample.

    Returns
    -------
    found : mapping
        Column -> why; for coordinates with a letter, and for words that only one column knows.
    """
    if not cells:
        return {}
    found = {}
    for name in AXES:
        other = next(axis for axis in AXES if axis != name)
        good = [coordinate_in(text, name) for text in cells if both_readings(text) == (None, None)]
        wrong = [coordinate_in(text, other) for text in cells]
        read = all(each.degrees is not None and not each.fault for each in good)
        if read and len(good) >= _MOST * len(cells) and any(each.fault for each in wrong):
            found[name] = "the cells are degrees with a letter for the hemisphere"
    words = Counter(text.strip().lower() for text in cells)
    if len(words) >= 2:
        fits = [
            name
            for name, column in columns().items()
            if column.kind == "choice" and set(words) <= {str(value).lower() for value in column.values}
        ]
        if len(fits) == 1:
            found[fits[0]] = f"all cells looked at are among {columns()[fits[0]].range_text()}"
    return found
