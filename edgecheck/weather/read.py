"""A weather file to `Weather`: the reader that its content asks for, then judging and filling.

In: a path. Out: a file that may carry a verdict, or a refusal with file, place and reason.
"""

import hashlib
from pathlib import Path

from edgecheck.weather.assemble import assembled
from edgecheck.weather.readers.formats import format_of
from edgecheck.weather.readers.text import decode, read_bytes
from edgecheck.weather.series import Weather


def read_weather(path: str | Path) -> Weather:
    """Read an hourly weather file of a known format, recognised from its content.

    EPW, TMY2, TMY3, NSRDB CSV, PVGIS typical year or series (CSV, JSON), or the open form of
    `edgecheck.weather.readers.plain`; one typical year or several whole years.

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
    text = decode(Path(path).name, data)
    return assembled(format_of(text.name, text.lines).read(text), hashlib.sha256(data).hexdigest())
