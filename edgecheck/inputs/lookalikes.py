"""Headings that are nearly a known one: a slip of the pen, or the same words with another unit.

Compared without case, with blanks and other signs as underscores.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache

from edgecheck.inputs.columns import columns, headings

_LENGTHS = (
    "m|metre|metres|meter|meters|cm|mm|km|ft|feet|foot|in|inch|inches|yd|mi|mile|miles|m2|sqm|ft2|sqft|mm2"
)
_MASSES = "kg|t|ton|tons|tonne|tonnes|lb|lbs|pound|pounds|kpa|pa|mpa|psf|psi|n|kn|lbf|kip|kips|kgf|g"
_POWERS = "w|kw|mw|watt|watts|va|kva|a|amp|amps|ampere|amperes|v|kv|volt|volts|awg|kcmil|kwh"
_ANGLES = "k|c|f|degc|degf|deg|degree|degrees|celsius|fahrenheit|kelvin|rad|percent|pct|share"
_OTHERS = "s|min|h|hr|d|day|year|years|mph|kmh|knot|knots|db|dba|l|litre|litres|liter|liters|gal"
_UNIT_WORDS = frozenset("|".join((_LENGTHS, _MASSES, _POWERS, _ANGLES, _OTHERS)).split("|"))
_UNIT_PAIRS = frozenset(
    ("m_s", "km_h", "ft_s", "kg_m2", "kn_m2", "lb_ft2", "n_m2", "t_m2", "db_a", "mg_m2", "dba")
)


def plain(heading: str) -> str:
    """Heading in lower case with underscores for everything that is neither letter nor digit."""
    return re.sub(r"[\W_]+", "_", heading.lower()).strip("_")


def edit_distance(one: str, other: str, most: int) -> int:
    """Least number of letters inserted, left out or exchanged (Levenshtein 1966).

    Parameters
    ----------
    one, other : str
        The words.
    most : int
        Counting stops above this number.

    Returns
    -------
    distance : int
        At most `most` + 1, which then means "more than `most`".
    """
    if abs(len(one) - len(other)) > most:
        return most + 1
    before = list(range(len(other) + 1))
    for i, letter in enumerate(one, start=1):
        now = [i]
        for j, against in enumerate(other, start=1):
            now.append(min(before[j] + 1, now[j - 1] + 1, before[j - 1] + (letter != against)))
        if min(now) > most:
            return most + 1
        before = now
    return min(before[-1], most + 1)


def without_unit(name: str) -> tuple[str, ...]:
    """Words of a plain heading without the unit at its end, in alphabetical order."""
    words = name.split("_")
    if len(words) > 2 and "_".join(words[-2:]) in _UNIT_PAIRS:
        words = words[:-2]
    elif len(words) > 1 and words[-1] in _UNIT_WORDS:
        words = words[:-1]
    return tuple(sorted(words))


@cache
def _by_words() -> Mapping[tuple[str, ...], str]:
    """Words without unit -> column, for columns whose name has a unit and shares its words with no other."""
    stems = {
        name: tuple(sorted(column.stem.split("_")))
        for name, column in columns().items()
        if column.stem != name
    }
    shared = Counter(stems.values())
    return {words: name for name, words in stems.items() if shared[words] == 1}


def lookalikes(own: Iterable[str], present: Iterable[str]) -> dict[str, str]:
    """Own headings that are nearly those of a column which the list does not have.

    Parameters
    ----------
    own : iterable of str
        Headings that the program does not know.
    present : iterable of str
        Columns that the list has, under their own name or that of a US twin.

    Returns
    -------
    found : dict
        Own heading -> column: at most two letters differ (one for names of four letters), or the same words
        stand with another unit or none.
    """
    there = set(present)
    absent = {
        name: heading.column.name for name, heading in headings().items() if heading.column.name not in there
    }
    found = {}
    for heading in own:
        written = plain(heading)
        best = _nearest(written, absent) or _by_words().get(without_unit(written))
        if best is not None and best not in there:
            found[heading] = best
    return found


def _nearest(written: str, absent: Mapping[str, str]) -> str | None:
    distances: dict[str, int] = {}
    for name, column in absent.items():
        allowed = 2 if len(name) > 4 else 1
        distance = edit_distance(written, name, allowed)
        if distance <= allowed:
            distances[column] = min(distance, distances.get(column, distance))
    return min(distances, key=lambda column: distances[column]) if distances else None
