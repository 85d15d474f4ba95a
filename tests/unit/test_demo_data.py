"""The demo's list, units and where they are found: enough roofs, five climates, all names resolvable."""

import csv
import math
import tomllib
from collections import Counter
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from edgecheck.base.errors import WeatherRefused
from edgecheck.checks.result import Result
from edgecheck.demo import files
from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.columns import COLUMNS
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.outputs.pages import site_page
from edgecheck.screening.plan import plan_run
from edgecheck.screening.run import Run, screen
from edgecheck.weather.read import read_weather

NEED = load_criteria().need
OWN_COLUMNS = ["Landlord", "Planner note"]
UNITS = ["lapwing-6-dry.toml", "lapwing-6-winter.toml", "lapwing-6.toml"]


@pytest.fixture(scope="module")
def rows() -> list[dict[str, str]]:
    with demo_inputs().sites.open(encoding="utf-8", newline="") as text:
        return list(csv.DictReader(text))


def stations() -> dict[str, tuple[float, float, float]]:
    found = {}
    for path in sorted(climate_files().glob("*.epw")):
        location = path.read_text(encoding="ascii").split("\n", 1)[0].split(",")
        found[path.name] = (float(location[6]), float(location[7]), float(location[9]))
    return found


def kilometres(row: dict[str, str], station: tuple[float, float, float]) -> float:
    """Spherical law of cosines, radius 6371 km."""
    here = (float(row["latitude_deg"]), float(row["longitude_deg"]))
    (a, b), (c, d) = ((math.radians(x), math.radians(y)) for x, y in (here, station[:2]))
    return 6371.0 * math.acos(
        min(1.0, math.sin(a) * math.sin(c) + math.cos(a) * math.cos(c) * math.cos(b - d))
    )


def usable(rows: list[dict[str, str]]) -> list[dict[str, str]]:
    count = Counter(row["site_id"] for row in rows)
    return [
        row
        for row in rows
        if count[row["site_id"]] == 1 and not row["weather"] and abs(float(row["latitude_deg"])) <= 90.0
    ]


def test_the_inputs_are_found_and_readable() -> None:
    inputs = demo_inputs()
    assert inputs.sites.is_file()
    assert inputs.unit.is_file()
    assert len(list(inputs.weather.glob("*.epw"))) == 5


def test_the_list_uses_known_columns_and_two_of_the_planners_own(rows: list[dict[str, str]]) -> None:
    assert [name for name in rows[0] if name not in COLUMNS] == OWN_COLUMNS


def test_there_are_at_least_ten_usable_roofs_in_five_climates(rows: list[dict[str, str]]) -> None:
    good = usable(rows)
    assert len(good) >= 10
    served = {min(stations(), key=lambda name: kilometres(row, stations()[name])) for row in good}
    assert served == set(stations())


def test_usable_roofs_lie_within_100_km_and_500_m_of_their_station_and_two_beyond_the_caution(
    rows: list[dict[str, str]],
) -> None:
    cautioned = 0
    for row in usable(rows):
        station = min(stations().values(), key=lambda place: kilometres(row, place))
        away = kilometres(row, station)
        higher = abs(float(row["elevation_m"] or station[2]) - station[2])
        assert away <= 100.0, row["site_id"]
        assert higher <= 500.0, row["site_id"]
        cautioned += away > 50.0 or higher > 300.0
    assert cautioned == 2


def test_unusable_rows_have_three_different_reasons(rows: list[dict[str, str]]) -> None:
    count = Counter(row["site_id"] for row in rows)
    assert sum(abs(float(row["latitude_deg"] or 0.0)) > 90.0 for row in rows) == 1
    assert sum(count[row["site_id"]] > 1 for row in rows) == 2
    named = ["logger-cut-short.epw", "cycle:a1", "cycle:c1"]
    assert [row["weather"] for row in rows if row["weather"]] == named


def test_design_days_qualify_both_units_and_need_no_position(rows: list[dict[str, str]]) -> None:
    types = [row for row in rows if row["weather"].startswith("cycle:")]
    assert [(row["unit"], row["latitude_deg"], row["longitude_deg"]) for row in types] == [
        ("", "", ""),
        ("lapwing-6-winter.toml", "", ""),
    ]


def test_the_refused_weather_file_is_the_beginning_of_a_whole_one() -> None:
    cut = (demo_inputs().sites.parent / "logger-cut-short.epw").read_text(encoding="ascii").splitlines()
    whole = (climate_files() / "cold-continental.epw").read_text(encoding="ascii").splitlines()
    assert "synthetic, invented for the demo, not a real place; made by make_climates.py" in cut[5]
    assert cut[8:] == whole[8:80]
    assert cut[:5] + cut[7:8] == whole[:5] + whole[7:8]


def test_every_unit_named_by_a_row_lies_beside_the_list(rows: list[dict[str, str]]) -> None:
    folder = demo_inputs().sites.parent
    assert {row["unit"] for row in rows} == {"", "lapwing-6-winter.toml", "lapwing-6-dry.toml"}
    assert sorted(path.name for path in folder.glob("*.toml")) == sorted(UNITS)


def test_the_units_rating_agrees_with_its_table_and_its_limits_are_in_order() -> None:
    """Energy conservation at the condenser: heat rejected = heat taken in + power, within 3 %."""
    unit: dict[str, Any] = tomllib.loads(demo_inputs().unit.read_text(encoding="utf-8"))
    cooling, liquid = unit["cooling"], unit["liquid"]
    row = cooling["liquid_c"].index(cooling["rating_point"][0])
    column = cooling["inlet_air_c"].index(cooling["rating_point"][1])
    rejected = cooling["capacity_kw"][row][column] + cooling["power_kw"][row][column]
    assert rejected == pytest.approx(cooling["rated_heat_rejection_kw"], rel=0.03)
    for line in cooling["capacity_kw"]:
        assert all(warmer < cooler for cooler, warmer in pairwise(line))
    for cold, warm in pairwise(cooling["capacity_kw"]):
        assert all(a < b for a, b in zip(cold, warm, strict=True))
    order = [liquid[key] for key in ("setpoint_c", "service_max_c", "alarm_c", "shutdown_c")]
    assert order == sorted(order)
    assert liquid["setpoint_c"] < liquid["restart_c"] < liquid["shutdown_c"]


def test_the_demo_says_that_it_is_invented() -> None:
    folder = demo_inputs().sites.parent
    for name in UNITS:
        assert "Invented" in (folder / name).read_text(encoding="utf-8").split("schema")[0]


def test_an_installed_copy_finds_the_climates_inside_the_package(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "site-packages" / "edgecheck"
    monkeypatch.setattr(files, "HERE", package / "demo")
    (package / "climates").mkdir(parents=True)
    with pytest.raises(FileNotFoundError, match="climates"):
        climate_files()
    (package.parent / "climates").mkdir()
    (package.parent / "climates" / "a.epw").write_text("", encoding="ascii")
    assert climate_files() == package.parent / "climates"
    (package / "climates" / "a.epw").write_text("", encoding="ascii")
    assert climate_files() == package / "climates"


@pytest.fixture(scope="module")
def run() -> Run:
    inputs = demo_inputs()
    plan = plan_run(load_sites(inputs.sites), unit=load_unit(inputs.unit), weather=inputs.weather)
    return screen(plan, keep_hourly=True)  # with the records behind the reports


@pytest.fixture(scope="module")
def results(run: Run) -> dict[str, Result]:
    """Of the rows that could be decided."""
    return {result.site_id: result for result in run.results if result.verdict != "unusable"}


def status(result: Result, check_id: str) -> str:
    return next(check.status for check in result.checks if check.id == check_id)


def test_the_weather_files_raise_no_flag_and_are_known_as_synthetic() -> None:
    for path in climate_files().glob("*.epw"):
        weather = read_weather(path)
        assert weather.synthetic
        assert weather.flags == ()
        assert weather.sun_offset_min == 30.0
        assert (weather.header is None) == (path.name in ("hot-humid-coast.epw", "high-plateau.epw"))


def test_the_cut_weather_file_is_refused() -> None:
    with pytest.raises(WeatherRefused, match="72 rows"):
        read_weather(demo_inputs().sites.parent / "logger-cut-short.epw")


def test_four_rows_are_unusable_and_say_why(run: Run) -> None:
    reasons = [(one.site_id, one.reason) for one in run.results if one.verdict == "unusable"]
    assert [site_id for site_id, _ in reasons] == ["KH-12", "PM-09", "PM-09", "VM-09"]
    for (_, reason), word in zip(
        reasons, ("latitude_deg", "line 22", "line 21", "logger-cut-short.epw"), strict=True
    ):
        assert word in reason
    assert [name for name, _ in run.weather_sha256] == sorted(
        ["cycle:a1", "cycle:c1", *(path.name for path in climate_files().glob("*.epw"))]
    )


def test_the_verdicts_differ_and_for_different_reasons(results: dict[str, Result]) -> None:
    """Verdict and the check that decides it; one roof, of which everything is known, is a bare go."""
    decided = {site_id: (one.verdict, one.governing_check) for site_id, one in results.items()}
    assert decided == {
        "DS-03": ("conditional", "stability.wind"),
        "DS-04": ("no-go", "heat.headroom"),
        "DS-08": ("no-go", "heat.headroom"),
        "DS-11": ("undecided", "roof.load"),
        "PM-02": ("go", "services.containment"),
        "PM-05": ("no-go", "roof.load"),
        "PM-07": ("no-go", "roof.space"),
        "PM-11": ("no-go", "stability.wind"),
        "KH-01": ("conditional", "stability.wind"),
        "KH-04": ("undecided", "roof.load"),
        "KH-06": ("no-go", "delivery.route"),
        "KH-09": ("no-go", "roof.load"),
        "KH-10": ("no-go", "services.feed"),
        "VM-02": ("no-go", "heat.headroom"),
        "VM-03": ("conditional", "stability.wind"),
        "VM-06": ("conditional", "stability.wind"),
        "AC-01": ("conditional", "stability.wind"),
        "AC-07": ("undecided", "roof.point-load"),
        "DS-14": ("conditional", "environment.class"),
        "PM-14": ("conditional", "environment.corrosion"),
        "TQ-1": ("conditional", "heat.weather"),
        "TQ-2": ("conditional", "heat.weather"),
    }


def test_one_site_leaves_the_class_and_one_is_too_salty_for_the_coating(results: dict[str, Result]) -> None:
    hot = next(check for check in results["DS-14"].checks if check.id == "environment.class")
    assert hot.demand is not None
    assert hot.demand > 100.0
    assert "high air temperature" in hot.note
    assert "The mildest class that holds is 4.2H." in hot.note
    salty = next(check for check in results["PM-14"].checks if check.id == "environment.corrosion")
    assert (salty.status, salty.demand, salty.limit) == ("caution", 6.0, 4.0)
    assert "CX against at most C4" in results["PM-14"].reason


def test_type_qualifications_judge_the_unit_and_no_place(results: dict[str, Result]) -> None:
    for site_id in ("TQ-1", "TQ-2"):
        found = results[site_id]
        assert found.groups["outage"] == "go"
        assert [found.groups[group] for group in ("roof", "stability", "delivery")] == ["not applicable"] * 3
        assert status(found, "heat.station") == status(found, "environment.corrosion") == "not applicable"
        assert "type qualification only" in found.conditions[0]
        assert found.to_survey == ()
    assert status(results["TQ-1"], "heat.headroom") == "pass"
    assert status(results["TQ-1"], "environment.class") == "caution"  # 49 degC against 40 degC
    assert status(results["TQ-2"], "heat.cold-spell") == "pass"


def test_conditions_name_anchors_ballast_and_help_on_the_way_up(results: dict[str, Result]) -> None:
    def conditions(site_id: str) -> str:
        return "; ".join(results[site_id].conditions)

    assert "4 anchors at the feet" in conditions("DS-03")
    assert "in an earthquake" in conditions("KH-01")
    assert "kg fixed to the unit, at friction 0.45" in conditions("AC-01")
    assert "anchors" not in conditions("AC-01")
    assert "delivery: hoist over the hatch" in conditions("VM-06")
    assert "ballast the roof fails" in results["PM-11"].reason
    assert "refused" in results["PM-11"].reason
    assert results["PM-02"].conditions == ()
    assert status(results["PM-02"], "stability.wind") == "pass"


def test_a_dry_cooler_turns_a_verdict_each_way_and_the_report_says_why(results: dict[str, Result]) -> None:
    """In the desert the air is too warm for a bath that floats; in the cold the chiller alone is locked out."""
    assert (results["DS-03"].groups["heat"], results["DS-04"].groups["heat"]) == ("go", "no-go")
    assert (results["VM-02"].groups["heat"], results["VM-03"].groups["heat"]) == ("no-go", "go")
    pages = {site_id: site_page(results[site_id], need=NEED) for site_id in ("DS-04", "VM-03", "VM-02")}
    assert all("Effectiveness, cross-flow" in pages[site_id] for site_id in ("DS-04", "VM-03"))
    assert "Effectiveness, cross-flow" not in pages["VM-02"]
    assert "low-ambient limit" in results["VM-02"].reason
    worst = next(hour for hour in results["DS-04"].worst_hours if hour.spell == "year")
    assert worst.binding == "capacity"


def test_missing_reserves_leave_roofs_undecided_and_are_asked_for(results: dict[str, Result]) -> None:
    for site_id, key in (
        ("DS-11", "roof_reserve_kpa"),
        ("KH-04", "roof_reserve_kpa"),
        ("AC-07", "roof_reserve_point_kn"),
    ):
        assert any(text.startswith(key) for text in results[site_id].to_survey), site_id


def test_one_roof_is_too_small_and_one_has_no_way_up(results: dict[str, Result]) -> None:
    small = next(check for check in results["PM-07"].checks if check.id == "roof.space")
    assert (small.demand, small.limit) == (2.25, 2.1)
    ways = results["KH-06"].detail["roof"]["delivery"]["ways"]
    assert [way["possible"] for way in ways] == [False] * 4


def test_some_groups_are_go(results: dict[str, Result]) -> None:
    for site_id in ("KH-01", "KH-04", "KH-09", "DS-03"):
        assert results[site_id].groups["heat"] == "go"
        assert results[site_id].groups["outage"] == "go"


def test_the_standard_unit_is_locked_out_by_cold_and_the_winter_kit_is_not(
    results: dict[str, Result],
) -> None:
    assert status(results["VM-02"], "heat.operating-range") == "fail"
    assert status(results["VM-02"], "heat.cold-spell") == "fail"
    assert status(results["VM-06"], "heat.operating-range") == "pass"
    assert status(results["VM-06"], "heat.cold-spell") == "pass"


def test_one_roof_fails_by_its_member_and_one_by_the_owners_limit_of_mass(results: dict[str, Result]) -> None:
    member = next(check for check in results["KH-09"].checks if check.id == "roof.load")
    owner = next(check for check in results["PM-05"].checks if check.id == "roof.load")
    assert "member" in member.governed_by
    assert "300 kg" in owner.governed_by
