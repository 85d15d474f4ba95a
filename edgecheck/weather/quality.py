"""What is doubtful about a weather file: each function looks at one thing and returns flags.

In: plain arrays and numbers. Out: tuples of `Flag`, empty where nothing is wrong. Limits stand in
thresholds.toml.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.constants import standard_pressure
from edgecheck.weather.thresholds import thresholds

LABELS: Mapping[str, tuple[str, str]] = {
    "temp_air": ("air temperature", "degC"),
    "temp_dew": ("dew point", "degC"),
    "relative_humidity": ("relative humidity", "%"),
    "pressure": ("air pressure", "Pa"),
    "ghi": ("global horizontal irradiance", "W/m2"),
    "dni": ("beam irradiance", "W/m2"),
    "dhi": ("diffuse irradiance", "W/m2"),
    "longwave_down": ("sky longwave", "W/m2"),
    "wind_speed": ("wind speed", "m/s"),
    "opaque_cover": ("opaque cloud cover", "tenths"),
}


@dataclass(frozen=True)
class Flag:
    """One doubt about a weather file; any flag lowers the check of the weather to a caution.

    Parameters
    ----------
    code : str
        Stable name, words joined by hyphens.
    text : str
        A sentence with its numbers and units.
    count : int, optional
        Hours concerned.
    worst : float, optional
        The worst value, in the unit named by the text.
    """

    code: str
    text: str
    count: int | None = None
    worst: float | None = None

    def to_dict(self) -> dict[str, Any]:
        """Plain record for JSON."""
        return asdict(self)


def closure_flags(closure: float, told_apart: bool) -> tuple[Flag, ...]:
    """Whether the three irradiance components belong together.

    Parameters
    ----------
    closure : float
        Mean of abs(ghi - dni cos z - dhi) at the chosen offset. [W/m2]
    told_apart : bool
        Whether the residual depends on the offset at all.
    """
    limit = thresholds()["sun"]["closure_flag_w_m2"]
    flags = []
    if closure > limit:
        text = (
            f"Global, beam and diffuse irradiance differ by {closure:.1f} W/m2 in the mean "
            f"(more than {limit:g} W/m2): they may not belong together."
        )
        flags.append(Flag("closure", text, worst=closure))
    if not told_apart:
        text = "The irradiance does not tell whether the file's hours are in place: it has too little beam."
        flags.append(Flag("alignment-unknown", text))
    return tuple(flags)


def gap_flags(filled: Mapping[str, int]) -> tuple[Flag, ...]:
    """Variables with many filled hours.

    Parameters
    ----------
    filled : mapping of str to int
        Filled hours by variable. [h]
    """
    limit = thresholds()["gap"]["flag_h"]
    return tuple(
        Flag("gaps", f"{hours} hours of {LABELS[name][0]} were missing and are interpolated.", count=hours)
        for name, hours in filled.items()
        if hours > limit
    )


def usual_flags(name: str, values: NDArray[np.float64]) -> tuple[Flag, ...]:
    """Hours outside the usual range of a variable.

    Parameters
    ----------
    name : str
        Variable.
    values : ndarray, shape (n,)
        In the variable's unit, without missing values.
    """
    limits = thresholds()["usual"].get(name)
    if limits is None:
        return ()
    low, high = limits
    outside = (values < low) | (values > high)
    count = int(outside.sum())
    if count == 0:
        return ()
    odd = values[outside]
    worst = float(odd[np.argmax(np.maximum(low - odd, odd - high))])
    label, unit = LABELS[name]
    text = f"{count} hours of {label} lie outside {low:g} to {high:g} {unit}, the farthest at {worst:.1f}."
    return (Flag("unusual", text, count=count, worst=worst),)


def impossible_flag(name: str, count: int, worst: float, where: str) -> Flag:
    """Values that cannot be, taken as missing.

    Parameters
    ----------
    name : str
        Variable.
    count : int
        Hours.
    worst : float
        The value farthest out.
    where : str
        Where the first one stands.
    """
    label, unit = LABELS[name]
    low, high = thresholds()["possible"][name]
    text = (
        f"{count} values of {label} outside {low:g} to {high:g} {unit} are taken as missing "
        f"(first {where}, farthest {worst:g} {unit})."
    )
    return Flag("impossible", text, count=count, worst=worst)


def dew_flags(excess: NDArray[np.float64]) -> tuple[Flag, ...]:
    """Dew points clearly above the air temperature.

    Parameters
    ----------
    excess : ndarray, shape (n,)
        Dew point minus air temperature before capping. [K]
    """
    limit = thresholds()["dew"]["flag_k"]
    count = int((excess > limit).sum())
    if count == 0:
        return ()
    worst = float(excess.max())
    text = f"{count} hours have a dew point more than {limit:g} K above air temperature, up to {worst:.1f} K."
    return (Flag("dew-above-air", text, count=count, worst=worst),)


def pressure_flags(pressure: NDArray[np.float64], elevation: float) -> tuple[Flag, ...]:
    """Station pressure that does not fit the elevation in the header.

    Parameters
    ----------
    pressure : ndarray, shape (n,)
        Station pressure, may be NaN throughout. [Pa]
    elevation : float
        Of the station. [m]
    """
    if np.isnan(pressure).all():
        return ()
    mean = float(np.nanmean(pressure))
    standard = float(standard_pressure(elevation))
    share = mean / standard - 1.0
    if abs(share) <= thresholds()["pressure"]["flag_share"]:
        return ()
    text = (
        f"The mean station pressure, {mean / 1000:.1f} kPa, is {100 * share:+.1f} % off the standard "
        f"{standard / 1000:.1f} kPa of the header's elevation, {elevation:.0f} m: one of them is wrong."
    )
    return (Flag("pressure-elevation", text, worst=share),)


def zone_flags(longitude: float, utc_offset_h: float) -> tuple[Flag, ...]:
    """UTC offset far from what the longitude suggests.

    Parameters
    ----------
    longitude : float
        East positive. [deg]
    utc_offset_h : float
        Local standard time minus UTC. [h]
    """
    off = utc_offset_h - longitude / 15.0
    off -= 24.0 * round(off / 24.0)
    if abs(off) <= thresholds()["zone"]["flag_h"]:
        return ()
    text = (
        f"The UTC offset, {utc_offset_h:+g} h, is {off:+.1f} h off the solar time of {longitude:.2f} degrees."
    )
    return (Flag("zone-longitude", text, worst=off),)
