"""A run folder over its life: earlier runs, other people's files, killed and interrupted runs, reading back."""

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import STATION, Answer, contents, edgecheck, start, until, write_list

import edgecheck as package

WORDS = ("screen", "sites.csv", "--unit", "unit.toml")
MANY = 60


def few(desk: Path) -> None:
    write_list(desk / "sites.csv", [{"site_id": "A", **STATION}, {"site_id": "B", **STATION}])


def test_second_run_is_refused_and_leaves_the_first_alone(desk: Path) -> None:
    few(desk)
    assert edgecheck(*WORDS, folder=desk).code == 0
    before = contents(desk)
    answer = edgecheck(*WORDS, folder=desk)
    assert answer.code == 2
    assert "holds an earlier run" in answer.err
    assert "--overwrite" in answer.err
    assert contents(desk) == before


def test_overwrite_replaces_ours_and_keeps_what_is_not(desk: Path) -> None:
    few(desk)
    assert edgecheck(*WORDS, folder=desk).code == 0
    run = desk / "reports" / "sites"
    (run / "remarks.txt").write_text("mine", encoding="utf-8")
    (run / "sites" / "A" / "photo.jpg").write_bytes(b"mine")
    write_list(desk / "sites.csv", [{"site_id": "C", **STATION}])
    assert edgecheck(*WORDS, "--overwrite", folder=desk).code == 0
    left = contents(run)
    assert left["remarks.txt"] == left["sites/A/photo.jpg"] == b"mine"
    assert "sites/A/site.json" not in left
    assert "sites/B" not in left
    assert "sites/C/site.json" in left


def test_reports_only_where_asked_for(desk: Path) -> None:
    rows = [
        {"site_id": "A", **STATION},
        {"site_id": "B", **STATION, "roof_reserve_kpa": 3, "landlord_max_kg": 100},
    ]
    write_list(desk / "sites.csv", rows)
    assert edgecheck(*WORDS, "--report", "no-go", folder=desk).code == 0
    run = desk / "reports" / "sites"
    assert [path.name for path in (run / "sites").iterdir()] == ["B"]
    assert edgecheck(*WORDS, "--report", "none", "--overwrite", folder=desk).code == 0
    assert not (run / "sites").exists()
    assert len(package.load_run(run).results) == 2


def test_run_reads_back(example_run: tuple[Path, Answer]) -> None:
    run = package.load_run(example_run[0] / "reports" / "sites")
    assert [site.site_id for site in run.results] == ["R-001", "R-002", "R-003"]
    assert [site.verdict for site in run.results] == ["conditional", "no-go", "undecided"]
    assert run.record["counts"]["sites"] == 3
    assert run.dropped == 0
    page = json.loads(
        (example_run[0] / "reports" / "sites" / "sites" / "R-001" / "site.json").read_text("utf-8")
    )
    # The store has what lists and comparisons need; what only a report shows is in site.json.
    kept = run.results[0].to_dict()
    assert kept["checks"] == page["checks"]
    for name in page.keys() - {"worst_hours", "detail"}:
        assert kept[name] == page[name], name
    for name in ("hours_short", "outage", "extremes"):
        assert kept["detail"][name] == page["detail"][name]
    assert kept["detail"]["energy"].items() <= page["detail"]["energy"].items()


@pytest.mark.parametrize("place", [0.1, 0.5, 0.9])
def test_flipped_byte_drops_its_line(desk: Path, example_run: tuple[Path, Answer], place: float) -> None:
    store = (example_run[0] / "reports" / "sites" / "results.jsonl").read_bytes()
    lines = store.splitlines(keepends=True)
    middle = bytearray(lines[1])
    middle[int(place * len(middle))] ^= 0x01
    (desk / "results.jsonl").write_bytes(lines[0] + bytes(middle) + lines[2])
    run = package.load_run(desk)
    assert [site.site_id for site in run.results] == ["R-001", "R-003"]
    assert run.dropped == 1


def test_cut_store_keeps_its_whole_lines(desk: Path, example_run: tuple[Path, Answer]) -> None:
    store = (example_run[0] / "reports" / "sites" / "results.jsonl").read_bytes()
    (desk / "results.jsonl").write_bytes(store[:-200])
    run = package.load_run(desk)
    assert [site.site_id for site in run.results] == ["R-001", "R-002"]
    assert (run.dropped, run.record) == (1, {})


def test_folder_without_a_run_is_refused(desk: Path) -> None:
    with pytest.raises(OSError, match="no run folder"):
        package.load_run(desk)


def under_way(desk: Path) -> "subprocess.Popen[str]":
    """A long run whose first sites are written."""
    write_list(desk / "sites.csv", [{"site_id": f"S{number:02d}", **STATION} for number in range(MANY)])
    process = start(*WORDS, folder=desk)
    until(process, lambda: bool(list(desk.glob("reports/sites/sites/*/worst-hour.html"))))
    return process


def test_killed_run_leaves_whole_files_and_no_mark(desk: Path) -> None:
    process = under_way(desk)
    process.kill()
    process.communicate(timeout=30)
    run = desk / "reports" / "sites"
    names = [path.relative_to(run).as_posix() for path in run.rglob("*") if path.is_file()]
    assert "run.json" not in names
    assert len(list(run.glob("sites/*"))) < MANY
    for path in run.rglob("*"):
        if path.is_dir() or path.name.startswith("."):
            continue
        text = path.read_text(encoding="utf-8-sig")
        assert text.endswith("\n" if path.suffix != ".html" else "</html>") or text.endswith("</html>\n")
        if path.suffix == ".json":
            json.loads(text)
    (run / "sites" / "S00" / ".site.json.4711.part").write_text("{", encoding="utf-8")

    write_list(desk / "sites.csv", [{"site_id": "A", **STATION}])
    refused = edgecheck(*WORDS, folder=desk)
    assert refused.code == 2
    assert edgecheck(*WORDS, "--overwrite", folder=desk).code == 0
    assert (run / "run.json").is_file()
    assert [path.name for path in (run / "sites").iterdir()] == ["A"]
    assert not list(run.rglob("*.part"))


@pytest.mark.skipif(
    sys.platform == "win32", reason="an interrupt cannot be sent to a process of its own there"
)
def test_interrupted_run_says_so_and_ends_with_130(desk: Path) -> None:
    process = under_way(desk)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=30)
    assert process.returncode == 130
    assert "interrupted; what is finished is kept, --resume continues" in err
    assert "Traceback" not in err
    assert not (desk / "reports" / "sites" / "run.json").exists()
    assert not list((desk / "reports").rglob("*.part"))
