"""Running current of the unit: what the planner asks the owner for.

The feed must carry the compressor-on power of the hot hour, not the hour's mean.
"""

import math


def running_current(power: float, volt: float, phases: int, power_factor: float) -> float:
    """Current at a steady power.

    Parameters
    ----------
    power : float
        Active power with the compressor on. [W]
    volt : float
        Phase to neutral for one phase, phase to phase for three. [V]
    phases : int
        1 or 3.
    power_factor : float
        [-]

    Returns
    -------
    float
        P/(k U cos phi), k = 1 or sqrt 3. [A]
    """
    return power / ((math.sqrt(3.0) if phases == 3 else 1.0) * volt * power_factor)
