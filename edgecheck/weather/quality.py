"""What is doubtful about a weather file: the kinds of doubt, each with its function, and the table of a report.

In: masks over the hours. Out: `Finding`, one for every kind and variable that was looked at, and `Flag` for
those that lower the check of the weather to a caution. Limits stand in thresholds.toml.
"""

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.weather import hour_masks

if TYPE_CHECKING:
    from edgecheck.weather.series import Weather

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
        Kind of doubt, words joined by hyphens.
    text : str
        A sentence with its numbers and units.
    count : int, optional
        Hours concerned.
    worst : float, optional
        The worst value, in the unit named by the text.
    first : str
        First hour concerned, local standard time with the file's own year; empty where none is.
    """

    code: str
    text: str
    count: int | None = None
    worst: float | None = None
    first: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Plain record for JSON."""
        return asdict(self)


@dataclass(frozen=True)
class Kind:
    """One kind of doubt.

    Parameters
    ----------
    code : str
        Stable name, words joined by hyphens.
    title : str
        What is looked for.
    find : callable
        The function of hour_masks.py that marks the hours.
    """

    code: str
    title: str
    find: Callable[..., NDArray[np.bool_]]


KINDS: Mapping[str, Kind] = {
    kind.code: kind
    for kind in (
        Kind("impossible", "values that cannot be; taken as missing", hour_masks.outside),
        Kind("gaps", "missing hours; interpolated in time", hour_masks.missing),
        Kind("spike", "single hours that leap away from both neighbours", hour_masks.spikes),
        Kind("stuck", "one value for many hours on end", hour_masks.stuck),
        Kind("dew-above-air", "dew point above air temperature; capped", hour_masks.dew_above_air),
        Kind("unusual", "values outside the usual range", hour_masks.outside),
        Kind("night-sun", "irradiance in the dark", hour_masks.night_sun),
        Kind("closure", "irradiance components that do not belong together", hour_masks.apart),
        Kind("hour-shift", "months that fit an hour earlier or later", hour_masks.shifted),
        Kind("alignment-unknown", "too little beam to tell whether hours are in place", hour_masks.missing),
        Kind("zone-longitude", "UTC offset far from solar time", hour_masks.zone_off),
        Kind("pressure-elevation", "pressure that does not fit the elevation", hour_masks.pressure_off),
    )
}


@dataclass(frozen=True)
class Finding:
    """What was found when looking for one kind of doubt.

    Parameters
    ----------
    kind : str
        Code of the kind.
    variable : str
        Variable, empty where the file as a whole is meant.
    hours : int
        Hours concerned.
    worst : float, optional
        The worst value or distance among them.
    unit : str
        Of `worst`.
    first : str
        First hour concerned, as in `Flag`.
    raised : bool
        Whether it counts as a flag.
    text : str
        The flag's sentence.
    """

    kind: str
    variable: str
    hours: int
    worst: float | None
    unit: str
    first: str
    raised: bool
    text: str

    def flag(self) -> Flag:
        """Make the flag of it."""
        return Flag(self.kind, self.text, self.hours or None, self.worst, self.first)


@dataclass(frozen=True)
class QualityRow:
    """One line of the quality table.

    Parameters
    ----------
    flag : str
        Kind of doubt in words, with the variable.
    hours : int
        Hours concerned.
    worst : str
        The worst value with its unit; empty where there is none.
    first : str
        First hour concerned; empty where there is none.
    raised : bool
        Whether it lowers the check of the weather.
    """

    flag: str
    hours: int
    worst: str
    first: str
    raised: bool


def quality_table(weather: "Weather") -> tuple[QualityRow, ...]:
    """Everything that was looked at in a file, for its report.

    Parameters
    ----------
    weather : Weather

    Returns
    -------
    tuple of QualityRow
        Raised flags first, then in the order of looking; kinds of which nothing was found in any variable
        take one row.
    """
    rows, empty = [], []
    for kind in KINDS.values():
        found = [one for one in weather.findings if one.kind == kind.code]
        some = [one for one in found if one.hours or one.raised]
        rows += [_row(kind, one) for one in some]
        if found and not some:
            empty.append(QualityRow(kind.title, 0, "", "", False))
    return tuple(sorted(rows, key=lambda row: not row.raised) + empty)


def _row(kind: Kind, found: Finding) -> QualityRow:
    label = f"{LABELS[found.variable][0]}: " if found.variable else ""
    worst = "" if found.worst is None else f"{found.worst:.4g} {found.unit}"
    return QualityRow(label + kind.title, found.hours, worst, found.first, found.raised)
