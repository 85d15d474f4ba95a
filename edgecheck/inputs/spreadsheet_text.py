"""Text of spreadsheet cells: what counts as a number, what counts as empty, and protection from formulas.

A cell that a spreadsheet program would run as a formula is written with a leading apostrophe and read back
without it, so that the text survives a round trip. Reader and writer both use this file.
"""

import math
import re

PLACEHOLDERS = frozenset({"", "-", "?", "n/a", "na", "#n/a", "tbd", "unknown"})
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")

_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")


def number_in(text: str) -> float | None:
    """Read the finite number that a cell holds; None where it holds none.

    Parameters
    ----------
    text : str
        Blanks around it are ignored; the minus sign of typesetting (U+2212) counts as a minus. Words such as
        "nan" and "inf", digit separators and numbers too large for a float are no numbers.
    """
    plain = text.strip().replace("\u2212", "-")
    if _NUMBER.fullmatch(plain) is None:
        return None
    value = float(plain)
    return value if math.isfinite(value) else None


def is_too_large(text: str) -> bool:
    """Whether a cell is written like a number and is too large for a float."""
    return _NUMBER.fullmatch(text.strip().replace("\u2212", "-")) is not None and number_in(text) is None


def is_empty(text: str) -> bool:
    """Whether a cell says nothing: blank, or one of the signs people write for "not known"."""
    return text.strip().lower() in PLACEHOLDERS


def protect(text: str) -> str:
    """Text with a leading apostrophe where a spreadsheet would take it for a formula.

    Text that already has apostrophes in front of such a beginning gets one more, so that `unprotect` gives
    every text back. Numbers, with a decimal comma too, stay as they are.
    """
    return f"'{text}" if _would_run(text.lstrip("'")) else text


def unprotect(text: str) -> str:
    """Text without the apostrophe that `protect` put in front."""
    return text[1:] if text.startswith("'") and _would_run(text.lstrip("'")) else text


def _would_run(text: str) -> bool:
    return text.startswith(FORMULA_STARTS) and number_in(text) is None and not _DECIMAL_COMMA.fullmatch(text)
