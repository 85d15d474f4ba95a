"""Check of a long power cut in winter: hours from the return of power until the servers are on, and the pour point.

In: the cuts of `winter_cuts.py`. A heater, a viscosity or a pour point that is unknown leaves the check open where
it matters, and only there: a bath that stays warm enough needs none of them.
"""

import math
from typing import Any

from edgecheck.checks.estimated import EXTREME_KEYS, fails_at
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.checks.winter_cuts import Kit, WinterCut, WinterStart, spell_cut
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.criteria import OutageCriteria

KILO = 1e3

HEATER = "unit: heater_kw"
VISCOSITY = "unit: viscosity of the liquid"
POUR_POINT = "unit: pour point of the liquid"

WINTER_START = Check(
    id="outage.winter-start",
    title="Hours from return of power to servers on",
    sense="at most",
    unit="h",
    inputs=(("weather",),),
    has_true_zero=True,
    at_worst="caution",
    basis="one node through the shell in full wind, every start hour; heater to the start limit; pour point",
    confidence="engineering default",
)


def winter_check(check: Check, found: WinterStart, heat: SiteHeat, criteria: OutageCriteria) -> CheckResult:
    """Hours from the return of power until the servers are on, and the coldest liquid against its pour point.

    Parameters
    ----------
    check : Check
        outage.winter-start.
    found : WinterStart
        Of the site.
    heat : SiteHeat
        For the cold spell at another extreme.
    criteria : OutageCriteria
        Length of the cut, time allowed.
    """
    kit, allowed = found.kit, found.allowed_hours
    status, missing = _judged(found.year, kit, allowed)
    in_spell, also = _judged(found.spell, kit, allowed)
    notes, condition = [_text(found)], ""
    if status != "fail" and in_spell == "fail" and found.spell.estimated:
        status, missing = "not assessed", (*missing, EXTREME_KEYS["cold spell"])
        value = fails_at(
            heat.cold, lambda tried: _judged(spell_cut(tried, heat, kit, criteria), kit, allowed)[0]
        )
        notes.append(
            f"Beyond only in the cold spell, whose extreme of {heat.cold.extreme.value:.1f} degC is an estimate; it "
            f"would be beyond from {value:.1f} degC."
        )
    elif _ORDER.index(in_spell) > _ORDER.index(status):
        status, missing = in_spell, also
    if status == "fail":
        condition = _condition(found)
    return outcome(
        check, status, found.hours, allowed, governed_by=found.worst.when, note=" ".join(notes),
        missing=missing, condition=condition,
    )  # fmt: skip


_ORDER: tuple[Status, ...] = ("pass", "not assessed", "fail")


def _judged(cut: WinterCut, kit: Kit, limit_hours: float) -> tuple[Status, tuple[str, ...]]:
    """Status of one series, fail for what is beyond, and what is missing."""
    if _set(cut, kit):
        return "fail", ()
    if math.isnan(kit.limit.temperature):
        return "not assessed", (VISCOSITY,)
    if cut.hours > limit_hours:
        if kit.heater is None:
            return "not assessed", (HEATER,)
        return "fail", ()
    if kit.sets is None and cut.coldest < kit.limit.temperature:
        return "not assessed", (POUR_POINT,)
    return "pass", ()


def _set(cut: WinterCut, kit: Kit) -> bool:
    """Whether the liquid gets so cold that it no longer flows."""
    return kit.sets is not None and cut.coldest <= kit.sets


def _text(found: WinterStart) -> str:
    """What happens, in a sentence or two."""
    kit, worst = found.kit, found.worst
    limit = kit.limit.temperature
    text = f"After {found.off_hours:g} h without power the liquid is at {worst.at_return:.1f} degC"
    if math.isnan(limit):
        text += "; the temperature at which the pumps start is unknown."
    elif worst.at_return >= limit:
        text += f", not below the {limit:.1f} degC at which the pumps start."
    else:
        text += f"; the pumps start at {limit:.1f} degC{_by(kit)}.{_heat_text(found)}"
    sets = "its pour point is unknown" if kit.sets is None else f"it flows down to {kit.sets:.1f} degC"
    return f"{text} Coldest liquid {found.coldest.coldest:.1f} degC; {sets}."


def _by(kit: Kit) -> str:
    return ", where the liquid is thin enough" if kit.limit.by_viscosity else ""


def _heat_text(found: WinterStart) -> str:
    """What warms the bath, and what would be enough."""
    kit = found.kit
    if kit.heater is None:
        there = " The heater is unknown"
        there += f", idling servers give {kit.heat / KILO:.2f} kW" if kit.idle else ""
    else:
        there = f" {kit.heat / KILO:.2f} kW warm it"
    if found.worst.hours <= found.allowed_hours:
        return f"{there}."
    return f"{there}; {upward_kw(found.needed)} would do within {found.allowed_hours:g} h."


def upward_kw(heat: float) -> str:
    """A heat [W] in kW, rounded up to the decimals that are printed."""
    return "no heater" if math.isinf(heat) else f"{math.ceil(heat / 10.0 - 1e-6) / 100.0:.2f} kW"


def _condition(found: WinterStart) -> str:
    kit, hours = found.kit, found.worst.hours
    if any(_set(cut, kit) for cut in (found.year, found.spell)):
        return "agree with the maker what happens when the liquid sets in a winter power cut"
    if math.isinf(found.needed):
        return f"winter: after a long power cut the servers need over {found.allowed_hours:g} h whatever the heater"
    other = (
        "else the servers stay off after a long power cut"
        if math.isinf(hours)
        else f"or accept {hours:.1f} h without servers after a long power cut"
    )
    return f"winter: fit heat of {upward_kw(found.needed)}, {other}"


def winter_detail(found: WinterStart) -> dict[str, Any]:
    """Numbers of the report; units in the names, None where unknown."""
    kit, worst = found.kit, found.worst

    def known(value: float) -> float | None:
        return None if math.isnan(value) else value

    return {
        "power_off_hours": found.off_hours,
        "allowed_hours": found.allowed_hours,
        "hours": found.hours,
        "when": worst.when,
        "at_return_c": worst.at_return,
        "coldest_c": found.coldest.coldest,
        "coldest_when": found.coldest.coldest_when,
        "start_limit_c": known(kit.limit.temperature),
        "start_limit_by": "viscosity" if kit.limit.by_viscosity else "start_min_c",
        "sets_c": kit.sets,
        "heater_w": kit.heater,
        "idle_w": kit.idle,
        "heat_needed_w": known(found.needed),
        "delay_min": kit.delay / 60.0,
        "estimated": worst.estimated,
    }
