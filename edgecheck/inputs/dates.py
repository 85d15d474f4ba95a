"""Dates as people write them: 2024-05-03, 3.5.2024, 13/5/2024, with or without a time of day."""

import datetime as dt
import re

_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})(?:[T ][0-9:.]+)?")
_DAY_FIRST = re.compile(r"([0-9]{1,2})\.\s?([0-9]{1,2})\.\s?([0-9]{4})")
_SLASHES = re.compile(r"([0-9]{1,2})/([0-9]{1,2})/([0-9]{4})")
NEEDED = "a date as YYYY-MM-DD is needed"


def date_in(text: str) -> tuple[str | None, str]:
    """Read a date.

    Parameters
    ----------
    text : str
        Year first with hyphens, day first with full stops, or with slashes where the day cannot be a month.

    Returns
    -------
    date : str or None
        YYYY-MM-DD.
    fault : str
        Why there is none; names both readings of a text such as 3/5/2024.
    """
    plain = text.strip()
    if found := _ISO.fullmatch(plain):
        return _day(*found.groups())
    if found := _DAY_FIRST.fullmatch(plain):
        day, month, year = found.groups()
        return _day(year, month, day)
    if found := _SLASHES.fullmatch(plain):
        first, second, year = found.groups()
        readings = {_day(year, first, second)[0], _day(year, second, first)[0]} - {None}
        if len(readings) > 1:
            both = " or ".join(sorted(str(reading) for reading in readings))
            return None, f"{plain} may be {both}; {NEEDED}"
        if readings:
            return readings.pop(), ""
        return _day(year, first, second)
    return None, NEEDED


def _day(year: str, month: str, day: str) -> tuple[str | None, str]:
    try:
        return dt.date(int(year), int(month), int(day)).isoformat(), ""
    except ValueError:
        return None, f"there is no such day; {NEEDED}"
