"""A weather file of several real years: the worst one decides, the spread is shown."""

from pathlib import Path

import pytest
from real_weather import real_epw

from edgecheck.chain import qualify
from edgecheck.checks.result import Result
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather

EXAMPLES = Path(__file__).parents[1] / "data" / "examples"


def several_years(folder: Path, shifts: dict[int, float]) -> Path:
    """A real EPW repeated as calendar years, each warmer or colder than the original."""
    lines = real_epw("tucson").read_text(encoding="latin-1").splitlines()
    rows = []
    for year, shift in shifts.items():
        for line in lines[8:]:
            cells = line.split(",")
            cells[0] = str(year)
            cells[6] = f"{float(cells[6]) + shift:.1f}"
            rows.append(",".join(cells))
    path = folder / "years.epw"
    path.write_text("\n".join([*lines[:8], *rows]) + "\n", encoding="latin-1")
    return path


def decide(path: Path, folder: Path, heading: str = "", cell: str = "") -> tuple[Weather, Result]:
    weather = read_weather(path)
    listed = folder / "list.csv"
    row = f"X,{weather.latitude},{weather.longitude}{cell}"
    listed.write_text(f"site_id,latitude_deg,longitude_deg{heading}\n{row}\n", encoding="utf-8")
    site = load_sites(listed).sites[0]
    return weather, qualify(site, load_unit(EXAMPLES / "unit.toml"), weather)


@pytest.fixture(scope="module")
def outcome(tmp_path_factory: pytest.TempPathFactory) -> tuple[Weather, Result]:
    folder = tmp_path_factory.mktemp("years")
    return decide(several_years(folder, {2001: 0.0, 2002: 3.0, 2003: -2.0}), folder)


def test_the_worst_year_decides_and_the_spread_is_kept(outcome: tuple[Weather, Result]) -> None:
    weather, result = outcome
    assert len(weather.years) == 3
    years = {row["year"]: row for row in result.detail["weather"]["years"]}
    assert [row["role"] for row in result.detail["weather"]["years"]] == ["median", "worst", ""]
    assert years[2002]["least_share"] < years[2001]["least_share"] < years[2003]["least_share"]
    assert result.figures["worst_time"].startswith("2002-")
    assert result.figures["headroom_share"] == pytest.approx(years[2002]["least_share"])
    hottest = float(weather.years[1].temp_air.max())
    assert result.worst_hours[0].values["station_temp_air"] == pytest.approx(hottest, abs=3.0)


def test_one_year_alone_gives_the_same_share(outcome: tuple[Weather, Result], tmp_path: Path) -> None:
    _, result = outcome
    azimuth = result.detail["front_azimuth_deg"]["value"]
    path = several_years(tmp_path, {2002: 3.0})
    _, alone = decide(path, tmp_path, ",front_azimuth_deg", f",{azimuth}")
    assert alone.figures["headroom_share"] == pytest.approx(result.figures["headroom_share"])
    assert alone.detail["weather"]["years"] == []


def test_spells_come_from_the_years_with_the_extreme_hours(outcome: tuple[Weather, Result]) -> None:
    _, result = outcome
    assert result.hot_spell is not None
    assert result.cold_spell is not None
    assert str(result.hot_spell["time"].values[0]).startswith("2002")
    assert str(result.cold_spell["time"].values[0]).startswith("2003")
