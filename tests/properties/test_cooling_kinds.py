"""What must hold of every kind of cooling section: energy, monotone capacity, no false saving, no overshoot."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from heat_cases import SPAN, air_in, bath, chiller, dry_cooler, economiser, machine
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from edgecheck.base.constants import STEFAN_BOLTZMANN
from edgecheck.heat.balance import march
from edgecheck.heat.electricity import PartLoad
from edgecheck.heat.headroom import HeatLoad, headroom
from edgecheck.heat.inlet import air_side_factor
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.section import CoolingSection
from edgecheck.heat.series import HeatSeries, run_series, surroundings
from edgecheck.weather.site_air import SiteAir

SLOWS = PartLoad(least_share=0.3, offset=0.1, fan_exponent=3.0)
KINDS: dict[str, CoolingSection] = {
    "on-off chiller": chiller(),
    "leaving-basis chiller": chiller(leaving_basis=True, condensing_limit=58.0),
    "variable-speed chiller": chiller(part_load=SLOWS, condensing_limit=56.0),
    "dry cooler": dry_cooler(inlet_max=54.0),
    "dry cooler without bypass": dry_cooler(still_share=0.05, fan_exponent=1.0, inlet_max=48.0),
    "economiser before the condenser": economiser(),
    "economiser with its own air": economiser(
        before_condenser=False, chiller=chiller(part_load=SLOWS, leaving_basis=True, condensing_limit=54.0)
    ),
}
kinds = pytest.mark.parametrize("kind", KINDS)


def unit(kind: str, it: float, **changes: Any) -> Machine:
    dry = kind.startswith("dry")
    return machine(
        cooling=KINDS[kind], it=it, rejected=it + 500.0 if dry else 10_900.0, rejects_load=dry,
        bath=bath(trip_delay=600.0), **({"band": 0.0} if dry else {}), **changes,
    )  # fmt: skip


def random_year(seed: int, made: Machine, hours: int = 8760) -> HeatSeries:
    """A year of weather that no place has: every limit opens in it."""
    random = np.random.default_rng(seed)
    hour = np.arange(hours)
    slow = np.interp(hour, np.arange(0, hours + 168, 168), random.uniform(-36.0, 48.0, hours // 168 + 2))
    temp = slow + 8.0 * np.sin(2.0 * np.pi * (hour % 24 - 9.0) / 24.0) + random.normal(0.0, 2.0, hours)
    lit = random.random(hours) < 0.5
    air = SiteAir(
        temp_air=temp,
        temp_dew=temp - 5.0,
        pressure=random.uniform(70e3, 102e3, hours),
        longwave_down=STEFAN_BOLTZMANN * (temp + 273.15 - random.uniform(0.0, 25.0, hours)) ** 4,
        wind_speed=random.uniform(0.0, 12.0, hours),
    )
    roof = Microclimate(0.9, 0.9, 0.5, 0.08, 0.04)
    irradiance = random.uniform(0.0, 900.0, (6, hours)) * lit
    irradiance[5] = 0.0
    return run_series(
        surroundings(air, random.uniform(0.0, 1100.0, hours) * lit, irradiance, made, roof), made
    )


@kinds
@pytest.mark.parametrize("seed", [1, 2])
def test_energy_closes_through_a_year_of_trips_and_restarts(kind: str, seed: int) -> None:
    """Heat in, heat out and heat stored agree within 1e-6 of what went through."""
    made = unit(kind, 7600.0, leakage=0.002)
    series = random_year(seed, made)
    course = series.course
    assert course.stops >= 3, "the year must stop the servers"
    assert course.trips >= 3 or np.isinf(series.curve.condensing_limit), "and open the pressure switch"
    assert float(np.sum(course.servers_off)) > 3600.0
    stored = made.bath.heat_capacity * (course.liquid[-1] - made.setpoint)
    throughput = float(np.sum(np.abs(course.loaded)))
    assert abs(float(np.sum(course.loaded - course.cooled)) - stored) <= 1e-6 * throughput
    # and hour by hour
    before = np.concatenate([[made.setpoint], course.liquid[:-1]])
    hourly = made.bath.heat_capacity * (course.liquid - before)
    np.testing.assert_allclose(course.loaded - course.cooled, hourly, atol=1.0)
    # nothing is taken out in hours that an ambient limit bars, but what still air passes
    barred = series.headroom.binding < 2
    assert barred.any()
    if series.curve.still_share == 0.0:
        assert np.all(course.cooled[barred] == 0.0)
    assert np.isfinite(series.input_power).all()
    assert np.all(series.input_power > 0.0)


@kinds
@settings(max_examples=40)
@given(
    inlet=st.floats(15.0, 44.0), liquid=st.floats(25.0, 70.0), warmer=st.floats(0.0, 9.0), fouled=st.floats(0.0, 0.4),
    thin=st.floats(0.0, 0.35),
)  # fmt: skip
def test_capacity_never_rises_with_inlet_fouling_or_altitude(
    kind: str, inlet: float, liquid: float, warmer: float, fouled: float, thin: float
) -> None:
    """From 15 degC to the hottest column."""
    section = KINDS[kind]

    def capacity(inlet: float, fouling: float, pressure: float) -> float:
        made = section
        if hasattr(made, "coil"):
            made = replace(made, coil=replace(made.coil, fouling=fouling))  # type: ignore[type-var]
        factor = float(air_side_factor(pressure, fouling))
        curve = made.curve(air_in(inlet, factor=factor, pressure=pressure), SPAN)
        return float(np.where(curve.allowed_at(liquid), curve.capacity_at(liquid), 0.0)[0])

    best = capacity(inlet, 0.0, 101_325.0)
    slack = 2e-3 * best + 1e-6  # straight lines between knots
    assert capacity(inlet + warmer, 0.0, 101_325.0) <= best + slack
    assert capacity(inlet, fouled, 101_325.0) <= best + slack
    assert capacity(inlet, 0.0, 101_325.0 * (1.0 - thin)) <= best + slack


ECONOMISERS = [kind for kind in KINDS if kind.startswith("economiser")]


@pytest.mark.parametrize("kind", ECONOMISERS)
@settings(max_examples=150)
@given(
    air=st.floats(-50.0, 50.0), liquid=st.floats(30.0, 68.0), share=st.floats(0.0, 1.0), fan=st.floats(0.0, 900.0),
    changeover=st.floats(0.0, 12.0),
)  # fmt: skip
def test_the_economiser_never_costs_energy(
    kind: str, air: float, liquid: float, share: float, fan: float, changeover: float
) -> None:
    """For the same heat at the same temperatures it draws no more than the chiller without the coil."""
    section = replace(KINDS[kind], coil_fan_power=fan, changeover=changeover)  # type: ignore[type-var]
    entering = air_in(air, factor=1.1)
    plain = section.chiller.curve(entering, SPAN)
    assume(bool(plain.allowed_at(liquid)[0]))
    at, heat = np.array([liquid]), share * plain.full_capacity_at(liquid)
    alone = float(section.chiller.input_power(plain, at, heat)[0])
    with_coil = float(section.input_power(section.curve(entering, SPAN), at, heat)[0])
    assert with_coil <= alone + 1e-3 + 1e-4 * alone


@pytest.mark.parametrize("kind", ECONOMISERS)
def test_a_year_with_the_economiser_costs_no_more_than_one_without(kind: str) -> None:
    """Even where it passes the whole year from hour to hour, a bath held at its setpoint."""
    made = unit(kind, 5000.0)
    plain = replace(made, cooling=made.cooling.chiller)  # type: ignore[attr-defined]
    both, without = random_year(5, made, 2000), random_year(5, plain, 2000)
    held = (both.course.liquid == made.setpoint) & (without.course.liquid == made.setpoint)
    held &= both.course.servers_off + without.course.servers_off == 0.0
    held &= np.isclose(both.course.cooled, without.course.cooled)
    assert held.sum() > 700
    assert np.all(both.input_power[held] <= without.input_power[held] + 1e-3)
    assert both.input_power[held].sum() < 0.95 * without.input_power[held].sum()


@kinds
@settings(max_examples=25)
@given(start=st.floats(66.0, 69.99), it=st.floats(6000.0, 12_000.0), gain=st.floats(-300.0, 300.0))
def test_shutdown_is_overshot_only_by_pump_and_shell(kind: str, start: float, it: float, gain: float) -> None:
    """One hour in air in which nothing cools: the servers stop at 70 degC, and what goes on is pump and shell."""
    section = KINDS[kind]
    curve = section.curve(air_in(90.0), SPAN)
    load = HeatLoad(
        np.array([it + 153.0 + gain]),
        np.array([-11.0]),
        np.array([153.0 + gain]),
        np.array([-11.0]),
        it,
        0.0,
        40.0,
    )
    made = bath(trip_delay=600.0)
    course = march(curve, load, made, start)
    assert course.stops == 1
    most = max(0.0, 153.0 + gain - 11.0 * (made.shutdown - 40.0)) * 3600.0 / made.heat_capacity
    assert made.shutdown <= course.peak[0] <= made.shutdown + most + 1e-9


@settings(max_examples=60)
@given(
    inlet=st.floats(20.0, 52.0),
    limit=st.floats(45.0, 66.0),
    least=st.floats(0.15, 0.9),
    offset=st.floats(0.0, 0.3),
)
def test_a_compressor_that_slows_holds_the_condensing_limit(
    inlet: float, limit: float, least: float, offset: float
) -> None:
    """Wherever it may run the heat it gives to the air keeps T_cond at or under the limit, with its fan at full."""
    section = chiller(condensing_limit=limit, part_load=PartLoad(least, offset, 3.0))
    on_off = chiller(condensing_limit=limit)
    air = air_in(inlet, factor=1.08)
    curve, full = section.curve(air, SPAN), on_off.curve(air, SPAN)
    for liquid in np.linspace(20.0, 74.0, 28):
        whole, power = float(curve.full_capacity_at(liquid)[0]), float(curve.power_at(liquid)[0])
        assert whole == pytest.approx(float(full.capacity_at(liquid)[0]), rel=1e-6)
        if not curve.allowed_at(liquid)[0]:
            assert not full.allowed_at(liquid)[0]
            continue
        speed = float(curve.capacity_at(liquid)[0]) / whole
        assert least - 1e-6 <= speed <= 1.0 + 1e-9
        if full.allowed_at(liquid)[0]:
            assert speed == pytest.approx(1.0, abs=1e-6)
        if liquid <= 50.0:  # rows of the table end here
            given = speed * whole + 320.0 + (power - 320.0) * (offset + (1.0 - offset) * speed)
            hottest = inlet + 12.0 * 1.08 * given / 10_900.0
            # straight lines between knots: within 0.05 K
            assert hottest <= limit + 0.05


@kinds
def test_service_headroom_is_the_best_of_a_fine_grid(kind: str) -> None:
    inlet = np.linspace(-35.0, 51.0, 120)
    curve = KINDS[kind].curve(air_in(inlet, factor=1.05), SPAN)
    slope = np.full(inlet.shape, -11.0)
    load = HeatLoad(
        np.full(inlet.shape, 7000.0), slope, np.full(inlet.shape, 900.0), slope, 6153.0, 0.0, 40.0
    )
    room = headroom(curve, load, 48.0)
    best = np.full(inlet.shape, -np.inf)
    for liquid in np.linspace(40.0, 48.0, 1601):
        best = np.maximum(
            best, np.where(curve.allowed_at(liquid), curve.capacity_at(liquid), 0.0) - load.at(liquid)
        )
    np.testing.assert_allclose(room.bound, best, atol=6.0)
    assert np.all(room.bound >= best - 1e-6)
