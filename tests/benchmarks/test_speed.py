"""Speed as a ratio to pvlib's own EPW reader in the same run; printed, never a pass or fail by the clock."""

from dataclasses import replace

import numpy as np
import pytest
from benchmarks import plain_script
from benchmarks.table import in_turn, read_epw
from speed_cases import EPW, KINDS, ROW, further_sites, station, unit_of_kind

from edgecheck.chain import qualify
from edgecheck.checks.declarations import CHECKS
from edgecheck.demo.files import demo_inputs
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import load_sites
from edgecheck.outputs.pages import site_page
from edgecheck.screening.plan import plan_run
from edgecheck.screening.run import screen
from edgecheck.weather.read import read_weather

RATIO = pytest.mark.benchmark(group="ratio to pvlib.iotools.read_epw")
NEED = load_criteria().need


@RATIO
def test_reference_read_epw(benchmark) -> None:
    data, _ = benchmark(read_epw)
    assert len(data) == 8760


@RATIO
def test_read_weather(benchmark) -> None:
    assert benchmark(read_weather, EPW).format == "EPW"


@RATIO
@pytest.mark.parametrize("front_known", [True, False], ids=["front stated", "front sought"])
@pytest.mark.parametrize("kind", KINDS)
def test_a_further_site_on_a_known_climate(benchmark, kind, front_known) -> None:
    rows = further_sites(front_known=front_known)
    result = benchmark(lambda: qualify(next(rows), unit_of_kind(kind), station()))
    assert {check.id for check in result.checks} == {check.id for check in CHECKS}


def test_no_further_site_is_like_the_last() -> None:
    rows = further_sites()
    results = [qualify(next(rows), unit_of_kind("chiller"), station()) for _ in range(3)]
    for name in ("headroom_share", "ride_through_minutes", "sound_dba"):
        assert len({result.figures[name] for result in results}) == 3, name


@RATIO
def test_report(benchmark) -> None:
    rows = further_sites()
    page = benchmark.pedantic(
        lambda: site_page(qualify(next(rows), unit_of_kind("chiller"), station()), need=NEED), rounds=3
    )
    assert page.startswith("<!doctype html>") or "<html" in page


@pytest.mark.slow
def test_a_thousand_sites(capsys) -> None:
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
    runs = []
    reference, seconds = in_turn(read_epw, lambda: runs.append(screen(many)), rounds=1)
    assert len(runs[0].results) == 1000
    assert not runs[0].failed
    assert all(result.hourly is None for result in runs[0].results)
    with capsys.disabled():
        print(f"\n1000 sites: {seconds:.1f} s, {seconds / reference / 1000:.3f} read_epw a site")  # noqa: T201


def test_the_plain_script_is_of_the_same_model() -> None:
    """Least share and heat as in edgecheck; the script's sun is pvlib's slow one, 0.01 degrees away."""
    data, meta = plain_script.read(EPW)
    found = plain_script.site_year(data, meta, demo_inputs().unit, 5.6, 180.0)
    row = next(further_sites())
    keys = ("site_id", "latitude_deg", "longitude_deg")
    values = {key: row.values[key] for key in keys if key in row.values}
    values |= {
        "roof_surface": "dark",
        "front_azimuth_deg": 180.0,
        "it_load_kw": 5.6,
        "elevation_m": meta["altitude"],
    }
    result = qualify(replace(row, values=values), unit_of_kind("chiller"), station())
    hourly = result.hourly
    assert hourly is not None
    # one sun and the edges of daylight apart: 1 % of the shell's heat, 0.1 % of the load
    np.testing.assert_allclose(found.load, hourly["load"].to_numpy(), atol=25.0)
    np.testing.assert_allclose(found.capacity, hourly["capacity"].to_numpy(), rtol=2e-4)
    assert float(np.min(found.share)) == pytest.approx(result.figures["headroom_share"], abs=2e-3)
    assert float(np.max(np.abs(found.liquid - hourly["liquid"].to_numpy()))) < 0.2
