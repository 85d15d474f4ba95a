"""Load profiles: the three forms, which hour takes which value, what is refused; loads the box cannot hold."""

import io

import numpy as np
import pandas as pd
import pytest
from site_cases import UNIT, decide, site, station

from edgecheck.base.errors import InputFaults
from edgecheck.chain import qualify
from edgecheck.heat.it_load import it_load
from edgecheck.inputs.load_profile import LoadProfile, read_load_profile

DAYS = "mon,tue,wed,thu,fri,sat,sun"
YEAR = np.datetime64("2001-01-01T00:00", "m") + 60 * np.arange(8760)


def week_text(sep=","):
    rows = [f"hour,{DAYS}"]
    rows += [",".join([str(h), *(f"{0.1 + h / 100 + d / 10:.3f}" for d in range(7))]) for h in range(24)]
    return "\n".join(rows).replace(",", sep) + "\n"


def day_text():
    return "hour,share\n" + "".join(f"{h},{0.5 if h < 12 else 1.0}\n" for h in range(24))


def series_text(column="share", values=None, extra=""):
    values = [0.5 + 0.5 * (i % 24 == 12) for i in range(8760)] if values is None else values
    return f"{column}{extra}\n" + "".join(f"{value}\n" for value in values)


def read(tmp_path, text):
    path = tmp_path / "load.csv"
    path.write_text(text, encoding="utf-8")
    return read_load_profile(path)


def refusal(tmp_path, text):
    with pytest.raises(InputFaults) as caught:
        read(tmp_path, text)
    return [fault.text() for fault in caught.value.faults]


def test_a_workbook_is_read_as_a_csv_file_is(tmp_path):
    path = tmp_path / "load.xlsx"
    pd.read_csv(io.StringIO(week_text())).to_excel(path, index=False)
    found, right = read_load_profile(path), read(tmp_path, week_text())
    assert (found.name, found.form, found.in_kw) == ("load.xlsx", right.form, right.in_kw)
    np.testing.assert_array_equal(found.values, right.values)
    assert len(found.sha256) == 64


def test_a_week_begins_on_a_monday_and_hours_are_those_that_begin_then(tmp_path):
    profile = read(tmp_path, week_text())
    shares = profile.shares(YEAR, 6.0)
    assert profile.form == "week"
    assert shares[0] == pytest.approx(0.1)  # 2001-01-01 is a Monday
    assert shares[13] == pytest.approx(0.23)
    assert shares[24 * 6 + 5] == pytest.approx(0.1 + 0.05 + 0.6)  # a Sunday
    assert shares[24 * 7] == shares[0]
    # a real year has its own weekdays: 14 July 2004 was a Wednesday
    assert profile.shares(np.array(["2004-07-14T09:00"], dtype="datetime64[m]"), 6.0)[0] == pytest.approx(
        0.39
    )


def test_a_day_is_the_same_every_day_and_a_series_has_each_hour_of_its_own(tmp_path):
    day = read(tmp_path, day_text())
    assert day.form == "day"
    assert day.shares(YEAR[:48], 6.0) == pytest.approx(np.tile([0.5] * 12 + [1.0] * 12, 2))
    values = np.linspace(0.2, 1.0, 8760).round(6)
    year = read(tmp_path, series_text(values=values))
    assert year.form == "year"
    assert year.shares(YEAR, 6.0) == pytest.approx(values)
    # after 29 February was dropped from a leap year, March has the same hours as in any year
    first = np.array(["2004-03-01T00:00"], dtype="datetime64[m]")
    assert year.shares(first, 6.0)[0] == values[24 * 59]


def test_kilowatts_become_shares_of_the_load(tmp_path):
    profile = read(tmp_path, series_text("kw", [3.0, *[6.0] * 8759]))
    assert profile.in_kw
    assert profile.shares(YEAR[:2], 6.0) == pytest.approx([0.5, 1.0])
    assert profile.most_kw(6.0) == 6.0


def test_other_separators_and_decimal_commas(tmp_path):
    text = week_text(sep=";").replace(".", ",")
    assert read(tmp_path, text).values == pytest.approx(read(tmp_path, week_text()).values)


def test_an_hour_column_of_a_series_counts_from_either_end(tmp_path):
    for first in (0, 1):
        rows = "hour,share\n" + "".join(f"{i + first},0.5\n" for i in range(8760))
        assert read(tmp_path, rows).form == "year"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (series_text(values=[0.5] * 8759), "8760 rows are needed, one an hour; there are 8759"),
        (series_text(values=[0.5] * 8784), "leave out 29 February"),
        (series_text(values=[0.5] * 24), "24 rows need the column hour"),
        (series_text(values=[0.5] * 4999 + [""] + [0.5] * 3760), "there are 8759; line 5001 is empty"),
        (series_text(values=[0.5] * 4999 + ['""'] + [0.5] * 3760), "line 5001 is empty"),
        (series_text(values=[0.5] * 9 + ["x"] + [0.5] * 8750), "line 11, share: 'x'"),
        (series_text(values=[80] * 8760), "is it in per cent? divide by 100"),
        (series_text(values=[-0.1] + [0.5] * 8759), "0 to 2"),
        (series_text("kw", [1200.0] + [5.0] * 8759), "a load in kW, 0 to 1000"),
        (week_text().replace("23,", "24,", 1), "line 25, hour: '24': hour 23 is due"),
        ("\n".join(week_text().splitlines()[:20]), "24 rows are needed, hours 0 to 23; there are 19"),
        (week_text().replace(",sun", ",son"), "sun: a table by day of the week needs all seven days"),
        (day_text().replace("hour,", "our,"), "24 rows need the column hour"),
        ("load\n5\n", "needed: the columns hour and mon to sun, or a column share or kw"),
        ("share,kw\n1,2\n", "beside kw; keep one of the two"),
        ("share,share\n1,2\n", "the column stands twice"),
        ("", "the file is empty"),
    ],
)  # fmt: skip
def test_what_is_refused(tmp_path, text, said):
    found = " | ".join(refusal(tmp_path, text))
    assert said in found, found


def test_many_wrong_cells_are_counted_not_listed(tmp_path):
    found = refusal(tmp_path, series_text(values=["bad"] * 8760))
    assert len(found) == 11
    assert "and 8750 more" in found[-1]


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(InputFaults, match=r"none\.csv"):
        read_load_profile(tmp_path / "none.csv")


def flat(value, in_kw=False, form="day"):
    return LoadProfile("p.csv", "0" * 64, form, in_kw, np.full((24, 1), value))


def test_the_box_must_hold_the_greatest_load():
    row = site({"it_load_kw": 6.0, "load_profile": "p.csv"})
    assert it_load(row, UNIT, flat(1.0)).full == 6000.0
    assert it_load(row, UNIT, flat(1.5)).shares(YEAR[:3])[0] == 1.5  # 9.0 kW, what the box holds
    with pytest.raises(InputFaults, match=r"greatest load, 9\.06 kW, is more than .* 9 kW"):
        it_load(row, UNIT, flat(1.51))
    with pytest.raises(InputFaults, match=r"9\.1 kW"):
        it_load(row, UNIT, flat(9.1, in_kw=True))


def test_a_named_profile_is_never_passed_over():
    row = site({"load_profile": "p.csv"})
    with pytest.raises(InputFaults, match="the load profile is not given"):
        qualify(row, UNIT, station())
    with pytest.raises(InputFaults, match="names no load profile"):
        qualify(site(), UNIT, station(), profile=flat(1.0))


def test_a_profile_of_ones_is_the_constant_load():
    row = site({"load_profile": "p.csv", "front_azimuth_deg": 0.0})
    with_profile = qualify(row, UNIT, station(), profile=flat(1.0))
    without = decide({"front_azimuth_deg": 0.0})
    assert with_profile.figures == without.figures
    assert [check.to_dict() for check in with_profile.checks] == [check.to_dict() for check in without.checks]
    assert with_profile.detail["unit"]["load_profile"]["greatest_share"] == 1.0
    assert without.detail["unit"]["load_profile"] is None


def test_every_hour_has_its_own_load():
    night = np.where((np.arange(24) < 6) | (np.arange(24) >= 22), 0.3, 1.0)[:, None]
    profile = LoadProfile("p.csv", "0" * 64, "day", False, night)
    row = site({"load_profile": "p.csv", "front_azimuth_deg": 0.0, "electrical_rule": "iec"})
    found = qualify(row, UNIT, station(), profile=profile)
    full = decide({"front_azimuth_deg": 0.0})
    it = found.hourly["it"].to_numpy()
    assert it.reshape(365, 24) == pytest.approx(np.tile(6000.0 * night[:, 0], (365, 1)))
    less = (found.hourly["load"] - full.hourly["load"]).to_numpy()
    assert less == pytest.approx(it - 6000.0, abs=1e-6)
    # the hour of loss decides how long the bath lasts: a night's third of the load lasts about three times as long
    ride = found.outage["ride_through"].to_numpy() / full.outage["ride_through"].to_numpy()
    hour = np.arange(8760) % 24
    assert ride[hour == 12] == pytest.approx(1.0, abs=1e-6)
    assert np.all((ride[hour == 2] > 2.5) & (ride[hour == 2] < 4.5))
    # the feed's hot hour is by day, and so its current is that of the full load
    assert found.asks["asks_ampere"] == pytest.approx(full.asks["asks_ampere"], rel=1e-6)
    assert found.figures["worst_time"] == full.figures["worst_time"]
    worst = found.worst_hours[0].values
    assert worst["it"] == 6000.0
    assert worst["load_share"] == 1.0


def test_a_spell_may_fall_in_any_week(tmp_path):
    """A holiday in the file's hottest week is no relief: every hour of the day has the year's greatest share there."""
    values = [1.0 if not 4800 <= i < 5136 else 0.1 for i in range(8760)]
    load = it_load(site({"load_profile": "load.csv"}), UNIT, read(tmp_path, series_text(values=values)))
    week = YEAR[4848 : 4848 + 168]
    assert load.shares(week).max() == pytest.approx(0.1)
    assert load.spell_shares(week, YEAR, warm=True).min() == pytest.approx(1.0)
    assert load.spell_shares(week, YEAR, warm=False).max() == pytest.approx(0.1)
    by_day = it_load(site({"load_profile": "load.csv"}), UNIT, read(tmp_path, day_text()))
    assert by_day.spell_shares(week, YEAR, warm=True) == pytest.approx(by_day.shares(week))
