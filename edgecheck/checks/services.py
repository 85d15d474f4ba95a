"""The services of a site together: power feed, sound, containment, clearances.

In: a row, its unit and liquid, the heat of the site. Out: their checks in the order of the check table, and the
tables behind them for pages.
"""

from typing import Any

from edgecheck.base.liquids import Liquid
from edgecheck.checks.clearance import CLEARANCE, clearance_check, clearance_detail
from edgecheck.checks.containment import CONTAINMENT, containment_check, containment_detail
from edgecheck.checks.feed import FEED_CHECKS, feed_checks
from edgecheck.checks.feed_record import feed_detail
from edgecheck.checks.lazy import Later
from edgecheck.checks.model import Check, CheckResult
from edgecheck.checks.sound import SOUND_CHECKS, sound_checks
from edgecheck.checks.sound_record import sound_detail
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.services.site_sound import SiteSound
from edgecheck.services.vibration import vibration_record

SERVICES_CHECKS: tuple[Check, ...] = (*FEED_CHECKS, *SOUND_CHECKS, CONTAINMENT, CLEARANCE)


def services_checks(
    site: Site, unit: Unit, heat: SiteHeat, liquid: Liquid, criteria: Criteria, sound: SiteSound
) -> tuple[CheckResult, ...]:
    """Check what the site must offer beside its roof.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        The unit.
    heat : SiteHeat
        Of this row: the hot hour's power, duty and fan speed of every hour.
    liquid : Liquid
        In the unit.
    criteria : Criteria
        Limits.
    sound : SiteSound
        Of this row.

    Returns
    -------
    results : tuple of CheckResult
        In the order of `SERVICES_CHECKS`.
    """
    return (
        *feed_checks(site, unit, heat, criteria),
        *sound_checks(site, unit, heat, criteria, sound),
        containment_check(site, unit, liquid, criteria),
        clearance_check(site, unit),
    )


def services_detail(
    site: Site, unit: Unit, heat: SiteHeat, liquid: Liquid, criteria: Criteria, sound: SiteSound
) -> dict[str, Any]:
    """Tables for pages, by subject, each made at the first look; parameters as `services_checks`."""
    return {
        "feed": Later(lambda: feed_detail(site, unit, heat, criteria)),
        "sound": Later(lambda: sound_detail(site, unit, heat, criteria, sound)),
        "containment": Later(lambda: containment_detail(site, unit, liquid, criteria)),
        "clearance": Later(lambda: clearance_detail(site, unit)),
        "vibration": Later(lambda: vibration_record(unit, site)),
    }
