"""Deciding a block of rows of one weather file: all that happens where the rows are computed.

In: a block, which may have come from another process or machine. Out: an answer of plain bytes, or of results
where they are wanted in memory. A row that fails costs itself and never the block.
"""

import logging
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.metadata import version

from edgecheck import __version__
from edgecheck.base.errors import InputFaults
from edgecheck.chain import qualify
from edgecheck.checks.lazy import Sections
from edgecheck.checks.result import RESULTS_VERSION, Result
from edgecheck.heat.station import Station
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.load_profile import LoadProfile
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.inputs.warming_file import MonthlyWarming
from edgecheck.screening.parcels import STATIONS, Parcel
from edgecheck.screening.store import store_line

_log = logging.getLogger("edgecheck.screening")
_PACKAGES = ("numba", "numpy", "pvlib", "scipy")

Draw = Callable[[Result], Mapping[str, bytes]]


@dataclass(frozen=True)
class Brief:
    """What holds for every row of a run.

    Parameters
    ----------
    list_name, list_sha256 : str
        The site list.
    lookalikes : mapping
        Own column -> known column that it nearly is.
    criteria : Criteria
        What is good enough.
    made_from : str
        See `edgecheck.screening.store.Entry`.
    stored : bool
        Whether results come back as lines of the store; else as they are.
    keep_hourly : bool
        Whether results that come back as they are keep their hourly data.
    draw : callable, optional
        Makes the files of a site from its result; can be pickled.
    versions : mapping
        Of the programs that decide; another one refuses the block.
    """

    list_name: str
    list_sha256: str
    lookalikes: Mapping[str, str]
    criteria: Criteria
    made_from: str = ""
    stored: bool = False
    keep_hourly: bool = False
    draw: Draw | None = None
    versions: tuple[str, int] = (__version__, RESULTS_VERSION)


@dataclass(frozen=True)
class Task:
    """One row to decide: its index in the list, its key, itself, its unit, its load profile and warming file."""

    place: int
    key: str
    site: Site
    unit: Unit
    profile: LoadProfile | None = None
    warming: MonthlyWarming | None = None


@dataclass(frozen=True)
class Block:
    """Rows of one weather file.

    Parameters
    ----------
    brief : Brief
        Of the run.
    tasks : tuple of Task
        The rows.
    weather : str
        Key of the weather.
    parcel : Parcel, optional
        The weather itself, for a process that may not have it.
    """

    brief: Brief
    tasks: tuple[Task, ...]
    weather: str
    parcel: Parcel | None = None


@dataclass(frozen=True)
class Finished:
    """One decided row: its line or its result, and the files drawn for it."""

    place: int
    line: bytes = b""
    result: Result | None = None
    files: Mapping[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True)
class Answer:
    """What comes back for a block.

    Parameters
    ----------
    finished : tuple of Finished
        One a row, unless something else is set.
    weather_missing : bool
        The process has not seen the weather yet: send the block again with it.
    other_version : str
        Version of a program that must not decide rows of this run.
    """

    finished: tuple[Finished, ...] = ()
    weather_missing: bool = False
    other_version: str = ""


def decide(block: Block) -> Answer:
    """Decide the rows of a block, where its weather is known."""
    if block.brief.versions != (__version__, RESULTS_VERSION):
        return Answer(other_version=__version__)
    station = STATIONS.get(block.weather, block.parcel)
    if station is None:
        return Answer(weather_missing=True)
    return Answer(tuple(_finished(task, station, block.brief) for task in block.tasks))


def finished(place: int, result: Result, brief: Brief, key: str = "") -> Finished:
    """A result without files, as it goes to the store or to memory."""
    if brief.stored:
        return Finished(place, line=store_line(result, key, brief.made_from))
    return Finished(place, result=result if brief.keep_hourly else result.listed())


def _finished(task: Task, station: Station, brief: Brief) -> Finished:
    result = _decided(task, station, brief)
    files: Mapping[str, bytes] = {}
    if brief.draw is not None and result.verdict != "unusable":
        try:
            files = brief.draw(result)
        except Exception as error:
            _log.exception("site %s", task.site.site_id)
            result = unusable(task.site, (program_error(error),))
    key = "" if result.verdict == "unusable" else task.key
    return replace(finished(task.place, result, brief, key), files=files)


def _decided(task: Task, station: Station, brief: Brief) -> Result:
    try:
        result = qualify(
            task.site,
            task.unit,
            station,
            brief.criteria,
            lookalikes=brief.lookalikes,
            profile=task.profile,
            warming=task.warming,
        )
        more = _provenance(task, station, brief)
        return result.changed(detail=Sections(result.detail).with_more(more))
    except InputFaults as faults:
        found = tuple(replace(fault, file=brief.list_name).text() for fault in faults.faults)
        return unusable(task.site, found)
    except Exception as error:  # the rest of the list must still be decided
        _log.exception("site %s", task.site.site_id)
        return unusable(task.site, (program_error(error),))


def _provenance(task: Task, station: Station, brief: Brief) -> dict[str, dict[str, str]]:
    """Versions and content hashes behind a result, by the names that reports show."""
    hashes = {"site list": brief.list_sha256}
    hashes |= {f"unit {source.name}": source.sha256 for source in task.unit.source_files}
    hashes |= {f"criteria {source.name}": source.sha256 for source in brief.criteria.source_files}
    hashes["weather"] = station.weather.sha256
    if task.profile is not None:
        hashes[f"load profile {task.profile.name}"] = task.profile.sha256
    if task.warming is not None:
        hashes[f"warming {task.warming.name}"] = task.warming.sha256
    return {"hashes": hashes, "versions": dict(versions())}


@cache
def versions() -> Mapping[str, str]:
    """Versions of this program and of the packages that compute."""
    return {"edgecheck": __version__, **{name: version(name) for name in _PACKAGES}}


def program_error(error: BaseException) -> str:
    """Why a row could not be decided, where the program failed."""
    return f"error in the program: {type(error).__name__}: {error}"


def unusable(site: Site, reasons: tuple[str, ...]) -> Result:
    """Result of a row that cannot be decided."""
    return Result(
        site_id=site.site_id,
        name=site.name,
        row=site.row,
        verdict="unusable",
        reason="; ".join(reasons),
        faults=reasons,
    )
