"""Text of a workbook's cell as it would stand in a CSV file, and the names of cells."""

import datetime as dt

_MIDNIGHT = dt.time(0, 0)


def cell_text(value: object) -> str:
    """Text of a value.

    Parameters
    ----------
    value : str, int, float, bool, date, time, timedelta or None
        As a sheet keeps it.

    Returns
    -------
    text : str
        Numbers with at most 15 significant digits, as sheets show them; dates as YYYY-MM-DD; TRUE and FALSE;
        empty for None.
    """
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else f"{value:.15g}"
    if isinstance(value, dt.datetime):
        if value.time() == _MIDNIGHT:
            return value.date().isoformat()
        return value.isoformat(sep=" ", timespec="seconds" if value.second else "minutes")
    if isinstance(value, dt.time):
        return value.isoformat(timespec="seconds" if value.second else "minutes")
    return str(value)


def column_letters(at: int) -> str:
    """Letters of a sheet's column, counted from 0: A, B ... Z, AA."""
    letters = ""
    at += 1
    while at:
        at, rest = divmod(at - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def cell_place(reference: str) -> tuple[int, int]:
    """Row, counted from 1, and column, counted from 0, of a reference such as AB12."""
    letters = reference.rstrip("0123456789")
    column = 0
    for letter in letters:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(reference[len(letters) :]), column - 1
