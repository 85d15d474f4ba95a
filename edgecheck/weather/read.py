"""A weather file to `Weather`: the reader that its content asks for, then judging and filling.

In: a path. Out: a file that may carry a verdict, or a refusal with file, place and reason.
"""

import hashlib
from collections.abc import Callable
from pathlib import Path

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.assemble import assembled
from edgecheck.weather.readers.epw import is_epw, read_epw_table
from edgecheck.weather.readers.table import RawTable
from edgecheck.weather.readers.text import FileText, decode, read_bytes
from edgecheck.weather.readers.tmy2 import is_tmy2, read_tmy2_table
from edgecheck.weather.readers.tmy3 import is_tmy3, read_tmy3_table
from edgecheck.weather.series import Weather


def read_weather(path: str | Path) -> Weather:
    """Read an hourly weather file: EPW, TMY2 or TMY3, recognised from its content.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Weather

    Raises
    ------
    WeatherRefused
        If the file cannot carry a verdict; says where and why.
    """
    data = read_bytes(path)
    raw = recognised(decode(Path(path).name, data))
    return assembled(raw, hashlib.sha256(data).hexdigest())


def recognised(text: FileText) -> RawTable:
    """Read the rows by the reader that the content asks for.

    Raises
    ------
    WeatherRefused
        If no reader knows it, or its reader refuses it.
    """
    readers: tuple[tuple[Callable[[list[str]], bool], Callable[[FileText], RawTable]], ...] = (
        (is_epw, read_epw_table),
        (is_tmy3, read_tmy3_table),
        (is_tmy2, read_tmy2_table),
    )
    for knows, read in readers:
        if knows(text.lines):
            return read(text)
    reason = f"not a weather file of a known format (EPW, TMY2, TMY3); it begins with {text.lines[0][:40]!r}"
    raise WeatherRefused(text.name, reason, "line 1")
