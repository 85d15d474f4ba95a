"""Rows that qualify a unit's type against a design day: the column `weather` says `cycle:NAME`.

Such a row is no place: it needs no position, and nothing about a roof follows from it.
"""

CYCLE_PREFIX = "cycle:"


def names_cycle(weather: object) -> bool:
    """Whether a cell of the column `weather` names a design day."""
    return isinstance(weather, str) and weather.strip().lower().startswith(CYCLE_PREFIX)


def cycle_name(weather: str) -> str:
    """Name of the design day in such a cell, in small letters."""
    return weather.strip()[len(CYCLE_PREFIX) :].strip().lower()
