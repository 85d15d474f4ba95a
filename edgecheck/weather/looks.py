"""Look at a weather file for every kind of doubt.

In: the records as read, the hours before gaps are filled, the finished years with the sun. Out: findings, raised
or not, each with its hours, its worst value and its first hour.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.constants import standard_pressure
from edgecheck.weather import hour_masks
from edgecheck.weather.quality import LABELS, Finding
from edgecheck.weather.thresholds import thresholds

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
Clock = Callable[[int], str]


@dataclass(frozen=True)
class Skylight:
    """Irradiance of the finished years, and how it fits the sun; arrays of shape (n,).

    Parameters
    ----------
    zenith : ndarray
        True zenith at each row's own moment. [deg]
    residual : ndarray
        abs(ghi - dni cos z - dhi) there. [W/m2]
    month : ndarray of int
        A number for the month of each row.
    aside : ndarray, shape (k, n)
        Residual with the sun an hour earlier and later; NaN in rows that were not tried. [W/m2]
    closure : float
        Mean residual over the hours with any irradiance. [W/m2]
    told_apart : bool
        Whether the residual depends on the sun's place at all.
    """

    zenith: FloatArray
    residual: FloatArray
    month: NDArray[np.int64]
    aside: FloatArray
    closure: float
    told_apart: bool


def impossible(name: str, values: FloatArray, clock: Clock, place: Clock) -> tuple[BoolArray, Finding]:
    """Values that cannot be: which, and the finding.

    Parameters
    ----------
    name : str
        Variable.
    values : ndarray, shape (records,)
        In its unit, NaN where missing.
    clock, place : callable
        Time and line of a record.
    """
    low, high = thresholds()["possible"][name]
    mask = hour_masks.outside(values, low, high)
    label, unit = LABELS[name]
    text = (
        "{h} of " + f"{label} outside {low:g} to {high:g} {unit}, taken as missing (first "
        f"{place(int(np.argmax(mask)))}, " + "farthest {worst:g} " + unit + ")."
    )
    return mask, _finding("impossible", name, mask, values, clock, text, _farthest(values, low, high))


def gaps(filled: Mapping[str, BoolArray], years: int, clock: Clock) -> list[Finding]:
    """Interpolated hours of each variable, raised where there are many for the number of years.

    Parameters
    ----------
    filled : mapping of str to ndarray of bool, shape (n,)
        Hours filled, by variable.
    years : int
        Years of the file.
    clock : callable
        Time of an hour.
    """
    limit = years * thresholds()["gap"]["flag_h"]
    findings = []
    for name, mask in filled.items():
        text = "{h} of " + LABELS[name][0] + " missing, and interpolated in time."
        found = _finding("gaps", name, mask, mask, clock, text, np.zeros(len(mask)), worst=False)
        findings.append(_raised(found, found.hours > limit))
    return findings


def readings(columns: Mapping[str, FloatArray], clock: Clock) -> list[Finding]:
    """Spikes and stuck sensors, before anything is filled or capped.

    Parameters
    ----------
    columns : mapping of str to ndarray, shape (n,)
        Hourly, NaN where missing.
    clock : callable
        Time of an hour.
    """
    findings = []
    for name, step in thresholds()["spike"].items():
        out = hour_masks.standing_out(columns[name])
        text = (
            "{h} of " + f"{LABELS[name][0]} more than {step:g} K away from both neighbours to the same side, "
            "the most by {worst:.1f} K (first {first})."
        )
        found = hour_masks.spikes(columns[name], step)
        findings.append(_finding("spike", name, found, out, clock, text, out, unit="K"))
    for name, longest in thresholds()["stuck"].items():
        values = columns[name]
        mask = hour_masks.stuck(values, longest, zero=name.startswith("temp"))
        length = hour_masks.run_lengths(values)
        text = (
            "{h} of " + f"{LABELS[name][0]} in runs of one value of more than {longest:g} h, the longest of "
            "{worst:.0f} h (first {first}): a stuck sensor, or made-up values."
        )
        findings.append(_finding("stuck", name, mask, length, clock, text, length, unit="h"))
    return findings


def dew_point(temp_air: FloatArray, temp_dew: FloatArray, clock: Clock) -> Finding:
    """Dew points clearly above the air temperature, before capping; arrays of shape (n,). [degC]"""
    limit = thresholds()["dew"]["flag_k"]
    mask = hour_masks.dew_above_air(temp_air, temp_dew, limit)
    text = (
        f"{{h}} with a dew point more than {limit:g} K above air temperature, up to {{worst:.1f}} K "
        "(first {first})."
    )
    excess = temp_dew - temp_air
    return _finding("dew-above-air", "", mask, excess, clock, text, excess, unit="K")


def usual(name: str, values: FloatArray, clock: Clock) -> Finding:
    """Values outside the usual range of a variable.

    Parameters
    ----------
    name : str
        Variable with a usual range in thresholds.toml.
    values : ndarray, shape (n,)
        In its unit, without missing values.
    clock : callable
        Time of an hour.
    """
    low, high = thresholds()["usual"][name]
    label, unit = LABELS[name]
    mask = hour_masks.outside(values, low, high)
    text = (
        "{h} of " + f"{label} outside {low:g} to {high:g} {unit}, the farthest at "
        "{worst:.1f} (first {first})."
    )
    return _finding("unusual", name, mask, values, clock, text, _farthest(values, low, high))


def skylight(
    light: Skylight, ghi: FloatArray, dni: FloatArray, dhi: FloatArray, clock: Clock
) -> list[Finding]:
    """Sun at night, closure, shifted months; irradiance of shape (n,). [W/m2]"""
    limits = thresholds()["sun"]
    dark, least = limits["dark_deg"], limits["dark_w_m2"]
    greatest = np.maximum(np.maximum(ghi, dni), dhi)
    mask = hour_masks.night_sun(greatest, light.zenith, dark, least)
    text = (
        f"{{h}} of more than {least:g} W/m2 while the sun is more than {dark - 90:g} degrees below "
        "the horizon, up to {worst:.0f} W/m2 (first {first})."
    )
    night = _finding("night-sun", "", mask, greatest, clock, text, greatest, unit="W/m2")

    limit, hour = limits["closure_flag_w_m2"], limits["closure_hour_w_m2"]
    mask = hour_masks.apart(light.residual, hour)
    text = (
        f"Global, beam and diffuse irradiance differ by {light.closure:.1f} W/m2 in the mean (more than "
        f"{limit:g} W/m2): they may not belong together."
    )
    closure = _finding("closure", "", mask, light.residual, clock, text, light.residual, unit="W/m2")
    closure = _raised(closure, light.closure > limit)

    tried = ~np.isnan(light.aside[0])
    mask = np.zeros(len(tried), dtype=bool)
    if tried.any() and light.told_apart:
        mask[tried] = hour_masks.shifted(
            light.month[tried],
            light.residual[tried],
            light.aside[:, tried],
            limits["shift_share"],
            limits["shift_w_m2"],
        )
        mask = np.isin(light.month, np.unique(light.month[mask]))
    months = len(np.unique(light.month[mask]))
    text = (
        f"In {months} {'month' if months == 1 else 'months'} the irradiance fits much better an hour earlier or "
        "later than in the rest of the file (first {first}): summer time, or months of different origin."
    )
    shift = _finding("hour-shift", "", mask, light.residual, clock, text, light.residual, unit="W/m2")

    text = "The irradiance does not tell whether the file's hours are in place: it has too little beam."
    unknown = Finding("alignment-unknown", "", 0, None, "", "", not light.told_apart, text)
    return [night, closure, shift, unknown]


def station(
    pressure: FloatArray, elevation: float, longitude: float, utc_offset_h: float, clock: Clock
) -> list[Finding]:
    """Zone against longitude, pressure against elevation.

    Parameters
    ----------
    pressure : ndarray, shape (n,)
        Station pressure, may be NaN throughout. [Pa]
    elevation : float
        [m]
    longitude : float
        [deg]
    utc_offset_h : float
        [h]
    clock : callable
        Time of an hour.
    """
    mask = hour_masks.zone_off(len(pressure), longitude, utc_offset_h, thresholds()["zone"]["flag_h"])
    off = np.full(len(pressure), hours_off := hour_masks.hours_off_sun(longitude, utc_offset_h))
    text = f"The UTC offset, {utc_offset_h:+g} h, is {hours_off:+.1f} h off the solar time of {longitude:.2f} degrees."
    zone = _finding("zone-longitude", "", mask, off, clock, text, np.abs(off), unit="h")

    mask = hour_masks.pressure_off(pressure, elevation, thresholds()["pressure"]["flag_share"])
    standard = float(standard_pressure(elevation))
    mean = float(np.nanmean(pressure)) if not np.isnan(pressure).all() else standard
    text = (
        f"The mean station pressure, {mean / 1000:.1f} kPa, is {100 * (mean / standard - 1):+.1f} % off the "
        f"standard {standard / 1000:.1f} kPa of the header's elevation, {elevation:.0f} m: one of them is wrong."
    )
    percent = np.full(len(pressure), 100.0 * (mean / standard - 1.0))
    return [zone, _finding("pressure-elevation", "", mask, percent, clock, text, np.abs(percent), unit="%")]


def _farthest(values: FloatArray, low: float, high: float) -> FloatArray:
    return np.asarray(np.maximum(low - values, values - high))


def _finding(
    kind: str,
    variable: str,
    mask: BoolArray,
    shown: NDArray,
    clock: Clock,
    text: str,
    severity: FloatArray,
    *,
    unit: str | None = None,
    worst: bool = True,
) -> Finding:
    """Count the hours of a mask; the worst is the value shown where the severity is greatest."""
    hours = int(np.count_nonzero(mask))
    unit = LABELS[variable][1] if unit is None else unit
    if hours == 0:
        return Finding(kind, variable, 0, None, unit, "", False, text)
    value = float(shown[np.argmax(np.where(mask, severity, -np.inf))]) if worst else None
    first = clock(int(np.argmax(mask)))
    return Finding(
        kind,
        variable,
        hours,
        value,
        unit,
        first,
        True,
        text.format(h=_hours(hours), worst=value, first=first),
    )


def _hours(count: int) -> str:
    return "1 hour" if count == 1 else f"{count} hours"


def _raised(found: Finding, raised: bool) -> Finding:
    """Make it count, or not, whatever was found hour by hour."""
    return Finding(
        found.kind, found.variable, found.hours, found.worst, found.unit, found.first, raised, found.text
    )
