"""Latitudes and longitudes as people write them: with a hemisphere, with degrees, minutes and seconds.

In goes a text such as 36\u00b006'30"N, 36 6 30 N, N36.1 or 79,95 W, out come decimal degrees, north and east positive,
or why the text cannot be read. Degrees, minutes and seconds follow ISO 6709, annex D.
"""

import re
from dataclasses import dataclass

AXES = {"latitude_deg": ("latitude", "NS"), "longitude_deg": ("longitude", "EW")}
"""Column -> what its letters mean: the positive hemisphere first."""

_SIGNS = str.maketrans(
    "\u2032\u2019\u2018\u00b4`\u2033\u201d\u201c\u00ba\u02da\u2212",
    "'''''\"\"\"\u00b0\u00b0-",
)
_WORDS = {
    "NORTH": "N",
    "SOUTH": "S",
    "EAST": "E",
    "WEST": "W",
    "DEGREES": "\u00b0",
    "DEG": "\u00b0",
    "MIN": "'",
    "SEC": '"',
}
_NUMBER = r"([0-9]+(?:[.,][0-9]+)?)"
_COORDINATE = re.compile(
    rf"([NSEWO])?\s*([+-])?\s*{_NUMBER}(?:\s*(\u00b0)\s*|[\s:-]+)?"
    rf"(?:{_NUMBER}(?:\s*'\s*|[\s:-]+)?)?(?:{_NUMBER}\s*\"?)?\s*([NSEWO])?"
)


@dataclass(frozen=True)
class Coordinate:
    """A coordinate as read.

    Parameters
    ----------
    degrees : float, optional
        North and east positive; None where the text is no coordinate.
    fault : str
        Why it cannot be used; empty for a good one, and where the text is no coordinate at all.
    """

    degrees: float | None = None
    fault: str = ""


def coordinate_in(text: str, column: str) -> Coordinate:
    """Read a coordinate that is no plain number.

    Parameters
    ----------
    text : str
        The cell.
    column : str
        latitude_deg or longitude_deg.

    Returns
    -------
    coordinate : Coordinate
        With degrees and a fault where the letter belongs to the other column.
    """
    plain = text.strip().translate(_SIGNS).upper().replace("''", '"')
    for word, sign in _WORDS.items():
        plain = re.sub(rf"(?<![A-Z]){word}\.?(?![A-Z])", sign, plain)
    found = _COORDINATE.fullmatch(plain)
    if found is None:
        return Coordinate()
    before, sign, degrees, mark, minutes, seconds, after = found.groups()
    letter = before or after or ""
    if not letter and not mark and seconds is None:
        return Coordinate()
    if before and after:
        return Coordinate(fault="one letter for the hemisphere is enough")
    parts = [float(part.replace(",", ".")) for part in (degrees, minutes, seconds) if part is not None]
    if any(part != int(part) for part in parts[:-1]):
        return Coordinate(fault="only the last of degrees, minutes and seconds may have decimals")
    if any(part >= 60.0 for part in parts[1:]):
        return Coordinate(fault="minutes and seconds are less than 60")
    value = sum(part / 60.0**place for place, part in enumerate(parts))
    return _with_hemisphere(value, letter, sign or "", column)


def _with_hemisphere(value: float, letter: str, sign: str, column: str) -> Coordinate:
    if letter == "O":
        return Coordinate(fault="O is east in some languages and west in others; write E or W")
    if letter and sign:
        signed = -value if letter in "SW" else value
        return Coordinate(
            fault=f"a sign or a letter, not both; {signed:.10g} if the letter {letter} is right"
        )
    negative = letter in ("S", "W") or sign == "-"
    degrees = -value if negative else value
    name, letters = AXES[column]
    if letter and letter not in letters:
        other = "longitude" if name == "latitude" else "latitude"
        return Coordinate(degrees, f"{letter} belongs to a {other}; are latitude and longitude exchanged?")
    return Coordinate(degrees)
