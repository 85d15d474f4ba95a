"""Sound at the neighbour: the level at the nearest window against the limits of night, evening and day.

In: a site, the unit, its year of heat, the criteria. Out: three results in dB(A).

What is not said is read twice. A check passes only under the harshest reading of everything that is open: a limit
that is a maximum, in front of a facade, a tone in the compressor's sound, no credit for ground or parapet. It
fails only against a limit of the list and under the mildest reading. In between it is a caution that names what
to find out. A limit of the shipped criteria fails no site, and passes only one that would pass the lowest limit
in common use as well; in the evening and by day, the list's night limit where it has one (engineering default: no
limit is stricter than that of the night).
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from edgecheck.checks.heat import clock
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.columns import columns
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.services.neighbour_level import Period, PeriodLevel
from edgecheck.services.quiet_mode import quiet_speed
from edgecheck.services.site_sound import Basis, PeriodSound, SiteSound, site_sound
from edgecheck.services.sound_propagation import FACADE

_DISTANCE: Final = "neighbour_distance_m"


def _declared(period: str) -> Check:
    return Check(
        id=f"services.sound-{period}",
        title=f"Level at the neighbour, {period}",
        sense="at most",
        unit="dB(A)",
        inputs=((_DISTANCE,),),
        basis=(
            "ISO 9613-2:1996, point source at 500 Hz, half space or porous ground, 3 dB accuracy; air absorption "
            "ISO 9613-1; fan law 50 lg n; periods Directive 2002/49/EC Annex I, in local standard time. "
            "Structure-borne sound is not in it."
        ),
        confidence="published",
    )


SOUND_CHECKS: tuple[Check, ...] = (_declared("night"), _declared("evening"), _declared("day"))


@dataclass(frozen=True)
class _Open:
    """Something nobody has said: by how much it can raise the level [dB], and how to find out."""

    worth: float
    condition: str


def sound_checks(
    site: Site, unit: Unit, heat: SiteHeat, criteria: Criteria, found: SiteSound | None = None
) -> tuple[CheckResult, ...]:
    """Check the level at the neighbour by night, in the evening and by day.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its tables [cooling] and [body] are read.
    heat : SiteHeat
        Its year tells how hard the unit works in every hour.
    criteria : Criteria
        Periods, margin, and limits where the list has none.
    found : SiteSound, optional
        What `site_sound` makes of these, where it is known already.

    Returns
    -------
    results : tuple of CheckResult
        "services.sound-night", "-evening" and "-day" [dB(A)].
    """
    found = site_sound(site, unit, heat, criteria) if found is None else found
    caution = criteria.services.sound_caution_db
    return tuple(
        _judged(check, found, period, heat, caution)
        for check, period in zip(SOUND_CHECKS, found.periods, strict=True)
    )


def _judged(check: Check, found: SiteSound, one: PeriodSound, heat: SiteHeat, margin: float) -> CheckResult:
    limit = one.limit.value
    declared = _does_not_apply(found, one)
    if declared:
        return outcome(check, "not applicable", note=declared)
    missing = (
        *((_DISTANCE,) if found.distance is None else ()),
        *(f"unit: {key}" for key in found.missing_keys),
    )
    level = one.level
    if missing:
        return outcome(check, "not assessed", None, limit, missing=missing, note=_ask(found, one))
    if level is None or found.way is None or limit is None:  # the series has no hour of this period
        return outcome(check, "not assessed", None, limit, missing=("weather",), note="No such hour was run.")
    if level.hours_running == 0:
        note = f"The unit does not run in any of the {level.hours} hours of the {one.period}."
        return outcome(check, "pass", None, limit, note=note)
    shown = at_window(found, level, found.basis or "maximum")
    status, conditions = _status(found, one, level, limit, margin)
    return outcome(
        check,
        status,
        shown,
        limit,
        governed_by=_governed_by(found, one.period, level, heat),
        note=_note(found, one, level, shown),
        condition=conditions,
    )


def at_window(found: SiteSound, level: PeriodLevel, basis: Basis) -> float:
    """Level that a limit of a basis is held against: with the stated tone and facade, with all credit. [dB(A)]

    Parameters
    ----------
    found : SiteSound
        With a way to the window.
    level : PeriodLevel
        As sound power level.
    basis : str
        "maximum", "hour-average" or "year-average".
    """
    if found.way is None:
        raise ValueError("no distance, no level at the window")
    power = level.running if basis == "maximum" else level.hour if basis == "hour-average" else level.year
    return power + found.tonal - found.way.attenuation


def _does_not_apply(found: SiteSound, one: PeriodSound) -> str:
    """Declaration by which a check does not apply; empty where there is none."""
    if found.neighbour is False:
        return "The list says that there is no neighbour."
    if not one.hours.any():
        return f"The criteria give the {one.period} no hours."
    if one.limit.origin == "none":
        return f"The list says that no limit holds in this period ({one.period})."
    return ""


def _status(
    found: SiteSound, one: PeriodSound, level: PeriodLevel, limit: float, margin: float
) -> tuple[Status, tuple[str, ...]]:
    """Pass under the harshest reading, fail under the mildest, else a caution with what to find out."""
    mild = at_window(found, level, found.basis or "year-average")
    opens = _opens(found, level)
    harsh = mild + sum(entry.worth for entry in opens)
    passing = limit if one.limit.origin != "shipped" else min(limit, _lowest_credible(found, one.period))
    if harsh <= passing - margin:
        return "pass", ()
    if one.limit.origin == "list" and mild > limit:
        return "fail", ()
    conditions = []
    if one.limit.origin == "shipped":
        conditions.append("ask for the sound limits at the neighbour that the list leaves out")
    if mild > limit:
        conditions.append("less sound or a greater distance, if the limit of the criteria holds")
    elif mild > limit - margin:
        conditions.append("confirm the level at the neighbour: it is close to the limit")
    reference = limit - margin if mild <= limit - margin else limit
    decisive = [entry for entry in opens if mild + entry.worth > reference]
    if not decisive and harsh > reference:
        decisive = opens
    return "caution", (*conditions, *(entry.condition for entry in decisive))


def _lowest_credible(found: SiteSound, period: Period) -> float:
    """Lowest limit that a period of which the list says nothing may have. [dB(A)]"""
    night = found.night.limit
    if period != "night" and night.origin == "list" and night.value is not None:
        return night.value
    usual = columns()[f"neighbour_limit_{period}_dba"].usual_low
    return 0.0 if usual is None else usual


def _opens(found: SiteSound, level: PeriodLevel) -> list[_Open]:
    """Everything that could still raise the level over its mildest reading."""
    opens = []
    if found.basis is None:
        asked = "ask whether the sound limit is a maximum, an hour's average or a year's average"
        opens.append(_Open(level.running - level.year, asked))
    if found.facade is None:
        opens.append(_Open(FACADE, "ask whether the sound limit holds in the open or in front of a facade"))
    if found.tonal_open > 0.0:
        opens.append(_Open(found.tonal_open, "the maker states whether the unit's sound has a tone"))
    if found.credit > 0.0 and found.way is not None:
        ground = "confirm that the ground up to the neighbour is mostly soft, such as grass"
        screen = "confirm that the parapet or roof edge stands between unit and window"
        between = [screen] if found.way.screen > 0.0 else []
        between += [ground] if found.way.method == "porous ground" else []
        opens.append(_Open(found.credit, "; ".join(between)))
    return opens


def _governed_by(found: SiteSound, period: Period, level: PeriodLevel, heat: SiteHeat) -> str:
    if found.basis == "year-average":
        return f"average of all {level.hours} hours of the {period} in the year"
    if found.basis == "hour-average":
        return f"average of the hour {clock(heat.time[level.hour_index])}"
    if found.sources is not None and found.sources.follows_load:
        return f"running, {clock(heat.time[level.running_hour])}"
    return "running"


def _ask(found: SiteSound, one: PeriodSound) -> str:
    """What could be asked for where the level is not known."""
    asked, limit = found.asked_distance, one.limit.value
    if one.period != "night" or asked is None or limit is None:
        return "The level at the neighbour is not known."
    if asked == 0.0:
        return "The unit does not run by night."
    text = f"The running unit meets {limit:g} dB(A) from a distance of {math.ceil(10.0 * asked) / 10.0:.1f} m on."
    return f"{text} {_ORIGINS[one.limit.origin]}".strip()


_ORIGINS: Final[Mapping[str, str]] = {
    "list": "",
    "criteria": "The limit is that of the criteria: the list has none.",
    "shipped": "The limit is an engineering default: nobody has stated one for this site.",
}


def _note(found: SiteSound, one: PeriodSound, level: PeriodLevel, shown: float) -> str:
    levels = [at_window(found, level, basis) for basis in ("maximum", "hour-average", "year-average")]
    said = [
        f"{found.distance:g} m: running {levels[0]:.1f}, loudest hour {levels[1]:.1f}, average of the "
        f"{one.period} {levels[2]:.1f} dB(A)."
    ]
    if found.background is not None:
        over = shown - found.background
        where = "above" if over >= 0.0 else "below"
        said.append(f"It lies {abs(over):.1f} dB {where} the background of {found.background:g} dB(A).")
    if found.tonal > 0.0:
        said.append(f"A supplement of {found.tonal:g} dB for a tone is in it.")
    if found.facade:
        said.append(f"A facade adds {FACADE:g} dB.")
    if found.credit > 0.0:
        said.append(f"Ground and parapet take {found.credit:.1f} dB off.")
    said.append(_ORIGINS[one.limit.origin])
    if one.period == "night":
        said.append(_remedy(found, shown))
    return " ".join(text for text in said if text)


def _remedy(found: SiteSound, shown: float) -> str:
    """What a slower fan would do."""
    allowed, limit = found.night_power_allowed, found.night.limit.value
    if allowed is None or limit is None or found.sources is None or shown <= limit:
        return ""
    quiet = quiet_speed(found.sources, allowed)
    if quiet.speed is not None:
        return f"With the fan at {100.0 * quiet.speed:.0f} % of full speed the running unit would meet the limit."
    if quiet.why_none == "compressor":
        return "The compressor alone is too loud, whatever the fan does."
    return "No fan speed is slow enough."
