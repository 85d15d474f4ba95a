"""From check results to verdicts.

Rule, for a set of checks: no-go if one fails; else undecided if a required one is not assessed; else conditional
if there is a caution, an unassessed check that is only to confirm, or an assumed value; else go. It is applied
to the site and to each group. While a check that is required by the shipped criteria has no result or is
switched off, the best verdict is conditional.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple, get_args

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.environment import CATEGORY_UNIT
from edgecheck.checks.model import BETWEEN, GROUPS, Check, CheckResult, Need
from edgecheck.checks.result import Verdict
from edgecheck.weather.corrosion import category_name

_ORDER = {check.id: place for place, check in enumerate(CHECKS)}
_DECLARED = {check.id: check for check in CHECKS}
_OF_GROUP = {group: tuple(check for check in CHECKS if check.group == group) for group in GROUPS}
_VERDICTS = frozenset(get_args(Verdict))


@dataclass(frozen=True)
class SiteVerdict:
    """Verdict of a site with its grounds.

    Parameters
    ----------
    verdict : str
        go, conditional, undecided or no-go.
    groups : mapping
        Verdict of each group, or "not covered", "off", "not applicable".
    governing_check : str
        Id of the check that decides.
    reason : str
        One sentence.
    conditions : tuple of str
        What must be done or confirmed.
    """

    verdict: Verdict
    groups: Mapping[str, str]
    governing_check: str
    reason: str
    conditions: tuple[str, ...]


def verdict_of(
    checks: Iterable[Check],
    results: Mapping[str, CheckResult],
    need: Mapping[str, Need],
    always_required: frozenset[str],
) -> str:
    """Verdict of a set of checks.

    Parameters
    ----------
    checks : iterable of Check
        The set.
    results : mapping
        Result by check id; a check without one is not covered.
    need : mapping
        Need by check id.
    always_required : frozenset of str
        Checks that the shipped criteria require.

    Returns
    -------
    str
        A verdict, or "not covered", "off", "not applicable" for a set without any check that counts.
    """
    return _named(_marks(checks, results, need, always_required))


class _Marks(NamedTuple):
    """What holds of some check of a set."""

    covered: bool
    in_force: bool
    applies: bool
    failed: bool
    waiting: bool
    lowered: bool


def _marks(
    checks: Iterable[Check],
    results: Mapping[str, CheckResult],
    need: Mapping[str, Need],
    always_required: frozenset[str],
) -> _Marks:
    covered = in_force = applies = failed = waiting = lowered = False
    for check in checks:
        result, want = results.get(check.id), need[check.id]
        covered |= result is not None
        if result is None or want == "off":
            lowered |= check.id in always_required
            continue
        status = result.status
        in_force = True
        applies |= status != "not applicable"
        failed |= status == "fail"
        waiting |= status == "not assessed" and want == "required"
        lowered |= (
            status == "not assessed" or (status == "caution" and not check.of_unit) or bool(result.assumed)
        )
    return _Marks(covered, in_force, applies, failed, waiting, lowered)


def _named(marks: _Marks) -> str:
    if not marks.covered:
        return "not covered"
    if not marks.in_force:
        return "off"
    if not marks.applies:
        return "not applicable"
    return (
        "no-go"
        if marks.failed
        else "undecided"
        if marks.waiting
        else "conditional"
        if marks.lowered
        else "go"
    )


def site_verdict(
    results: Mapping[str, CheckResult],
    need: Mapping[str, Need],
    always_required: frozenset[str],
    assumed: Mapping[str, str] | None = None,
) -> SiteVerdict:
    """Verdict of a site, its groups and its grounds.

    Parameters
    ----------
    results : mapping
        Result by check id.
    need : mapping
        Need by check id.
    always_required : frozenset of str
        Checks that the shipped criteria require.
    assumed : mapping, optional
        Assumed key -> its value, who answers for it and why, in words; a key without an entry stands for
        itself.

    Returns
    -------
    SiteVerdict
    """
    marks = {group: _marks(checks, results, need, always_required) for group, checks in _OF_GROUP.items()}
    groups = {group: _named(found) for group, found in marks.items()}
    whole = _named(_Marks(*map(any, zip(*marks.values(), strict=True))))
    verdict: Verdict = whole if whole in _VERDICTS else "undecided"  # type: ignore[assignment]
    in_force = [results[c.id] for c in CHECKS if c.id in results and need[c.id] != "off"]
    governing = _governing(verdict, in_force, need)
    conditions = _conditions(in_force, need, results, always_required, assumed or {})
    reason = sentence(governing) if governing else _without_a_check(conditions)
    return SiteVerdict(verdict, groups, governing.id if governing else "", reason, conditions)


def _without_a_check(conditions: tuple[str, ...]) -> str:
    """Reason of a verdict that no single check decides."""
    text = "; ".join(conditions) or "nothing stands against the site"
    return f"{text[0].upper()}{text[1:]}."


def _governing(verdict: str, results: list[CheckResult], need: Mapping[str, Need]) -> CheckResult | None:
    """The check that decides; None for a site that is conditional only for what is not covered."""
    if verdict == "no-go":
        return _first(r for r in results if r.status == "fail")
    if verdict == "undecided":
        waiting = [r for r in results if r.status == "not assessed" and need[r.id] == "required"]
        return waiting[0] if waiting else None
    if verdict == "conditional":
        return (
            _first(r for r in results if r.status == "caution" and not _DECLARED[r.id].of_unit)
            or _first(r for r in results if r.status == "not assessed")
            or _first(r for r in results if r.assumed)
        )
    return _first(r for r in results if r.status == "pass" and r.utilisation is not None)


def _first(results: Iterable[CheckResult]) -> CheckResult | None:
    """Greatest utilisation first, those without one after, ties in the order of the table."""
    return min(results, key=lambda r: (-_severity(r), _ORDER[r.id]), default=None)


def _severity(result: CheckResult) -> float:
    """Utilisation; infinite for a failure against zero or with nothing left, where the ratio has no meaning."""
    if result.utilisation is not None:
        return result.utilisation
    beyond_any_ratio = result.status == "fail" and _DECLARED[result.id].has_true_zero
    return float("inf") if beyond_any_ratio else float("-inf")


def _conditions(
    in_force: list[CheckResult],
    need: Mapping[str, Need],
    results: Mapping[str, CheckResult],
    always_required: frozenset[str],
    assumed: Mapping[str, str],
) -> tuple[str, ...]:
    found: list[str] = []
    for result in in_force:
        if result.status == "caution" and not _DECLARED[result.id].of_unit:
            found += result.conditions or (f"confirm: {_DECLARED[result.id].title.lower()}",)
        elif result.status == "not assessed" and need[result.id] == "confirm":
            found.append(f"still to confirm: {_DECLARED[result.id].title.lower()}")
        if result.assumed:
            found += [
                f"assumed and to be confirmed: {assumed[key]}" for key in result.assumed if key in assumed
            ]
            bare = [key for key in result.assumed if key not in assumed]
            if bare:
                found.append(f"assumed and to be confirmed: {', '.join(bare)}")
    required = [check.id for check in CHECKS if check.id in always_required]
    missing = [check_id for check_id in required if check_id not in results]
    if missing:
        found.append(f"not covered: {', '.join(missing)}")
    switched_off = [check_id for check_id in required if check_id in results and need[check_id] == "off"]
    if switched_off:
        found.append(f"switched off by the criteria: {', '.join(switched_off)}")
    return tuple(dict.fromkeys(found))  # what several checks ask for stands once


def sentence(result: CheckResult) -> str:
    """One sentence on a check result, with its numbers."""
    check = _DECLARED[result.id]
    said = []
    if result.demand is not None:
        number = _quantity(result.demand, check.unit)
        if result.limit is not None:
            number += f" against {check.sense} {_quantity(result.limit, check.unit)}"
        said.append(f"{number} ({result.governed_by})" if result.governed_by else number)
    if result.demand is None or result.status in ("not assessed", "not applicable"):
        said.append(result.status)
    if result.status == "not assessed" and result.missing:
        said.append(f"missing {', '.join(result.missing)}")
    parts = [f"{check.title}: {', '.join(said)}"]
    parts.append(".")
    if result.note:
        parts.append(f" {result.note}")
    if result.status == "caution" and result.conditions:
        parts.append(f" Condition: {BETWEEN.join(result.conditions)}.")
    if result.assumed and result.status != "not assessed":
        parts.append(f" Assumed: {', '.join(result.assumed)}.")
    return "".join(parts)


def _quantity(value: float, unit: str) -> str:
    """A number with its unit, or the word for one that is none."""
    if math.isnan(value):
        return "unknown"
    if math.isinf(value):
        return "unlimited"
    if unit == "share":
        return f"{100.0 * value:.1f} %"
    if unit == CATEGORY_UNIT:
        return category_name(value) or f"{value:g}"
    number = f"{value:.0f}" if abs(value) >= 100 or value == int(value) else f"{value:.3g}"
    return f"{number} {unit}".rstrip()
