"""Answers of a survey put into the cells of a list, before the list is read.

A cell is written in the unit and with the decimal mark of its column, so that the list that comes back reads the
same next time.
"""

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

import pandas as pd

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.answers import Answer, Answers
from edgecheck.inputs.cells import DoesNotApply, Value, read_cell
from edgecheck.inputs.columns import Heading
from edgecheck.inputs.key_path import did_you_mean
from edgecheck.inputs.site_records import Change
from edgecheck.inputs.site_table import SiteTable
from edgecheck.inputs.spreadsheet_text import is_empty
from edgecheck.inputs.written_numbers import CUSTOM, NumberStyle, text_in_style

_SHOWN_LINES = 4
# Looking for the nearest id takes its time in a long list.
_HINTS = 10
_LOOKED_AT = 10_000


@dataclass(frozen=True)
class Merged:
    """A list with answers.

    Parameters
    ----------
    table : SiteTable
        Cells with the answers; `values` hold their numbers, for a CSV file too.
    known : mapping
        Heading -> what it is, with columns that answers added.
    changes : tuple of Change
        In list order.
    notes : tuple of Note
        How many cells were filled and replaced.
    """

    table: SiteTable
    known: Mapping[str, Heading]
    changes: tuple[Change, ...]
    notes: tuple[Note, ...]


def merge_answers(
    file: str,
    table: SiteTable,
    known: Mapping[str, Heading],
    styles: Mapping[str, NumberStyle],
    answers: Answers,
) -> Merged:
    """Put answers into the cells of a list.

    Parameters
    ----------
    file : str
        Name of the list.
    table : SiteTable
        The list.
    known : mapping
        Heading -> what it is.
    styles : mapping
        Heading -> how its numbers are written.
    answers : Answers
        As read.

    Returns
    -------
    merged : Merged
        An empty cell gets the answer, a cell that says something else is replaced.

    Raises
    ------
    InputFaults
        An answer's site is not in the list, or more than once.
    """
    by_column = {heading.column.name: heading for heading in known.values()}
    places = _places(table, by_column)
    faults = _misplaced(file, answers, places, table)
    added: dict[str, Heading] = {}
    for answer in answers.entries:
        column = answer.heading.column.name
        if column not in by_column and column not in added:
            added[column] = answer.heading
            if answer.heading.name in table.cells.columns:
                text = f"{file} has a column of its own with this name"
                faults.append(answers.fault(answer, "key", answer.heading.name, text))
    if faults:
        raise InputFaults(tuple(faults))
    by_column |= added
    of_column: dict[str, list[Answer]] = defaultdict(list)
    for answer in answers.entries:
        of_column[answer.heading.column.name].append(answer)
    count = len(table.lines)
    cells = table.cells
    values = dict(table.values)
    uncomputed = dict(table.uncomputed)
    changed: list[tuple[int, Change]] = []
    for column, entries in of_column.items():
        heading = by_column[column]
        name = heading.name
        texts = cells[name].tolist() if name in cells.columns else [""] * count
        typed = list(values.get(name, [None] * count))
        style = styles.get(name, CUSTOM)
        filled = set()
        for answer in entries:
            place = places[answer.site_id][0]
            if _says(texts[place], typed[place], heading, style, answer.value):
                continue
            text, value = _cell(answer, heading, style)
            changed.append((place, Change(answer.site_id, column, texts[place], text, name)))
            texts[place], typed[place] = text, value
            filled.add(place)
        cells = cells.assign(**{name: pd.Series(texts, index=cells.index, dtype=str)})
        values[name] = typed
        if name in uncomputed:
            uncomputed[name] = tuple(place for place in uncomputed[name] if place not in filled)
    changed.sort(key=lambda found: found[0])
    changes = tuple(change for _, change in changed)
    merged = replace(table, cells=cells, values=values, uncomputed=uncomputed)
    headings = {**known, **{heading.name: heading for heading in added.values()}}
    return Merged(merged, headings, changes, (*answers.notes, _note(answers, changes)))


def _places(table: SiteTable, by_column: Mapping[str, Heading]) -> dict[str, list[int]]:
    places: dict[str, list[int]] = defaultdict(list)
    for place, text in enumerate(table.cells[by_column["site_id"].name].tolist()):
        places[text.strip()].append(place)
    return places


def _misplaced(file: str, answers: Answers, places: Mapping[str, list[int]], table: SiteTable) -> list[Fault]:
    """Faults of answers for no row, or for more than one; the first of them with the nearest id."""
    faults: list[Fault] = []
    for answer in answers.entries:
        found = places.get(answer.site_id, [])
        if len(found) == 1:
            continue
        if found:
            lines = ", ".join(str(table.lines[place]) for place in found[:_SHOWN_LINES])
            text = f"{file} has this id on lines {lines}; the answer could belong to any of them"
        else:
            ids = list(places)[:_LOOKED_AT] if len(faults) < _HINTS else []
            text = f"{file} has no such site{did_you_mean(answer.site_id, ids)}"
        faults.append(answers.fault(answer, "site_id", answer.site_id, text))
    return faults


def _says(text: str, typed: object, heading: Heading, style: NumberStyle, value: Value) -> bool:
    """Whether a cell already says what an answer says."""
    if is_empty(text):
        return False
    exact = isinstance(typed, int | float) and not isinstance(typed, bool)
    found = read_cell(typed if exact else text, heading, style).value  # type: ignore[arg-type]
    if isinstance(found, float) and isinstance(value, float):
        return abs(found - value) <= 1e-9 * max(abs(found), abs(value))
    return found is not None and found == value


def _cell(answer: Answer, heading: Heading, style: NumberStyle) -> tuple[str, object]:
    """Text and value of the list's cell, in the unit of its column."""
    value = answer.value
    if isinstance(value, DoesNotApply):
        return "none", "none"
    if isinstance(value, float):
        plain = value if not heading.is_converted else heading.in_cell(value)
        same = (answer.heading.factor, answer.heading.offset) == (heading.factor, heading.offset)
        if same and re.fullmatch(r"[+-]?[0-9]+", answer.text):
            return answer.text, float(answer.text)
        number = float(f"{plain:.10g}")
        return text_in_style(number, style), number
    if heading.column.kind == "choice" and answer.text.lower() != str(value).lower():
        return str(value), str(value)  # TRUE for yes, and the like
    return answer.text, answer.text


def _note(answers: Answers, changes: tuple[Change, ...]) -> Note:
    filled = sum(is_empty(change.old) for change in changes)
    same = len(answers.entries) - len(changes)
    text = (
        f"{answers.source.name}: {len(answers.entries)} answers: {filled} cells filled, "
        f"{len(changes) - filled} replaced, {same} said what the list says"
    )
    return Note("survey-merged", "info", text, len(changes))
