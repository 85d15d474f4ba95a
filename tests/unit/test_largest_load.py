"""The largest IT load of a site: it passes, one per cent more does not; real weather."""

import numpy as np
import pytest
from heat_cases import CAPACITY, COLUMNS, POWER, chiller
from series_cases import clean, run
from site_cases import CRITERIA, EXAMPLES, UNIT, decide, example_values, unit_with

from edgecheck.heat.largest_load import largest_it_load
from edgecheck.inputs.unit import load_unit

ROOM = {"servers": {"load_max_kw": 20.0}}
UNITS = {
    "limits on the return": unit_with(**ROOM),
    "limits on the supply": unit_with(**ROOM, liquid={"limit_basis": "supply"}),
    "leaving temperatures": unit_with(**ROOM, cooling={"liquid_basis": "leaving"}),
    "leakage and distribution": unit_with(
        servers={"load_max_kw": 20.0, "leakage_share_per_k": 0.004, "distribution_loss_share": 0.03}
    ),
}
NO_MARGIN = CRITERIA.model_copy(
    update={
        "heat": CRITERIA.heat.model_copy(
            update={
                "headroom_min_share": 0.0,
                "headroom_caution_share": 0.0,
                "hot_spell_liquid_margin_k": 9.0,
            }
        )
    }
)
DECIDING = ("heat.headroom", "heat.hot-spell")


def statuses(load_kw, unit=UNIT, criteria=CRITERIA):
    result = decide(dict(example_values()) | {"it_load_kw": load_kw}, unit, criteria)
    return {check.id: check.status for check in result.checks if check.id in DECIDING}, result


@pytest.mark.parametrize("criteria", [CRITERIA, NO_MARGIN], ids=["headroom decides", "hot spell decides"])
@pytest.mark.parametrize("name", UNITS)
def test_it_passes_at_that_load_and_fails_at_one_per_cent_more(name, criteria):
    unit = UNITS[name]
    _, result = statuses(6.0, unit, criteria)
    largest = result.figures["max_it_load_kw"]
    assert 6.0 < largest < 20.0
    at, there = statuses(largest, unit, criteria)
    assert "fail" not in at.values()
    assert there.figures["max_it_load_kw"] == pytest.approx(
        largest, abs=0.003
    )  # whatever the load it was run at
    more, _ = statuses(1.01 * largest, unit, criteria)
    assert more["heat.headroom" if criteria is CRITERIA else "heat.hot-spell"] == "fail"


DRY = load_unit(EXAMPLES / "unit-dry-cooler.toml")
TWIN = {"conductance_kw_k": 0.4, "airflow_m3_s": 0.9, "fan_kw": 0.15, "sections": 2}


@pytest.mark.parametrize("criteria", [CRITERIA, NO_MARGIN], ids=["full", "no margin"])
@pytest.mark.parametrize("keys", [{}, TWIN, {"coil_bypass": False}], ids=["one", "two sections", "no bypass"])
def test_the_same_of_a_dry_cooler_whose_own_heat_warms_its_air(keys, criteria):
    unit = DRY.model_copy(
        update={
            "cooling": DRY.cooling.model_copy(update=keys),
            "servers": DRY.servers.model_copy(update={"load_max_kw": 20.0}),
        }
    )
    _, result = statuses(4.0, unit, criteria)
    largest = result.figures["max_it_load_kw"]
    assert 4.0 < largest < 20.0
    at, there = statuses(largest, unit, criteria)
    assert "fail" not in at.values()
    assert there.figures["max_it_load_kw"] == pytest.approx(largest, abs=0.003)
    assert "fail" in statuses(1.01 * largest, unit, criteria)[0].values()


def test_what_the_box_can_be_filled_with_is_the_most():
    _, result = statuses(2.0, unit_with(servers={"load_max_kw": 7.0}))
    assert result.figures["max_it_load_kw"] == 7.0


def largest(temps, **changes):
    series = run(temps, clean(**changes))
    return largest_it_load(series, series, series, lambda load: clean(it=load, **changes), 20e3, 0.10, 3.0)


def test_nothing_where_a_limit_bars_the_machine_whatever_the_load():
    assert largest([20.0, 52.1]) == 0.0
    assert largest([20.0, -25.1]) == 0.0
    assert largest([20.0, 45.0]) > 5000.0


def test_unknown_where_an_hour_lies_past_the_rating_table():
    ends = chiller(inlet_columns=COLUMNS[:5], capacity=CAPACITY[:, :5], power=POWER[:, :5])
    assert largest([20.0, 48.0], cooling=ends) is None
    assert largest([20.0, 45.0], cooling=ends) is not None


def test_it_falls_with_the_hottest_hour():
    found = [largest([20.0, hot]) for hot in (25.0, 35.0, 45.0)]
    assert np.all(np.diff(found) < 0.0)
