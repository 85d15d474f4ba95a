"""Ids out of other people's spreadsheets never lead out of the run folder."""

import re
from pathlib import Path

from command_line import STATION, contents, edgecheck, verdicts, write_list

IDS = ("..", ".", "CON", "a/b", "Mill", "mill", "..\\up", "é <b>&", "=1+1", "con.txt")


def run(desk: Path) -> Path:
    write_list(desk / "sites.csv", [{"site_id": site_id, **STATION} for site_id in IDS])
    answer = edgecheck("screen", "sites.csv", "--unit", "unit.toml", "--out", "runs/first", folder=desk)
    assert answer.code == 0
    return desk / "runs" / "first"


def test_everything_is_written_inside_and_apart(desk: Path) -> None:
    before = contents(desk)
    out = run(desk)
    after = contents(desk)
    added = {path for path in after.keys() - before.keys() if path != "sites.csv"}
    assert all(path == "runs" or path.startswith("runs/first") for path in added)
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


def test_markup_in_an_id_is_shown_and_not_run(desk: Path) -> None:
    out = run(desk)
    row = verdicts(out)["é <b>&"]
    for page in (out / "index.html", out / "sites" / row["folder"] / "worst-hour.html"):
        text = page.read_text(encoding="utf-8")
        assert "é &lt;b&gt;&amp;" in text
        assert "é <b>" not in text


def test_one_site_alone_has_the_folder_it_has_in_the_list(desk: Path) -> None:
    out = run(desk)
    for site_id in ("mill", "a/b"):
        words = ("site", "sites.csv", site_id, "--unit", "unit.toml", "--out", "alone", "--overwrite")
        assert edgecheck(*words, folder=desk).code == 0
        assert [path.name for path in (desk / "alone" / "sites").iterdir()] == [
            verdicts(out)[site_id]["folder"]
        ]
