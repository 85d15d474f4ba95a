"""A fault of the program in one row costs that row; a folder that cannot be written ends the run."""

from pathlib import Path

import pytest

from edgecheck.base.errors import FolderRefused
from edgecheck.checks.result import Result
from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.screening import run as screening
from edgecheck.screening.plan import Plan, plan_run


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
        screening, "qualify", lambda site, *_, **__: Result(site.site_id, "", site.row, "conditional")
    )


def verdicts(run: screening.Run) -> list[str]:
    return [result.verdict for result in run.results]


def test_a_row_that_the_chain_cannot_decide_leaves_the_others(
    plan: Plan, monkeypatch: pytest.MonkeyPatch
) -> None:
    def qualify(site, *_, **__):
        if site.site_id == "S-1":
            raise ZeroDivisionError("oh")
        return Result(site.site_id, "", site.row, "conditional")

    monkeypatch.setattr(screening, "qualify", qualify)
    run = screening.screen(plan)
    assert verdicts(run) == ["conditional", "unusable", "conditional"]
    assert run.results[1].faults == ("error in the program: ZeroDivisionError: oh",)
    assert run.failed


def test_a_row_whose_page_cannot_be_drawn_leaves_the_others(plan: Plan) -> None:
    seen = []

    def draw(result: Result) -> None:
        seen.append(result.site_id)
        if result.site_id == "S-1":
            raise ValueError("no such colour")

    run = screening.screen(plan, on_site=draw)
    assert seen == ["S-0", "S-1", "S-2"]
    assert verdicts(run) == ["conditional", "unusable", "conditional"]
    assert "no such colour" in run.results[1].reason
    assert set(run.ranks.values()) == {1, 2, 3}
    assert run.ranks[run.results[1].row] == 3


def test_a_folder_that_cannot_be_written_ends_the_run(plan: Plan) -> None:
    def full(result: Result) -> None:
        raise FolderRefused("out", "the disk is full")

    with pytest.raises(FolderRefused, match="disk is full"):
        screening.screen(plan, on_site=full)


def test_a_position_that_is_near_a_station_when_swapped_says_so(tmp_path: Path) -> None:
    listed = tmp_path / "roofs.csv"
    listed.write_text(
        "site_id,latitude_deg,longitude_deg\nA,46.8,-32.9\nB,-32.9,46.8\nC,10.0,120.0\n", encoding="utf-8"
    )
    made = plan_run(load_sites(listed), load_unit(demo_inputs().unit), climate_files())
    assert [job.site.site_id for job in made.jobs] == ["A"]
    assert "swapped temperate-coast.epw would be" in made.unusable[1][0]
    assert "swapped" not in made.unusable[2][0]
