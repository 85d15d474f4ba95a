"""The heat of one site as somebody would write it in an afternoon: pvlib, a table interpolator and scipy's solve_ivp.

The same model of a chiller as edgecheck's: sun on five faces, roof and shell, roof-warm and recirculated inlet air,
the rating table at the equivalent inlet, the liquid followed through 8760 hours; for the whole site also the worst of
eight directions of the front, a hot and a cold week, the loss of cooling with and without the pump and a power cut of
a day from every hour. No sound, no roof, no other check. It reads the weather file and the unit file by itself and
shares no code with edgecheck.
"""

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pvlib
from scipy.integrate import solve_ivp
from scipy.interpolate import RegularGridInterpolator
from scipy.optimize import newton

SIGMA, ZERO, AIR_CP, GAS = 5.670374419e-8, 273.15, 1006.0, 287.042
DARK_ROOF = (0.90, 0.90)  # absorptance, emissivity
WIND_SHARE, RECIRCULATION, MIXING = 0.5, 0.05, 0.04
CLOSES_IN = 60.0  # s, time constant of the control that holds the setpoint here


@dataclass(frozen=True)
class Hours:
    """Hourly arrays of shape (n,)."""

    share: np.ndarray  # service headroom over heat to reject [-]
    load: np.ndarray  # [W]
    capacity: np.ndarray  # at the setpoint [W]
    slope: np.ndarray  # of the capacity with the liquid [W/K]
    shell: np.ndarray  # into the liquid at the setpoint [W]
    conducted: np.ndarray  # its fall with the liquid [W/K]


@dataclass(frozen=True)
class Year:
    """What came out for the year: hourly arrays of shape (8760,)."""

    hours: Hours
    liquid: np.ndarray  # [degC]


@dataclass(frozen=True)
class Site:
    """What came out for a site."""

    front: float  # [deg]
    year: Year
    hot_peak: float  # liquid in the hot week [degC]
    cold_lowest: float  # liquid in the cold week [degC]
    to_shutdown: tuple[np.ndarray, np.ndarray]  # with and without the pump, from every hour [s]
    after_cut: np.ndarray  # liquid after a power cut from every hour [degC]


def read(epw: Path) -> tuple[pd.DataFrame, dict[str, Any]]:
    """Weather file."""
    return pvlib.iotools.read_epw(epw, coerce_year=2001)


def conditions(
    data: pd.DataFrame, meta: dict[str, Any], unit: dict[str, Any], load_kw: float, front: float
) -> Hours:
    """Heat to reject and capacity of some hours at the weather station, on a dark roof.

    Parameters
    ----------
    data, meta
        From `read`.
    unit : dict
        The unit file: a chiller with limits on the return side, arriving basis.
    load_kw : float
        IT load.
    front : float
        Direction of the front. [deg]
    """
    body, liquid, cooling = unit["body"], unit["liquid"], unit["cooling"]
    air, wind = data["temp_air"].to_numpy(), WIND_SHARE * data["wind_speed"].to_numpy()
    pressure, sky = data["atmospheric_pressure"].to_numpy(), data["ghi_infrared"].to_numpy()
    setpoint = liquid["setpoint_c"]

    # sun
    position = pvlib.solarposition.get_solarposition(
        data.index + pd.Timedelta(minutes=30), meta["latitude"], meta["longitude"], meta["altitude"]
    )
    zenith = position["apparent_zenith"].to_numpy()
    extra = pvlib.irradiance.get_extra_radiation(data.index).to_numpy()
    mass = pvlib.atmosphere.get_relative_airmass(zenith)
    absorbing, radiating = DARK_ROOF
    sun = []
    for tilt, azimuth in ((0, 0), *((90, (front + turn) % 360) for turn in (0, 90, 180, 270))):
        parts = pvlib.irradiance.get_total_irradiance(
            tilt, azimuth, zenith, position["azimuth"].to_numpy(), data["dni"].to_numpy(),
            data["ghi"].to_numpy(), data["dhi"].to_numpy(), dni_extra=extra, airmass=mass,
            albedo=1.0 - absorbing, model="perez-driesse",
        )  # fmt: skip
        sun.append(np.clip(np.nan_to_num(parts["poa_global"]), 0.0, 1500.0))
    sun.append(np.zeros(len(air)))

    # roof and shell
    def surface(gain: np.ndarray, film: np.ndarray, emissivity: float, g: float, inside: float) -> np.ndarray:
        def left(t: np.ndarray) -> np.ndarray:
            return gain - emissivity * SIGMA * (t + ZERO) ** 4 + film * (air - t) + g * (inside - t)

        def slope(t: np.ndarray) -> np.ndarray:
            return -4.0 * emissivity * SIGMA * (t + ZERO) ** 3 - film - g

        return np.asarray(newton(left, air.copy(), fprime=slope, tol=1e-9, maxiter=50))

    over_roof = 4.0 + 4.0 * np.maximum(1.0, wind)
    roof = surface(absorbing * data["ghi"].to_numpy() + radiating * sky, over_roof, radiating, 0.0, 0.0)
    from_roof = radiating * SIGMA * (roof + ZERO) ** 4 + (1.0 - radiating) * sky
    side = body["height_m"] - body["foot_height_m"]
    plan, long, short = (body["length_m"] * body["depth_m"], body["length_m"] * side, body["depth_m"] * side)
    film, shell, conducted = 4.0 + 4.0 * wind, np.zeros(len(air)), np.zeros(len(air))
    wall = (sky + from_roof) / 2.0
    faces = zip(
        (plan, long, short, long, short, plan), ("lid", "wall", "wall", "wall", "wall", "floor"),
        sun, (sky, wall, wall, wall, wall, from_roof), strict=True,
    )  # fmt: skip
    for area, name, lit, longwave in faces:
        g = 1.0 / (1.0 / body["inner_film_w_m2k"] + body[f"{name}_resistance_m2k_w"])
        gain = body["solar_absorptance"] * lit + body["emissivity"] * longwave
        outside = surface(gain, film, body["emissivity"], g, setpoint)
        h = film + 4.0 * body["emissivity"] * SIGMA * (outside + ZERO) ** 3
        shell += area * g * (outside - setpoint)
        conducted += area * g * h / (g + h)

    # inlet air and rating table
    density = pressure / (GAS * (air + ZERO))
    rejected = cooling["rated_heat_rejection_kw"] * 1e3
    recirculated = RECIRCULATION / (1.0 - RECIRCULATION) * rejected
    inlet = (
        air
        + MIXING * np.maximum(0.0, roof - air)
        + recirculated / (density * AIR_CP * cooling["airflow_m3_s"])
    )
    factor = 1.0 / ((pressure / 101_325.0) ** 0.6 * (1.0 - cooling["fouling"]))
    equivalent = inlet + cooling["condenser_split_k"] * (factor - 1.0)
    rows, columns = np.array(cooling["liquid_c"]), np.array(cooling["inlet_air_c"])
    table = RegularGridInterpolator((rows, columns), 1e3 * np.array(cooling["capacity_kw"]))
    read_at = np.clip(equivalent, columns[0], columns[-1])

    def capacity(temperature: float) -> np.ndarray:
        held = np.full(len(air), np.clip(temperature, rows[0], rows[-1]))
        return np.asarray(table((held, read_at)))

    pump = cooling["pump_kw"] * 1e3 * cooling["pump_heat_to_liquid"]
    load = load_kw * 1e3 + pump + shell
    at_setpoint, at_service = capacity(setpoint), capacity(liquid["service_max_c"])
    warmer = load - conducted * (liquid["service_max_c"] - setpoint)
    first, second = at_setpoint - load, at_service - warmer
    least = load_kw * 1e3 + pump
    share = np.where(second > first, second / np.maximum(warmer, least), first / np.maximum(load, least))

    slope = (at_service - at_setpoint) / (liquid["service_max_c"] - setpoint)
    return Hours(share, load, at_setpoint, slope, shell, conducted)


def stored_heat(unit: dict[str, Any]) -> float:
    """Of liquid and servers; 0.82 kg/l and 2.15 kJ/kgK stand for the family. [J/K]"""
    return float(unit["liquid"]["volume_litre"] * 0.82 * 2150.0 + unit["servers"]["heat_capacity_kj_k"] * 1e3)


def followed(hours: Hours, unit: dict[str, Any]) -> np.ndarray:
    """The liquid through the hours, one after the other. [degC]"""
    setpoint, stored, count = unit["liquid"]["setpoint_c"], stored_heat(unit), len(hours.load)

    def rate(seconds: float, state: np.ndarray) -> np.ndarray:
        hour = min(int(seconds / 3600.0), count - 1)
        over = state[0] - setpoint
        heat = hours.load[hour] - hours.conducted[hour] * over
        most = hours.capacity[hour] + hours.slope[hour] * over
        return np.array([(heat - np.clip(heat + stored * over / CLOSES_IN, 0.0, most)) / stored])

    ends = np.arange(1, count + 1) * 3600.0
    solved = solve_ivp(rate, (0.0, ends[-1]), [setpoint], method="LSODA", t_eval=ends, max_step=3600.0)
    return np.asarray(solved.y[0])


def site_year(
    data: pd.DataFrame, meta: dict[str, Any], unit_file: Path, load_kw: float, front: float
) -> Year:
    """The heat of a unit in a year, parameters as in `conditions`."""
    unit = tomllib.loads(unit_file.read_text(encoding="utf-8"))
    hours = conditions(data, meta, unit, load_kw, front)
    return Year(hours, followed(hours, unit))


def uncooled(hours: Hours, unit: dict[str, Any], heat: float) -> np.ndarray:
    """Time from every hour until the servers stop, all hours in one system. [s]"""
    setpoint, stop = unit["liquid"]["setpoint_c"], unit["liquid"]["shutdown_c"]

    def rate(_: float, state: np.ndarray) -> np.ndarray:
        return (heat + hours.shell - hours.conducted * (state - setpoint)) / stored_heat(unit)

    seconds = np.arange(0.0, 14_401.0, 60.0)
    start = np.full(len(hours.load), float(setpoint))
    liquid = solve_ivp(rate, (0.0, seconds[-1]), start, t_eval=seconds).y
    stopped = liquid >= stop
    return np.where(stopped.any(axis=1), seconds[stopped.argmax(axis=1)], np.inf)


def whole_site(epw: Path, unit_file: Path, load_kw: float) -> Site:
    """Everything that follows from an energy balance, for a site whose weather file is read first."""
    data, meta = read(epw)
    unit = tomllib.loads(unit_file.read_text(encoding="utf-8"))
    pump = unit["cooling"]["pump_kw"] * 1e3 * unit["cooling"]["pump_heat_to_liquid"]

    fronts = {front: conditions(data, meta, unit, load_kw, front) for front in range(0, 360, 45)}
    front = min(fronts, key=lambda one: float(np.min(fronts[one].share)))
    hours = fronts[front]
    year = Year(hours, followed(hours, unit))

    def week(middle: int, shift: float) -> np.ndarray:
        first = int(np.clip(middle - 84, 0, len(data) - 168))
        some = data.iloc[first : first + 168].copy()
        some["temp_air"] += shift
        return followed(conditions(some, meta, unit, load_kw, front), unit)

    air = data["temp_air"].to_numpy()
    hot, cold = week(int(np.argmax(air)), 4.5), week(int(np.argmin(air)), -4.5)
    lost = uncooled(hours, unit, load_kw * 1e3 + pump), uncooled(hours, unit, load_kw * 1e3)

    bath, setpoint = np.full(len(air), unit["liquid"]["setpoint_c"]), unit["liquid"]["setpoint_c"]
    for hour in range(24):
        shell, conducted = np.roll(hours.shell, -hour), np.roll(hours.conducted, -hour)
        bath = solve_ivp(
            lambda _, state, q=shell, k=conducted: (q - k * (state - setpoint)) / stored_heat(unit),
            (0.0, 3600.0),
            bath,
        ).y[:, -1]
    return Site(float(front), year, float(hot.max()), float(cold.min()), lost, bath)
