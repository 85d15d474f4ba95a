"""Vibration that isolators pass on to the roof.

In: static deflection of the isolators, the lowest rotating frequency. Out: natural frequency, transmissibility.
[mm, Hz]

A mass on springs that sink by delta under it has k/m = g/delta, so f_n = sqrt(g/delta)/(2 pi), which is
15.76/sqrt(delta in mm) Hz. Without damping it passes T = 1/|(f/f_n)^2 - 1| of a force at f on to a rigid
floor. A roof is not rigid: isolators help only where they are much softer than it.
"""

import math
from typing import Any

from edgecheck.base.constants import GRAVITY
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit

MOST_PASSED = 0.1  # share of the force, common practice, no source
SOFTER_THAN_ROOF = 2.0  # deflection of the isolators over that of the roof, common practice, no source


def natural_frequency(deflection: float) -> float:
    """Natural frequency of a mass on isolators.

    Parameters
    ----------
    deflection : float
        Static deflection under the mass, positive. [mm]

    Returns
    -------
    frequency : float
        sqrt(g/delta)/(2 pi). [Hz]
    """
    return math.sqrt(GRAVITY / (deflection / 1000.0)) / (2.0 * math.pi)


def transmissibility(frequency: float, natural: float) -> float:
    """Share of a force that undamped isolators pass on to a rigid floor.

    Parameters
    ----------
    frequency : float
        Of the force, positive. [Hz]
    natural : float
        Natural frequency, positive. [Hz]

    Returns
    -------
    share : float
        1/|(f/f_n)^2 - 1|, above 1 below sqrt(2) f_n, infinite at resonance. [-]
    """
    apart = abs((frequency / natural) ** 2 - 1.0)
    return math.inf if apart == 0.0 else 1.0 / apart


def vibration_record(unit: Unit, site: Site) -> dict[str, Any] | None:
    """Isolation of the unit from the roof, for the report.

    Parameters
    ----------
    unit : Unit
        Its mass.isolator_deflection_mm and mass.lowest_rotating_hz are read.
    site : Site
        A row of the site list; its member_span_m is read.

    Returns
    -------
    record : dict or None
        deflection_mm, rotating_hz, natural_hz, ratio, transmissibility, most_passed, member_span_m,
        roof_deflection_max_mm and cautions (sentences); None where unit or list do not say enough, so that
        structure-borne sound is not checked.
    """
    deflection, rotating = unit.mass.isolator_deflection_mm, unit.mass.lowest_rotating_hz
    span = site.number("member_span_m")
    if deflection is None or rotating is None or span is None:
        return None
    natural = natural_frequency(deflection)
    passed = transmissibility(rotating, natural)
    softer = GRAVITY * 1000.0 * (1.0 + 1.0 / MOST_PASSED) / (2.0 * math.pi * rotating) ** 2
    enough = f"{softer:.1f} mm of deflection would do."
    cautions = []
    if rotating < math.sqrt(2.0) * natural:
        cautions.append(
            f"The isolators amplify: {rotating:g} Hz lies below {math.sqrt(2.0) * natural:.1f} Hz, sqrt(2) times "
            f"their natural frequency; {enough}"
        )
    elif passed > MOST_PASSED:
        cautions.append(
            f"The isolators pass {100.0 * passed:.0f} % of the force at {rotating:g} Hz, more than "
            f"{100.0 * MOST_PASSED:g} %; {enough}"
        )
    roof = deflection / SOFTER_THAN_ROOF
    cautions.append(
        f"The stiffness of the roof is not an input: an engineer confirms that the members, {span:g} m long, sink by "
        f"no more than {roof:.1f} mm at mid-span under the unit, half the deflection of the isolators."
    )
    return {
        "deflection_mm": deflection,
        "rotating_hz": rotating,
        "natural_hz": natural,
        "ratio": rotating / natural,
        "transmissibility": passed,
        "most_passed": MOST_PASSED,
        "member_span_m": span,
        "roof_deflection_max_mm": roof,
        "cautions": cautions,
    }
