"""Servers on a -48 V DC plant: their current at the lowest voltage, and whether the plant fits.

Servers draw constant power, so their current is greatest at the end of the battery's discharge. Only they are on
the battery; pump and cooling section stay on the AC feed and stop with the mains.
"""

NOMINAL_VOLT = 48.0
HIGHEST_VOLT = 57.0  # ETSI EN 300 132-2, upper end of the normal service range, from memory


def dc_current(power: float, volt: float, efficiency: float) -> float:
    """Current from a DC plant at constant power.

    Parameters
    ----------
    power : float
        At the unit's terminals. [W]
    volt : float
        Lowest voltage at which the servers must run. [V]
    efficiency : float
        Of the conversion between plant and terminals. [-]

    Returns
    -------
    float
        P/(eta U). [A]
    """
    return power / (efficiency * volt)


def fits(plant_volt: float, least_volt: float) -> bool:
    """Whether a plant is a -48 V one: between the servers' lowest voltage and 57 V (ETSI EN 300 132-2)."""
    return least_volt <= plant_volt <= HIGHEST_VOLT


def lowest_volt(plant_volt: float, least_volt: float) -> float:
    """Lowest voltage on the plant's side.

    Parameters
    ----------
    plant_volt : float
        Nominal voltage of the plant. [V]
    least_volt : float
        Lowest voltage of a 48 V supply at the servers. [V]

    Returns
    -------
    float
        `least_volt`, or in proportion where a converter stands between plant and servers. [V]
    """
    return least_volt if fits(plant_volt, least_volt) else least_volt * plant_volt / NOMINAL_VOLT
