"""Clear invented years for any place on Earth, as EPW files.

Sun by NREL's SPA of pvlib (the program uses another one), irradiance of the form of the ASHRAE clear sky.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd
from pvlib import solarposition
from weather_files import EPW_HEADER, Rows, epw_rows


@dataclass(frozen=True)
class Place:
    """Position [deg], zone [h], elevation [m], mean air temperature [degC] and half swings of year and day [K]."""

    latitude: float
    longitude: float
    zone: float
    elevation: float
    mean: float
    season: float
    day: float


def write_epw(path: Path, place: Place) -> None:
    """A year of clear days at a place."""
    time = pd.date_range("2001-01-01", "2001-12-31 23:00", freq="h")
    middle = (time + pd.Timedelta(minutes=30) - pd.Timedelta(hours=place.zone)).tz_localize("UTC")
    position = solarposition.get_solarposition(
        middle, place.latitude, place.longitude, place.elevation, method="nrel_numpy"
    )
    height = np.cos(np.radians(position["zenith"].to_numpy()))
    up = height > 0
    dni = np.where(up, np.round(1100.0 * np.exp(-0.15 / np.where(up, height, 1.0))), 0.0)
    dhi = np.round(0.1 * dni)
    warmest = 200 if place.latitude >= 0 else 18
    hour, day = time.hour.to_numpy(), time.day_of_year.to_numpy()
    temp_air = (
        place.mean
        + place.season * np.cos(2 * np.pi * (day - warmest) / 365)
        + place.day * np.cos(2 * np.pi * (hour - 15) / 24)
    )
    rows = Rows(
        time,
        {
            "temp_air": np.round(temp_air, 1),
            "temp_dew": np.round(temp_air - 8.0, 1),
            "relative_humidity": np.full(len(time), 58.0),
            "pressure": np.full(len(time), 101325.0 * (1.0 - 2.25577e-5 * place.elevation) ** 5.25588),
            "longwave_down": np.round(0.75 * 5.670374e-8 * (temp_air + 273.15) ** 4),
            "ghi": np.round(dni * np.maximum(height, 0.0) + dhi),
            "dni": dni,
            "dhi": dhi,
            "wind_speed": np.full(len(time), 3.0),
            "opaque_cover": np.zeros(len(time)),
        },
    )
    where = f"{place.latitude},{place.longitude},{place.zone},{place.elevation}"
    head = (f"LOCATION,Testing,-,-,invented,000000,{where}", *EPW_HEADER[1:])
    path.write_text("\n".join([*head, *epw_rows(rows)]) + "\n", encoding="ascii")
