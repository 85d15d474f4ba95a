"""Whole weather files of an invented clear year, in the three formats, for tests to damage.

The sun of the generator is the NREL SPA of pvlib, not the `ephemeris` that the program uses; irradiance has
the form of the ASHRAE clear-sky model, E_DN = A exp(-B/sin beta), and belongs to the middle of the hour.
"""

from dataclasses import dataclass, field, replace
from functools import cache

import numpy as np
import pandas as pd
from pvlib import solarposition
from real_weather import pvlib_file

LATITUDE, LONGITUDE, ZONE, ELEVATION = 40.0, -105.0, -7.0, 1600.0
EPW_HEADER = (
    f"LOCATION,Testing,-,-,invented,000000,{LATITUDE},{LONGITUDE},{ZONE},{ELEVATION}",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,made up for a test",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Monday,1/1,12/31",
)


@dataclass(frozen=True)
class Rows:
    """Hourly values at the start of each hour, in the program's units; arrays of shape (n,)."""

    time: pd.DatetimeIndex
    values: dict[str, np.ndarray] = field(default_factory=dict)

    def with_values(self, **changes: np.ndarray) -> "Rows":
        return replace(self, values=self.values | changes)


@cache
def clear_year(year: int = 2001) -> Rows:
    """A year of clear days."""
    time = pd.date_range(f"{year}-01-01", f"{year}-12-31 23:00", freq="h")
    middle = (time + pd.Timedelta(minutes=30) - pd.Timedelta(hours=ZONE)).tz_localize("UTC")
    position = solarposition.get_solarposition(middle, LATITUDE, LONGITUDE, ELEVATION, method="nrel_numpy")
    height = np.cos(np.radians(position["zenith"].to_numpy()))
    up = height > 0
    dni = np.where(up, np.round(1100.0 * np.exp(-0.15 / np.where(up, height, 1.0))), 0.0)
    dhi = np.round(0.1 * dni)
    ghi = np.round(dni * np.maximum(height, 0.0) + dhi)
    hour, day = time.hour.to_numpy(), time.day_of_year.to_numpy()
    season = -np.cos(2 * np.pi * (day - 15) / 365)
    temp_air = np.round(10 + 12 * season - 6 * np.cos(2 * np.pi * (hour - 3) / 24), 1)
    values = {
        "temp_air": temp_air,
        "temp_dew": np.round(temp_air - 8.0, 1),
        "relative_humidity": np.full(len(time), 58.0),
        "pressure": np.full(len(time), 83500.0),
        "longwave_down": np.full(len(time), 280.0),
        "ghi": ghi,
        "dni": dni,
        "dhi": dhi,
        "wind_speed": np.full(len(time), 3.0),
        "opaque_cover": np.zeros(len(time)),
    }
    return Rows(time, values)


def epw_rows(rows: Rows) -> list[str]:
    """Data lines of an EPW file."""
    v = rows.values
    return [
        f"{stamp.year},{stamp.month},{stamp.day},{stamp.hour + 1},0,?9?9,"
        f"{v['temp_air'][i]:.1f},{v['temp_dew'][i]:.1f},"
        f"{v['relative_humidity'][i]:.0f},{v['pressure'][i]:.0f},0,0,{v['longwave_down'][i]:.0f},{v['ghi'][i]:.0f},"
        f"{v['dni'][i]:.0f},{v['dhi'][i]:.0f},999999,999999,999999,9999,180,{v['wind_speed'][i]:.1f},"
        f"{v['opaque_cover'][i]:.0f},{v['opaque_cover'][i]:.0f},9999,99999,9,999999999,999,.999,999,99,999,999,99"
        for i, stamp in enumerate(rows.time)
    ]


def epw_text(rows: Rows) -> str:
    """An EPW file."""
    return "\n".join([*EPW_HEADER, *epw_rows(rows)]) + "\n"


def tmy3_text(rows: Rows) -> str:
    """A TMY3 file under the column names of a published one (NREL/TP-581-43156)."""
    names = pvlib_file("723170TYA.CSV").read_text(encoding="ascii").splitlines()[1]
    sources = {
        "GHI (W/m^2)": ("ghi", 1.0),
        "DNI (W/m^2)": ("dni", 1.0),
        "DHI (W/m^2)": ("dhi", 1.0),
        "OpqCld (tenths)": ("opaque_cover", 1.0),
        "Dry-bulb (C)": ("temp_air", 1.0),
        "Dew-point (C)": ("temp_dew", 1.0),
        "RHum (%)": ("relative_humidity", 1.0),
        "Pressure (mbar)": ("pressure", 0.01),
        "Wspd (m/s)": ("wind_speed", 1.0),
    }
    columns = {
        name: np.round(rows.values[key] * factor, 1).astype(str) for name, (key, factor) in sources.items()
    }
    columns["Date (MM/DD/YYYY)"] = rows.time.strftime("%m/%d/%Y").to_numpy()
    columns["Time (HH:MM)"] = np.array([f"{hour + 1:02d}:00" for hour in rows.time.hour])
    zeros = np.full(len(rows.time), "0")
    cells = [columns.get(name, zeros) for name in names.split(",")]
    lines = [",".join(row) for row in zip(*cells, strict=True)]
    head = f'000000,"TESTING",CO,{ZONE},{LATITUDE},{LONGITUDE},{ELEVATION:.0f}'
    return "\n".join([head, names, *lines]) + "\n"


def tmy2_text(rows: Rows) -> str:
    """A TMY2 file (fixed columns of the TMY2 user's manual, table 3-2)."""
    v = {key: np.round(values).astype(int) for key, values in rows.values.items()}
    tenths = {
        key: np.round(rows.values[key] * 10).astype(int) for key in ("temp_air", "temp_dew", "wind_speed")
    }
    head = f" 00000 TESTING                CO {ZONE:3.0f} N 40  0 W 105  0  {ELEVATION:4.0f}"
    lines = [
        f" {stamp.year % 100:02d}{stamp.month:02d}{stamp.day:02d}{stamp.hour + 1:02d}00000000"
        f"{v['ghi'][i]:04d}A7{v['dni'][i]:04d}A7{v['dhi'][i]:04d}A7"
        + "0000?0" * 4
        + f"{v['opaque_cover'][i]:02d}A7" * 2
        + f"{tenths['temp_air'][i]:4d}A7{tenths['temp_dew'][i]:4d}A7{v['relative_humidity'][i]:03d}A7"
        f"{round(rows.values['pressure'][i] / 100):04d}A7180A7{tenths['wind_speed'][i]:03d}A7"
        "9999?099999?09999999999999?0999?0999?099?0"
        for i, stamp in enumerate(rows.time)
    ]
    return "\n".join([head, *lines]) + "\n"


WRITERS = {"EPW": epw_text, "TMY3": tmy3_text, "TMY2": tmy2_text}
