"""`edgecheck demo` in an empty folder."""

import shutil
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from command_line import Answer, bare_reports, contents, edgecheck, read_table
from report_run import demo_answer

from edgecheck.demo import files


@pytest.fixture(scope="module")
def demo() -> tuple[Path, Answer]:
    """The demo in a folder that was empty; to be read only."""
    return demo_answer()


def test_it_runs_and_says_that_all_is_invented(demo: tuple[Path, Answer]) -> None:
    folder, answer = demo
    assert answer.code == 0
    assert "synthetic" in answer.err
    assert [path.name for path in folder.iterdir()] == ["edgecheck-demo"]
    assert "synthetic" in (folder / "edgecheck-demo" / "index.html").read_text(encoding="utf-8").lower()


def test_verdicts_are_of_every_kind_and_for_different_reasons(demo: tuple[Path, Answer]) -> None:
    rows = read_table(demo[0] / "edgecheck-demo" / "verdicts.csv")
    count = Counter(row["verdict"] for row in rows)
    assert len(rows) >= 10
    assert {"conditional", "no-go", "undecided", "unusable"} <= count.keys()
    assert any(row["heat"] == "go" for row in rows)
    assert len({row["governing_check"] for row in rows if row["verdict"] == "no-go"}) >= 2
    files = {row["weather_file"] for row in rows if row["weather_file"]}
    assert sorted(name for name in files if name.startswith("cycle:")) == ["cycle:a1", "cycle:c1"]
    assert len(files) == 7
    assert [row["rank"] for row in rows if row["verdict"] == "unusable"] == [
        str(len(rows) - count["unusable"] + place) for place in range(1, count["unusable"] + 1)
    ]


def test_every_site_that_could_be_decided_has_its_page(demo: tuple[Path, Answer]) -> None:
    run = demo[0] / "edgecheck-demo"
    for row in read_table(run / "verdicts.csv"):
        if row["verdict"] == "unusable":
            assert row["folder"] == ""
        else:
            page = (run / "sites" / row["folder"] / "worst-hour.html").read_text(encoding="utf-8")
            no_place = row["weather"].startswith("cycle:")
            assert ("Type qualification" if no_place else "is synthetic") in page


def demo_again(folder: Path) -> None:
    """Run a demo once more over its own folder, in which somebody has put a file: all else has the same bytes."""
    before = contents(folder)
    (folder / "edgecheck-demo" / "remarks.txt").write_text("mine", encoding="utf-8")
    assert edgecheck("demo", folder=folder).code == 0
    after = contents(folder)
    assert after.pop("edgecheck-demo/remarks.txt") == b"mine"
    log = "edgecheck-demo/run-log.json"
    assert {**after, log: b""} == {**before, log: b""}


def test_second_demo_replaces_its_own_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With every seventh row of the demo's list, one of them unusable, and bare pages; all of it in the slow tests."""
    short = tmp_path / "inputs"
    shutil.copytree(files.HERE, short, ignore=shutil.ignore_patterns("*.py*", "__pycache__"))
    head, *lines = (short / "sites.csv").read_text(encoding="utf-8").splitlines()
    (short / "sites.csv").write_text("\n".join([head, *lines[::7]]) + "\n", encoding="utf-8")
    inputs = replace(files.demo_inputs(), sites=short / "sites.csv", unit=short / "lapwing-6.toml")
    monkeypatch.setattr(files, "demo_inputs", lambda: inputs)
    folder = tmp_path / "empty"
    folder.mkdir()
    with bare_reports():
        assert edgecheck("demo", folder=folder).code == 0
        assert len(list((folder / "edgecheck-demo").glob("sites/*/worst-hour.html"))) == 3
        demo_again(folder)


@pytest.mark.slow
def test_second_whole_demo_replaces_its_own_and_nothing_else(
    demo: tuple[Path, Answer], tmp_path: Path
) -> None:
    demo_again(Path(shutil.copytree(demo[0], tmp_path / "copy")))


def test_demo_leaves_a_foreign_folder_alone(tmp_path: Path) -> None:
    (tmp_path / "edgecheck-demo").mkdir()
    (tmp_path / "edgecheck-demo" / "thesis.txt").write_text("mine", encoding="utf-8")
    before = contents(tmp_path)
    assert edgecheck("demo", folder=tmp_path).code == 2
    assert contents(tmp_path) == before
