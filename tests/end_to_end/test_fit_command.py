"""`edgecheck unit --fit` as a person uses it: points of a data sheet to a unit that is screened."""

import hashlib
import tomllib
from pathlib import Path

import pytest
from command_line import EXAMPLES, edgecheck

UNIT = (EXAMPLES / "unit.toml").read_text(encoding="utf-8")
TABLE = tomllib.loads(UNIT)["cooling"]
HEAD = "liquid_c,inlet_air_c,capacity_kw,power_kw"


def points() -> list[str]:
    """Every other value of the example's table, and its corners."""
    rows = []
    for i, liquid in enumerate(TABLE["liquid_c"]):
        for j, air in enumerate(TABLE["inlet_air_c"]):
            if (i + j) % 2 == 0 or (i in (0, 3) and j in (0, 5)):
                rows.append(f"{liquid},{air},{TABLE['capacity_kw'][i][j]},{TABLE['power_kw'][i][j]}")
    return rows


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "unit.toml").write_text(UNIT, encoding="utf-8")
    (tmp_path / "points.csv").write_text("\n".join([HEAD, *points()]) + "\n", encoding="utf-8")
    return tmp_path


def test_points_to_a_unit(folder: Path) -> None:
    answer = edgecheck("unit", "unit.toml", "--fit", "points.csv", "--out", "fitted.toml", folder=folder)
    assert answer.code == 0, answer.err
    digest = hashlib.sha256((folder / "points.csv").read_bytes()).hexdigest()
    text = (folder / "fitted.toml").read_text(encoding="utf-8")
    document = tomllib.loads(text)
    assert document["based_on"] == "unit.toml"
    assert document["cooling"]["fit"]["points_sha256"] == digest
    assert document["cooling"]["liquid_c"][0] == 20.0
    assert document["cooling"]["inlet_air_c"][-1] == 54.0
    for part in (
        f"rating table fitted to {len(points())} points of points.csv",
        "differs from the points by",
        "Heron 6: chiller",
        "note: the rating table was fitted to",
        "written: fitted.toml",
    ):
        assert part in answer.out
    again = edgecheck("unit", "fitted.toml", folder=folder)
    assert again.code == 0
    assert "rating table: 7 liquid by 11" in again.out


def test_equal_points_give_equal_bytes_and_nothing_is_overwritten(folder: Path) -> None:
    words = ("unit", "unit.toml", "--fit", "points.csv", "--out")
    for name in ("a.toml", "b.toml"):
        assert edgecheck(*words, name, folder=folder).code == 0
    assert (folder / "a.toml").read_bytes() == (folder / "b.toml").read_bytes()
    answer = edgecheck(*words, "a.toml", folder=folder)
    assert answer.code == 2
    assert "a.toml: exists already" in answer.err
    assert sorted(one.name for one in folder.iterdir()) == ["a.toml", "b.toml", "points.csv", "unit.toml"]


def test_points_alone_print_the_table(folder: Path) -> None:
    answer = edgecheck("unit", "--fit", "points.csv", folder=folder)
    assert answer.code == 0
    start = answer.out.index("# Fitted to")
    assert len(tomllib.loads(answer.out[start:])["cooling"]["capacity_kw"]) == 7
    assert len(list(folder.iterdir())) == 2


def test_refusals_are_one_message_and_nothing_written(folder: Path) -> None:
    (folder / "few.csv").write_text("\n".join([HEAD, *points()[:5]]) + "\n", encoding="utf-8")
    answer = edgecheck("unit", "unit.toml", "--fit", "few.csv", "--out", "new.toml", folder=folder)
    assert answer.code == 2
    assert answer.err.startswith("edgecheck: few.csv: 5 points at different temperatures; at least 6")
    assert "Traceback" not in answer.err
    assert not (folder / "new.toml").exists()


@pytest.mark.parametrize(
    "words",
    [
        ("unit",),
        ("unit", "unit.toml", "--out", "new.toml"),
        ("unit", "--fit", "points.csv", "--out", "new.toml"),
    ],
)
def test_words_that_do_not_go_together(folder: Path, words: tuple[str, ...]) -> None:
    answer = edgecheck(*words, folder=folder)
    assert answer.code == 2
    assert answer.out == ""
    assert not (folder / "new.toml").exists()
