"""Limits that a unit states on the supply: raised to the bulk while something cools, and only then."""

import numpy as np
import pytest
from site_cases import heat, unit_with

from edgecheck.checks.outage import loss_of_cooling


def test_limits_stated_on_the_supply_hold_for_the_bulk_once_nothing_cools():
    """Flow 0.25 kg/s: the rise across the servers, some 12 K, is no margin when the cooling section stops."""
    supply = unit_with(
        liquid={"limit_basis": "supply"}, cooling={"liquid_flow_kg_s": 0.25, "liquid_basis": "arriving"}
    )
    found = heat(unit=supply)
    machine = found.machine
    assert machine.limit_shift > 10.0
    assert machine.uncooled().bath.shutdown == pytest.approx(70.0)
    assert machine.uncooled().alarm == pytest.approx(55.0)
    loss = loss_of_cooling(found.year, machine, pump_runs=True)
    stated = machine.uncooled()
    start = machine.setpoint + machine.band / 2.0
    # all mixed, the shell left aside: C (70 - start)/(IT + pump heat)
    rough = stated.bath.heat_capacity * (70.0 - start) / (machine.it_heat + machine.pump_heat)
    assert float(np.min(loss.to_shutdown)) == pytest.approx(rough, rel=0.15)
