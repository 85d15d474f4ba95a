"""Makes the demo's hourly weather years, by fixed arithmetic: the same bytes on every run.

In: places.toml beside this file (invented climates). Out: one EPW file a place, in the layout of the
US Department of Energy, "Auxiliary Programs" EPW data dictionary. Run it with ``python climates/make_climates.py [--out
FOLDER]``.

Nothing here is a measurement, and no place exists. The year is built from a seasonal and a daily cycle,
persistent weather from an integer hash (no library's random stream), a few heat waves and cold snaps, and a
sun computed at the middle of each hour, so that global = direct x cos(zenith) + diffuse closes within the
rounding to whole W/m2.

Formulas and their sources: sun position, Astronomical Almanac in the form of Michalsky, Solar Energy 40
(1988) 227; refraction, Saemundsson in Meeus, Astronomical Algorithms ch. 16; relative air mass, Kasten &
Young, Applied Optics 28 (1989) 4735; clear sky by pseudo optical depths and daily temperature profile,
ASHRAE Handbook of Fundamentals 2013, ch. 14; global radiation under cloud, Kasten & Czeplak, Solar Energy
24 (1980) 177; sky longwave, Clark & Allen (1978) with the cloud factor of Walton (1983); water vapour,
Magnus with the coefficients of the WMO Guide no. 8; wet bulb, Stull, J. Appl. Meteorol. Climatol. 50 (2011)
2267 (header only); return values of extremes, Gumbel's T_n = M + F s, ASHRAE Handbook of Fundamentals, ch.
14.
"""

import argparse
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
from design_conditions import design_conditions, vapour_pressure
from numpy.typing import NDArray

Array = NDArray[np.float64]

HERE = Path(__file__).resolve().parent
SOURCE_YEAR = 2005  # the year written into the rows; not leap, begins on a Saturday
FIRST_WEEKDAY = "Saturday"
JULIAN_FIRST = 2_453_371.5  # 1 January 2005, 0 h UTC
DAYS = 365
HOURS = DAYS * 24
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4
SOLAR_CONSTANT = 1367.0  # W/m2
# Middle of each hour, counted from 1 January 0 h local standard time.
HOUR = np.arange(HOURS, dtype=float) + 0.5
LABEL = "synthetic, invented for the demo, not a real place; made by make_climates.py"

# Share of the daily range below the maximum at 1 h ... 24 h (ASHRAE Handbook of Fundamentals, daily profile).
DAILY_PROFILE: tuple[float, ...] = (0.87, 0.92, 0.96, 0.99, 1.00, 0.98, 0.93, 0.84, 0.71, 0.56, 0.39, 0.23)
DAILY_PROFILE += (0.11, 0.03, 0.00, 0.03, 0.10, 0.21, 0.34, 0.47, 0.58, 0.68, 0.76, 0.82)

# Flags, and every field the generator does not make, as EPW's own missing codes.
NOT_MADE_LIGHT = "999999,999999,999999,9999"
NOT_MADE_REST = "9999,99999,9,999999999,999,.999,999,99,999,999,99"


def white(seed: int, channel: int, count: int) -> Array:
    """Independent numbers with mean 0 and standard deviation 1, from an integer hash.

    Each is the scaled sum of four uniforms, so none lies beyond 3.47. The hash is the finaliser of SplitMix64
    (Steele, Lea & Flood 2014) in exact 64-bit integers.
    """
    index = np.arange(4 * count, dtype=np.uint64) + np.uint64((seed * 1000 + channel) * 1_000_003)
    z = (index + np.uint64(1)) * np.uint64(0x9E3779B97F4A7C15)
    z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    z = z ^ (z >> np.uint64(31))
    uniform = (z >> np.uint64(11)).astype(float) / float(1 << 53)
    four = uniform.reshape(4, count)
    return (four[0] + four[1] + four[2] + four[3] - 2.0) * 3.0**0.5


def persistent(seed: int, channel: int, count: int, persistence: float) -> Array:
    """Numbers with mean 0 and standard deviation 1 that remember: x_i = p x_(i-1) + sqrt(1 - p^2) e_i."""
    fresh = white(seed, channel, count)
    kept = (1.0 - persistence * persistence) ** 0.5
    series = [float(fresh[0])]
    for value in fresh[1:]:
        series.append(persistence * series[-1] + kept * float(value))
    return np.asarray(series)


def over_hours(daily: Array) -> Array:
    """Daily values, each at noon of its day, drawn into a continuous line over the hours (in days)."""
    return np.interp(HOUR / 24.0, np.arange(DAYS) + 0.5, daily)


def between(pair: list[float], summer: Array) -> Array:
    """From a winter and a summer value, with ``summer`` running 0 ... 1."""
    return pair[0] + (pair[1] - pair[0]) * summer


def humps(events: list[list[float]], day: Array) -> Array:
    """Heat waves and cold snaps: sin^2 humps of the stated length and height. [K]."""
    total = np.zeros_like(day)
    for first, length, height in events:
        share = np.clip((day - first) / length, 0.0, 1.0)
        total = total + height * np.sin(np.pi * share) ** 2
    return total


def sun(latitude: float, longitude: float, utc_offset_h: float) -> Array:
    """Sine of the apparent elevation of the sun at the middle of every hour.

    Michalsky (1988), with refraction after Saemundsson; 0 where its centre is truly below the horizon.
    """
    n = JULIAN_FIRST + (HOUR - utc_offset_h) / 24.0 - 2_451_545.0
    mean_longitude = np.radians(np.mod(280.460 + 0.9856474 * n, 360.0))
    anomaly = np.radians(np.mod(357.528 + 0.9856003 * n, 360.0))
    ecliptic = mean_longitude + np.radians(1.915 * np.sin(anomaly) + 0.020 * np.sin(2.0 * anomaly))
    obliquity = np.radians(23.439 - 0.0000004 * n)
    ascension = np.arctan2(np.cos(obliquity) * np.sin(ecliptic), np.cos(ecliptic))
    sine_declination = np.sin(obliquity) * np.sin(ecliptic)
    cosine_declination = np.sqrt(1.0 - sine_declination**2)
    universal_hour = np.mod(HOUR - utc_offset_h, 24.0)
    sidereal = np.radians(15.0 * np.mod(6.697375 + 0.0657098242 * n + universal_hour, 24.0) + longitude)
    phi = np.radians(latitude)
    true = np.sin(phi) * sine_declination + np.cos(phi) * cosine_declination * np.cos(sidereal - ascension)
    elevation = np.degrees(np.arcsin(np.clip(true, -1.0, 1.0)))
    raised = np.maximum(elevation, -1.0)
    refraction = 1.02 / np.tan(np.radians(raised + 10.3 / (raised + 5.11))) / 60.0
    apparent = np.sin(np.radians(elevation + refraction))
    return np.where(true > 0.0, apparent, 0.0)


def clear_sky(sine: Array, normal_extra: Array, tau_b: Array, tau_d: Array) -> tuple[Array, Array]:
    """Direct normal and diffuse horizontal radiation of a cloudless sky, by pseudo optical depths. [W/m2].

    Near the horizon, where the formula was not fitted, diffuse is at most 0.9 of what arrives above the
    atmosphere.
    """
    up = sine > 0.0
    elevation = np.degrees(np.arcsin(np.clip(sine, 1e-4, 1.0)))
    air_mass = 1.0 / (np.clip(sine, 1e-4, 1.0) + 0.50572 * (6.07995 + elevation) ** -1.6364)
    beam_power = 1.454 - 0.406 * tau_b - 0.268 * tau_d + 0.021 * tau_b * tau_d
    diffuse_power = 0.507 + 0.205 * tau_b - 0.080 * tau_d - 0.190 * tau_b * tau_d
    beam = normal_extra * np.exp(-tau_b * air_mass**beam_power)
    diffuse = np.minimum(normal_extra * np.exp(-tau_d * air_mass**diffuse_power), 0.9 * normal_extra * sine)
    return np.where(up, beam, 0.0), np.where(up, diffuse, 0.0)


def air(place: dict[str, Any], summer: Array, day: Array) -> tuple[Array, Array, Array]:
    """Air temperature, dew point and opaque cover hour by hour. [degC, degC, tenths]."""
    seed = int(place["seed"])
    temperature, dew, cloud = place["temperature"], place["dew_point"], place["cloud"]
    hump = humps(place["events"], day)
    strength = np.abs(hump) / max(abs(event[2]) for event in place["events"])

    cover_noise = over_hours(persistent(seed, 1, DAYS, 0.45))
    broken = persistent(seed, 2, HOURS, 0.80)
    cover = between(cloud["cover"], summer) + cloud["sd"] * cover_noise + 0.9 * broken
    cover = np.rint(np.clip(cover * (1.0 - 0.75 * strength), 0.0, 10.0))
    cover_day = over_hours(cover.reshape(DAYS, 24).sum(axis=1) / 24.0)

    anomaly = over_hours(persistent(seed, 3, DAYS, temperature["persistence"]))
    anomaly = anomaly * between(temperature["sd"], summer) * (1.0 - 0.5 * strength)
    season = temperature["mean"] + temperature["swing"] * (2.0 * summer - 1.0)
    daily_range = temperature["range"] + temperature["range_swing"] * (2.0 * summer - 1.0)
    daily_range = daily_range * (1.20 - 0.055 * cover_day)
    profile = np.interp(np.mod(HOUR, 24.0), np.arange(25), (DAILY_PROFILE[-1], *DAILY_PROFILE))
    ripple = 0.25 * persistent(seed, 4, HOURS, 0.85)
    temp_air = season + anomaly + hump + daily_range * (0.5 - profile) + ripple

    moisture = over_hours(persistent(seed, 5, DAYS, 0.70))
    depression = between(dew["depression"], summer) - 0.35 * (cover_day - 5.0)
    temp_dew = season + 0.75 * anomaly + 0.55 * hump - depression + dew["sd"] * moisture
    temp_dew = np.minimum(temp_dew, temp_air - dew["least"] - 0.06 * (10.0 - cover))
    return np.round(temp_air, 1), np.round(temp_dew, 1), cover


def wind(place: dict[str, Any], summer: Array) -> tuple[Array, Array]:
    """Wind speed and the direction it comes from; calm hours have direction 0. [m/s, degrees]."""
    seed = int(place["seed"])
    afternoon = 0.5 + 0.5 * np.cos(2.0 * np.pi * (np.mod(HOUR, 24.0) - 15.0) / 24.0)
    share = place["wind"]["night_share"]
    synoptic = over_hours(persistent(seed, 6, DAYS, 0.60))
    gusty = persistent(seed, 7, HOURS, 0.75)
    speed = between(place["wind"]["mean"], summer) * (share + (1.0 - share) * afternoon)
    speed = speed * np.exp(0.38 * synoptic + 0.22 * gusty - 0.10) - 0.7
    speed = np.round(np.clip(speed, 0.0, 22.0), 1)
    turn = 45.0 * over_hours(persistent(seed, 8, DAYS, 0.60)) + 15.0 * persistent(seed, 9, HOURS, 0.85)
    direction = np.mod(np.rint((place["wind"]["direction"] + turn) / 10.0) * 10.0, 360.0)
    direction = np.where(direction == 0.0, 360.0, direction)
    return speed, np.where(speed == 0.0, 0.0, direction)


def hourly(place: dict[str, Any]) -> dict[str, Array]:
    """All hourly quantities of one place, rounded as they are printed.

    Parameters
    ----------
    place : dict
        One ``[[place]]`` of places.toml.

    Returns
    -------
    dict of ndarray, shape (8760,)
        Keys as in pvlib's names: temp_air, temp_dew [degC], relative_humidity [%], pressure [Pa], etr, etrn,
        longwave, ghi, dni, dhi [W/m2], wind_direction [degrees], wind_speed [m/s], cover [tenths].
    """
    day = HOUR / 24.0
    summer = 0.5 + 0.5 * np.cos(2.0 * np.pi * (day - place["temperature"]["warmest_day"]) / DAYS)
    temp_air, temp_dew, cover = air(place, summer, day)
    wind_speed, wind_direction = wind(place, summer)

    sine = sun(place["latitude"], place["longitude"], place["utc_offset_h"])
    etrn = SOLAR_CONSTANT * (1.0 + 0.033 * np.cos(2.0 * np.pi * (day - 3.0) / DAYS))
    sky = place["clear_sky"]
    beam, diffuse = clear_sky(sine, etrn, between(sky["tau_b"], summer), between(sky["tau_d"], summer))
    share = cover / 10.0
    dni = np.rint(beam * (1.0 - share) ** 1.2)
    ghi_cloudy = (beam * sine + diffuse) * (1.0 - 0.75 * share**3.4)
    dhi = np.rint(np.maximum(ghi_cloudy - dni * sine, 0.0))
    ghi = np.rint(dni * sine + dhi)

    elevation = float(place["elevation_m"])
    standard = 101_325.0 * (1.0 - 2.25577e-5 * elevation) ** 5.25588
    barometer = over_hours(persistent(int(place["seed"]), 10, DAYS, 0.75))
    tide = np.cos(4.0 * np.pi * (np.mod(HOUR, 24.0) - 10.0) / 24.0)
    swing = 0.0012 + 0.0058 * min(1.0, abs(place["latitude"]) / 50.0)
    pressure = np.rint(standard * (1.0 + swing * barometer + 0.0006 * tide) / 10.0) * 10.0

    kelvin = temp_air + 273.15
    factor = 1.0 + 0.0224 * cover - 0.0035 * cover**2 + 0.00028 * cover**3
    emissivity = (0.787 + 0.764 * np.log((temp_dew + 273.15) / 273.0)) * factor
    humidity = 100.0 * vapour_pressure(temp_dew) / vapour_pressure(temp_air)
    return {
        "temp_air": temp_air,
        "temp_dew": temp_dew,
        "relative_humidity": np.clip(np.rint(humidity), 1.0, 100.0),
        "pressure": pressure,
        "etr": np.rint(etrn * sine),
        "etrn": np.where(sine > 0.0, np.rint(etrn), 0.0),
        "longwave": np.rint(emissivity * STEFAN_BOLTZMANN * kelvin**4),
        "ghi": ghi,
        "dni": dni,
        "dhi": dhi,
        "wind_direction": wind_direction,
        "wind_speed": wind_speed,
        "cover": cover,
    }


def header(place: dict[str, Any], table: dict[str, Array]) -> list[str]:
    """Write the eight header lines, the place marked as synthetic in three of them."""
    location = (
        f"LOCATION,{place['city']},-,-,edgecheck synthetic,000000,{place['latitude']:.2f},"
        f"{place['longitude']:.2f},{place['utc_offset_h']:.1f},{place['elevation_m']:.1f}"
    )
    return [
        location,
        design_conditions(place, table, MONTH_DAYS),
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        f"COMMENTS 1,{LABEL}",
        f"COMMENTS 2,{LABEL}; sun at the middle of the hour; fields not made carry EPW's missing codes",
        f"DATA PERIODS,1,1,Data,{FIRST_WEEKDAY}, 1/ 1,12/31",
    ]


def epw_text(place: dict[str, Any]) -> str:
    """Write the whole EPW file of one place, lines ended by a line feed."""
    table = hourly(place)
    dates = [(month + 1, date + 1) for month, days in enumerate(MONTH_DAYS) for date in range(days)]
    lines = header(place, table)
    columns = [table[name].tolist() for name in table]
    for i, row in enumerate(zip(*columns, strict=True)):
        month, date = dates[i // 24]
        dry, dew, humidity, pressure, etr, etrn, longwave, ghi, dni, dhi, direction, speed, cover = row
        # Adding 0.0 turns a rounded -0.0 into 0.0.
        lines.append(
            f"{SOURCE_YEAR},{month},{date},{i % 24 + 1},0,syn,{dry + 0.0:.1f},{dew + 0.0:.1f},{humidity:.0f},"
            f"{pressure:.0f},{etr:.0f},{etrn:.0f},{longwave:.0f},{ghi:.0f},{dni:.0f},{dhi:.0f},"
            f"{NOT_MADE_LIGHT},{direction:.0f},{speed:.1f},{cover:.0f},{cover:.0f},{NOT_MADE_REST}"
        )
    return "\n".join(lines) + "\n"


def main() -> None:
    """Write every file of places.toml into the folder of ``--out`` (default: beside this program)."""
    parser = argparse.ArgumentParser(description="Make the demo's synthetic weather years (EPW).")
    parser.add_argument("--out", type=Path, default=HERE, help="folder to write into")
    out: Path = parser.parse_args().out
    places = tomllib.loads((HERE / "places.toml").read_text(encoding="utf-8"))["place"]
    out.mkdir(parents=True, exist_ok=True)
    for place in places:
        (out / place["file"]).write_bytes(epw_text(place).encode("ascii"))
        print(out / place["file"])


if __name__ == "__main__":
    main()
