"""The unit record in SI: areas, heat capacities, conventions of the data sheet; by hand from the example unit."""

from dataclasses import replace
from pathlib import Path

import pytest
from heat_cases import SPAN, air_in
from series_cases import MILD, run

from edgecheck.base.liquids import liquids
from edgecheck.chain import liquid_of
from edgecheck.checks.outage import loss_of_cooling
from edgecheck.heat.machine import machine, shell_of
from edgecheck.inputs.unit import load_unit
from edgecheck.inputs.unit_records import LiquidProperties

EXAMPLES = Path(__file__).parent.parent / "data" / "examples"
UNIT = load_unit(EXAMPLES / "unit.toml")
LIQUID = liquids()["synthetic-hydrocarbon-4"]
VISIT = 12.0
# hand: 2070 + 3.7 * 20 K = 2144 J/kgK and 815 - 0.62 * 20 K = 802.6 kg/m3 at 40 degC
CP, DENSITY = 2144.0, 802.6


def unit(**tables):
    """The example unit with some keys changed, by table."""
    changed = {name: getattr(UNIT, name).model_copy(update=keys) for name, keys in tables.items()}
    return UNIT.model_copy(update=changed)


def made(it_load=6000.0, **tables):
    return machine(unit(**tables), LIQUID, it_load, VISIT)


def test_areas_and_conductances_of_the_shell():
    """1.20 x 0.80 m, the top 1.15 m over the roof on feet of 0.08 m: walls of 1.07 m."""
    shell = shell_of(unit(body={"lid_resistance_m2k_w": 1.0}))
    assert shell.area == pytest.approx([0.96, 1.284, 0.856, 1.284, 0.856, 0.96])
    wall = 1.0 / (1.0 / 60.0 + 0.50)
    assert shell.conductance == pytest.approx([1.0 / (1.0 / 60.0 + 1.0), wall, wall, wall, wall, wall])
    assert (shell.absorptance, shell.emissivity) == (0.40, 0.90)


def test_loads_and_heat_capacities():
    found = made()
    assert found.bath.heat_capacity == pytest.approx(0.118 * DENSITY * CP + 45_000.0)
    assert found.liquid_heat_capacity == pytest.approx(0.118 * DENSITY * CP)
    assert found.hardware_heat_capacity == 45_000.0
    assert (found.it, found.pump_power) == (6000.0, 180.0)
    assert found.pump_heat == found.pump_load == pytest.approx(153.0)
    assert found.it_heat == 6000.0
    assert made(servers={"distribution_loss_share": 0.04}).it_heat == pytest.approx(6240.0)
    assert found.cooling.liquid_heat_rate == pytest.approx(0.90 * CP)
    assert found.rejected == found.cooling.rated_heat_rejection == pytest.approx(10_900.0)
    assert found.cooling.condensing_limit == 63.0
    assert (found.airflow, found.fouling, found.cooling.standby) == (1.30, 0.10, 60.0)
    assert (found.cycling.starts_max, found.cycling.run_min) == (10.0, 180.0)
    assert found.natural_share == 0.40


def test_limits_on_the_return_are_used_as_they_stand():
    found = made()
    assert found.limit_shift == 0.0
    assert (found.setpoint, found.service_max, found.alarm) == (40.0, 48.0, 55.0)
    assert (found.bath.shutdown, found.bath.restart, found.start_min) == (70.0, 45.0, -15.0)


def test_limits_on_the_supply_are_raised_by_the_rise_over_the_servers():
    """Hand: (6000 + 153) W / (0.9 kg/s x 2144 J/kgK) = 3.189 K."""
    found = made(liquid={"limit_basis": "supply"})
    rise = 6153.0 / (0.90 * CP)
    assert rise == pytest.approx(3.189, abs=5e-4)
    assert found.limit_shift == pytest.approx(rise)
    for name, nominal in (("setpoint", 40.0), ("service_max", 48.0), ("alarm", 55.0)):
        assert getattr(found, name) == pytest.approx(nominal + rise)
    assert found.bath.shutdown == pytest.approx(70.0 + rise)
    assert found.bath.restart == pytest.approx(45.0 + rise)
    assert found.start_min == -15.0  # the pumps start before there is a rise
    more = made(9000.0, liquid={"limit_basis": "supply"})
    assert more.limit_shift == pytest.approx(9153.0 / (0.90 * CP))


def test_a_rating_net_of_the_pump_leaves_its_heat_out_of_the_load_only():
    gross, net = made(), made(cooling={"capacity_basis": "net-of-pump"})
    assert net.pump_load == 0.0
    assert (net.pump_heat, net.pump_power) == (gross.pump_heat, gross.pump_power)
    one, other = run([MILD], gross), run([MILD], net)
    assert one.load.at_setpoint[0] - other.load.at_setpoint[0] == pytest.approx(153.0)
    assert one.load.internal - other.load.internal == pytest.approx(153.0)
    lost = [
        loss_of_cooling(series, each, pump_runs=True).heat[0] for series, each in ((one, gross), (other, net))
    ]
    assert lost[0] == pytest.approx(lost[1])
    still = loss_of_cooling(other, net, pump_runs=False).heat[0]
    assert lost[1] - still == pytest.approx(153.0)


@pytest.mark.parametrize(
    "reset, delay", [("automatic", 180.0), ("manual", 12 * 3600.0), ("unknown", 12 * 3600.0)]
)
def test_a_reset_by_hand_costs_the_hours_until_a_visit(reset, delay):
    found = made(cooling={"high_pressure_reset": reset})
    assert found.bath.trip_delay == delay
    assert found.restart_delay == 180.0
    slow = machine(
        unit(cooling={"high_pressure_reset": reset, "restart_delay_min": 20.0}), LIQUID, 6000.0, 0.1
    )
    assert slow.bath.trip_delay == 1200.0  # never less than the restart itself takes


def test_a_table_of_leaving_temperatures_is_read_below_the_bath():
    """Hand, at 35 degC: rows 30 and 40 hold 7.3 and 8.8 kW; Q = 8.8 - 0.15 Q/1.9296 gives 8.165 kW at 40."""
    arriving = made().cooling.curve(air_in(35.0), SPAN)
    leaving = made(cooling={"liquid_basis": "leaving"}).cooling.curve(air_in(35.0), SPAN)
    assert arriving.capacity_at(40.0)[0] == pytest.approx(8800.0)
    by_hand = 8800.0 / (1.0 + 150.0 / (0.9 * CP))
    assert by_hand == pytest.approx(8165.0, abs=1.0)
    assert leaving.capacity_at(40.0)[0] == pytest.approx(by_hand)


def test_the_band_belongs_to_machines_that_switch():
    assert made().band == 4.0
    assert made(cooling={"part_load": "variable-speed", "capacity_min_share": 0.3}).band == 0.0


def test_a_liquid_of_the_unit_file():
    own = LiquidProperties(
        density_kg_m3=900.0, heat_capacity_j_kg_k=2000.0, expansion_per_k=0.001, reference_c=20.0
    )
    made_up = UNIT.model_copy(
        update={"liquid": UNIT.liquid.model_copy(update={"family": "own", "properties": own})}
    )
    liquid = liquid_of(made_up)
    assert liquid.density(40.0) == pytest.approx(900.0 - 0.001 * 900.0 * 20.0)
    assert liquid.heat_capacity(40.0) == 2000.0
    found = machine(made_up, liquid, 6000.0, VISIT)
    assert found.liquid_heat_capacity == pytest.approx(0.118 * 882.0 * 2000.0)


def test_another_load_changes_nothing_but_the_load():
    first, second = made(6000.0), made(7000.0)
    assert second.it == 7000.0
    assert second.bath == first.bath
    assert replace(second, it=6000.0, cooling=first.cooling, shell=first.shell) == first
