"""Ids out of other people's spreadsheets never lead out of the run folder."""

import re
from pathlib import Path

import pytest
from command_line import STATION, bare_reports, contents, edgecheck, furnish, verdicts, write_list

IDS = ("..", ".", "CON", "a/b", "Mill", "mill", "..\\up", "é <b>&", "=1+1", "con.txt")


@pytest.fixture(scope="module")
def around(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder in whose runs/first the list was screened; nothing else was in it but the desk."""
    folder = tmp_path_factory.mktemp("around")
    desk = furnish(folder / "desk")
    write_list(desk / "sites.csv", [{"site_id": site_id, **STATION} for site_id in IDS])
    before = contents(folder)
    with bare_reports():
        answer = edgecheck(
            "screen", "sites.csv", "--unit", "unit.toml", "--out", "../runs/first", folder=desk
        )
    assert answer.code == 0
    assert {name: data for name, data in contents(folder).items() if not name.startswith("runs")} == before
    return folder


def test_everything_is_written_inside_and_apart(around: Path) -> None:
    out = around / "runs" / "first"
    assert [path.name for path in (around / "runs").iterdir()] == ["first"]
    folders = [path.name for path in (out / "sites").iterdir()]
    assert len({name.casefold() for name in folders}) == len(IDS)
    for name in folders:
        assert re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9._-]{0,59}", name)
        assert name.partition(".")[0].upper() != "CON"
        assert not name.endswith(".")
    rows = verdicts(out)
    for row in rows.values():
        page = out / "sites" / row["folder"] / "worst-hour.html"
        assert page.is_file()
        assert f'href="sites/{row["folder"]}/worst-hour.html"' in (out / "index.html").read_text("utf-8")
    assert {row.removeprefix("'") for row in rows} == set(IDS)


def test_markup_in_an_id_is_shown_and_not_run(around: Path) -> None:
    out = around / "runs" / "first"
    row = verdicts(out)["é <b>&"]
    for page in (out / "index.html", out / "sites" / row["folder"] / "worst-hour.html"):
        text = page.read_text(encoding="utf-8")
        assert "é &lt;b&gt;&amp;" in text
        assert "é <b>" not in text


def test_one_site_alone_has_the_folder_it_has_in_the_list(around: Path, tmp_path: Path) -> None:
    out = around / "runs" / "first"
    for site_id in ("mill", "a/b"):
        words = ("site", "sites.csv", site_id, "--unit", "unit.toml", "--out", tmp_path, "--overwrite")
        with bare_reports():
            assert edgecheck(*words, folder=around / "desk").code == 0
        assert [path.name for path in (tmp_path / "sites").iterdir()] == [verdicts(out)[site_id]["folder"]]
