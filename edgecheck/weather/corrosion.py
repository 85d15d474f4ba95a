"""Corrosivity of the air: first-year loss of carbon steel and zinc, and the category.

In: annual means of temperature and relative humidity, depositions of sulphur dioxide and chloride. Out: micrometres a
year, category C1 to CX, time of wetness. ISO 9223:2012, dose-response functions of clause 8.2, bounds of table 2; the
function of carbon steel was read in two published implementations, that of zinc is from memory (98 %), the bounds were
read in published tables but for zinc in CX (from memory, 95 %), and time of wetness is as of 1992 (classes from memory,
95 %). The functions scatter: the standard gives R2 of about 0.85 and 0.78 (from memory).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

CATEGORIES = ("C1", "C2", "C3", "C4", "C5", "CX")
# Upper bounds of the categories; a rate equal to a bound belongs to the lower one. [um/a]
STEEL_BOUNDS = (1.3, 25.0, 50.0, 80.0, 200.0, 700.0)
ZINC_BOUNDS = (0.1, 0.7, 2.1, 4.2, 8.4, 25.0)
# Range in which the functions hold: ISO 9223:2012 table 3, read in a published implementation.
RANGES = {
    "annual mean temperature": (-17.1, 28.7, "degC"),
    "annual mean relative humidity": (34.0, 93.0, "%"),
    "sulphur dioxide deposition": (0.7, 150.4, "mg/m2 d"),
    "chloride deposition": (0.4, 760.5, "mg/m2 d"),
}
WET_HUMIDITY = 80.0  # %
WETNESS_HOURS = (10.0, 250.0, 2500.0, 5500.0)  # upper bounds of tau 1 to tau 4 [h/a]
# Chloride by distance from the sea, where nobody has measured it: the end of the function's range and the upper bounds
# of classes S2, S1, S0 at these distances, straight between them on logarithmic scales. Engineering default, no
# source: shores differ by a factor of ten with surf, wind and terrain.
COAST_KM = (0.02, 0.3, 3.0, 30.0)
COAST_CHLORIDE = (760.5, 300.0, 60.0, 3.0)
_LOG_COAST_KM, _LOG_COAST_CHLORIDE = np.log(COAST_KM), np.log(COAST_CHLORIDE)


@dataclass(frozen=True)
class Corrosivity:
    """Corrosivity of a year's air.

    Parameters
    ----------
    steel, zinc : float
        Loss in the first year. [um/a]
    steel_category, zinc_category : int
        1 for C1 to 6 for CX.
    outside : tuple of str
        What lies outside the range of the functions, in words; empty where they hold.
    """

    steel: float
    zinc: float
    steel_category: int
    zinc_category: int
    outside: tuple[str, ...]

    @property
    def category(self) -> int:
        """The harsher of the two, 1 to 6."""
        return max(self.steel_category, self.zinc_category)


def steel_rate(temp: float, humidity: float, sulphur: float, chloride: float) -> float:
    """First-year loss of carbon steel.

    Parameters
    ----------
    temp, humidity : float
        Annual means. [degC], [%]
    sulphur, chloride : float
        Depositions. [mg/m2 d]

    Returns
    -------
    float
        1.77 P^0.52 exp(0.020 RH + f) + 0.102 S^0.62 exp(0.033 RH + 0.040 T), f = 0.150 (T - 10) up to 10 degC, else
        -0.054 (T - 10). [um/a]
    """
    f = 0.150 * (temp - 10.0) if temp <= 10.0 else -0.054 * (temp - 10.0)
    return 1.77 * sulphur**0.52 * math.exp(0.020 * humidity + f) + 0.102 * chloride**0.62 * math.exp(
        0.033 * humidity + 0.040 * temp
    )


def zinc_rate(temp: float, humidity: float, sulphur: float, chloride: float) -> float:
    """First-year loss of zinc; parameters as in `steel_rate`.

    Returns
    -------
    float
        0.0129 P^0.44 exp(0.046 RH + f) + 0.0175 S^0.57 exp(0.008 RH + 0.085 T), f = 0.038 (T - 10) up to 10 degC, else
        -0.071 (T - 10). [um/a]
    """
    f = 0.038 * (temp - 10.0) if temp <= 10.0 else -0.071 * (temp - 10.0)
    return 0.0129 * sulphur**0.44 * math.exp(0.046 * humidity + f) + 0.0175 * chloride**0.57 * math.exp(
        0.008 * humidity + 0.085 * temp
    )


def category_of(rate: float, bounds: tuple[float, ...]) -> int:
    """Category of a rate: 1 for C1 to 6 for CX, which has no upper end here.

    Parameters
    ----------
    rate : float
        [um/a]
    bounds : tuple of float
        `STEEL_BOUNDS` or `ZINC_BOUNDS`. [um/a]
    """
    return 1 + sum(rate > bound for bound in bounds[:-1])


def corrosivity(temp: float, humidity: float, sulphur: float, chloride: float) -> Corrosivity:
    """Corrosivity from annual means and depositions; parameters as in `steel_rate`."""
    given = dict(zip(RANGES, (temp, humidity, sulphur, chloride), strict=True))
    outside = tuple(
        f"{name} {given[name]:.3g} {unit}, outside {low:g} to {high:g}"
        for name, (low, high, unit) in RANGES.items()
        if not low <= given[name] <= high
    )
    steel = steel_rate(temp, humidity, sulphur, chloride)
    zinc = zinc_rate(temp, humidity, sulphur, chloride)
    return Corrosivity(steel, zinc, category_of(steel, STEEL_BOUNDS), category_of(zinc, ZINC_BOUNDS), outside)


def chloride_by_coast(distance_km: float) -> float:
    """Chloride deposition by distance from the sea, an engineering default.

    Parameters
    ----------
    distance_km : float
        Infinite for a site without any coast. [km]

    Returns
    -------
    float
        [mg/m2 d]
    """
    at = math.log(min(max(distance_km, COAST_KM[0]), COAST_KM[-1]))
    return math.exp(np.interp(at, _LOG_COAST_KM, _LOG_COAST_CHLORIDE))


def hours_of_wetness(temp_air: FloatArray, humidity: FloatArray) -> int:
    """Hours with more than 80 % relative humidity above 0 degC; arrays of shape (n,)."""
    return int(np.count_nonzero((humidity > WET_HUMIDITY) & (temp_air > 0.0)))


def wetness_class(hours: float) -> int:
    """Class of the time of wetness, 1 to 5 (tau 1 to tau 5).

    Parameters
    ----------
    hours : float
        Of a year. [h]
    """
    return 1 + sum(hours > bound for bound in WETNESS_HOURS)


def category_number(text: str) -> int | None:
    """Number of a category as people write it ("C4", "c5-m" is none): 1 to 6, None where it is none."""
    plain = text.strip().upper()
    return CATEGORIES.index(plain) + 1 if plain in CATEGORIES else None


def category_name(number: float | None) -> str:
    """Name of a category from its number; empty where it is none."""
    if number is None or not 1 <= number <= len(CATEGORIES):
        return ""
    return CATEGORIES[round(number) - 1]
