"""Design days: the reader, rows that name one, and what a type qualification is and is not."""

from pathlib import Path

import numpy as np
import pytest
from page_parts import Page
from site_cases import CRITERIA, UNIT, unit_with

from edgecheck.base.errors import InputFaults, WeatherRefused
from edgecheck.base.liquids import liquids
from edgecheck.chain import Station, qualify
from edgecheck.checks.result import Result
from edgecheck.demo.files import climate_files
from edgecheck.heat.machine import machine
from edgecheck.heat.periodic import settled_day
from edgecheck.heat.place import place_of
from edgecheck.heat.site_heat import site_heat
from edgecheck.inputs.sites import Site, load_sites
from edgecheck.outputs.pages import site_page
from edgecheck.screening.plan import plan_run
from edgecheck.screening.run import screen
from edgecheck.weather.read import read_weather
from edgecheck.weather.readers.design_day import shipped_days

LIQUID = liquids()["synthetic-hydrocarbon-4"]
DAYS = tuple(shipped_days())
OWN = Path(shipped_days()["a1"]).read_text(encoding="utf-8")


def row(**values: object) -> Site:
    return Site(row=2, site_id="TQ", values={"weather": "cycle:a1", **values})  # type: ignore[dict-item]


def decided(name: str, **values: object) -> Result:
    return qualify(row(**values), UNIT, Station.of(read_weather(f"cycle:{name}")), CRITERIA)


def status(result: Result, check_id: str) -> str:
    return next(check.status for check in result.checks if check.id == check_id)


# ------------------------------------------------------------------------------------------------- reader


def test_names_are_read_in_any_case_and_an_unknown_one_names_the_known():
    assert read_weather("Cycle: A1 ").name == "cycle:a1"
    with pytest.raises(WeatherRefused, match=r"there is no design day 'hot'; known: cycle:a1, cycle:a2"):
        read_weather("cycle:hot")


@pytest.mark.parametrize("name", DAYS)
def test_a_shipped_day_is_complete_and_bears_the_name_of_its_file(name):
    weather = read_weather(f"cycle:{name}")
    assert weather.cycle is not None
    assert weather.cycle.name == name
    assert weather.cycle.source
    assert weather.cycle.wind_source
    assert weather.flags == ()
    assert len(weather.notes) == 4


@pytest.mark.parametrize(
    "old, new, words",
    [
        ("latitude_deg = 32.0", "latitude_deg = 95.0", "latitude_deg: a number from -90 to 90"),
        ("month = 6", "month = 2.5", "month: a whole number"),
        ("day = 21", "day = 31", "day: month and day are no date"),
        ('title = "A1, hot dry"', "title = 3", "title: text in quotes"),
        ("  [16, 49, 730, 3, 4],\n", "", "24 rows are needed"),
        ("[16, 49, 730, 3, 4]", "[17, 49, 730, 3, 4]", "rows, hour 16"),
        ("[16, 49, 730, 3, 4]", "[16, 49, 730, 0, 4]", "hour 16, relative_humidity: a number from 1 to 100"),
        ("[16, 49, 730, 3, 4]", "[16, 149, 730, 3, 4]", "hour 16, temp_air_c"),
        ("[16, 49, 730, 3, 4]", "[16, 49, true, 3, 4]", "hour 16, ghi_w_m2"),
        ('"wind_speed_m_s"]', '"wind"]', "columns: must be"),
        ("rows = [", "rows = [[", "no valid TOML"),
    ],
)
def test_a_wrong_file_is_refused_with_its_place(tmp_path, old, new, words):
    path = tmp_path / "own.toml"
    assert old in OWN
    path.write_text(OWN.replace(old, new), encoding="utf-8")
    with pytest.raises(WeatherRefused) as refused:
        read_weather(path)
    assert words.split(": ")[-1] in str(refused.value)
    assert words.split(": ")[0] in str(refused.value)


def test_a_day_of_ones_own_is_read_like_a_shipped_one(tmp_path):
    path = tmp_path / "own.toml"
    path.write_text(OWN.replace('name = "a1"', 'name = "own"'), encoding="utf-8")
    assert read_weather(path).name == "cycle:own"


# --------------------------------------------------------------------------------------------- repetition


@pytest.mark.parametrize("name", DAYS)
@pytest.mark.parametrize("load", [200.0, 6000.0, 9000.0])
def test_the_day_repeats_itself_within_a_microkelvin(name, load):
    """One more day run from its end, whatever it carried over, gives the same course."""
    station = Station.of(read_weather(f"cycle:{name}"))
    unit = machine(UNIT, LIQUID, load, CRITERIA.outage.site_visit_hours)
    heat = site_heat(place_of(row(), station), unit, CRITERIA.heat)
    assert heat.settling is not None
    assert heat.settling.settled
    assert heat.settling.change < 1e-6
    course = heat.year.course
    assert course.liquid.shape == (24,)
    if not course.servers_off.any():
        from edgecheck.heat.balance import march

        again = march(heat.year.curve, heat.year.load, unit.bath, float(course.liquid[-1]))
        assert np.max(np.abs(again.liquid - course.liquid)) < 1e-6


def test_a_heavy_bath_takes_many_days_and_still_settles():
    """0.2 kW in 1000 l, cold: a time constant of days; the liquid falls far below the setpoint."""
    heavy = unit_with(liquid={"volume_litre": 1000.0})
    station = Station.of(read_weather("cycle:c1"))
    unit = machine(heavy, LIQUID, 200.0, CRITERIA.outage.site_visit_hours)
    heat = site_heat(place_of(row(), station), unit, CRITERIA.heat)
    assert heat.settling is not None
    assert heat.settling.days > 30
    assert heat.settling.settled
    assert heat.year.course.liquid.max() < 30.0


def test_servers_that_stop_stay_stopped_from_day_to_day():
    """C2 is below the example unit's low-ambient limit all day: without capacity nothing starts again."""
    station = Station.of(read_weather("cycle:c2"))
    unit = machine(UNIT, LIQUID, 6000.0, CRITERIA.outage.site_visit_hours)
    heat = site_heat(place_of(row(), station), unit, CRITERIA.heat)
    assert heat.year.course.servers_off.sum() == pytest.approx(24 * 3600.0)
    assert heat.year.course.stops == 1
    again, settling = settled_day(heat.year.surroundings, unit)
    assert settling.settled
    assert np.array_equal(again.liquid, heat.year.course.liquid)


# --------------------------------------------------------------------------------------- no place, no roof


def test_no_position_no_distance_and_no_elevation_are_needed():
    found = decided("a2")
    assert found.figures["weather_distance_km"] is None
    assert status(found, "heat.station") == "not applicable"
    assert not any(entry["key"] in ("elevation_m", "latitude_deg") for entry in found.inputs)


def test_a_far_away_position_is_no_fault():
    assert decided("a2", latitude_deg=-80.0, longitude_deg=170.0).verdict == "conditional"


def test_the_row_s_elevation_thins_the_air_and_shifts_nothing():
    low, high = decided("a2"), decided("a2", elevation_m=2000.0)
    assert low.hourly is not None
    assert high.hourly is not None
    assert np.array_equal(low.hourly["temp_air"], high.hourly["temp_air"])
    assert float(high.hourly["equivalent_inlet"].max()) > float(low.hourly["equivalent_inlet"].max()) + 1.0


@pytest.mark.parametrize("name", ["a2", "b3", "cold-wet"])
def test_it_is_never_go_and_says_why(name):
    found = decided(
        name, roof_reserve_kpa=50.0, roof_evidence="calculation", free_length_m=30.0, free_width_m=30.0
    )
    assert found.verdict == "conditional"
    assert found.conditions[0].startswith("type qualification only")
    for group in ("roof", "stability", "delivery"):
        assert found.groups[group] == "not applicable"


def test_a_roof_that_would_fail_does_not_fail_the_type_and_one_that_would_pass_does_not_pass_it():
    poor = decided("a2", roof_reserve_kpa=0.1, roof_evidence="calculation", landlord_max_kg=50.0)
    assert poor.verdict == "conditional"
    assert status(poor, "roof.load") == "not applicable"


def test_a_day_that_is_too_hot_or_too_cold_fails():
    assert decided("c3").verdict == "no-go"
    assert status(decided("a1", it_load_kw=9.0), "heat.headroom") == "fail"


def test_listed_extremes_are_not_used_and_the_day_is_not_shifted():
    found = decided("a2", extreme_dry_bulb_c=55.0)
    assert found.detail["extremes"]["hot"]["value_c"] == 43.0
    assert found.detail["extremes"]["hot"]["shift_k"] == 0.0
    assert "not used" in found.detail["extremes"]["hot"]["note"]


def test_warming_of_the_row_warms_the_day():
    found = decided("a2", warming_k=2.0, urban_heat_k=1.0)
    assert found.hourly is not None
    assert float(found.hourly["temp_air"].max()) == pytest.approx(46.0)
    assert found.detail["extremes"]["hot"]["shift_k"] == pytest.approx(0.0)


def test_hours_are_counted_once_and_the_page_says_what_it_is():
    found = decided("a1")
    ranged = next(check for check in found.checks if check.id == "heat.operating-range")
    assert ranged.demand == 1.0  # the hour from 15:00 on, once and not for every day or spell
    assert ranged.note == "design day: 1 h above the condensing limit"
    page = Page(site_page(found, need=CRITERIA.need))
    assert "Type qualification against the design day A1, hot dry." in page.text("answer")
    assert "The design day" in page.text("year")
    assert "15:00" in page.text("year")
    assert "Not judged: a type qualification is about no place." in page.text("stability")
    assert "MIL-HDBK-310" in page.text("grounds")
    assert "a design day has no year" in page.text("corrosion")
    assert "figure-year-map" not in page.ids


# -------------------------------------------------------------------------------------------------- lists


def plan_of(tmp_path: Path, text: str, weather: Path | None = None):
    path = tmp_path / "sites.csv"
    path.write_text(text, encoding="utf-8")
    return plan_run(load_sites(path), UNIT, weather)


def test_rows_of_a_list_need_no_position_and_no_weather_argument(tmp_path):
    plan = plan_of(tmp_path, "site_id,latitude_deg,longitude_deg,weather\nT-1,,,cycle:a2\nT-2,,,CYCLE:C1\n")
    run = screen(plan)
    assert [result.verdict for result in run.results] == ["conditional", "no-go"]
    assert [name for name, _ in run.weather_sha256] == ["cycle:a2", "cycle:c1"]


def test_an_unknown_day_is_a_fault_of_its_row_that_names_the_known(tmp_path):
    text = "site_id,latitude_deg,longitude_deg,weather\nT-1,,,cycle:arctic\nT-2,,,cycle:a2\nT-3,,,\n"
    plan = plan_of(tmp_path, text)
    assert list(plan.unusable) == [0, 2]
    assert "there is no design day 'arctic'" in plan.unusable[0][0]
    assert "cycle:b3" in plan.unusable[0][0]
    assert "latitude_deg" in plan.unusable[2][0]  # a place needs one


def test_the_folder_of_days_is_no_folder_of_stations(tmp_path):
    with pytest.raises(InputFaults, match="no weather file"):
        plan_of(
            tmp_path,
            "site_id,latitude_deg,longitude_deg\nT-1,10,10\n",
            climate_files() / "cycles",
        )
