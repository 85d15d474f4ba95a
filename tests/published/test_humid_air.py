"""Humid air against psychrolib and against numbers of CoolProp.

psychrolib (MIT) implements the psychrometrics chapter of the ASHRAE Handbook - Fundamentals, as the program does, so
the first tests find slips of the pen; CoolProp's HAPropsSI is a real-gas formulation (Herrmann, Kretzschmar & Gatley
2009), so the table below tests the model: it leaves out the enhancement factor, 0.5 % of the humidity ratio.
Tolerances are those differences, rounded up.
"""

import numpy as np
import psychrolib
import pytest

from edgecheck.base import humid_air

STATES = 1000
# degC, relative humidity, Pa: humidity ratio, density, g/m3, dew point, wet bulb, J/kg of dry air
# (CoolProp 8.0.0; absolute humidity psychrolib 2.5.0)
TABLE = {
    (35.0, 40.0, 101_325.0): (0.014200, 1.13621, 15.829, 19.391, 23.930, 71_638.0),
    (45.0, 10.0, 97_400.0): (0.006218, 1.06275, 6.533, 6.383, 20.875, 61_360.0),
    (33.0, 75.0, 101_325.0): (0.024190, 1.13713, 26.722, 27.973, 29.093, 95_144.0),
    (23.6, 50.0, 74_520.0): (0.012449, 0.86862, 10.639, 12.583, 16.011, 55_474.0),
    (-30.0, 70.0, 101_325.0): (0.000164, 1.45321, 0.237, -33.382, -30.186, -29_765.0),
}


@pytest.fixture(scope="module", autouse=True)
def _si() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.fixture(scope="module")
def states() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Air temperature, relative humidity and pressure at random, arid frost to tropical heat, sea to 4800 m."""
    random = np.random.default_rng(20)
    return (
        random.uniform(-50, 60, STATES),
        random.uniform(1, 100, STATES),
        random.uniform(55_000, 106_000, STATES),
    )


def each(function: object, *columns: np.ndarray) -> np.ndarray:
    assert callable(function)
    return np.array([function(*row) for row in zip(*(column.tolist() for column in columns), strict=True)])


def test_saturation_pressure(states: tuple[np.ndarray, ...]) -> None:
    air = states[0]
    assert humid_air.saturation_pressure(air) == pytest.approx(each(psychrolib.GetSatVapPres, air), rel=1e-9)
    # 2.599 hPa over ice and 2.863 over water at -10 degC (meteorological tables, from memory)
    share = humid_air.saturation_pressure(-10.0) / humid_air.saturation_pressure(-10.0, over_water=True)
    assert float(share) == pytest.approx(2.599 / 2.863, rel=2e-3)


def test_dew_point_and_back(states: tuple[np.ndarray, ...]) -> None:
    air, humidity, _ = states
    dew = humid_air.dew_point(air, humidity)
    assert dew == pytest.approx(each(psychrolib.GetTDewPointFromRelHum, air, humidity / 100), abs=0.02)
    assert humid_air.relative_humidity(air, dew) == pytest.approx(humidity, rel=1e-9)
    assert np.all(dew <= air)


def test_over_water_the_dew_point_is_the_meteorologists(states: tuple[np.ndarray, ...]) -> None:
    """Inverse of e = 6.112 exp(17.62 t/(243.12 + t)) hPa (WMO-No. 8), which is stated for -45 to 60 degC; its own
    difference from Hyland & Wexler's water is below 0.1 K there."""
    air, humidity, _ = states
    keep = (air > -35) & (humidity > 20)
    air, humidity = air[keep], humidity[keep]
    term = np.log(humidity / 100) + 17.62 * air / (243.12 + air)
    expected = 243.12 * term / (17.62 - term)
    assert humid_air.dew_point(air, humidity, over_water=True) == pytest.approx(expected, abs=0.1)


def test_humidity_ratio_enthalpy_and_density(states: tuple[np.ndarray, ...]) -> None:
    air, humidity, pressure = states
    dew = humid_air.dew_point(air, humidity)
    ratio = each(psychrolib.GetHumRatioFromRelHum, air, humidity / 100, pressure)
    assert humid_air.humidity_ratio(dew, pressure) == pytest.approx(ratio, rel=0.006)
    enthalpy = each(psychrolib.GetMoistAirEnthalpy, air, ratio)
    assert humid_air.enthalpy(air, humid_air.humidity_ratio(dew, pressure)) == pytest.approx(
        enthalpy, abs=300.0
    )
    density = each(psychrolib.GetMoistAirDensity, air, ratio, pressure)
    assert humid_air.moist_density(air, dew, pressure) == pytest.approx(density, rel=0.0015)


def test_wet_bulb(states: tuple[np.ndarray, ...]) -> None:
    air, humidity, pressure = states
    dew = humid_air.dew_point(air, humidity)
    expected = each(psychrolib.GetTWetBulbFromRelHum, air, humidity / 100, pressure)
    assert humid_air.wet_bulb(air, dew, pressure) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize("state", TABLE)
def test_states_of_a_real_gas(state: tuple[float, float, float]) -> None:
    air, humidity, pressure = state
    ratio, density, grams, dew, bulb, enthalpy = TABLE[state]
    ours = float(humid_air.dew_point(air, humidity))
    assert ours == pytest.approx(dew, abs=0.02)
    found = float(humid_air.humidity_ratio(ours, pressure))
    assert found == pytest.approx(ratio, rel=0.006, abs=1e-6)
    assert float(humid_air.moist_density(air, ours, pressure)) == pytest.approx(density, rel=0.0015)
    assert float(humid_air.absolute_humidity(air, ours)) == pytest.approx(grams, rel=0.002)
    assert float(humid_air.wet_bulb(air, ours, pressure)) == pytest.approx(bulb, abs=0.02)
    assert float(humid_air.enthalpy(air, found)) == pytest.approx(enthalpy, abs=300.0)


def test_dry_density_of_the_rating() -> None:
    """Dry air by CoolProp 8.0.0 ('Air'): 35 degC at sea level and at 795 hPa, -40 degC, 55 degC."""
    air = np.array([35.0, 35.0, -40.0, 55.0])
    pressure = np.array([101_325.0, 79_500.0, 101_325.0, 101_325.0])
    expected = [1.14579, 0.89894, 1.51599, 1.07580]
    assert humid_air.air_density(air, pressure) == pytest.approx(expected, rel=0.0015)
    # at 35 degC and 40 % humid air is 0.9 % lighter, as the module says
    humid = float(humid_air.moist_density(35.0, humid_air.dew_point(35.0, 40.0), 101_325.0))
    assert 1.0 - humid / 1.14554 == pytest.approx(0.009, abs=0.001)


def test_arrays_broadcast() -> None:
    air, humidity = np.linspace(-10, 40, 6), np.array([[20.0], [90.0]])
    dew = humid_air.dew_point(air, humidity)
    assert dew.shape == (2, 6)
    assert humid_air.wet_bulb(air, dew, 90_000.0).shape == (2, 6)
    assert np.all(humid_air.wet_bulb(air, dew, 90_000.0) <= air + 1e-9)


@pytest.mark.parametrize("over_water", [False, True])
def test_any_shape_and_what_is_unknown(over_water: bool) -> None:
    air = np.array([[-30.0, np.nan, 0.01], [0.02, 35.0, 60.0]])
    air.flags.writeable = False
    found = humid_air.saturation_pressure(air[:, ::-1].T, over_water=over_water)
    alone = [[float(humid_air.saturation_pressure(t, over_water=over_water)) for t in row] for row in air]
    assert np.array_equal(found, np.array(alone)[:, ::-1].T, equal_nan=True)
    assert np.isnan(found).sum() == 1
    back = humid_air.dew_point(air, 100.0, over_water=over_water)
    assert back == pytest.approx(air, abs=1e-9, nan_ok=True)
    assert humid_air.saturation_pressure(20.0).shape == ()
