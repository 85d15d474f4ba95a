"""Values for empty cells, signed by somebody who knows: the assumptions file.

In goes a TOML file with one table [[assume]] a value, out come `Assumptions`. A value is read like a cell of
the column that it stands for, with the same possible and usual ranges. What a value does to a list is said
in `assumed_values`.
"""

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import Field, StrictStr, ValidationError

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.inputs.cells import EMPTY, DoesNotApply, Reading, Value, read_cell
from edgecheck.inputs.columns import Column, Heading, headings
from edgecheck.inputs.key_path import KeyPath, did_you_mean
from edgecheck.inputs.quantities import Record, Text
from edgecheck.inputs.toml_source import SourceFile, TomlSource, model_faults, read_toml

_KEYS = ("schema", "assume")
_EVIDENCE = "roof_evidence"
_CELL_WORDS = ", or empty where unknown"


class Assumption(Record):
    """One value that may stand for empty cells.

    Parameters
    ----------
    key : str
        Column of the site list, under its own name.
    value : float, str, tuple or DoesNotApply
        In the column's unit.
    by, why : str
        Who answers for it, and on what grounds.
    where : mapping
        Heading of the list -> exact text that its cell must have; empty for every row.
    caution : str
        Why the value should be looked at; empty where it is usual.
    line, where_line : int
        Where the entry and its `where` stand in the file.
    """

    key: str
    value: Any
    by: str
    why: str
    where: Mapping[str, str] = {}
    caution: str = ""
    line: int = 0
    where_line: int = 0

    @property
    def value_text(self) -> str:
        """The value as it would stand in a cell."""
        return cell_text(self.value)

    def text(self) -> str:
        """One line: key, value, who answers for it, why."""
        return f"{self.key} = {self.value_text} by {self.by} ({self.why})"


class Assumptions(Record):
    """An assumptions file.

    Parameters
    ----------
    entries : tuple of Assumption
        In the order of the file: the first that fits wins.
    source_files : tuple of SourceFile
        The file.
    """

    entries: tuple[Assumption, ...] = ()
    source_files: tuple[SourceFile, ...] = ()

    @property
    def file(self) -> str:
        """Name of the file without folders."""
        return self.source_files[0].name if self.source_files else "assumptions"


class _Entry(Record):
    """A table [[assume]] as written."""

    key: Text = Field(description="the column of the site list that the value is for")
    value: Any = Field(description="what stands for the empty cells")
    by: Text = Field(description="who answers for it")
    why: Text = Field(description="on what grounds")
    where: Mapping[StrictStr, StrictStr] = Field(
        default={}, description="columns of the list and the exact text of their cells"
    )


def load_assumptions(path: str | Path) -> Assumptions:
    """Read an assumptions file.

    Parameters
    ----------
    path : str or Path
        TOML file with tables [[assume]]: key, value, by, why, and where it does not hold for every row a
        table `where`.

    Returns
    -------
    assumptions : Assumptions

    Raises
    ------
    InputFaults
        Carries every fault with line, key, value and what is allowed: unknown or missing keys, a column that
        does not exist or cannot be assumed, a value that its column does not allow.
    """
    source = read_toml(Path(path))
    faults = [
        source.fault(
            (name, 0) if source.has((name, 0)) else (name,), None, f"unknown key{did_you_mean(name, _KEYS)}"
        )
        for name in source.document
        if name not in _KEYS
    ]
    schema = source.document.get("schema", 1)
    if isinstance(schema, bool) or schema != 1:
        faults.append(source.fault(("schema",), schema, "this program reads schema 1"))
    tables = source.document.get("assume", [])
    if not isinstance(tables, list) or not all(isinstance(table, Mapping) for table in tables):
        faults.append(source.fault(("assume",), tables, "each value is a table of its own, [[assume]]"))
        tables = []
    entries = [_entry(source, place, table, faults) for place, table in enumerate(tables)]
    if faults:
        raise InputFaults(tuple(faults))
    return Assumptions(
        entries=tuple(entry for entry in entries if entry is not None),
        source_files=(SourceFile(source.file, source.sha256),),
    )


def cell_text(value: Value) -> str:
    """Write a value as it would stand in a cell of the list."""
    if isinstance(value, DoesNotApply):
        return str(value.value)
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, tuple):
        return " ".join(f"{azimuth:g}:{elevation:g}" for azimuth, elevation in value)
    return value


def _entry(
    source: TomlSource, place: int, table: Mapping[str, Any], faults: list[Fault]
) -> Assumption | None:
    """Read one table; None, with its faults added, where it cannot be used."""
    path: KeyPath = ("assume", place)
    before = len(faults)
    try:
        _Entry.model_validate(table)
    except ValidationError as error:
        faults.extend(source.fault(*finding) for finding in model_faults(error, _Entry, path))
    for name in ("by", "why"):
        text = table.get(name)
        if isinstance(text, str) and text and not text.strip():
            faults.append(source.fault((*path, name), text, "text in quotes is needed, not an empty one"))
    key = table.get("key")
    heading = _heading(source, (*path, "key"), key, faults) if isinstance(key, str) and key else None
    reading = EMPTY
    if heading is not None and "value" in table:
        reading = _value(table["value"], heading)
        if reading.fault:
            faults.append(source.fault((*path, "value"), table["value"], f"{heading.name}: {reading.fault}"))
    if len(faults) > before or heading is None:
        return None
    return Assumption(
        key=heading.column.name,
        value=reading.value,
        by=table["by"].strip(),
        why=table["why"].strip(),
        where=dict(table.get("where", {})),
        caution=reading.caution,
        line=source.line(path) or 0,
        where_line=source.line((*path, "where")) or 0,
    )


def _heading(source: TomlSource, path: KeyPath, key: str, faults: list[Fault]) -> Heading | None:
    heading = headings().get(key)
    if heading is None:
        assumable = [name for name, known in headings().items() if not _barred(known.column)]
        text = f"the site list has no such column{did_you_mean(key, assumable)}"
        faults.append(source.fault(path, key, text))
        return None
    barred = _barred(heading.column)
    if barred:
        faults.append(source.fault(path, key, barred))
        return None
    return heading


def _barred(column: Column) -> str:
    """Why nobody can assume a value for a column; empty where one may be assumed."""
    if column.required or column.name == "name":
        return "this says which site it is; it cannot be assumed"
    if column.kind == "file":
        return "a file cannot be assumed; name it in the list or with the command"
    if column.kind == "date":
        return "a date cannot be assumed"
    if column.name == _EVIDENCE:
        return "where a reserve comes from is a fact of the row; it cannot be assumed"
    return ""


def _value(value: object, heading: Heading) -> Reading:
    """Read the value of a table like a cell under the heading."""
    column = heading.column
    if column.kind == "number":
        if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value):
            return _plain(read_cell(float(value), heading))
        if not (isinstance(value, str) and value.strip().lower() == "none"):
            none = ', or "none"' if column.none_allowed else ""
            return Reading(fault=f"a number without quotes is needed, {column.range_text()}{none}")
    if not isinstance(value, str):
        wanted = f": {column.range_text()}" if column.values else ""
        return Reading(fault=f"text in quotes is needed{wanted}")
    reading = _plain(read_cell(value, heading))
    return Reading(fault="says nothing; leave the entry out") if reading == EMPTY else reading


def _plain(reading: Reading) -> Reading:
    """The same reading without words that only fit a cell."""
    return Reading(reading.value, reading.fault.replace(_CELL_WORDS, ""), reading.caution)
