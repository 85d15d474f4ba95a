"""Numbers as people write them: decimal comma or point, separators of thousands, and what is in doubt.

In go the texts of a column, out comes a `NumberStyle`, by which every text of it is read. "12,5" can only have
a decimal comma and "1,234.5" only a decimal point; "1,234" and "1.234" may be either. Such a text is read by
what the others of its column show, else by the file, and where that leaves a doubt both readings are named.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from edgecheck.inputs.columns import Heading
from edgecheck.inputs.spreadsheet_text import number_in

Mark = Literal[".", ",", ""]
SaidBy = Literal["mapping", "column", "file", "custom"]

_BLANKS = "\u0020\u00a0\u2009\u202f"
_TIDY = re.compile(f"(?<=[0-9])[{_BLANKS}'\u2019](?=[0-9]{{3}}(?![0-9]))")
_WITH_BLANKS = re.compile(f"[+-]?[1-9][0-9]{{0,2}}(?:[{_BLANKS}'\u2019][0-9]{{3}})+(?:[.,][0-9]*)?")
_GROUPED = {
    ",": re.compile(r"[+-]?[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]*)?"),
    ".": re.compile(r"[+-]?[1-9][0-9]{0,2}(?:\.[0-9]{3})+(?:,[0-9]*)?"),
}
_COMMA = re.compile(r"[+-]?(?:[0-9]+,[0-9]*|,[0-9]+)(?:[eE][+-]?[0-9]+)?")


@dataclass(frozen=True)
class NumberStyle:
    """How the numbers of a column are written.

    Parameters
    ----------
    decimal : {".", ",", ""}
        Decimal mark; empty where there is evidence for both.
    said_by : {"mapping", "column", "file", "custom"}
        What says so: the mapping file, other cells of the column, other columns of the file, or nothing but
        the custom of this program, a decimal point.
    """

    decimal: Mark = "."
    said_by: SaidBy = "custom"


CUSTOM = NumberStyle()


class Written(NamedTuple):
    """A number as read from a text.

    Parameters
    ----------
    number : float, optional
        In the unit of the cell; None where the text is no number or stays in doubt.
    doubt : str
        Both readings, where the text may mean either; empty where it is clear.
    """

    number: float | None = None
    doubt: str = ""


def both_readings(text: str) -> tuple[float | None, float | None]:
    """Read a text with a decimal point, and with a decimal comma.

    Parameters
    ----------
    text : str
        Blanks around it are ignored. Groups of three digits may be separated by blanks, apostrophes or the
        mark that is not the decimal one; no group begins with a zero.

    Returns
    -------
    point, comma : float or None
        None where the text is no number of that kind.
    """
    plain = text.strip().replace("\u2212", "-")
    if _WITH_BLANKS.fullmatch(plain):
        plain = _TIDY.sub("", plain)
    point = number_in(plain)
    comma = point if point is not None and "." not in plain else None
    if _COMMA.fullmatch(plain):
        comma = number_in(plain.replace(",", "."))
    if point is None and _GROUPED[","].fullmatch(plain):
        point = number_in(plain.replace(",", ""))
    if comma is None and _GROUPED["."].fullmatch(plain):
        comma = number_in(plain.replace(".", "").replace(",", "."))
    return point, comma


def marks_in(texts: Iterable[str], stop_at: int = 2) -> frozenset[str]:
    """Decimal marks that texts cannot do without: a point in "12.5" and "1,234.5", a comma in "12,5".

    Parameters
    ----------
    texts : iterable of str
        Cells.
    stop_at : int
        Looking ends when so many different marks are found.
    """
    found: set[str] = set()
    for text in texts:
        point, comma = both_readings(text)
        if (point is None) != (comma is None):
            found.add("." if comma is None else ",")
            if len(found) >= stop_at:
                break
    return frozenset(found)


def number_styles(columns: Mapping[str, Iterable[str]], told: Mapping[str, Mark]) -> dict[str, NumberStyle]:
    """Decide the style of every column of numbers.

    Parameters
    ----------
    columns : mapping of str to iterable of str
        Heading -> its different texts. Numbers that a workbook keeps as numbers are no texts.
    told : mapping
        Heading -> decimal mark, where a mapping file says so.

    Returns
    -------
    styles : dict
        Heading -> style, for every heading of `columns`.
    """
    texts = {name: list(found) for name, found in columns.items()}
    suspects = {name for name, found in texts.items() if any(map(_may_be_comma, found))}
    if not suspects:
        return {name: _told(told, name) or CUSTOM for name in texts}
    marks = {name: marks_in(found, stop_at=2 if name in suspects else 1) for name, found in texts.items()}
    in_file = frozenset[str]().union(*marks.values())
    by_file = NumberStyle(_mark(in_file), "file") if in_file else CUSTOM
    return {
        name: _told(told, name) or (NumberStyle(_mark(found), "column") if found else by_file)
        for name, found in marks.items()
    }


def _may_be_comma(text: str) -> bool:
    return "," in text or text.count(".") > 1


def _told(told: Mapping[str, Mark], name: str) -> NumberStyle | None:
    return NumberStyle(told[name], "mapping") if name in told else None


def _mark(marks: frozenset[str]) -> Mark:
    if marks == {","}:
        return ","
    return "." if marks == {"."} else ""


def thousands_in(texts: Iterable[str], style: NumberStyle) -> list[str]:
    """Texts such as "1,234" that count as thousands because the other numbers of their column say so."""
    other = "," if style.decimal == "." else "."
    found = [text for text in texts if other in text and style.decimal] if style.said_by == "column" else []
    return [text for text in found if None not in both_readings(text)]


def number_written(text: str, heading: Heading, style: NumberStyle) -> Written:
    """Read a number under a heading.

    Parameters
    ----------
    text : str
        The cell.
    heading : Heading
        Its ranges decide where the style leaves a doubt.
    style : NumberStyle
        Of the column.

    Returns
    -------
    written : Written
    """
    if style.decimal == "." and "," not in text:
        number = number_in(text)
        if number is not None:
            return Written(number)
    point, comma = both_readings(text)
    if point is None or comma is None or point == comma:
        return Written(comma if point is None else point)
    by_style = {".": point, ",": comma}.get(style.decimal)
    if style.said_by == "mapping":
        return Written(by_style)
    possible = [number for number in (point, comma) if heading.column.possible(heading.si(number))]
    if style.said_by == "column" and by_style in possible:
        return Written(by_style)
    if len(possible) < 2:
        return Written(possible[0] if possible else point)
    usual = [number for number in possible if heading.column.usual(heading.si(number))]
    named = f"{text.strip()} may be {_shown(point)} or {_shown(comma)}"
    if len(usual) == 1:
        return Written(usual[0], f"{named}; read as {_shown(usual[0])}, which is usual")
    if style.said_by == "file" and by_style is not None:
        mark = "a decimal comma" if style.decimal == "," else "a decimal point"
        return Written(by_style, f"{named}; read as {_shown(by_style)}, as the rest of the file has {mark}")
    return Written(None, f"{named}; write it without a separator of thousands")


def thousands_doubt(text: str, number: float, heading: Heading, style: NumberStyle) -> str:
    """Doubt about a number that is not usual: "1.234" where 1234 would be usual.

    Parameters
    ----------
    text : str
        The cell.
    number : float
        As read.
    heading : Heading
        Its ranges decide.
    style : NumberStyle
        Of the column.

    Returns
    -------
    doubt : str
        Empty where the other reading would not be usual either, or a mapping file says what is meant.
    """
    column = heading.column
    if "." not in text or style.said_by == "mapping" or column.usual_low is None:
        return ""
    other = both_readings(text)[1]
    if other is None or other == number or not column.usual(heading.si(other)):
        return ""
    return f"read as {_shown(number)}; with the point as a separator of thousands it would be {_shown(other)}"


def _shown(number: float) -> str:
    return f"{number:.10g}"


def text_in_style(number: float, style: NumberStyle) -> str:
    """Write a number so that the style reads it back without a doubt.

    Parameters
    ----------
    number : float
        In the unit of the column's cells.
    style : NumberStyle
        Of the column; a decimal comma is used where the column or file has it.

    Returns
    -------
    text : str
        Ten significant digits at most; never exactly three decimals, which could be taken for thousands.
    """
    text = f"{number:.10g}"
    if "e" not in text and re.fullmatch(r"[+-]?[0-9]+\.[0-9]{3}", text):
        text += "0"
    return text.replace(".", ",") if style.decimal == "," else text
