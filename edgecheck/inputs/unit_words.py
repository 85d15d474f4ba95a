"""Units as people write them: "feet", "lbs", "sq ft", "%" and so on to the unit of a column.

In goes a column and a word, out comes the unit as columns.toml names it; the words stand in synonyms.toml.
"""

import re
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from edgecheck.inputs.columns import Column


@cache
def synonyms() -> Mapping[str, Any]:
    """Tables of synonyms.toml."""
    text = files("edgecheck.inputs").joinpath("synonyms.toml").read_text(encoding="utf-8")
    return MappingProxyType(tomllib.loads(text))


@cache
def unit_words() -> Mapping[str, tuple[str, ...]]:
    """Word in lower case without blanks -> units that it may mean."""
    found: dict[str, list[str]] = {}
    for unit, words in synonyms()["units"].items():
        for word in (unit, *words):
            found.setdefault(plain_unit(word), []).append(unit)
    return MappingProxyType({word: tuple(units) for word, units in found.items()})


def plain_unit(word: str) -> str:
    """Word in lower case, without blanks, full stops and underscores, with plain digits."""
    digits = word.lower().replace("\u00b2", "2").replace("\u00b3", "3").replace("^", "")
    return re.sub(r"[\s._]+", "", digits)


def unit_of(column: Column, word: str) -> str | None:
    """Unit of a column that a word names; None where it names none.

    Parameters
    ----------
    column : Column
        What the number is.
    word : str
        As somebody wrote it.
    """
    plain = plain_unit(word)
    by_name = {plain_unit(unit): unit for unit in column.scales()}
    if plain in by_name:
        return by_name[plain]
    return next(
        (by_name[plain_unit(u)] for u in unit_words().get(plain, ()) if plain_unit(u) in by_name), None
    )
