"""Words of the survey: what an answer may be, how much would be enough, which checks are meant."""

import math
from collections.abc import Mapping, Sequence

from edgecheck.checks.declarations import check_of
from edgecheck.checks.model import CheckResult
from edgecheck.inputs.columns import Column

# What is missing and is no column of the list -> key in the unit file, question, who usually knows.
ELSEWHERE: Mapping[str, tuple[str, str, str]] = {
    "unit: capacity_kw beyond the last column": (
        "cooling.capacity_kw",
        "What is the capacity beyond the last column of the rating table? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: qualification.climate_class": (
        "qualification.climate_class",
        "For which environmental class is the unit made? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: qualification.coating_category": (
        "qualification.coating_category",
        "For which corrosivity category is the unit's coating? The answer belongs into the unit file.",
        "maker of the unit",
    ),
}
# A row with too many cells, or one whose id is missing or given twice.
ROW = ("", "What should the row say? Correct it in the list itself.", "whoever keeps the list")
# What the demand of a check is held against.
LIMITS: Mapping[str, str] = {"roof.load": "roof_reserve_kpa", "roof.point-load": "roof_reserve_point_kn"}
_MOST_NAMED = 4
_FORMS = {
    "text": "text",
    "file": "name of a file, relative to the list",
    "date": "a date as YYYY-MM-DD",
    "pairs": "azimuth:elevation pairs in degrees, such as 90:12 180:4",
}


def allowed(column: Column) -> str:
    """What a cell of a column may say.

    Parameters
    ----------
    column : Column
        Of the site list.

    Returns
    -------
    text : str
        Allowed values or possible range, the usual range, and `none` where it may say so.
    """
    text = _FORMS.get(column.kind) or column.range_text()
    if column.usual_low is not None and column.usual_high is not None:
        text += f"; usually {column.usual_low:g} to {column.usual_high:g}"
    if column.none_allowed:
        text += "; or none"
    return text


def wanted(outcome: CheckResult, key: str, *, alone: bool) -> str:
    """Say how much the answer must at least be, with a blank before it.

    Parameters
    ----------
    outcome : CheckResult
        Its demand is what the answer is compared with.
    key : str
        Column of the answer.
    alone : bool
        Whether nothing else is needed to decide.

    Returns
    -------
    text : str
        Empty where the column is not what the demand is held against.
    """
    if LIMITS.get(outcome.id) != key or outcome.demand is None or not math.isfinite(outcome.demand):
        return ""
    amount = f"{math.ceil(outcome.demand * 100.0) / 100.0:.2f} {check_of(outcome.id).unit}"
    return f" {amount} would be enough." if alone else f" At least {amount} is needed."


def others(keys: Sequence[str]) -> str:
    """Name keys, of many only the first."""
    if len(keys) <= _MOST_NAMED:
        return listed(keys)
    return f"{', '.join(keys[: _MOST_NAMED - 1])} and {len(keys) - _MOST_NAMED + 1} more"


def listed(words: Sequence[str]) -> str:
    """Words joined by commas and an "and" before the last."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def titles(check_ids: Sequence[str]) -> str:
    """Titles of checks, joined by semicolons."""
    return "; ".join(check_of(check_id).title for check_id in check_ids)
