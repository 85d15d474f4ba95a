"""A unit that sounds, and a year of it without any weather, for tests of sound."""

from types import SimpleNamespace
from typing import Any, cast

import numpy as np
from site_cases import UNIT, site, unit_with

from edgecheck.checks.model import CheckResult
from edgecheck.checks.sound import sound_checks
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.criteria import Criteria, load_criteria
from edgecheck.inputs.unit import Unit

CRITERIA = load_criteria("full")
# 70 + 70 dB(A): 73.01 while it runs; half the time 70.
LOUD = unit_with(cooling={"sound_power_fan_dba": 70.0, "sound_power_compressor_dba": 70.0, "tonal_db": 0.0})
VARIABLE = {"part_load": "variable-speed", "capacity_min_share": 0.3, "fan_control": "variable"}
CALM = {"receiver_position": "free-field", "sound_limit_basis": "maximum"}

__all__ = [
    "CALM",
    "CRITERIA",
    "LOUD",
    "UNIT",
    "VARIABLE",
    "days",
    "listed",
    "night",
    "results",
    "site",
    "with_keys",
]


def listed(limit: Any, **more: Any) -> dict[str, Any]:
    """A row with its window at 10 m and a night limit, held as a maximum in the open."""
    return {"neighbour_distance_m": 10.0, "neighbour_limit_night_dba": limit, **CALM, **more}


def with_keys(**cooling: Any) -> Unit:
    """The loud unit with other keys of [cooling]."""
    return LOUD.model_copy(update={"cooling": LOUD.cooling.model_copy(update=cooling)})


def days(ratio: Any = 0.5, unknown: Any = False, count: int = 2) -> SiteHeat:
    """Whole days with the unit at a share of its capacity, a number or one an hour of the day."""
    hours = 24 * count
    shape = np.broadcast_to(np.asarray(ratio, dtype=float), (24,))
    past = np.broadcast_to(np.asarray(unknown, dtype=bool), (24,))
    year = SimpleNamespace(
        capacity_ratio=np.tile(shape, count), headroom=SimpleNamespace(unknown=np.tile(past, count))
    )
    time = np.datetime64("2001-01-01T00:00", "m") + 60 * np.arange(hours)
    return cast(SiteHeat, SimpleNamespace(year=year, time=time))


def results(
    row: dict[str, Any], unit: Unit = LOUD, heat: SiteHeat | None = None, criteria: Criteria = CRITERIA
) -> dict[str, CheckResult]:
    """The three checks by period."""
    found = sound_checks(site(row), unit, days() if heat is None else heat, criteria)
    return {result.id.removeprefix("services.sound-"): result for result in found}


def night(row: dict[str, Any], **more: Any) -> CheckResult:
    """The check by night."""
    return results(row, **more)["night"]
