"""What a design day leaves of the checks: those of a place do not apply.

A row whose weather is a design day qualifies the type of a unit. Nothing about a roof, its wind, its feed or its
neighbours follows from it, whatever the row says of them. The check of the weather keeps such a row at best
conditional.
"""

from edgecheck.checks.declarations import check_of
from edgecheck.checks.model import CheckResult

PLACE_GROUPS = ("roof", "stability", "delivery", "services")
NOTE = "Type qualification against a design day: no place is judged."


def without_place(result: CheckResult) -> CheckResult:
    """A check's result on a row that is no place.

    Parameters
    ----------
    result : CheckResult
        As computed for the row.

    Returns
    -------
    CheckResult
        Not applicable where the check is about a place.
    """
    if check_of(result.id).group not in PLACE_GROUPS:
        return result
    return CheckResult(result.id, "not applicable", note=NOTE)
