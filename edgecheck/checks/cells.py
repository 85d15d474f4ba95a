"""What cautions and faults of single cells do to checks.

A value outside its usual range lowers every check that uses its column to a caution; a wrong cell that only
checks to confirm need leaves those not assessed; a column that is nearly a known one is named by every check
that the known one feeds.
"""

from collections.abc import Mapping
from dataclasses import replace

from edgecheck.checks.model import CheckResult
from edgecheck.inputs.columns import columns, headings
from edgecheck.inputs.sites import Site


def with_cells(result: CheckResult, site: Site, lookalikes: Mapping[str, str]) -> CheckResult:
    """A check's result after looking at the cells that feed it.

    Parameters
    ----------
    result : CheckResult
        As computed.
    site : Site
        The row.
    lookalikes : mapping
        Own heading -> the known column that it nearly is.

    Returns
    -------
    CheckResult
    """
    if result.id in site.unassessable:
        why = site.unassessable[result.id]
        return replace(
            result, status="not assessed", spare=None, utilisation=None, note=why, conditions=(),
            missing=(*result.missing, why.split(" ", 1)[0]),
        )  # fmt: skip
    for caution in site.cautions:
        if result.id in caution.checks and headings()[caution.column].column.used:
            note = f"{result.note} {caution.column} {caution.text}".strip()
            if result.status == "pass":
                result = replace(
                    result,
                    status="caution",
                    note=note,
                    conditions=(f"confirm {caution.column}: {caution.text}",),
                )
            else:
                result = replace(result, note=note)
    for own, known in lookalikes.items():
        if result.id in columns()[known].feeds:
            text = f'The column "{own}" looks like {known} and was not used.'
            result = replace(result, note=f"{result.note} {text}".strip())
    return result
