"""The site list's columns: one record a column, read once from columns.toml.

In goes the package's own columns.toml, out comes `COLUMNS`, from which the reader, the error texts, the
survey list and the column sheet are made. A column's US twins follow from its unit: `free_length_m` may also
be given as `free_length_ft` or `free_length_in`. Factors are exact by definition (NIST SP 811, appendix B).
"""

import math
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Literal

from edgecheck.inputs.check_ids import CHECK_IDS, expand

Kind = Literal["text", "number", "choice", "file", "date", "pairs"]
Scale = tuple[float, float]


@dataclass(frozen=True)
class Column:
    """One column of the site list.

    Parameters
    ----------
    name : str
        Heading; ends in the suffix of its unit.
    kind : {"text", "number", "choice", "file", "date", "pairs"}
        What a cell holds. Files stay text; pairs are `azimuth:elevation` pairs in degrees.
    unit : str
        Unit of the number, empty where there is none.
    values : tuple
        All allowed values of a choice, or of a number that takes only a few.
    low, high : float
        Possible range [unit]; a value beyond it is wrong.
    low_open : bool
        Whether the value must be greater than `low`.
    usual_low, usual_high : float, optional
        Usual range [unit]; a value beyond it is a caution.
    whole : bool
        Whole numbers only.
    none_allowed : bool
        Whether the cell may say `none`, "does not apply".
    group : str
        Heading under which the column is shown.
    feeds : tuple of str
        Full ids of the checks that use it, in table order.
    default : float or str, optional
        Value of an empty cell; None where there is none, or where it is worked out from something else.
    empty_means : str
        What an empty cell means, in words; empty where it means "unknown".
    default_reason : str
        Why that default.
    twins, mistaken : mapping
        Suffix of a US twin, and other units written by mistake -> (factor, offset): value = cell * factor +
        offset.
    stem : str
        The name without the suffix of its unit.
    question, knows : str
        How to ask for the value, and who usually knows it.
    required : bool
        Whether list and row must have it.
    standard : {"", "asce", "en"}
        Family of load standards that the column belongs to.
    used : bool
        False while the checks that need it are not built.
    """

    name: str
    kind: Kind
    unit: str = ""
    values: tuple[str | float, ...] = ()
    low: float = float("-inf")
    high: float = float("inf")
    low_open: bool = False
    usual_low: float | None = None
    usual_high: float | None = None
    whole: bool = False
    none_allowed: bool = False
    group: str = ""
    feeds: tuple[str, ...] = ()
    default: float | str | None = None
    empty_means: str = ""
    default_reason: str = ""
    twins: Mapping[str, Scale] = field(default_factory=dict)
    mistaken: Mapping[str, Scale] = field(default_factory=dict)
    stem: str = ""
    question: str = ""
    knows: str = ""
    required: bool = False
    standard: str = ""
    used: bool = False

    @property
    def has_default(self) -> bool:
        """Whether an empty cell means something else than "unknown"."""
        return bool(self.empty_means)

    def scales(self) -> dict[str, Scale]:
        """Every unit a cell may be in -> (factor, offset): its own, the US twins', those written by mistake."""
        own = {self.unit: (1.0, 0.0)} if self.kind == "number" and self.unit else {}
        return {**own, **self.twins, **self.mistaken}

    def twin_names(self) -> dict[str, Scale]:
        """Headings of the US twins -> (factor, offset)."""
        return {f"{self.stem}_{suffix}": scale for suffix, scale in self.twins.items()}

    @cached_property
    def expected(self) -> tuple[float, float] | None:
        """Least and greatest number that needs no remark; None for a column that takes only certain numbers."""
        if self.values or self.whole:
            return None
        low = math.nextafter(self.low, math.inf) if self.low_open else self.low
        high = self.high
        if self.usual_low is not None and self.usual_high is not None:
            low, high = max(low, self.usual_low), min(high, self.usual_high)
        return low, high

    def usual(self, value: float) -> bool:
        """Whether a value lies in the usual range [unit]; true where the column has none."""
        if self.usual_low is None or self.usual_high is None:
            return True
        return self.usual_low <= value <= self.usual_high

    def possible(self, value: float) -> bool:
        """Whether a value lies in the possible range [unit]."""
        return self.low <= value <= self.high and not (self.low_open and value == self.low)

    def range_text(self) -> str:
        """Say the possible range or the allowed values in words."""
        unit = "" if self.unit in ("", "share", "factor") else f" {self.unit}"
        if self.values:
            return _either([f"{value:g}" if isinstance(value, float) else value for value in self.values])
        if self.low_open:
            return f"greater than {self.low:g}{unit}"
        if self.high == float("inf"):
            return f"{self.low:g}{unit} or more"
        return f"{self.low:g} to {self.high:g}{unit}"


@dataclass(frozen=True)
class Heading:
    """A heading of the list whose column the program knows.

    Parameters
    ----------
    name : str
        As it stands in the list.
    column : Column
        What the cells are.
    factor, offset : float
        value [unit of the column] = number of the cell * factor + offset.
    unit : str
        Unit of the cells: that of the column, the suffix of a US twin, or what a mapping file says; empty
        where that gives a factor alone.
    key : str
        The program's own name: the column's, or that of a US twin; empty: as `name`.
    """

    name: str
    column: Column
    factor: float = 1.0
    offset: float = 0.0
    unit: str = ""
    key: str = ""

    @property
    def own_name(self) -> str:
        """Name of the column, or of its US twin, that the program knows."""
        return self.key or self.name

    @property
    def is_converted(self) -> bool:
        """Whether the cells are in another unit than the column."""
        return (self.factor, self.offset) != (1.0, 0.0)

    def si(self, number: float) -> float:
        """Convert the number of a cell to the column's unit."""
        return number * self.factor + self.offset if self.is_converted else number

    def in_cell(self, value: float) -> float:
        """Convert a value in the column's unit to the unit of the cells."""
        return (value - self.offset) / self.factor if self.is_converted else value


def _either(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _scales(table: Mapping[str, Any]) -> Mapping[str, Scale]:
    read = {}
    for unit, scale in table.items():
        factor, offset = scale if isinstance(scale, list) else (scale, 0.0)
        read[unit] = (float(factor), float(offset))
    return read


def _feeds(patterns: list[str], sets: Mapping[str, list[str]]) -> tuple[str, ...]:
    found: set[str] = set()
    for pattern in patterns:
        for part in sets.get(pattern, [pattern]):
            found.update(expand(part))
    return tuple(check for check in CHECK_IDS if check in found)


def _column(name: str, row: Mapping[str, Any], document: Mapping[str, Any]) -> Column:
    unit = row.get("unit", "")
    suffix = document["suffix"].get(unit)
    stem = name.removesuffix(f"_{suffix}") if suffix else name
    low, high = row.get(
        "possible", (0.0, float("inf")) if "above_zero" in row else (float("-inf"), float("inf"))
    )
    usual = row.get("usual")
    values = tuple(float(v) if row["kind"] == "number" else v for v in row.get("values", ()))
    return Column(
        name=name,
        kind=row["kind"],
        unit=unit,
        values=values,
        low=float(low),
        high=float(high),
        low_open=row.get("above_zero", False),
        usual_low=None if usual is None else float(usual[0]),
        usual_high=None if usual is None else float(usual[1]),
        whole=row.get("whole", False),
        none_allowed=row.get("none", False),
        group=row["group"],
        feeds=_feeds(row.get("feeds", []), document["sets"]),
        default=row.get("default"),
        empty_means=row.get("empty_means", ""),
        default_reason=row.get("default_reason", ""),
        twins=_scales(document["twins"].get(unit, {})) if suffix else {},
        mistaken=_scales(document["mistaken"].get(unit, {})),
        stem=stem,
        question=row["question"],
        knows=row["knows"],
        required=row.get("required", False),
        standard=row.get("standard", ""),
        used=row.get("used", False),
    )


@cache
def columns() -> Mapping[str, Column]:
    """All columns by name, in the order of columns.toml."""
    text = files("edgecheck.inputs").joinpath("columns.toml").read_text(encoding="utf-8")
    document = tomllib.loads(text)
    return MappingProxyType({name: _column(name, row, document) for name, row in document["column"].items()})


@cache
def headings() -> Mapping[str, Heading]:
    """All headings that the program knows: names of columns and of their US twins."""
    known: dict[str, Heading] = {
        name: Heading(name, column, unit=column.unit) for name, column in columns().items()
    }
    for column in columns().values():
        for suffix, (factor, offset) in column.twins.items():
            twin = f"{column.stem}_{suffix}"
            known[twin] = Heading(twin, column, factor, offset, suffix)
    return MappingProxyType(known)


class _Columns(Mapping[str, Column]):
    """`columns()` as a mapping that is read when first looked at."""

    def __getitem__(self, name: str) -> Column:
        return columns()[name]

    def __iter__(self) -> Iterator[str]:
        return iter(columns())

    def __len__(self) -> int:
        return len(columns())


COLUMNS: Mapping[str, Column] = _Columns()
