"""Check of condensation: hours of the year in which the coldest wetted surface is below the dew point.

In service only, at the dew point of the site's air. The rest of the box is as warm as the liquid. Shown with it is
the insulation that keeps the surface dry, and the hours of nearly saturated air in which none does.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.humid_air import relative_humidity
from edgecheck.base.liquids import Liquid
from edgecheck.checks.heat import TABLE_ENDS, clock
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.heat.condensation import (
    DESIGN_HUMIDITY,
    FOAM_CONDUCTIVITY,
    OUTER_FILM,
    coldest_surface,
    insulation_resistance,
)
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.unit import Unit

FloatArray = NDArray[np.float64]

APPROACH = "unit: evaporator_approach_k"
MILLI = 1e-3

CONDENSATION = Check(
    id="outage.condensation",
    title="Hours with wet surfaces",
    sense="at most",
    unit="h",
    inputs=(("weather",),),
    has_true_zero=True,
    at_worst="caution",
    basis="liquid less Q/(m cp) less evaporator approach while the compressor runs, against the dew point",
    confidence="engineering default",
)


@dataclass(frozen=True)
class WetHours:
    """Hours of the year with water on the coldest surface.

    Parameters
    ----------
    hours : int
        With a surface below the dew point.
    below : float
        By how much in the worst hour; negative where it stays above. [K]
    when : str
        The worst hour, local standard time.
    surface, dew_point : float
        In that hour. [degC]
    foam : float
        Flat layer of foam that keeps the surface dry in air up to the humidity it is chosen for; 0 where none is
        needed, or where the surface is wet in more humid air only. [m]
    soaked : int
        Hours in which that layer is wet outside.
    unknown : int
        Hours whose capacity or dew point is unknown.
    approach : float or None
        Evaporator approach, 0 for a kind without one; None where it is unknown and was taken as 0. [K]
    """

    hours: int
    below: float
    when: str
    surface: float
    dew_point: float
    foam: float
    soaked: int
    unknown: int
    approach: float | None


def wet_hours(heat: SiteHeat, unit: Unit, liquid: Liquid) -> WetHours:
    """Hours of the year in which the coldest wetted surface is below the dew point of the site's air."""
    series, cooling, around = heat.year, unit.cooling, heat.year.surroundings
    compressor = cooling.kind != "dry-cooler"
    approach = cooling.evaporator_approach_k if cooling.kind != "dry-cooler" else 0.0
    heat_rate = cooling.liquid_flow_kg_s * liquid.heat_capacity(unit.liquid.setpoint_c)
    surface = coldest_surface(series, heat.machine, heat_rate, (approach or 0.0) if compressor else None)
    dew = around.air.temp_dew
    below = dew - surface
    worst, unknown = int(np.argmax(below)), series.headroom.unknown
    if math.isnan(below[worst]):  # the first that is not a number, where there is any
        not_known = np.isnan(below)
        unknown = unknown | not_known
        worst = worst if not_known.all() else int(np.nanargmax(below))
    hours, foam, soaked = 0, 0.0, 0
    if below[worst] > 0.0:
        wet = below > 0.0
        hours = int(np.count_nonzero(wet))
        foam, soaked = _insulated(surface[wet], around.temp_air[wet], dew[wet])
    return WetHours(
        hours=hours,
        below=float(below[worst]),
        when=clock(heat.time[worst]),
        surface=float(surface[worst]),
        dew_point=float(dew[worst]),
        foam=foam,
        soaked=soaked,
        unknown=int(np.count_nonzero(unknown)),
        approach=approach,
    )


def _insulated(surface: FloatArray, temp_air: FloatArray, temp_dew: FloatArray) -> tuple[float, int]:
    """Foam [m] that keeps wet surfaces [degC] dry in air up to the design humidity; hours in which it is wet itself."""
    layer = FOAM_CONDUCTIVITY * insulation_resistance(surface, temp_air, temp_dew)
    foam = float(np.max(layer[relative_humidity(temp_air, temp_dew) <= DESIGN_HUMIDITY], initial=0.0))
    return foam, int(np.count_nonzero(layer > foam))


def condensation_check(check: Check, found: WetHours) -> CheckResult:
    """No hour with a surface below the dew point.

    Parameters
    ----------
    check : Check
        outage.condensation.
    found : WetHours
        Of the site.
    """
    hour = f"{found.when}: surface {found.surface:.1f} degC, dew point {found.dew_point:.1f} degC"
    status: Status = "pass"
    missing: tuple[str, ...] = ()
    condition = ""
    if found.hours:
        at_least = (
            "" if found.approach is not None else " With the evaporator approach unknown and taken as 0 K."
        )
        note = f"By up to {found.below:.1f} K.{at_least} {_insulation(found)}"
        status, condition = "caution", _condition(found)
    elif found.approach is None:
        status, missing = "not assessed", (APPROACH,)
        note = f"An evaporator approach of {-found.below:.1f} K or more would wet it."
    elif found.unknown:
        status, missing = "not assessed", TABLE_ENDS
        note = f"Capacity or dew point is unknown in {found.unknown} h."
    else:
        note = f"At least {-found.below:.1f} K above the dew point."
    demand = None if found.approach is None and not found.hours else float(found.hours)
    return outcome(
        check, status, demand, 0.0, governed_by=hour, note=note, missing=missing, condition=condition,
    )  # fmt: skip


def millimetres(thickness: float) -> str:
    """A thickness [m] rounded up to a whole millimetre."""
    return f"{int(np.ceil(thickness / MILLI - 1e-9))} mm"


def _insulation(found: WetHours) -> str:
    """Foam that helps, and hours in which it does not."""
    if not found.foam:
        return f"Only in air above {DESIGN_HUMIDITY:.0f} % relative humidity, for which insulation grows too thick."
    dry = f"{millimetres(found.foam)} of foam keep it dry"
    return f"{dry} but for {found.soaked} h." if found.soaked else f"{dry}."


def _condition(found: WetHours) -> str:
    if not found.foam:
        return "drain the water that condenses on the cold lines of the cooling section"
    text = f"cold lines of the cooling section: {millimetres(found.foam)} of closed-cell foam, vapour-tight"
    return (
        f"{text}, and a drain for the {found.soaked} h in which it is wet outside" if found.soaked else text
    )


def condensation_detail(found: WetHours) -> dict[str, Any]:
    """Numbers of the report; units in the names, None where unknown."""
    return {
        "hours": None if found.approach is None and not found.hours else found.hours,
        "below_k": found.below,
        "when": found.when,
        "surface_c": found.surface,
        "dew_point_c": found.dew_point,
        "foam_mm": found.foam / MILLI,
        "foam_w_mk": FOAM_CONDUCTIVITY,
        "film_w_m2k": OUTER_FILM,
        "design_humidity_percent": DESIGN_HUMIDITY,
        "hours_wet_outside": found.soaked,
        "hours_unknown": found.unknown,
        "approach_k": found.approach,
    }
