"""Warming month by month: the file, the morphed year, extremes that follow it, rows of a list."""

import io
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from site_cases import CRITERIA, UNIT, decide, machine_at, site, station

from edgecheck.base.errors import InputFaults
from edgecheck.chain import qualify
from edgecheck.heat.place import place_of
from edgecheck.heat.site_heat import site_heat
from edgecheck.heat.site_year import air_of
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.warming_file import MonthlyWarming, load_warming
from edgecheck.screening.plan import plan_run
from edgecheck.screening.run import screen
from edgecheck.weather.warming import extreme_change, month_of, warming_change

SHIFT = (1.0, 1.2, 1.4, 1.7, 2.0, 2.6, 3.1, 3.0, 2.4, 1.9, 1.4, 1.1)
FACTOR = (0.95, 0.97, 1.0, 1.03, 1.06, 1.10, 1.12, 1.11, 1.07, 1.03, 1.0, 0.96)
MONTHLY = MonthlyWarming("later.csv", "00" * 32, SHIFT, FACTOR)
LINES = [
    f"{month},{shift},{factor}" for month, shift, factor in zip(range(1, 13), SHIFT, FACTOR, strict=True)
]
GOOD = "\n".join(["month,shift_k,range_factor", *LINES]) + "\n"


def write(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "later.csv"
    path.write_text(text, encoding="utf-8")
    return path


# --------------------------------------------------------------------------------------------------- file


def test_a_file_is_read(tmp_path):
    found = load_warming(write(tmp_path, GOOD))
    assert (found.name, found.shift, found.range_factor) == ("later.csv", SHIFT, FACTOR)
    assert len(found.sha256) == 64


def test_a_workbook_is_read_as_a_csv_file_is(tmp_path):
    path = tmp_path / "later.xlsx"
    pd.read_csv(io.StringIO(GOOD)).to_excel(path, index=False)
    found = load_warming(path)
    assert (found.name, found.shift, found.range_factor) == ("later.xlsx", SHIFT, FACTOR)


def test_semicolons_decimal_commas_any_order_of_rows_and_columns(tmp_path):
    rows = ["range_factor;month;shift_k"]
    rows += [
        f"{factor:.2f};{month};{shift:.1f}".replace(".", ",")
        for month, shift, factor in zip(range(1, 13), SHIFT, FACTOR, strict=True)
    ]
    found = load_warming(write(tmp_path, "\n".join([rows[0], *rows[:0:-1]]) + "\n"))
    assert (found.shift, found.range_factor) == (SHIFT, FACTOR)


@pytest.mark.parametrize(
    "old, new, words",
    [
        ("month,shift_k,range_factor", "month,shift,range_factor", ["shift_k", "needed once each"]),
        (LINES[6] + "\n", "", ["twelve rows are needed; missing: 7"]),
        (LINES[6], LINES[5], ["line 8", "month: '6'", "stands in the file already"]),
        (LINES[6], "7,31,1.1", ["line 8", "shift_k: '31'", "from -5 to 15"]),
        (LINES[6], "7,3.1,5", ["line 8", "range_factor: '5'", "from 0.5 to 2"]),
        (LINES[6], "7,warm,1.1", ["line 8", "shift_k: 'warm'", "a number"]),
        (LINES[6], "7,3.1", ["line 8", "range_factor", "a number"]),
        (LINES[6], "13,3.1,1.1", ["line 8", "month: '13'", "from 1 to 12"]),
        (LINES[6], "7.5,3.1,1.1", ["line 8", "month: '7.5'", "whole number"]),
    ],
)
def test_faults_name_line_column_and_what_is_allowed(tmp_path, old, new, words):
    with pytest.raises(InputFaults) as wrong:
        load_warming(write(tmp_path, GOOD.replace(old, new)))
    for word in words:
        assert word in str(wrong.value)


def test_all_faults_are_told_together(tmp_path):
    text = GOOD.replace(LINES[2], "3,99,1").replace(LINES[8], "9,1,9")
    with pytest.raises(InputFaults) as wrong:
        load_warming(write(tmp_path, text))
    assert [fault.key for fault in wrong.value.faults] == ["shift_k", "range_factor"]


def test_a_missing_file_says_so(tmp_path):
    with pytest.raises(InputFaults, match="cannot be read"):
        load_warming(tmp_path / "none.csv")


# -------------------------------------------------------------------------------------------------- method


def test_monthly_means_and_daily_ranges_come_out_as_asked():
    """The real sample year: mean of every month + shift, mean daily range of every month x factor."""
    place = place_of(site(warming_file="later.csv"), station(), monthly=MONTHLY)
    year = station().years[0]
    before = air_of(place_of(site(), station()), year).temp_air
    after = air_of(place, year).temp_air
    month = month_of(year.hours.time)
    for index in range(12):
        was, now = before[month == index], after[month == index]
        assert now.mean() - was.mean() == pytest.approx(SHIFT[index], abs=1e-9)
        days = [values.reshape(-1, 24) for values in (was, now)]
        ranges = [float(np.mean(day.max(axis=1) - day.min(axis=1))) for day in days]
        assert ranges[1] / ranges[0] == pytest.approx(FACTOR[index], rel=1e-9)


def test_the_stretch_is_the_published_one():
    """Belcher, Hacker & Powell (2005): T = T0 + dT + a (T0 - mean), a = change of the daily range / daily range."""
    time = np.arange("2001-07-01T00", "2001-07-03T00", dtype="datetime64[h]")
    temp = 20.0 + 5.0 * np.sin(np.arange(48) * 2.0 * np.pi / 24.0)
    # July's maxima rise by 3.6 K and its minima by 2.4 K: dT = 3.0 K, a = (3.6 - 2.4) / 10 = 0.12
    monthly = MonthlyWarming("x", "", (0.0,) * 6 + (3.0,) + (0.0,) * 5, (1.0,) * 6 + (1.12,) + (1.0,) * 5)
    changed = temp + warming_change(temp, time, monthly)
    assert changed.max() - temp.max() == pytest.approx(3.6, abs=1e-9)
    assert changed.min() - temp.min() == pytest.approx(2.4, abs=1e-9)
    assert changed.mean() - temp.mean() == pytest.approx(3.0, abs=1e-9)


def test_equal_shifts_without_stretch_are_one_warming_of_all_hours():
    flat = MonthlyWarming("flat.csv", "", (2.0,) * 12, (1.0,) * 12)
    one = qualify(site(warming_file="flat.csv"), UNIT, station(), CRITERIA, warming=flat)
    other = decide({"warming_k": 2.0})
    assert one.hourly is not None
    assert other.hourly is not None
    for name in ("temp_air", "temp_dew", "load", "service_headroom"):
        assert np.allclose(one.hourly[name], other.hourly[name], rtol=0, atol=1e-9)
    assert one.detail["extremes"]["hot"]["shift_k"] == pytest.approx(
        other.detail["extremes"]["hot"]["shift_k"], abs=1e-9
    )
    assert [check.status for check in one.checks] == [check.status for check in other.checks]


def test_water_stays_in_the_air_until_it_is_saturated():
    place = place_of(site(warming_file="later.csv"), station(), monthly=MONTHLY)
    year = station().years[0]
    before, after = air_of(place_of(site(), station()), year), air_of(place, year)
    cooler = after.temp_air < before.temp_dew  # a stretched night may fall below the dew point
    assert np.array_equal(after.temp_dew[~cooler], before.temp_dew[~cooler])
    assert np.array_equal(after.temp_dew[cooler], after.temp_air[cooler])
    assert np.all(after.temp_dew <= after.temp_air)


def test_spells_follow_the_warming_of_their_month():
    """Listed extremes of 42 and -20 degC, put in July and January: shift and stretch of these months."""
    values = {"extreme_dry_bulb_c": 42.0, "extreme_return_years": 20.0, "extreme_cold_dry_bulb_c": -20.0,
              "extreme_cold_return_years": 20.0}  # fmt: skip
    place = place_of(
        site({**values, "warming_file": "later.csv", "urban_heat_k": 0.5}), station(), monthly=MONTHLY
    )
    heat = site_heat(place, machine_at(6000.0), CRITERIA.heat)
    year = station().years[0].hours
    month = month_of(year.time)
    for spell, extreme, reach in (
        (heat.hot, 42.0, np.max(heat.hot.series.surroundings.temp_air)),
        (heat.cold, -20.0, np.min(heat.cold.series.surroundings.temp_air)),
    ):
        air = spell.series.surroundings.temp_air
        hour = int(np.argmax(np.sign(extreme) * air))
        index = int(month_of(spell.time[[hour]])[0])
        mean = float(year.temp_air[month == index].mean())
        wanted = extreme + SHIFT[index] + (FACTOR[index] - 1.0) * (extreme - mean) + 0.5
        assert reach == pytest.approx(wanted, abs=1e-9)


def test_the_extreme_of_the_file_itself_lands_on_its_warmed_hour():
    """Run at the file's own extreme, the week is not shifted: the search for a failing extreme begins there."""
    place = place_of(site(warming_file="later.csv"), station(), monthly=MONTHLY)
    heat = site_heat(place, machine_at(6000.0), CRITERIA.heat)
    for spell in (heat.hot, heat.cold):
        assert spell.at(spell.own).shift == pytest.approx(0.0, abs=1e-9)


def test_change_of_an_extreme_is_that_of_an_hour_with_its_temperature():
    year = station().years[0].hours
    change = warming_change(year.temp_air, year.time, MONTHLY)
    for hour in (0, 4000, 5000, 8759):
        value = float(year.temp_air[hour])
        assert extreme_change(value, hour, year.temp_air, year.time, MONTHLY) == pytest.approx(change[hour])


def test_worked_hours_add_up_and_the_note_names_the_file():
    found = qualify(site(warming_file="later.csv"), UNIT, station(), CRITERIA, warming=MONTHLY)
    for hour in found.worst_hours:
        v = hour.values
        steps = ("station_temp_air", "elevation_shift", "warming_shift", "spell_shift")
        assert sum(v[step] for step in steps) == pytest.approx(v["temp_air"], abs=1e-6)
    (note,) = (note for note in found.notes if note.code == "monthly-warming")
    assert "later.csv" in note.text
    assert "+1.0 to +3.1 K" in note.text
    assert not any(entry["key"] == "warming_k" for entry in found.inputs)


def test_a_row_that_names_a_file_which_is_not_given_is_refused():
    with pytest.raises(InputFaults, match=r"warming_file.*not given"):
        decide({"warming_file": "later.csv"})
    with pytest.raises(InputFaults, match="the row names none"):
        qualify(site(), UNIT, station(), CRITERIA, warming=MONTHLY)


# --------------------------------------------------------------------------------------------------- lists


def test_both_kinds_of_warming_in_a_row_are_a_fault_of_it(tmp_path):
    (tmp_path / "sites.csv").write_text(
        "site_id,latitude_deg,longitude_deg,warming_k,warming_file\nA,36,-79,2,later.csv\nB,36,-79,,\n",
        encoding="utf-8",
    )
    both, neither = load_sites(tmp_path / "sites.csv").sites
    assert [fault.key for fault in both.faults] == ["warming_file"]
    assert "warming_k is filled too (2 K); keep one of the two" in both.faults[0].allowed
    assert neither.usable


def test_files_of_a_list_are_read_once_and_a_wrong_one_costs_its_rows(tmp_path):
    write(tmp_path, GOOD)
    (tmp_path / "wrong.csv").write_text(GOOD.replace(LINES[0] + "\n", ""), encoding="utf-8")
    (tmp_path / "sites.csv").write_text(
        "site_id,latitude_deg,longitude_deg,weather,warming_file\n"
        "A,,,cycle:a2,later.csv\nB,,,cycle:a2,later.csv\nC,,,cycle:a2,wrong.csv\nD,,,cycle:a2,none.csv\n",
        encoding="utf-8",
    )
    plan = plan_run(load_sites(tmp_path / "sites.csv"), UNIT)
    assert plan.jobs[0].warming is plan.jobs[1].warming
    assert "twelve rows are needed; missing: 1" in plan.unusable[2][0]
    assert "there is no file 'none.csv' beside the list" in plan.unusable[3][0]
    assert [entry["file"] for entry in plan.inputs if entry["role"] == "warming"] == ["later.csv"]
    result = screen(plan, keep_hourly=True).results[0]
    assert result.detail["hashes"]["warming later.csv"] == plan.jobs[0].warming.sha256
