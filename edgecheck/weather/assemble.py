"""Rows of a file to `Weather`: judge, fill, align.

In: a reader's table. Out: whole years of hours without gaps in what the heat balance uses, with everything
that was done to them as notes and everything doubtful as flags. What cannot carry a verdict is refused with
file, place and reason.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.humid_air import dew_point
from edgecheck.base.notes import Note
from edgecheck.weather import looks
from edgecheck.weather.alignment import Alignment
from edgecheck.weather.daylight import Lit, aligned, beam_above_horizon, lit_hours
from edgecheck.weather.gaps import filled
from edgecheck.weather.quality import LABELS, Finding
from edgecheck.weather.readers.table import RawTable, counted_in
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.thresholds import thresholds
from edgecheck.weather.to_hours import to_hours, to_local_time
from edgecheck.weather.year_hours import YearRows, times, whole_years

FloatArray = NDArray[np.float64]
NEEDED = ("temp_air", "temp_dew", "ghi", "dni", "dhi", "wind_speed")
FEBRUARY_29 = slice(59 * 24, 60 * 24)
LEAST_HUMIDITY = 1.0  # %, below which a reading has no dew point worth having


@dataclass
class _Judged:
    """What has been said about a file so far."""

    notes: list[Note] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    filled: dict[str, int] = field(default_factory=dict)

    def note(self, code: str, text: str, count: int | None = None, worst: float | None = None) -> None:
        self.notes.append(Note(code, "info", text, count, worst))


def assembled(raw: RawTable, sha256: str) -> Weather:
    """Whole years from a reader's rows.

    Parameters
    ----------
    raw : RawTable
        As read.
    sha256 : str
        Of the file's bytes.

    Returns
    -------
    Weather

    Raises
    ------
    WeatherRefused
        If hours are missing, doubled or out of order, a gap is too long, or the irradiance does not belong to
        its hours.
    """
    with counted_in(raw.row_word):
        return _assembled(raw, sha256)


def _assembled(raw: RawTable, sha256: str) -> Weather:
    judged = _Judged()
    raw = to_hours(_possible(raw, judged))
    parts = whole_years(raw.name, raw.line, raw.year, raw.month, raw.day, raw.hour)
    raw = to_local_time(raw, alone=len(parts) == 1)
    judged.notes += raw.notes
    columns = dict(raw.columns)
    _irradiance_not_negative(columns, judged)
    _optional(columns, judged)
    _dew_from_humidity(columns, raw.ice, judged)
    judged.findings += looks.readings(columns, _row_clock(raw))
    whole = _filled(raw, columns, parts, judged)
    _dew_below_air(whole, raw, judged)
    years: Sequence[WeatherYear] = [_year(raw, whole, part, judged, alone=len(parts) == 1) for part in parts]
    lit = lit_hours(years)
    alignment = aligned(raw, lit)
    station = raw.station
    light = lit.skylight(station, alignment)
    years, below = beam_above_horizon(years, lit, light.zenith)
    judged.findings += looks.skylight(
        light, lit.ghi, lit.dni, lit.dhi, lambda i: _clock(years, int(lit.rows[i]))
    )
    _say(raw, years, lit, alignment, below, judged)
    return Weather(
        name=raw.name,
        format=raw.format,
        sha256=sha256,
        place=station.place,
        latitude=station.latitude,
        longitude=station.longitude,
        elevation=station.elevation,
        utc_offset_h=station.utc_offset_h,
        years=tuple(years),
        header=raw.header,
        sun_offset_min=alignment.offset_min,
        closure=alignment.closure,
        beam_below_horizon=below,
        filled=MappingProxyType(dict(judged.filled)),
        synthetic=raw.synthetic,
        notes=tuple(judged.notes),
        flags=tuple(found.flag() for found in judged.findings if found.raised),
        findings=tuple(judged.findings),
    )


def _row_clock(raw: RawTable) -> looks.Clock:
    """Time of a row as the file gives it."""
    return lambda i: f"{raw.year[i]:04d}-{raw.month[i]:02d}-{raw.day[i]:02d} {raw.hour[i]:02d}:00"


def _clock(years: Sequence[WeatherYear], row: int) -> str:
    """Time of an hour of the finished years, with the file's own year."""
    year = years[row // len(years[0].time)]
    row %= len(year.time)
    return f"{year.source_year[row]:04d}{str(year.time[row])[4:].replace('T', ' ')}"


def _possible(raw: RawTable, judged: _Judged) -> RawTable:
    """Impossible values become missing."""
    columns: dict[str, FloatArray] = {}
    for name, values in raw.columns.items():
        mask, found = looks.impossible(
            name, values, _row_clock(raw), lambda i: f"{raw.row_word} {raw.line[i]}"
        )
        columns[name] = np.where(mask, np.nan, values) if found.hours else values
        judged.findings.append(found)
    return replace(raw, columns=columns)


def _irradiance_not_negative(columns: dict[str, FloatArray], judged: _Judged) -> None:
    limit = thresholds()["irradiance"]["note_w_m2"]
    for name in ("ghi", "dni", "dhi"):
        values = columns[name]
        negative = values < 0
        if not negative.any():
            continue
        worst = float(values[negative].min())
        columns[name] = np.where(negative, 0.0, values)
        if worst < -limit:
            text = (
                f"{int(negative.sum())} negative values of {LABELS[name][0]}, down to {worst:.1f} W/m2, are "
                "taken as 0."
            )
            judged.note("negative-irradiance", text, int(negative.sum()), worst)


def _optional(columns: dict[str, FloatArray], judged: _Judged) -> None:
    """Pressure and sky longwave count as absent where the file mostly lacks them."""
    least = thresholds()["gap"]["present_share"]
    hours = len(columns["temp_air"])
    says = {
        "pressure": "the standard atmosphere is used",
        "longwave_down": "it is computed from air temperature, dew point and cloud cover",
    }
    for name, instead in says.items():
        values = columns.get(name, np.full(hours, np.nan))
        share = float(np.mean(~np.isnan(values)))
        if share < least:
            values = np.full(hours, np.nan)
            judged.note(f"no-{name.replace('_', '-')}", f"The file has no {LABELS[name][0]}: {instead}.")
        columns[name] = values
    cover = columns.get("opaque_cover", np.full(hours, np.nan))
    columns["opaque_cover"] = cover
    unknown = int((np.isnan(cover) & np.isnan(columns["longwave_down"])).sum())
    if unknown:
        text = (
            f"Cloud cover is unknown in {unknown} hours without sky longwave: the sky counts as clear there."
        )
        judged.note("cover-unknown", text, unknown)


def _dew_from_humidity(columns: dict[str, FloatArray], ice: bool, judged: _Judged) -> None:
    dew, humidity = columns["temp_dew"], columns.get("relative_humidity")
    if humidity is None:
        return
    air = columns["temp_air"]
    lacking = np.isnan(dew) & ~np.isnan(humidity) & ~np.isnan(air)
    count = int(lacking.sum())
    if count:
        dew = np.array(dew)
        share = np.clip(humidity[lacking], LEAST_HUMIDITY, 100.0)
        dew[lacking] = np.minimum(dew_point(air[lacking], share, over_water=not ice), air[lacking])
        columns["temp_dew"] = dew
        text = f"The dew point of {count} hours is computed from relative humidity."
        judged.note("dew-from-humidity", text, count)


def _filled(
    raw: RawTable, columns: dict[str, FloatArray], parts: Sequence[YearRows], judged: _Judged
) -> dict[str, FloatArray]:
    """Every variable with its short gaps filled, year by year."""
    whole: dict[str, FloatArray] = {}
    masks: dict[str, NDArray[np.bool_]] = {}
    for name in (*NEEDED, "pressure", "longwave_down"):
        values = np.array(columns[name])
        needed = name in NEEDED or (name == "pressure" and not np.isnan(values).all())
        for part in parts:
            values[part.rows], count = filled(raw.name, name, values[part.rows], raw.line[part.rows], needed)
            if count:
                judged.filled[name] = judged.filled.get(name, 0) + count
        masks[name] = np.isnan(columns[name]) & ~np.isnan(values)
        whole[name] = values
    whole["opaque_cover"] = np.array(columns["opaque_cover"])
    for name, count in judged.filled.items():
        text = f"{count} missing hours of {LABELS[name][0]} are interpolated in time."
        judged.note("gap-filled", text, count)
    judged.findings += looks.gaps(masks, len(parts), _row_clock(raw))
    return whole


def _dew_below_air(whole: dict[str, FloatArray], raw: RawTable, judged: _Judged) -> None:
    judged.findings.append(looks.dew_point(whole["temp_air"], whole["temp_dew"], _row_clock(raw)))
    excess = whole["temp_dew"] - whole["temp_air"]
    above = int((excess > 0).sum())
    if above:
        worst = float(excess.max())
        text = f"The dew point of {above} hours is above air temperature, up to {worst:.1f} K; it is capped."
        judged.note("dew-capped", text, above, worst)
    whole["temp_dew"] = np.minimum(whole["temp_dew"], whole["temp_air"])


def _year(
    raw: RawTable, whole: dict[str, FloatArray], part: YearRows, judged: _Judged, *, alone: bool
) -> WeatherYear:
    def cut(values: NDArray) -> NDArray:
        values = values[part.rows]
        return np.delete(values, FEBRUARY_29) if part.leap else values.copy()

    source_year = cut(raw.year)
    mixed = bool(np.any(source_year != source_year[0]))
    typical = mixed or (raw.typical and alone) or not 1800 <= source_year[0] <= 2200
    if part.leap:
        judged.note("leap-day", "29 February, 24 hours, is dropped.", 24)
    return WeatherYear(
        time=times(source_year, part.leap, typical),
        source_year=source_year,
        **{name: cut(values) for name, values in whole.items()},
    )


def _say(
    raw: RawTable, years: Sequence[WeatherYear], lit: Lit, alignment: Alignment, below: int, judged: _Judged
) -> None:
    """Add notes and findings about the finished series."""
    station = raw.station
    judged.note(
        "sun-offset",
        f"The sun is taken {alignment.offset_min:.0f} min after the start of each row, where global, beam "
        f"and diffuse irradiance agree within {alignment.closure:.1f} W/m2 on average in sunlit hours.",
        worst=alignment.closure,
    )
    if below:
        text = f"{below} hours had beam while the centre of the sun was below the horizon; it is taken as 0."
        judged.note("beam-below-horizon", text, below)
    if len(years) == 1 and years[0].typical:
        source = years[0].source_year
        text = (
            f"A typical year put together from {source.min()} to {source.max()}, with the calendar of 2001."
        )
        judged.note("typical-year", text)
    if raw.synthetic:
        judged.note("synthetic", "The file says that its data are made up; they describe no real place.")

    def clock(row: int) -> str:
        return _clock(years, row)

    for name in thresholds()["usual"]:
        values = np.concatenate([getattr(year, name) for year in years])
        judged.findings.append(looks.usual(name, values, clock))
    pressure = np.concatenate([year.pressure for year in years])
    judged.findings += looks.station(
        pressure, station.elevation, station.longitude, station.utc_offset_h, clock
    )
