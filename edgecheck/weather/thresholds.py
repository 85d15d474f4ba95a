"""The limits of the weather rooms, read once from thresholds.toml."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any


@cache
def thresholds() -> Mapping[str, Mapping[str, Any]]:
    """All limits, by table and key as in thresholds.toml (units beside each value there)."""
    text = files("edgecheck.weather").joinpath("thresholds.toml").read_text(encoding="utf-8")
    return MappingProxyType({name: MappingProxyType(table) for name, table in tomllib.loads(text).items()})
