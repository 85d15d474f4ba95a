"""`edgecheck demo` in an empty folder."""

from collections import Counter
from pathlib import Path

import pytest
from command_line import Answer, contents, edgecheck, read_table


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Answer]:
    folder = tmp_path_factory.mktemp("empty")
    return folder, edgecheck("demo", folder=folder)


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


def test_second_demo_replaces_its_own_and_nothing_else(demo: tuple[Path, Answer]) -> None:
    folder = demo[0]
    before = contents(folder)
    (folder / "edgecheck-demo" / "remarks.txt").write_text("mine", encoding="utf-8")
    assert edgecheck("demo", folder=folder).code == 0
    after = contents(folder)
    assert after.pop("edgecheck-demo/remarks.txt") == b"mine"
    log = "edgecheck-demo/run-log.json"
    assert {**after, log: b""} == {**before, log: b""}


def test_demo_leaves_a_foreign_folder_alone(tmp_path: Path) -> None:
    (tmp_path / "edgecheck-demo").mkdir()
    (tmp_path / "edgecheck-demo" / "thesis.txt").write_text("mine", encoding="utf-8")
    before = contents(tmp_path)
    assert edgecheck("demo", folder=tmp_path).code == 2
    assert contents(tmp_path) == before
