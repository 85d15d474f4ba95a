"""Properties of air and of the water vapour in it.

In: air temperature, dew point or relative humidity, pressure. Out: saturation pressure, humidity in its several
measures, wet bulb, enthalpy, density. All functions take arrays of any shapes that broadcast. Saturation
pressure: Hyland & Wexler (1983) in the form of the ASHRAE Handbook - Fundamentals, psychrometrics, over ice
up to the triple point and over liquid water above, -100 to 200 degC; the rest is the ideal mixture of dry air
and vapour of the same chapter. It leaves out the enhancement of saturation by the air's pressure, about 0.5 %
of the humidity ratio near sea level.

The dry density of `air_density` is what the air side of the cooling section is rated with; at 35 degC and 40 %
relative humidity humid air is 0.9 % lighter, which the rating absorbs.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.compiled import kernel
from edgecheck.base.constants import GAS_CONSTANT_DRY_AIR, ZERO_CELSIUS

FloatArray = NDArray[np.float64]
Coefficients = tuple[float, float, float, float, float, float, float]

MASS_RATIO = 0.621945  # molar mass of water over that of dry air
GAS_CONSTANT_VAPOUR = GAS_CONSTANT_DRY_AIR / MASS_RATIO  # J/kgK
TRIPLE_POINT_C = 0.01
# ln p_ws = c[0]/T + c[1] + c[2] T + c[3] T^2 + c[4] T^3 + c[5] T^4 + c[6] ln T, T in K, p_ws in Pa
_ICE = (-5.6745359e3, 6.3925247, -9.6778430e-3, 6.2215701e-7, 2.0747825e-9, -9.4840240e-13, 4.1635019)
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)
_NEWTON_STEPS = 6
_HALVINGS = 40


def air_density(temp_air: ArrayLike, pressure: ArrayLike) -> FloatArray:
    """Density of dry air, ideal gas.

    Parameters
    ----------
    temp_air : array_like, shape (...)
        Air temperature. [degC]
    pressure : array_like, shape (...)
        Air pressure. [Pa]

    Returns
    -------
    density : ndarray, shape (...)
        p/(R T) with R 287.042 J/kgK. [kg/m3]
    """
    kelvin = np.asarray(temp_air, dtype=float) + ZERO_CELSIUS
    return np.asarray(np.asarray(pressure, dtype=float) / (GAS_CONSTANT_DRY_AIR * kelvin))


def saturation_pressure(temp: ArrayLike, *, over_water: bool = False) -> FloatArray:
    """Pressure of saturated water vapour.

    Parameters
    ----------
    temp : array_like, shape (...)
        -100 to 200. [degC]
    over_water : bool
        True takes supercooled water below 0.01 degC, as weather services do for relative humidity and dew
        point; False takes ice.

    Returns
    -------
    pressure : ndarray, shape (...)
        [Pa]
    """
    pressure = np.array(temp, dtype=float, order="C")
    _saturate(pressure.reshape(-1), -math.inf if over_water else TRIPLE_POINT_C)
    return pressure


def dew_point(temp_air: ArrayLike, relative_humidity: ArrayLike, *, over_water: bool = False) -> FloatArray:
    """Dew point, or frost point, of air of a relative humidity.

    Parameters
    ----------
    temp_air : array_like, shape (...)
        [degC]
    relative_humidity : array_like, shape (...)
        More than 0. [%]
    over_water : bool
        Which of the two surfaces below 0.01 degC the humidity, and the dew point, are meant over.

    Returns
    -------
    temp_dew : ndarray, shape (...)
        Where `saturation_pressure` equals the vapour pressure, by Newton's rule on its logarithm. [degC]
    """
    share = np.asarray(relative_humidity, dtype=float) / 100.0
    vapour = np.array(share * saturation_pressure(temp_air, over_water=over_water), order="C")
    _condense(vapour.reshape(-1), -math.inf if over_water else TRIPLE_POINT_C)
    return vapour


def relative_humidity(temp_air: ArrayLike, temp_dew: ArrayLike) -> FloatArray:
    """Relative humidity of air of a dew point, over ice below 0.01 degC.

    Parameters
    ----------
    temp_air, temp_dew : array_like, shape (...)
        [degC]

    Returns
    -------
    ndarray, shape (...)
        [%]
    """
    return np.asarray(100.0 * (saturation_pressure(temp_dew) / saturation_pressure(temp_air)))


def humidity_ratio(temp_dew: ArrayLike, pressure: ArrayLike) -> FloatArray:
    """Water in the air by mass of dry air.

    Parameters
    ----------
    temp_dew : array_like, shape (...)
        [degC]
    pressure : array_like, shape (...)
        Air pressure, above that of the vapour. [Pa]

    Returns
    -------
    ndarray, shape (...)
        0.621945 e/(p - e). [kg/kg]
    """
    vapour = saturation_pressure(temp_dew)
    return np.asarray(MASS_RATIO * vapour / (np.asarray(pressure, dtype=float) - vapour))


def absolute_humidity(temp_air: ArrayLike, temp_dew: ArrayLike) -> FloatArray:
    """Water in the air by volume, as environmental classes give it.

    Parameters
    ----------
    temp_air, temp_dew : array_like, shape (...)
        [degC]

    Returns
    -------
    ndarray, shape (...)
        Density of the vapour, e/(R_v T), in grams. [g/m3]
    """
    kelvin = np.asarray(temp_air, dtype=float) + ZERO_CELSIUS
    return np.asarray(1000.0 * saturation_pressure(temp_dew) / (GAS_CONSTANT_VAPOUR * kelvin))


def moist_density(temp_air: ArrayLike, temp_dew: ArrayLike, pressure: ArrayLike) -> FloatArray:
    """Density of humid air, dry air and vapour together.

    Parameters
    ----------
    temp_air, temp_dew : array_like, shape (...)
        [degC]
    pressure : array_like, shape (...)
        [Pa]

    Returns
    -------
    ndarray, shape (...)
        ((p - e)/R + e/R_v)/T. [kg/m3]
    """
    kelvin = np.asarray(temp_air, dtype=float) + ZERO_CELSIUS
    vapour = saturation_pressure(temp_dew)
    dry = (np.asarray(pressure, dtype=float) - vapour) / GAS_CONSTANT_DRY_AIR
    return np.asarray((dry + vapour / GAS_CONSTANT_VAPOUR) / kelvin)


def enthalpy(temp_air: ArrayLike, ratio: ArrayLike) -> FloatArray:
    """Enthalpy of humid air by mass of dry air, zero for dry air at 0 degC.

    Parameters
    ----------
    temp_air : array_like, shape (...)
        [degC]
    ratio : array_like, shape (...)
        Humidity ratio. [kg/kg]

    Returns
    -------
    ndarray, shape (...)
        1006 t + W (2,501,000 + 1860 t). [J/kg]
    """
    celsius = np.asarray(temp_air, dtype=float)
    return np.asarray(1006.0 * celsius + np.asarray(ratio, dtype=float) * (2.501e6 + 1860.0 * celsius))


def wet_bulb(temp_air: ArrayLike, temp_dew: ArrayLike, pressure: ArrayLike) -> FloatArray:
    """Thermodynamic wet bulb, with ice on the bulb below 0 degC.

    Parameters
    ----------
    temp_air, temp_dew : array_like, shape (...)
        Dew point not above air temperature. [degC]
    pressure : array_like, shape (...)
        [Pa]

    Returns
    -------
    ndarray, shape (...)
        Between dew point and air temperature, by halving. [degC]
    """
    air, dew, around = np.broadcast_arrays(
        *(np.asarray(values, dtype=float) for values in (temp_air, temp_dew, pressure))
    )
    ratio = humidity_ratio(dew, around)
    low, high = np.array(dew), np.array(air)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        wet = _ratio_at_wet_bulb(air, middle, around) > ratio
        high = np.where(wet, middle, high)
        low = np.where(wet, low, middle)
    return np.asarray((low + high) / 2.0)


def _ratio_at_wet_bulb(air: FloatArray, bulb: FloatArray, pressure: FloatArray) -> FloatArray:
    """Humidity ratio that belongs to a wet bulb (ASHRAE Handbook - Fundamentals, psychrometrics)."""
    saturated = humidity_ratio(bulb, pressure)
    water = ((2501.0 - 2.326 * bulb) * saturated - 1.006 * (air - bulb)) / (
        2501.0 + 1.86 * air - 4.186 * bulb
    )
    ice = ((2830.0 - 0.24 * bulb) * saturated - 1.006 * (air - bulb)) / (2830.0 + 1.86 * air - 2.1 * bulb)
    return np.where(bulb >= 0.0, water, ice)


@kernel
def _log_pressure(kelvin: float, c: Coefficients) -> float:
    series = c[1] + kelvin * (c[2] + kelvin * (c[3] + kelvin * (c[4] + kelvin * c[5])))
    return c[0] / kelvin + series + c[6] * math.log(kelvin)


@kernel
def _saturate(values: FloatArray, ice_to: float) -> None:
    """Temperatures [degC] become saturation pressures [Pa], over ice up to a temperature and over water above."""
    for i in range(len(values)):
        over = _WATER if values[i] > ice_to else _ICE
        values[i] = math.exp(_log_pressure(values[i] + ZERO_CELSIUS, over))


@kernel
def _condense(values: FloatArray, ice_to: float) -> None:
    """Vapour pressures [Pa] become the temperatures [degC] that `_saturate` makes them from, by Newton's rule."""
    turn = _log_pressure(ice_to + ZERO_CELSIUS, _WATER) if ice_to > -math.inf else -math.inf
    for i in range(len(values)):
        wanted = math.log(values[i])
        c = _WATER if wanted > turn else _ICE
        term = wanted - math.log(611.2)
        kelvin = ZERO_CELSIUS + 243.12 * term / (17.62 - term)  # Magnus' form over water, to start from
        for _ in range(_NEWTON_STEPS):
            slope = -c[0] / kelvin**2 + c[2] + kelvin * (2 * c[3] + kelvin * (3 * c[4] + kelvin * 4 * c[5]))
            kelvin -= (_log_pressure(kelvin, c) - wanted) / (slope + c[6] / kelvin)
        values[i] = kelvin - ZERO_CELSIUS
