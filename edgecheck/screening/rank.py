"""Rank of every row: 1..n without ties.

Class first (go, conditional, undecided, no-go, unusable); within a class the number of what stands against the
site (conditions that not every site of the run has; missing required facts; failing checks); then the headroom
share, the larger first; then the order of the list. A type qualification is no place to choose: such rows stand after
all places, before rows that cannot be used.
"""

from collections import Counter
from collections.abc import Mapping, Sequence

from edgecheck.checks.result import Result

_CLASS = ("go", "conditional", "undecided", "no-go", "unusable")


def ranks(results: Sequence[Result], need: Mapping[str, str]) -> dict[int, int]:
    """Rank by the row's line number.

    Parameters
    ----------
    results : sequence of Result
        One a row, in any order.
    need : mapping
        required, confirm or off by check id.

    Returns
    -------
    dict
        Line of the row -> rank, 1 the best.
    """
    judged = [result for result in results if result.verdict != "unusable" and not result.is_type]
    seen = Counter(text for result in judged for text in set(result.conditions))
    common = {text for text, count in seen.items() if count == len(judged)}

    def key(result: Result) -> tuple[int, int, int, float, int]:
        share = result.figures.get("headroom_share")
        return (
            2 if result.verdict == "unusable" else int(result.is_type),
            _CLASS.index(result.verdict),
            _against(result, common, need),
            -share if isinstance(share, float) else float("inf"),
            result.row,
        )

    return {result.row: rank for rank, result in enumerate(sorted(results, key=key), start=1)}


def _against(result: Result, common: set[str], need: Mapping[str, str]) -> int:
    """What stands against a site within its class."""
    if result.verdict == "conditional":
        return sum(text not in common for text in result.conditions)
    if result.verdict == "undecided":
        return len(
            {
                key
                for check in result.checks
                if check.status == "not assessed" and need.get(check.id) == "required"
                for key in (check.missing or (check.id,))
            }
        )
    if result.verdict == "no-go":
        return sum(check.status == "fail" for check in result.checks if need.get(check.id) != "off")
    return 0
