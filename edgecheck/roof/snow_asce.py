"""Snow on a flat roof by ASCE 7-16 and ASCE 7-22, chapter 7.

In: the ground snow load of the edition's own map and the risk category. Out: loads on the roof. [Pa]

    7-16    p_f = 0.7 C_e C_t I_s p_g     p_g of a mean return of 50 years, service level
    7-22    p_f = 0.7 C_e C_t p_g         p_g by risk category, strength level: 0.7 S in allowable stress design

The two p_g are different quantities: one must never be used with the other's factors. Low slopes have a
minimum p_m (7.3.4 and 7.3.3), and a rain-on-snow surcharge where p_g is small (7.10); both are cases of their
own, and the greater load counts. Values: open implementations of both editions that cite the clauses; the
surcharge also in a trade summary of the 7-22 changes.
"""

from typing import Literal

Edition = Literal["asce7-16", "asce7-22"]
RiskCategory = Literal["I", "II", "III", "IV"]
EDITIONS: tuple[Edition, ...] = ("asce7-16", "asce7-22")
RISK_CATEGORIES: tuple[RiskCategory, ...] = ("I", "II", "III", "IV")

PARTIALLY_EXPOSED = 1.0  # C_e, table 7.3-1, surface roughness B and C
# C_t: 7-16 table 7.3-2, heated building with an unventilated roof; 7-22 tables 7.3-2 and 7.3-3, greatest of a
# heated building (1.2 for well-insulated or ventilated roofs)
THERMAL: dict[Edition, float] = {"asce7-16": 1.0, "asce7-22": 1.2}
IMPORTANCE: dict[RiskCategory, float] = {"I": 0.8, "II": 1.0, "III": 1.1, "IV": 1.2}  # 7-16 table 1.5-2
SERVICE_FACTOR: dict[Edition, float] = {"asce7-16": 1.0, "asce7-22": 0.7}  # of S in 2.4.1, D + S

_LOW_GROUND_16 = 960.0  # Pa (20 psf), 7-16 7.3.4 and 7.10
_MINIMUM_22: dict[RiskCategory, float] = {"I": 1200.0, "II": 1440.0, "III": 1680.0, "IV": 1920.0}  # 7.3-4
_RAIN: dict[Edition, float] = {"asce7-16": 240.0, "asce7-22": 380.0}  # Pa (5 and 8 psf), 7.10

NARROW = 4.6  # m (15 ft), 7.8: no drift beside a side of a projection that is shorter


def flat_roof_snow(
    ground: float, exposure: float = 1.0, thermal: float = 1.0, importance: float = 1.0
) -> float:
    """Flat-roof snow load, equation 7.3-1.

    Parameters
    ----------
    ground : float
        p_g of the edition's map. [Pa]
    exposure, thermal : float
        C_e, C_t.
    importance : float
        I_s in 7-16; 1 in 7-22, which has none.

    Returns
    -------
    load : float
        [Pa]
    """
    return 0.7 * exposure * thermal * importance * ground


def minimum_snow(ground: float, edition: Edition, risk: RiskCategory) -> float:
    """Minimum snow load of a low slope: 7-16 7.3.4, 7-22 7.3.3.

    Parameters
    ----------
    ground : float
        [Pa]
    edition, risk : str
        Edition of the standard and risk category of the building.

    Returns
    -------
    load : float
        [Pa]
    """
    if edition == "asce7-16":
        return IMPORTANCE[risk] * min(ground, _LOW_GROUND_16)
    return min(ground, _MINIMUM_22[risk])


def rain_on_snow(ground: float, edition: Edition, risk: RiskCategory) -> float:
    """Rain-on-snow surcharge of a nearly flat roof, 7.10.

    It holds for slopes in degrees below W/50 (W in ft, eave to ridge). W is not known here, so it is taken to
    hold (safe side).

    Parameters
    ----------
    ground, edition, risk
        As in `minimum_snow`. [Pa]

    Returns
    -------
    load : float
        [Pa]
    """
    most = _LOW_GROUND_16 if edition == "asce7-16" else _MINIMUM_22[risk]
    return _RAIN[edition] if 0.0 < ground <= most else 0.0


def roof_snow(
    ground: float,
    edition: Edition,
    risk: RiskCategory,
    exposure: float = PARTIALLY_EXPOSED,
    thermal: float | None = None,
) -> float:
    """Uniform snow load of a flat roof: the greater of p_f with rain and of the minimum.

    Parameters
    ----------
    ground, edition, risk
        As in `minimum_snow`. [Pa]
    exposure : float
        C_e.
    thermal : float, optional
        C_t; that of a heated building if not given.

    Returns
    -------
    load : float
        At the level of the edition's map: service in 7-16, strength in 7-22. [Pa]
    """
    factor = THERMAL[edition] if thermal is None else thermal
    importance = IMPORTANCE[risk] if edition == "asce7-16" else 1.0
    flat = flat_roof_snow(ground, exposure, factor, importance)
    return max(flat + rain_on_snow(ground, edition, risk), minimum_snow(ground, edition, risk))


def snow_weight(ground: float) -> float:
    """Weight density of drifted snow, equation 7.7-1: 0.426 p_g + 2.2 in kN/m3 with p_g in kPa, at most 4.7.

    Parameters
    ----------
    ground : float
        [Pa]

    Returns
    -------
    weight : float
        [N/m3]
    """
    return min(0.426 * ground + 2200.0, 4700.0)
