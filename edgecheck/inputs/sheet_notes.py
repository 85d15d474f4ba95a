"""What a reader should know about a sheet: formulas, merged cells, hidden rows."""

from collections.abc import Iterable, Mapping

from edgecheck.base.notes import Note
from edgecheck.inputs.sheet_text import column_letters
from edgecheck.inputs.source_rows import SourceRows

_SHOWN = 5


def sheet_notes(source: SourceRows, header_line: int, names: Mapping[int, str]) -> list[Note]:
    """Notes about the part of a sheet that holds the list.

    Parameters
    ----------
    source : SourceRows
        Rows of a sheet; a CSV file gives no note.
    header_line : int
        Row of the headings.
    names : mapping of int to str
        Column, from 0 -> heading.

    Returns
    -------
    notes : list of Note
    """
    notes = []
    inside = {
        place: has for place, has in source.formulas.items() if place[0] >= header_line and place[1] in names
    }
    with_result = sorted(place for place, has in inside.items() if has)
    without = sorted(place for place, has in inside.items() if not has)
    if with_result:
        text = f"{source.file}: formulas count with the result that the sheet holds ({_places(with_result)})"
        notes.append(Note("list-formulas", "info", text, len(with_result)))
    if without:
        text = (
            f"{source.file}: formulas without a result in the sheet count as empty ({_places(without)}); "
            "open and save the workbook in the program that made it"
        )
        notes.append(Note("list-formulas-empty", "caution", text, len(without)))
    merged = [part for part in source.merged if part[2] >= header_line and part[1] in names]
    if merged:
        shown = ", ".join(f"{_cell(part[0], part[1])}:{_cell(part[2], part[3])}" for part in merged[:_SHOWN])
        more = f" and {len(merged) - _SHOWN} more" if len(merged) > _SHOWN else ""
        text = f"{source.file}: the value of merged cells counts for the first of them only ({shown}{more})"
        notes.append(Note("list-merged-cells", "caution", text, len(merged)))
    lines = set(source.lines)
    hidden = [line for line in source.hidden if line > header_line and line in lines]
    if hidden:
        text = f"{source.file}: hidden rows were read like the others"
        notes.append(Note("list-hidden-rows", "info", text, len(hidden)))
    return notes


def _cell(line: int, column: int) -> str:
    return f"{column_letters(column)}{line}"


def _places(places: Iterable[tuple[int, int]]) -> str:
    cells = [_cell(line, column) for line, column in places]
    more = f" and {len(cells) - _SHOWN} more" if len(cells) > _SHOWN else ""
    return ", ".join(cells[:_SHOWN]) + more
