"""The one sentence that explains a verdict, and what its deciding check adds to it.

In: a result. Out: text. The record's own reason, which also carries note and condition, stays as it is in
site.json and verdicts.csv; a page puts the note below the sentence and the condition among the conditions.
"""

import re
from collections.abc import Sequence

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.model import CheckResult
from edgecheck.checks.result import Result
from edgecheck.outputs.number_text import count, day_text, is_known, readable
from edgecheck.outputs.views.checks import valued
from edgecheck.outputs.words import joined

_DECLARED = {check.id: check for check in CHECKS}
_MOMENT = re.compile(r"2001-\d{2}-\d{2}[ T]\d{2}:\d{2}")
_NAMES_SHOWN = 3
_CASE_LENGTH = 130  # characters; what is longer stands in the table of all checks
_NOTE_LENGTH = 230
_CONDITION_LENGTH = 150


def shortened(text: str, length: int) -> str:
    """Text cut at a blank to at most so many characters, with "…" where something is left out."""
    if len(text) <= length:
        return text
    part = text[: length - 1]
    return f"{part[: part.rfind(' ')] if ' ' in part[length // 2 :] else part}…"


def in_words(text: str) -> str:
    """Our own sentence with units as people write them and times of a typical year without its year."""
    return _MOMENT.sub(lambda found: day_text(found[0]), readable(text))


def one_sentence(result: Result) -> str:
    """Why the verdict is as it is, in one sentence with its numbers.

    Parameters
    ----------
    result : Result
        The site.

    Returns
    -------
    str
        Of the deciding check; of the whole where no single check decides; empty without a verdict on checks.
    """
    outcome = _deciding(result)
    if outcome is None:
        return in_words(result.reason) if not result.conditions else _without_a_check(result.conditions)
    if outcome.status == "not assessed":
        return _not_assessed(outcome)
    title = _title(outcome)
    if outcome.status == "caution":
        asked = _asked(outcome.conditions)
        if not outcome.demand and not outcome.limit and asked:  # none against none says nothing
            return f"{asked[0].upper()}{asked[1:]}."
        return f"{title}: {_numbers(outcome)}; {asked or 'a caution'}."
    if outcome.status == "pass" and result.verdict == "go":
        nearest = f"{title[0].lower()}{title[1:]}: {_numbers(outcome)}"
        return f"Every check is met; nearest to its limit is this one, {nearest}."
    return f"{title}: {_numbers(outcome)}."


def what_it_adds(result: Result) -> str:
    """The first sentences of the deciding check's note, as many as page one has room for; else empty."""
    outcome = _deciding(result)
    if outcome is None or not outcome.note:
        return ""
    kept = ""
    for part in re.split(r"(?<=[.;]) (?=[A-Z0-9])", in_words(outcome.note)):
        if kept and len(kept) + len(part) > _NOTE_LENGTH:
            break
        kept = f"{kept} {part}".strip()
    return shortened(kept, _NOTE_LENGTH)


def _deciding(result: Result) -> CheckResult | None:
    """Outcome of the check that decides."""
    return next((check for check in result.checks if check.id == result.governing_check), None)


def _title(outcome: CheckResult) -> str:
    return _DECLARED[outcome.id].title if outcome.id in _DECLARED else outcome.id


def _numbers(outcome: CheckResult) -> str:
    """Demand against limit, and when or in which case."""
    check = _DECLARED.get(outcome.id)
    if not is_known(outcome.demand):
        return outcome.status
    text = valued(check, outcome.demand)
    if check is not None and is_known(outcome.limit):
        text += f" against {check.sense} {valued(check, outcome.limit)}"
    case = shortened(in_words(outcome.governed_by), _CASE_LENGTH)
    return (
        f"{text} ({case}{', local standard time' if _MOMENT.search(outcome.governed_by) else ''})"
        if case
        else text
    )


def _asked(asked: Sequence[str]) -> str:
    """The first condition as the end of the sentence; empty where there is none."""
    if not asked:
        return ""
    more = f" (and {count(len(asked) - 1)} more)" if len(asked) > 1 else ""
    return f"on condition: {shortened(readable(asked[0]), _CONDITION_LENGTH)}{more}"


def _not_assessed(outcome: CheckResult) -> str:
    """What is missing, and the demand that stands against it."""
    shown = list(outcome.missing[:_NAMES_SHOWN])
    if len(outcome.missing) > _NAMES_SHOWN:
        shown.append(f"{count(len(outcome.missing) - _NAMES_SHOWN)} more")
    why = f", because {joined(shown)} {'is' if len(shown) == 1 else 'are'} not known" if shown else ""
    numbers = f"; the demand is {_numbers(outcome)}" if is_known(outcome.demand) else ""
    return f"{_title(outcome)} is not assessed{why}{numbers}."


def _without_a_check(conditions: Sequence[str]) -> str:
    """Sentence of a verdict that no single check decides."""
    if len(conditions) == 1:
        return f"No single check decides; it depends on this: {shortened(readable(conditions[0]), _CONDITION_LENGTH)}."
    return f"No single check decides; {count(len(conditions))} conditions stand below."
