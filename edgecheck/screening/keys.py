"""The key of a row: everything its result rests on, in one number.

In: a plan, a row of it, the content of the weather file that serves it. Out: a SHA-256 in hex. A stored result
whose key is that of today's row need not be computed again. Where the row stands in the list is no part of it.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from functools import cache
from pathlib import PurePath
from typing import Any

from edgecheck.checks.result import RESULTS_VERSION
from edgecheck.inputs.quantities import Record
from edgecheck.inputs.unit import Unit
from edgecheck.screening.plan import Job, Plan

_OF_THE_LIST = frozenset({"row", "line", "where_line"})
_JSON = json.JSONEncoder(sort_keys=True, separators=(",", ":"))


class Keys:
    """Keys of the rows of one plan.

    Parameters
    ----------
    plan : Plan
        Criteria and lookalikes are those of every row; assumed values stand in the rows.
    """

    def __init__(self, plan: Plan) -> None:
        self._common = canonical([RESULTS_VERSION, plan.criteria, plan.site_list.lookalikes])
        self._units: dict[int, tuple[Unit, str]] = {}

    def of(self, job: Job, weather: str) -> str:
        """Key of a row.

        Parameters
        ----------
        job : Job
            The row with its unit.
        weather : str
            SHA-256 of the weather file's bytes, in hex.

        Returns
        -------
        str
            64 hex digits.
        """
        beside = ["" if one is None else one.sha256 for one in (job.profile, job.warming)]
        parts = (self._common, self._unit(job.unit), job.weather.name, weather, *beside, canonical(job.site))
        return hashlib.sha256("\n".join(parts).encode("utf-8", "surrogatepass")).hexdigest()

    def _unit(self, unit: Unit) -> str:
        # The unit is kept beside its text, so that no other one can have its identity.
        found = self._units.get(id(unit))
        if found is None:
            found = self._units[id(unit)] = unit, canonical(unit)
        return found[1]


def canonical(value: Any) -> str:
    """One text for equal values, whatever the order of their keys.

    Parameters
    ----------
    value : object
        Records, mappings, sequences, texts and numbers in one another; lines of a list are left out.

    Returns
    -------
    str
        JSON.

    Raises
    ------
    TypeError
        For a kind of value that no input has.
    """
    return _JSON.encode(_plain(value))


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return {"one of": type(value).__name__, "name": value.name}
    if value is None or isinstance(value, str | bool | int | float):
        return value
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, set | frozenset):
        return sorted(canonical(item) for item in value)
    if isinstance(value, PurePath):
        return value.name
    kind: Any = type(value)
    return {name: _plain(getattr(value, name)) for name in _names(kind)}


@cache
def _names(kind: type) -> tuple[str, ...]:
    """Fields of a record that count."""
    if issubclass(kind, Record):
        names = list(kind.model_fields)
    elif is_dataclass(kind):
        names = [one.name for one in fields(kind)]
    else:
        raise TypeError(f"{kind.__name__} has no canonical text")
    return tuple(name for name in names if name not in _OF_THE_LIST)
