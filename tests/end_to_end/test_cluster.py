"""Dask distributed with its own commands: workers in processes of their own, far from the run's files."""

import contextlib
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from command_line import SOURCES, Answer, edgecheck, start, until
from portfolio import UNIT, WEATHER, log_of, write_portfolio
from processes import tree

import edgecheck as package

pytest.importorskip("distributed", reason="Dask distributed is not installed")


class Cluster:
    """A scheduler and workers; `address` is what --cluster takes."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._file = folder / "scheduler.json"
        self._scheduler = self._dask("scheduler", "--port", "0", "--no-dashboard", "--host", "127.0.0.1")
        self.workers: list[subprocess.Popen[bytes]] = []
        limit = time.monotonic() + 60
        while not self._file.is_file() or not self._file.stat().st_size:
            assert self._scheduler.poll() is None
            assert time.monotonic() < limit
            time.sleep(0.05)
        self.address = json.loads(self._file.read_text(encoding="utf-8"))["address"]

    def _dask(self, *words: str) -> "subprocess.Popen[bytes]":
        command = [sys.executable, "-m", "dask", *words, "--scheduler-file", str(self._file)]
        environment = {**os.environ, "PYTHONPATH": SOURCES}
        quiet = subprocess.DEVNULL
        return subprocess.Popen(command, cwd=self._folder, env=environment, stdout=quiet, stderr=quiet)

    def start_workers(self, number: int) -> None:
        """Start workers and wait until they have joined."""
        from distributed import Client

        words = ("worker", "--nthreads", "1", "--no-dashboard", "--no-nanny", "--memory-limit", "0")
        self.workers = [self._dask(*words) for _ in range(number)]
        with Client(self.address, set_as_default=False) as client:
            client.wait_for_workers(number, timeout=90)

    def end(self) -> None:
        """End everything."""
        for process in (*self.workers, self._scheduler):
            for pid in reversed(tree(process.pid)):
                with contextlib.suppress(ProcessLookupError):
                    os.kill(pid, 9)
            process.wait(timeout=30)


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[Cluster]:
    place = tmp_path / "far away"
    place.mkdir()
    found = Cluster(place)
    yield found
    found.end()


@pytest.fixture
def desk(tmp_path: Path) -> Path:
    """A folder with a list and weather that only this process finds by its name."""
    folder = tmp_path / "desk"
    folder.mkdir()
    shutil.copytree(
        WEATHER, folder / "weather", ignore=lambda _, names: [n for n in names if ".epw" not in n]
    )
    return folder


def words(out: str, *more: object) -> tuple[object, ...]:
    return ("screen", "roofs.csv", "--unit", UNIT, "--weather", "weather", "--out", out, *more)


def screened(desk: Path, out: str, *more: object) -> Answer:
    return edgecheck(*words(out, "--report", "no-go", *more), folder=desk)


def files(run: Path) -> dict[str, bytes]:
    found = (path for path in run.rglob("*") if path.is_file() and path.name != "run-log.json")
    return {path.relative_to(run).as_posix(): path.read_bytes() for path in found}


@pytest.mark.slow
def test_a_cluster_gives_the_same_bytes(desk: Path, cluster: Cluster) -> None:
    write_portfolio(desk / "roofs.csv", 40)
    assert screened(desk, "here", "--jobs", 1).code == 4
    none = screened(desk, "there", "--cluster", cluster.address)
    assert none.code == 2
    assert "has no workers yet" in none.err
    assert not (desk / "there").exists()
    cluster.start_workers(2)
    answer = screened(desk, "there", "--cluster", cluster.address)
    assert answer.code == 4, answer.err
    assert log_of(desk / "there")["jobs"] == 2
    assert files(desk / "there") == files(desk / "here")


@pytest.mark.slow
def test_a_worker_that_is_killed_does_not_stop_the_run(desk: Path, cluster: Cluster) -> None:
    write_portfolio(desk / "roofs.csv", 1500)
    cluster.start_workers(2)
    process = start(*words("there", "--report", "none", "--cluster", cluster.address), folder=desk)
    store = desk / "there" / "results.jsonl"
    until(process, lambda: store.is_file() and store.stat().st_size > 0)
    for pid in reversed(tree(cluster.workers[0].pid)):
        os.kill(pid, 9)
    _, err = process.communicate(timeout=600)
    assert process.returncode == 4, err
    results = package.load_run(desk / "there").results
    assert len(results) == 1500
    assert [site.row for site in results if site.verdict == "unusable"] == list(range(12, 1502, 11))


@pytest.mark.slow
def test_a_cluster_that_ends_leaves_a_run_that_can_be_resumed(desk: Path, cluster: Cluster) -> None:
    write_portfolio(desk / "roofs.csv", 3000)
    cluster.start_workers(1)
    process = start(*words("there", "--report", "none", "--cluster", cluster.address), folder=desk)
    store = desk / "there" / "results.jsonl"
    until(process, lambda: store.is_file() and store.stat().st_size > 0)
    cluster.end()
    _, err = process.communicate(timeout=300)
    assert process.returncode == 1, err
    assert err.splitlines()[-1].endswith("what is finished is kept, --resume continues")
    assert 0 < len(package.load_run(desk / "there").results) < 3000


def test_nobody_answers(desk: Path) -> None:
    write_portfolio(desk / "roofs.csv", 2)
    answer = screened(desk, "there", "--cluster", "not an address")
    assert answer.code == 2
    assert answer.err.splitlines()[-1].startswith("edgecheck: no cluster answers at not an address")
    assert not (desk / "there").exists()
