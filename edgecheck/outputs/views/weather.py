"""The weather behind a result: its years side by side, and what was looked for in the file, as text.

In: the detail of a result. Out: rows.
"""

from collections.abc import Mapping
from typing import Any

from edgecheck.outputs.number_text import UNKNOWN, count, degrees, is_known, percent, readable

Row = tuple[str, ...]

_ROLES = {"worst": "this report", "median": "the median, run in full", "": "quick pass only"}


def year_rows(detail: Mapping[str, Any]) -> tuple[Row, ...]:
    """Year, least headroom share, hours barred, hours short, highest and lowest air, what it is used for."""
    return tuple(
        (
            f"{one['year']:d}",
            percent(one["least_share"]),
            count(one["hours_barred"], "h"),
            count(one["hours_short"], "h"),
            degrees(one["temp_max_c"]),
            degrees(one["temp_min_c"]),
            _ROLES[str(one["role"])],
        )
        for one in (detail.get("weather") or {}).get("years") or ()
    )


def spread_text(detail: Mapping[str, Any]) -> str:
    """From which to which the least share runs; empty with one year."""
    years = (detail.get("weather") or {}).get("years") or ()
    shares = [one["least_share"] for one in years]
    if not shares:
        return ""
    known = [share for share in shares if is_known(share)]
    span = f"{percent(min(known))} to {percent(max(known))}" if known else UNKNOWN
    unknown = (
        f", {UNKNOWN} in {count(len(shares) - len(known))}" if known and len(known) < len(shares) else ""
    )
    return (
        f"Of the {count(len(shares))} years of the file the least headroom share runs from {span}{unknown}. "
        "A quick pass found it for every year. The report is of the worst year: one with hours in which a limit "
        "bars the cooling before one without, then the least share."
    )


def quality_rows(detail: Mapping[str, Any]) -> tuple[tuple[str, str, str, str, bool], ...]:
    """What was looked for, hours, worst value, first hour, whether a flag is raised."""
    return tuple(
        (
            str(one["flag"]),
            count(one["hours"]),
            readable(str(one["worst"])),
            str(one["first"]),
            bool(one["raised"]),
        )
        for one in (detail.get("weather") or {}).get("quality") or ()
    )
