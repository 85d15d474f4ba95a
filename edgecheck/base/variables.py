"""The list of hourly and computed quantities, and the step between memory and files.

`variables.toml` is the single source: headers, axis labels, attributes of stored data and the nomenclature
all come from it. In memory a quantity is SI (degC for temperatures) under its bare name; in a file it stands
under the name with its unit suffix, divided by the factor.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True)
class Variable:
    """One quantity.

    Parameters
    ----------
    name, unit, label : str
        Bare name, unit in memory, words for axes and tables.
    suffix : str
        Unit suffix in files.
    factor : float
        Memory value of one file unit (1000 for W kept as kW).
    digits : int
        Decimals written to files.
    low, high : float
        Plausible range in the memory unit.
    kind : {"mean", "point"}
        Mean over the hour, or a reading.
    """

    name: str
    unit: str
    suffix: str
    label: str
    digits: int
    low: float
    high: float
    kind: Literal["mean", "point"]
    factor: float = 1.0

    @property
    def file_unit(self) -> str:
        """Unit of the values in files."""
        return {"kw": "kW", "kpa": "kPa", "minutes": "min"}.get(self.suffix, self.unit)


@cache
def variables() -> Mapping[str, Variable]:
    """All quantities by name, in the order of the file."""
    text = files("edgecheck.base").joinpath("variables.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: Variable(name=name, **row) for name, row in tomllib.loads(text).items()})


def edge_name(name: str) -> str:
    """Name in files: the bare name with its unit suffix; a name that is no quantity stays as it is."""
    found = variables().get(name)
    return name if found is None else f"{name}_{found.suffix}"


def edge_value(name: str, value: ArrayLike) -> NDArray[np.float64]:
    """Values in the file's unit.

    Parameters
    ----------
    name : str
        A name of variables.toml.
    value : array_like, shape (...)
        Values in the memory unit.

    Returns
    -------
    ndarray, shape (...)
        Values divided by the factor.

    Raises
    ------
    KeyError
        If the name is no quantity.
    """
    return np.asarray(value, dtype=float) / variables()[name].factor
