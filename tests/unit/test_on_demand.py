"""What a report works out for itself: loads one by one, the map of the capacity, and their figures."""

import pickle
import re
from dataclasses import replace

import numpy as np
import pytest
from heat_cases import CAPACITY, COLUMNS, POWER, chiller
from series_cases import clean, run
from site_cases import CRITERIA, EXAMPLES, decide, unit_with

from edgecheck.heat.capacity_map import capacity_map
from edgecheck.heat.largest_load import at_loads
from edgecheck.inputs.unit import load_unit
from edgecheck.outputs.figures.capacity_map import capacity_over_air
from edgecheck.outputs.figures.largest_load import hours_short_over_load
from edgecheck.outputs.figures.liquid_year import liquid_over_year
from edgecheck.outputs.pages import drawings, site_page
from edgecheck.outputs.views.largest_load import HEADINGS, load_rows

DRY = load_unit(EXAMPLES / "unit-dry-cooler.toml")
BELOW_60_KB = 60_000


@pytest.fixture(scope="module")
def result():
    return decide({"it_load_kw": 8.0})


@pytest.fixture(scope="module")
def loads(result):
    return result.on_demand.loads()


def test_loads_agree_with_a_whole_run_at_each(result, loads):
    """Two of the loads through the whole chain: the same hours short, peaks and verdicts."""
    assert [round(point.load) for point in loads[:3]] == [900, 1800, 2700]
    assert loads[-1].load == 9000.0
    limit = CRITERIA.heat.hot_spell_liquid_margin_k
    for point in (loads[4], loads[-1]):
        again = decide({"it_load_kw": point.load / 1000.0})
        assert again.detail["hours_short"] == point.hours_short
        assert again.figures["headroom_share"] == pytest.approx(point.least_share, rel=1e-9)
        by_id = {check.id: check for check in again.checks}
        assert by_id["heat.hot-spell"].demand == pytest.approx(point.hot_peak, rel=1e-9)
        assert by_id["heat.cold-spell"].demand == pytest.approx(point.cold_lowest, rel=1e-9)
        assert point.hot_holds == (point.hot_peak <= 55.0 - limit)


def test_the_largest_load_and_the_sites_own_are_among_them(result, loads):
    largest = result.figures["max_it_load_kw"] * 1000.0
    assert largest in [point.load for point in loads]
    assert 8000.0 in [point.load for point in loads]
    rows = load_rows(loads, 8000.0, largest)
    assert all(len(row) == len(HEADINGS) for row in rows)
    assert sum("the site's" in row[0] for row in rows) == 1
    assert sum("largest at the margins" in row[0] for row in rows) == 1


def test_more_load_is_never_better(loads):
    short = [point.hours_short for point in loads]
    assert short == sorted(short)
    held = [point.hot_holds for point in loads]
    assert held == sorted(held, reverse=True)


def test_unknown_hours_count_as_short_and_their_spell_does_not_hold():
    ends = chiller(inlet_columns=COLUMNS[:5], capacity=CAPACITY[:, :5], power=POWER[:, :5])
    series = run([20.0, 48.0], clean(cooling=ends))
    (point,) = at_loads(series, series, series, lambda load: clean(it=load, cooling=ends), [1000.0], 3.0)
    assert point.hours_short == 1
    assert not point.hot_holds
    assert not point.cold_holds


def test_the_map_reads_the_table_and_closes_where_a_limit_does():
    machine = clean()
    around = run([20.0] * 3, machine).surroundings
    found = capacity_map(machine, around, np.array([-30.0, 15.0, 25.0, 45.0, 53.0]), np.array([40.0, 50.0]))
    assert found.capacity[0, 1:4] == pytest.approx([10_000.0, 9500.0, 7900.0])
    assert found.capacity[1, 2] == pytest.approx(11_000.0)
    assert found.barred[:, 0].all()  # below the lowest air of -25
    assert found.barred[:, 4].all()  # above the highest of 52
    assert not found.barred[0, 1:3].any()
    assert not found.unknown.any()
    ends = chiller(inlet_columns=COLUMNS[:5], capacity=CAPACITY[:, :5], power=POWER[:, :5])
    past = capacity_map(clean(cooling=ends), around, np.array([44.0, 47.0]), np.array([40.0]))
    assert past.unknown.tolist() == [[False, True]]


@pytest.mark.parametrize("unit", [unit_with(), DRY], ids=["chiller", "dry cooler"])
def test_figures_say_their_numbers_and_stay_small(unit):
    result = decide({"it_load_kw": 7.0}, unit)
    found = drawings(result, result.on_demand.loads())
    for key in ("capacity", "largest-load", "energy"):
        drawing = found[key]
        assert re.search(r"\d (kW|kWh)", drawing.caption), drawing.caption
        assert f'aria-label="{drawing.alt}"' in str(drawing.svg).replace("&#39;", "'")
        assert len(str(drawing.svg).encode()) < BELOW_60_KB
    capacity = result.hourly["capacity"].to_numpy()
    hottest = int(np.argmax(result.hourly["inlet_air"].to_numpy()))
    said = float(re.search(r"the capacity is ([\d.]+) kW", found["capacity"].caption)[1])
    # the map holds the median hour's air density: near the hour's own
    assert said == pytest.approx(capacity[hottest] / 1000.0, rel=0.03)


def test_a_map_without_any_hour_or_capacity_is_left_out(result):
    found = result.on_demand.capacity()
    unit = result.detail["unit"]
    assert capacity_over_air(found, result.hourly, unit) is not None
    nothing = replace(found, capacity=np.full(found.capacity.shape, np.nan))
    assert capacity_over_air(nothing, result.hourly, unit) is None


def test_hours_short_in_words(loads):
    drawing = hours_short_over_load(loads, 8000.0, None)
    assert "Largest load" not in drawing.caption
    held = [replace(point, hours_short=0, hot_holds=True, cold_holds=True) for point in loads]
    said = hours_short_over_load(held, 8000.0, 9000.0).caption
    assert "no hour of the year is short up to 9.00 kW; both spells hold at every load" in said
    some = [replace(point, hours_short=number) for number, point in enumerate(held)]
    assert "11 h of the year are short at 9.00 kW, 1 h at 1.80 kW, none at less" in (
        hours_short_over_load(some, 8000.0, None).caption
    )


def test_the_liquid_over_the_year_counts_hours_off_the_setpoint(result):
    hourly = result.hourly.copy(deep=True)
    hourly["liquid"][:] = 40.0
    assert liquid_over_year(hourly, {"setpoint": 40.0}) is None
    hourly["liquid"][100:103] = 44.0
    hourly["liquid"][5000] = 39.0
    found = liquid_over_year(hourly, {"setpoint": 40.0, "alarm": None})
    assert found is not None
    assert "ends 3 h above and 1 h below the setpoint of 40.0 °C" in found.caption
    hourly["liquid"][7] = np.nan
    assert liquid_over_year(hourly, {}) is None


@pytest.mark.usefixtures("bare_pages")
def test_nothing_of_it_stays_with_a_listed_result_and_a_page_does_without(result):
    kept = result.listed()
    assert kept.on_demand is None
    page = site_page(replace(result, on_demand=None), need=CRITERIA.need)
    assert "Largest load</h3>" not in page
    assert 'id="energy"' in page


def test_it_can_be_sent_to_another_process(result):
    again = pickle.loads(pickle.dumps(result.on_demand))
    assert again.loads() == result.on_demand.loads()
