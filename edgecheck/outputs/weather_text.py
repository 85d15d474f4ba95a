"""A weather file in words, for the command `edgecheck weather`."""

import numpy as np

from edgecheck.weather.extremes import Extreme, cold_extreme, hot_extreme
from edgecheck.weather.gumbel import gumbel_factor
from edgecheck.weather.quality import quality_table
from edgecheck.weather.readers.design_day import HOURS
from edgecheck.weather.series import Weather, WeatherYear

_RETURN_YEARS = (5, 10, 20, 50)
_SHOWN_YEARS = 20.0


def weather_text(weather: Weather) -> str:
    """Place, span, extremes and quality of a weather file.

    Parameters
    ----------
    weather : Weather
        As read.

    Returns
    -------
    str
        Lines for a terminal.
    """
    lines = [
        f"{weather.name}: {weather.format}, {weather.place or 'no place given'}",
        f"  latitude {weather.latitude:.3f}, longitude {weather.longitude:.3f}, elevation {weather.elevation:.0f} m, "
        f"UTC{weather.utc_offset_h:+g} h",
    ]
    for year in weather.years:
        lines += _year_lines(year)
    lines.append(
        f"  sun taken {weather.sun_offset_min:.0f} min after each row's start; the three irradiance components "
        f"close within {weather.closure:.1f} W/m2 on average"
    )
    lines += _header_lines(weather)
    lines += [_extreme_line("hot", hot_extreme(weather, None, None, None, _SHOWN_YEARS))]
    lines += [_extreme_line("cold", cold_extreme(weather, None, None, None, _SHOWN_YEARS))]
    lines += _quality_lines(weather)
    lines += [f"  note: {note.text}" for note in weather.notes]
    lines.append(f"  SHA-256 {weather.sha256}")
    return "\n".join(lines)


def _year_lines(year: WeatherYear) -> list[str]:
    hot, cold = int(np.argmax(year.temp_air)), int(np.argmin(year.temp_air))
    span = f"{_clock(year.time[0])} to {_clock(year.time[-1])}"
    source = np.unique(year.source_year)
    years = str(source[0]) if len(source) == 1 else f"{source[0]}-{source[-1]}"
    sun = float(np.sum(year.ghi)) / 1000.0
    span = "day" if len(year.time) == HOURS else "year"
    return [
        f"  {len(year.time)} hours, {span} local standard time (source years {years})",
        f"  hottest {year.temp_air[hot]:.1f} degC at {_clock(year.time[hot])}, coldest {year.temp_air[cold]:.1f} degC "
        f"at {_clock(year.time[cold])}, mean {np.mean(year.temp_air):.1f} degC",
        f"  sun {sun:.{2 if span == 'day' else 0}f} kWh/m2 a {span}, greatest {np.max(year.ghi):.0f} W/m2; wind mean "
        f"{np.mean(year.wind_speed):.1f} m/s",
    ]


def _header_lines(weather: Weather) -> list[str]:
    header = weather.header
    if header is None:
        return []
    parts = []
    for years in _RETURN_YEARS:
        hot = header.mean_max + gumbel_factor(years) * header.sd_max
        cold = header.mean_min - gumbel_factor(years) * header.sd_min
        parts.append(f"{years} years {header.cold.get(years, cold):.1f} / {header.hot.get(years, hot):.1f}")
    return [f"  extremes by the header ({header.source}), degC: {', '.join(parts)}"]


def _extreme_line(which: str, extreme: Extreme) -> str:
    return f"  {which} extreme of a site here, none listed: {extreme.value:.1f} degC. {extreme.note}"


def _quality_lines(weather: Weather) -> list[str]:
    """Flags in full, then what was found without raising one."""
    lines = [f"  quality flags: {len(weather.flags) or 'none'}"]
    lines += [f"    - {flag.text}" for flag in weather.flags]
    quiet = [row for row in quality_table(weather) if row.hours and not row.raised]
    lines += [f"    no flag: {row.flag}, {row.hours} h, first {row.first}" for row in quiet]
    return lines


def _clock(time: np.datetime64) -> str:
    return str(time.astype("datetime64[m]")).replace("T", " ")
