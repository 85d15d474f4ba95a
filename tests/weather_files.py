"""Whole weather files of an invented clear year, or of a real one, in every format, for tests to damage.

The sun of the generator is the NREL SPA of pvlib, not the `ephemeris` that the program uses; irradiance has
the form of the ASHRAE clear-sky model, E_DN = A exp(-B/sin beta), and belongs to the middle of the hour unless
`sun_min` says otherwise.
"""

import json
from dataclasses import dataclass, field, replace
from functools import cache

import numpy as np
import pandas as pd
from pvlib import iotools, solarposition
from real_weather import pvlib_file


@dataclass(frozen=True)
class Spot:
    """Where a file's data belong. [deg, deg, h, m]"""

    latitude: float = 40.0
    longitude: float = -105.0
    zone: float = -7.0
    elevation: float = 1600.0


HERE = Spot()
LATITUDE, LONGITUDE, ZONE, ELEVATION = HERE.latitude, HERE.longitude, HERE.zone, HERE.elevation


def epw_header(spot: Spot = HERE, per_hour: int = 1) -> tuple[str, ...]:
    """Eight header lines."""
    return (
        f"LOCATION,Testing,-,-,invented,000000,{spot.latitude},{spot.longitude},{spot.zone},{spot.elevation}",
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        "COMMENTS 1,made up for a test",
        "COMMENTS 2,",
        f"DATA PERIODS,1,{per_hour},Data,Monday,1/1,12/31",
    )


EPW_HEADER = epw_header()


@dataclass(frozen=True)
class Rows:
    """Values at the start of each hour, or record, in the program's units; arrays of shape (n,)."""

    time: pd.DatetimeIndex
    values: dict[str, np.ndarray] = field(default_factory=dict)
    spot: Spot = HERE

    def with_values(self, **changes: np.ndarray) -> "Rows":
        return replace(self, values=self.values | changes)

    def rolled(self, hours: int) -> "Rows":
        """The same times with the values `hours` rows later."""
        return replace(self, values={key: np.roll(one, hours) for key, one in self.values.items()})

    def joined(self, other: "Rows") -> "Rows":
        values = {key: np.concatenate([one, other.values[key]]) for key, one in self.values.items()}
        return replace(self, time=self.time.append(other.time), values=values)


@cache
def clear_year(year: int = 2001, spot: Spot = HERE, minutes: int = 60, sun_min: float = 30.0) -> Rows:
    """A year of clear days, records `minutes` apart with the sun `sun_min` after each."""
    time = pd.date_range(f"{year}-01-01", f"{year + 1}-01-01", freq=f"{minutes}min", inclusive="left")
    middle = (time + pd.Timedelta(minutes=sun_min) - pd.Timedelta(hours=spot.zone)).tz_localize("UTC")
    position = solarposition.get_solarposition(
        middle, spot.latitude, spot.longitude, spot.elevation, method="nrel_numpy"
    )
    height = np.cos(np.radians(position["zenith"].to_numpy()))
    up = height > 0
    dni = np.where(up, np.round(1100.0 * np.exp(-0.15 / np.where(up, height, 1.0))), 0.0)
    dhi = np.round(0.1 * dni)
    ghi = np.round(dni * np.maximum(height, 0.0) + dhi)
    hour = time.hour.to_numpy() + time.minute.to_numpy() / 60
    day = time.day_of_year.to_numpy()
    season = -np.cos(2 * np.pi * (day - 15) / 365)
    temp_air = np.round(10 + 12 * season - 6 * np.cos(2 * np.pi * (hour - 3) / 24), 1)
    values = {
        "temp_air": temp_air,
        "temp_dew": np.round(temp_air - 8.0, 1),
        "relative_humidity": np.full(len(time), 58.0),
        "pressure": np.full(len(time), round(101325 * (1 - 2.25577e-5 * spot.elevation) ** 5.25588, -2)),
        "longwave_down": np.full(len(time), 280.0),
        "ghi": ghi,
        "dni": dni,
        "dhi": dhi,
        "wind_speed": 3.0 + np.arange(len(time)) % 3,
        "opaque_cover": np.zeros(len(time)),
    }
    return Rows(time, values, spot)


@cache
def real_year() -> Rows:
    """Greensboro, a real typical year, from the TMY3 file that pvlib ships, read by pvlib."""
    frame, meta = iotools.read_tmy3(pvlib_file("723170TYA.CSV"), coerce_year=2001, map_variables=True)
    values = {
        key: frame[key].to_numpy(dtype=float)
        for key in ("temp_air", "temp_dew", "relative_humidity", "ghi", "dni", "dhi", "wind_speed")
    }
    values["pressure"] = frame["pressure"].to_numpy(dtype=float) * 100.0
    values["opaque_cover"] = frame["OpqCld (tenths)"].to_numpy(dtype=float)
    values["longwave_down"] = np.full(len(frame), 9999.0)
    spot = Spot(meta["latitude"], meta["longitude"], meta["TZ"], meta["altitude"])
    return Rows(pd.date_range("2001-01-01", "2001-12-31 23:00", freq="h"), values, spot)


def epw_rows(rows: Rows) -> list[str]:
    """Data lines of an EPW file."""
    v = rows.values
    return [
        f"{stamp.year},{stamp.month},{stamp.day},{stamp.hour + 1},{stamp.minute},?9?9,"
        f"{v['temp_air'][i]:.1f},{v['temp_dew'][i]:.1f},"
        f"{v['relative_humidity'][i]:.0f},{v['pressure'][i]:.0f},0,0,{v['longwave_down'][i]:.0f},{v['ghi'][i]:.0f},"
        f"{v['dni'][i]:.0f},{v['dhi'][i]:.0f},999999,999999,999999,9999,180,{v['wind_speed'][i]:.1f},"
        f"{v['opaque_cover'][i]:.0f},{v['opaque_cover'][i]:.0f},9999,99999,9,999999999,999,.999,999,99,999,999,99"
        for i, stamp in enumerate(rows.time)
    ]


def epw_text(rows: Rows) -> str:
    """An EPW file."""
    per_hour = round(3600 / (rows.time[1] - rows.time[0]).total_seconds())
    return "\n".join([*epw_header(rows.spot, per_hour), *epw_rows(rows)]) + "\n"


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
    spot = rows.spot
    head = f'000000,"TESTING",CO,{spot.zone},{spot.latitude},{spot.longitude},{spot.elevation:.0f}'
    return "\n".join([head, names, *lines]) + "\n"


def tmy2_text(rows: Rows) -> str:
    """A TMY2 file (fixed columns of the TMY2 user's manual, table 3-2), at the invented place."""
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


def nsrdb_text(rows: Rows) -> str:
    """An NSRDB CSV file, with blank columns at the end as a spreadsheet leaves them."""
    v, spot = rows.values, rows.spot
    zone = f"{spot.zone:g}"
    lines = [
        "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time Zone,Version",
        f"NSRDB,123456,-,-,-,{spot.latitude},{spot.longitude},{zone},{spot.elevation:g},{zone},4.0.0",
        "Year,Month,Day,Hour,Minute,Temperature,Cloud Type,Dew Point,DHI,DNI,Fill Flag,GHI,Relative Humidity,"
        "Solar Zenith Angle,Pressure,Wind Speed,,",
    ]
    lines += [
        f"{stamp.year},{stamp.month},{stamp.day},{stamp.hour},{stamp.minute},{v['temp_air'][i]:g},7,"
        f"{v['temp_dew'][i]:g},{v['dhi'][i]:.0f},{v['dni'][i]:.0f},0,{v['ghi'][i]:.0f},"
        f"{v['relative_humidity'][i]:g},90.1,{v['pressure'][i] / 100:g},{v['wind_speed'][i]:g},,"
        for i, stamp in enumerate(rows.time)
    ]
    return "\n".join(lines) + "\n"


def pvgis_records(rows: Rows) -> list[dict[str, float | str]]:
    """Records of PVGIS under its names: UTC, one for each row, its sign of zero as published."""
    keys = {
        "T2m": "temp_air", "RH": "relative_humidity", "G(h)": "ghi", "Gb(n)": "dni", "Gd(h)": "dhi",
        "IR(h)": "longwave_down", "WS10m": "wind_speed", "WD10m": "relative_humidity", "SP": "pressure",
    }  # fmt: skip
    utc = rows.rolled(-round(rows.spot.zone)).values
    columns = {name: utc[key].tolist() for name, key in keys.items()}
    stamps = rows.time.strftime("%Y%m%d:%H%M")
    return [
        {"time(UTC)": stamp} | {name: column[i] for name, column in columns.items()}
        for i, stamp in enumerate(stamps)
    ]


def pvgis_csv_text(rows: Rows, offset_h: float | None = 0.5, *, typical: bool = True) -> str:
    """A PVGIS CSV file, typical year or series, with a legend."""
    spot, records = rows.spot, pvgis_records(rows)
    lines = [
        f"Latitude (decimal degrees): {spot.latitude:.3f}",
        f"Longitude (decimal degrees): {spot.longitude:.3f}",
        f"Elevation (m): {spot.elevation:.1f}",
    ]
    if offset_h is not None:
        lines.append(f"Irradiance Time Offset (h): {offset_h:.4f}")
    if typical:
        lines += ["month,year", *(f"{month},{rows.time[0].year}" for month in range(1, 13))]
    lines.append(",".join(records[0]))
    lines += [",".join(map(str, record.values())) for record in records]
    legend = ["", "T2m: 2-m air temperature (degree Celsius)", "RH: relative humidity (%)", "", "PVGIS, 2024"]
    return "\r\n".join([*lines, *legend]) + "\r\n"


def pvgis_json_text(rows: Rows, offset_h: float = 0.5) -> str:
    """A PVGIS JSON file, on one line as published."""
    spot = rows.spot
    place = {"latitude": spot.latitude, "longitude": spot.longitude, "elevation": spot.elevation}
    months = [{"month": month, "year": rows.time[0].year} for month in range(1, 13)]
    content = {
        "inputs": {"location": place | {"irradiance_time_offset": offset_h}, "meteo_data": {}},
        "outputs": {"months_selected": months, "tmy_hourly": pvgis_records(rows)},
        "meta": {"inputs": {}},
    }
    return json.dumps(content)


def plain_text(rows: Rows, label: str = "start") -> str:
    """A file of the open hourly form."""
    spot = rows.spot
    step = rows.time[1] - rows.time[0]
    stamps = (rows.time + step if label == "end" else rows.time).strftime("%Y-%m-%d %H:%M")
    names = [key for key in rows.values if key not in ("longwave_down", "relative_humidity")]
    head = [
        "# place: Testing", f"# latitude: {spot.latitude}", f"# longitude: {spot.longitude}",
        f"# elevation: {spot.elevation}", f"# utc_offset_h: {spot.zone}", f"# time_label: {label}",
        ",".join(["time", *names]),
    ]  # fmt: skip
    columns = [rows.values[key].tolist() for key in names]
    lines = [
        ",".join([stamp, *(f"{x:g}" for x in row)]) for stamp, *row in zip(stamps, *columns, strict=True)
    ]
    return "\n".join([*head, *lines]) + "\n"


WRITERS = {"EPW": epw_text, "TMY3": tmy3_text, "TMY2": tmy2_text}
EVERY_WRITER = WRITERS | {
    "NSRDB CSV": nsrdb_text,
    "PVGIS CSV": pvgis_csv_text,
    "PVGIS JSON": pvgis_json_text,
    "hourly CSV": plain_text,
}
