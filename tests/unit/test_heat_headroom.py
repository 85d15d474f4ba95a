"""Rating table, limits, service headroom and the choice of the worst hour."""

import numpy as np
import pytest
from heat_cases import CAPACITY, POWER, SPAN, air_in, chiller
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.heat.curve import (
    BEYOND_TABLE,
    CONDENSING,
    INLET_HIGH,
    INLET_LOW,
    NONE,
)
from edgecheck.heat.curve import (
    CAPACITY as SHORT,
)
from edgecheck.heat.headroom import HeatLoad, headroom, worst_hour, worst_order


def load(heat: list[float], slope: float = -11.0) -> HeatLoad:
    q = np.array(heat)
    return HeatLoad(q, np.full(len(q), slope), q - 6000.0, np.full(len(q), slope), 6153.0, 0.0, 40.0)


def run(inlet: list[float], heat: list[float], factor: float = 1.0, service: float = 48.0, **changes: object):
    curve = chiller(**changes).curve(air_in(inlet, factor=factor), SPAN._replace(service_max=service))
    return curve, headroom(curve, load(heat), service)


def test_capacity_at_table_nodes_and_cell_centre() -> None:
    curve, _ = run([35.0, 40.0], [6400.0, 6400.0])
    assert curve.capacity_at(40.0)[0] == pytest.approx(CAPACITY[2, 3])
    assert curve.power_at(40.0)[0] == pytest.approx(POWER[2, 3])
    assert curve.capacity_at(45.0)[1] == pytest.approx(CAPACITY[2:, 3:5].mean())


def test_condensing_at_the_rating_point_is_inlet_plus_split() -> None:
    curve, _ = run([35.0], [6400.0], rated_heat_rejection=8800.0 + 2120.0)
    assert curve.condensing_at(40.0)[0] == pytest.approx(47.0)


def test_condensing_goes_on_rising_above_the_last_row_where_capacity_stays() -> None:
    curve, _ = run([35.0], [6400.0])
    assert curve.capacity_at(60.0)[0] == CAPACITY[3, 3]
    step = curve.condensing_at(50.0)[0] - curve.condensing_at(45.0)[0]
    assert curve.condensing_at(55.0)[0] - curve.condensing_at(50.0)[0] == pytest.approx(step)


def test_leaving_basis_is_the_fixed_point_of_reading_at_the_leaving_temperature() -> None:
    machine = chiller(leaving_basis=True)
    air = np.array([20.0, 33.0, 47.0])
    curve = machine.curve(air_in(air), SPAN)
    for arriving in (33.0, 40.0, 47.5):
        for hour, inlet in enumerate(air):
            leaving = arriving
            for _ in range(200):
                row = [np.interp(inlet, machine.inlet_columns, r) for r in machine.capacity]
                capacity = np.interp(leaving, machine.liquid_rows, row)
                leaving = arriving - capacity / machine.liquid_heat_rate
            assert curve.capacity_at(arriving)[hour] == pytest.approx(capacity, rel=1e-9)


def test_limits_are_strict_and_open_in_their_order() -> None:
    _, room = run([-25.0, -25.01, 52.0, 52.01], [6000.0] * 4, condensing_limit=99.0)
    assert room.binding.tolist() == [NONE, INLET_LOW, NONE, INLET_HIGH]
    assert room.capacity[1] == 0.0
    assert room.at_setpoint[1] == -6000.0
    assert room.exceedance[3] == pytest.approx(0.01)


def test_condensing_limit_opens_before_the_ambient_limit() -> None:
    curve, room = run([50.0], [6000.0], condensing_limit=60.0)
    assert room.binding[0] == CONDENSING
    assert room.exceedance[0] == pytest.approx(curve.condensing_at(40.0)[0] - 60.0)
    assert room.capacity[0] == 0.0


def test_condensing_limit_within_the_service_range_cuts_the_range() -> None:
    curve, room = run([46.0], [9000.0], condensing_limit=58.2)
    assert 40.0 < curve.trip[0] < 48.0
    assert curve.condensing_at(curve.trip[0])[0] == pytest.approx(58.2)
    assert room.liquid[0] == pytest.approx(curve.trip[0])
    assert room.binding[0] == SHORT


def test_service_headroom_is_the_maximum_over_a_fine_grid() -> None:
    rng = np.random.default_rng(3)
    inlet = rng.uniform(5.0, 52.0, 200)
    heat = rng.uniform(2000.0, 9000.0, 200)
    curve, room = run(inlet.tolist(), heat.tolist(), condensing_limit=61.0)
    grid = np.linspace(40.0, 48.0, 4001)
    q = load(heat.tolist())
    best = np.full(200, -np.inf)
    for t in grid:
        value = np.where(curve.allowed_at(t), curve.capacity_at(t), 0.0) - q.at(t)
        best = np.maximum(best, value)
    np.testing.assert_allclose(room.service, best, atol=1.0)
    assert np.all(room.service >= best - 1e-9)


def test_past_the_table_is_unknown_and_counts_as_short_unless_surely_short() -> None:
    _, room = run([50.0, 50.0], [6000.0, 12_000.0], factor=1.5, condensing_limit=99.0)
    assert room.binding.tolist() == [BEYOND_TABLE, BEYOND_TABLE]
    assert np.isnan(room.service[0])
    assert room.service[1] < 0.0
    assert np.isnan(room.capacity).all()
    assert room.short.all()


def test_worst_hour_ranks_barred_hours_by_exceedance_then_unknown_then_share() -> None:
    inlet = [52.5, 53.5, 51.0, 40.0, 40.0]
    heat = [6000.0, 5000.0, 6000.0, 7900.0, 7900.0]
    _, room = run(inlet, heat, condensing_limit=99.0)
    assert worst_hour(room) == 1
    assert worst_order(room, 5).tolist() == [1, 0, 3, 4, 2]


def test_ties_go_to_the_earliest_hour() -> None:
    _, room = run([30.0, 40.0, 40.0], [6000.0] * 3)
    assert worst_hour(room) == 1


def test_share_uses_it_and_pump_when_the_envelope_takes_heat_away() -> None:
    _, room = run([30.0], [200.0])
    assert room.share[0] == pytest.approx(room.service[0] / 6153.0)


@given(
    inlet=st.floats(-30.0, 60.0), heat=st.floats(-500.0, 12_000.0), factor=st.floats(1.0, 1.4),
    more=st.floats(0.0, 10.0),
)  # fmt: skip
def test_hotter_or_thinner_air_never_helps(inlet: float, heat: float, factor: float, more: float) -> None:
    first = max(inlet, 15.0)
    _, base = run([first], [heat], factor=factor)
    _, hotter = run([first + more], [heat], factor=factor)
    _, thinner = run([first], [heat], factor=factor * (1.0 + more / 50.0))
    assert hotter.bound[0] <= base.bound[0] + 1e-6
    assert thinner.bound[0] <= base.bound[0] + 1e-6


def test_an_hour_that_asks_for_nothing_is_neither_short_nor_unknown() -> None:
    """Servers off and a net rating: no heat inside; the share is unlimited, not a division by 0."""
    q = np.array([-200.0])
    idle = HeatLoad(q, np.array([-11.0]), q, np.array([-11.0]), 0.0, 0.0, 40.0)
    curve = chiller().curve(air_in([10.0]), SPAN)
    found = headroom(curve, idle, 48.0)
    assert found.share[0] == np.inf
    assert not found.short[0]
