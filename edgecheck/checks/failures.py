"""Failures beyond the loss of cooling, together: a short power cut, a long one in winter, water on cold surfaces.

In: a site's heat, its unit and liquid, criteria. Out: what was found, the results of the three checks, the record.
"""

from dataclasses import dataclass
from typing import Any

from edgecheck.base.liquids import Liquid
from edgecheck.checks.condensation import (
    CONDENSATION,
    WetHours,
    condensation_check,
    condensation_detail,
    wet_hours,
)
from edgecheck.checks.model import Check, CheckResult
from edgecheck.checks.power_cut import RESTART, PowerCuts, power_cuts, restart_check, restart_detail
from edgecheck.checks.winter_cuts import WinterStart, winter_start
from edgecheck.checks.winter_start import WINTER_START, winter_check, winter_detail
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.criteria import OutageCriteria
from edgecheck.inputs.unit import Unit

FAILURE_CHECKS: tuple[Check, ...] = (RESTART, WINTER_START, CONDENSATION)


@dataclass(frozen=True)
class Failures:
    """What a short power cut, a long one in winter and humid air do to a unit at a site."""

    cuts: PowerCuts
    winter: WinterStart
    wet: WetHours


def failures(heat: SiteHeat, unit: Unit, liquid: Liquid, criteria: OutageCriteria) -> Failures:
    """Work out the failures of a site."""
    return Failures(
        power_cuts(heat), winter_start(heat, unit, liquid, criteria), wet_hours(heat, unit, liquid)
    )


def failure_checks(found: Failures, heat: SiteHeat, criteria: OutageCriteria) -> tuple[CheckResult, ...]:
    """Results of the three checks, in the order of `FAILURE_CHECKS`."""
    return (
        restart_check(RESTART, found.cuts, heat),
        winter_check(WINTER_START, found.winter, heat, criteria),
        condensation_check(CONDENSATION, found.wet),
    )


def failures_detail(found: Failures, heat: SiteHeat) -> dict[str, Any]:
    """Record for the report: a mapping a failure, units in the names."""
    return {
        "restart": restart_detail(found.cuts, heat),
        "winter": winter_detail(found.winter),
        "condensation": condensation_detail(found.wet),
    }
