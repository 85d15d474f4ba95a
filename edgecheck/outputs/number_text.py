"""Numbers as text: three significant figures with a unit for people, plain decimals for programs.

In go floats that may be unknown (None or not a number); out comes text. An unknown is written "not known" on
pages and left empty in tables, and is never shown as zero.
"""

import math
import re
from typing import Any

import numpy as np

UNKNOWN = "not known"
MINUS = "\u2212"
NARROW_SPACE = "\u202f"
UNIT_WORDS = {
    "degC": "°C",
    "m2": "m²",
    "W/m2": "W/m²",
    "kg/m2": "kg/m²",
    "dBA": "dB(A)",
    "share": "",
}
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WRITTEN = {"degC": "°C", "kg/m2": "kg/m²", "kg/m3": "kg/m³", "kN/m3": "kN/m³", "W/m2": "W/m²", "m2": "m²"}
_UNIT = re.compile(rf"(?<![\w/])({'|'.join(re.escape(unit) for unit in _WRITTEN)})(?!\w)")
_NEGATIVE = re.compile(r"(?<![\w.)-])-(?=\d)")
_TIME = re.compile(r"\d{4}-(\d{2})-(\d{2})[ T](\d{2}):(\d{2})")


def is_known(value: Any) -> bool:
    """Whether a value is there and is a number (infinity counts, not-a-number does not)."""
    return value is not None and not (isinstance(value, float | np.floating) and math.isnan(value))


def significant(value: float, figures: int = 3) -> str:
    """Plain decimal text with so many significant figures, true minus sign, digits grouped from 10 000 on.

    Parameters
    ----------
    value : float
        A finite number.
    figures : int, default 3
        Significant figures to keep.

    Returns
    -------
    str
        "0.0996", "12.0", "52 600" (with a narrow space), "−3.20"; zero is "0".
    """
    if value == 0:
        return "0"
    exponent = int(f"{value:.{figures - 1}e}".partition("e")[2])
    decimals = figures - 1 - exponent
    return fixed(round(value, decimals), max(0, decimals))


def fixed(value: float, decimals: int) -> str:
    """Plain decimal text with a fixed number of decimals, true minus sign, digits grouped from 10 000 on."""
    text = f"{abs(value):.{decimals}f}"
    whole, dot, rest = text.partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", NARROW_SPACE)
    sign = MINUS if value < 0 and float(text) != 0 else ""
    return f"{sign}{whole}{dot}{rest}"


def quantity(value: Any, unit: str = "", *, factor: float = 1.0, figures: int = 3) -> str:
    """A number with its unit for a page.

    Parameters
    ----------
    value : float or None
        In the memory unit.
    unit : str
        Unit to print after division by `factor`; "%" and "°C" follow the number after a blank.
    factor : float, default 1
        Memory value of one printed unit (1000 for W shown in kW).
    figures : int, default 3
        Significant figures.

    Returns
    -------
    str
        "not known" where the value is unknown, "unlimited" where it has no end.
    """
    if not is_known(value):
        return UNKNOWN
    number = float(value) / factor
    if math.isinf(number):
        return "unlimited"
    return f"{significant(number, figures)} {unit_text(unit)}".strip()


def step(value: Any, unit: str, *, factor: float = 1.0, decimals: int = 2, signed: bool = False) -> str:
    """A number of a worked example, with fixed decimals so that sums can be followed by hand."""
    if not is_known(value):
        return UNKNOWN
    number = float(value) / factor
    if math.isinf(number):
        return "unlimited"
    text = fixed(number, decimals)
    if signed and not text.startswith(MINUS):
        text = f"+{text}"
    return f"{text} {unit_text(unit)}".strip()


def percent(value: Any) -> str:
    """A share shown in per cent, three significant figures."""
    return quantity(value, "%", factor=0.01)


def count(value: Any, unit: str = "") -> str:
    """A whole number in full (hours, rows), with its unit."""
    if not is_known(value):
        return UNKNOWN
    return f"{fixed(float(value), 0)} {unit_text(unit)}".strip()


def kilowatt(value: Any) -> str:
    """Watts shown in kW."""
    return quantity(value, "kW", factor=1000.0)


def degrees(value: Any) -> str:
    """A temperature in °C."""
    return quantity(value, "degC")


def unit_text(unit: str) -> str:
    """The unit as a reader expects it ("degC" becomes "°C")."""
    return UNIT_WORDS.get(unit, unit)


def readable(text: str) -> str:
    """Our own sentence with units and minus signs as people write them ("-0.4 degC" becomes "−0.4 °C")."""
    return _NEGATIVE.sub(MINUS, _UNIT.sub(lambda found: _WRITTEN[found[1]], text))


def time_text(value: Any) -> str:
    """A time as YYYY-MM-DD HH:MM; text comes back as it is, with a blank instead of the T."""
    if value is None or (isinstance(value, np.datetime64) and np.isnat(value)):
        return UNKNOWN
    if isinstance(value, np.datetime64):
        return str(value.astype("datetime64[m]")).replace("T", " ")
    return str(value).replace("T", " ") or UNKNOWN


def day_text(value: Any) -> str:
    """A time of a typical year in words, without the year: "19 Jul, 15:00"."""
    found = _TIME.match(time_text(value))
    if found is None:
        return time_text(value)
    month, day, hour, minute = found.groups()
    return f"{int(day)} {_MONTHS[int(month) - 1]}, {hour}:{minute}"


def month_name(number: int) -> str:
    """Short English name of month 1 to 12, whatever the locale."""
    return _MONTHS[int(number) - 1]


def cell(value: Any) -> str:
    """A value of a table for programs: empty where unknown, plain decimals, lists joined by "; ".

    Numbers keep nine significant figures without an exponent, so that a reader gets back what a page rounds.
    """
    if isinstance(value, str):
        return value
    if value is None:
        return ""
    if isinstance(value, float):  # NumPy's double is one too
        return _decimal(value)
    if isinstance(value, list | tuple):
        return "; ".join([cell(item) for item in value])
    if isinstance(value, bool | np.bool_):
        return "yes" if value else "no"
    if isinstance(value, int | np.integer):
        return str(int(value))
    if isinstance(value, np.floating):
        return _decimal(float(value))
    if isinstance(value, set | frozenset):
        return "; ".join(cell(item) for item in sorted(value))
    return str(value)


def _decimal(number: float) -> str:
    """Nine significant figures without an exponent and without zeros behind the last one; empty where unknown."""
    if math.isnan(number):
        return ""
    if math.isinf(number):
        return "inf" if number > 0 else "-inf"
    kept = float(f"{number:.9g}") + 0.0
    text = repr(kept)
    return np.format_float_positional(kept, trim="-") if "e" in text else text.removesuffix(".0")
