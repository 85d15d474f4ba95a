"""The mapping file: which of the planner's columns is which of ours, and in what unit.

In goes a TOML file with one table [[column]] for each column of theirs, out comes a `ColumnMap`; put together
with the headings of a list it says what each of them is.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic import Field, ValidationError

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.inputs.columns import Heading, columns, headings
from edgecheck.inputs.key_path import did_you_mean
from edgecheck.inputs.quantities import Flag, Number, Positive, Record, Text
from edgecheck.inputs.source_rows import WantedNames, plain_heading
from edgecheck.inputs.toml_source import SourceFile, TomlSource, model_faults, read_toml, unknown_keys
from edgecheck.inputs.unit_words import unit_of
from edgecheck.inputs.written_numbers import Mark


class _Entry(Record):
    """A table [[column]] as written."""

    theirs: Text = Field(description="heading of the column in the list")
    ours: Text | None = Field(default=None, description="column of the site list, or its US twin")
    unit: Text | None = Field(default=None, description="unit of their numbers")
    factor: Positive | None = Field(default=None, description="ours = their number * factor + offset")
    offset: Number | None = Field(default=None, description="ours = their number * factor + offset")
    decimal: Literal[".", ","] | None = Field(default=None, description="decimal mark of their numbers")
    ignore: Flag = Field(default=False, description="the column is their own, whatever its name")


@dataclass(frozen=True)
class MappedColumn:
    """One of the planner's columns.

    Parameters
    ----------
    theirs : str
        Heading, with single blanks.
    heading : Heading, optional
        What it is; None for a column that is only theirs.
    decimal : {".", ","}, optional
        Decimal mark, where the file says so.
    line : int
        Line of the mapping file.
    """

    theirs: str
    heading: Heading | None
    decimal: Mark | None = None
    line: int = 0


@dataclass(frozen=True)
class ColumnMap:
    """A mapping file.

    Parameters
    ----------
    entries : tuple of MappedColumn
        In the order of the file.
    source : SourceFile
        Name and checksum of the file.
    """

    entries: tuple[MappedColumn, ...]
    source: SourceFile

    def by_name(self) -> dict[str, MappedColumn]:
        """Entries by their heading."""
        return {entry.theirs: entry for entry in self.entries}

    def absent(self, names: Iterable[str]) -> tuple[Fault, ...]:
        """Faults for entries whose column a list does not have."""
        there = [plain_heading(name) for name in names]
        return tuple(
            Fault(
                self.source.name,
                f"line {entry.line}",
                "theirs",
                entry.theirs,
                f"the list has no such column{did_you_mean(entry.theirs, there)}",
            )
            for entry in self.entries
            if entry.theirs not in there
        )


def load_mapping(path: str | Path) -> ColumnMap:
    """Read a mapping file.

    Parameters
    ----------
    path : str or Path
        TOML file with tables [[column]]: `theirs`, and `ours` or `ignore = true`; beside `ours` perhaps
        `unit`, or `factor` and `offset`, and `decimal`.

    Returns
    -------
    mapping : ColumnMap

    Raises
    ------
    InputFaults
        Carries every fault with line, key, value and what is allowed: unknown keys, a column that does not
        exist or stands twice on either side, a unit that its column does not know.
    """
    source = read_toml(Path(path))
    faults = unknown_keys(source, (), source.document, ("schema", "column"))
    schema = source.document.get("schema", 1)
    if isinstance(schema, bool) or schema != 1:
        faults.append(source.fault(("schema",), schema, "this program reads schema 1"))
    tables = source.document.get("column", [])
    if not isinstance(tables, list) or not all(isinstance(table, Mapping) for table in tables):
        faults.append(source.fault(("column",), tables, "each column is a table of its own, [[column]]"))
        tables = []
    found = [(place, _entry(source, place, table, faults)) for place, table in enumerate(tables)]
    entries = [(place, entry) for place, entry in found if entry is not None]
    faults.extend(_twice(source, "theirs", [(place, entry.theirs) for place, entry in entries]))
    ours = [(place, entry.heading.column.name) for place, entry in entries if entry.heading]
    faults.extend(_twice(source, "ours", ours))
    if faults:
        raise InputFaults(tuple(faults))
    return ColumnMap(tuple(entry for _, entry in entries), SourceFile(source.file, source.sha256))


def _twice(source: TomlSource, key: str, names: list[tuple[int, str]]) -> list[Fault]:
    counts = Counter(name for _, name in names)
    return [
        source.fault(("column", place, key), name, "this column is mapped twice; keep one")
        for place, name in names
        if counts[name] > 1
    ]


def _entry(
    source: TomlSource, place: int, table: Mapping[str, Any], faults: list[Fault]
) -> MappedColumn | None:
    """Read one table; None, with its faults added, where it cannot be used."""
    path = ("column", place)
    try:
        entry = _Entry.model_validate(table)
    except ValidationError as error:
        faults.extend(source.fault(*finding) for finding in model_faults(error, _Entry, path))
        return None
    line = source.line(path) or 0
    theirs = plain_heading(entry.theirs)
    given = [
        key for key in ("ours", "unit", "factor", "offset", "decimal") if getattr(entry, key) is not None
    ]
    if entry.ignore:
        if given:
            text = f"ignore = true goes without {', '.join(given)}"
            faults.append(source.fault((*path, "ignore"), True, text))
        return MappedColumn(theirs, None, line=line)
    if entry.ours is None:
        text = f"{theirs!r}: ours names the column that it is; or ignore = true"
        faults.append(source.fault(path, None, text))
        return None
    known = headings().get(entry.ours)
    if known is None:
        text = f"the site list has no such column{did_you_mean(entry.ours, headings())}"
        faults.append(source.fault((*path, "ours"), entry.ours, text))
        return None
    before = len(faults)
    factor, offset, unit = _scale(source, place, entry, known, faults)
    if len(faults) > before:
        return None
    heading = Heading(theirs, known.column, factor, offset, unit, known.name)
    return MappedColumn(theirs, heading, entry.decimal, line)


def _scale(
    source: TomlSource, place: int, entry: _Entry, known: Heading, faults: list[Fault]
) -> tuple[float, float, str]:
    """Factor, offset and unit of their numbers."""
    path = ("column", place)
    scaled = entry.factor is not None or entry.offset is not None
    numeric = [key for key in ("unit", "factor", "offset", "decimal") if getattr(entry, key) is not None]
    if known.column.kind != "number" and numeric:
        text = f"{known.name} is no number; leave {numeric[0]} out"
        faults.append(source.fault((*path, numeric[0]), getattr(entry, numeric[0]), text))
    elif entry.unit is not None and scaled:
        faults.append(source.fault((*path, "unit"), entry.unit, "a unit, or factor and offset, not both"))
    elif entry.unit is not None:
        unit = unit_of(known.column, entry.unit)
        if unit is None:
            text = f"{known.column.name} may be in {', '.join(known.column.scales()) or 'no unit'}; or give factor"
            faults.append(source.fault((*path, "unit"), entry.unit, text))
        elif known.is_converted and unit != known.unit:
            text = f"{known.name} is in {known.unit}; name {known.column.name}, or leave unit out"
            faults.append(source.fault((*path, "unit"), entry.unit, text))
        else:
            return (*known.column.scales()[unit], unit)
    elif scaled:
        if known.is_converted:
            text = f"{known.name} is in {known.unit}; name {known.column.name} beside factor and offset"
            faults.append(source.fault((*path, "ours"), known.name, text))
        factor = 1.0 if entry.factor is None else entry.factor
        return factor, entry.offset or 0.0, ""
    return known.factor, known.offset, known.unit


def wanted_names(mapping: ColumnMap | None) -> WantedNames:
    """Headings of a site list that the reader looks for, under our names or as mapped."""
    entries = mapping.by_name() if mapping else {}
    ours = {name for name in headings() if name not in entries}
    theirs = {name: entry.heading.column for name, entry in entries.items() if entry.heading is not None}
    required = tuple(
        frozenset(
            {name for name in (column.name, *column.twin_names()) if name in ours}
            | {name for name, mapped in theirs.items() if mapped is column}
        )
        for column in columns().values()
        if column.required
    )
    return WantedNames(frozenset(ours | set(entries)), required)


def known_headings(names: Iterable[str], mapping: ColumnMap | None) -> dict[str, Heading]:
    """What the headings of a list are.

    Parameters
    ----------
    names : iterable of str
        Headings of the list.
    mapping : ColumnMap, optional
        Goes before our own names.

    Returns
    -------
    known : dict
        Heading -> what it is, for headings that the program knows or the mapping names.
    """
    entries = mapping.by_name() if mapping else {}
    known = {}
    for name in names:
        entry = entries.get(plain_heading(name))
        if entry is None:
            if name in headings():
                known[name] = headings()[name]
        elif entry.heading is not None:
            found = entry.heading
            known[name] = Heading(name, found.column, found.factor, found.offset, found.unit, found.key)
    return known
