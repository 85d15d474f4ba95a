"""What to find out at a site, as questions, the one that could change the verdict most first.

In: a row, its result, how much each check is needed. Out: one item a question. In this order: what is wrong in
a row that cannot be used, and what a failure rests on; what required checks wait for; assumed values, doubtful
cells, and empty cells that hold a check back; what checks to confirm wait for; extremes that are estimates;
defaults with much influence. Within one of these stands first what decides more checks, an answer that decides
alone before answers that decide together, then the question whose answer is least certain: where the demand
lies in the middle of the column's usual range.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from typing import NamedTuple

from edgecheck.checks.declarations import check_of
from edgecheck.checks.model import CheckResult, Need
from edgecheck.checks.result import Result
from edgecheck.checks.survey_order import (
    CONFIRM,
    DEFAULT,
    ESTIMATE,
    FIRST,
    HELD,
    REQUIRED,
    Ask,
    Asks,
    Reason,
    places,
)
from edgecheck.checks.survey_words import ELSEWHERE, LIMITS, ROW, allowed, others, titles, wanted
from edgecheck.inputs.columns import Column, columns, headings
from edgecheck.inputs.load_families import LOAD_STANDARD, families_of, family_of
from edgecheck.inputs.sites import Site
from edgecheck.inputs.survey_columns import SurveyItem

_EXTREMES = {"extreme_dry_bulb_c": "hot", "extreme_cold_dry_bulb_c": "cold"}
# Columns whose defaults move the heat balance most: engineering judgement.
_INFLUENTIAL = ("recirculation", "roof_surface", "front_azimuth_deg", "elevation_m")
# Cells that help only together, and of which one pair is enough.
_TOGETHER = (("member_span_m", "member_spacing_m"), ("free_length_m", "free_width_m"))
# Empty cells that hold a check back at caution whatever else is known.
_HOLDING = {
    "roof.space": ("edge_distance_m",),
    "roof.load": ("roof_evidence", "landlord_max_kg"),
    "roof.point-load": ("roof_evidence",),
    "services.starting": ("feed_cable_length_m", "feed_cable_mm2"),
}
_FAULT_KEY = re.compile(r"line \d+\)?, ([^:,]+):")
# Different gaps of rows and checks that are kept with what would close them.
_KEPT = 4096
_Inputs = tuple[tuple[str, ...], ...]


class _Told(NamedTuple):
    """What of a row tells which answers would settle a check.

    `keys` are columns that the row itself says, `families` those of load standards that it is under, `firm` extremes
    that are no estimates; `maintenance` where the roof is for maintenance only.
    """

    keys: frozenset[str]
    families: frozenset[str]
    firm: frozenset[str]
    maintenance: bool

    def about(self, keys: frozenset[str]) -> "_Told":
        """The same with no other keys than these."""
        return _Told(self.keys & keys, self.families, self.firm, self.maintenance)


class _Way(NamedTuple):
    """One answer that helps to settle a check: to which key, its share among those it takes, what goes with it."""

    key: str
    share: float
    beside: str


class _Form(NamedTuple):
    """What a question for a key says at every site."""

    key: str
    question: str
    unit: str
    allowed: str
    who_knows: str


def survey_items(
    site: Site, result: Result, need: Mapping[str, Need], *, lookalikes: Mapping[str, str] | None = None
) -> tuple[SurveyItem, ...]:
    """What to find out at one site.

    Parameters
    ----------
    site : Site
        The row.
    result : Result
        What came out for it.
    need : mapping
        required, confirm or off by check id.
    lookalikes : mapping, optional
        Own heading of the list -> the column that it nearly is.

    Returns
    -------
    items : tuple of SurveyItem
        The question to ask first comes first; empty where nothing is open.
    """
    asks = Asks()
    if result.verdict == "unusable":
        _unusable(asks, site, result, need)
    else:
        told = _told(site, result)
        in_force = {outcome.id: outcome for outcome in result.checks if need[outcome.id] != "off"}
        for outcome in in_force.values():
            required = need[outcome.id] == "required"
            if outcome.status == "not assessed":
                _waiting(asks, outcome, told, required=required)
            if outcome.assumed or site.cautions or outcome.id in _HOLDING:
                _held_back(asks, outcome, site, HELD if required else CONFIRM)
        _estimates_and_defaults(asks, site, result, in_force)
        _lift(asks, {outcome.id for outcome in in_force.values() if outcome.status == "fail"})
    alike = {column: own for own, column in (lookalikes or {}).items()}
    return tuple(_items(site, result, asks.ordered(), alike))


def _unusable(asks: Asks, site: Site, result: Result, need: Mapping[str, Need]) -> None:
    """Cells that make the row unusable; of a row that failed later, the cell that its reason names."""
    found = [(fault.key, f"{fault.key} {fault.value!r}: {fault.allowed}") for fault in site.faults]
    if not found:
        for text in result.faults:
            named = _FAULT_KEY.search(text)
            found.append((named.group(1) if named else "", text))
    for heading, text in found:
        key = _column_name(heading)
        feeds = columns()[key].feeds if key in columns() else ()
        decides = tuple(check for check in feeds if need[check] == "required")
        asks.add(key, FIRST, len(decides), Reason(f"The row cannot be used: {text}"), decides)


def _column_name(heading: str) -> str:
    known = headings().get(heading)
    return heading if known is None else known.column.name


def _told(site: Site, result: Result) -> _Told:
    standard = site.get(LOAD_STANDARD)
    families = {family_of(standard)} if standard is not None else families_of(site.values)
    return _Told(
        frozenset(key for key in site.values if key not in site.assumed),
        frozenset(families),
        frozenset(key for key in _EXTREMES if _extreme(key, result).get("source") != "estimate"),
        site.get("roof_use") == "maintenance-only",
    )


def _waiting(asks: Asks, outcome: CheckResult, told: _Told, *, required: bool) -> None:
    """What a check that is not assessed waits for; of one to confirm only what takes fewest answers."""
    step, lead = (REQUIRED, "Decides: ") if required else (CONFIRM, "To confirm: ")
    limit, check = LIMITS.get(outcome.id), check_of(outcome.id)
    asked = told.about(_keys_in(check.inputs))
    for key, share, tail in _ways(outcome.id, check.inputs, outcome.missing, asked, required):
        certainty = 1.0
        if key == limit:
            tail += wanted(outcome, key, alone=share == 1.0)
            certainty = _certainty(outcome, key)
        asks.add(key, step, share, Reason(lead, check.title, tail), (outcome.id,), certainty=certainty)


@lru_cache(_KEPT)
def _ways(
    check_id: str, inputs: _Inputs, missing: tuple[str, ...], told: _Told, required: bool
) -> tuple[_Way, ...]:
    """Answers that a check waits for: many rows have the same gaps, so each kind of gap is looked at once."""
    place = places()
    groups = sorted(
        _alternatives(check_id, inputs, missing, told),
        key=lambda group: (len(group), [place.get(key, len(place)) for key in group]),
    )
    if not required:
        groups = [group for group in groups if len(group) == len(groups[0])]
    shortest: dict[str, tuple[str, ...]] = {}
    for group in groups:
        for key in group:
            shortest.setdefault(key, group)
    ways = []
    for key, group in shortest.items():
        rest = [other for other in group if other != key]
        instead = [other for other in groups[0] if other not in group]
        tail = f", together with {others(rest)}" if rest else ""
        tail += f", instead of {others(instead)}" if instead else ""
        ways.append(_Way(key, 1.0 / len(group), f"{tail}."))
    return tuple(ways)


@lru_cache(_KEPT)
def _keys_in(inputs: _Inputs) -> frozenset[str]:
    return frozenset(key for group in inputs for key in group)


def _alternatives(
    check_id: str, inputs: _Inputs, waits_for: tuple[str, ...], told: _Told
) -> list[tuple[str, ...]]:
    """Sets of keys of which any one would settle a check."""
    named = [_column_name(key) for key in waits_for]
    missing = [key for key in named if key not in told.firm] or named
    if not missing:
        return []
    declared = [group for group in inputs if not _ruled_out(group, told)]
    holding = _HOLDING.get(check_id, ())
    unknown = [
        tuple(key for key in group if not _known(key, told) and key not in holding) for group in declared
    ]
    if unknown and all(unknown):
        # Nothing else helps as long as these are missing.
        before = [key for key in missing if key not in _keys_in(inputs)]
        return _least([(*before, *group) for group in unknown])
    open_ways = [group for group in unknown if group and set(group) <= set(missing)]
    if open_ways:
        return _least(open_ways)
    rest = tuple(key for key in missing if not any(key in pair for pair in _TOGETHER))
    pairs = [tuple(key for key in pair if key in missing) for pair in _TOGETHER]
    return [(*rest, *pair) for pair in pairs if pair] or [rest]


def _least(groups: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    """Groups that do not contain another one, each once."""
    return [group for group in dict.fromkeys(groups) if not any(set(other) < set(group) for other in groups)]


def _known(key: str, told: _Told) -> bool:
    """Whether the row itself says it, or something takes its place."""
    return key in told.keys or columns()[key].has_default


def _ruled_out(group: tuple[str, ...], told: _Told) -> bool:
    """Whether a row rules an alternative out.

    A maintenance load is nothing to spare for permanent plant, and a row is under one family of load standards.
    """
    if "roof_use" in group and told.maintenance:
        return True
    asked = families_of(group)
    return bool(told.families and asked) and not told.families & asked


def _extreme(key: str, result: Result) -> Mapping[str, object]:
    return (result.detail.get("extremes") or {}).get(_EXTREMES[key]) or {}


def _certainty(outcome: CheckResult, key: str) -> float:
    """How sure the answer is beforehand: 0 in the middle of the usual range, 1 at its ends or where unknown.

    The middle is that of the logarithm: loads and masses spread by factors.
    """
    column = columns().get(key)
    demand = outcome.demand
    if column is None or LIMITS.get(outcome.id) != key or demand is None or not demand > 0.0:
        return 1.0
    low, high = column.usual_low, column.usual_high
    if low is None or high is None or low <= 0.0:
        return 1.0
    share = math.log(demand / low) / math.log(high / low)
    return min(1.0, abs(2.0 * share - 1.0))


def _held_back(asks: Asks, outcome: CheckResult, site: Site, step: int) -> None:
    """Assumed values, doubtful cells, and empty cells that keep a check from passing."""
    title = check_of(outcome.id).title
    for key in outcome.assumed:
        text = site.assumed[key].text() if key in site.assumed else key
        asks.add(key, step, 1.0, Reason(f"Assumed so far: {text}."), (outcome.id,), in_use=True)
    for caution in site.cautions:
        key = _column_name(caution.column)
        if outcome.id in caution.checks and key in columns() and key not in site.assumed:
            why = Reason(f"The cell says {caution.value.strip()}, which is unusual: {caution.text}.")
            asks.add(key, step, 1.0, why, (outcome.id,), in_use=True)
    if outcome.status == "fail":
        return
    for key in _HOLDING.get(outcome.id, ()):
        if not site.known(key) or (key == "roof_evidence" and site.get(key) == "assumed"):
            why = Reason("Until it is known, at best a caution: ", title, ".")
            asks.add(key, step, 1.0, why, (outcome.id,))


def _estimates_and_defaults(asks: Asks, site: Site, result: Result, in_force: Mapping[str, object]) -> None:
    """Extremes that are estimates and defaults with much influence."""
    for key, step, why in (*_estimates(site, result), *_defaults(site, result)):
        fed = tuple(check for check in columns()[key].feeds if check in in_force)
        if fed:
            asks.add(key, step, 0.0, Reason(why), fed, in_use=True)


def _lift(asks: Asks, failing: set[str]) -> None:
    """Put first what every failure rests on; of a site that fails anyhow leave out what decides nothing."""
    if not failing:
        return
    for ask in list(asks.by_key.values()):
        if ask.in_use and ask.key in columns() and failing <= set(columns()[ask.key].feeds):
            ask.step, ask.score = FIRST, 1.0
            ask.reasons.append(Reason("What fails rests on it."))
        elif ask.step in (CONFIRM, ESTIMATE, DEFAULT):
            del asks.by_key[ask.key]


def _estimates(site: Site, result: Result) -> Iterator[tuple[str, int, str]]:
    for key, name in _EXTREMES.items():
        extreme = _extreme(key, result)
        value = extreme.get("value_c")
        if extreme.get("source") == "estimate" and not site.known(key) and isinstance(value, float):
            yield key, ESTIMATE, f"The {name} spell rests on an estimate of {value:.1f} degC."


def _defaults(site: Site, result: Result) -> Iterator[tuple[str, int, str]]:
    served = {
        entry["key"]: entry
        for entry in result.inputs
        if entry["key"] in _INFLUENTIAL and entry["origin"] in ("default", "station")
    }
    for key in _INFLUENTIAL:
        if key not in served or (key == "roof_surface" and site.known("roof_solar_absorptance")):
            continue
        entry = served[key]
        value = entry["value"]
        shown = (
            f"{value:g} {_unit(columns()[key])}".rstrip() if isinstance(value, int | float) else str(value)
        )
        yield key, DEFAULT, f"{shown} was used: {entry['reason']}."


def _items(site: Site, result: Result, asks: Iterable[Ask], alike: Mapping[str, str]) -> Iterator[SurveyItem]:
    """The questions with all that stands in the survey list."""
    for order, ask in enumerate(asks, start=1):
        form, why = _form(ask.key), ask.why()
        if ask.key in alike:
            why += f' The column "{alike[ask.key]}" looks like it: if it is, map it instead.'
        if result.verdict == "no-go" and ask.step != FIRST:
            why += f" The site is no-go whatever the answer: {titles((result.governing_check,))}."
        yield SurveyItem(
            site.site_id,
            site.name,
            order,
            form.key,
            form.question,
            form.unit,
            form.allowed,
            form.who_knows,
            why,
            tuple(ask.decides),
        )


@lru_cache(_KEPT)
def _form(key: str) -> _Form:
    column = columns().get(key)
    if column is None or column.name == "site_id":
        named, question, who = ELSEWHERE.get(key, ROW)
        return _Form(named, question, "", "", who)
    return _Form(key, column.question, _unit(column), allowed(column), column.knows)


def _unit(column: Column) -> str:
    return "" if column.unit in ("share", "factor") else column.unit
