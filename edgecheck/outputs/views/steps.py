"""Rows of a worked example: what is done, the formula, the numbers put in, the result."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from edgecheck.outputs.number_text import is_known, step

Values = Mapping[str, Any]


@dataclass(frozen=True)
class StepRow:
    """One step of the worked example."""

    what: str
    formula: Markup
    numbers: str
    result: str
    total: bool = False


def kelvin(value: Any) -> str:
    """A difference with its sign."""
    return step(value, "K", signed=True)


def celsius(value: Any) -> str:
    """A temperature."""
    return step(value, "degC")


def power(value: Any) -> str:
    """Watts as kilowatts."""
    return step(value, "kW", factor=1000.0, decimals=3)


def filled(template: str, values: Values, **formats: tuple[str, str, float, int]) -> str:
    """The numbers put into a formula; empty where one of them is not known."""
    texts = {}
    for name, (key, unit, factor, decimals) in formats.items():
        if not is_known(values.get(key)):
            return ""
        texts[name] = step(values[key], unit, factor=factor, decimals=decimals)
    return template.format(**texts)


def named(values: Values, *formats: tuple[str, str, str, float, int]) -> str:
    """Symbols with their numbers, those that are known: "r 0.050, Q 10.90 kW"."""
    return ", ".join(
        f"{symbol} {step(values[key], unit, factor=factor, decimals=decimals)}"
        for symbol, key, unit, factor, decimals in formats
        if is_known(values.get(key))
    )
