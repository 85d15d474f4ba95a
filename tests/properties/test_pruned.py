"""What is skipped changes nothing: pruned searches and fast readings against all hours and plain readings."""

from dataclasses import replace

import numpy as np
import pytest
from failure_cases import bare_shell, winter_hours
from heat_cases import SPAN, air_in, chiller, dry_cooler, economiser, machine, shell
from hypothesis import given, settings
from hypothesis import strategies as st

from edgecheck.base.constants import HEAT_CAPACITY_AIR
from edgecheck.heat.balance import HOUR
from edgecheck.heat.chiller_kernel import in_rising_order
from edgecheck.heat.coil import Coil
from edgecheck.heat.coil_table import WITHIN, per_kelvin
from edgecheck.heat.curve import interpolate, read_together
from edgecheck.heat.economiser import COMES_IN_OVER
from edgecheck.heat.electricity import PartLoad
from edgecheck.heat.headroom import _best, headroom, service_share, worst_hour, worst_order
from edgecheck.heat.largest_load import _Hours, largest_by_share
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.orientation import DIRECTIONS, worst_front_azimuth
from edgecheck.heat.section import InletAir
from edgecheck.heat.section_kernel import read_columns
from edgecheck.heat.series import cooling_curve, heat_load_of, run_series, section_curve, surroundings
from edgecheck.heat.shell_curve import shell_curve
from edgecheck.heat.winter import power_off, spans_of
from edgecheck.heat.winter_bounds import starts_that_matter
from edgecheck.weather.site_air import SiteAir

seeds = st.integers(0, 10_000)
KINDS = {
    "chiller": chiller(),
    "leaving basis": chiller(leaving_basis=True, condensing_limit=55.0),
    "dry cooler": dry_cooler(),
    "economiser": economiser(),
}


def random_air(random: np.random.Generator, hours: int) -> SiteAir:
    temp = random.uniform(-30.0, 45.0) + random.normal(0.0, 6.0, hours)
    return SiteAir(
        temp_air=temp,
        temp_dew=temp - random.uniform(0.0, 15.0, hours),
        pressure=random.uniform(70e3, 102e3, hours),
        longwave_down=5.67e-8 * (temp + 273.15 - random.uniform(0.0, 25.0, hours)) ** 4,
        wind_speed=random.uniform(0.0, 12.0, hours),
    )


# ------------------------------------------------------------------------------------------ readings


@given(seed=seeds, knots=st.integers(1, 12), fixed=st.booleans(), scalar=st.booleans())
def test_readings_are_those_of_numpy(seed, knots, fixed, scalar):
    random = np.random.default_rng(seed)
    hours = 700 if seed % 3 else 5
    columns = 1 if fixed else hours
    at = np.sort(random.uniform(10.0, 60.0, (knots, columns)), axis=0) + 0.01 * np.arange(knots)[:, None]
    at = np.broadcast_to(at, (knots, hours))
    values = random.uniform(-1.0, 1.0, (knots, hours))
    where = np.full(hours, 42.0)
    where[: hours // 9] = random.uniform(0.0, 70.0, hours // 9)
    if scalar:
        where = np.full(hours, random.choice([42.0, float(at[0, 0]), float(at[-1, 0]), 0.0, 99.0]))
    right = [np.interp(where[hour], at[:, hour], values[:, hour]) for hour in range(hours)]
    asked = where[0] if scalar else where
    np.testing.assert_allclose(interpolate(at, values, asked), right, rtol=0, atol=1e-12)
    several = read_together(at, (values, 2.0 * values), where)
    np.testing.assert_allclose(several[1], 2.0 * np.array(right), rtol=0, atol=1e-12)
    if knots > 1:
        assert np.isnan(interpolate(at, values, np.full(hours, np.nan))).all()


@given(inlet=st.lists(st.floats(-40.0, 70.0), min_size=1, max_size=20))
def test_the_table_is_read_as_numpy_reads_it(inlet):
    made = chiller()
    rows = made.rows(np.array(inlet), np.ones(len(inlet)))
    for row, table in enumerate(made.capacity):
        right = np.interp(inlet, made.inlet_columns, table)
        np.testing.assert_allclose(rows.capacity[row], right, rtol=1e-13)


@given(seed=seeds, columns=st.integers(1, 7))
def test_a_table_of_any_width_is_read_as_numpy_reads_it(seed, columns):
    random = np.random.default_rng(seed)
    at = np.sort(random.uniform(0.0, 50.0, columns)) + 0.1 * np.arange(columns)
    tables = random.uniform(1.0, 9.0, (2, 3, columns))
    inlet = np.concatenate([random.uniform(-20.0, 70.0, 30), at])
    found = read_columns(at, (tables[0], tables[1]), inlet)
    for table, rows in zip(tables, found, strict=True):
        for row, values in zip(table, rows, strict=True):
            np.testing.assert_allclose(values, np.interp(inlet, at, row), rtol=1e-13)
    if columns > 1:
        assert np.isnan(read_columns(at, (tables[0],), np.array([np.nan]))).all()


@given(seed=seeds, count=st.integers(1, 26), hours=st.sampled_from([1, 7, 256, 600]))
def test_knots_are_put_in_order_as_numpy_sorts(seed, count, hours):
    random = np.random.default_rng(seed)
    knots = random.uniform(0.0, 80.0, (count, hours)).round(random.integers(0, 4))
    right = np.sort(knots, axis=0) + 1e-7 * np.arange(count)[:, np.newaxis]
    np.testing.assert_allclose(in_rising_order(knots.copy(), 1e-7), right, rtol=1e-15)


@settings(max_examples=25, deadline=None)
@given(
    seed=seeds,
    share=st.floats(0.05, 0.95),
    fouling=st.floats(0.0, 0.4),
    slope=st.floats(-8.0, 8.0),
    speed=st.floats(0.3, 1.0),
)
def test_the_coil_table_is_the_series(seed, share, fouling, slope, speed):
    random = np.random.default_rng(seed)
    made: Coil = replace(dry_cooler().coil, air_share=share, fouling=fouling)
    made = replace(made, liquid=replace(made.liquid, slope=slope))
    density = random.uniform(0.85, 1.45, 40)
    liquid = random.uniform(-30.0, 80.0, (6, 40))
    right = made.per_kelvin(liquid, density, speed)
    # the polynomial is compared at points of its own: between them it may be off by a little more
    np.testing.assert_allclose(per_kelvin(made, liquid, density, speed), right, rtol=10.0 * WITHIN)


# ------------------------------------------------------------------------------------------ headroom


@settings(max_examples=40, deadline=None)
@given(seed=seeds, kind=st.sampled_from(list(KINDS)), it=st.floats(3000.0, 9000.0))
def test_share_and_bound_alone_are_those_of_the_whole(seed, kind, it):
    random = np.random.default_rng(seed)
    made = machine(cooling=KINDS[kind], it=it)
    inlet = random.uniform(-40.0, 70.0, 60)
    curve = KINDS[kind].curve(air_in(inlet), SPAN)
    load = heat_load_of(random.uniform(-600.0, 900.0, 60), random.uniform(2.0, 9.0, 60), made)
    whole = headroom(curve, load, 48.0)
    np.testing.assert_array_equal(service_share(curve, load, 48.0), whole.share_bound)
    np.testing.assert_array_equal(_best(curve, load, 48.0)[0], whole.bound)
    assert worst_hour(whole) == worst_order(whole, 1)[0]


@settings(max_examples=25, deadline=None)
@given(seed=seeds, kind=st.sampled_from(list(KINDS)), most=st.floats(100.0, 15e3), least=st.floats(-0.2, 0.5))
def test_the_largest_load_is_that_of_plain_halving_in_all_hours(seed, kind, most, least):
    random = np.random.default_rng(seed)
    rejects = kind == "dry cooler"
    site = Microclimate(0.9, 0.9, 0.5, 0.08, 0.04)

    def at(load):
        return machine(cooling=KINDS[kind], it=load, rejects_load=rejects, rejected=load if rejects else 11e3)

    around = surroundings(
        random_air(random, 300), random.uniform(0.0, 900.0, 300), np.zeros((6, 300)), at(5000.0), site
    )
    year = run_series(around, at(5000.0))

    def carries(load):
        made = at(load)
        now = around.around(made)
        asked = heat_load_of(around.envelope.total, around.envelope.conductance, made)
        return bool(np.all(service_share(section_curve(now, made), asked, made.service_max) >= least))

    low, high = 0.0, most
    while high - low > 1.0 and not carries(most):
        middle = (low + high) / 2.0
        low, high = (middle, high) if carries(middle) else (low, middle)
    found = largest_by_share(_Hours.of(year, None if rejects else year.curve), at, most, least)
    assert found == (most if carries(most) else low)


# ------------------------------------------------------------------------------------------ orientation


class Light:
    """Irradiance of its own on every wall."""

    def __init__(self, random: np.random.Generator, hours: int) -> None:
        lit = random.random(hours) < 0.5
        self.walls = {azimuth: random.uniform(0.0, 900.0, hours) * lit for azimuth in range(0, 360, 45)}
        self.lid = random.uniform(0.0, 1000.0, hours) * lit

    def on_faces(self, azimuth: float, *shading: object) -> np.ndarray:
        walls = [self.walls[(int(azimuth) + turn) % 360] for turn in (0, 90, 180, 270)]
        return np.stack([self.lid, *walls, np.zeros_like(self.lid)])


@settings(max_examples=25, deadline=None)
@given(seed=seeds, kind=st.sampled_from(list(KINDS)), leakage=st.sampled_from([0.0, 0.01]))
def test_the_worst_direction_is_that_of_four_whole_years(seed, kind, leakage):
    random = np.random.default_rng(seed)
    hours = 300
    made = machine(
        cooling=KINDS[kind], it=float(random.uniform(4000.0, 9000.0)), leakage=leakage, shell=shell(0.9)
    )
    air, roof = random_air(random, hours), Microclimate(0.9, 0.9, 0.5, 0.08, 0.04)
    light, ghi = Light(random, hours), random.uniform(0.0, 900.0, hours)
    years = [surroundings(air, ghi, light.on_faces(one), made, roof) for one in DIRECTIONS]
    least = np.array([np.min(run_series(year, made).headroom.share_bound) for year in years])
    found = worst_front_azimuth(light, years[0], made, roof, 1.0, (), cooling_curve(years[0], made))
    # the conductance is held at the first direction's: it may differ as far as the liquid may float
    apart = np.ptp([year.envelope.conductance for year in years], axis=0).max()
    close = apart * (made.service_max - made.setpoint) / made.it
    assert close < 1e-3
    assert least[DIRECTIONS.index(found)] <= np.min(least) + close


def test_a_quarter_turn_of_unlike_walls_is_refused():
    random = np.random.default_rng(1)
    box = shell()
    made = machine(shell=replace(box, conductance=box.conductance * np.array([1.0, 1.0, 2.0, 1.0, 2.0, 1.0])))
    light, roof = Light(random, 48), Microclimate(0.9, 0.9, 0.5, 0.08, 0.04)
    year = surroundings(random_air(random, 48), light.lid, light.on_faces(0.0), made, roof)
    with pytest.raises(ValueError, match="not alike"):
        worst_front_azimuth(light, year, made, roof, 1.0, (), cooling_curve(year, made))


# ------------------------------------------------------------------------------------------ winter


@settings(max_examples=60, deadline=None)
@given(
    seed=seeds,
    bare=st.booleans(),
    capacity=st.floats(60e3, 900e3),
    hours=st.sampled_from([0.0, 0.5, 3.0, 7.25, 24.0, 130.0]),
    limit=st.sampled_from([float("nan"), -40.0, -5.0, 10.0]),
)
def test_cuts_that_are_not_followed_are_not_the_worst(seed, bare, capacity, hours, limit):
    weather = winter_hours(120, seed)
    curve = shell_curve(bare_shell() if bare else shell(), roof_emissivity=0.9, centre=12.0, **weather)
    start = np.full(120, 38.0)
    start[seed % 120 :: 7] -= 1.5
    whole = power_off(curve, start, capacity, hours)
    begins = starts_that_matter(curve, start, capacity, spans_of(hours), limit)
    some = power_off(curve, start[begins], capacity, hours, begins)
    np.testing.assert_allclose(some.at_return, whole.at_return[begins], rtol=0, atol=1e-10)
    np.testing.assert_allclose(some.coldest, whole.coldest[begins], rtol=0, atol=1e-10)
    near = 1e-9
    assert begins[np.argmin(some.at_return)] in np.flatnonzero(
        whole.at_return <= np.min(whole.at_return) + near
    )
    assert begins[np.argmin(some.coldest)] in np.flatnonzero(whole.coldest <= np.min(whole.coldest) + near)
    if not np.isnan(limit):
        assert set(np.flatnonzero(whole.at_return < limit)) <= set(begins.tolist())


def test_most_starts_of_a_mild_winter_are_not_followed():
    weather = winter_hours(2000, 5)
    curve = shell_curve(shell(), roof_emissivity=0.9, centre=12.0, **weather)
    begins = starts_that_matter(curve, np.full(2000, 38.0), 300e3, [HOUR] * 24, -50.0)
    assert len(begins) < 60


@pytest.mark.parametrize("hours", [5, 300])  # the coil's series; its polynomial, in more than one block
@pytest.mark.parametrize("before", [False, True])
@pytest.mark.parametrize("least", [1.0, 0.4])
def test_parts_of_an_economiser_are_those_of_its_coil_and_its_chiller(
    hours: int, before: bool, least: float
) -> None:
    rng = np.random.default_rng(hours)
    part_load = PartLoad(least, 0.1, 3.0)
    section = economiser(
        chiller=chiller(part_load=part_load, condensing_limit=55.0, inlet_min=-5.0), before_condenser=before
    )
    one, coil = section.chiller, section.coil
    inlet = rng.uniform(-12.0, 44.0, hours)
    air = InletAir(inlet - 0.5, inlet, rng.uniform(1.0, 1.3, hours), rng.uniform(1.0, 1.1, hours))
    curve = section.curve(air, SPAN)

    def at(liquid: np.ndarray) -> tuple[np.ndarray, ...]:
        share = np.clip((liquid - curve.starts) / COMES_IN_OVER, 0.0, 1.0)
        heat = share * coil.per_kelvin(liquid, air.density) * np.maximum(0.0, liquid - inlet)
        warmed = (
            inlet + heat / (air.density * section.condenser_airflow * HEAT_CAPACITY_AIR) if before else inlet
        )
        rest = one.stage(one.rows(warmed, air.factor), liquid - heat / coil.liquid.at(liquid))
        alone = one.stage(one.rows(inlet, air.factor), liquid)
        runs = air.outdoor >= one.inlet_min
        whole = heat + np.where(runs, rest.capacity, 0.0)
        full = np.where(runs, rest.full_capacity, 0.0), rest.power
        return whole, heat, *full, np.where(runs, alone.full_capacity, 0.0), alone.power, rest.condensing

    for knot in range(len(curve.knots)):
        liquid = curve.knots[knot]
        right = at(liquid)
        np.testing.assert_allclose(curve.capacity[knot], right[0], rtol=1e-10, atol=1e-6)
        names = ("coil", "rest_capacity", "rest_power", "alone_capacity", "alone_power", "condensing")
        for name, values in zip(names, right[1:], strict=True):
            np.testing.assert_allclose(curve.part(name, liquid), values, rtol=1e-10, atol=1e-6, err_msg=name)
    between = 0.3 * curve.knots[3] + 0.7 * curve.knots[4]
    ends = [0.3 * low + 0.7 * high for low, high in zip(at(curve.knots[3]), at(curve.knots[4]), strict=True)]
    np.testing.assert_allclose(curve.part("rest_power", between), ends[3], rtol=1e-9)
    np.testing.assert_allclose(
        interpolate(curve.knots, curve.capacity, between), curve.capacity_at(between), rtol=1e-12
    )
