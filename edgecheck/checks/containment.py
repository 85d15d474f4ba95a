"""Containment: what a leak of the unit can bring against what holds it back.

In: a site, the unit, its liquid, the criteria. Out: one result in litres, and the record behind it.

The tray of the unit or the containment of the roof must do it alone; what one lets past is not counted on the other
(engineering default). Short of the practice value is a caution; short of a named rule fails the site, where the
unit's own volume reaches that rule's threshold. What is open to the rain never passes on a storm that nobody has
stated, or on an area that nobody has.
"""

import math
from dataclasses import dataclass
from typing import Any

from edgecheck.base.liquids import FILLING_TEMPERATURE, Liquid
from edgecheck.checks.findings import Finding
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.services.containment import (
    Holder,
    Needed,
    largest_volume,
    needed,
    roof_containment,
    tray,
)
from edgecheck.services.containment_rules import RULES, rule_named

CONTAINMENT = Check(
    id="services.containment",
    title="Liquid against the tray",
    sense="at most",
    unit="litre",
    inputs=(("containment_litre",),),
    has_true_zero=True,
    basis=(
        "Conservation of mass from filling at 20 degC to the shutdown temperature, densities of the liquid library. "
        "110 % of it: common practice, in no code for a unit this small. Rain on an open tray: 1 l a mm and m2. "
        f"Named rules: {', '.join(rule.name for rule in RULES)}, each with its threshold and source in the report. "
        "Water hazard class of the liquid, and drains that a spill may reach, are not checked."
    ),
    confidence="common practice",
)

EXPANSION = "unit: liquid.properties.expansion_per_k"
TRAY = "unit: mass.tray_litre"
_ROOF, _RAIN = "containment_litre", "design_rain_mm"


@dataclass(frozen=True)
class _Known:
    """What unit and list say: volume needed (None where densities say nothing), what holds it, the rule's name."""

    need: Needed | None
    holders: tuple[Holder, ...]
    expansion_known: bool
    hottest: float
    rule_name: str | None


def containment_check(site: Site, unit: Unit, liquid: Liquid, criteria: Criteria) -> CheckResult:
    """Judge whether a leak is held back.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its tables [mass], [liquid] and [body] are read.
    liquid : Liquid
        The unit's liquid.
    criteria : Criteria
        Its services.containment_min_share is the practice value.

    Returns
    -------
    result : CheckResult
        "services.containment" [litre].
    """
    known = _known(site, unit, liquid, criteria)
    need = known.need
    if need is None:
        note = f"By its own data the liquid has no density at {known.hottest:g} degC."
        return outcome(CONTAINMENT, "not assessed", missing=(EXPANSION,), note=note)
    words = _words(need, known)
    if not known.holders:
        note = f"{words} Neither a tray of the unit nor a containment of the roof is known."
        return outcome(CONTAINMENT, "not assessed", need.most, missing=(_ROOF,), note=note)
    holder = max(known.holders, key=lambda one: _rank(need, one))
    finding = _finding(site, unit, known, need, holder)
    if finding.status in ("pass", "caution") and known.rule_name is not None and need.rule is None:
        ask = f'containment: the rule "{known.rule_name}" is not known here; the practice value was used'
        finding = Finding("caution", finding.text, (*finding.conditions, ask))
    ask_roof = finding.missing == (_ROOF,)
    rain = holder.rain_most if holder.surely_holds(need.most) else holder.rain_least
    return outcome(
        CONTAINMENT,
        finding.status,
        need.most if ask_roof else need.most + rain,
        None if ask_roof else holder.volume,
        governed_by=f"{holder.name}, {holder.why}",
        missing=finding.missing,
        note=f"{words} {finding.text}",
        condition=finding.conditions,
    )


def _rank(need: Needed, holder: Holder) -> tuple[int, float]:
    """How far something gets: all of it for sure, all without rain, the named rule, less; the tray before others."""
    if holder.surely_holds(need.most):
        return 3, 0.0
    if holder.may_hold(need.most):
        return 2, 0.0
    return (1 if need.ruled is not None and holder.may_hold(need.ruled) else 0), holder.volume


def _finding(site: Site, unit: Unit, known: _Known, need: Needed, holder: Holder) -> Finding:
    if holder.may_hold(need.most):
        if not known.expansion_known:
            text = "The expansion of the liquid is not known and not in the volume."
            return Finding("not assessed", text, missing=(EXPANSION,))
        if holder.surely_holds(need.most):
            return Finding("pass", f"The {holder.name} holds it.")
        return _in_the_rain(site, holder, need.most, f"The {holder.name} holds it without rain.")
    short = f"The {holder.name} holds {holder.volume:.0f} l of {need.most + holder.rain_least:.0f} l."
    ruled = need.ruled
    if ruled is None or holder.surely_holds(ruled):
        wanted = f"containment: {math.ceil(need.most)} l beside the rain, in a larger tray or on the roof"
        return Finding("caution", f"{short} The practice value is missed.", (wanted,))
    if holder.may_hold(ruled):
        return _in_the_rain(site, holder, ruled, short)
    unknown = tuple(
        key for key, volume in ((_ROOF, site.number(_ROOF)), (TRAY, unit.mass.tray_litre)) if volume is None
    )
    if unknown:
        return Finding("not assessed", f"{short} What else holds it back is not known.", missing=unknown)
    return Finding("fail", f"{short} The named rule asks for {ruled:.0f} l beside the rain.")


def _in_the_rain(site: Site, holder: Holder, volume: float, text: str) -> Finding:
    """Enough without rain; how much falls into it is not known, or whether any does."""
    if holder.source.startswith("site"):
        wanted = f"containment: the roof holds {math.ceil(volume)} l beside the rain that falls on it"
        return Finding("caution", f"{text} Rain on the containment of the roof is not added.", (wanted,))
    if site.number(_RAIN) is None:
        return Finding("not assessed", f"{text} It may collect rain: {holder.why}.", missing=(_RAIN,))
    wanted = "containment: the tray of the unit is roofed (mass.tray of the unit file)"
    return Finding("caution", f"{text} Open, it is too small for the design storm.", (wanted,))


def _known(site: Site, unit: Unit, liquid: Liquid, criteria: Criteria) -> _Known:
    own = unit.liquid.properties
    name = site.text("containment_rule")
    hottest = max(unit.liquid.shutdown_c, FILLING_TEMPERATURE)
    need = None
    if liquid.density(hottest) > 0.0:
        filled = unit.liquid.volume_litre
        largest = largest_volume(filled, liquid.density(FILLING_TEMPERATURE), liquid.density(hottest))
        rule = None if name is None else rule_named(name)
        need = needed(filled, largest, criteria.services.containment_min_share, rule)
    rain = site.number(_RAIN)
    area = unit.mass.tray_area_m2 or unit.body.length_m * unit.body.depth_m
    holders = []
    if unit.mass.tray_litre is not None:
        holders.append(tray(unit.mass.tray_litre, unit.mass.tray, area, rain))
    roof = site.number(_ROOF)
    if roof is not None:
        holders.append(roof_containment(roof, rain))
    return _Known(need, tuple(holders), own is None or own.expansion_per_k is not None, hottest, name)


def _words(need: Needed, known: _Known) -> str:
    text = (
        f"{need.filled:g} l become {need.largest:.1f} l at {known.hottest:g} degC; by practice "
        f"{need.practice:.0f} l are held back."
    )
    if need.rule is None:
        return text
    if need.ruled is None:
        return f"{text} {need.rule.name} holds from {need.rule.threshold:.0f} l and does not reach this unit."
    return f"{text} {need.rule.name} asks for {need.ruled:.0f} l."


def containment_detail(site: Site, unit: Unit, liquid: Liquid, criteria: Criteria) -> dict[str, Any]:
    """Every number behind the check, for the report.

    Parameters
    ----------
    site, unit, liquid, criteria
        As in `containment_check`.

    Returns
    -------
    detail : dict
        filled_litre, filling_c, density_filling_kg_m3, hottest_c, density_hottest_kg_m3, largest_litre,
        practice_share, practice_litre, rule, holders; unknown values are None.
    """
    known = _known(site, unit, liquid, criteria)
    need = known.need
    return {
        "filled_litre": unit.liquid.volume_litre,
        "filling_c": FILLING_TEMPERATURE,
        "density_filling_kg_m3": liquid.density(FILLING_TEMPERATURE),
        "hottest_c": known.hottest,
        "density_hottest_kg_m3": liquid.density(known.hottest),
        "expansion_known": known.expansion_known,
        "largest_litre": None if need is None else need.largest,
        "practice_share": criteria.services.containment_min_share,
        "practice_litre": None if need is None else need.practice,
        "rule": None if known.rule_name is None else _rule(known.rule_name, need),
        "holders": [
            {
                "name": one.name,
                "source": one.source,
                "litre": one.volume,
                "rain_litre": one.rain_most if one.rain_most == one.rain_least else None,
                "why": one.why,
            }
            for one in known.holders
        ],
    }


def _rule(stated: str, need: Needed | None) -> dict[str, Any]:
    rule = rule_named(stated)
    return {
        "stated": stated,
        "name": None if rule is None else rule.name,
        "threshold_litre": None if rule is None else rule.threshold,
        "required_litre": None if need is None else need.ruled,
        "source": "" if rule is None else rule.source,
        "remark": "" if rule is None else rule.remark,
        "confidence": "" if rule is None else rule.confidence,
    }
