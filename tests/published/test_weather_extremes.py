"""Extremes against numbers printed in the headers of published weather files.

The rows below are the annual-extremes block of DESIGN CONDITIONS lines (ASHRAE Handbook - Fundamentals,
climatic design information; means, deviations and n-year values come from the same tables and are rounded to
0.1 K, hence the tolerance of 0.2 K).
"""

import numpy as np
import pytest
from real_weather import real_epw
from scipy.stats import gumbel_r

from edgecheck.weather.gumbel import (
    gumbel_factor,
    likeliest_return_value,
    return_value,
    standard_error,
)
from edgecheck.weather.header import header_extremes

# station (edition): mean min, mean max, sd min, sd max, then 5-, 10-, 20- and 50-year minimum and maximum
PRINTED = {
    "San Francisco Intl (2009)": "1.8 34.6 1.5 2.3 0.8 36.2 -0.1 37.5 -0.9 38.8 -1.9 40.5",
    "Chicago O'Hare (2009)": "-23.7 35.9 4.5 1.9 -27.0 37.3 -29.6 38.4 -32.2 39.5 -35.5 40.9",
    "Mannheim (2017)": "-12.0 34.3 3.0 1.8 -14.2 35.6 -15.9 36.7 -17.6 37.7 -19.8 39.1",
    "Long Beach (2021)": "2.9 38.1 1.1 2.2 2.1 39.7 1.4 40.9 0.8 42.1 -0.1 43.7",
    "test file of Tokyo (2009)": "-19.7 31.0 4.5 1.7 -22.9 32.2 -25.5 33.2 -28.1 34.2 -31.3 35.4",
}
YEARS = (5, 10, 20, 50)


@pytest.mark.parametrize("name", PRINTED)
def test_printed_values_follow_from_mean_and_deviation(name: str) -> None:
    mean_min, mean_max, sd_min, sd_max, *values = map(float, PRINTED[name].split())
    for years, cold, hot in zip(YEARS, values[::2], values[1::2], strict=True):
        assert return_value(mean_min, -sd_min, years) == pytest.approx(cold, abs=0.2)
        assert return_value(mean_max, sd_max, years) == pytest.approx(hot, abs=0.2)


@pytest.mark.parametrize(
    ("years", "factor"),
    [(2, -0.1643), (5, 0.7195), (10, 1.3046), (20, 1.8658), (25, 2.0438), (50, 2.5923), (100, 3.1367)],
)
def test_gumbel_factor(years: float, factor: float) -> None:
    """Frequency factors of the Gumbel distribution for a long record (Chow 1951), printed to 0.001."""
    assert gumbel_factor(years) == pytest.approx(factor, abs=1e-4)


@pytest.mark.parametrize("years", [1.0, 0.5, -3.0])
def test_return_period_of_a_year_or_less_has_no_value(years: float) -> None:
    with pytest.raises(ValueError, match="more than one year"):
        gumbel_factor(years)


@pytest.mark.parametrize(("count", "years"), [(15, 20.0), (30, 20.0), (30, 50.0), (15, 5.0)])
def test_standard_error_of_moments_is_that_of_simulated_records(count: int, years: float) -> None:
    """20,000 records drawn by scipy: the scatter of their return values is Kite's standard error, which is asymptotic:
    within 6 % from fifteen years on."""
    records = gumbel_r.rvs(loc=38.0, scale=1.2, size=(20_000, count), random_state=7)
    values = records.mean(axis=1) + gumbel_factor(years) * records.std(axis=1, ddof=1)
    sd = float(gumbel_r.std(scale=1.2))
    assert standard_error(sd, count, years) == pytest.approx(float(values.std()), rel=0.06)
    assert standard_error(-sd, count, years) == standard_error(sd, count, years)


def test_ninety_percent_band_holds_nine_of_ten() -> None:
    """The band of 30-year records, each with its own deviation, holds the true 20-year value in 90 of 100 (normal
    approximation and the sampled deviation cost about three of them)."""
    records = gumbel_r.rvs(loc=38.0, scale=1.2, size=(4000, 30), random_state=8)
    true = gumbel_r.ppf(1 - 1 / 20, 38.0, 1.2)
    inside = 0
    for record in records:
        sd = float(record.std(ddof=1))
        off = abs(return_value(float(record.mean()), sd, 20.0) - true)
        inside += off <= 1.645 * standard_error(sd, 30, 20.0)
    assert inside / len(records) == pytest.approx(0.88, abs=0.03)


def test_maximum_likelihood_of_a_long_record_finds_the_truth() -> None:
    record = gumbel_r.rvs(loc=38.0, scale=1.2, size=20_000, random_state=9)
    true = float(gumbel_r.ppf(1 - 1 / 50, 38.0, 1.2))
    assert likeliest_return_value(record, 50.0) == pytest.approx(true, abs=0.06)
    assert likeliest_return_value(-record, 50.0, minima=True) == pytest.approx(-true, abs=0.06)


def test_likelihood_is_at_its_top() -> None:
    """No other pair of parameters near the fitted one is likelier, by scipy's own density."""
    record = np.array([37.9, 38.4, 38.0, 39.7, 41.2, 38.8, 40.1, 39.2, 38.6, 39.9])
    low, high = likeliest_return_value(record, 2.0), likeliest_return_value(record, 50.0)
    variate = {years: -np.log(-np.log(1 - 1 / years)) for years in (2.0, 50.0)}
    scale = (high - low) / (variate[50.0] - variate[2.0])
    location = low - variate[2.0] * scale
    best = gumbel_r.logpdf(record, location, scale).sum()
    for a in (-0.05, 0.05):
        assert best > gumbel_r.logpdf(record, location + a, scale).sum()
        assert best > gumbel_r.logpdf(record, location, scale + a).sum()


def line(block: str, wet_bulb: bool, extra: str = "") -> list[str]:
    """A line with the literals in their places; the other fields do not matter here."""
    speeds = ["10.1", "8.8", "7.6"] + (["28.5"] if wet_bulb else [])
    head = ["DESIGN CONDITIONS", "1", "Handbook", "", "Heating", *["1"] * 15, "Cooling", *["1"] * 32]
    return [*head, "Extremes", *speeds, *block.split(), *([extra] if extra else [])]


@pytest.mark.parametrize("name", PRINTED)
@pytest.mark.parametrize("wet_bulb", [True, False])
def test_layout_is_found_from_the_numbers(name: str, wet_bulb: bool) -> None:
    found, notes = header_extremes(line(PRINTED[name], wet_bulb, "" if wet_bulb else "-12.4"))
    mean_min, mean_max, *rest = map(float, PRINTED[name].split())
    assert found is not None
    assert (found.mean_min, found.mean_max, notes) == (mean_min, mean_max, ())
    assert (found.cold[50], found.hot[50]) == (rest[-2], rest[-1])


def test_mannheim_2017_with_its_trailing_number() -> None:
    """Extremes of the published file of Mannheim: no wet bulb, one number more at the end."""
    text = "Extremes,10.1,8.8,7.6,-12,34.3,3,1.8,-14.2,35.6,-15.9,36.7,-17.6,37.7,-19.8,39.1,-12.4"
    found, _ = header_extremes(["DESIGN CONDITIONS", "1", "2017", "", *text.split(",")])
    assert found is not None
    assert (found.mean_min, found.mean_max, found.sd_min, found.sd_max) == (-12, 34.3, 3, 1.8)
    assert dict(found.hot) == {5: 35.6, 10: 36.7, 20: 37.7, 50: 39.1}
    assert dict(found.cold) == {5: -14.2, 10: -15.9, 20: -17.6, 50: -19.8}


@pytest.mark.parametrize(
    ("name", "source", "mean_max", "hot_50"),
    [
        ("chicago", "2009", 35.9, 40.9),  # greatest wet bulb before the temperatures
        ("chicago-2021", "2021", 35.2, 40.5),  # wind shelter factor in the line, wet bulb moved
        ("northway", "2021", 28.5, 33.2),
        ("tucson", "2009", 42.7, 46.7),
    ],
)
def test_header_lines_of_real_files(name: str, source: str, mean_max: float, hot_50: float) -> None:
    fields = real_epw(name).read_text(encoding="latin-1").splitlines()[1].split(",")
    found, notes = header_extremes(fields)
    assert found is not None
    assert notes == ()
    assert source in found.source
    assert (found.mean_max, found.hot[50]) == (mean_max, hot_50)


@pytest.mark.parametrize(
    "block",
    [
        PRINTED["Mannheim (2017)"].replace(
            "37.7", "39.0"
        ),  # the printed value contradicts mean and deviation
        PRINTED["Mannheim (2017)"].replace("34.3", "N/A"),
        PRINTED["Mannheim (2017)"].rsplit(" ", 2)[0],
        "",
    ],
)
def test_line_that_cannot_be_trusted_is_not_read(block: str) -> None:
    found, notes = header_extremes(line(block, wet_bulb=False))
    assert found is None
    assert [note.code for note in notes] == ["header-extremes-not-read"]


def test_line_without_extremes() -> None:
    assert header_extremes(["DESIGN CONDITIONS", "0"]) == (None, ())
