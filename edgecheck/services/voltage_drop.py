"""Voltage drop over the cable from the board to the unit.

    Delta U = k L I (rho/S cos phi + lambda sin phi),   k = 2 for one phase, sqrt 3 for three (phase to phase)

by IEC 60364-5-52, annex G (from memory; it gives the drop to neutral with b = 1 or 2). Copper at 70 degC: 1.25 times
the resistivity at 20 degC, which is what the annex prints; fine-stranded conductors and cables run at 90 degC have
about 6 % more.
"""

import math

COPPER_RESISTIVITY = 2.25e-8  # ohm m at 70 degC: 0.0225 ohm mm2/m
CABLE_REACTANCE = 8e-5  # ohm/m of one conductor: 0.08 mohm/m
SECTIONS = tuple(
    1e-6 * area for area in (1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0, 150.0)
)  # m2, IEC 60228


def voltage_drop(
    current: float,
    length: float,
    section: float,
    phases: int,
    power_factor: float,
    *,
    resistivity: float = COPPER_RESISTIVITY,
    reactance: float = CABLE_REACTANCE,
) -> float:
    """Drop over a cable.

    Parameters
    ----------
    current : float
        [A]
    length : float
        One way. [m]
    section : float
        Of one conductor. [m2]
    phases : int
        1: there and back over two conductors; 3: phase to phase.
    power_factor : float
        cos phi of the current, lagging. [-]
    resistivity : float, optional
        [ohm m]
    reactance : float, optional
        Of one conductor. [ohm/m]

    Returns
    -------
    float
        IEC 60364-5-52, annex G. [V]
    """
    sine = math.sqrt(max(0.0, 1.0 - power_factor * power_factor))
    impedance = resistivity / section * power_factor + reactance * sine
    return _conductors(phases) * length * current * impedance


def greatest_voltage_drop(current: float, length: float, section: float, phases: int) -> float:
    """Drop over a cable whatever the power factor of the current.

    Parameters
    ----------
    current, length, section, phases
        As `voltage_drop`.

    Returns
    -------
    float
        k L I sqrt(R^2 + X^2), which the drop reaches where the current lags by the angle of the cable. [V]
    """
    impedance = math.hypot(COPPER_RESISTIVITY / section, CABLE_REACTANCE)
    return _conductors(phases) * length * current * impedance


def least_section(
    current: float, volt: float, length: float, phases: int, power_factor: float, share: float
) -> float | None:
    """Smallest standard section that holds a drop.

    Parameters
    ----------
    current, length, phases, power_factor
        As `voltage_drop`.
    volt : float
        Between the two conductors for one phase, phase to phase for three. [V]
    share : float
        Greatest drop as a share of it. [-]

    Returns
    -------
    float or None
        Section of IEC 60228 in copper; None where none up to 150 mm2 does. [m2]
    """
    return next(
        (
            section
            for section in SECTIONS
            if voltage_drop(current, length, section, phases, power_factor) <= share * volt
        ),
        None,
    )


def _conductors(phases: int) -> float:
    return math.sqrt(3.0) if phases == 3 else 2.0
