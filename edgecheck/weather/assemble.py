"""Rows of a file to `Weather`: judge, fill, align.

In: a reader's table. Out: whole years of hours without gaps in what the heat balance uses, with everything
that was done to them as notes and everything doubtful as flags. What cannot carry a verdict is refused with
file, place and reason.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import WeatherRefused
from edgecheck.base.notes import Note
from edgecheck.weather import quality
from edgecheck.weather.alignment import Alignment, Irradiance, align
from edgecheck.weather.gaps import dew_point, filled, possible
from edgecheck.weather.readers.table import RawTable
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.sun import true_zenith
from edgecheck.weather.thresholds import thresholds
from edgecheck.weather.year_hours import YearRows, hourly, times, whole_years

FloatArray = NDArray[np.float64]
NEEDED = ("temp_air", "temp_dew", "ghi", "dni", "dhi", "wind_speed")
BEAM_HORIZON_DEG = 90.0
FEBRUARY_29 = slice(59 * 24, 60 * 24)


@dataclass
class _Judged:
    """What has been said about a file so far."""

    notes: list[Note]
    flags: list[quality.Flag] = field(default_factory=list)
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
    judged = _Judged(list(raw.notes))
    columns: dict[str, FloatArray] = {}
    for name, values in raw.columns.items():
        columns[name], flags = possible(name, values, raw.line)
        judged.flags.extend(flags)
    raw = _hourly(replace(raw, columns=columns), judged)
    parts = whole_years(raw.name, raw.line, raw.year, raw.month, raw.day, raw.hour)
    columns = dict(raw.columns)
    _irradiance_not_negative(columns, judged)
    _optional(columns, judged)
    _dew_from_humidity(columns, judged)
    whole = _filled(raw, columns, parts, judged)
    _dew_below_air(whole, judged)
    years = [_year(raw, whole, part, judged) for part in parts]
    station = raw.station
    alignment = align(raw.name, station.latitude, station.longitude, station.utc_offset_h, _sunlit(years))
    years, below = _beam_above_horizon(raw, years, alignment)
    _say(raw, years, alignment, below, judged)
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
        flags=tuple(judged.flags),
    )


def _hourly(raw: RawTable, judged: _Judged) -> RawTable:
    """Sub-hourly records averaged to hours."""
    count = raw.records_per_hour
    if count == 1:
        return raw
    codes = raw.month * 10000 + raw.day * 100 + raw.hour
    if len(codes) % count or np.any(codes.reshape(-1, count) != codes[::count, None]):
        reason = f"the rows are not {count} records to each hour, as DATA PERIODS says"
        raise WeatherRefused(raw.name, reason, f"{len(codes)} rows")
    columns = {name: hourly(raw.name, values, count) for name, values in raw.columns.items()}
    judged.note("sub-hourly", f"{count} records an hour are averaged to hours.")
    return replace(
        raw,
        line=raw.line[::count],
        year=raw.year[::count],
        month=raw.month[::count],
        day=raw.day[::count],
        hour=raw.hour[::count],
        columns=columns,
        records_per_hour=1,
    )


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
            label = quality.LABELS[name][0]
            text = (
                f"{int(negative.sum())} negative values of {label}, down to {worst:.1f} W/m2, are taken as 0."
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
            label = quality.LABELS[name][0]
            judged.note(f"no-{name.replace('_', '-')}", f"The file has no {label}: {instead}.")
        columns[name] = values
    cover = columns.get("opaque_cover", np.full(hours, np.nan))
    columns["opaque_cover"] = cover
    unknown = int((np.isnan(cover) & np.isnan(columns["longwave_down"])).sum())
    if unknown:
        text = (
            f"Cloud cover is unknown in {unknown} hours without sky longwave: the sky counts as clear there."
        )
        judged.note("cover-unknown", text, unknown)


def _dew_from_humidity(columns: dict[str, FloatArray], judged: _Judged) -> None:
    dew, humidity = columns["temp_dew"], columns.get("relative_humidity")
    if humidity is None:
        return
    lacking = np.isnan(dew) & ~np.isnan(humidity) & ~np.isnan(columns["temp_air"])
    count = int(lacking.sum())
    if count:
        columns["temp_dew"] = np.where(lacking, dew_point(columns["temp_air"], humidity), dew)
        text = f"The dew point of {count} hours is computed from relative humidity."
        judged.note("dew-from-humidity", text, count)


def _filled(
    raw: RawTable, columns: dict[str, FloatArray], parts: Iterable[YearRows], judged: _Judged
) -> dict[str, FloatArray]:
    """Every variable with its short gaps filled, year by year."""
    whole: dict[str, FloatArray] = {}
    for name in (*NEEDED, "pressure", "longwave_down"):
        values = np.array(columns[name])
        needed = name in NEEDED or (name == "pressure" and not np.isnan(values).all())
        for part in parts:
            values[part.rows], count = filled(raw.name, name, values[part.rows], raw.line[part.rows], needed)
            if count:
                judged.filled[name] = judged.filled.get(name, 0) + count
        whole[name] = values
    whole["opaque_cover"] = np.array(columns["opaque_cover"])
    for name, count in judged.filled.items():
        text = f"{count} missing hours of {quality.LABELS[name][0]} are interpolated in time."
        judged.note("gap-filled", text, count)
    judged.flags.extend(quality.gap_flags(judged.filled))
    return whole


def _dew_below_air(whole: dict[str, FloatArray], judged: _Judged) -> None:
    excess = whole["temp_dew"] - whole["temp_air"]
    above = int((excess > 0).sum())
    if above:
        worst = float(excess.max())
        text = f"The dew point of {above} hours is above air temperature, up to {worst:.1f} K; it is capped."
        judged.note("dew-capped", text, above, worst)
        judged.flags.extend(quality.dew_flags(excess))
    whole["temp_dew"] = np.minimum(whole["temp_dew"], whole["temp_air"])


def _year(raw: RawTable, whole: dict[str, FloatArray], part: YearRows, judged: _Judged) -> WeatherYear:
    def cut(values: NDArray) -> NDArray:
        values = values[part.rows]
        return np.delete(values, FEBRUARY_29) if part.leap else values.copy()

    source_year = cut(raw.year)
    mixed = bool(np.any(source_year != source_year[0]))
    typical = mixed or raw.typical or not 1800 <= source_year[0] <= 2200
    if part.leap:
        judged.note("leap-day", "29 February, 24 hours, is dropped.", 24)
    return WeatherYear(
        time=times(source_year, part.leap, typical),
        source_year=source_year,
        **{name: cut(values) for name, values in whole.items()},
    )


def _sunlit(years: Iterable[WeatherYear]) -> Irradiance:
    """Hours of all years with any irradiance."""
    joined = Irradiance(
        *(np.concatenate([getattr(year, name) for year in years]) for name in ("time", "ghi", "dni", "dhi"))
    )
    return joined.some((joined.ghi > 0) | (joined.dni > 0) | (joined.dhi > 0))


def _beam_above_horizon(
    raw: RawTable, years: list[WeatherYear], alignment: Alignment
) -> tuple[list[WeatherYear], int]:
    """Beam set to zero where the sun is below the true horizon; the hours concerned."""
    kept, below = [], 0
    for year in years:
        rows = np.flatnonzero(year.dni > 0)
        zenith = true_zenith(
            raw.station.latitude,
            raw.station.longitude,
            raw.station.utc_offset_h,
            year.time[rows],
            alignment.offset_min,
        )
        dark = rows[zenith >= BEAM_HORIZON_DEG]
        below += len(dark)
        dni = np.array(year.dni)
        dni[dark] = 0.0
        kept.append(replace(year, dni=dni))
    return kept, below


def _say(raw: RawTable, years: list[WeatherYear], alignment: Alignment, below: int, judged: _Judged) -> None:
    """Add notes and flags about the finished series."""
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
    judged.flags.extend(quality.closure_flags(alignment.closure, alignment.told_apart))
    for name in ("temp_air", "temp_dew", "ghi", "dni", "wind_speed"):
        values = np.concatenate([getattr(year, name) for year in years])
        judged.flags.extend(quality.usual_flags(name, values))
    pressure = np.concatenate([year.pressure for year in years])
    judged.flags.extend(quality.pressure_flags(pressure, station.elevation))
    judged.flags.extend(quality.zone_flags(station.longitude, station.utc_offset_h))
