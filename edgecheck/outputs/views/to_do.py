"""Conditions and questions of a site: the first ones for page one, and all of them for further down.

Page one has a place of fixed height for each list. A list is filled in its own order, which begins with what
decides, until the lines are used up; what does not fit is counted, never dropped.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.result import Result
from edgecheck.inputs.columns import columns
from edgecheck.outputs.number_text import UNKNOWN, readable
from edgecheck.outputs.views.reason import shortened

LINES = 14
LINE_LENGTH = 54  # characters of half a printed page
ITEM_LENGTH = 3 * LINE_LENGTH
_TITLES = {check.id: check.title for check in CHECKS}


@dataclass(frozen=True)
class FirstOnes:
    """The beginning of a list.

    Parameters
    ----------
    rows : tuple of str
        The entries that have room, long ones shortened.
    more : int
        How many are left out.
    """

    rows: tuple[str, ...]
    more: int


@dataclass(frozen=True)
class Question:
    """One value to find out: its column, the question, who usually knows, for which checks."""

    key: str
    question: str
    who: str
    checks: str
    required: bool


@dataclass(frozen=True)
class ToDo:
    """Conditions and questions in full, and what of them stands on page one."""

    conditions: tuple[str, ...]
    questions: tuple[Question, ...]
    first_conditions: FirstOnes
    first_questions: FirstOnes


def to_do(result: Result, need: Mapping[str, str]) -> ToDo:
    """Conditions and questions of a result.

    Parameters
    ----------
    result : Result
        The site.
    need : mapping
        required, confirm or off by check id.

    Returns
    -------
    ToDo
        Text, in the order of the result: what required checks wait for comes first.
    """
    conditions = tuple(readable(text) for text in result.conditions)
    return ToDo(
        conditions=conditions,
        questions=tuple(_question(text, result, need) for text in result.to_survey),
        first_conditions=first_ones(conditions),
        first_questions=first_ones(result.to_survey),
    )


def first_ones(rows: Sequence[str], lines: int = LINES) -> FirstOnes:
    """As many entries from the start of a list as have room.

    Parameters
    ----------
    rows : sequence of str
        Text of each entry.
    lines : int, default LINES
        Room, in lines of `LINE_LENGTH` characters; the line that counts the rest is taken from it.

    Returns
    -------
    FirstOnes
        At least the first entry, where there is one.
    """
    texts = [shortened(text, ITEM_LENGTH) for text in rows]
    heights = [-(-_width(text) // LINE_LENGTH) for text in texts]
    if sum(heights) <= lines:
        return FirstOnes(tuple(texts), 0)
    kept, used = 0, 1
    while kept < len(texts) and (kept == 0 or used + heights[kept] <= lines):
        used += heights[kept]
        kept += 1
    return FirstOnes(tuple(texts[:kept]), len(texts) - kept)


def _width(text: str) -> int:
    """Width in characters of ordinary text; capitals and signs of other scripts are taken as two."""
    return sum(2 if char.isupper() or ord(char) > 0x2E7F else 1 for char in text)


def _question(text: str, result: Result, need: Mapping[str, str]) -> Question:
    """A question with the checks that wait for its answer."""
    key = text.partition(":")[0]
    column = columns().get(key)
    waiting = [check for check in result.checks if check.status == "not assessed" and key in check.missing]
    known = column is not None and bool(column.question)
    return Question(
        key=key if known else "",
        question=column.question if known and column else text,
        who=column.knows if known and column else UNKNOWN,
        checks="; ".join(_TITLES.get(check.id, check.id) for check in waiting if need.get(check.id) != "off"),
        required=any(need.get(check.id) == "required" for check in waiting),
    )
