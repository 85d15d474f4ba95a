"""Equal inputs give equal bytes, whatever the time zone, locale, hash seed, folder or order of work."""

import json
import shutil
from pathlib import Path

import pytest
import xarray as xr
from command_line import EXAMPLES, STATION, Answer, apart, contents, edgecheck, write_list


def lasting(run: Path) -> dict[str, bytes | None]:
    """Everything of a run that must not differ."""
    return {
        name: data
        for name, data in contents(run).items()
        if name != "run-log.json" and not name.endswith(".nc")
    }


def test_two_runs_far_apart_give_the_same_bytes(example_run: tuple[Path, Answer], tmp_path: Path) -> None:
    first = example_run[0] / "reports" / "sites"
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    copy = tmp_path / "a copy"
    shutil.copytree(example_run[0], copy, ignore=shutil.ignore_patterns("reports"))
    answer = apart(
        *(
            "screen",
            copy / "sites.csv",
            "--unit",
            copy / "unit.toml",
            "--hourly",
            f"--out={tmp_path / 'second'}",
        ),
        folder=elsewhere,
        TZ="Asia/Kolkata",
        LC_ALL="C",
        PYTHONHASHSEED="1",
        PYTHONUTF8="0",
    )
    assert answer.code == 0, answer.err
    assert contents(elsewhere) == {}
    second = tmp_path / "second"
    assert lasting(second).keys() == lasting(first).keys()
    for name, data in lasting(first).items():
        assert lasting(second)[name] == data, name
    for site in ("R-001", "R-003"):
        with (
            xr.open_dataset(first / "sites" / site / "hourly.nc") as one,
            xr.open_dataset(second / "sites" / site / "hourly.nc") as other,
        ):
            assert one.identical(other)


def test_the_log_alone_tells_time_and_machine(example_run: tuple[Path, Answer]) -> None:
    run = example_run[0] / "reports" / "sites"
    log = json.loads((run / "run-log.json").read_text(encoding="utf-8"))
    assert {"started", "finished", "machine", "python"} <= log.keys()
    for name, data in lasting(run).items():
        for word in (log["started"], log["finished"][:10], str(example_run[0])):
            assert data is None or word.encode() not in data, name


def test_the_command_is_recorded_without_folders_and_places(desk: Path) -> None:
    shutil.copyfile(EXAMPLES / "sites.csv", desk / "sites.csv")
    words = (
        "screen",
        "--report",
        "none",
        desk / "sites.csv",
        "--unit",
        desk / "unit.toml",
        "--out",
        desk / "x",
    )
    assert edgecheck(*words, "--strict", folder=desk).code == 3
    record = json.loads((desk / "x" / "run.json").read_text(encoding="utf-8"))
    assert record["command"] == ["screen", "--report", "none", "sites.csv", "--unit", "unit.toml", "--strict"]


@pytest.mark.usefixtures("figures")
def test_order_of_the_list_does_not_change_a_site(desk: Path) -> None:
    rows = [
        {"site_id": "low", **STATION, "elevation_m": 100, "roof_surface": "light"},
        {"site_id": "high", **STATION, "elevation_m": 700, "roof_surface": "light", "it_load_kw": 8},
        {"site_id": "shade", **STATION, "canopy_transmittance": 0, "horizon": "90:20 180:40 270:10"},
        {"site_id": "plain", **STATION},
    ]
    found = []
    for name, order in (("there", rows), ("back", rows[::-1])):
        write_list(desk / f"{name}.csv", order)
        assert edgecheck("screen", f"{name}.csv", "--unit", "unit.toml", folder=desk).code == 0
        found.append(contents(desk / "reports" / name / "sites"))
    there, back = found
    assert there.keys() == back.keys()
    for name, data in there.items():
        if name.endswith("site.json"):
            one, other = (json.loads(text) for text in (data or b"", back[name] or b""))
            for site in (one, other):
                del site["row"], site["detail"]["hashes"]["site list"]
            assert one == other, name
        elif name.endswith("checks.csv"):
            assert back[name] == data, name


def test_two_files_of_one_name_are_both_recorded(desk: Path) -> None:
    text = (desk / "weather" / "example.csv").read_text(encoding="ascii")
    (desk / "other").mkdir()
    (desk / "other" / "example.csv").write_text(text.replace("GREENSBORO", "GREENSBURG"), encoding="ascii")
    rows = [{"site_id": "A", **STATION}, {"site_id": "B", **STATION, "weather": "other/example.csv"}]
    write_list(desk / "sites.csv", rows)
    assert edgecheck("screen", "sites.csv", "--unit", "unit.toml", "--report", "none", folder=desk).code == 0
    record = json.loads((desk / "reports" / "sites" / "run.json").read_text(encoding="utf-8"))
    weather = [entry for entry in record["inputs"] if entry["role"] == "weather"]
    assert [entry["file"] for entry in weather] == ["example.csv", "example.csv"]
    assert len({entry["sha256"] for entry in weather}) == 2
