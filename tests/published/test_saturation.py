"""Pressure switches as saturation temperatures: `condensing_max_c` of the unit files against CoolProp.

Data sheets give the opening pressure of the high-pressure switch as a gauge pressure. CoolProp's equations of state
(Lemmon and others) turn it into the condensing temperature of the refrigerant, the quantity of the unit file.
"""

from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from edgecheck.demo.files import demo_inputs
from edgecheck.inputs.unit import load_unit

EXAMPLES = Path(__file__).resolve().parents[1] / "data" / "examples"
ATMOSPHERE = 1.01325  # bar


def condensing(refrigerant: str, gauge_bar: float) -> float:
    """Saturation temperature (dew line) at a gauge pressure. [degC]"""
    return float(PropsSI("T", "P", (gauge_bar + ATMOSPHERE) * 1e5, "Q", 1.0, refrigerant)) - 273.15


# 42 to 43.4 bar is the range of switches for R410A and R32 (an equipment manual's 630 psig is 43.4 bar); the others
# are usual for their refrigerants (from memory). Temperatures as printed in refrigerant tables, to half a digit.
@pytest.mark.parametrize(
    ("refrigerant", "gauge_bar", "temperature", "digit"),
    [
        ("R410A", 42.0, 65.3, 0.1),
        ("R410A", 43.4, 66.8, 0.1),
        ("R32", 42.0, 64.1, 0.1),
        ("R134a", 18.0, 65.0, 1.0),
        ("R290", 27.0, 74.0, 1.0),
    ],
)
def test_switches_as_temperatures(
    refrigerant: str, gauge_bar: float, temperature: float, digit: float
) -> None:
    assert condensing(refrigerant, gauge_bar) == pytest.approx(temperature, abs=digit / 2)


@pytest.mark.parametrize(
    "file", [EXAMPLES / "unit.toml", Path(demo_inputs().unit)], ids=lambda path: path.name
)
def test_the_units_have_switches_that_exist(file: Path) -> None:
    """The condensing limit of the example and of the demo lies where a switch for R410A opens, within 0.8 K."""
    cooling = load_unit(file).cooling
    assert cooling.kind == "chiller"
    assert condensing("R410A", 42.0) - 0.8 <= cooling.condensing_max_c <= condensing("R410A", 43.4) + 0.8


def test_a_kelvin_is_a_bar() -> None:
    """Near the limit 1 K is about 1 bar for R410A: a margin of 3 K is the switch's usual tolerance of 2 to 3 bar."""
    assert 3.0 / (condensing("R410A", 43.4) - condensing("R410A", 42.0)) * 1.4 == pytest.approx(3.0, rel=0.15)
