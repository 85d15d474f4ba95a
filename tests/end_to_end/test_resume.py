"""Runs that were cut short, continued; runs by several processes; folders that cannot be written."""

import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from command_line import SOURCES, Answer, apart, contents, edgecheck, start, until
from portfolio import UNIT, WEATHER, log_of, usable, words, write_portfolio
from processes import children, gone

import edgecheck as package

ROWS = 12
REPORT = ("--report", "no-go")


def lasting(run: Path) -> dict[str, bytes | None]:
    """Everything of a run that must be equal: all but its log."""
    return {name: data for name, data in contents(run).items() if name != "run-log.json"}


def assert_equal(run: Path, other: Path) -> None:
    one, two = lasting(run), lasting(other)
    assert one.keys() == two.keys()
    for name, data in one.items():
        assert data == two[name], name


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a list and its undisturbed run `run`; to be read only."""
    folder = tmp_path_factory.mktemp("portfolio")
    write_portfolio(folder / "roofs.csv", ROWS)
    answer = edgecheck(*words("roofs.csv", "run", *REPORT, "--jobs", 1), folder=folder)
    assert answer.code == 4, answer.err
    assert log_of(folder / "run") == log_of(folder / "run") | {"jobs": 1, "taken_over": 0, "computed": ROWS}
    return folder


@pytest.fixture
def desk(whole: Path, tmp_path: Path) -> Path:
    """A copy of it to do harm to."""
    return Path(shutil.copytree(whole, tmp_path / "desk"))


def resumed(desk: Path, taken_over: int, *more: object) -> Answer:
    """Resume the run of a desk, and see that it took over so many rows and ended."""
    answer = edgecheck(*words("roofs.csv", "run", *(more or REPORT), "--resume", "--jobs", 1), folder=desk)
    assert answer.code == 4, answer.err
    log = log_of(desk / "run")
    assert (log["taken_over"], log["computed"]) == (taken_over, ROWS - taken_over)
    return answer


def unfinished(desk: Path) -> Path:
    """Take the mark and the lists of a run away, as if it had been cut; its store."""
    for name in ("run.json", "index.html", "verdicts.csv", "verdicts.xlsx", "survey.csv", "sites.geojson"):
        (desk / "run" / name).unlink()
    return desk / "run" / "results.jsonl"


def test_two_processes_write_the_same_bytes(whole: Path, tmp_path: Path) -> None:
    answer = apart(
        *words(str(whole / "roofs.csv"), str(tmp_path / "run"), *REPORT, "--jobs", 2),
        folder=tmp_path,
        TZ="Pacific/Auckland",
        LC_ALL="C",
        PYTHONHASHSEED="7",
    )
    assert answer.code == 4, answer.err
    assert "\r" not in answer.err
    assert log_of(tmp_path / "run")["jobs"] == 2
    assert_equal(tmp_path / "run", whole / "run")


def test_a_finished_run_is_taken_over_whole(desk: Path, whole: Path) -> None:
    answer = resumed(desk, usable(ROWS))
    assert f"taken over from the earlier run: {usable(ROWS)} rows" in answer.err
    assert_equal(desk / "run", whole / "run")


def test_a_cut_store_is_continued_where_it_ends(desk: Path, whole: Path) -> None:
    store = unfinished(desk)
    lines = store.read_bytes().splitlines(keepends=True)
    store.write_bytes(b"".join(lines[:5]) + lines[5][:-7])
    (desk / "run" / ".verdicts.csv.4711.part").write_bytes(b"half")
    assert len(package.load_run(desk / "run").results) == 5
    resumed(desk, 5)
    assert_equal(desk / "run", whole / "run")


def test_a_flipped_byte_costs_its_line(desk: Path, whole: Path) -> None:
    store = desk / "run" / "results.jsonl"
    data = bytearray(store.read_bytes())
    data[len(data) // 2] ^= 0x10
    store.write_bytes(data)
    resumed(desk, usable(ROWS) - 1)
    assert_equal(desk / "run", whole / "run")


def test_a_site_whose_page_is_gone_is_computed_again(desk: Path, whole: Path) -> None:
    pages = sorted((desk / "run" / "sites").glob("*/worst-hour.html"))
    assert 2 <= len(pages) < ROWS // 2
    pages[0].unlink()
    resumed(desk, usable(ROWS) - 1)
    assert_equal(desk / "run", whole / "run")


@pytest.mark.usefixtures("figures")
def test_reports_can_be_asked_for_afterwards_and_given_back(desk: Path) -> None:
    pages = len(list((desk / "run" / "sites").iterdir()))
    (desk / "run" / "sites" / "S-00002" / "hourly.csv").write_text("of an earlier run", encoding="utf-8")
    resumed(desk, pages, "--report", "all")
    assert not (desk / "run" / "sites" / "S-00002" / "hourly.csv").exists()
    assert len(list((desk / "run" / "sites").iterdir())) == usable(ROWS)
    resumed(desk, usable(ROWS), "--report", "none")
    assert not (desk / "run" / "sites").exists()


def test_only_a_changed_row_is_computed_again(desk: Path) -> None:
    none = ("--report", "none")
    resumed(desk, usable(ROWS), *none)
    text = (desk / "roofs.csv").read_text(encoding="utf-8")
    head, first, rest = text.split("\n", 2)
    # A remark line more above, and a changed load: all rows move down, and one is another one.
    changed = rest.replace("S-00003,Roof 3", "S-00003,Roof three")
    assert changed != rest
    (desk / "roofs.csv").write_text("\n".join([head, "", first, changed]), encoding="utf-8")
    resumed(desk, usable(ROWS) - 1, *none)
    assert edgecheck(*words("roofs.csv", "fresh", *none, "--jobs", 1), folder=desk).code == 4
    assert_equal(desk / "run", desk / "fresh")


@pytest.mark.slow
def test_pages_name_the_list_they_were_made_from(desk: Path) -> None:
    with (desk / "roofs.csv").open("a", encoding="utf-8") as stream:
        stream.write("\n")
    pages = len(list((desk / "run" / "sites").iterdir()))
    resumed(desk, usable(ROWS) - pages)
    assert edgecheck(*words("roofs.csv", "fresh", *REPORT, "--jobs", 1), folder=desk).code == 4
    assert_equal(desk / "run", desk / "fresh")


def test_other_criteria_take_nothing_over(desk: Path) -> None:
    answer = edgecheck(
        *words("roofs.csv", "run", "--resume", "--report", "none", "--criteria", "first-pass"), folder=desk
    )
    assert answer.code == 4
    assert log_of(desk / "run")["taken_over"] == 0


def test_choices_that_exclude_each_other(desk: Path) -> None:
    before = contents(desk)
    for more in (("--resume", "--overwrite"), ("--jobs", 2, "--cluster", "10.0.0.5:8786"), ("--jobs", 0)):
        assert edgecheck(*words("roofs.csv", "run", *more), folder=desk).code == 2
    assert contents(desk) == before


def under_way(desk: Path, rows: int, out: str, *more: object) -> "subprocess.Popen[str]":
    """A run in processes of its own of which some rows are finished."""
    write_portfolio(desk / "many.csv", rows)
    process = start(*words("many.csv", out, "--report", "none", *more), folder=desk)
    store = desk / out / "results.jsonl"
    until(process, lambda: store.is_file() and store.stat().st_size > 0)
    return process


needs_proc = pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="processes are read from /proc")


@needs_proc
def test_a_killed_run_is_resumed_and_its_workers_end(desk: Path) -> None:
    rows = 900
    process = under_way(desk, rows, "many", "--jobs", 2)
    busy = edgecheck(*words("many.csv", "many", "--report", "none", "--resume"), folder=desk)
    assert busy.code == 2
    assert "is being written by another run" in busy.err
    workers = children(process.pid)
    assert len(workers) >= 2
    process.kill()
    process.communicate(timeout=30)
    assert gone(workers)
    kept = len(package.load_run(desk / "many").results)
    assert 0 < kept < usable(rows)
    answer = edgecheck(*words("many.csv", "many", "--report", "none", "--resume", "--jobs", 1), folder=desk)
    assert answer.code == 4, answer.err
    assert log_of(desk / "many")["taken_over"] == kept
    assert not (desk / "many" / ".run-lock").exists()
    run = package.load_run(desk / "many")
    assert [site.row for site in run.results] == list(range(2, rows + 2))
    # What was finished before the kill and what came after fit the first rows of the undisturbed run.
    first = package.load_run(desk / "run").results
    for site, other in zip(run.results, first, strict=False):
        assert site.verdict == other.verdict
        assert site.verdict == "unusable" or site.to_stored() == other.to_stored()


@pytest.mark.slow
@needs_proc
def test_an_interrupted_run_says_how_to_go_on_and_leaves_no_worker(desk: Path) -> None:
    process = under_way(desk, 900, "many", "--jobs", 2)
    workers = children(process.pid)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=30)
    assert process.returncode == 130
    assert "interrupted" in err
    assert "--resume continues" in err
    assert "Traceback" not in err
    assert gone(workers)
    assert not (desk / "many" / "run.json").exists()


# Files of a process may not be longer than so many bytes: what a full disk looks like to it.
LIMITED = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]), resource.RLIM_INFINITY))
sys.argv[1:2] = []
from edgecheck.cli import main
if __name__ == "__main__":
    main()
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="no limit on the length of files there")
def test_a_file_that_cannot_grow_stops_the_run_and_it_can_be_resumed(desk: Path, whole: Path) -> None:
    (desk / "limited.py").write_text(LIMITED, encoding="utf-8")
    longest = (whole / "run" / "results.jsonl").stat().st_size // 2
    shutil.rmtree(desk / "run")
    done = subprocess.run(
        [
            sys.executable,
            "limited.py",
            str(longest),
            *map(str, words("roofs.csv", "run", "--report", "none")),
        ],
        cwd=desk,
        env={**os.environ, "PYTHONPATH": SOURCES},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 2, done.stderr
    assert "results.jsonl: cannot be written: " in done.stderr
    assert "what is finished is kept, --resume continues" in done.stderr
    assert "Traceback" not in done.stderr
    kept = len(package.load_run(desk / "run").results)
    assert 3 <= kept < usable(ROWS)
    resumed(desk, kept, "--report", "none")
    assert store_of(desk) == store_of(whole)


@pytest.fixture
def small_disk(tmp_path: Path) -> "Callable[[], Path]":
    """Mounts a disk of a few hundred kilobytes where that is allowed."""
    place = tmp_path / "disk"
    place.mkdir()
    options = ["mount", "-t", "tmpfs", "-o", "size=96k", "tmpfs", str(place)]
    if shutil.which("mount") is None or subprocess.run(options, capture_output=True, check=False).returncode:
        pytest.skip("no disk can be mounted here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk_is_one_clear_message(desk: Path, small_disk: Path) -> None:
    answer = edgecheck(*words("roofs.csv", str(small_disk / "run"), "--report", "none"), folder=desk)
    assert answer.code == 2
    assert "the disk is full" in answer.err
    assert "--resume continues" in answer.err
    assert len(package.load_run(small_disk / "run").results) >= 3


# From the folder on this is somebody who may write nowhere; before it the superuser reads what Python needs.
NOBODY = """
import os
from edgecheck.cli import main
from edgecheck.outputs.folder import RunFolder

def somebody_else(*given, **more):
    if os.geteuid() == 0:
        os.setegid(65534)
        os.seteuid(65534)
    return open_folder(*given, **more)

if __name__ == "__main__":
    open_folder, RunFolder.open = RunFolder.open, somebody_else
    main()
"""


@pytest.mark.skipif(os.name == "nt", reason="needs users")
def test_a_read_only_folder_is_one_clear_message(tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.mktemp("closed")
    for place in (folder, *folder.parents[:2]):
        place.chmod(0o755)
    write_portfolio(folder / "roofs.csv", 2)
    (folder / "nobody.py").write_text(NOBODY, encoding="utf-8")
    folder.chmod(0o555)
    done = subprocess.run(
        [sys.executable, "nobody.py", *map(str, words("roofs.csv", "run"))],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": SOURCES},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    folder.chmod(0o755)
    assert done.returncode == 2, done.stderr
    assert "run: cannot be written: no permission to write here" in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted(path.name for path in folder.iterdir()) == ["nobody.py", "roofs.csv"]


def test_weather_of_other_content_is_computed_again(desk: Path) -> None:
    shutil.copytree(WEATHER, desk / "weather", ignore=lambda _, names: [n for n in names if ".epw" not in n])
    folder = ("screen", "roofs.csv", "--unit", UNIT, "--weather", "weather", "--out", "run", "--resume")
    assert edgecheck(*folder, "--report", "none", folder=desk).code == 4
    assert log_of(desk / "run")["taken_over"] == usable(ROWS)  # the same files elsewhere
    served = {json.loads(line)["result"].get("figures", {}).get("weather_file") for line in store_of(desk)}
    name = sorted(filter(None, served))[0]
    path = desk / "weather" / name
    path.write_bytes(path.read_bytes() + b"\r\n")
    here = sum(name in line for line in store_of(desk))
    assert edgecheck(*folder, "--report", "none", folder=desk).code == 4
    assert log_of(desk / "run")["taken_over"] == usable(ROWS) - here


def store_of(desk: Path) -> list[str]:
    return (desk / "run" / "results.jsonl").read_text(encoding="ascii").splitlines()
