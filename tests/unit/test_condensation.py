"""Water on cold surfaces: hours, insulation, what is unknown."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from asked import asked
from series_cases import clean, heat_of
from site_cases import LIQUID, UNIT, unit_with

from edgecheck.checks.condensation import (
    APPROACH,
    CONDENSATION,
    condensation_check,
    condensation_detail,
    wet_hours,
)
from edgecheck.heat.condensation import coldest_surface, insulation_resistance
from edgecheck.inputs.cooling import DryCooler

WARM = [30.0] * 6


def hours_of(lowest, capacity, ratio):
    """Hours as `coldest_surface` sees them: lowest liquid, capacity of every hour, whether the machine runs."""
    count = len(lowest)
    return SimpleNamespace(
        course=SimpleNamespace(lowest=np.array(lowest)),
        curve=SimpleNamespace(capacity_at=lambda liquid: np.full(count, capacity)),
        load=SimpleNamespace(at_setpoint=np.full(count, 6000.0)),
        capacity_ratio=np.array(ratio),
        surroundings=SimpleNamespace(inlet_air=np.full(count, 31.0)),
    )


def replace_capacity(series, capacity):
    curve = SimpleNamespace(capacity_at=lambda liquid: np.full(len(liquid), capacity))
    return SimpleNamespace(**{**vars(series), "curve": curve})


def humid(dew, temp=WARM, machine=None):
    """A year of a few hours whose dew point is set."""
    heat = heat_of(machine or clean(), temp)
    around = heat.year.surroundings
    air = replace(around.air, temp_dew=np.asarray(dew, dtype=float))
    return replace(heat, year=replace(heat.year, surroundings=replace(around, air=air)))


def check(heat, unit=UNIT):
    found = wet_hours(heat, unit, LIQUID)
    return condensation_check(CONDENSATION, found), found


def dry_cooler():
    common = {
        name: getattr(UNIT.cooling, name)
        for name in DryCooler.model_fields
        if hasattr(UNIT.cooling, name) and name not in ("kind", "fan_control")
    }
    own = {
        "kind": "dry-cooler", "conductance_kw_k": 0.9, "air_side_share": 0.4, "fan_kw": 0.3,
        "fan_control": "cycling", "coil_bypass": True,
    }  # fmt: skip
    return UNIT.model_copy(update={"cooling": DryCooler(**(common | own))})


def test_surface_by_hand():
    """40 - 1 - 9600/1920 - 8 = 26 with a band of 2 K; as warm as the liquid where it stands, or where it is colder."""
    series = hours_of([40.0, 40.0, 30.0, 45.0], capacity=9600.0, ratio=[0.5, 0.0, 0.0, 1.0])
    made = SimpleNamespace(setpoint=40.0, band=2.0)
    assert coldest_surface(series, made, 1920.0, 8.0) == pytest.approx([26.0, 39.0, 29.0, 32.0])
    # without a compressor nothing gets colder than the air that comes in, 31 degC, nor warmer than the liquid
    assert coldest_surface(series, made, 1920.0, None) == pytest.approx([34.0, 39.0, 29.0, 40.0])
    assert coldest_surface(series, made, 600.0, None) == pytest.approx([31.0, 39.0, 29.0, 31.0])
    # a machine that follows takes out what is put in, at the most what it can
    follows = SimpleNamespace(setpoint=40.0, band=0.0)
    assert coldest_surface(series, follows, 1000.0, 0.0) == pytest.approx([34.0, 40.0, 30.0, 39.0])
    small = replace_capacity(series, 3000.0)
    assert coldest_surface(small, follows, 1000.0, 0.0) == pytest.approx([37.0, 40.0, 30.0, 42.0])


def test_insulation_by_hand():
    """(21 - 15)/(8 (31 - 21)) = 0.075 m2K/W; none for a dry surface; nothing helps in saturated air."""
    found = insulation_resistance([15.0, 25.0, 15.0, np.nan], [31.0, 31.0, 21.0, 31.0], 21.0)
    assert found[:3] == pytest.approx([0.075, 0.0, np.inf])
    assert np.isnan(found[3])
    assert insulation_resistance(15.0, 31.0, 21.0, film=16.0) == pytest.approx(0.0375)


def surface_of(heat, unit=UNIT):
    return wet_hours(heat, unit, LIQUID).surface


def test_the_surface_is_that_of_full_capacity_at_the_lower_edge_of_the_band():
    heat = humid([20.0] * 6)
    capacity = float(heat.year.curve.capacity_at(np.full(6, 38.0))[0])
    rate = UNIT.cooling.liquid_flow_kg_s * float(LIQUID.heat_capacity(40.0))
    assert surface_of(heat) == pytest.approx(38.0 - capacity / rate - 8.0)
    follows = humid([20.0] * 6, machine=clean(band=0.0))
    assert surface_of(follows) == pytest.approx(40.0 - follows.year.load.at_setpoint[0] / rate - 8.0)


def test_hours_below_the_dew_point_are_counted_and_the_worst_is_named():
    heat = humid([20.0, 20.0, 29.0, 27.0, 20.0, 20.0])
    surface = surface_of(heat)
    assert 24.0 < surface < 27.0
    found, wet = check(heat)
    assert (found.status, found.demand, found.limit) == ("caution", 2.0, 0.0)
    assert wet.below == pytest.approx(29.0 - surface)
    assert found.governed_by.startswith("2001-07-01 02:00")
    dry, wet = check(humid([surface - 0.1] * 6))
    assert (dry.status, dry.demand, asked(dry)) == ("pass", 0.0, "")
    assert wet.below == pytest.approx(-0.1)


def test_the_condition_is_insulation_and_a_drain_where_air_is_nearly_saturated():
    heat = humid([20.0, 27.5, 29.9, 20.0, 20.0, 20.0])  # 87 % and 99 % relative humidity
    found, wet = check(heat)
    surface = surface_of(heat)
    assert wet.foam == pytest.approx(0.036 * (27.5 - surface) / (8.0 * 2.5))
    assert wet.soaked == 1
    assert f"{int(np.ceil(1e3 * wet.foam))} mm of closed-cell foam" in asked(found)
    assert "drain for the 1 h" in asked(found)
    only, wet = check(humid([20.0] * 5 + [29.9]))
    assert (wet.foam, wet.soaked) == (0.0, 1)
    assert asked(only).startswith("drain")
    assert condensation_detail(wet)["hours_wet_outside"] == 1


def test_an_unknown_approach_leaves_it_open_unless_it_is_wet_without():
    unknown = unit_with(cooling={"evaporator_approach_k": None})
    open_, wet = check(humid([20.0] * 6), unknown)
    assert (open_.status, open_.missing, open_.demand) == ("not assessed", (APPROACH,), None)
    assert f"approach of {-wet.below:.1f} K or more" in open_.note
    assert condensation_detail(wet)["hours"] is None
    wet_anyway, _ = check(humid([34.0] * 6, temp=[35.0] * 6), unknown)
    assert (wet_anyway.status, wet_anyway.demand) == ("caution", 6.0)


def test_a_dry_cooler_cools_nothing_below_the_air():
    assert check(humid([29.9] * 6), dry_cooler())[0].status == "pass"
    found, wet = check(humid([20.0] * 6, machine=clean(it=30_000.0)), dry_cooler())
    assert (found.status, wet.approach) == ("pass", 0.0)
    assert wet.surface >= 30.0


def test_an_unknown_dew_point_is_no_dry_hour():
    found, wet = check(humid([20.0] * 5 + [np.nan]))
    assert (found.status, wet.unknown) == ("not assessed", 1)
    nothing, wet = check(humid([np.nan] * 6))
    assert (nothing.status, wet.unknown) == ("not assessed", 6)


def test_a_machine_that_stands_is_as_warm_as_its_liquid():
    """Locked out by cold air: no compressor, no cold surface."""
    heat = humid([-40.0], temp=[-30.0])
    assert not heat.year.capacity_ratio.any()
    assert surface_of(heat) == 38.0
