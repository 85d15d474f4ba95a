"""The pages: the worst-hour report of a site and the list page of a run, each one self-contained HTML file.

Results go in, HTML comes out. Style and drawings stand inside the page; nothing is loaded from elsewhere, no
script runs, and no time of day enters: equal results give equal bytes. All text that came from a file is
escaped; only our own drawings and formulas are markup.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from edgecheck.checks.result import Result
from edgecheck.outputs.figures.balance import heat_balance
from edgecheck.outputs.figures.canvas import Drawing
from edgecheck.outputs.figures.outage import loss_curves
from edgecheck.outputs.figures.roof import roof_plan
from edgecheck.outputs.figures.spell import spell_trajectory
from edgecheck.outputs.figures.stability import governing_case
from edgecheck.outputs.figures.year import duration_curve, year_map
from edgecheck.outputs.number_text import day_text, time_text
from edgecheck.outputs.page_template import page_template
from edgecheck.outputs.views.checks import check_groups
from edgecheck.outputs.views.grounds import grounds
from edgecheck.outputs.views.head import head
from edgecheck.outputs.views.listing import listing
from edgecheck.outputs.views.roof import roof
from edgecheck.outputs.views.stability import stability
from edgecheck.outputs.views.weather import quality_rows, spread_text, year_rows
from edgecheck.outputs.views.worst_hour import why_this_hour, worked_hours
from edgecheck.outputs.views.year import extreme_text, input_peak_text, outage_text, year


def site_page(result: Result, *, need: Mapping[str, str]) -> str:
    """worst-hour.html of one site.

    Parameters
    ----------
    result : Result
        The site; parts that were not computed are left out, and the page says so.
    need : mapping
        required, confirm or off by check id, as used in the run.

    Returns
    -------
    str
        One HTML page, under 450 kB.
    """
    detail = result.detail
    return page_template("site.html.j2").render(
        head=head(result, need),
        hours=worked_hours(result),
        why=why_this_hour(result),
        year=year(result),
        years=year_rows(detail),
        spread=spread_text(detail),
        quality=quality_rows(detail),
        input_peak=input_peak_text(result),
        hot=extreme_text(detail, "hot"),
        cold=extreme_text(detail, "cold"),
        outage=outage_text(result),
        roof=roof(detail, result.checks),
        stability=stability(detail),
        checks=check_groups(result, need),
        grounds=grounds(result),
        drawings=drawings(result),
    )


def list_page(
    results: Sequence[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
    title: str,
    run: Mapping[str, Any],
) -> str:
    """index.html of a run as one text; parameters as in `list_page_parts`."""
    return "".join(list_page_parts(results, ranks, folders, title, run))


def list_page_parts(
    results: Sequence[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
    title: str,
    run: Mapping[str, Any],
) -> Iterator[str]:
    """Pieces of index.html of a run, for lists too long to hold as text.

    Parameters
    ----------
    results : sequence of Result
        All rows of the list.
    ranks : mapping
        Rank by the row's line number; best first in the table.
    folders : mapping
        Site folder by the row's line number, where a report was written: the row links to it.
    title : str
        Name of the list.
    run : mapping
        The record of run.json; `unit_cautions` are shown once in the header, `notes` below it.

    Returns
    -------
    iterator of str
        One HTML page.
    """
    return page_template("list.html.j2").generate(page=listing(results, ranks, folders, title, run))


def drawings(result: Result) -> dict[str, Drawing]:
    """All figures that a result has data for, by key."""
    found: list[Drawing | None] = []
    unit = result.detail.get("unit") or {}
    for number, hour in enumerate(result.worst_hours[:2], 1):
        when = f"{'the spell hour' if hour.spell != 'year' else 'the hour'} {day_text(hour.time)}"
        found.append(heat_balance(f"balance-{number}", when, hour.values))
    if result.hourly is not None:
        worst = next((hour.time for hour in result.worst_hours if hour.spell == "year"), None)
        moment = None if worst is None else np.datetime64(time_text(worst).replace(" ", "T"), "m")
        found += [
            year_map(result.hourly, moment),
            duration_curve(result.hourly, _limit(result, "heat.headroom")),
        ]
    limits = {
        "setpoint": unit.get("setpoint_c"),
        "service": unit.get("service_max_c"),
        "alarm": unit.get("alarm_c"),
    }
    if result.hot_spell is not None:
        found.append(spell_trajectory("hot-spell", "hot spell", result.hot_spell, limits))
    if result.cold_spell is not None:
        start = {"start": _limit(result, "heat.cold-spell"), "setpoint": unit.get("setpoint_c")}
        found.append(spell_trajectory("cold-spell", "cold spell", result.cold_spell, start))
    if result.outage is not None and "liquid_cooling_lost" in result.outage:
        stops = {"alarm": unit.get("alarm_c"), "shutdown": unit.get("shutdown_c")}
        found.append(loss_curves(result.outage, stops, unit.get("shutdown_c")))
    if result.detail.get("roof"):
        found += [roof_plan(result.detail["roof"]), governing_case(result.detail)]
    return {drawing.key: drawing for drawing in found if drawing is not None}


def _limit(result: Result, check_id: str) -> float | None:
    """Limit of a check, in its unit; None where it was not run or has none."""
    return next((check.limit for check in result.checks if check.id == check_id), None)
