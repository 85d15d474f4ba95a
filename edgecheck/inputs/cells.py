"""What one cell of the site list says.

In goes the text of a cell and its heading, out comes a `Reading`: a value, or why there is none, and a
caution where the value is possible but not usual. Ranges and allowed values come from columns.toml.
"""

import difflib
import re
from enum import StrEnum
from typing import NamedTuple

from edgecheck.inputs.columns import Column, Heading
from edgecheck.inputs.coordinates import AXES, coordinate_in
from edgecheck.inputs.dates import date_in
from edgecheck.inputs.spreadsheet_text import is_empty, is_too_large, number_in
from edgecheck.inputs.written_numbers import CUSTOM, NumberStyle, number_written, thousands_doubt


class DoesNotApply(StrEnum):
    """Type of `DOES_NOT_APPLY`."""

    NONE = "none"


DOES_NOT_APPLY = DoesNotApply.NONE
"""What a cell `none` says: the fact does not exist at this site. Not the same as an empty cell, "unknown"."""

Value = float | str | tuple[tuple[float, float], ...] | DoesNotApply

_WITH_UNIT = re.compile(r"([+-]?[0-9.]+)\s*([^\s0-9.,+-].*)")
_ERRORS = frozenset(("#null!", "#div/0!", "#value!", "#ref!", "#name?", "#num!", "#spill!", "#calc!"))
_ANSWERS = {"true": "yes", "false": "no", "y": "yes", "n": "no"}


class Reading(NamedTuple):
    """What a cell says.

    Parameters
    ----------
    value : float, str, tuple, DoesNotApply or None
        Number in the column's unit, text, pairs sorted by azimuth, or None: the cell is empty or wrong.
    fault : str
        What is wrong and what is allowed; empty for a good cell.
    caution : str
        Why the value should be looked at; empty where it is usual.
    likely_unit : str
        Unit in which the number would be usual; empty where it is usual as it stands, or in none.
    number : float, optional
        The number of a cell with a fault, where it has one [unit of the column].
    """

    value: Value | None = None
    fault: str = ""
    caution: str = ""
    likely_unit: str = ""
    number: float | None = None


EMPTY = Reading()


def read_cell(text: str | float, heading: Heading, style: NumberStyle = CUSTOM) -> Reading:
    """Read one cell.

    Parameters
    ----------
    text : str or float
        The cell as written; a number where a workbook keeps one.
    heading : Heading
        The known heading above it.
    style : NumberStyle
        How the numbers of the column are written.

    Returns
    -------
    reading : Reading
        `EMPTY` for a blank cell and for "-", "?", "n/a", "na", "tbd" and "unknown".
    """
    column = heading.column
    if not isinstance(text, str):
        if column.kind == "number":
            return _judged(float(text), None, heading, None)
        text = f"{text:.15g}"
    if is_empty(text):
        return EMPTY
    plain = text.strip()
    if plain.lower() in _ERRORS and column.kind != "text":
        return Reading(fault="the sheet shows an error here; mend its formula, or leave the cell empty")
    if plain.lower() == "none":
        if column.none_allowed:
            return Reading(DOES_NOT_APPLY)
        if "none" not in column.values and column.kind not in ("text", "file"):
            return Reading(fault=f"none is not possible here: {column.range_text()}, or empty where unknown")
    if column.kind == "number":
        return _number(plain, heading, style)
    if column.kind == "choice":
        return _choice(plain, column)
    if column.kind == "date":
        date, fault = date_in(plain)
        return Reading(date, fault)
    if column.kind == "pairs":
        return _pairs(plain)
    return Reading(plain)


def _number(plain: str, heading: Heading, style: NumberStyle) -> Reading:
    number, doubt = number_written(plain, heading, style)
    if number is not None:
        return _judged(number, plain, heading, style, doubt)
    if doubt:
        return Reading(fault=doubt)
    if heading.column.name in AXES:
        found = coordinate_in(plain, heading.column.name)
        if found.fault:
            return Reading(fault=found.fault, number=found.degrees)
        if found.degrees is not None:
            return _judged(found.degrees, plain, heading, style)
    return Reading(fault=_not_a_number(plain, heading))


def _judged(
    written: float, text: str | None, heading: Heading, style: NumberStyle | None, doubt: str = ""
) -> Reading:
    """Hold a number against the ranges of its column; a workbook's number has no text and no style."""
    column = heading.column
    value = heading.si(written)
    if column.expected is not None and column.expected[0] <= value <= column.expected[1]:
        return Reading(value, "", doubt)
    plain = f"{written:.10g}" if text is None else text
    possible = column.possible(value)
    if column.values and value not in column.values:
        return Reading(fault=f"{column.range_text()} is allowed")
    if column.whole and value != int(value):
        return Reading(fault=f"a whole number, {column.range_text()}, is allowed")
    if possible and column.usual(value):
        return Reading(value, caution=doubt)
    shown = f"{value:.4g} {_unit(column)}".rstrip()
    converted = f" ({shown})" if heading.is_converted else ""
    unit = likely_unit(written, heading)
    asked = unit and _question(written, heading, unit)
    if style is not None and not doubt:
        doubt = thousands_doubt(plain, written, heading, style)
    if not possible:
        hints = "; ".join(hint for hint in (asked, doubt) if hint)
        fault = f"{column.range_text()} is possible{converted}" + (f"; {hints}" if hints else "")
        return Reading(fault=fault, likely_unit=unit, number=value)
    usual = f"{column.usual_low:g} to {column.usual_high:g} {_unit(column)}".rstrip()
    caution = f"{plain}: {asked or f'{usual} is usual{converted}'}"
    return Reading(value, caution=f"{caution}; {doubt}" if doubt else caution, likely_unit=unit)


def _unit(column: Column) -> str:
    return "" if column.unit in ("share", "factor") else column.unit


def likely_unit(written: float, heading: Heading) -> str:
    """Find the unit that a number may be in.

    Parameters
    ----------
    written : float
        Number of the cell, as written.
    heading : Heading
        The heading above it.

    Returns
    -------
    unit : str
        The first unit, US twins first, in which the number would be usual (or possible, for a column without
        a usual range); empty where there is none.
    """
    column = heading.column
    units = {**column.twins, **column.mistaken}
    if heading.is_converted:
        units = {column.unit: (1.0, 0.0), **units}
    for unit, (factor, offset) in units.items():
        value = written * factor + offset
        if unit == heading.unit or (unit == "percent" and abs(written) < 1.0):
            continue
        if column.possible(value) and column.usual(value):
            return unit
    return ""


def _question(written: float, heading: Heading, unit: str) -> str:
    """Ask "psf? that would be 1.92 kPa"."""
    factor, offset = heading.column.scales()[unit]
    return f"{unit}? that would be {_digits(written * factor + offset)} {_unit(heading.column)}".rstrip()


def _digits(value: float) -> str:
    """Two decimals for small numbers, fewer for large ones."""
    decimals = 2 if abs(value) < 10.0 else 1 if abs(value) < 100.0 else 0
    return f"{value:.{decimals}f}" if abs(value) >= 0.1 else f"{value:.2g}"


def _not_a_number(plain: str, heading: Heading) -> str:
    column = heading.column
    unit = heading.unit if heading.is_converted else _unit(column)
    wanted = f"a number in {unit}" if unit else "a number"
    allowed = f"{wanted} is needed, {column.range_text()}, or empty where unknown"
    if is_too_large(plain):
        return f"{allowed}; the number is too large"
    if plain.lower() in ("nan", "inf", "-inf", "+inf", "infinity"):
        return allowed
    if found := _WITH_UNIT.fullmatch(plain):
        hint = f"{allowed}; write the number without its unit"
        number, named = number_in(found.group(1)), found.group(2).strip().lower()
        for known in column.scales():
            if number is not None and named == known.lower() != unit.lower():
                factor, offset = column.scales()[known]
                value = _digits(heading.in_cell(number * factor + offset))
                return f"{hint}, in {unit}: {value}"
        return hint
    day = re.fullmatch(r"([0-9]{4})-([0-9]{2})-([0-9]{2})( [0-9:]+)?", plain)
    if day:
        month, of_month = int(day.group(2)), int(day.group(3))
        return f"{allowed}; a sheet makes a date of {of_month}.{month} or {month}.{of_month}: was that meant?"
    if re.fullmatch(r"[+-]?[0-9]+(?:[,' \u00a0][0-9]+)+(?:\.[0-9]+)?", plain):
        return f"{allowed}; write it with a decimal point and without separators"
    return allowed


def _choice(plain: str, column: Column) -> Reading:
    word = plain.lower()
    if set(column.values) == {"yes", "no"}:
        word = _ANSWERS.get(word, word)
    for value in column.values:
        if word == str(value).lower():
            return Reading(str(value))
    allowed = f"{column.range_text()} is allowed, or empty where unknown"
    near = difflib.get_close_matches(word, [str(v).lower() for v in column.values], n=1, cutoff=0.7)
    return Reading(fault=f"{allowed}; did you mean {near[0]}?" if near else allowed)


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
