"""One site from inputs to result. Read this file first: it is the way through the program.

    site, unit, criteria ─> air at the site, sun on the faces ─> heat series of year and spells ─> checks
                        └─> masses, roof loads, wind, earthquake ──────────────────────────────> verdict

Everything it calls is a pure function on numbers or arrays; hourly data is wrapped in xarray here, once.
"""

from collections.abc import Callable, Mapping
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any

import numpy as np

from edgecheck.base.liquids import FILLING_TEMPERATURE
from edgecheck.base.variables import variables
from edgecheck.checks import heat as heat_checks
from edgecheck.checks import record
from edgecheck.checks.assumed import with_assumed
from edgecheck.checks.cells import with_cells
from edgecheck.checks.declarations import CHECKS, check_of
from edgecheck.checks.delivery import delivery_checks
from edgecheck.checks.energy import energy_record
from edgecheck.checks.environment import Environment, class_check, corrosion_check, environment_of
from edgecheck.checks.environment_record import environment_record
from edgecheck.checks.failures import Failures, failure_checks, failures, failures_detail
from edgecheck.checks.feed import running_ask
from edgecheck.checks.lazy import Later, Sections
from edgecheck.checks.on_demand import OnDemand
from edgecheck.checks.outage import Losses, losses, outage_check
from edgecheck.checks.result import Result
from edgecheck.checks.roof import demand_of, roof_asks, roof_checks, roof_detail
from edgecheck.checks.services import services_checks, services_detail
from edgecheck.checks.sound_record import sound_figure
from edgecheck.checks.stability import Stability, stability
from edgecheck.checks.type_qualification import without_place
from edgecheck.checks.verdict import site_verdict
from edgecheck.heat.curve import BINDING_NAMES
from edgecheck.heat.it_load import it_load
from edgecheck.heat.largest_load import largest_it_load
from edgecheck.heat.machine import Machine, machine
from edgecheck.heat.place import place_of, served_distance_km
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.site_heat import SiteHeat, site_heat
from edgecheck.heat.station import Station
from edgecheck.inputs.criteria import Criteria, load_criteria
from edgecheck.inputs.load_profile import LoadProfile
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.inputs.unit_liquid import liquid_of
from edgecheck.inputs.warming_file import MonthlyWarming
from edgecheck.services.site_sound import site_sound
from edgecheck.weather.series import Weather

if TYPE_CHECKING:
    import xarray as xr

    from edgecheck.checks.model import CheckResult

__all__ = ["Station", "check_row", "qualify"]

KILO = 1e3
CURVE_MINUTES = np.arange(0.0, 60.5, 0.5)
_ROOF_GROUPS = ("roof", "stability", "delivery")


def qualify(
    site: Site,
    unit: Unit,
    weather: Weather | Station,
    criteria: Criteria | None = None,
    *,
    lookalikes: Mapping[str, str] | None = None,
    profile: LoadProfile | None = None,
    warming: MonthlyWarming | None = None,
) -> Result:
    """Decide one site.

    Parameters
    ----------
    site : Site
        A usable row of a site list.
    unit : Unit
        The unit that may go there.
    weather : Weather or Station
        Weather that serves the site; a `Station` shares its sun among sites.
    criteria : Criteria, optional
        What is good enough; the shipped set "full" if not given.
    lookalikes : mapping, optional
        Own column of the list -> the known column that it nearly is.
    profile : LoadProfile, optional
        What the file says that the row names as load_profile.
    warming : MonthlyWarming, optional
        What the file says that the row names as `warming_file`.

    Returns
    -------
    Result
        With hourly data.

    Raises
    ------
    InputFaults
        If the row asks for what the unit or the weather cannot serve: a load above the unit's, a weather file
        over 300 km away, a liquid that is not known; or if the row names a load profile that is not given.
    """
    criteria = load_criteria() if criteria is None else criteria
    station = weather if isinstance(weather, Station) else Station.of(weather)
    liquid = liquid_of(unit)

    machine_at = partial(machine, unit, liquid, site_visit_hours=criteria.outage.site_visit_hours)

    def heat_of(row: Site) -> SiteHeat:
        load = it_load(row, unit, profile)
        place = place_of(row, station, unit.body.height_m, warming)
        return site_heat(place, machine_at(load.full), criteria.heat, load)

    def results_of(row: Site, *computed: "CheckResult") -> dict[str, "CheckResult"]:
        if not (row.cautions or row.unassessable or lookalikes):
            return {result.id: result for result in computed}
        return {result.id: with_cells(result, row, lookalikes or {}) for result in computed}

    def stability_of(row: Site) -> Stability:
        def carried(ballast: float) -> tuple["CheckResult", ...]:
            return roof_checks(row, unit, criteria, demand_of(row, unit, density, ballast))

        return stability(row, unit, criteria, density, carried)

    def again(row: Site, check_id: str) -> dict[str, "CheckResult"]:
        if check_of(check_id).group in _ROOF_GROUPS:
            roof_again = roof_checks(row, unit, criteria, demand_of(row, unit, density))
            return results_of(row, *roof_again, *stability_of(row).results, *delivery_checks(row, unit))
        found = heat_of(row)
        lost = losses(found, pump_runs=True), losses(found, pump_runs=False)
        cut = failure_checks(failures(found, unit, liquid, criteria.outage), found, criteria.outage)
        environment = _environment(environment_of(found, unit, row), unit)
        served = services_checks(row, unit, found, liquid, criteria, site_sound(row, unit, found, criteria))
        return results_of(row, *_climate_results(found, *lost, criteria), *cut, *environment, *served)

    heat = heat_of(site)
    running, stopped = losses(heat, pump_runs=True), losses(heat, pump_runs=False)
    failed = failures(heat, unit, liquid, criteria.outage)
    density = liquid.density(FILLING_TEMPERATURE)
    demand = demand_of(site, unit, density)
    held = stability_of(site)
    environment = environment_of(heat, unit, site)
    sound = site_sound(site, unit, heat, criteria)
    computed = (
        *_climate_results(heat, running, stopped, criteria),
        *failure_checks(failed, heat, criteria.outage),
        *_environment(environment, unit),
        *roof_checks(site, unit, criteria, demand),
        *held.results,
        *delivery_checks(site, unit),
        *services_checks(site, unit, heat, liquid, criteria, sound),
    )
    results = with_assumed(results_of(site, *computed), site, again)
    if station.weather.cycle is not None:
        results = {check_id: without_place(result) for check_id, result in results.items()}
    assumed = {key: entry.text() for key, entry in site.assumed.items()}
    verdict = site_verdict(results, criteria.need, _always_required(), assumed)
    checks = tuple(results[check.id] for check in CHECKS if check.id in results)

    asks = {**roof_asks(unit, demand), **held.asks, "asks_ampere": running_ask(unit, heat)}
    inputs = record.inputs_as_used(site, unit, heat)
    roof = Later(lambda: roof_detail(site, unit, density))
    # a profile's greatest share must fit into the box too
    most = unit.servers.load_max_kw * KILO / max(1.0, float(np.max(heat.year.load_share)))
    largest = largest_it_load(
        heat.year,
        heat.hot.series,
        heat.cold.series,
        machine_at,
        most,
        criteria.heat.headroom_min_share,
        criteria.heat.hot_spell_liquid_margin_k,
    )
    offset = station.weather.utc_offset_h
    return Result(
        site_id=site.site_id,
        name=site.name,
        row=site.row,
        verdict=verdict.verdict,
        groups=verdict.groups,
        governing_check=verdict.governing_check,
        reason=verdict.reason,
        checks=checks,
        conditions=verdict.conditions,
        to_survey=record.to_survey(checks, criteria.need),
        asks=asks,
        figures=record.figures(heat, results, asks, largest, inputs, sound_figure(sound)),
        worst_hours=Later(lambda: record.worst_hours(heat)),
        inputs=inputs,
        detail=Sections(
            {
                **record.detail(heat, unit, liquid, roof, running, stopped),
                "energy": energy_record(heat, site),
                "failures": Later(lambda: failures_detail(failed, heat)),
                "environment": environment_record(environment, unit.qualification.coating_category),
                "stability": Later(lambda: held.detail),
                **services_detail(site, unit, heat, liquid, criteria, sound),
            }
        ),
        notes=record.notes(heat, unit),
        hourly=Later(lambda: _hourly(heat.year, heat.time, offset, heat.machine, temp_dew=heat.temp_dew)),
        hot_spell=Later(lambda: _hourly(heat.hot.series, heat.hot.time, offset, heat.machine)),
        cold_spell=Later(lambda: _hourly(heat.cold.series, heat.cold.time, offset, heat.machine)),
        outage=Later(lambda: _outage(heat, running, stopped, failed)),
        on_demand=OnDemand.of(heat, machine_at, most, criteria.heat, largest),
    )


@lru_cache(maxsize=1)
def _always_required() -> frozenset[str]:
    """Checks that the shipped criteria require."""
    return frozenset(key for key, need in load_criteria().need.items() if need == "required")


def check_row(site: Site, unit: Unit, weather: Weather, profile: LoadProfile | None = None) -> None:
    """Refuse a row that asks for what the unit or the weather cannot serve, before anything is computed.

    Raises
    ------
    InputFaults
        As `qualify`.
    """
    it_load(site, unit, profile)
    served_distance_km(site, weather)


def _climate_results(
    heat: SiteHeat, running: Losses, stopped: Losses, criteria: Criteria
) -> tuple["CheckResult", ...]:
    """Checks of the groups heat and outage."""
    station = heat.place.station
    return (
        heat_checks.weather_check(check_of("heat.weather"), station.weather),
        heat_checks.station_check(
            check_of("heat.station"), heat.place.distance_km, heat.place.elevation_difference
        ),
        heat_checks.headroom_check(check_of("heat.headroom"), heat.year, heat.time, criteria),
        heat_checks.hot_spell_check(check_of("heat.hot-spell"), heat.hot, heat.machine, criteria),
        heat_checks.operating_range_check(check_of("heat.operating-range"), heat),
        heat_checks.cold_spell_check(check_of("heat.cold-spell"), heat.cold, heat.machine),
        heat_checks.cycling_check(check_of("heat.cycling"), heat.year, heat.time, heat.machine),
        outage_check(check_of("outage.cooling-lost"), running, heat, criteria.outage),
        outage_check(check_of("outage.pump-lost"), stopped, heat, criteria.outage),
    )


def _environment(found: Environment, unit: Unit) -> tuple["CheckResult", ...]:
    """Checks of the group environment."""
    return (
        class_check(check_of("environment.class"), found),
        corrosion_check(check_of("environment.corrosion"), found, unit.qualification.coating_category),
    )


_HOURLY: tuple[tuple[str, Callable[[HeatSeries, Machine], Any]], ...] = (
    ("temp_air", lambda s, m: s.surroundings.temp_air),
    ("roof", lambda s, m: s.surroundings.roof),
    ("inlet_air", lambda s, m: s.surroundings.inlet_air),
    ("equivalent_inlet", lambda s, m: s.equivalent_inlet),
    ("condensing", lambda s, m: s.condensing),
    ("it", lambda s, m: np.full(len(s.surroundings.temp_air), m.it_heat * s.load_share)),
    ("pump_heat", lambda s, m: np.full(len(s.surroundings.temp_air), m.pump_load)),
    ("solar", lambda s, m: s.surroundings.envelope.solar),
    ("envelope", lambda s, m: s.surroundings.envelope.envelope),
    ("longwave", lambda s, m: s.surroundings.envelope.longwave),
    ("load", lambda s, m: s.load.at_setpoint),
    ("capacity", lambda s, m: s.headroom.capacity),
    ("headroom", lambda s, m: s.headroom.at_setpoint),
    ("service_headroom", lambda s, m: s.headroom.service),
    ("liquid", lambda s, m: s.course.liquid),
    ("input", lambda s, m: s.input_power),
)


def _hourly(
    series: HeatSeries,
    time: np.ndarray,
    utc_offset_h: float,
    at: Machine,
    **further: np.ndarray,
) -> "xr.Dataset":
    """Hourly data of a series, SI under bare names; `further` quantities stand last."""
    import xarray as xr

    data: dict[str, Any] = {
        name: ("time", np.asarray(get(series, at)), _attributes(name)) for name, get in _HOURLY
    }
    data["binding"] = (
        "time",
        np.array(BINDING_NAMES)[series.headroom.binding],
        {"long_name": "Binding limit"},
    )
    data |= {name: ("time", values, _attributes(name)) for name, values in further.items()}
    dataset = xr.Dataset(data, coords={"time": time.astype("datetime64[s]")})
    dataset["time"].attrs["long_name"] = "Local standard time, start of the hour"
    dataset.attrs["utc_offset_h"] = utc_offset_h
    return dataset


def _attributes(name: str) -> dict[str, str]:
    found = variables()[name]
    return {"units": found.unit, "long_name": found.label}


def _outage(heat: SiteHeat, running: Losses, stopped: Losses, failed: Failures) -> "xr.Dataset":
    """Time to shutdown in every hour of the year, and the course of the liquid in the governing hours."""
    import xarray as xr

    def course(found: Losses) -> tuple[str, Any, dict[str, str]]:
        return "minute", found.worst.loss.curve(found.worst.hour, CURVE_MINUTES), _attributes("liquid")

    winter, winter_air = failed.winter.worst.followed()
    return xr.Dataset(
        {
            "ride_through": ("time", running.year.to_shutdown, _attributes("ride_through")),
            "pump_lost": ("time", stopped.year.to_shutdown, _attributes("pump_lost")),
            "liquid_cooling_lost": course(running),
            "liquid_pump_lost": course(stopped),
            "winter_liquid": ("winter_hour", winter.liquid, _attributes("liquid")),
            "winter_air": ("winter_hour", winter_air, _attributes("temp_air")),
        },
        coords={
            "time": heat.time.astype("datetime64[s]"),
            "minute": CURVE_MINUTES,
            "winter_hour": winter.hours,
        },
    )
