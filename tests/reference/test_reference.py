"""The reference model checked by hand, by closed forms and against published numbers."""

import dataclasses
import math
from datetime import datetime
from pathlib import Path

import pytest

from tests.reference import model
from tests.reference.liquid_march import HOUR, March, march, ride_through
from tests.reference.model import Conditions, Hour, Site, conditions
from tests.reference.service import load, service_headroom, setpoint_headroom
from tests.reference.sun_faces import sun_on_faces

UNIT = model.read_unit(Path(__file__).with_name("unit.toml"))
DENSITY, CP = 800.0, 2200.0
HEAT_CAPACITY = 0.118 * DENSITY * CP + 45_000.0
NO_SUN = dict.fromkeys(("lid", *model.WALLS), 0.0)


def hour(temp_air: float = 30.0, **changes: object) -> Hour:
    values = {
        "temp_dew": 10.0,
        "pressure": 101325.0,
        "longwave_down": model.black_body(temp_air),
        "wind_speed": 3.0,
        "ghi": 0.0,
        "irradiance": NO_SUN,
    }
    return Hour(temp_air=temp_air, **(values | changes))


def plain(t_in: float, it_load: float = 6000.0, factor: float = 1.0, **changes: float) -> Conditions:
    """An hour without envelope heat."""
    values = {"temp_air": t_in, "deck": t_in, "envelope_set": 0.0, "slope": 0.0, "t_eq": t_in} | changes
    return Conditions(t_in=t_in, factor=factor, it_load=it_load, **values)


# --- surfaces: linear cases by hand


def test_deck_without_radiation_is_sun_over_film():
    # emissivity 0: T = Ta + a I / h, h = 4 + 4 max(1, 0.5 * 1) = 8
    still = hour(ghi=800.0, wind_speed=1.0)
    assert model.deck_temperature(still, (0.9, 0.0), 0.5) == pytest.approx(30.0 + 0.9 * 800.0 / 8.0, abs=1e-9)


def test_deck_under_a_black_sky_at_air_temperature_is_at_air_temperature():
    assert model.deck_temperature(hour(), (0.9, 0.9), 0.5) == pytest.approx(30.0, abs=1e-9)


def test_face_without_radiation_is_a_chain_of_two_resistances():
    # emissivity 0, no sun: 1/U = 1/h + R + 1/h_in with h = 4 + 4 * 0.5 * 3 = 10, R = 0.5, h_in = 60
    matt = dataclasses.replace(UNIT, emissivity=0.0)
    u = 1.0 / (1.0 / 10.0 + 0.5 + 1.0 / 60.0)
    area = 2 * 1.20 * 0.80 + 2 * 1.20 * 1.07 + 2 * 0.80 * 1.07  # 1.15 m high on feet of 0.08 m
    now = hour()
    assert model.envelope_heat(now, matt, Site(), 30.0, 40.0) == pytest.approx(u * area * -10.0, rel=1e-9)
    assert model.envelope_slope(now, matt, Site(), 30.0) == pytest.approx(u * area, rel=1e-9)


def test_slope_is_the_derivative_and_line_is_good_at_shutdown():
    now = hour(35.0, ghi=900.0, longwave_down=380.0, irradiance=NO_SUN | {"lid": 900.0, "left": 500.0})
    deck = model.deck_temperature(now, (0.9, 0.9), 0.5)
    heat = [model.envelope_heat(now, UNIT, Site(), deck, UNIT.setpoint + d) for d in (-0.5, 0.0, 0.5, 30.0)]
    slope = model.envelope_slope(now, UNIT, Site(), deck)
    assert heat[0] - heat[2] == pytest.approx(slope, rel=1e-6)
    assert heat[1] - 30.0 * slope == pytest.approx(heat[3], abs=1.0)


def test_split_adds_up_and_sun_warms():
    now = hour(35.0, ghi=900.0, longwave_down=380.0, irradiance=NO_SUN | {"lid": 900.0, "left": 500.0})
    deck = model.deck_temperature(now, (0.9, 0.9), 0.5)
    parts = model.envelope_split(now, UNIT, Site(), deck)
    total = model.envelope_heat(now, UNIT, Site(), deck, UNIT.setpoint)
    assert sum(parts.values()) == pytest.approx(total, abs=1e-9)
    assert parts["solar"] > 0.0
    assert parts["envelope"] < 0.0  # the air is colder than the liquid


# --- air and rating table


@pytest.mark.parametrize("elevation, published", [(762, 0.95), (1525, 0.90), (2285, 0.85), (3050, 0.80)])
def test_altitude_factor_of_air_cooled_condensers(elevation, published):
    # manufacturer's table "Effects of altitude", row air-cooled condenser; to half a percent of the rating
    pressure = 101325.0 * (1.0 - 2.25577e-5 * elevation) ** 5.25588
    assert 1.0 / model.altitude_fouling_factor(pressure, 0.0) == pytest.approx(published, abs=0.005)


def test_factor_at_1525_m_with_fouling_by_hand():
    # p/p0 = 0.8320, 0.8320^0.6 = 0.89548, x 0.9 = 0.80593
    pressure = 101325.0 * (1.0 - 2.25577e-5 * 1525.0) ** 5.25588
    assert model.altitude_fouling_factor(pressure, 0.10) == pytest.approx(1.0 / 0.80593, rel=5e-4)


def test_inlet_by_hand():
    # 0.05/0.95 * 10900 W / (rho 1006 1.3), rho = 101325/(287.042 * 303.15) = 1.16442; deck 20 K over air
    t_in, t_eq, factor = model.inlet(hour(), UNIT, Site(), 50.0)
    assert t_in == pytest.approx(30.0 + 0.04 * 20.0 + 573.684 / (1.16442 * 1006.0 * 1.3), abs=1e-4)
    assert factor == pytest.approx(1.0 / 0.9)
    assert t_eq - t_in == pytest.approx(12.0 / 9.0)


def test_table_at_a_node_in_a_cell_and_outside():
    assert model.capacity(UNIT, 40.0, 35.0, CP) == pytest.approx(8800.0)
    assert model.power(UNIT, 40.0, 35.0, CP) == pytest.approx(2120.0)
    assert model.capacity(UNIT, 35.0, 30.0, CP) == pytest.approx((8000.0 + 7300.0 + 9500.0 + 8800.0) / 4.0)
    assert model.capacity(UNIT, 70.0, 35.0, CP) == pytest.approx(10300.0)  # held above the last row
    assert model.capacity(UNIT, 70.0, 35.0, CP, extended=True) == pytest.approx(10300.0 + 2 * 1500.0)
    assert model.capacity(UNIT, 0.0, 0.0, CP) == pytest.approx(7400.0)  # corner
    assert model.capacity(UNIT, 40.0, 99.0, CP) == pytest.approx(6900.0)  # last column


def test_leaving_basis_reads_the_table_at_the_colder_side():
    # between rows 30 and 40 at 35 degC air: Q = 7300 + 150 (T - 30 - Q/k), k = m cp = 1980 W/K
    leaving = dataclasses.replace(UNIT, leaving=True)
    k = 0.9 * CP
    assert model.capacity(leaving, 40.0, 35.0, CP) == pytest.approx(
        (7300.0 + 1500.0) / (1.0 + 150.0 / k), rel=1e-9
    )


def test_condensing_at_the_rating_point():
    # 35 + 12 q at sea level and clean, q = (8.8 + 2.12)/10.9; and 12 X q over inlet air with X = 1.25
    q = 10.92 / 10.9
    assert model.condensing(UNIT, 40.0, 35.0, 35.0, 1.0, CP) == pytest.approx(35.0 + 12.0 * q, rel=1e-12)
    assert model.condensing(UNIT, 40.0, 32.0, 35.0, 1.25, CP) == pytest.approx(32.0 + 15.0 * q, rel=1e-12)


# --- headroom and limits


def test_headroom_by_hand():
    # 8800 - 6000 - 180 * 0.85 at the setpoint; at 48 degC the table gives 8800 + 0.8 * 1500
    now = plain(35.0)
    assert setpoint_headroom(now, UNIT, CP) == pytest.approx(2800.0 - 153.0)
    best = service_headroom(now, UNIT, CP)
    assert (best.at, best.binding) == (48.0, "none")
    assert best.headroom == pytest.approx(4000.0 - 153.0)
    assert best.share == pytest.approx(3847.0 / 6153.0)


def test_headroom_at_the_edge_of_the_condensing_limit():
    # T_in chosen so that the limit opens at 44 degC, where q = (8800 + 600 + 2120 + 48)/10900
    q = (9400.0 + 2168.0) / 10900.0
    now = plain(63.0 - 12.0 * 1.3 * q, factor=1.3, t_eq=35.0)
    best = service_headroom(now, UNIT, CP)
    assert best.at == pytest.approx(44.0, abs=1e-6)
    assert best.headroom == pytest.approx(9400.0 - 6153.0, abs=1e-3)
    assert best.binding == "none"


@pytest.mark.parametrize(
    "now, binding",
    [
        (plain(-25.1), "inlet-low"),
        (plain(52.1, t_eq=53.0), "inlet-high"),
        (plain(51.0, factor=1.3), "condensing"),
        (plain(46.0, t_eq=54.1), "beyond-table"),
        (plain(35.0, it_load=9900.0), "capacity"),
        (plain(-25.0), "none"),
    ],
)
def test_binding_limit(now, binding):
    best = service_headroom(now, UNIT, CP)
    assert best.binding == binding
    assert best.known == (binding != "beyond-table")
    if binding in ("inlet-low", "inlet-high", "condensing"):
        assert best.headroom == pytest.approx(-load(now, UNIT, best.at))
        assert best.share == pytest.approx(-1.0)


# --- the liquid


def closes(hours, unit=UNIT):
    marched = march(hours, unit, DENSITY, CP)
    stored = HEAT_CAPACITY * (marched[-1].end - unit.setpoint)
    produced = sum(one.produced for one in marched)
    cooled = sum(one.cooled for one in marched)
    assert produced - cooled == pytest.approx(stored, abs=1e-6 * max(produced, cooled))
    return marched


def test_holds_the_setpoint_and_takes_out_the_load():
    (one,) = closes([plain(35.0)])
    assert (one.end, one.highest, one.lowest, one.servers_off) == (40.0, 40.0, 40.0, 0.0)
    assert one.cooled == pytest.approx(6153.0 * HOUR)


def test_short_of_capacity_approaches_where_load_meets_capacity():
    # at 35 degC air and 40..50 degC liquid the table gives 8800 + 150 (T - 40): 9153 W settles 2.353 K higher
    now = plain(35.0, it_load=9000.0)
    marched = closes([now] * 2)
    tau = HEAT_CAPACITY / 150.0
    for n, one in enumerate(marched, start=1):
        assert one.end == pytest.approx(40.0 + 353.0 / 150.0 * (1.0 - math.exp(-n * HOUR / tau)), abs=1e-6)


def test_locked_out_below_the_low_limit_reaches_shutdown_and_comes_back():
    lost = plain(-30.0)
    to_shutdown = HEAT_CAPACITY * 30.0 / 6153.0
    marched = closes([lost, plain(-20.0)])
    assert marched[0].servers_off == pytest.approx(HOUR - to_shutdown, abs=1e-3)
    hot = 70.0 + 153.0 * (HOUR - to_shutdown) / HEAT_CAPACITY
    assert marched[0].end == pytest.approx(hot, abs=1e-6)
    # then full capacity, no servers, to 45 degC: 12000 W above the last row, 10600 + 140 (T - 40) below it
    flat = HEAT_CAPACITY * (hot - 50.0) / (12000.0 - 153.0)
    tau = HEAT_CAPACITY / 140.0
    steep = tau * math.log((12000.0 - 153.0) / (12000.0 - 153.0 - 5.0 * 140.0))
    assert marched[1].servers_off == pytest.approx(flat + steep, abs=1e-2)
    assert marched[1].end == 40.0


def test_trip_inside_the_hour_and_return_after_the_delay():
    # the limit opens at 44 degC; a cold hour follows in which only the delay can keep the machine off
    q = (9400.0 + 2168.0) / 10900.0
    hot = plain(63.0 - 12.0 * 1.3 * q, factor=1.3, t_eq=35.0, it_load=9900.0)
    bath = March(UNIT, DENSITY, CP)
    first = bath.hour(hot)
    assert first.trips == 1
    # 1253 W short at 40 degC, slope 150 W/K: 44 degC after tau ln(1253/(1253 - 600)); then no cooling
    to_trip = HEAT_CAPACITY / 150.0 * math.log(1253.0 / 653.0)
    to_shutdown = HEAT_CAPACITY * 26.0 / 10053.0
    assert bath.ready == pytest.approx(to_trip + 180.0, abs=1e-3)
    assert first.servers_off == pytest.approx(HOUR - to_trip - to_shutdown, abs=1e-2)
    second = bath.hour(plain(20.0))
    assert second.end == 40.0
    assert second.servers_off > 0.0


def test_a_trip_at_the_start_of_an_hour_waits_for_the_delay():
    # two hours of delay and no IT load: the pump heat alone warms the liquid until the machine returns
    slow = dataclasses.replace(UNIT, restart_delay=2.0 * HOUR)
    cold = plain(20.0, it_load=0.0)
    marched = closes([cold, plain(51.0, it_load=0.0, factor=1.3), cold, cold], slow)
    assert [one.trips for one in marched] == [0, 1, 0, 0]
    warmed = 40.0 + 153.0 * 2.0 * HOUR / HEAT_CAPACITY
    assert marched[2].end == pytest.approx(warmed, abs=1e-6)
    assert marched[3].end == 40.0
    # an open inlet limit is no trip; whether the delay follows it is a choice
    locked = [cold, plain(-30.0, it_load=0.0), cold]
    assert [one.trips for one in closes(locked, slow)] == [0, 0, 0]
    assert closes(locked, slow)[2].end == 40.0
    delayed = march(locked, slow, DENSITY, CP, delay_after="any limit")
    assert delayed[2].end == pytest.approx(warmed, abs=1e-6)


def test_negative_load_lets_the_liquid_fall():
    now = plain(0.0, it_load=0.0, envelope_set=-400.0, slope=11.0)
    (one,) = closes([now])
    rest = 40.0 + (153.0 - 400.0) / 11.0
    assert one.end == pytest.approx(rest + (40.0 - rest) * math.exp(-11.0 * HOUR / HEAT_CAPACITY), abs=1e-6)
    assert one.cooled == 0.0


def test_ride_through_closed_forms():
    flat = plain(30.0)
    minutes = ride_through(flat, UNIT, DENSITY, CP, 42.0, 70.0, True)
    assert minutes == pytest.approx(HEAT_CAPACITY * 28.0 / 6153.0 / 60.0, rel=1e-9)
    part = 0.4 * 0.118 * DENSITY * CP + 45_000.0
    minutes = ride_through(flat, UNIT, DENSITY, CP, 42.0, 70.0, False)
    assert minutes == pytest.approx(part * 28.0 / 6000.0 / 60.0, rel=1e-9)
    sloped = plain(30.0, envelope_set=-100.0, slope=11.0)
    q0 = 6153.0 - 100.0 - 22.0
    minutes = ride_through(sloped, UNIT, DENSITY, CP, 42.0, 70.0, True)
    assert minutes == pytest.approx(-HEAT_CAPACITY / 11.0 * math.log1p(-11.0 * 28.0 / q0) / 60.0, rel=1e-7)
    assert math.isinf(ride_through(plain(30.0, slope=300.0), UNIT, DENSITY, CP, 42.0, 70.0, True))


# --- sun


def test_sun_on_a_clear_noon_by_hand():
    # equator, equinox, about noon, no diffuse, no albedo: the lid gets the beam, the walls next to nothing
    noon = datetime(2001, 3, 20, 12, 0)
    lit = sun_on_faces(0.0, 0.0, 0.0, 0.0, noon, 7.5, 0.0, 800.0, 1e-9, 0.0, 180.0)
    assert lit["lid"] == pytest.approx(800.0, abs=0.5)
    assert max(lit[name] for name in model.WALLS) < 10.0


def test_isotropic_ground_light_and_night():
    day = sun_on_faces(50.0, 0.0, 0.0, 0.0, datetime(2001, 6, 21, 12, 0), 0.0, 600.0, 0.0, 1e-9, 0.3, 180.0)
    for wall in model.WALLS:
        assert day[wall] == pytest.approx(0.3 * 600.0 / 2.0, abs=1e-3)
    night = sun_on_faces(50.0, 0.0, 0.0, 0.0, datetime(2001, 6, 21, 0, 0), 0.0, 0.0, 500.0, 0.0, 0.3, 180.0)
    assert set(night.values()) == {0.0}


def test_conditions_of_a_cool_hour_are_those_of_the_parts():
    now = conditions(hour(), UNIT, Site())
    assert now.deck == pytest.approx(30.0, abs=1e-9)
    assert now.envelope_set == pytest.approx(-now.slope * 10.0, rel=0.02)
    assert now.it_load == 6000.0
