"""What must hold of the heat of any site: more heat or worse air never helps, nothing is lost, unknown is not good."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from heat_cases import CAPACITY, COLUMNS, POWER, chiller, machine
from hypothesis import given, settings
from hypothesis import strategies as st
from series_cases import clean, heat_of, run, spell, times
from site_cases import REQUIRED, decide, heat, machine_at, site, station

from edgecheck.base.constants import STEFAN_BOLTZMANN
from edgecheck.chain import Station
from edgecheck.checks.declarations import check_of
from edgecheck.checks.heat import cold_spell_check, cycling_check, headroom_check, hot_spell_check
from edgecheck.checks.heat import operating_range_check as range_check
from edgecheck.checks.outage import losses, outage_check
from edgecheck.heat.envelope import FACES
from edgecheck.heat.faces import sky_light
from edgecheck.heat.headroom import Headroom, headroom
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.place import place_of
from edgecheck.heat.series import cooling_curve, heat_load_of, run_series, surroundings
from edgecheck.heat.site_heat import site_heat
from edgecheck.inputs.criteria import load_criteria
from edgecheck.weather.site_air import SiteAir

CRITERIA = load_criteria("full")
HOURS = 24
BEST_FIRST = ("pass", "caution", "not assessed", "fail")


@dataclass(frozen=True)
class Case:
    """Hours with a machine on a roof."""

    air: SiteAir
    ghi: np.ndarray
    irradiance: np.ndarray
    machine: Machine
    roof: Microclimate

    def around(self):
        return surroundings(self.air, self.ghi, self.irradiance, self.machine, self.roof)

    def headroom(self) -> Headroom:
        around = self.around()
        curve = cooling_curve(around, self.machine)
        load = heat_load_of(around.envelope.total, around.envelope.conductance, self.machine)
        return headroom(curve, load, self.machine.service_max)

    def least(self) -> np.ndarray:
        """Least headroom of all hours, in W and as a share, capacity past the table taken from its last column."""
        room = self.headroom()
        return np.array([room.bound.min(), room.share_bound.min()])


@st.composite
def cases(draw, hottest=52.0):
    """Plausible hours of any climate under a machine with any of its conventions."""
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    middle = draw(st.floats(-30.0, hottest - 6.0))
    temp = random.uniform(middle - 6.0, middle + 6.0, HOURS)
    sky = STEFAN_BOLTZMANN * (temp + 273.15 - random.uniform(0.0, 28.0, HOURS)) ** 4
    lit = random.random(HOURS) < 0.7
    irradiance = random.uniform(0.0, 1000.0, (6, HOURS)) * lit
    irradiance[FACES.index("floor")] = 0.0
    air = SiteAir(
        temp_air=temp,
        temp_dew=temp - 5.0,
        pressure=np.full(HOURS, draw(st.floats(62e3, 103e3))),
        longwave_down=sky,
        wind_speed=random.uniform(0.0, 12.0, HOURS),
    )
    cooling = chiller(
        leaving_basis=draw(st.booleans()),
        condensing_limit=draw(st.sampled_from([56.0, 63.0, 99.0])),
        inlet_max=draw(st.sampled_from([48.0, 52.0, 80.0])),
    )
    made = machine(
        cooling=cooling,
        it=draw(st.floats(500.0, 12_000.0)),
        leakage=draw(st.sampled_from([0.0, 0.004])),
        service_max=draw(st.sampled_from([40.0, 44.0, 48.0])),
        fouling=draw(st.floats(0.0, 0.3)),
    )
    roof = Microclimate(
        roof_absorptance=draw(st.floats(0.1, 0.95)),
        roof_emissivity=draw(st.sampled_from([0.3, 0.9, 0.95])),
        wind_share=draw(st.floats(0.0, 1.0)),
        recirculation=draw(st.floats(0.0, 0.3)),
        roof_mixing=draw(st.floats(0.0, 0.2)),
    )
    return Case(air, random.uniform(0.0, 1150.0, HOURS) * lit, irradiance, made, roof)


steps = st.floats(0.01, 1.0)


def never_helps(before: Case, after: Case) -> None:
    was, becomes = before.least(), after.least()
    assert becomes[0] <= was[0] + 1e-6
    assert becomes[1] <= was[1] + 1e-9


@given(cases(), steps, st.sampled_from(FACES))
def test_irradiance_on_a_face_never_helps(case, step, face):
    more = case.irradiance.copy()
    more[FACES.index(face)] += 400.0 * step
    never_helps(case, replace(case, irradiance=more))


@given(cases(), steps)
def test_irradiance_on_the_deck_never_helps(case, step):
    """The deck warms the inlet air and the walls; the light on the faces is kept."""
    never_helps(case, replace(case, ghi=case.ghi + 400.0 * step))


@given(cases(), steps)
def test_absorptance_of_the_box_never_helps(case, step):
    shell = case.machine.shell
    darker = replace(shell, absorptance=shell.absorptance + (1.0 - shell.absorptance) * step)
    never_helps(case, replace(case, machine=replace(case.machine, shell=darker)))


@given(cases(), steps)
def test_it_load_never_helps(case, step):
    never_helps(case, replace(case, machine=replace(case.machine, it=case.machine.it * (1.0 + step))))


@pytest.mark.parametrize(
    "name, most", [("recirculation", 0.2), ("roof_mixing", 0.2), ("roof_absorptance", 0.05)]
)
@given(case=cases(), step=steps)
def test_warm_air_and_a_dark_roof_never_help(name, most, case, step):
    worse = replace(case.roof, **{name: getattr(case.roof, name) + most * step})
    never_helps(case, replace(case, roof=worse))


@given(cases(), steps)
def test_fouling_never_helps(case, step):
    never_helps(case, replace(case, machine=replace(case.machine, fouling=case.machine.fouling + 0.3 * step)))


@given(cases(), steps)
def test_thin_air_never_helps(case, step):
    thin = replace(case.air, pressure=case.air.pressure * (1.0 - 0.3 * step))
    never_helps(case, replace(case, air=thin))


@given(cases(), steps)
def test_hotter_outdoor_air_never_helps_above_the_low_limit(case, step):
    mild = replace(
        case, machine=replace(case.machine, cooling=replace(case.machine.cooling, inlet_min=-90.0))
    )
    never_helps(mild, replace(mild, air=mild.air.shifted(8.0 * step)))


@given(cases())
def test_the_split_adds_up_to_the_load(case):
    shell = case.around().envelope
    np.testing.assert_allclose(shell.solar + shell.longwave + shell.envelope, shell.total, atol=1e-9)
    load = heat_load_of(shell.total, shell.conductance, case.machine)
    np.testing.assert_allclose(load.at_setpoint, case.machine.it_heat + case.machine.pump_load + shell.total)


@settings(max_examples=25)
@given(cases(hottest=44.0))
def test_a_day_later_everything_comes_a_day_later(case):
    """A mild day in front or behind: the bath is at rest in it, so that the hours between are the same."""
    calm = 18.0
    made = replace(case.machine, it=min(case.machine.it, 6000.0))

    def with_calm(values: np.ndarray, fill: float, first: bool) -> np.ndarray:
        rest = np.full((*values.shape[:-1], HOURS), fill)
        return np.concatenate([rest, values] if first else [values, rest], axis=-1)

    def series(first: bool):
        air = SiteAir(
            temp_air=with_calm(case.air.temp_air, calm, first),
            temp_dew=with_calm(case.air.temp_dew, 5.0, first),
            pressure=with_calm(case.air.pressure, 101_325.0, first),
            longwave_down=with_calm(case.air.longwave_down, 330.0, first),
            wind_speed=with_calm(case.air.wind_speed, 2.0, first),
        )
        dark = with_calm(case.ghi, 0.0, first), with_calm(case.irradiance, 0.0, first)
        return run_series(surroundings(air, *dark, made, case.roof), made)

    now, later = series(first=False), series(first=True)
    for name in ("capacity", "at_setpoint", "service", "share", "binding", "exceedance"):
        np.testing.assert_array_equal(
            getattr(now.headroom, name)[:HOURS], getattr(later.headroom, name)[HOURS:], err_msg=name
        )
    np.testing.assert_array_equal(now.course.liquid[:HOURS], later.course.liquid[HOURS:])
    np.testing.assert_array_equal(now.course.peak[:HOURS], later.course.peak[HOURS:])
    np.testing.assert_array_equal(now.input_power[:HOURS], later.input_power[HOURS:])
    assert np.all(later.course.liquid[:HOURS] == made.setpoint)


# ---------------------------------------------------------------------------------------------- unknown hours

ENDS = chiller(inlet_columns=COLUMNS[:5], capacity=CAPACITY[:, :5], power=POWER[:, :5], condensing_limit=99.0)
WHOLE = chiller(condensing_limit=99.0)


def statuses(temps, made):
    """Status of every check of heat and outage with the hours as year, hot and cold spell."""
    hot, cold = spell(temps, made), spell(temps, made, warm=False)
    site_of = heat_of(made, temps, hot=hot, cold=cold)
    found = [
        headroom_check(check_of("heat.headroom"), site_of.year, site_of.time, CRITERIA),
        hot_spell_check(check_of("heat.hot-spell"), hot, made, CRITERIA),
        range_check(check_of("heat.operating-range"), site_of),
        cold_spell_check(check_of("heat.cold-spell"), cold, made),
        cycling_check(check_of("heat.cycling"), site_of.year, times(len(temps)), made),
    ]
    for cause in ("cooling-lost", "pump-lost"):
        lost = losses(site_of, pump_runs=cause == "cooling-lost")
        found.append(outage_check(check_of(f"outage.{cause}"), lost, site_of, CRITERIA.outage))
    return {result.id: result.status for result in found}


known = st.lists(st.floats(-30.0, 45.0), min_size=2, max_size=8)
loads = st.floats(1000.0, 10_000.0)


@given(known, loads, st.floats(45.2, 51.5))
def test_an_unknown_hour_more_never_makes_a_check_better(temps, it, beyond):
    made = clean(cooling=ENDS, it=it)
    before, after = statuses(temps, made), statuses([*temps, beyond], made)
    assert run([beyond], made).headroom.unknown.all()
    for check_id, status in after.items():
        if check_id == "heat.cycling":  # at worst a caution
            assert status in ("not assessed", "caution")
            continue
        assert status in ("not assessed", "fail"), check_id
        assert before[check_id] != "fail" or status == "fail", check_id


@given(st.lists(st.floats(30.0, 51.5), min_size=2, max_size=8), loads)
def test_a_table_that_ends_early_says_no_more_than_the_whole_one(temps, it):
    """What fails on the cut table fails on the whole one too: its last column is an upper bound."""
    cut, full = statuses(temps, clean(cooling=ENDS, it=it)), statuses(temps, clean(cooling=WHOLE, it=it))
    past = bool(run(temps, clean(cooling=ENDS, it=it)).headroom.unknown.any())
    for check_id, status in cut.items():
        if status == "fail":
            assert full[check_id] == "fail", check_id
        if past and check_id != "heat.cycling":
            assert status in ("not assessed", "fail"), check_id
        if not past:
            assert status == full[check_id], check_id


@pytest.mark.parametrize("name", ["temp_air", "pressure", "longwave_down", "wind_speed"])
def test_an_hour_without_weather_is_refused_and_not_passed_over(name):
    temp = np.full(6, 20.0)
    values = {
        "temp_air": temp,
        "temp_dew": temp - 5.0,
        "pressure": np.full(6, 1e5),
        "longwave_down": np.full(6, 330.0),
        "wind_speed": np.full(6, 2.0),
    }
    holed = {key: value.copy() for key, value in values.items()}
    holed[name][3] = np.nan
    dark, made, roof = np.zeros(6), machine(), Microclimate(0.9, 0.9, 0.5, 0.05, 0.04)
    for given_values, fails in ((values, False), (holed, True)):
        around = surroundings(SiteAir(**given_values), dark, np.zeros((6, 6)), made, roof)
        if fails:
            with pytest.raises(ValueError, match="an hour without weather"):
                run_series(around, made)
        else:
            run_series(around, made)


# ---------------------------------------------------------------------------------------- a real year, all of it

SKYLINE = ((40.0, 5.0), (90.0, 35.0), (140.0, 2.0), (250.0, 20.0))


def turned(turn: float) -> Station:
    """The station with the sun turned about the zenith."""
    made = Station.of(station().weather)
    light = made.years[0].light
    hours = made.years[0].hours
    light.sun = replace(light.sun, azimuth=(light.sun.azimuth + turn) % 360.0)
    light.sky = sky_light(light.sun, hours.ghi, hours.dni, hours.dhi)
    return made


@pytest.mark.parametrize("turn", [45.0, 90.0, 213.0])
def test_turning_site_and_building_together_changes_nothing(turn):
    values = {"front_azimuth_deg": 30.0, "horizon": SKYLINE}
    moved = {
        "front_azimuth_deg": (30.0 + turn) % 360.0,
        "horizon": tuple(((azimuth + turn) % 360.0, height) for azimuth, height in SKYLINE),
    }
    there = site_heat(place_of(site(moved), turned(turn)), machine_at(6000.0), CRITERIA.heat)
    here = heat(values)
    np.testing.assert_allclose(
        there.year.surroundings.envelope.total, here.year.surroundings.envelope.total, atol=1e-6
    )
    np.testing.assert_allclose(there.year.headroom.service, here.year.headroom.service, atol=1e-6)
    np.testing.assert_allclose(there.hot.series.course.liquid, here.hot.series.course.liquid, atol=1e-9)
    alone = site_heat(
        place_of(site({**values, "horizon": moved["horizon"]}), turned(turn)),
        machine_at(6000.0),
        CRITERIA.heat,
    )
    assert np.abs(alone.year.surroundings.envelope.total - here.year.surroundings.envelope.total).max() > 1.0


def test_the_worst_direction_turns_with_the_sun():
    there = site_heat(
        place_of(site({"roof_surface": "light"}), turned(45.0)), machine_at(6000.0), CRITERIA.heat
    )
    here = heat({"roof_surface": "light"})
    assert there.front_azimuth == (here.front_azimuth + 45.0) % 180.0
    np.testing.assert_allclose(there.year.headroom.share.min(), here.year.headroom.share.min(), atol=1e-9)


@pytest.mark.parametrize(
    "column, values",
    [
        ("it_load_kw", [2.0, 5.0, 8.0, 9.0]),
        ("recirculation", [0.0, 0.1, 0.3]),
        ("inlet_roof_mixing", [0.0, 0.05, 0.15]),
        ("roof_solar_absorptance", [0.1, 0.5, 0.9]),
        ("warming_k", [-1.0, 0.0, 3.0]),
        ("urban_heat_k", [0.0, 4.0]),
        ("canopy_transmittance", [0.2, 0.6, 1.0]),
    ],
)
def test_a_worse_cell_never_helps_the_site(column, values):
    base = {
        **REQUIRED,
        "front_azimuth_deg": 180.0,
        "extreme_dry_bulb_c": 39.0,
        "extreme_cold_dry_bulb_c": -20.0,
    }
    results = [decide(base | {column: value}) for value in values]
    shares = [result.figures["headroom_share"] for result in results]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > shares[-1]
    peaks = [result.figures["liquid_peak_c"] for result in results]
    assert peaks == sorted(peaks)
    minutes = [result.figures["ride_through_minutes"] for result in results]
    assert minutes == sorted(minutes, reverse=True)
    for check_id in ("heat.headroom", "heat.hot-spell", "outage.cooling-lost"):
        found = [next(c.status for c in result.checks if c.id == check_id) for result in results]
        places = [BEST_FIRST.index(status) for status in found]
        assert places == sorted(places)
