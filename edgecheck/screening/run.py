"""Screening a list: every weather file read once, every site decided, one bad row never stops the rest.

In: a `Plan`. Out: a `Run`. Finished sites go to a sink as they come, so that hourly data need not be kept.
"""

import logging
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace

from edgecheck.base.errors import InputFaults, WeatherRefused
from edgecheck.chain import Station, qualify
from edgecheck.checks.result import Result
from edgecheck.screening.plan import Job, Plan, refused
from edgecheck.screening.rank import ranks
from edgecheck.weather.read import read_weather

_log = logging.getLogger("edgecheck.screening")

Sink = Callable[[Result], None]
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Run:
    """A finished run.

    Parameters
    ----------
    plan : Plan
        What was asked.
    results : tuple of Result
        One a row, in list order.
    ranks : dict
        Line of the row -> rank.
    weather_sha256 : dict
        Name of every weather file read -> SHA-256.
    """

    plan: Plan
    results: tuple[Result, ...]
    ranks: dict[int, int]
    weather_sha256: dict[str, str]

    @property
    def failed(self) -> bool:
        """Whether some row could not be decided for what is wrong with it."""
        return any(result.verdict == "unusable" for result in self.results)


def screen(
    plan: Plan,
    *,
    on_site: Sink | None = None,
    on_progress: Progress | None = None,
    keep_hourly: bool = False,
) -> Run:
    """Decide every row of a plan.

    Parameters
    ----------
    plan : Plan
        From `plan_run`.
    on_site : callable, optional
        Called with every finished result, hourly data included.
    on_progress : callable, optional
        Called with the number of rows done and of all rows.
    keep_hourly : bool
        Whether results of the run keep their hourly data.

    Returns
    -------
    Run
    """
    sites = plan.site_list.sites
    found: dict[int, Result] = {}

    def finish(place: int, result: Result) -> None:
        if on_site is not None:
            on_site(result)
        kept = result if keep_hourly else without_hourly(result)
        found[place] = kept
        if on_progress is not None:
            on_progress(len(found), len(sites))

    for place, reasons in plan.unusable.items():
        finish(place, _unusable(plan, place, reasons))
    by_file: dict[str, list[Job]] = defaultdict(list)
    for job in plan.jobs:
        by_file[str(job.weather)].append(job)
    hashes: dict[str, str] = {}
    for jobs in by_file.values():
        try:
            station = Station.of(read_weather(jobs[0].weather))
        except WeatherRefused as refusal:
            for job in jobs:
                reasons = refused(job, refusal, plan.site_list.path.name)
                finish(job.place, _unusable(plan, job.place, reasons))
            continue
        hashes[station.weather.name] = station.weather.sha256
        for job in jobs:
            finish(job.place, _decide(plan, job, station))
    results = tuple(found[place] for place in range(len(sites)))
    return Run(plan, results, ranks(results, plan.criteria.need), dict(sorted(hashes.items())))


def _decide(plan: Plan, job: Job, station: Station) -> Result:
    try:
        return qualify(job.site, job.unit, station, plan.criteria, lookalikes=plan.site_list.lookalikes)
    except InputFaults as faults:
        return _unusable(plan, job.place, tuple(fault.text() for fault in faults.faults))
    except Exception as error:  # the rest of the list must still be decided
        _log.exception("site %s", job.site.site_id)
        reason = f"error in the program: {type(error).__name__}: {error}"
        return _unusable(plan, job.place, (reason,))


def _unusable(plan: Plan, place: int, reasons: tuple[str, ...]) -> Result:
    site = plan.site_list.sites[place]
    return Result(
        site_id=site.site_id,
        name=site.name,
        row=site.row,
        verdict="unusable",
        reason="; ".join(reasons),
        faults=reasons,
    )


def without_hourly(result: Result) -> Result:
    """The same result without its hourly data."""
    return replace(result, hourly=None, hot_spell=None, cold_spell=None, outage=None)
