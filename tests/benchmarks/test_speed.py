"""Speed as a ratio to pvlib's own EPW reader in the same run; printed, never a pass or fail by the clock."""

import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from benchmarks import plain_script
from benchmarks.table import in_turn, read_epw
from speed_cases import EPW, KINDS, ROW, further_sites, station, unit_of_kind

from edgecheck.chain import qualify
from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.result import Result
from edgecheck.demo.files import demo_inputs
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import load_sites
from edgecheck.outputs.pages import site_page
from edgecheck.screening.plan import plan_run
from edgecheck.screening.run import screen
from edgecheck.weather.read import read_weather

NEED = load_criteria().need


@pytest.fixture
def compared(benchmark: Any) -> Callable[..., Any]:
    """Runs a task under pytest-benchmark and notes its wall time as a multiple of read_epw, measured on both sides.

    Beside other worker processes pytest-benchmark runs a task once and measures nothing.
    """

    def run(task: Callable[[], Any], rounds: int = 7) -> Any:
        if benchmark.disabled:
            return benchmark(task)
        before = in_turn(read_epw, rounds=5, clock=time.perf_counter)
        result = benchmark.pedantic(task, rounds=rounds, warmup_rounds=1 if rounds > 1 else 0)
        after = in_turn(read_epw, rounds=5, clock=time.perf_counter)
        ratio = benchmark.stats.stats.median / statistics.mean(before + after)
        benchmark.extra_info["times read_epw"] = round(ratio, 3)
        return result

    return run


def test_read_weather(compared) -> None:
    assert compared(lambda: read_weather(EPW)).format == "EPW"


@pytest.mark.parametrize("front_known", [True, False], ids=["front stated", "front sought"])
@pytest.mark.parametrize("kind", KINDS)
def test_a_further_site_on_a_known_climate(compared, kind, front_known) -> None:
    rows = further_sites(front_known=front_known)
    result = compared(lambda: qualify(next(rows), unit_of_kind(kind), station()))
    assert {check.id for check in result.checks} == {check.id for check in CHECKS}


def test_no_further_site_is_like_the_last() -> None:
    rows = further_sites()
    results = [qualify(next(rows), unit_of_kind("chiller"), station()) for _ in range(3)]
    for name in ("headroom_share", "ride_through_minutes", "sound_dba"):
        assert len({result.figures[name] for result in results}) == 3, name


def test_report(compared) -> None:
    rows = further_sites()
    page = compared(
        lambda: site_page(qualify(next(rows), unit_of_kind("chiller"), station()), need=NEED), rounds=3
    )
    assert page.startswith("<!doctype html>") or "<html" in page


@pytest.mark.slow
def test_a_thousand_sites(compared) -> None:
    """Rows of one climate and three kinds of unit through the whole of `screen`, without reports."""
    inputs = demo_inputs()
    site_list = load_sites(inputs.sites)
    rows = further_sites(front_known=False)
    sites = tuple(next(rows) for _ in range(1000))
    plan = plan_run(site_list, unit_of_kind("chiller"), EPW)
    job = next(one for one in plan.jobs if one.site.site_id == ROW)
    jobs = tuple(
        replace(job, place=place, site=site, unit=unit_of_kind(KINDS[place % 3]))
        for place, site in enumerate(sites)
    )
    many = replace(plan, site_list=replace(site_list, sites=sites), jobs=jobs, unusable={})
    run = compared(lambda: screen(many), rounds=1)
    assert len(run.results) == 1000
    assert not run.failed
    assert all(result.hourly is None for result in run.results)


@pytest.fixture(scope="module")
def example() -> Result:
    """The plain script's site: dark roof at the station, 5.6 kW, worst front."""
    row = next(further_sites())
    keys = ("site_id", "latitude_deg", "longitude_deg")
    values = {key: row.values[key] for key in keys if key in row.values}
    elevation = station().weather.elevation
    values |= {"roof_surface": "dark", "it_load_kw": 5.6, "elevation_m": elevation}
    return qualify(replace(row, values=values), unit_of_kind("chiller"), station())


def test_the_plain_script_is_of_the_same_model(example) -> None:
    """Heat, capacity, spells and loss of cooling as in edgecheck; its sun is pvlib's slow one, 0.01 degrees away."""
    site = plain_script.whole_site(EPW, demo_inputs().unit, 5.6)
    found, figures, hourly = site.year, example.figures, example.hourly
    assert hourly is not None
    assert site.front % 180.0 == example.detail["front_azimuth_deg"]["value"] % 180.0
    # one sun and the edges of daylight apart: 1 % of the shell's heat, 0.1 % of the load
    np.testing.assert_allclose(found.hours.load, hourly["load"].to_numpy(), atol=25.0)
    np.testing.assert_allclose(found.hours.capacity, hourly["capacity"].to_numpy(), rtol=2e-4)
    assert float(np.min(found.hours.share)) == pytest.approx(figures["headroom_share"], abs=2e-3)
    assert float(np.max(np.abs(found.liquid - hourly["liquid"].to_numpy()))) < 0.2
    # the script counts whole minutes; edgecheck takes 10 % off a heat capacity that is only typical of the family
    first = float(np.min(site.to_shutdown[0])) / 60.0
    assert first / 1.10 == pytest.approx(figures["ride_through_minutes"], abs=1.0)
