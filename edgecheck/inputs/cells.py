"""What one cell of the site list says.

In goes the text of a cell and its heading, out comes a `Reading`: a value, or why there is none, and a
caution where the value is possible but not usual. Ranges and allowed values come from columns.toml.
"""

import datetime as dt
import difflib
import re
from dataclasses import dataclass
from enum import StrEnum

from edgecheck.inputs.columns import Column, Heading
from edgecheck.inputs.spreadsheet_text import is_empty, is_too_large, number_in


class DoesNotApply(StrEnum):
    """Type of `DOES_NOT_APPLY`."""

    NONE = "none"


DOES_NOT_APPLY = DoesNotApply.NONE
"""What a cell `none` says: the fact does not exist at this site. Not the same as an empty cell, "unknown"."""

Value = float | str | tuple[tuple[float, float], ...] | DoesNotApply

_WITH_UNIT = re.compile(r"([+-]?[0-9.]+)\s*[^\s0-9.,+-].*")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


@dataclass(frozen=True)
class Reading:
    """What a cell says.

    Parameters
    ----------
    value : float, str, tuple, DoesNotApply or None
        Number in the column's unit, text, pairs sorted by azimuth, or None: the cell is empty or wrong.
    fault : str
        What is wrong and what is allowed; empty for a good cell.
    caution : str
        Why the value should be looked at; empty where it is usual.
    """

    value: Value | None = None
    fault: str = ""
    caution: str = ""


EMPTY = Reading()


def read_cell(text: str, heading: Heading) -> Reading:
    """Read one cell.

    Parameters
    ----------
    text : str
        The cell as written.
    heading : Heading
        The known heading above it.

    Returns
    -------
    reading : Reading
        `EMPTY` for a blank cell and for "-", "?", "n/a", "na", "tbd" and "unknown".
    """
    if is_empty(text):
        return EMPTY
    plain = text.strip()
    column = heading.column
    if plain.lower() == "none":
        if column.none_allowed:
            return Reading(DOES_NOT_APPLY)
        if "none" not in column.values and column.kind not in ("text", "file"):
            return Reading(fault=f"none is not possible here: {column.range_text()}, or empty where unknown")
    if column.kind == "number":
        return _number(plain, heading)
    if column.kind == "choice":
        return _choice(plain, column)
    if column.kind == "date":
        return _date(plain)
    if column.kind == "pairs":
        return _pairs(plain)
    return Reading(plain)


def _number(plain: str, heading: Heading) -> Reading:
    column = heading.column
    written = number_in(plain)
    if written is None:
        return Reading(fault=_not_a_number(plain, heading))
    value = heading.si(written)
    shown = f"{value:.4g} {_unit(column)}".rstrip()
    converted = f" ({shown})" if heading.is_twin else ""
    if column.values and value not in column.values:
        return Reading(fault=f"{column.range_text()} is allowed")
    if column.whole and value != int(value):
        return Reading(fault=f"a whole number, {column.range_text()}, is allowed")
    if not column.possible(value):
        asked = likely_unit(written, heading)
        return Reading(
            fault=f"{column.range_text()} is possible{converted}" + (f"; {asked}" if asked else "")
        )
    if column.usual(value):
        return Reading(value)
    usual = f"{column.usual_low:g} to {column.usual_high:g} {_unit(column)}".rstrip()
    asked = likely_unit(written, heading)
    return Reading(value, caution=f"{plain}: {asked or f'{usual} is usual{converted}'}")


def _unit(column: Column) -> str:
    return "" if column.unit in ("share", "factor") else column.unit


def likely_unit(written: float, heading: Heading) -> str:
    """Question after the unit that a number may be in: "psf? that would be 1.92 kPa".

    Parameters
    ----------
    written : float
        Number of the cell, as written.
    heading : Heading
        The heading above it.

    Returns
    -------
    question : str
        Names the first unit, US twins first, in which the number would be usual (or possible, for a column
        without a usual range); empty where there is none.
    """
    column = heading.column
    own = heading.name.removeprefix(f"{column.stem}_")
    units = {**column.twins, **column.mistaken}
    if heading.is_twin:
        units = {column.unit: (1.0, 0.0), **units}
    for unit, (factor, offset) in units.items():
        value = written * factor + offset
        if unit == own or (unit == "percent" and abs(written) < 1.0):
            continue
        if column.possible(value) and column.usual(value):
            return f"{unit}? that would be {_digits(value)} {_unit(column)}".rstrip()
    return ""


def _digits(value: float) -> str:
    """Two decimals for small numbers, fewer for large ones."""
    decimals = 2 if abs(value) < 10.0 else 1 if abs(value) < 100.0 else 0
    return f"{value:.{decimals}f}" if abs(value) >= 0.1 else f"{value:.2g}"


def _not_a_number(plain: str, heading: Heading) -> str:
    unit = heading.name.removeprefix(f"{heading.column.stem}_") if heading.is_twin else _unit(heading.column)
    wanted = f"a number in {unit}" if unit else "a number"
    allowed = f"{wanted} is needed, {heading.column.range_text()}, or empty where unknown"
    if is_too_large(plain):
        return f"{allowed}; the number is too large"
    if plain.lower() in ("nan", "inf", "-inf", "+inf", "infinity"):
        return allowed
    if _WITH_UNIT.fullmatch(plain):
        return f"{allowed}; write the number without its unit"
    if re.fullmatch(r"[+-]?[0-9]+(?:[,' \u00a0][0-9]+)+(?:\.[0-9]+)?", plain):
        return f"{allowed}; write it with a decimal point and without separators"
    return allowed


def _choice(plain: str, column: Column) -> Reading:
    for value in column.values:
        if plain.lower() == str(value).lower():
            return Reading(str(value))
    allowed = f"{column.range_text()} is allowed, or empty where unknown"
    near = difflib.get_close_matches(plain.lower(), [str(v).lower() for v in column.values], n=1, cutoff=0.7)
    return Reading(fault=f"{allowed}; did you mean {near[0]}?" if near else allowed)


def _date(plain: str) -> Reading:
    if _DATE.fullmatch(plain):
        try:
            dt.date.fromisoformat(plain)
        except ValueError:
            return Reading(fault="there is no such day; a date as YYYY-MM-DD is needed")
        return Reading(plain)
    return Reading(fault="a date as YYYY-MM-DD is needed")


def _pairs(plain: str) -> Reading:
    needed = "azimuth:elevation pairs in degrees are needed, such as 90:12 180:4, or none"
    pairs: dict[float, float] = {}
    for part in re.split(r"[\s;]+", plain.strip(" ;")):
        ends = [number_in(end) for end in part.split(":")]
        if len(ends) != 2 or ends[0] is None or ends[1] is None:
            return Reading(fault=f"{part!r}: {needed}")
        azimuth, elevation = ends[0], ends[1]
        if not 0.0 <= azimuth <= 360.0 or not 0.0 <= elevation <= 90.0:
            return Reading(fault=f"{part!r}: azimuth 0 to 360 and elevation 0 to 90 degrees are possible")
        if azimuth in pairs:
            return Reading(fault=f"{part!r}: the azimuth {azimuth:g} is given twice")
        pairs[azimuth] = elevation
    return Reading(tuple(sorted(pairs.items())))
