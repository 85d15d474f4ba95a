"""The page and the text of a weather file: everything in it, nothing loaded, the same bytes again."""

from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from real_weather import pvlib_weather
from weather_files import Rows, clear_year, epw_text, plain_text

from edgecheck.outputs.figures.weather_year import annual_extremes, hottest_year, weather_year
from edgecheck.outputs.weather_page import weather_page
from edgecheck.outputs.weather_text import weather_text
from edgecheck.weather.extremes import cold_extreme, hot_extreme
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather


class Page(HTMLParser):
    """Ids, and addresses that a browser would fetch."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.fetched: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.ids += [str(found["id"])] if "id" in found else []
        self.fetched += [str(found[key]) for key in ("src", "href") if key in found]


@pytest.fixture(scope="module")
def miami() -> Weather:
    return pvlib_weather("12839.tm2")


@pytest.fixture(scope="module")
def several(tmp_path_factory: pytest.TempPathFactory) -> Weather:
    random = np.random.default_rng(4)
    rows: Rows | None = None
    for number in range(2011, 2018):
        year = clear_year(number)
        year = year.with_values(temp_air=np.round(year.values["temp_air"] + random.normal(0, 1.5), 1))
        rows = year if rows is None else rows.joined(year)
    assert rows is not None
    path = tmp_path_factory.mktemp("weather") / "several.csv"
    path.write_text(plain_text(rows), encoding="utf-8")
    return read_weather(path)


def test_page_is_self_contained_and_repeatable(miami: Weather) -> None:
    text = weather_page(miami)
    page = Page(text)
    assert text == weather_page(miami)
    assert len(page.ids) == len(set(page.ids))
    assert all(target.startswith(("#", "data:")) for target in page.fetched)
    assert len(text) < 450_000
    for part in ("12839.tm2", "MIAMI, FL", "33.9 °C", "59.23 W/m²", "No flag is raised", miami.sha256):
        assert part in text, part


def test_page_of_several_years_shows_their_extremes(several: Weather) -> None:
    text = weather_page(several)
    assert "annual-extremes" in text
    assert "annual extremes of the file" in text
    assert "by maximum likelihood" in text
    for year in several.years:
        assert f"<td>{year.source_year[0]}</td>" in text


def test_flags_stand_on_the_page_and_in_the_text(tmp_path: Path) -> None:
    air = clear_year().values["temp_air"].copy()
    air[5000] += 25.0
    path = tmp_path / "spike.epw"
    path.write_text(epw_text(clear_year().with_values(temp_air=air)), encoding="utf-8")
    weather = read_weather(path)
    (flag,) = weather.flags
    assert flag.code == "spike"
    assert flag.text in weather_page(weather)
    assert f"    - {flag.text}" in weather_text(weather)
    assert "quality flags: 1" in weather_text(weather)


def test_text_of_the_file_is_escaped(tmp_path: Path) -> None:
    path = tmp_path / "odd.epw"
    path.write_text(
        epw_text(clear_year()).replace("Testing", "<script>alert(1)</script>", 1), encoding="utf-8"
    )
    text = weather_page(read_weather(path))
    assert "<script>" not in text
    assert "&lt;script&gt;" in text


def test_text_gives_place_span_extremes_and_quality(miami: Weather, several: Weather) -> None:
    text = weather_text(miami)
    for part in (
        "12839.tm2: TMY2, MIAMI, FL",
        "latitude 25.800, longitude -80.267, elevation 2 m, UTC-5 h",
        "hottest 33.9 degC",
        "hot extreme of a site here, none listed: 38.4 degC. Estimated",
        "33.9 to 43.3 degC within one standard deviation",
        "quality flags: none",
        "no flag: irradiance components that do not belong together, 13 h, first 1974-04-05 10:00",
    ):
        assert part in text, part
    assert weather_text(several).count("8760 hours") == 7
    assert "20-year value from the 7 annual extremes" in weather_text(several)


def test_figure_of_the_hottest_year(several: Weather) -> None:
    hot, cold = (find(several, None, None, None, 20.0) for find in (hot_extreme, cold_extreme))
    year = hottest_year(several)
    assert float(year.temp_air.max()) == max(float(one.temp_air.max()) for one in several.years)
    drawing = weather_year(several, hot, cold)
    assert str(year.source_year[0]) in drawing.caption
    assert f"{year.temp_air.max():.1f} °C" in drawing.caption
    for label in ("hot extreme", "cold extreme", "dew point", "Jan", "Dec", "kWh/m²"):
        assert label in drawing.svg, label
    both = annual_extremes(several, hot, cold)
    assert both is not None
    assert "2011 to 2017" in both.caption


def test_one_year_has_no_figure_of_years(miami: Weather) -> None:
    hot, cold = (find(miami, None, None, None, 20.0) for find in (hot_extreme, cold_extreme))
    assert annual_extremes(miami, hot, cold) is None
