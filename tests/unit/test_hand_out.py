"""Handing out blocks: weather sent where it is missing, rows that kill their worker, answers that do not come."""

import os
import pickle
import threading
from collections import Counter
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path

import pytest

from edgecheck.checks.result import Result
from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.screening import block, crew, hand_out, run
from edgecheck.screening.block import Answer, Block, decide
from edgecheck.screening.crew import OwnProcesses, WorkersLost, usable_cores, worth_starting
from edgecheck.screening.parcels import Stations, packed, unpacked
from edgecheck.screening.plan import Plan, plan_run
from edgecheck.screening.run import screen
from edgecheck.weather.read import read_weather

ROWS = 160
EPW = climate_files() / "temperate-coast.epw"


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    listed = tmp_path / "roofs.csv"
    rows = "".join(f"S-{number},46.8,-32.9\n" for number in range(ROWS))
    listed.write_text(f"site_id,latitude_deg,longitude_deg\n{rows}", encoding="utf-8")
    return plan_run(load_sites(listed), load_unit(demo_inputs().unit), climate_files())


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Deciding takes no time, in this process."""
    monkeypatch.setattr(
        block, "qualify", lambda site, *_, **__: Result(site.site_id, "", site.row, "conditional")
    )


class Sent(Executor):
    """Answers in this process as processes far away would: everything travels as bytes."""

    def __init__(self, workers: int) -> None:
        self.stations = [Stations() for _ in range(workers)]
        self.blocks: list[Block] = []

    def submit(self, decide, sent):  # type: ignore[no-untyped-def, override]
        future: Future[Answer] = Future()
        try:
            at = len(self.blocks) % len(self.stations)
            self.blocks.append(sent)
            received = pickle.loads(pickle.dumps(sent))
            if self.stations[at].get(received.weather, received.parcel) is None:
                future.set_result(Answer(weather_missing=True))
            else:
                answer = decide(replace(received, parcel=packed(read_weather(EPW))))
                future.set_result(pickle.loads(pickle.dumps(answer)))
        except Exception as error:
            future.set_exception(error)
        return future


def test_weather_is_sent_once_to_every_worker_and_blocks_without_it(plan: Plan, quick: None) -> None:
    for workers in (1, 3):
        executor = Sent(workers)
        assert {one.verdict for one in screen(plan, executor=executor).results} == {"conditional"}
        assert sum(one.parcel is not None for one in executor.blocks) == workers
        assert max(len(one.tasks) for one in executor.blocks) == run.ROWS_A_BLOCK < ROWS


def test_weather_is_the_same_after_its_journey() -> None:
    weather = read_weather(EPW)
    there = unpacked(packed(weather))
    assert (there.sha256, there.notes, there.findings) == (weather.sha256, weather.notes, weather.findings)
    for name, array in vars(weather.years[0]).items():
        arrived = vars(there.years[0])[name]
        assert (arrived == array)[array == array].all()
        assert not arrived.flags.writeable
    with pytest.raises(TypeError):
        there.filled["ghi"] = 1  # type: ignore[index]


def test_a_process_keeps_the_stations_used_last() -> None:
    parcel = packed(read_weather(EPW))
    stations = Stations(most_years=2)
    first = stations.get("a", parcel)
    assert stations.get("a", None) is first
    for key in ("b", "c"):
        stations.get(key, parcel)
    assert stations.get("a", None) is None
    assert stations.get("c", None) is not None


def test_threads_give_the_same_results(plan: Plan, quick: None) -> None:
    with ThreadPoolExecutor(3) as pool:
        shared = screen(plan, executor=pool)
    alone = screen(plan)
    assert shared.results == alone.results
    assert shared.ranks == alone.ranks


def test_what_cannot_be_sent_costs_its_row(plan: Plan, quick: None) -> None:
    strange = replace(plan.jobs[5].site, values={**plan.jobs[5].site.values, "strange": threading.Lock()})
    jobs = tuple(replace(job, site=strange) if job.place == 5 else job for job in plan.jobs)
    keyed = replace(plan, jobs=jobs)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(run.Keys, "of", lambda self, job, weather: "k")
        found = screen(keyed, executor=Sent(2))
    assert Counter(one.verdict for one in found.results) == {"conditional": ROWS - 1, "unusable": 1}
    assert "cannot pickle" in found.results[5].reason


def _decide_or_die(sent: Block) -> Answer:
    if any(task.site.site_id == "S-17" for task in sent.tasks):
        os.kill(os.getpid(), 9)
    return decide(sent)


@pytest.mark.skipif(os.name == "nt", reason="a process cannot kill itself like this there")
def test_a_row_that_kills_its_worker_costs_itself_alone(plan: Plan, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crew, "decide", _decide_or_die)
    few = replace(
        plan, jobs=plan.jobs[12:19], unusable={n: ("left out",) for n in (*range(12), *range(19, ROWS))}
    )
    found = screen(few, jobs=2)
    verdicts = {one.site_id: one.verdict for one in found.results[12:19]}
    assert verdicts.pop("S-17") == "unusable"
    assert found.results[17].reason == hand_out.DIED
    assert set(verdicts.values()).isdisjoint({"unusable"})
    assert len(verdicts) == 6


def test_a_lent_executor_that_is_gone_ends_the_run_with_a_message(plan: Plan) -> None:
    pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"))
    pool.shutdown()
    with pytest.raises(WorkersLost, match="cannot be reached any more") as caught:
        screen(plan, executor=pool)
    assert caught.value.exit_code == 1


def test_workers_of_another_version_decide_nothing(plan: Plan, quick: None, monkeypatch) -> None:
    class Older(Sent):
        def submit(self, decide, sent):  # type: ignore[no-untyped-def, override]
            future: Future[Answer] = Future()
            future.set_result(decide(replace(sent, brief=replace(sent.brief, versions=("0.0.9", 1)))))
            return future

    with pytest.raises(WorkersLost, match="another version"):
        screen(plan, executor=Older(1))


def test_workers_that_cannot_start_are_one_clear_message(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crew, "_begin_worker", _fail)
    with pytest.raises(WorkersLost, match="cannot be started; use --jobs 1"):
        OwnProcesses(1)


def _fail() -> None:
    os._exit(3)


def test_as_many_workers_as_the_work_pays_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(crew, "usable_cores", lambda: 8)
    assert [worth_starting(rows, 0) for rows in (1, 40, 64, 300, 50_000)] == [1, 1, 2, 8, 8]
    assert worth_starting(19, 19) == 2
    assert usable_cores() >= 1
