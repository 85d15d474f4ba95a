"""Screening a list: every weather file read once, every site decided, one bad row never stops the rest.

In: a `Plan`. Out: a `Run`. Finished sites go to a sink as they come, so that hourly data need not be kept.
"""

import logging
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib.metadata import version

from edgecheck import __version__
from edgecheck.base.errors import EdgecheckError, InputFaults, WeatherRefused
from edgecheck.chain import Station, qualify
from edgecheck.checks.result import Result
from edgecheck.screening.plan import Job, Plan, in_list, refused
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
    weather_sha256 : tuple of (str, str)
        Name and SHA-256 of every weather file read, sorted.
    """

    plan: Plan
    results: tuple[Result, ...]
    ranks: dict[int, int]
    weather_sha256: tuple[tuple[str, str], ...]

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
            result = _handed_on(on_site, plan, place, result)
        kept = result if keep_hourly else without_hourly(result)
        found[place] = kept
        if on_progress is not None:
            on_progress(len(found), len(sites))

    for place, reasons in plan.unusable.items():
        finish(place, _unusable(plan, place, reasons))
    by_file: dict[str, list[Job]] = defaultdict(list)
    for job in plan.jobs:
        by_file[str(job.weather)].append(job)
    hashes: set[tuple[str, str]] = set()
    for jobs in by_file.values():
        try:
            station = Station.of(read_weather(jobs[0].weather))
        except WeatherRefused as refusal:
            for job in jobs:
                reason = refused(plan.site_list, job, refusal).text()
                finish(job.place, _unusable(plan, job.place, (reason,)))
            continue
        hashes.add((station.weather.name, station.weather.sha256))
        for job in jobs:
            finish(job.place, _decide(plan, job, station))
    results = tuple(found[place] for place in range(len(sites)))
    return Run(plan, results, ranks(results, plan.criteria.need), tuple(sorted(hashes)))


def _handed_on(on_site: Sink, plan: Plan, place: int, result: Result) -> Result:
    """The result after its sink has had it; a fault of the program there costs the row, never the run."""
    try:
        on_site(result)
    except EdgecheckError:  # the folder cannot be written: no later row could be either
        raise
    except Exception as error:
        _log.exception("site %s", result.site_id)
        return _unusable(plan, place, (_program_error(error),))
    return result


def _program_error(error: Exception) -> str:
    return f"error in the program: {type(error).__name__}: {error}"


def _decide(plan: Plan, job: Job, station: Station) -> Result:
    try:
        result = qualify(
            job.site,
            job.unit,
            station,
            plan.criteria,
            lookalikes=plan.site_list.lookalikes,
            warming=job.warming,
        )
        return replace(result, detail={**result.detail, **_provenance(plan, job, station)})
    except InputFaults as faults:
        return _unusable(plan, job.place, tuple(fault.text() for fault in in_list(plan.site_list, faults)))
    except Exception as error:  # the rest of the list must still be decided
        _log.exception("site %s", job.site.site_id)
        return _unusable(plan, job.place, (_program_error(error),))


def _provenance(plan: Plan, job: Job, station: Station) -> dict[str, dict[str, str]]:
    """Versions and content hashes behind a result, by the names that reports show."""
    hashes = {"site list": plan.site_list.sha256}
    hashes |= {f"unit {source.name}": source.sha256 for source in job.unit.source_files}
    hashes |= {f"criteria {source.name}": source.sha256 for source in plan.criteria.source_files}
    hashes["weather"] = station.weather.sha256
    if job.warming is not None:
        hashes[f"warming {job.warming.name}"] = job.warming.sha256
    packages = ("numpy", "pvlib", "scipy")
    return {
        "hashes": hashes,
        "versions": {"edgecheck": __version__, **{name: version(name) for name in packages}},
    }


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
