"""The shipped examples, screened as their README tells people to."""

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from command_line import EXAMPLES, Answer, contents, edgecheck, read_table, verdicts

from edgecheck.outputs.folder import RunFolder

TOP = {
    "index.html",
    "verdicts.csv",
    "verdicts.xlsx",
    "survey.csv",
    "sites.geojson",
    "run.json",
    "run-log.json",
    "results.jsonl",
    "sites",
}
REPORT = {"site.json", "checks.csv", "worst-hour.html"}
HOURLY = {"hourly.csv", "hourly.nc", "hot-spell.csv"}
GRAVITY = 9.80665


def test_it_ran_and_said_where(example_run: tuple[Path, Answer]) -> None:
    _, answer = example_run
    assert answer.code == 0
    assert answer.out.splitlines()[0] == "1 conditional, 1 undecided, 1 no-go"
    assert "index.html" in answer.out
    assert "Traceback" not in answer.err


def test_the_run_folder_is_complete(example_run: tuple[Path, Answer]) -> None:
    run = example_run[0] / "reports" / "sites"
    assert {path.name for path in run.iterdir()} == TOP
    assert {path.name for path in (run / "sites").iterdir()} == {"R-001", "R-002", "R-003"}
    for site in (run / "sites").iterdir():
        assert {path.name for path in site.iterdir()} == REPORT | HOURLY


def test_first_site_is_conditional_for_its_roof(example_run: tuple[Path, Answer]) -> None:
    row = verdicts(example_run[0] / "reports" / "sites")["R-001"]
    assert (row["verdict"], row["heat"], row["outage"]) == ("conditional", "go", "go")
    assert row["roof"] == "conditional"
    assert row["governing_check"] == "stability.wind"
    assert "anchors" in row["conditions"]
    assert "spreader" in row["conditions"]
    assert (row["stability"], row["services"]) == ("conditional", "conditional")


def test_site_with_coordinates_only_separates_heat_from_roof(example_run: tuple[Path, Answer]) -> None:
    row = verdicts(example_run[0] / "reports" / "sites")["R-003"]
    assert row["verdict"] == "undecided"
    assert row["heat"] in ("go", "conditional")
    assert row["roof"] == "undecided"
    assert "roof_reserve_kpa" in row["to_survey"]
    assert "roof_reserve_point_kn" in row["to_survey"]


def test_asks_are_filled_where_nothing_is_known_of_the_roof(example_run: tuple[Path, Answer]) -> None:
    row = verdicts(example_run[0] / "reports" / "sites")["R-003"]
    mass = float(row["asks_mass_kg"])
    # Synthetic hydrocarbon of 4 mm2/s: 0.80 to 0.84 kg/l between 0 and 40 degC (from memory), 118 l of it.
    assert 176 + 38 + 118 * 0.80 < mass < 176 + 38 + 118 * 0.84
    assert float(row["asks_kpa"]) == pytest.approx(mass * GRAVITY / (1.20 * 0.80) / 1000, rel=1e-6)
    # Four feet: one takes at least a quarter of the weight and, on an uneven roof, no more than all of it.
    assert 0.25 * mass * GRAVITY < 1000 * float(row["asks_point_kn"]) < mass * GRAVITY
    assert float(row["asks_area_m2"]) > 1.20 * 0.80
    # 6 kW of servers and a compressor at most 3.5 kW, 230 V, power factor 0.95.
    assert 6000 / (230 * 0.95) < float(row["asks_ampere"]) < 9680 / (230 * 0.95)


def test_own_cells_come_back_as_written(example_run: tuple[Path, Answer]) -> None:
    with (EXAMPLES / "sites.csv").open(encoding="utf-8", newline="") as stream:
        given = list(csv.reader(stream))
    with (example_run[0] / "reports" / "sites" / "verdicts.csv").open(
        encoding="utf-8-sig", newline=""
    ) as stream:
        found = list(csv.reader(stream))
    assert [row[: len(given[0])] for row in found] == given


def test_ranks_have_no_ties(example_run: tuple[Path, Answer]) -> None:
    rows = verdicts(example_run[0] / "reports" / "sites")
    assert sorted(row["rank"] for row in rows.values()) == ["1", "2", "3"]
    assert rows["R-001"]["rank"] == "1"


def test_checks_table_names_source_and_need_of_every_check(example_run: tuple[Path, Answer]) -> None:
    rows = read_table(example_run[0] / "reports" / "sites" / "sites" / "R-001" / "checks.csv")
    assert {"heat.headroom", "heat.hot-spell", "outage.cooling-lost", "roof.load", "roof.point-load"} <= {
        row["id"] for row in rows
    }
    assert all(row["basis"] and row["confidence"] and row["need"] for row in rows)


def test_record_of_the_run(example_run: tuple[Path, Answer]) -> None:
    record = json.loads((example_run[0] / "reports" / "sites" / "run.json").read_text(encoding="utf-8"))
    assert record["schema"] == 1
    assert record["command"] == ["screen", "sites.csv", "--unit", "unit.toml", "--hourly"]
    assert {entry["role"]: entry["file"] for entry in record["inputs"]} == {
        "sites": "sites.csv",
        "unit": "unit.toml",
        "weather": "example.csv",
    }
    assert (record["counts"]["usable"], record["counts"]["unusable"]) == (3, 0)


def test_one_site_alone_writes_the_same_bytes(example_run: tuple[Path, Answer], tmp_path: Path) -> None:
    folder = example_run[0]
    words = ("site", "sites.csv", "R-001", "--unit", "unit.toml", "--hourly", "--out", tmp_path / "one")
    answer = edgecheck(*words, folder=folder)
    assert answer.code == 0
    assert answer.out.startswith("R-001: conditional. ")
    together = contents(folder / "reports" / "sites" / "sites" / "R-001")
    alone = contents(tmp_path / "one" / "sites" / "R-001")
    assert alone.keys() == together.keys()
    for name in together.keys() - {"hourly.nc"}:
        assert alone[name] == together[name], name


def test_log_comes_first_and_mark_of_a_finished_run_last(desk: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written = []
    write = RunFolder._write

    def noted(self: RunFolder, name: str, fill: Callable[[Path], Any], site: str | None) -> Path:
        written.append(name)
        return write(self, name, fill, site)

    monkeypatch.setattr(RunFolder, "_write", noted)
    (desk / "sites.csv").write_bytes((EXAMPLES / "sites.csv").read_bytes())
    assert edgecheck("site", "sites.csv", "R-001", "--unit", "unit.toml", folder=desk).code == 0
    assert written[0] == "run-log.json"
    assert written[-1] == "run.json"
    assert {"site.json", "worst-hour.html", "verdicts.csv"} <= set(written[1:-1])


def test_the_second_site_fails_on_its_feed(example_run: tuple[Path, Answer]) -> None:
    row = verdicts(example_run[0] / "reports" / "sites")["R-002"]
    assert (row["verdict"], row["governing_check"], row["services"]) == ("no-go", "services.feed", "no-go")
    # 8.51 kW at 230 V and cos phi 0.95 make 38.9 A in the hot hour of a hotter place; NEC asks 1.25 times that of 32 A
    assert 36.0 < float(row["asks_ampere"]) < 41.0
