"""What makes a whole row wrong: required values missing, an id given twice, too many cells, the wrong standard."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cache

from edgecheck.inputs.cells import Value
from edgecheck.inputs.columns import Heading, columns
from edgecheck.inputs.load_families import FAMILY_TITLES, LOAD_STANDARD, family_of
from edgecheck.inputs.positions import position_doubts
from edgecheck.inputs.row_reading import RowFault, RowInReading, under
from edgecheck.inputs.site_records import CellCaution
from edgecheck.inputs.type_qualification import names_cycle

_SHOWN_LINES = 4
_LATITUDE, _LONGITUDE = "latitude_deg", "longitude_deg"


def judge_rows(
    rows: Sequence[RowInReading],
    known: Mapping[str, Heading],
    width: int,
    overlong: Mapping[int, int],
    need: Mapping[str, str],
) -> None:
    """Add the faults of whole rows.

    Parameters
    ----------
    rows : sequence of RowInReading
        With the values of all their cells.
    known : mapping
        Heading of the list -> what it is.
    width : int
        Number of headings.
    overlong : mapping
        Position of a row -> how many cells it has, for rows with more cells than headings.
    need : mapping
        Check id -> "required", "confirm" or "off".
    """
    by_column = {heading.column.name: heading for heading in known.values()}
    lines_of: dict[Value, list[int]] = defaultdict(list)
    for row in rows:
        if "site_id" in row.values:
            lines_of[row.values["site_id"]].append(row.line)
    required = [column.name for column in columns().values() if column.required]
    for at, row in enumerate(rows):
        for name in required:
            if name in (_LATITUDE, _LONGITUDE) and names_cycle(row.values.get("weather")):
                continue
            if name not in row.values and name not in row.wrong:
                text = f"the required value is missing{under(by_column[name])}"
                row.faults.append(RowFault(by_column[name].own_name, "", text))
        lines = lines_of.get(row.values.get("site_id", ""), [])
        if len(lines) > 1:
            text = f"the id is also on {_lines_but(row.line, lines)}; every row needs an id of its own"
            row.faults.append(RowFault("site_id", str(row.values["site_id"]), text))
        if at in overlong:
            text = f"{overlong[at]} cells under {width} headings; quote a cell that contains the separator"
            row.faults.append(RowFault("", "", text))
        _judge_standard(row, by_column, need)
        _judge_warming(row, by_column)


def _judge_warming(row: RowInReading, by_column: Mapping[str, Heading]) -> None:
    """Refuse one warming for all hours beside twelve monthly ones."""
    if "warming_file" in row.values and "warming_k" in row.values:
        heading = by_column["warming_file"]
        text = f"warming_k is filled too ({row.values['warming_k']:g} K); keep one of the two{under(heading)}"
        row.faults.append(RowFault(heading.own_name, str(row.values["warming_file"]), text))


def _lines_but(line: int, lines: list[int]) -> str:
    others = [other for other in lines[: _SHOWN_LINES + 1] if other != line][:_SHOWN_LINES]
    more = len(lines) - 1 - len(others)
    shown = "line " + ", ".join(str(other) for other in others)
    return f"{shown} and {more} more" if more else shown


@cache
def _standards() -> Mapping[str, str]:
    """Columns that belong to one family of load standards -> the family."""
    return {name: column.standard for name, column in columns().items() if column.standard}


def _judge_standard(row: RowInReading, by_column: Mapping[str, Heading], need: Mapping[str, str]) -> None:
    standard = row.values.get(LOAD_STANDARD)
    if standard is None:
        return
    family = family_of(standard)
    filled: dict[str, list[str]] = defaultdict(list)
    for key, belongs_to in _standards().items():
        if key in row.values:
            filled[belongs_to].append(key)
    if not filled or family in filled:
        return
    other = next(iter(filled))
    keys = ", ".join(filled[other])
    text = (
        f"only columns of the other family, {FAMILY_TITLES[other]}, are filled ({keys}); "
        f"fill those of {FAMILY_TITLES[family]} or correct load_standard"
    )
    feeds = columns()[LOAD_STANDARD].feeds
    heading = by_column[LOAD_STANDARD]
    if any(need.get(check) == "required" for check in feeds):
        row.faults.append(RowFault(heading.own_name, str(standard), text))
    else:
        row.put_aside(heading, str(standard), text, feeds)


def judge_positions(rows: Sequence[RowInReading], known: Mapping[str, Heading]) -> None:
    """Add what looks wrong about positions, with the likely reading.

    Parameters
    ----------
    rows : sequence of RowInReading
        With the values of all their cells.
    known : mapping
        Heading of the list -> what it is.
    """
    by_column = {heading.column.name: heading for heading in known.values()}
    for row in rows:
        if row.odd:
            _ask_whether_exchanged(row, by_column)
    unknown = float("nan")
    latitude, longitude = (
        [value if isinstance(value := row.values.get(name), float) else unknown for row in rows]
        for name in (_LATITUDE, _LONGITUDE)
    )
    for at, doubt in position_doubts(latitude, longitude).items():
        heading = by_column[doubt.column]
        value = f"{rows[at].values[doubt.column]:.10g}"
        rows[at].cautions.append(CellCaution(heading.own_name, value, doubt.text, heading.column.feeds))


def _ask_whether_exchanged(row: RowInReading, by_column: Mapping[str, Heading]) -> None:
    """Make one fault of a row whose latitude and longitude are possible the other way round."""
    numbers = [row.odd.get(name, row.values.get(name)) for name in (_LATITUDE, _LONGITUDE)]
    longitude, latitude = numbers
    if not isinstance(latitude, float) or not isinstance(longitude, float):
        return
    if abs(latitude) > 90.0 or abs(longitude) > 180.0:
        return
    first, *others = (fault for fault in row.faults if fault.key in row.odd)
    row.faults = [fault for fault in row.faults if fault not in others]
    asked = "" if "exchanged?" in first.why else "; are latitude and longitude exchanged?"
    first.why += f"{asked} That would be latitude {latitude:.10g} and longitude {longitude:.10g}"
