"""Rows of the list while they are read: cells to values, cautions and faults, column by column."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from edgecheck.base.errors import Fault
from edgecheck.base.notes import Note
from edgecheck.inputs.cells import EMPTY, Reading, Value, read_cell
from edgecheck.inputs.columns import Heading
from edgecheck.inputs.coordinates import AXES
from edgecheck.inputs.site_records import CellCaution, Site
from edgecheck.inputs.written_numbers import NumberStyle

_WHOLE_COLUMN = 0.5
_FEW = 3
UNCOMPUTED = "a formula without a result in the sheet; the cell counts as empty"


@dataclass(slots=True)
class RowFault:
    """What is wrong in one cell or in the row: our name of the column, the cell, why."""

    key: str
    text: str
    why: str


@dataclass(slots=True)
class RowInReading:
    """A row while it is being read; see `Site` for what becomes of it.

    `odd` holds the numbers of cells that cannot be a latitude or longitude, by column.
    """

    line: int
    values: dict[str, Value] = field(default_factory=dict)
    cautions: list[CellCaution] = field(default_factory=list)
    faults: list[RowFault] = field(default_factory=list)
    unassessable: dict[str, str] = field(default_factory=dict)
    set_aside: list[str] = field(default_factory=list)
    odd: dict[str, float] = field(default_factory=dict)
    wrong: set[str] = field(default_factory=set)

    def put_aside(self, heading: Heading, text: str, fault: str, checks: tuple[str, ...]) -> None:
        """Set a wrong cell aside that no required check needs; only its checks cannot be assessed."""
        why = f"{heading.own_name} {text.strip()!r}: {fault}{under(heading)}"
        if not checks:
            self.cautions.append(_caution(heading, text, f"not used: {fault}"))
        else:
            self.set_aside.append(why)
        for check in checks:
            before = self.unassessable.get(check)
            self.unassessable[check] = f"{before}; {why}" if before else why

    def site(self, file: str) -> Site:
        """Make the finished row."""
        site_id = str(self.values.get("site_id", ""))
        where = f"row {site_id} (line {self.line})" if site_id else f"line {self.line}"
        return Site(
            row=self.line,
            site_id=site_id,
            name=str(self.values.get("name", "")),
            values=self.values,
            cautions=tuple(self.cautions),
            faults=tuple(
                Fault(file, where, fault.key, fault.text.strip(), fault.why) for fault in self.faults
            ),
            unassessable=self.unassessable,
            set_aside=tuple(self.set_aside),
        )


def _caution(heading: Heading, text: str, why: str, checks: tuple[str, ...] = ()) -> CellCaution:
    return CellCaution(heading.own_name, text, f"{why}{under(heading)}", checks)


def under(heading: Heading) -> str:
    """Say where a mapped cell stands, for messages that use our name."""
    return "" if heading.own_name == heading.name else f" (in the column {heading.name!r})"


def read_column(
    texts: Sequence[str],
    values: Sequence[object] | None,
    heading: Heading,
    style: NumberStyle,
    rows: Sequence[RowInReading],
    need: Mapping[str, str],
) -> Note | None:
    """Read one column into the rows; every different cell is read once.

    Parameters
    ----------
    texts : sequence of str
        Cells as text.
    values : sequence, optional
        The same cells with their type, where they have one: a number is exact, whatever the style.
    heading : Heading
        What the column is.
    style : NumberStyle
        How the numbers of its texts are written.
    rows : sequence of RowInReading
        One a cell.
    need : mapping
        Check id -> "required", "confirm" or "off".

    Returns
    -------
    note : Note or None
        Where most cells would be usual in another unit.
    """
    column = heading.column
    keys: Sequence[str | int | float] = texts
    if values is not None and column.kind == "number":
        keys = [
            value if value.__class__ is int or value.__class__ is float else text
            for text, value in zip(texts, values, strict=True)
        ]
    readings: dict[str | int | float, Reading] = {key: read_cell(key, heading, style) for key in set(keys)}
    optional = not column.required and not any(need.get(check) == "required" for check in column.feeds)
    for key, text, row in zip(keys, texts, rows, strict=True):
        reading = readings[key]
        if reading is EMPTY:
            continue
        if reading.value is not None:
            row.values[column.name] = reading.value
            if reading.caution:
                row.cautions.append(_caution(heading, text, reading.caution, column.feeds))
        elif optional:
            row.put_aside(heading, text, reading.fault, column.feeds)
        else:
            row.faults.append(RowFault(heading.own_name, text, f"{reading.fault}{under(heading)}"))
            row.wrong.add(column.name)
        if reading.number is not None and column.name in AXES:
            row.odd[column.name] = reading.number
    return _unit_note(heading, keys, readings)


def mark_uncomputed(heading: Heading, places: Iterable[int], rows: Sequence[RowInReading]) -> None:
    """Say of cells with a formula but no result that they count as empty."""
    for place in places:
        rows[place].cautions.append(_caution(heading, "", UNCOMPUTED, heading.column.feeds))


def _unit_note(
    heading: Heading, keys: Sequence[str | int | float], readings: Mapping[str | int | float, Reading]
) -> Note | None:
    """Ask once about a column of which most cells would be usual in another unit."""
    if not any(reading.likely_unit for reading in readings.values()):
        return None
    filled = [readings[key] for key in keys if readings[key] is not EMPTY]
    unit, count = Counter(reading.likely_unit for reading in filled if reading.likely_unit).most_common(1)[0]
    if count < _FEW or count < _WHOLE_COLUMN * len(filled):
        return None
    named = f"the column {heading.name!r}" if heading.name != heading.own_name else heading.name
    text = (
        f"{count} of {len(filled)} cells of {named} would be usual in {unit}: "
        "if the whole column is in that unit, map it with --columns"
    )
    return Note("list-column-unit", "caution", text, count)
