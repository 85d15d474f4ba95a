"""Portfolios of thousands of roofs: killed and resumed, in bounded memory. Minutes each, before a release."""

import json
import random
import shutil
import subprocess
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest
from command_line import apart, edgecheck, start
from portfolio import log_of, words, write_portfolio
from processes import gone, peak_mb, tree

import edgecheck as package

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="processes are read from /proc"),
]

KILLS, ROWS = 10, 2_000
MOST_MB = 1500.0
# What a row of the list takes while it is held: its cells, values and key, and a few facts of its result.
OF_THE_LIST_MB = 12e-3
HERE = Path(__file__).parent


class Peaks(NamedTuple):
    """Most memory of the process that writes and of a worker, and what a worker grew by after a while. [MB]"""

    parent: float
    worker: float
    growth: float


FINAL = ("run.json", "results.jsonl", "verdicts.csv", "survey.csv", "sites.geojson", "index.html")


def finished_rows(run: Path) -> int:
    """Rows with a whole line in the store."""
    store = run / "results.jsonl"
    return len(package.load_run(run).results) if store.is_file() else 0


def test_ten_kills_lose_nothing_and_nothing_is_done_twice(tmp_path: Path) -> None:
    write_portfolio(tmp_path / "roofs.csv", ROWS)
    command = words("roofs.csv", "run", "--report", "no-go", "--jobs", 2)
    whole = start(*words("roofs.csv", "whole", "--report", "no-go", "--jobs", 2), folder=tmp_path)
    found = watched(whole, lambda: finished_rows(tmp_path / "whole") > ROWS // 4)
    assert max(found) < MOST_MB
    assert found.growth < 60.0
    log = log_of(tmp_path / "whole")
    began, ended = (
        time.mktime(time.strptime(str(log[key])[:19], "%Y-%m-%dT%H:%M:%S")) for key in ("started", "finished")
    )
    seconds = max(20.0, ended - began)
    moments = random.Random(7)
    kept = 0
    for _ in range(KILLS):
        process = start(*command, "--resume", folder=tmp_path)
        with pytest.raises(subprocess.TimeoutExpired):
            process.communicate(timeout=5.0 + moments.random() * seconds / (KILLS + 2))
        everybody = tree(process.pid)
        process.kill()
        process.communicate(timeout=60)
        assert gone(everybody)
        now = finished_rows(tmp_path / "run")
        assert now >= kept
        kept = now
    assert 0 < kept < ROWS
    end = start(*command, "--resume", folder=tmp_path)
    _, err = end.communicate(timeout=7200)
    assert end.returncode == 4, err
    log = log_of(tmp_path / "run")
    assert log["taken_over"] == kept
    assert log["computed"] == ROWS - kept
    for name in FINAL:
        assert (tmp_path / "run" / name).read_bytes() == (tmp_path / "whole" / name).read_bytes(), name
    pages = [
        {path.relative_to(run).as_posix(): path.read_bytes() for path in run.rglob("*") if path.is_file()}
        for run in (tmp_path / "run" / "sites", tmp_path / "whole" / "sites")
    ]
    assert pages[0] == pages[1]
    assert len(pages[0]) > 100


def watched(process: "subprocess.Popen[str]", after: Callable[[], bool] = lambda: True) -> Peaks:
    """Most memory of a run until it ends, some of its rows being unusable. [MB]"""
    said: list[str] = []
    ears = threading.Thread(target=lambda: said.extend(process.communicate()))
    ears.start()
    most: dict[int, float] = {}
    early: dict[int, float] = {}
    while ears.is_alive():
        for pid in tree(process.pid):
            most[pid] = max(most.get(pid, 0.0), peak_mb(pid))
        if not early and after():
            early = dict(most)
        ears.join(0.5)
    assert process.returncode == 4, said
    parent = most.pop(process.pid)
    return Peaks(parent, max(most.values()), max(most[pid] - early.get(pid, 0.0) for pid in most))


def peaks(folder: Path, rows: int) -> Peaks:
    """Most memory in a run of so many rows that are decided quickly. [MB]"""
    write_portfolio(folder / f"{rows}.csv", rows)
    command = words(f"{rows}.csv", f"run-{rows}", "--report", "none", "--jobs", 2)
    found = watched(start(*command, folder=folder, program=(str(HERE / "quick_sites.py"),)))
    assert json.loads((folder / f"run-{rows}" / "run.json").read_text("utf-8"))["counts"]["sites"] == rows
    shutil.rmtree(folder / f"run-{rows}")
    return found


def test_memory_does_not_grow_with_results(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    few, many = peaks(tmp_path, 10_000), peaks(tmp_path, 20_000)
    with capsys.disabled():
        for rows, found in ((10_000, few), (20_000, many)):
            print(f"\n{rows} sites: {found.parent:.0f} MB, worker {found.worker:.0f} MB")  # noqa: T201
    assert max(*few, *many) < MOST_MB
    # Only the list itself grows: ten thousand stored results would be 120 MB as text and several times that
    # as objects.
    assert many.parent - few.parent < 10_000 * OF_THE_LIST_MB
    assert many.worker - few.worker < 20.0


def test_a_long_list_on_one_weather_file_is_divided_and_equal(tmp_path: Path) -> None:
    path = write_portfolio(tmp_path / "roofs.csv", 200)
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join([lines[0], *lines[3::4]]), encoding="utf-8")  # those of one station
    for jobs in (1, 2):
        answer = apart(
            *words("roofs.csv", f"run-{jobs}", "--report", "none", "--jobs", jobs), folder=tmp_path
        )
        assert answer.code == 4, answer.err
    for name in FINAL:
        assert (tmp_path / "run-1" / name).read_bytes() == (tmp_path / "run-2" / name).read_bytes(), name
    assert edgecheck("screen", "roofs.csv", "--resume", "--overwrite", folder=tmp_path).code == 2
