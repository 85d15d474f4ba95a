"""Sites under real weather for tests of the whole chain: the example unit and the sample year that pvlib ships.

The sample is 723170TYA.CSV (TMY3, National Renewable Energy Laboratory), the place of the example list.
"""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from real_weather import pvlib_weather

from edgecheck.base.liquids import liquids
from edgecheck.chain import Station, qualify
from edgecheck.checks.result import Result
from edgecheck.heat.machine import Machine, machine
from edgecheck.heat.place import place_of
from edgecheck.heat.site_heat import SiteHeat, site_heat
from edgecheck.inputs.criteria import Criteria, load_criteria
from edgecheck.inputs.sites import Site, load_sites
from edgecheck.inputs.unit import Unit, load_unit

EXAMPLES = Path(__file__).parent / "data" / "examples"
UNIT = load_unit(EXAMPLES / "unit.toml")
CRITERIA = load_criteria("full")
LIQUID = liquids()["synthetic-hydrocarbon-4"]
REQUIRED = {"latitude_deg": 36.10, "longitude_deg": -79.95}


@cache
def station() -> Station:
    """The sample year with its sun, shared by all tests."""
    return Station.of(pvlib_weather("723170TYA.CSV"))


@cache
def example_values() -> Mapping[str, Any]:
    """Values of the example list's first row."""
    return load_sites(EXAMPLES / "sites.csv").sites[0].values


def site(values: Mapping[str, Any] | None = None, **more: Any) -> Site:
    """A row with its position and the given values; a value None empties the cell."""
    given = {**REQUIRED, **(values or {}), **more}
    return Site(row=2, site_id="S", values={key: value for key, value in given.items() if value is not None})


def decide(
    values: Mapping[str, Any] | None = None, unit: Unit = UNIT, criteria: Criteria = CRITERIA
) -> Result:
    """The whole chain for one row."""
    return qualify(site(values), unit, station(), criteria)


def machine_at(load: float, unit: Unit = UNIT) -> Machine:
    """The example unit at an IT load [W]."""
    return machine(unit, LIQUID, load, CRITERIA.outage.site_visit_hours)


def heat(values: Mapping[str, Any] | None = None, load: float = 6000.0, unit: Unit = UNIT) -> SiteHeat:
    """Heat of one row."""
    return site_heat(place_of(site(values), station()), machine_at(load, unit), CRITERIA.heat)


def unit_with(**tables: Mapping[str, Any]) -> Unit:
    """The example unit with some keys changed, by table."""
    return UNIT.model_copy(
        update={name: getattr(UNIT, name).model_copy(update=dict(keys)) for name, keys in tables.items()}
    )
