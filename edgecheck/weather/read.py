"""A weather file to `Weather`: the reader that its content asks for, then judging and filling.

In: a path. Out: a file that may carry a verdict, or a refusal with file, place and reason.
"""

import hashlib
from pathlib import Path

from edgecheck.base.errors import WeatherRefused
from edgecheck.inputs.type_qualification import names_cycle
from edgecheck.weather.assemble import assembled
from edgecheck.weather.cycles import cycle_weather
from edgecheck.weather.readers.design_day import cycle_path, is_design_day, read_design_day
from edgecheck.weather.readers.formats import format_of
from edgecheck.weather.readers.text import decode, read_bytes
from edgecheck.weather.series import Weather


def read_weather(path: str | Path) -> Weather:
    """Read an hourly weather file of a known format, recognised from its content.

    EPW, TMY2, TMY3, NSRDB CSV, PVGIS typical year or series (CSV, JSON), or the open form of
    `edgecheck.weather.readers.plain`; one typical year or several whole years. A design day (TOML) is read too.

    Parameters
    ----------
    path : str or Path
        The file, or "cycle:NAME" for a shipped design day.

    Returns
    -------
    Weather

    Raises
    ------
    WeatherRefused
        If the file cannot carry a verdict; says where and why.
    """
    if names_cycle(str(path)):
        found, reason = cycle_path(str(path))
        if found is None:
            raise WeatherRefused(str(path), reason)
        path = found
    data = read_bytes(path)
    text = decode(Path(path).name, data)
    sha256 = hashlib.sha256(data).hexdigest()
    if is_design_day(text.lines):
        return cycle_weather(read_design_day(text, sha256))
    return assembled(format_of(text.name, text.lines).read(text), sha256)
