"""Records of any spacing and zone to hours of local standard time.

In: a reader's rows. Out: rows of one hour each; what was done is a note.
"""

from dataclasses import replace

import numpy as np

from edgecheck.base.errors import WeatherRefused
from edgecheck.base.notes import Note
from edgecheck.weather.readers.table import RawTable
from edgecheck.weather.year_hours import hourly


def to_hours(raw: RawTable) -> RawTable:
    """Average sub-hourly records.

    Parameters
    ----------
    raw : RawTable
        Of one or more records an hour.

    Returns
    -------
    RawTable
        Of one; with a note where there were more.

    Raises
    ------
    WeatherRefused
        If an hour has more or fewer records than the others; names the line.
    """
    count = raw.records_per_hour
    if count == 1:
        return raw
    codes = (raw.year * 10000 + raw.month * 100 + raw.day) * 100 + raw.hour
    whole = len(codes) - len(codes) % count
    uneven = codes[:whole].reshape(-1, count) != codes[:whole:count, None]
    if whole < len(codes) or uneven.any():
        row = int(np.argmax(uneven.any(axis=1))) * count if uneven.any() else whole
        reason = f"the rows are not {count} records to each hour"
        raise WeatherRefused(raw.name, reason, f"{len(codes)} rows; from line {raw.line[row]} on")
    columns = {name: hourly(raw.name, values, count) for name, values in raw.columns.items()}
    note = Note("sub-hourly", "info", f"{count} records an hour are averaged to hours.")
    return replace(
        raw,
        line=raw.line[::count],
        year=raw.year[::count],
        month=raw.month[::count],
        day=raw.day[::count],
        hour=raw.hour[::count],
        columns=columns,
        records_per_hour=1,
        notes=(*raw.notes, note),
    )


def to_local_time(raw: RawTable, *, alone: bool) -> RawTable:
    """Bring rows in UTC to local standard time, round(longitude/15) h; the ends of the file join up.

    Parameters
    ----------
    raw : RawTable
        Hourly, whole years.
    alone : bool
        Whether it is one year, whose rows keep the years they came from. In a series every year keeps its number.

    Returns
    -------
    RawTable
        Unchanged where the rows are not in UTC or the longitude is in its zone; else with a note.
    """
    zone = round(raw.station.longitude / 15.0)
    if not raw.utc or zone == 0:
        return raw
    note = Note(
        "utc-rows",
        "info",
        f"The rows are in UTC; they are moved by {zone:+d} h to the local standard time of the longitude, the "
        f"{abs(zone)} hours beyond the end of the file to its other end.",
    )
    return replace(
        raw,
        station=replace(raw.station, utc_offset_h=float(zone)),
        line=np.roll(raw.line, zone),
        year=np.roll(raw.year, zone) if alone else raw.year,
        columns={name: np.roll(values, zone) for name, values in raw.columns.items()},
        utc=False,
        notes=(*raw.notes, note),
    )
