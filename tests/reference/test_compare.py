"""The program against the slow reference model, on random hours and on a hot and a cold week.

The reference is `tests.reference.model`, `service`, `liquid_march` and `sun_faces`: scipy's brentq and
solve_ivp and pvlib one hour at a time, written apart from the program. Seeds are fixed.
"""

import math
import random
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from edgecheck.base.liquids import liquids
from edgecheck.heat import faces, one_node
from edgecheck.heat.curve import BINDING_NAMES
from edgecheck.heat.machine import Machine, machine
from edgecheck.heat.microclimate import SURFACES, Microclimate
from edgecheck.heat.series import HeatSeries, Surroundings, run_series, surroundings
from edgecheck.inputs.unit import load_unit
from edgecheck.weather.site_air import SiteAir
from edgecheck.weather.sun import sun
from tests.reference import model
from tests.reference.liquid_march import march, ride_through
from tests.reference.model import Conditions, Hour, Site, Unit, conditions
from tests.reference.service import service_headroom, setpoint_headroom
from tests.reference.sun_faces import TURN, sun_on_faces

EXAMPLE = Path(__file__).with_name("unit.toml").read_text(encoding="utf-8")
LIQUID = liquids()["synthetic-hydrocarbon-4"]


def changed(text: str, **values: object) -> str:
    """A unit file with some keys changed."""
    for key, value in values.items():
        written = f'"{value}"' if isinstance(value, str) else value
        text, count = re.subn(rf"(?m)^{key} = [^\s#\[]+", f"{key} = {written}", text)
        assert count == 1, key
    return text


def ends_at_45(text: str) -> str:
    """A unit file whose rating table lacks the last column."""
    text, columns = re.subn(r", 54\.0\]", "]", text)
    text, rows = re.subn(r"(?m)^(  \[(?:[\d.]+, ){4}[\d.]+), [\d.]+\],$", r"\1],", text)
    assert (columns, rows) == (1, 8)
    return text


UNITS = {
    "as shipped": EXAMPLE,
    "leaving": changed(EXAMPLE, liquid_basis="leaving"),
    "net of pump": changed(EXAMPLE, capacity_basis="net-of-pump"),
    "leaking": changed(EXAMPLE, leakage_share_per_k=0.004, distribution_loss_share=0.04),
    "between rows": changed(EXAMPLE, setpoint_c=36.5, service_max_c=53.5, liquid_basis="leaving"),
    "early pressure switch": changed(EXAMPLE, condensing_max_c=58.0),
    "short table": ends_at_45(EXAMPLE),
}


@dataclass(frozen=True)
class Both:
    """The same hours by the program and, lazily, by the reference."""

    hours: list[Hour]
    site: Site
    unit: Unit
    cp: float
    density: float
    machine: Machine
    around: Surroundings
    series: HeatSeries

    @property
    def conditions(self) -> list[Conditions]:
        """The reference's steady hours."""
        return [conditions(hour, self.unit, self.site) for hour in self.hours]


@pytest.fixture
def both(tmp_path: Path) -> Callable[[str, list[Hour], Site], Both]:
    """Run the program and prepare the reference for a unit file."""

    def run(text: str, hours: list[Hour], site: Site) -> Both:
        path = tmp_path / "unit.toml"
        path.write_text(text, encoding="utf-8")
        unit = model.read_unit(path)
        it_load = unit.it_load if site.it_load is None else site.it_load
        fast = machine(load_unit(path), LIQUID, it_load, 12.0)

        def column(name: str) -> np.ndarray:
            return np.array([getattr(hour, name) for hour in hours], dtype=float)

        air = SiteAir(
            **{
                name: column(name)
                for name in ("temp_air", "temp_dew", "pressure", "longwave_down", "wind_speed")
            }
        )
        lit = np.array([[hour.irradiance.get(face, 0.0) for hour in hours] for face in model.FACES])
        roof = Microclimate(
            roof_absorptance=site.roof[0],
            roof_emissivity=site.roof[1],
            wind_share=site.wind_share,
            recirculation=site.recirculation,
            roof_mixing=site.mixing,
        )
        around = surroundings(air, column("ghi"), lit, fast, roof)
        cp, density = LIQUID.heat_capacity(unit.setpoint), LIQUID.density(unit.setpoint)
        return Both(hours, site, unit, cp, density, fast, around, run_series(around, fast))

    return run


def random_hour(draw: random.Random) -> Hour:
    air = draw.choice([draw.uniform(-35.0, 20.0), draw.uniform(20.0, 40.0), draw.uniform(36.0, 55.0)])
    day = draw.random() < 0.6
    return Hour(
        temp_air=air,
        temp_dew=air - draw.uniform(0.0, 25.0),
        pressure=draw.uniform(70_000.0, 103_000.0),
        longwave_down=model.black_body(air) * draw.uniform(0.6, 1.0),
        wind_speed=draw.choice([0.0, draw.uniform(0.0, 15.0)]),
        ghi=draw.uniform(0.0, 1100.0) if day else 0.0,
        irradiance={face: draw.uniform(0.0, 1000.0) if day else 0.0 for face in ("lid", *model.WALLS)},
    )


def random_site(draw: random.Random) -> Site:
    return Site(
        roof=draw.choice(list(model.ROOFS.values())),
        wind_share=draw.uniform(0.0, 1.0),
        recirculation=draw.uniform(0.0, 0.12),
        mixing=draw.uniform(0.0, 0.08),
        it_load=draw.uniform(500.0, 10_500.0),
    )


def week(seed: int, hottest: float, swing: float, noon: float) -> list[Hour]:
    """168 hours with a daily swing, sun and uneven wind."""
    draw = random.Random(seed)
    hours = []
    for i in range(168):
        air = hottest - swing * (1.0 - math.cos(2.0 * math.pi * (i % 24 - 15) / 24.0)) / 2.0
        air += draw.uniform(-0.7, 0.7)
        ghi = max(0.0, noon * math.cos(2.0 * math.pi * (i % 24 - 12.5) / 24.0))
        lit = {face: ghi * draw.uniform(0.2, 1.0) for face in ("lid", *model.WALLS)}
        sky = 0.8 * model.black_body(air)
        hours.append(Hour(air, air - 15.0, 101_325.0, sky, draw.choice([0.0, 1.0, 4.0]), ghi, lit))
    return hours


def test_roof_surfaces():
    assert dict(SURFACES) == model.ROOFS


@pytest.mark.parametrize("roof", model.ROOFS)
def test_surfaces_and_heat_through_the_shell(both, roof):
    draw = random.Random(roof)
    site = Site(roof=model.ROOFS[roof], wind_share=draw.random())
    run = both(EXAMPLE, [random_hour(draw) for _ in range(40)], site)
    shell = run.around.envelope
    for i, (hour, now) in enumerate(zip(run.hours, run.conditions, strict=True)):
        assert run.around.roof[i] == pytest.approx(now.deck, abs=1e-6)
        for j, face in enumerate(model.FACES):
            slow = model.face_temperature(hour, run.unit, site, now.deck, face, run.unit.setpoint)
            assert shell.surfaces[j, i] == pytest.approx(slow, abs=1e-6)
        assert shell.total[i] == pytest.approx(now.envelope_set, abs=1e-4)
        assert shell.conductance[i] == pytest.approx(now.slope, rel=1e-9)
        for part, slow in model.envelope_split(hour, run.unit, site, now.deck).items():
            assert getattr(shell, part)[i] == pytest.approx(slow, abs=1e-4)


@pytest.mark.parametrize("name", UNITS)
def test_inlet_capacity_and_condensing(both, name):
    draw = random.Random(name)
    run = both(UNITS[name], [random_hour(draw) for _ in range(40)], random_site(draw))
    curve = run.series.curve
    warm = [15.0, 25.0, 36.5, 40.0, 44.3, 48.0, 53.0, 57.0, 72.0]
    capacities = np.stack([curve.capacity_at(np.full(40, t)) for t in warm])
    powers = np.stack([curve.power_at(np.full(40, t)) for t in warm])
    condensing = np.stack([curve.condensing_at(np.full(40, t)) for t in warm])
    for i, now in enumerate(run.conditions):
        assert run.around.inlet_air[i] == pytest.approx(now.t_in, abs=1e-9)
        assert run.series.equivalent_inlet[i] == pytest.approx(now.t_eq, abs=1e-9)
        for j, t in enumerate(warm):
            assert capacities[j, i] == pytest.approx(model.capacity(run.unit, t, now.t_eq, run.cp), rel=1e-9)
            assert powers[j, i] == pytest.approx(model.power(run.unit, t, now.t_eq, run.cp), rel=1e-9)
            slow = model.condensing(run.unit, t, now.t_in, now.t_eq, now.factor, run.cp)
            assert condensing[j, i] == pytest.approx(slow, abs=1e-8)


@pytest.mark.parametrize("name", UNITS)
def test_headroom_share_and_binding_limit(both, name):
    draw = random.Random(name)
    seen = set()
    for _ in range(4):
        run = both(UNITS[name], [random_hour(draw) for _ in range(25)], random_site(draw))
        room = run.series.headroom
        for i, now in enumerate(run.conditions):
            slow = service_headroom(now, run.unit, run.cp, step=0.05)
            seen.add(slow.binding)
            assert BINDING_NAMES[room.binding[i]] == slow.binding
            assert room.bound[i] == pytest.approx(slow.headroom, abs=1.0)
            assert math.isnan(room.service[i]) == (not slow.known and slow.headroom >= 0.0)
            if slow.known:
                assert room.service[i] == pytest.approx(slow.headroom, abs=1.0)
            assert room.share_bound[i] == pytest.approx(slow.share, abs=1e-3)
            at_setpoint = setpoint_headroom(now, run.unit, run.cp)
            assert room.at_setpoint[i] == pytest.approx(at_setpoint, abs=1e-3, nan_ok=True)
    assert {"inlet-low", "condensing", "none"} <= seen
    assert "beyond-table" in seen or name != "short table"


@dataclass(frozen=True)
class LiquidTotals:
    """What happened in a march: trips, seconds without servers, hours in which they came back."""

    trips: int
    servers_off: float
    restarts: int


def same_course(run: Both) -> LiquidTotals:
    """Compare the march; past the table the last column cools, the delay follows every limit."""
    slow = march(run.conditions, run.unit, run.density, run.cp, "last-column")
    course = run.series.course
    assert course.liquid == pytest.approx(np.array([hour.end for hour in slow]), abs=0.02)
    assert course.peak == pytest.approx(np.array([hour.highest for hour in slow]), abs=0.02)
    assert course.lowest == pytest.approx(np.array([hour.lowest for hour in slow]), abs=0.02)
    assert course.servers_off == pytest.approx(np.array([hour.servers_off for hour in slow]), abs=2.0)
    assert course.cooled == pytest.approx(np.array([hour.cooled for hour in slow]), abs=2e4)
    assert course.loaded == pytest.approx(np.array([hour.produced for hour in slow]), abs=2e4)
    off = [hour.servers_off for hour in slow]
    restarts = sum(before == 3600.0 > after for before, after in pairwise(off))
    return LiquidTotals(sum(hour.trips for hour in slow), sum(off), restarts)


@pytest.mark.parametrize(
    "name, hottest, stops",
    [
        ("as shipped", 48.0, True),
        ("leaving", 50.0, True),
        ("net of pump", 46.0, True),
        ("leaking", 46.0, True),
        ("early pressure switch", 46.0, True),
        ("short table", 46.0, False),
    ],
)
def test_liquid_through_a_hot_week(both, name, hottest, stops):
    """Capacity is exceeded; where the switch opens the servers stop and start again."""
    run = both(UNITS[name], week(5, hottest, 16.0, 1000.0), Site(it_load=8500.0))
    totals = same_course(run)
    assert (run.series.headroom.bound < 0.0).any() or not stops
    assert run.series.course.trips == totals.trips
    assert (totals.trips > 0) == stops
    assert (totals.restarts > 0) == stops
    assert run.series.course.peak.max() > 45.0


def test_liquid_through_a_cold_week(both):
    """Locked out below the low limit the bath warms to shutdown, then cools far below the setpoint."""
    run = both(EXAMPLE, week(6, -18.0, 14.0, 300.0), Site())
    totals = same_course(run)
    assert totals.servers_off > 3600.0
    assert totals.restarts > 1
    assert run.series.course.lowest.min() < 10.0


def test_idle_bath_falls_below_the_setpoint(both):
    run = both(EXAMPLE, week(6, -5.0, 14.0, 300.0), Site(it_load=300.0))
    assert same_course(run).servers_off == 0.0
    assert run.series.course.lowest.min() < 30.0


def test_liquid_through_wild_hours(both):
    """Hours that jump about, units with long delays and limits in odd places."""
    draw = random.Random(11)
    happened = 0
    for _ in range(8):
        setpoint = draw.uniform(25.0, 47.0)
        text = changed(
            EXAMPLE,
            liquid_basis=draw.choice(["arriving", "leaving"]),
            setpoint_c=setpoint,
            service_max_c=draw.uniform(setpoint, 54.9),
            restart_c=draw.uniform(setpoint + 0.5, 60.0),
            restart_delay_min=draw.choice([1.0, 3.0, 20.0, 90.0]),
            condensing_max_c=draw.uniform(52.0, 70.0),
            inlet_air_max_c=draw.uniform(44.0, 56.0),
            inlet_air_min_c=draw.uniform(-25.0, 10.0),
            volume_litre=draw.uniform(30.0, 300.0),
        )
        run = both(text, [random_hour(draw) for _ in range(36)], random_site(draw))
        totals = same_course(run)
        happened += totals.restarts
        assert run.series.course.trips == totals.trips
    assert happened > 5


def test_minutes_to_shutdown(both):
    """Closed form against integration, 200 states with slopes of either sign; within 0.1 %."""
    run = both(EXAMPLE, [random_hour(random.Random(1))], Site())
    draw = random.Random(2)
    finite = settling = 0
    for _ in range(200):
        slope, leakage = draw.uniform(0.0, 40.0), draw.uniform(-20.0, 40.0)
        state = Conditions(20.0, 20.0, draw.uniform(-1500.0, 400.0), slope, 20.0, 20.0, 1.0, 1000.0)
        unit = replace(run.unit, leakage=leakage / 1000.0)
        start, pump_runs = draw.uniform(38.0, 60.0), draw.random() < 0.5
        slow = ride_through(state, unit, run.density, run.cp, start, unit.shutdown, pump_runs)
        conductance = slope - leakage
        heat = 1000.0 + state.envelope_set - conductance * (start - unit.setpoint)
        heat += unit.pump_heat if pump_runs else 0.0
        liquid = run.machine.liquid_heat_capacity * (1.0 if pump_runs else unit.natural_share)
        stored = liquid + run.machine.hardware_heat_capacity
        fast = float(one_node.time_to_rise(heat, conductance, stored, unit.shutdown - start)) / 60.0
        assert math.isinf(fast) == math.isinf(slow)
        if math.isinf(slow):
            settling += 1
        else:
            finite += 1
            assert fast == pytest.approx(slow, rel=1e-3)
    assert finite > 50
    assert settling > 20


def test_sun_on_the_faces():
    """Another solar position algorithm, one hour at a time; half a watt a square metre."""
    draw = random.Random(3)
    compared = 0
    for _ in range(150):
        latitude, longitude = draw.uniform(-65.0, 68.0), draw.uniform(-180.0, 180.0)
        elevation, zone = draw.uniform(0.0, 3000.0), round(longitude / 15.0)
        moment = datetime(2001, 1, 1) + timedelta(hours=draw.randrange(8760))
        up = sun(latitude, longitude, elevation, zone, np.array([moment], dtype="datetime64[m]"), 30.0)
        height = math.sin(math.radians(90.0 - up.zenith[0]))
        if height <= 0.0:
            continue
        ghi = 1000.0 * height * draw.uniform(0.2, 1.0)
        dhi = ghi * draw.uniform(0.1, 1.0)
        dni = (ghi - dhi) / max(0.05, height)
        albedo, azimuth = draw.uniform(0.1, 0.6), draw.choice(range(0, 360, 45))
        canopy = draw.choice([1.0, 0.6])
        light = faces.sky_light(up, *(np.array([value]) for value in (ghi, dni, dhi)))
        slow = sun_on_faces(
            latitude, longitude, elevation, zone, moment, 30.0, ghi, dni, dhi, albedo, azimuth, canopy
        )
        for face, turn in {"lid": 0.0, **TURN}.items():
            fast = faces.plane_irradiance(
                light,
                tilt=0.0 if face == "lid" else 90.0,
                azimuth=(azimuth + turn) % 360.0,
                albedo=albedo,
                canopy_transmittance=canopy,
            )
            assert fast[0] == pytest.approx(slow[face], abs=0.5)
            compared += 1
    assert compared > 300
