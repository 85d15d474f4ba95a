"""Partial PUE by its definition, and energy sums against pandas.

ISO/IEC 30134-2: partial PUE of a part is (energy of the part + energy of the IT equipment in it)/energy of the IT
equipment (from memory, as also "pPUE = 1 + cooling/IT" of the trade).
"""

import numpy as np
import pandas as pd
import pytest
from heat_cases import chiller
from series_cases import clean, run
from site_cases import UNIT, heat, machine_at, site, station

from edgecheck.checks.energy import energy_record
from edgecheck.heat.energy import PowerParts, power_parts
from edgecheck.heat.it_load import ItLoad
from edgecheck.heat.place import place_of
from edgecheck.heat.site_heat import site_heat
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.load_profile import LoadProfile

KWH = 3.6e6


def test_the_definition_by_hand() -> None:
    """Two hours: servers 6 and 4 kW, 5 % lost in distribution, pump 0.2, cooling 2.0 and 0, standby 0.06 kW.

    Servers 10 kWh; the rest 0.5 + 0.4 + 2.0 + 0.06 = 2.96 kWh; (10 + 2.96)/10 = 1.296.
    """
    parts = power_parts(
        np.array([6000.0, 4000.0]), 0.05, 200.0, 0.0, np.array([2000.0, 60.0]), np.array([6500.0, 0.0])
    )
    spent = parts.energy()
    assert spent.total / KWH == pytest.approx(12.96, rel=1e-9)
    assert spent.partial_pue == pytest.approx(1.296, rel=1e-9)
    assert parts.partial_pue == pytest.approx([8.5 / 6.0, 4.46 / 4.0], rel=1e-9)
    assert spent.cooling / KWH == pytest.approx(2.0)
    assert spent.standby / KWH == pytest.approx(0.06)


def test_a_compressor_alone_is_one_plus_its_inverse_coefficient_of_performance() -> None:
    """The trade's pPUE = 1 + 1/COP (COP 4: 1.25) for a machine that carries the servers and nothing else at full load.

    Capacity and power are the same in every cell of the table; shell and pump are taken away.
    """
    capacity = np.full((4, 6), 6000.0)
    flat = chiller(
        capacity=capacity, power=capacity / 4.0, condensing_limit=99.0, rated_heat_rejection=7500.0
    )
    shell = clean().shell
    closed = type(shell)(shell.area, np.full(6, 1e-12), 0.0, 0.9)
    machine = clean(
        cooling=flat, shell=closed, it=6000.0 * (1.0 - 1e-12), pump_power=0.0, pump_heat=0.0, pump_load=0.0
    )
    series = run([25.0, 40.0], machine)
    assert series.power.partial_pue == pytest.approx([1.25, 1.25], rel=1e-6)


def test_a_year_with_a_profile_adds_up_as_pandas_adds_it() -> None:
    hours = np.arange(24)[:, None]
    week = np.where((hours >= 8) & (hours < 18), 1.0, 0.4) * np.array([1, 1, 1, 1, 1, 0.6, 0.5])
    load = ItLoad(6000.0, LoadProfile("week.csv", "", "week", False, week))
    place = place_of(site({"front_azimuth_deg": 0.0}), station(), UNIT.body.height_m)
    found = site_heat(place, machine_at(6000.0), load_criteria("full").heat, load)
    row = site({"electricity_price_per_kwh": 0.2, "grid_carbon_kg_per_kwh": 0.4})
    record = energy_record(found, row)

    index = pd.DatetimeIndex(found.time)
    day, hour = index.dayofweek, index.hour
    it = pd.Series(6.0 * week[hour, day], index=index)
    assert record["it_kwh"] == pytest.approx(float(it.sum()), rel=1e-9)
    by_month = it.groupby(index.month).sum()
    assert [entry["it_kwh"] for entry in record["months"]] == pytest.approx(list(by_month), rel=1e-9)
    total = pd.Series(found.year.input_power / 1e3, index=index)
    assert [entry["input_kwh"] for entry in record["months"]] == pytest.approx(
        list(total.groupby(index.month).sum()), rel=1e-9
    )
    assert record["cost"] == pytest.approx(0.2 * float(total.sum()), rel=1e-9)
    assert record["carbon_kg"] == pytest.approx(0.4 * float(total.sum()), rel=1e-9)
    full = heat({"front_azimuth_deg": 0.0}).year
    assert record["input_kwh"] < float(np.sum(full.input_power)) / 1e3
    # less load, less cooling: but pump and standby weigh more on each kilowatt-hour of the servers
    assert record["cooling_kwh"] < full.power.energy().cooling / KWH


def test_parts_of_a_constant_year() -> None:
    """8760 h at 6 kW are 52,560 kWh; the pump's 0.18 kW are 1576.8 kWh."""
    power: PowerParts = heat({"front_azimuth_deg": 0.0}).year.power
    spent = power.energy()
    assert spent.it / KWH == pytest.approx(52_560.0, rel=1e-9)
    assert spent.pump / KWH == pytest.approx(1576.8, rel=1e-9)
    assert spent.distribution == 0.0
