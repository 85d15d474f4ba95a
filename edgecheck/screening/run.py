"""Screening a list: every weather file read once, every site decided, one bad row never stops the rest.

In: a `Plan`, who computes, where results go. Out: a `Run`. Rows go out in blocks of one weather file; what is
finished goes to the store at once, so that a run that is cut short can be resumed and no result stays in memory.
"""

import hashlib
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Protocol

from edgecheck.base.errors import WeatherRefused
from edgecheck.checks.result import Result
from edgecheck.screening.block import (
    Block,
    Brief,
    Draw,
    Finished,
    Task,
    finished,
    unusable,
    versions,
)
from edgecheck.screening.crew import Crew, Here, Lent, OwnProcesses
from edgecheck.screening.hand_out import Order, hand_out
from edgecheck.screening.keys import Keys, canonical
from edgecheck.screening.parcels import content_key, packed
from edgecheck.screening.plan import Job, Plan, refused
from edgecheck.screening.rank import Standings
from edgecheck.screening.store import Store, entry_of
from edgecheck.weather.read import read_weather

# Rows that go out together: a second or two of work, which a killed run loses, and few enough that a block's
# files are no load to hold.
ROWS_A_BLOCK, ROWS_WITH_FILES = 48, 2


class Destination(Protocol):
    """Where a run is written as it goes; made by the room of outputs."""

    @property
    def store(self) -> Path:
        """results.jsonl."""

    @property
    def draw(self) -> Draw | None:
        """Makes the files of a site where it was decided; None where no files are wanted."""

    def put(self, result: Result, files: Mapping[str, bytes]) -> None:
        """Write the files of one site."""

    def holds(self, result: Result) -> bool:
        """Whether every file that is wanted of a site is there already."""

    def draws(self, result: Result) -> bool:
        """Whether some file is wanted of a site."""


@dataclass(frozen=True)
class Progress:
    """How far a run is: rows done, of all, taken over from before; rows by verdict; since the start. [s]"""

    done: int
    of: int
    taken_over: int
    verdicts: Mapping[str, int]
    seconds: float


@dataclass(frozen=True)
class Run:
    """A finished run.

    Parameters
    ----------
    plan : Plan
        What was asked.
    results : sequence of Result
        One a row, in list order; read from the store one at a time where there is one.
    ranks : dict
        Line of the row -> rank.
    weather_sha256 : tuple of (str, str)
        Name and SHA-256 of every weather file read, sorted.
    taken_over : int
        Rows whose stored result still stood.
    counted : mapping
        Rows by verdict, where they have been counted.
    """

    plan: Plan
    results: Sequence[Result]
    ranks: dict[int, int]
    weather_sha256: tuple[tuple[str, str], ...]
    taken_over: int = 0
    counted: Mapping[str, int] = field(default_factory=dict)

    @property
    def verdicts(self) -> Mapping[str, int]:
        """Rows by verdict."""
        return self.counted or Counter(result.verdict for result in self.results)

    @property
    def failed(self) -> bool:
        """Whether some row could not be decided for what is wrong with it."""
        return bool(self.verdicts.get("unusable"))


def screen(
    plan: Plan,
    *,
    jobs: int = 1,
    executor: Executor | None = None,
    workers: int | None = None,
    into: Destination | None = None,
    keep_hourly: bool = False,
    on_progress: Callable[[Progress], None] | None = None,
) -> Run:
    """Decide every row of a plan.

    Parameters
    ----------
    plan : Plan
        From `plan_run`.
    jobs : int
        Worker processes on this machine; 1 decides in this process.
    executor : concurrent.futures.Executor, optional
        Decides instead of processes of our own: threads, processes, or a cluster's.
    workers : int, optional
        How many work for the executor, where it does not say so itself.
    into : Destination, optional
        A run folder; without one the results stay in memory.
    keep_hourly : bool
        Whether results in memory keep their hourly data.
    on_progress : callable, optional
        Called after every row.

    Returns
    -------
    Run
        Equal whatever the number of jobs.

    Raises
    ------
    FolderRefused
        If the folder cannot be written any more; what is finished is kept.
    WorkersLost
        If whoever computes cannot be reached any more; what is finished is kept.
    """
    run = _Running(plan, into, keep_hourly, on_progress)
    crew: Crew | None = None
    try:
        todo = run.begin()
        if todo:
            crew = Lent(executor, workers) if executor else OwnProcesses(jobs) if jobs > 1 else Here()
            hand_out(run.orders(todo), crew, run.take, run.give_up)
            crew.close()
        return run.end()
    except BaseException:
        if crew is not None:
            crew.close(now=True)
        raise
    finally:
        run.close()


class _Running:
    """A run under way: what is finished, and where it goes."""

    def __init__(
        self,
        plan: Plan,
        into: Destination | None,
        keep_hourly: bool,
        on_progress: Callable[[Progress], None] | None,
    ) -> None:
        self.plan, self.into, self.on_progress = plan, into, on_progress
        rows = plan.site_list.sites
        self.standings = Standings(plan.criteria.need)
        self.keys = Keys(plan)
        self.weather: set[tuple[str, str]] = set()
        self.taken_over = 0
        self.began = time.monotonic()
        self.store = None if into is None else Store(into.store, len(rows))
        self.in_memory: dict[int, Result] = {}
        self.brief = Brief(
            list_name=plan.site_list.path.name,
            list_sha256=plan.site_list.sha256,
            lookalikes=dict(plan.site_list.lookalikes),
            criteria=plan.criteria,
            made_from=_made_from(plan),
            stored=into is not None,
            keep_hourly=keep_hourly,
            draw=None if into is None else into.draw,
        )

    def begin(self) -> list[Job]:
        """Take over what an earlier run has finished, and settle what cannot be decided; the jobs that are left."""
        left = self._taken_over() if self.store is not None else list(self.plan.jobs)
        for place, reasons in self.plan.unusable.items():
            self._count(unusable(self.plan.site_list.sites[place], reasons))
        return left

    def _taken_over(self) -> list[Job]:
        """Jobs without a stored result that still stands."""
        assert self.store is not None
        keys: dict[str, Job] = {}
        sha256: dict[Path, str] = {}
        for job in self.plan.jobs if self.store.path.stat().st_size else ():
            if job.weather not in sha256:
                try:
                    sha256[job.weather] = content_key(job.weather)
                except WeatherRefused:  # said again, to the rows it serves, when the file is read
                    sha256[job.weather] = ""
            keys[self.keys.of(job, sha256[job.weather])] = job
        done: set[int] = set()
        for entry in self.store.entries():
            found = keys.get(entry.key) if entry is not None else None
            if entry is None or found is None or found.place in done:
                continue
            job = found
            result = Result.from_dict(entry.record)
            if not self._stands(result, entry.made_from):
                continue
            if (result.row, entry.made_from) == (job.site.row, self.brief.made_from):
                self.store.keep(job.place, entry)
            else:  # the row has moved in the list, or the list has changed elsewhere
                result = replace(result, row=job.site.row)
                self.store.append(job.place, finished(job.place, result, self.brief, entry.key).line)
            done.add(job.place)
            self.weather.add((job.weather.name, sha256[job.weather]))
            self.taken_over += 1
            self._count(result)
        return [job for job in self.plan.jobs if job.place not in done]

    def _stands(self, result: Result, made_from: str) -> bool:
        """Whether the files of a stored result are there, and name the list and versions of today."""
        assert self.into is not None
        fresh = made_from == self.brief.made_from or not self.into.draws(result)
        return fresh and self.into.holds(result)

    def orders(self, jobs: Sequence[Job]) -> Iterator[Order]:
        """Blocks of the rows of one weather file after the other; files are read as they are needed."""
        by_file: dict[str, list[Job]] = {}
        for job in jobs:
            by_file.setdefault(str(job.weather), []).append(job)
        size = ROWS_A_BLOCK if self.brief.draw is None else ROWS_WITH_FILES
        for served in by_file.values():
            try:
                weather = read_weather(served[0].weather)
            except WeatherRefused as refusal:
                for job in served:
                    reason = refused(self.plan.site_list, job, refusal).text()
                    self.take(finished(job.place, unusable(job.site, (reason,)), self.brief))
                continue
            self.weather.add((weather.name, weather.sha256))
            parcel = packed(weather)
            for first in range(0, len(served), size):
                tasks = tuple(
                    Task(
                        job.place,
                        self.keys.of(job, weather.sha256),
                        job.site,
                        job.unit,
                        job.profile,
                        job.warming,
                    )
                    for job in served[first : first + size]
                )
                yield Order(Block(self.brief, tasks, parcel.key), parcel)

    def take(self, row: Finished) -> None:
        """Take in a decided row: its files first, so that a line in the store says that they are there."""
        result = row.result
        if result is None:
            entry = entry_of(row.line)
            assert entry is not None
            result = Result.from_dict(entry.record)
        if self.into is not None and row.files:
            self.into.put(result, row.files)
        if self.store is not None:
            self.store.append(row.place, row.line)
        else:
            self.in_memory[row.place] = result
        self._count(result)

    def give_up(self, task: Task, reason: str) -> None:
        """Take in a row without an answer."""
        self.take(finished(task.place, unusable(task.site, (reason,)), self.brief))

    def _count(self, result: Result) -> None:
        self.standings.add(result)
        if self.on_progress is not None:
            done, of = self.standings.verdicts.total(), len(self.plan.site_list.sites)
            seconds = time.monotonic() - self.began
            self.on_progress(Progress(done, of, self.taken_over, self.standings.verdicts, seconds))

    def end(self) -> Run:
        """The finished run; its store in list order."""
        sites = self.plan.site_list.sites
        absent = {place: unusable(sites[place], reasons) for place, reasons in self.plan.unusable.items()}
        results: Sequence[Result]
        if self.store is not None:
            lines = {place: finished(place, result, self.brief).line for place, result in absent.items()}
            results = self.store.settle(lines)
        else:
            whole = absent | self.in_memory
            results = tuple(whole[place] for place in range(len(sites)))
        return Run(
            self.plan,
            results,
            self.standings.ranks(),
            tuple(sorted(self.weather)),
            self.taken_over,
            dict(self.standings.verdicts),
        )

    def close(self) -> None:
        """Close the store; its lines stay."""
        if self.store is not None:
            self.store.close()


def _made_from(plan: Plan) -> str:
    """What pages name beside what a row's key holds: the list file and the versions of the programs."""
    return hashlib.sha256(canonical([plan.site_list.sha256, versions()]).encode()).hexdigest()[:16]
