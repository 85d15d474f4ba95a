"""Absorption of sound by air, ISO 9613-1:1993.

In: frequency, air temperature, relative humidity, pressure. Out: the attenuation coefficient for pure tones,
ISO 9613-1 equations (3) to (5) with the molar concentration of water vapour of its annex B. Table 2 of
ISO 9613-2:1996 is this coefficient at the exact mid-band frequencies of the octave bands.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.base.constants import STANDARD_PRESSURE, ZERO_CELSIUS

FloatArray = NDArray[np.float64]

# Exact mid-band frequencies of the octave bands: nominal name -> 1000 * 10^(3k/10), k -4 to 3. [Hz]
MID_BANDS: Final = {
    nominal: 1000.0 * 10.0 ** (0.3 * step)
    for step, nominal in enumerate((63, 125, 250, 500, 1000, 2000, 4000, 8000), start=-4)
}
REFERENCE_TEMPERATURE: Final = 293.15  # K
TRIPLE_POINT: Final = 273.16  # K


def absorption_coefficient(
    frequency: ArrayLike,
    temp_air: ArrayLike = 10.0,
    relative_humidity: ArrayLike = 70.0,
    pressure: ArrayLike = STANDARD_PRESSURE,
) -> FloatArray:
    """Attenuation coefficient of air for a pure tone.

    Parameters
    ----------
    frequency : array_like, shape (...)
        [Hz]
    temp_air : array_like, shape (...)
        [degC]
    relative_humidity : array_like, shape (...)
        [%]
    pressure : array_like, shape (...)
        [Pa]

    Returns
    -------
    ndarray, shape (...)
        Attenuation over a metre; the standard claims 10 % accuracy. [dB/m]
    """
    f = np.asarray(frequency, dtype=float)
    kelvin = np.asarray(temp_air, dtype=float) + ZERO_CELSIUS
    share = np.asarray(pressure, dtype=float) / STANDARD_PRESSURE
    warm = kelvin / REFERENCE_TEMPERATURE
    saturation = 10.0 ** (-6.8346 * (TRIPLE_POINT / kelvin) ** 1.261 + 4.6151)
    vapour = np.asarray(relative_humidity, dtype=float) * saturation / share  # molar concentration, %
    oxygen = share * (24.0 + 4.04e4 * vapour * (0.02 + vapour) / (0.391 + vapour))  # relaxation, Hz
    nitrogen = share * warm**-0.5 * (9.0 + 280.0 * vapour * np.exp(-4.170 * (warm ** (-1.0 / 3.0) - 1.0)))
    classical = 1.84e-11 / share * warm**0.5
    relaxing = 0.01275 * np.exp(-2239.1 / kelvin) / (oxygen + f**2 / oxygen)
    relaxing = relaxing + 0.1068 * np.exp(-3352.0 / kelvin) / (nitrogen + f**2 / nitrogen)
    return np.asarray(8.686 * f**2 * (classical + warm**-2.5 * relaxing))
