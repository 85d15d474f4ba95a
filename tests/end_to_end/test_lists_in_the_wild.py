"""Lists as spreadsheets save them, and what comes back of the planner's own cells."""

import csv
from pathlib import Path

import pytest
from command_line import STATION, edgecheck, furnish, read_table, verdicts, write_list

from edgecheck.inputs.sites import load_sites

WORDS = ("screen", "sites.csv", "--unit", "unit.toml", "--report", "none")
TEXT = "site_id,name,latitude_deg,longitude_deg,weather\nR-1,Zürich Süd,36.10,-79.95,weather/example.csv\n"

WAYS = {
    "UTF-8": TEXT.encode(),
    "byte order mark, CRLF": TEXT.replace("\n", "\r\n").encode("utf-8-sig"),
    "CR alone": TEXT.replace("\n", "\r").encode(),
    "no line end at the end": TEXT.rstrip("\n").encode(),
    "Windows-1252": TEXT.encode("cp1252"),
    "UTF-16": TEXT.encode("utf-16"),
    "semicolons": TEXT.replace(",", ";").encode(),
    "tabs": TEXT.replace(",", "\t").encode(),
    "blank lines and empty rows": TEXT.replace("\n", "\n\n,,,,\n").encode(),
    "blanks around headings": TEXT.replace("latitude_deg", " latitude_deg ", 1).encode(),
    "all quoted": ('"' + TEXT.rstrip("\n").replace(",", '","').replace("\n", '"\n"') + '"\n').encode(),
    "a column without heading or cells": TEXT.replace("\n", ",\n").encode(),
}


@pytest.mark.parametrize("way", WAYS)
def test_way_of_saving_is_read_alike(tmp_path: Path, way: str) -> None:
    (tmp_path / "sites.csv").write_bytes(WAYS[way])
    (tmp_path / "plain.csv").write_bytes(WAYS["UTF-8"])
    found, plain = (load_sites(tmp_path / name) for name in ("sites.csv", "plain.csv"))
    assert [site.values for site in found.sites] == [site.values for site in plain.sites]
    assert found.cells.equals(plain.cells)
    assert (found.columns, found.counts["usable"], found.findings) == (plain.columns, 1, ())


# Of those that are not screened by default, the test above sees that they are read alike.
SCREENED = ("UTF-8", "CR alone", "UTF-16", "a column without heading or cells")


@pytest.mark.parametrize(
    "way", [pytest.param(way, marks=() if way in SCREENED else pytest.mark.slow) for way in WAYS]
)
def test_way_of_saving(desk: Path, way: str) -> None:
    (desk / "sites.csv").write_bytes(WAYS[way])
    answer = edgecheck(*WORDS, folder=desk)
    assert answer.code == 0, answer.err
    rows = read_table(desk / "reports" / "sites" / "verdicts.csv")
    assert [row["name"] for row in rows] == ["Zürich Süd"]
    assert rows[0]["verdict"] == "undecided"
    assert rows[0]["latitude_deg"] == "36.10"


OWN = {
    "formula": '=HYPERLINK("x")',
    "plus": "+49 30 1234",
    "minus": "-",
    "number": "-12.50",
    "at": "@here",
    "lines": 'two\nlines, and "quotes"',
    "blanks": "  kept  ",
    "zero": "007",
    "verdict": "mine",
    "apostrophe": "'s-Gravenhage",
}


def test_own_cells_survive_formulas_and_two_rounds(desk: Path) -> None:
    write_list(desk / "sites.csv", [{"site_id": "A", **STATION, **OWN}])
    assert edgecheck(*WORDS, folder=desk).code == 0
    first = verdicts(desk / "reports" / "sites")["A"]
    assert first["own_verdict"] == "mine"
    assert first["verdict"] == "undecided"
    for name in OWN.keys() - {"verdict", "formula", "plus", "minus", "at"}:
        assert first[name] == OWN[name], name
    for name in ("formula", "plus", "minus", "at"):
        assert first[name] == f"'{OWN[name]}", name

    (desk / "again.csv").write_bytes((desk / "reports" / "sites" / "verdicts.csv").read_bytes())
    answer = edgecheck("screen", "again.csv", "--unit", "unit.toml", "--report", "none", folder=desk)
    assert answer.code == 0
    assert "is an earlier result of this program" in answer.err
    second = verdicts(desk / "reports" / "again")["A"]
    assert second == first


def test_column_that_is_nearly_known_is_kept_and_told(desk: Path) -> None:
    write_list(desk / "sites.csv", [{"site_id": "A", **STATION, "roof_reserve": "2.4", "Elevation m": "100"}])
    answer = edgecheck(*WORDS, folder=desk)
    assert answer.code == 0
    assert "Elevation m looks like elevation_m" in answer.err
    row = verdicts(desk / "reports" / "sites")["A"]
    assert (row["roof_reserve"], row["Elevation m"]) == ("2.4", "100")


SIGNS = ("-", "?", "n/a", "NA", "tbd", "unknown", " ")


@pytest.fixture(scope="module")
def of_signs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str]]:
    """Verdicts of a list with a row for every sign."""
    desk = furnish(tmp_path_factory.mktemp("signs") / "desk")
    rows = [
        {"site_id": f"S{at}", **STATION, "elevation_m": sign, "roof_reserve_kpa": sign}
        for at, sign in enumerate(SIGNS)
    ]
    write_list(desk / "sites.csv", rows)
    assert edgecheck(*WORDS, folder=desk).code == 0
    return verdicts(desk / "reports" / "sites")


@pytest.mark.parametrize("sign", SIGNS)
def test_signs_for_not_known_are_empty(of_signs: dict[str, dict[str, str]], sign: str) -> None:
    row = of_signs[f"S{SIGNS.index(sign)}"]
    assert "roof_reserve_kpa" in row["to_survey"]
    assert row["roof"] == "undecided"


def test_row_with_a_cell_too_many_is_unusable(desk: Path) -> None:
    (desk / "sites.csv").write_text(
        TEXT + "R-2,Hall, north,36.1,-79.95,weather/example.csv\n", encoding="utf-8"
    )
    answer = edgecheck(*WORDS, folder=desk)
    assert answer.code == 4
    assert "6 cells under 5 headings" in answer.err


def test_verdict_file_is_for_programs(example_run: tuple[Path, object]) -> None:
    path = example_run[0] / "reports" / "sites" / "verdicts.csv"
    data = path.read_bytes()
    assert data.startswith(b"\xef\xbb\xbf")
    assert b"\r" not in data
    with path.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.reader(stream, strict=True))
    assert len({len(row) for row in rows}) == 1
    for row in read_table(path):
        for name in ("headroom_share", "headroom_kw", "liquid_peak_c", "asks_mass_kg", "weather_distance_km"):
            float(row[name])
