"""Load combinations of the standards, from combinations.toml.

In: the standard and its edition, nationally determined factors. Out: factors on weight, wind and seismic
action with the clause that prints them. One table a standard and edition; editions are never mixed.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal

Standard = Literal["en", "asce7-16", "asce7-22"]
Level = Literal["design", "asd"]
Use = Literal["wind", "seismic"]


@dataclass(frozen=True)
class Combination:
    """One combination.

    Parameters
    ----------
    text : str
        As it is printed, "0.9 G + 1.5 W".
    clause : str
        Where.
    use : {"wind", "seismic"}
        Which action leads.
    level : {"design", "asd"}
        Design (strength) or allowable stress.
    stability : bool
        Whether an unanchored unit is judged by it.
    permanent, wind, horizontal, vertical : float
        Factors on the weight, the wind, and the horizontal and upward seismic action.
    """

    text: str
    clause: str
    use: Use
    level: Level
    stability: bool
    permanent: float
    wind: float
    horizontal: float
    vertical: float


@cache
def _document() -> Mapping[str, Any]:
    text = files("edgecheck.inputs").joinpath("combinations.toml").read_text(encoding="utf-8")
    return MappingProxyType(tomllib.loads(text))


def recommended() -> dict[str, float]:
    """Nationally determined factors with the values that the standards recommend."""
    return {name: float(value) for name, value in _document()["recommended"].items()}


def combinations(
    standard: Standard,
    use: Use,
    *,
    level: Level | None = None,
    national: Mapping[str, float] | None = None,
) -> tuple[Combination, ...]:
    """Combinations of a standard.

    Parameters
    ----------
    standard : {"en", "asce7-16", "asce7-22"}
        With its edition.
    use : {"wind", "seismic"}
        Which action leads.
    level : {"design", "asd"}, optional
        Only those of a level.
    national : mapping of str to float, optional
        Values for names of `recommended`; other names are ignored.

    Returns
    -------
    combinations : tuple of Combination
        In the order of the file.

    Raises
    ------
    KeyError
        A standard that is not in the file.
    """
    values = recommended()
    values.update({name: value for name, value in (national or {}).items() if name in values})
    return tuple(
        found
        for row in _document()["standard"][standard]["combination"]
        if (found := _combination(row, values)).use == use and level in (None, found.level)
    )


def stability_combinations(
    standard: Standard, national: Mapping[str, float] | None = None
) -> tuple[Combination, ...]:
    """Combinations by which sliding, overturning and uplift of an unanchored unit are judged."""
    return tuple(one for one in combinations(standard, "wind", national=national) if one.stability)


def _combination(row: Mapping[str, Any], values: Mapping[str, float]) -> Combination:
    factors = {
        name: values[given] if isinstance(given := row.get(name, 0.0), str) else float(given)
        for name in ("permanent", "wind", "horizontal", "vertical")
    }
    return Combination(
        text=row["terms"].format(**factors),
        clause=row["clause"],
        use=row["use"],
        level=row["level"],
        stability=row.get("stability", False),
        **factors,
    )
