"""The example unit as a reviewing engineer sees it, and rows of a list that say what its wind is."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from edgecheck.checks.model import CheckResult, Status
from edgecheck.checks.roof import demand_of, roof_checks
from edgecheck.checks.stability import Stability, stability
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import DOES_NOT_APPLY, Site
from edgecheck.inputs.unit import Unit, load_unit
from edgecheck.roof.mass import mass_states
from edgecheck.roof.spreader import NO_SPREADER
from edgecheck.roof.stand import Stand, stand_of

DENSITY = 815.0  # kg/m3
EXAMPLE = load_unit(Path(__file__).parent / "data" / "examples" / "unit.toml")
CRITERIA = load_criteria()

EN = {"load_standard": "en", "roof_level_agl_m": 24.0, "en_wind_speed_m_s": 26.0, "en_terrain": "III"}
ASCE = {
    "load_standard": "asce7-16",
    "roof_level_agl_m": 24.0,
    "asce_wind_speed_m_s": 50.0,
    "asce_exposure": "B",
}
GRIP = {"friction_design": 0.4, "friction_evidence": "test"}
STRONG_ROOF = {
    "roof_reserve_kpa": 20.0,
    "roof_reserve_point_kn": 30.0,
    "roof_evidence": "calculation",
    "landlord_max_kg": DOES_NOT_APPLY,
    "en_ground_snow_kpa": 0.0,
    "asce_ground_snow_kpa": 0.0,
    "insulation_type": "none",
    "membrane_pressure_limit_kpa": 1000.0,
}
WEAK_ROOF = {**STRONG_ROOF, "landlord_max_kg": 400.0}
ANCHORS = {
    "fixing": "anchors",
    "anchors": 4.0,
    "anchor_design_tension_kn": 5.0,
    "anchor_design_shear_kn": 4.0,
    "anchor_level": "design",
    "penetrations_allowed": "yes",
}


def hand_unit() -> Unit:
    """The example unit without the gap under its feet: 1.15 m is its whole height, as the hand calculation has it."""
    return EXAMPLE.model_copy(update={"body": EXAMPLE.body.model_copy(update={"foot_height_m": 0.0})})


def hand_stand(state: str = "operating", **changes: Any) -> Stand:
    """As the hand calculation has it: no tolerance, ballast under the operating centre of gravity, without a face."""
    states = mass_states(EXAMPLE, DENSITY)
    found = stand_of(hand_unit(), states[state], NO_SPREADER, fixed=False)
    centre = states["operating"].centre_of_gravity
    plain = {"centre": centre, "tolerance": 0.0, "ballast_centre": centre[:2], "ring_area": 0.0}
    return replace(found, **{**plain, **changes})


def site(row: dict[str, Any]) -> Site:
    """A row of a list."""
    return Site(row=2, site_id="X", values=row)


def held(row: dict[str, Any], unit: Unit = EXAMPLE) -> Stability:
    """Stability of a row, with the real roof checks under ballast."""
    one = site(row)
    return stability(
        one,
        unit,
        CRITERIA,
        DENSITY,
        lambda mass: roof_checks(one, unit, CRITERIA, demand_of(one, unit, DENSITY, mass)),
    )


def held_on(roof: Status, row: dict[str, Any], seen: list[float] | None = None) -> CheckResult:
    """Wind check of a row on a roof that comes out like this under any ballast; `seen` collects the masses."""
    return stability(site(row), EXAMPLE, CRITERIA, DENSITY, _roof(roof, seen)).results[0]


def _roof(status: Status, seen: list[float] | None) -> Callable[[float], tuple[CheckResult, ...]]:
    missing = ("roof_reserve_kpa",) if status == "not assessed" else ()

    def carried(mass: float) -> tuple[CheckResult, ...]:
        if seen is not None:
            seen.append(mass)
        return (
            CheckResult("roof.load", status, missing=missing, conditions=("the reserve is confirmed",)),
            CheckResult("roof.point-load", "pass"),
        )

    return carried
