"""A dry-cooled bath on real weather: what a floating bath carries, what it does not, and what it draws.

Common practice, no source: warm-liquid dry coolers carry temperate climates all year, and a bath that may float
above its setpoint carries the hot ones but for the afternoon of the hottest days; partial PUE 1.03 to 1.11.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from real_weather import real_epw
from site_cases import CRITERIA, LIQUID, REQUIRED

from edgecheck.chain import Station
from edgecheck.checks.facts import energy
from edgecheck.heat.machine import machine
from edgecheck.heat.place import place_of
from edgecheck.heat.site_heat import SiteHeat, site_heat
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.weather.read import read_weather

EXAMPLES = Path(__file__).parent.parent / "data" / "examples"
UNIT = load_unit(EXAMPLES / "unit-dry-cooler.toml")
TEMPERATE = ("stockholm", "helsinki", "bogota", "chicago")
HOT = ("granada", "sydney", "tucson")


@cache
def heat_at(name: str, fan_control: str = "variable") -> SiteHeat:
    """Year and spells of the example dry cooler, 6 kW, setpoint 45 degC, service up to 54 degC."""
    weather = read_weather(real_epw(name))
    place = REQUIRED | {"latitude_deg": weather.latitude, "longitude_deg": weather.longitude}
    site = Site(row=2, site_id="S", values={**place, "front_azimuth_deg": 180.0})
    cooling = UNIT.cooling.model_copy(update={"fan_control": fan_control})
    made = machine(UNIT.model_copy(update={"cooling": cooling}), LIQUID, 6000.0, 12.0)
    return site_heat(place_of(site, Station.of(weather)), made, CRITERIA.heat)


@pytest.mark.parametrize("fan_control", ["variable", "cycling"])
@pytest.mark.parametrize("name", ["helsinki", "chicago", "tucson"])
def test_partial_pue_on_warm_liquid(name: str, fan_control: str) -> None:
    heat = heat_at(name, fan_control)
    assert 1.03 <= energy(heat.year, heat.machine)["partial_pue"] <= 1.11


@pytest.mark.parametrize("name", TEMPERATE)
def test_it_carries_a_temperate_climate_every_hour(name: str) -> None:
    heat = heat_at(name)
    assert heat.year.headroom.share.min() >= 0.10
    assert heat.year.course.stops == heat.hot.series.course.stops == 0
    assert heat.hot.series.course.peak.max() < heat.machine.service_max
    assert not heat.hot.series.headroom.short.any()


@pytest.mark.parametrize("name", HOT)
def test_it_floats_through_a_hot_climate_but_for_the_afternoon_of_the_hottest_days(name: str) -> None:
    heat = heat_at(name)
    # at the setpoint it would be short for days, floating for hours
    at_setpoint = int(np.count_nonzero(heat.year.headroom.at_setpoint < 0.0))
    floating = int(np.count_nonzero(heat.year.headroom.short))
    assert at_setpoint > 40
    assert floating <= 0.05 * at_setpoint
    assert heat.year.course.stops == 0
    assert heat.year.course.peak.max() > 50.0
    # the week of the extreme: short hours lie between 10 and 18 o'clock and nowhere else
    week = heat.hot
    short = week.series.headroom.short
    assert 0 < np.count_nonzero(short) < 60
    hours = week.time[short].astype("datetime64[h]").astype(int) % 24
    assert hours.min() >= 10
    assert hours.max() <= 18
    # and they are its hottest ones
    air = week.series.surroundings.inlet_air
    assert air[short].min() > np.quantile(air, 0.6)
    assert week.series.course.stops == 0
