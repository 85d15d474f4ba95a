"""What assumed values do to checks.

A check that rests on an assumed value says so. A pass stays a pass, which the verdict rule holds to
conditional. A fail that goes away with the assumed values is not assessed: nobody has confirmed what it rests
on. A fail that stands on the row alone stays a fail.
"""

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace

from edgecheck.checks.model import CheckResult
from edgecheck.inputs.columns import columns
from edgecheck.inputs.sites import Site

Again = Callable[[Site, str], Mapping[str, CheckResult]]
Without = Callable[[Collection[str], str], CheckResult]


def with_assumed(results: Mapping[str, CheckResult], site: Site, again: Again) -> dict[str, CheckResult]:
    """Results of a row of which some values are assumed.

    Parameters
    ----------
    results : mapping
        Result by check id, as computed with the assumed values.
    site : Site
        The row.
    again : callable
        Row with fewer assumed values, id of a check -> results by check id, that check's among them. Called
        once for all checks that it answers for.

    Returns
    -------
    dict
        Result by check id, in the same order.
    """
    if not site.assumed:
        return dict(results)
    known: dict[tuple[frozenset[str], str], CheckResult] = {}

    def without(keys: Collection[str], check_id: str) -> CheckResult:
        row = less(site, keys)
        left = frozenset(row.assumed)
        if (left, check_id) not in known:
            known.update({(left, found): result for found, result in again(row, check_id).items()})
        return known[left, check_id]

    return {check_id: _judged(result, site, without) for check_id, result in results.items()}


def less(site: Site, keys: Collection[str]) -> Site:
    """The row without some of its assumed values.

    Parameters
    ----------
    site : Site
        A row.
    keys : collection of str
        Columns whose value is assumed; others are left alone.

    Returns
    -------
    site : Site
    """
    gone = set(keys) & site.assumed.keys()
    return replace(
        site,
        values={key: value for key, value in site.values.items() if key not in gone},
        assumed={key: entry for key, entry in site.assumed.items() if key not in gone},
        cautions=tuple(caution for caution in site.cautions if caution.column not in gone),
    )


def _judged(result: CheckResult, site: Site, without: Without) -> CheckResult:
    keys = _used(result, site, without)
    if not keys:
        return result
    result = replace(result, assumed=keys)
    if result.status != "fail":
        return result
    if without(keys, result.id).status == "fail":
        return replace(result, note=f"{result.note} It fails without the assumed values too.".strip())
    stated = "; ".join(site.assumed[key].text() for key in keys)
    return replace(
        result,
        status="not assessed",
        missing=keys,
        conditions=(),
        note=f"{result.note} Assumed, and with it this check would fail: {stated}.".strip(),
    )


def _used(result: CheckResult, site: Site, without: Without) -> tuple[str, ...]:
    """Assumed keys that a result rests on.

    A column that has something to take the place of an empty cell is always read. Any other counts where the
    result is not the same without it.
    """
    feeding = [
        key
        for key, column in columns().items()
        if key in site.assumed and column.used and result.id in column.feeds
    ]
    used = {key for key in feeding if columns()[key].has_default or without((key,), result.id) != result}
    rest = [key for key in feeding if key not in used]
    if len(rest) > 1 and without(rest, result.id) != result:
        used.update(rest)  # each alone makes no difference, all of them do
    return tuple(key for key in feeding if key in used)
