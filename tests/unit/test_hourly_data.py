"""What a reader gets of a decided site: hourly data with units, figures, sentences; real weather."""

import json

import numpy as np
import pytest
from site_cases import REQUIRED, decide, example_values

from edgecheck.base.variables import variables
from edgecheck.checks.declarations import CHECKS, check_of
from edgecheck.checks.result import Result
from edgecheck.checks.verdict import sentence
from edgecheck.heat.curve import BINDING_NAMES

ROWS = {
    "example": {},
    "loaded": {"it_load_kw": 8.4, "roof_reserve_kpa": 0.4, "member_span_m": 4.0, "member_spacing_m": 1.0},
    "too hot": {"it_load_kw": 9.0, "extreme_dry_bulb_c": 42.0, "roof_reserve_point_kn": 0.0},
    "too cold": {"extreme_cold_dry_bulb_c": -30.0, "roof_reserve_kpa": 0.0},
}
HOURLY = {
    "temp_air": "degC",
    "roof": "degC",
    "inlet_air": "degC",
    "equivalent_inlet": "degC",
    "condensing": "degC",
    "it": "W",
    "pump_heat": "W",
    "solar": "W",
    "envelope": "W",
    "longwave": "W",
    "load": "W",
    "capacity": "W",
    "headroom": "W",
    "service_headroom": "W",
    "liquid": "degC",
    "input": "W",
}


@pytest.fixture(scope="module")
def results() -> dict[str, Result]:
    found = {name: decide(dict(example_values()) | cells) for name, cells in ROWS.items()}
    return found | {"coordinates only": decide(REQUIRED)}


@pytest.fixture(scope="module")
def example(results) -> Result:
    return results["example"]


@pytest.mark.parametrize("name", ["hourly", "hot_spell", "cold_spell"])
def test_every_quantity_has_its_unit_and_label(example, name):
    data = getattr(example, name)
    more = ["temp_dew"] if name == "hourly" else []
    assert list(data.data_vars) == [*HOURLY, "binding", *more]
    for key, unit in HOURLY.items():
        assert data[key].attrs == {"units": unit, "long_name": variables()[key].label}
        assert data[key].dims == ("time",)
    assert data["binding"].attrs["long_name"]
    assert data.attrs == {"utc_offset_h": -5.0}
    assert data["time"].attrs["long_name"] == "Local standard time, start of the hour"


def test_time_is_local_standard_time_of_a_typical_year(example):
    time = example.hourly["time"].to_numpy()
    assert len(time) == 8760
    assert time[0] == np.datetime64("2001-01-01T00:00")
    assert np.all(np.diff(time) == np.timedelta64(1, "h"))
    for spell in (example.hot_spell, example.cold_spell):
        assert len(spell["time"]) == 168
        assert set(spell["time"].to_numpy()) <= set(time)


@pytest.mark.parametrize("row", ROWS)
@pytest.mark.parametrize("name", ["hourly", "hot_spell", "cold_spell"])
def test_the_hours_add_up_and_are_plausible(results, row, name):
    data = {key: value.to_numpy() for key, value in getattr(results[row], name).data_vars.items()}
    parts = sum(data[key] for key in ("it", "pump_heat", "solar", "envelope", "longwave"))
    np.testing.assert_allclose(data["load"], parts, atol=1e-6)
    np.testing.assert_allclose(data["headroom"], data["capacity"] - data["load"], atol=1e-6)
    barred = np.isin(data["binding"], BINDING_NAMES[:3])
    assert np.all(data["capacity"][barred] == 0.0)
    assert np.all(data["service_headroom"] >= data["headroom"] - 1e-6)
    assert np.all((data["binding"] == "capacity") == (~barred & (data["service_headroom"] < 0.0)))
    for key in HOURLY:
        known = data[key][np.isfinite(data[key])]
        assert len(known) == len(data[key])  # nothing past the table here
        assert variables()[key].low <= known.min()
        assert known.max() <= variables()[key].high


def test_spells_reach_the_extremes_of_the_list(example):
    assert float(example.hot_spell["temp_air"].max()) == pytest.approx(38.5)
    assert float(example.cold_spell["temp_air"].min()) == pytest.approx(-20.0)


def test_outage_curves_and_hours(example):
    data = example.outage
    assert data["ride_through"].attrs["units"] == "s"
    assert data["liquid_cooling_lost"].attrs["units"] == "degC"
    assert (data.sizes["time"], data.sizes["minute"]) == (8760, 121)
    minutes = example.figures["ride_through_minutes"]
    assert minutes <= float(data["ride_through"].min()) / 60.0 + 1e-9
    for curve, figure in (
        ("liquid_cooling_lost", minutes),
        ("liquid_pump_lost", example.figures["pump_lost_minutes"]),
    ):
        course = data[curve].to_numpy()
        assert course[0] == pytest.approx(42.0)  # the upper edge of the band
        assert np.interp(figure, data["minute"].to_numpy(), course) == pytest.approx(70.0, abs=0.05)


@pytest.mark.parametrize("row", ROWS)
def test_figures_are_those_of_the_worst_hour(results, row):
    result = results[row]
    worst = result.hourly.sel(time=np.datetime64(result.figures["worst_time"].replace(" ", "T")))
    assert result.figures["headroom_kw"] == pytest.approx(float(worst["service_headroom"]) / 1000.0)
    assert result.worst_hours[0].time == result.figures["worst_time"]
    assert result.worst_hours[0].binding == str(worst["binding"].item())
    headroom = next(check for check in result.checks if check.id == "heat.headroom")
    assert headroom.demand == result.figures["headroom_share"]
    if not np.any(np.isin(result.hourly["binding"], BINDING_NAMES[:3])):
        assert float(worst["service_headroom"]) == pytest.approx(
            float(result.hourly["service_headroom"].min()), rel=0.02
        )


def test_partial_pue_at_the_hot_hour(example):
    """Common practice, no source: a unit with a compressor shows 1.2 to 1.5 at the hot hour."""
    assert 1.2 <= example.detail["energy"]["partial_pue_worst"] <= 1.5
    assert 1.0 < example.detail["energy"]["partial_pue"] < example.detail["energy"]["partial_pue_worst"]


@pytest.mark.parametrize("row", [*ROWS, "coordinates only"])
def test_checks_stand_in_the_order_of_the_table_with_their_signs(results, row):
    checks = results[row].checks
    assert [check.id for check in checks] == [check.id for check in CHECKS]
    for check in checks:
        if check.status == "pass":
            assert check.spare >= 0.0
            assert check.utilisation is None or check.utilisation <= 1.0
        if check.status == "fail":
            stopped = "Servers stop" in check.note or "without capacity" in check.note
            assert check.spare < 0.0 or stopped
            assert check.utilisation is None or check.utilisation > 1.0
        if check.status == "not assessed":
            assert check.missing
            assert not check.conditions
        if check_of(check.id).unit in ("degC", "dB(A)"):
            assert check.utilisation is None


@pytest.mark.parametrize("row", [*ROWS, "coordinates only"])
def test_no_text_shows_what_the_program_calls_nothing(results, row):
    result = results[row]
    texts = [sentence(check) for check in result.checks]
    texts += [result.reason, *result.conditions, *result.to_survey, *(note.text for note in result.notes)]
    for text in texts:
        words = set(text.replace(".", " ").replace(",", " ").replace("(", " ").replace(")", " ").split())
        assert not words & {"nan", "None", "inf", "-inf", "NaN"}
        assert "  " not in text
        assert ".." not in text


def test_verdicts_of_the_rows(results):
    found = {name: (result.verdict, result.governing_check) for name, result in results.items()}
    assert found == {
        "example": ("conditional", "stability.wind"),
        "loaded": ("no-go", "roof.load"),
        "too hot": ("no-go", "roof.point-load"),
        "too cold": ("no-go", "heat.operating-range"),
        "coordinates only": ("undecided", "roof.space"),
    }


def test_a_cold_site_says_what_bars_its_machine(results):
    result = results["too cold"]
    assert "below the maker's low-ambient limit" in result.reason
    assert result.figures["max_it_load_kw"] == 0.0
    assert any(hour.binding == "inlet-low" and hour.spell == "cold spell" for hour in result.worst_hours)


def test_the_record_is_plain(results):
    for result in results.values():
        text = json.dumps(result.to_dict(), allow_nan=False)
        assert '"schema": 1' in text
