"""The pages: the worst-hour report of a site and the list page of a run, each one self-contained HTML file.

Results go in, HTML comes out. Style and drawings stand inside the page; nothing is loaded from elsewhere, and no
time of day enters: equal results give equal bytes. The report runs no script; the list page runs its own, which
stands inside it too. All text that came from a file is escaped; only our own drawings and formulas are markup.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from edgecheck.checks.result import Result
from edgecheck.heat.largest_load import AtLoad
from edgecheck.inputs.sites import SiteList
from edgecheck.outputs.figures.balance import heat_balance
from edgecheck.outputs.figures.canvas import Drawing
from edgecheck.outputs.figures.capacity_map import capacity_over_air
from edgecheck.outputs.figures.climatogram import climatogram
from edgecheck.outputs.figures.energy import energy_by_month
from edgecheck.outputs.figures.largest_load import hours_short_over_load
from edgecheck.outputs.figures.liquid_year import liquid_over_year
from edgecheck.outputs.figures.outage import loss_curves
from edgecheck.outputs.figures.roof import roof_plan
from edgecheck.outputs.figures.sound import sound_by_hour
from edgecheck.outputs.figures.spell import spell_trajectory
from edgecheck.outputs.figures.stability import governing_case
from edgecheck.outputs.figures.winter import winter_course
from edgecheck.outputs.figures.year import duration_curve, year_map
from edgecheck.outputs.number_text import day_text, time_text
from edgecheck.outputs.page_template import page_template
from edgecheck.outputs.views.checks import check_groups
from edgecheck.outputs.views.design_day import COLUMNS, day_rows, qualification_text
from edgecheck.outputs.views.energy import energy
from edgecheck.outputs.views.environment import class_view, corrosion_view
from edgecheck.outputs.views.failures import failures
from edgecheck.outputs.views.feed import feed
from edgecheck.outputs.views.grounds import grounds
from edgecheck.outputs.views.head import head
from edgecheck.outputs.views.largest_load import HEADINGS, load_rows
from edgecheck.outputs.views.listing import Listing, listing
from edgecheck.outputs.views.portfolio_program import program
from edgecheck.outputs.views.roof import roof
from edgecheck.outputs.views.site_services import site_services
from edgecheck.outputs.views.sound import sound
from edgecheck.outputs.views.stability import stability
from edgecheck.outputs.views.to_do import to_do
from edgecheck.outputs.views.weather import quality_rows, spread_text, year_rows
from edgecheck.outputs.views.worst_hour import why_this_hour, worked_hours
from edgecheck.outputs.views.year import extreme_text, input_peak_text, year


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
        One HTML page, under 600 kB.
    """
    detail, asked = result.detail, result.on_demand
    loads = () if asked is None else asked.loads()
    return page_template("site.html.j2").render(
        head=head(result, need),
        to_do=to_do(result, need),
        hours=worked_hours(result),
        why=why_this_hour(result),
        year=year(result),
        years=year_rows(detail),
        spread=spread_text(detail),
        quality=quality_rows(detail),
        input_peak=input_peak_text(result),
        energy=energy(detail),
        load_headings=HEADINGS,
        load_rows=() if asked is None else load_rows(loads, asked.machine.it, asked.largest),
        hot=extreme_text(detail, "hot"),
        cold="" if result.is_type else extreme_text(detail, "cold"),
        failures=failures(result),
        environment=class_view(detail),
        corrosion=corrosion_view(detail),
        qualification=qualification_text(detail),
        day_columns=COLUMNS,
        day_rows=day_rows(result),
        roof=roof(detail, result.checks),
        stability=stability(detail),
        feed=feed(detail),
        sound=sound(detail),
        site_services=site_services(detail),
        checks=check_groups(result, need),
        grounds=grounds(result),
        drawings=drawings(result, loads),
    )


def list_page(
    results: Iterable[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
    title: str,
    run: Mapping[str, Any],
    site_list: SiteList | None = None,
) -> str:
    """index.html of a run.

    Parameters
    ----------
    results : iterable of Result
        All rows of the list, in its order; read once.
    ranks : mapping
        Rank by the row's line number; best first in the table.
    folders : mapping
        Site folder by the row's line number, where a report was written: the row links to it.
    title : str
        Name of the list.
    run : mapping
        The record of run.json; `unit_cautions` are shown once in the header, `notes` below the table, and the
        criteria's `need` says which checks stop a site.
    site_list : SiteList, optional
        The list as it was read: positions for the map, and the planner's own columns.

    Returns
    -------
    str
        One HTML page.
    """
    return page_of(listing(results, ranks, folders, title, run, site_list))


def page_of(page: Listing) -> str:
    """index.html of what has been gathered for it."""
    return page_template("list.html.j2").render(page=page, program=program(page.portfolio))


def drawings(result: Result, loads: Sequence[AtLoad] = ()) -> dict[str, Drawing]:
    """All figures that a result has data for, by key; `loads` are those looked at for the largest one."""
    found: list[Drawing | None] = []
    unit = result.detail.get("unit") or {}
    for number, hour in enumerate(result.worst_hours[:2], 1):
        when = f"{'the spell hour' if hour.spell.endswith('spell') else 'the hour'} {day_text(hour.time)}"
        found.append(heat_balance(f"balance-{number}", when, hour.values))
    if result.hourly is not None and not result.is_type:
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
    if result.hourly is not None:
        found.append(liquid_over_year(result.hourly, limits))
    asked = result.on_demand
    if asked is not None and result.hourly is not None:
        found.append(capacity_over_air(asked.capacity(), result.hourly, unit))
    found.append(energy_by_month(result.detail))
    if asked is not None and loads:
        found.append(hours_short_over_load(loads, asked.machine.it, asked.largest))
    if result.hot_spell is not None:
        title = "design day" if result.is_type else "hot spell"
        found.append(spell_trajectory("hot-spell", title, result.hot_spell, limits))
    if result.cold_spell is not None and not result.is_type:
        start = {"start": _limit(result, "heat.cold-spell"), "setpoint": unit.get("setpoint_c")}
        found.append(spell_trajectory("cold-spell", "cold spell", result.cold_spell, start))
    if result.outage is not None and "liquid_cooling_lost" in result.outage:
        raised = unit.get("limit_shift_k") or 0.0  # without cooling supply and bulk are one temperature
        stops = {
            name: unit[f"{name}_c"] - raised
            for name in ("alarm", "shutdown")
            if unit.get(f"{name}_c") is not None
        }
        found.append(loss_curves(result.outage, stops, stops.get("shutdown")))
    if result.outage is not None and "winter_liquid" in result.outage and result.detail.get("failures"):
        found.append(winter_course(result.outage, result.detail["failures"]["winter"]))
    if result.detail.get("roof"):
        found += [roof_plan(result.detail["roof"]), governing_case(result.detail)]
    found.append(climatogram(result.hourly, (result.detail.get("environment") or {}).get("class") or {}))
    found.append(sound_by_hour(result.detail))
    return {drawing.key: drawing for drawing in found if drawing is not None}


def _limit(result: Result, check_id: str) -> float | None:
    """Limit of a check, in its unit; None where it was not run or has none."""
    return next((check.limit for check in result.checks if check.id == check_id), None)
