"""Rows that cannot serve keep their place with a reason; the others are evaluated; exit 4."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from command_line import STATION, Answer, contents, edgecheck, furnish, verdicts, write_list
from weather_files import LATITUDE, LONGITUDE, clear_year, epw_text

WORDS = ("screen", "sites.csv", "--unit", "unit.toml", "--report", "none")
GOOD = {"site_id": "good", **STATION}


def cut(text: str) -> str:
    return "\n".join(text.splitlines()[:4000]) + "\n"


def with_a_hole(text: str) -> str:
    lines = text.splitlines()
    return "\n".join(lines[:5000] + lines[5024:]) + "\n"


def empty(text: str) -> str:
    return ""


def text_in_a_cell(text: str) -> str:
    lines = text.splitlines()
    cells = lines[5000].split(",")
    cells[6] = "warm"
    lines[5000] = ",".join(cells)
    return "\n".join(lines) + "\n"


def shifted_by_four_hours(text: str) -> str:
    lines = text.splitlines()
    rows = [line.split(",") for line in lines[8:]]
    for at, cells in enumerate(rows):
        cells[6:] = lines[8 + (at + 4) % len(rows)].split(",")[6:]
    return "\n".join(lines[:8] + [",".join(cells) for cells in rows]) + "\n"


@pytest.mark.parametrize(
    ("damage", "expected"),
    [
        (cut, "hours are missing"),
        (with_a_hole, "24 hours are missing"),
        (empty, "empty"),
        (text_in_a_cell, "'warm'"),
        (shifted_by_four_hours, "rows are shifted"),
    ],
)
def test_bad_weather_file(desk: Path, damage: Callable[[str], str], expected: str) -> None:
    sound = epw_text(clear_year())
    (desk / "sound.epw").write_text(sound, encoding="ascii")
    (desk / "bad.epw").write_text(damage(sound), encoding="ascii")
    place = {"latitude_deg": LATITUDE, "longitude_deg": LONGITUDE}
    write_list(
        desk / "sites.csv",
        [
            {"site_id": "one", "weather": "bad.epw", **place},
            {"site_id": "two", "weather": "sound.epw", **place},
            {"site_id": "three", "weather": "bad.epw", **place},
        ],
    )
    answer = edgecheck(*WORDS, folder=desk)
    assert answer.code == 4
    assert "Traceback" not in answer.err
    rows = verdicts(desk / "reports" / "sites")
    assert rows["two"]["verdict"] == "undecided"
    assert rows["two"]["heat"] in ("go", "conditional")
    for site_id in ("one", "three"):
        assert rows[site_id]["verdict"] == "unusable"
        assert "bad.epw" in rows[site_id]["reason"]
        assert expected in rows[site_id]["reason"]
        assert f"unusable: {rows[site_id]['reason']}" in answer.err
        assert rows[site_id]["heat"] == ""
    assert "row one (line 2)" in answer.err


BAD_ROWS = {
    "text in a number": ({"it_load_kw": "six"}, ["it_load_kw", "'six'", "number"]),
    "impossible number": ({"roof_reserve_kpa": "-1"}, ["roof_reserve_kpa", "'-1'"]),
    "latitude 95": ({"latitude_deg": "95"}, ["latitude_deg", "'95'"]),
    "coordinates missing": ({"latitude_deg": ""}, ["latitude_deg", "the required value is missing"]),
    "weather file missing": ({"weather": "gone.epw"}, ["weather", "no file 'gone.epw'"]),
    "weather is a folder": ({"weather": "weather"}, ["weather", "is a folder"]),
    "no weather named": ({"weather": ""}, ["no weather", "--weather"]),
    "design day": ({"weather": "cycle:hot"}, ["no design day 'hot'", "cycle:a1"]),
    "500 km from its weather": (
        {"latitude_deg": "40.6"},
        ["500 km from the weather file example.csv", "300 km"],
    ),
    "load above the unit's": ({"it_load_kw": "9.5"}, ["it_load_kw", "'9.5'", "9 kW"]),
    "choice that is none": ({"roof_surface": "drak"}, ["roof_surface", "did you mean dark?"]),
    "huge number": ({"elevation_m": "1e400"}, ["elevation_m", "the number is too large"]),
    "not a number": ({"elevation_m": "NaN"}, ["elevation_m", "a number in m is needed"]),
    "columns of the other standard": (
        {"load_standard": "en", "asce_wind_speed_m_s": "51"},
        ["load_standard", "asce_wind_speed_m_s"],
    ),
}


@pytest.fixture(scope="module")
def bad_rows(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Answer]:
    """The run of a list of all bad rows, each under its own name, and one good row at its end."""
    desk = furnish(tmp_path_factory.mktemp("bad rows") / "desk")
    rows = [{"site_id": case, **STATION, **change} for case, (change, _) in BAD_ROWS.items()]
    write_list(desk / "sites.csv", [*rows, GOOD])
    return desk / "reports" / "sites", edgecheck(*WORDS, folder=desk)


@pytest.mark.parametrize("case", BAD_ROWS)
def test_bad_row(bad_rows: tuple[Path, Answer], case: str) -> None:
    run, answer = bad_rows
    line = 2 + list(BAD_ROWS).index(case)
    row = verdicts(run)[case]
    assert row["verdict"] == "unusable"
    assert row["rank"] == str(line)
    for part in (f"sites.csv, row {case} (line {line})", *BAD_ROWS[case][1]):
        assert part in row["reason"]
    said = [text for text in answer.err.splitlines() if f"row {case} (line {line})" in text]
    assert len(said) == 1
    for part in BAD_ROWS[case][1]:
        assert part in said[0]


def test_bad_rows_leave_the_good_one_alone(bad_rows: tuple[Path, Answer]) -> None:
    run, answer = bad_rows
    assert answer.code == 4
    assert "Traceback" not in answer.err
    good = verdicts(run)["good"]
    assert (good["verdict"], good["rank"]) == ("undecided", "1")
    counts = json.loads((run / "run.json").read_text(encoding="utf-8"))["counts"]
    assert (counts["usable"], counts["unusable"]) == (1, len(BAD_ROWS))


@pytest.mark.parametrize("case", BAD_ROWS)
def test_strict_list_refuses_the_whole_list(desk: Path, case: str) -> None:
    change, expected = BAD_ROWS[case]
    write_list(desk / "sites.csv", [{"site_id": "bad", **STATION, **change}, GOOD])
    before = contents(desk)
    answer = edgecheck(*WORDS, "--strict-list", folder=desk)
    assert answer.code == 2
    assert contents(desk) == before
    for part in ("row bad (line 2)", *expected):
        assert part in answer.err


def test_strict_list_refuses_a_list_with_a_bad_weather_file(desk: Path) -> None:
    (desk / "bad.epw").write_text(cut(epw_text(clear_year())), encoding="ascii")
    write_list(desk / "sites.csv", [GOOD, {**GOOD, "site_id": "bad", "weather": "bad.epw"}])
    before = contents(desk)
    answer = edgecheck(*WORDS, "--strict-list", folder=desk)
    assert answer.code == 2
    assert "row bad (line 3), weather: 'bad.epw'" in answer.err
    assert contents(desk) == before


def test_strict_list_lets_a_sound_list_pass(desk: Path) -> None:
    write_list(desk / "sites.csv", [GOOD])
    assert edgecheck(*WORDS, "--strict-list", folder=desk).code == 0


def test_strict_gives_3_and_a_bad_row_4(desk: Path) -> None:
    write_list(desk / "sites.csv", [GOOD])
    assert edgecheck(*WORDS, "--strict", folder=desk).code == 3
    write_list(desk / "sites.csv", [GOOD, {**GOOD, "site_id": "bad", "latitude_deg": "x"}])
    assert edgecheck(*WORDS, "--strict", "--overwrite", folder=desk).code == 4


def test_every_row_with_the_same_id_is_unusable(desk: Path) -> None:
    write_list(desk / "sites.csv", [GOOD, {**GOOD, "site_id": "twin"}, {**GOOD, "site_id": "twin"}])
    answer = edgecheck(*WORDS, folder=desk)
    assert answer.code == 4
    assert answer.out.startswith("1 undecided, 2 unusable")
    assert "row twin (line 3)" in answer.err
    assert "row twin (line 4)" in answer.err


def test_run_is_written_when_every_weather_file_is_refused(desk: Path) -> None:
    (desk / "bad.epw").write_text("nothing of use\n", encoding="ascii")
    write_list(desk / "sites.csv", [{**GOOD, "weather": "bad.epw"}])
    assert edgecheck(*WORDS, folder=desk).code == 4
    assert (desk / "reports" / "sites" / "run.json").is_file()


def test_one_bad_row_of_a_site_command(desk: Path) -> None:
    write_list(desk / "sites.csv", [GOOD, {**GOOD, "site_id": "bad", "it_load_kw": "9.5"}])
    answer = edgecheck("site", "sites.csv", "bad", "--unit", "unit.toml", folder=desk)
    assert answer.code == 4
    assert answer.out.startswith("bad: unusable. sites.csv, row bad (line 3), it_load_kw")


def test_bad_cell_that_only_feeds_checks_to_confirm_leaves_the_row_usable(desk: Path) -> None:
    write_list(desk / "sites.csv", [{**GOOD, "neighbour_distance_m": "near"}])
    assert edgecheck(*WORDS, folder=desk).code == 0


def test_files_of_a_weather_folder_that_are_left_out_are_named(desk: Path) -> None:
    (desk / "weather" / "half.epw").write_text("LOCATION,half", encoding="ascii")
    write_list(desk / "sites.csv", [{**GOOD, "weather": ""}])
    answer = edgecheck(*WORDS, "--weather", "weather", folder=desk)
    assert answer.code == 0
    assert "left out" in answer.err
    assert "half.epw" in answer.err
