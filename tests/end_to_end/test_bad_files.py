"""Files that cannot serve: exit 2, one readable message, no traceback, nothing written."""

from collections.abc import Callable
from pathlib import Path

import pytest
from command_line import EXAMPLES, STATION, contents, edgecheck, write_list

HEAD = "site_id,latitude_deg,longitude_deg,weather\n"
ROW = "A,36.10,-79.95,weather/example.csv\n"
UNIT = (EXAMPLES / "unit.toml").read_text(encoding="utf-8")

LISTS = {
    "empty": ("", ["the file is empty"]),
    "header only": (HEAD, ["the list has headings but no row"]),
    "column missing": (
        "site_id,latitude_deg,weather\nA,36.1,weather/example.csv\n",
        ["longitude_deg", "the required column is missing"],
    ),
    "text in the only row": (
        HEAD + "A,north,-79.95,\n",
        ["row A (line 2)", "latitude_deg", "'north'", "number"],
    ),
    "latitude 95 in the only row": (HEAD + "A,95,-79.95,\n", ["row A (line 2)", "'95'", "-90 to 90 deg"]),
    "column twice": ("site_id," + HEAD + "A," + ROW, ["site_id", "the column is there twice"]),
    "metres and feet": (
        HEAD.replace("weather", "elevation_m,elevation_ft") + "A,36.1,-79.95,1,3\n",
        ["elevation_m", "the same quantity is also in elevation_ft"],
    ),
    "open quote": (
        HEAD + ROW + 'B,36.1,-79.95,"weather\n',
        ["a quoted cell does not end properly", "line 3"],
    ),
    "not text": ("\x00\x01\x02", ["not a text file"]),
    "workbook": ("PK\x03\x04sheet", ["workbook", "CSV"]),
    "id twice in the only rows": (HEAD + ROW + ROW, ["row A (line 2)", "the id is also on line 3"]),
}


def unit(old: str, new: str) -> str:
    assert UNIT.count(old) == 1
    return UNIT.replace(old, new)


UNITS = {
    "unknown key": (unit("setpoint_c =", "setpont_c ="), ["liquid.setpont_c", "did you mean setpoint_c?"]),
    "unknown table": (unit("[servers]", "[sevrers]"), ["sevrers", "did you mean servers?"]),
    "ragged table": (
        unit("[9.0, 8.6, 8.0,", "[9.0, 8.6,"),
        ["cooling.capacity_kw", "row 2 has 5 values", "6"],
    ),
    "setpoint above alarm": (
        unit("setpoint_c = 40.0 ", "setpoint_c = 56.0 "),
        ["liquid.setpoint_c", "alarm_c, 55"],
    ),
    "not a number": (unit("length_m = 1.20 ", "length_m = nan "), ["body.length_m", "finite number"]),
    "text for a number": (
        unit("length_m = 1.20 ", 'length_m = "1.2" '),
        ["body.length_m", "a number is needed"],
    ),
    "unknown liquid": (
        unit('"synthetic-hydrocarbon-4"', '"tap-water"'),
        ["liquid.family", "'tap-water'", "mineral-oil"],
    ),
    "unknown kind": (unit('"chiller"', '"chillr"'), ["cooling.kind", "did you mean chiller?"]),
    "rating does not close": (
        unit("rated_heat_rejection_kw = 10.9", "rated_heat_rejection_kw = 13"),
        ["rated_heat"],
    ),
    "later schema": (unit("schema = 1", "schema = 2"), ["schema", "this program reads schema 1"]),
    "no feet": (unit("feet_m = [[0.06, 0.06], [1.14, 0.06],", "feet_m = [[0.06, 0.06]] #"), ["mass.feet_m"]),
    "feet in millimetres": (
        unit("foot_height_m = 0.08", "foot_height_m = 80"),
        ["body.foot_height_m", "less than height_m, 1.15"],
    ),
    "centre of gravity over the lid": (
        unit("centre_of_gravity_m = [0.62, 0.41, 0.47]", "centre_of_gravity_m = [0.62, 0.41, 1.20]"),
        ["mass.centre_of_gravity_m", "0 to 1.15 m"],
    ),
    "number beyond reason": (
        unit("airflow_m3_s = 1.30", "airflow_m3_s = 1e308"),
        ["cooling.airflow_m3_s", "must be 1e+06 or less"],
    ),
    "leakage in percent": (
        unit("leakage_share_per_k = 0.0", "leakage_share_per_k = 2.0"),
        ["servers.leakage_share_per_k", "0.1 or less"],
    ),
    "kind is a list": (unit('kind = "chiller"', "kind = [1]"), ["cooling.kind", "chiller, dry-cooler or"]),
    "kind is missing": (unit('kind = "chiller"', ""), ["cooling.kind", "is missing"]),
    "power factor 0": (
        unit("power_factor = 0.95", "power_factor = 0.0"),
        ["electrical.power_factor", "greater than 0"],
    ),
    "not TOML": ("name = Heron\n", ["line 1", "TOML"]),
    "empty": ("", ["cooling: the table is missing"]),
    "one section stands by": (
        unit('part_load = "on-off"', 'section_duty = "standby"\npart_load = "on-off"'),
        ["cooling.section_duty", "at least two sections"],
    ),
}


def refuse(folder: Path, *words: object) -> str:
    """Run, and make sure that the run was refused as it should be; the message."""
    before = contents(folder)
    answer = edgecheck(*words, folder=folder)
    assert answer.code == 2, answer.err
    assert answer.out == ""
    assert "Traceback" not in answer.err
    assert contents(folder) == before
    return answer.err


@pytest.mark.parametrize("case", LISTS)
def test_list(desk: Path, case: str) -> None:
    text, expected = LISTS[case]
    (desk / "sites.csv").write_text(text, encoding="utf-8", newline="")
    message = refuse(desk, "screen", "sites.csv", "--unit", "unit.toml")
    assert "sites.csv" in message
    for part in expected:
        assert part in message


@pytest.mark.parametrize("case", UNITS)
def test_unit(desk: Path, case: str) -> None:
    text, expected = UNITS[case]
    (desk / "own.toml").write_text(text, encoding="utf-8")
    (desk / "sites.csv").write_text(HEAD + ROW, encoding="utf-8")
    message = refuse(desk, "screen", "sites.csv", "--unit", "own.toml")
    assert "own.toml" in message
    for part in expected:
        assert part in message


def test_unit_named_in_the_list_is_judged_before_anything_is_computed(desk: Path) -> None:
    (desk / "own.toml").write_text(UNITS["unknown key"][0], encoding="utf-8")
    write_list(
        desk / "sites.csv", [{"site_id": "A", **STATION}, {"site_id": "B", "unit": "own.toml", **STATION}]
    )
    assert "did you mean setpoint_c?" in refuse(desk, "screen", "sites.csv", "--unit", "unit.toml")


def test_all_faults_are_told_at_once(desk: Path) -> None:
    (desk / "own.toml").write_text(
        unit("length_m = 1.20 ", "length_m = -1 ").replace("pump_kw", "pmp_kw"), "utf-8"
    )
    rows = [{"site_id": "A", "unit": "own.toml", **STATION}, {"site_id": "B", **STATION}]
    write_list(desk / "sites.csv", rows)
    message = refuse(desk, "screen", "sites.csv")
    for part in ("body.length_m", "cooling.pmp_kw", "row B (line 3)", "no unit"):
        assert part in message


COMMANDS: dict[str, tuple[tuple[str, ...], list[str]]] = {
    "no unit at all": (("screen", "sites.csv"), ["row A (line 2)", "no unit", "--unit"]),
    "no such unit": (("screen", "sites.csv", "--unit", "nobody.toml"), ["nobody.toml", "cannot be read"]),
    "unit is a folder": (("screen", "sites.csv", "--unit", "weather"), ["weather", "cannot be read"]),
    "no such list": (("screen", "nolist.csv", "--unit", "unit.toml"), ["nolist.csv", "cannot be read"]),
    "list is a folder": (("screen", "weather", "--unit", "unit.toml"), ["weather", "cannot be read"]),
    "unknown criteria": (
        ("screen", "sites.csv", "--unit", "unit.toml", "--criteria", "fulll"),
        ["fulll", "full and first-pass", "did you mean full?"],
    ),
    "criteria that are none": (
        ("screen", "sites.csv", "--unit", "unit.toml", "--criteria", "unit.toml"),
        ["unit.toml", "unknown"],
    ),
    "no such weather": (
        ("screen", "sites.csv", "--unit", "unit.toml", "--weather", "nowhere"),
        ["nowhere", "no such file or folder"],
    ),
    "weather folder without weather": (
        ("screen", "sites.csv", "--unit", "unit.toml", "--weather", "."),
        ["--weather", "the folder has no weather file"],
    ),
    "report nonsense": (
        ("screen", "sites.csv", "--unit", "unit.toml", "--report", "nonsense"),
        ["--report", "'nonsense' is no verdict", "all, none"],
    ),
    "no such id": (
        ("site", "sites.csv", "Z", "--unit", "unit.toml"),
        ["'Z'", "no row of the list has this id"],
    ),
    "no such command": (("scren",), ["scren"]),
    "no such option": (("screen", "sites.csv", "--unti", "unit.toml"), ["--unti"]),
    "argument missing": (("screen",), ["SITES"]),
    "weather that is none": (("weather", "unit.toml"), ["unit.toml", "EPW, TMY2, TMY3"]),
    "weather that is missing": (("weather", "nowhere.epw"), ["nowhere.epw", "no such file"]),
    "weather is a folder": (("weather", "weather"), ["weather", "cannot be read"]),
    "unit that is none": (("unit", "sites.csv"), ["sites.csv", "TOML"]),
}


@pytest.mark.parametrize("case", COMMANDS)
def test_command(desk: Path, case: str) -> None:
    (desk / "sites.csv").write_text(HEAD + ROW, encoding="utf-8")
    words, expected = COMMANDS[case]
    message = refuse(desk, *words)
    for part in expected:
        assert part in message


def foreign(folder: Path) -> None:
    folder.mkdir()
    (folder / "holiday.txt").write_text("mine", encoding="utf-8")


def foreign_log(folder: Path) -> None:
    folder.mkdir()
    (folder / "run-log.json").write_text('{"program": "another"}', encoding="utf-8")


def a_file(folder: Path) -> None:
    folder.write_text("mine", encoding="utf-8")


def below_a_file(folder: Path) -> None:
    folder.parent.joinpath("taken").write_text("mine", encoding="utf-8")


@pytest.mark.parametrize("overwrite", [False, True])
@pytest.mark.parametrize(
    ("prepare", "out"),
    [(foreign, "out"), (foreign_log, "out"), (a_file, "out"), (below_a_file, "taken/run"), (foreign, ".")],
)
def test_folder_that_is_not_ours(
    desk: Path, prepare: Callable[[Path], None], out: str, overwrite: bool
) -> None:
    (desk / "sites.csv").write_text(HEAD + ROW, encoding="utf-8")
    prepare(desk / "out")
    words = ["screen", "sites.csv", "--unit", "unit.toml", "--out", out]
    message = refuse(desk, *words, *(["--overwrite"] if overwrite else []))
    assert "Errno" not in message
    assert out.partition("/")[0] in message
