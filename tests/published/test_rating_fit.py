"""Fitted rating tables against published curves of air-cooled chillers and a vapour-compression cycle.

The curves are the two air-cooled sets of an open standards data set: capacity = Qref CAP(Tlw, Ta), power = Pref CAP
INP, each a biquadratic in leaving liquid and inlet air temperature (6.67 to 15 and 15 to 50 degC). Points are taken
from them as a data sheet would print them; the table must give the temperatures between back within 2 %, the usual
demand on such fits.
"""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from edgecheck.inputs.rating_fit import RatingFit, fit_rating
from edgecheck.inputs.rating_points import RatingPoints
from edgecheck.inputs.toml_source import SourceFile

CAPACITY = {
    "screw": (0.985959, 0.049487, -0.000298, -0.003737, -4.5e-5, -0.000502),
    "scroll": (1.05229229, 0.033560892, 0.000215, -0.005180832, -4.42e-5, -0.000215),
}
INPUT_RATIO = {
    "screw": (0.570624, 0.011954, -0.000522, -3.2e-5, 0.000421, -0.000606),
    "scroll": (0.58333562, -0.004036194, 0.000468, -0.000224478, 0.000481, -0.000682),
}
# Ratios printed for the two sets: (liquid, air) -> capacity, input ratio.
PRINTED = {
    ("screw", 6.67, 35.0): (1.000, 1.000),
    ("screw", 15.0, 25.0): (1.351, 0.668),
    ("screw", 15.0, 50.0): (0.985, 1.229),
    ("scroll", 10.0, 15.0): (1.289, 0.592),
    ("scroll", 15.0, 45.0): (1.136, 1.132),
}


def curve(c: tuple[float, ...], liquid: np.ndarray, air: np.ndarray) -> np.ndarray:
    return np.asarray(
        c[0] + c[1] * liquid + c[2] * liquid**2 + c[3] * air + c[4] * air**2 + c[5] * liquid * air
    )


def machine(name: str, liquid: np.ndarray, air: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Capacity and power of a machine of 10 and 3.4 kW at the rating point. [kW]"""
    ratio = curve(CAPACITY[name], liquid, air)
    return 10.0 * ratio, 3.4 * ratio * curve(INPUT_RATIO[name], liquid, air)


def pairs(rows: list[float], columns: list[float]) -> tuple[np.ndarray, np.ndarray]:
    liquid, air = np.meshgrid(rows, columns, indexing="ij")
    return liquid.ravel().astype(float), air.ravel().astype(float)


def fit(liquid: np.ndarray, air: np.ndarray, capacity: np.ndarray, power: np.ndarray) -> RatingFit:
    source = SourceFile("points.csv", "0" * 64)
    lines = tuple(range(2, 2 + len(liquid)))
    return fit_rating(RatingPoints(liquid, air, capacity, power, lines, source))


def read(made: RatingFit, table: tuple[tuple[float, ...], ...], liquid: float, air: float) -> float:
    """The table as the program reads it: bilinear between its rows and columns."""
    along = [float(np.interp(air, made.inlet_air_c, row)) for row in table]
    return float(np.interp(liquid, made.liquid_c, along))


@pytest.mark.parametrize(("key", "printed"), PRINTED.items(), ids=str)
def test_the_curves_are_the_published_ones(
    key: tuple[str, float, float], printed: tuple[float, float]
) -> None:
    name, liquid, air = key
    at = np.array(liquid), np.array(air)
    assert curve(CAPACITY[name], *at) == pytest.approx(printed[0], abs=1e-3)
    assert curve(INPUT_RATIO[name], *at) == pytest.approx(printed[1], abs=1e-3)


@pytest.mark.parametrize("name", ["screw", "scroll"])
def test_the_other_values_come_back_within_two_percent(name: str) -> None:
    liquid, air = pairs([6.67, 10.0, 15.0], [15.0, 25.0, 40.0, 50.0])
    capacity, power = machine(name, liquid, air)
    made = fit(liquid, air, capacity.round(2), power.round(2))
    for row, column in zip(*pairs([6.67, 8.0, 10.0, 12.5, 15.0], [20.0, 30.0, 35.0, 45.0]), strict=True):
        true = machine(name, np.array(row), np.array(column))
        assert read(made, made.capacity_kw, row, column) == pytest.approx(true[0], rel=0.005)
        assert read(made, made.power_kw, row, column) == pytest.approx(true[1], rel=0.02)
    assert made.capacity.surface.form == "biquadratic"
    assert made.notes == ()


@pytest.mark.parametrize("name", ["screw", "scroll"])
def test_nine_points_give_capacity_within_half_a_percent(name: str) -> None:
    liquid, air = pairs([6.67, 10.0, 15.0], [15.0, 35.0, 50.0])
    capacity, power = machine(name, liquid, air)
    made = fit(liquid, air, capacity.round(2), power.round(2))
    for row, column in zip(*pairs([6.67, 10.0, 15.0], [20.0, 25.0, 40.0, 45.0]), strict=True):
        true = machine(name, np.array(row), np.array(column))
        assert read(made, made.capacity_kw, row, column) == pytest.approx(true[0], rel=0.005)
        assert read(made, made.power_kw, row, column) == pytest.approx(true[1], rel=0.035)


# ---------------------------------------------------------------------------------------- warm liquid
# A vapour-compression cycle of R290 from CoolProp: fixed displacement, isentropic efficiency 0.65, 6 K superheat, 4 K
# subcooling, evaporating 5 K below the liquid, condensing 12 K above the air. Published curves end at 15 degC liquid;
# this is the region that a bath needs. Nine points, the temperatures between come back.


def cycle(liquid: float, air: float) -> tuple[float, float]:
    """Capacity and compressor power of the cycle. [kW]"""
    evaporating, condensing = liquid - 5.0 + 273.15, air + 12.0 + 273.15
    low, high = (float(PropsSI("P", "T", t, "Q", 1, "R290")) for t in (evaporating, condensing))
    h1, s1, rho = (float(PropsSI(x, "T", evaporating + 6.0, "P", low, "R290")) for x in ("H", "S", "D"))
    work = (float(PropsSI("H", "P", high, "S", s1, "R290")) - h1) / 0.65
    h3 = float(PropsSI("H", "T", condensing - 4.0, "P", high, "R290"))
    mass = rho * 2.2e-3 * (0.97 - 0.03 * (high / low - 1.0))
    return mass * (h1 - h3) / 1e3, mass * work / 1e3


def test_a_cycle_at_warm_liquid_comes_back_within_two_percent() -> None:
    liquid, air = pairs([10.0, 20.0, 30.0], [20.0, 35.0, 50.0])
    found = np.array([cycle(*at) for at in zip(liquid, air, strict=True)])
    made = fit(liquid, air, found[:, 0].round(2), found[:, 1].round(2))
    for row, column in zip(*pairs([10.0, 15.0, 25.0, 30.0], [25.0, 30.0, 40.0, 45.0]), strict=True):
        capacity, power = cycle(row, column)
        assert read(made, made.capacity_kw, row, column) == pytest.approx(capacity, rel=0.02)
        assert read(made, made.power_kw, row, column) == pytest.approx(power, rel=0.02)
