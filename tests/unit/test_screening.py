"""A fault of the program in one row costs that row; a folder that cannot be written ends the run."""

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from edgecheck.base.errors import FolderRefused
from edgecheck.checks.result import Result
from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.screening import block
from edgecheck.screening.block import Draw
from edgecheck.screening.plan import Plan, plan_run
from edgecheck.screening.progress import ProgressLine, line, time_left
from edgecheck.screening.run import Progress, Run, screen


@pytest.fixture
def plan(tmp_path: Path) -> Plan:
    listed = tmp_path / "roofs.csv"
    rows = "".join(f"S-{number},46.8,-32.9\n" for number in range(3))
    listed.write_text(f"site_id,latitude_deg,longitude_deg\n{rows}", encoding="utf-8")
    return plan_run(load_sites(listed), load_unit(demo_inputs().unit), climate_files())


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Deciding takes no time and fails for the second row where a test asks for it."""
    monkeypatch.setattr(
        block, "qualify", lambda site, *_, **__: Result(site.site_id, "", site.row, "conditional")
    )


class Folder:
    """A destination that takes files, or fails where a test says so."""

    def __init__(self, place: Path, draw: Draw, put: Callable[[Result], None] = lambda result: None) -> None:
        self.store, self.draw, self._put = place / "results.jsonl", draw, put

    def put(self, result: Result, files: Mapping[str, bytes]) -> None:
        self._put(result)

    def draws(self, result: Result) -> bool:
        return True

    def holds(self, result: Result) -> bool:
        return True


def verdicts(run: Run) -> list[str]:
    return [result.verdict for result in run.results]


def test_a_row_that_the_chain_cannot_decide_leaves_the_others(
    plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    def qualify(site, *_, **__):
        if site.site_id == "S-1":
            raise ZeroDivisionError("oh")
        return Result(site.site_id, "", site.row, "conditional")

    monkeypatch.setattr(block, "qualify", qualify)
    run = screen(plan)
    assert verdicts(run) == ["conditional", "unusable", "conditional"]
    assert run.results[1].faults == ("error in the program: ZeroDivisionError: oh",)
    assert run.failed


def test_a_row_whose_page_cannot_be_drawn_leaves_the_others(plan: Plan, tmp_path: Path) -> None:
    seen = []

    def draw(result: Result) -> Mapping[str, bytes]:
        seen.append(result.site_id)
        if result.site_id == "S-1":
            raise ValueError("no such colour")
        return {}

    run = screen(plan, into=Folder(tmp_path, draw))
    assert seen == ["S-0", "S-1", "S-2"]
    assert verdicts(run) == ["conditional", "unusable", "conditional"]
    assert "no such colour" in run.results[1].reason
    assert set(run.ranks.values()) == {1, 2, 3}
    assert run.ranks[run.results[1].row] == 3


def test_a_folder_that_cannot_be_written_ends_the_run_and_keeps_what_is_finished(
    plan: Plan, tmp_path: Path
) -> None:
    def full(result: Result) -> None:
        if result.site_id == "S-2":
            raise FolderRefused("out", "the disk is full")

    with pytest.raises(FolderRefused, match="disk is full"):
        screen(plan, into=Folder(tmp_path, lambda result: {"a": b""}, full))
    run = screen(plan, into=Folder(tmp_path, lambda result: {"a": b""}))
    assert run.taken_over == 2
    assert verdicts(run) == ["conditional"] * 3


def test_progress_is_told_after_every_row(plan: Plan) -> None:
    told: list[tuple[int, int]] = []
    screen(plan, on_progress=lambda progress: told.append((progress.done, progress.of)))
    assert told == [(1, 3), (2, 3), (3, 3)]


def test_progress_line_says_rate_time_left_and_verdicts() -> None:
    counts = {"conditional": 900, "no-go": 100}
    assert line(Progress(1000, 20_000, 500, counts, 20.0)) == (
        "1000 of 20000 sites, 25/s, 13 min left: 900 conditional, 100 no-go"
    )
    assert line(Progress(20, 20, 20, {}, 0.0)) == "20 of 20 sites"
    assert [time_left(seconds) for seconds in (40.2, 720.0, 12_000.0)] == ["40 s", "12 min", "3 h 20 min"]


def test_progress_line_is_drawn_twice_a_second_and_at_the_end() -> None:
    shown = ProgressLine(60)
    texts = [shown.text(Progress(done, 9, 0, {"go": done}, done / 10)) for done in range(1, 10)]
    assert [text is not None for text in texts] == [True, *[False] * 4, True, False, False, True]
    assert {len(text) for text in texts if text} == {59}


def test_a_position_that_is_near_a_station_when_swapped_says_so(tmp_path: Path) -> None:
    listed = tmp_path / "roofs.csv"
    listed.write_text(
        "site_id,latitude_deg,longitude_deg\nA,46.8,-32.9\nB,-32.9,46.8\nC,10.0,120.0\n", encoding="utf-8"
    )
    made = plan_run(load_sites(listed), load_unit(demo_inputs().unit), climate_files())
    assert [job.site.site_id for job in made.jobs] == ["A"]
    assert "swapped temperate-coast.epw would be" in made.unusable[1][0]
    assert "swapped" not in made.unusable[2][0]
