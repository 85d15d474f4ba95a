"""A mapping file to begin with: a guess for each column of somebody's list, and why.

In goes a list with headings of its own, out comes the text of a mapping file. Guesses that are not certain enough
stand in it as comments. Nothing is asked and nothing is written to disk.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from edgecheck.inputs.column_map import wanted_names
from edgecheck.inputs.columns import columns, headings
from edgecheck.inputs.look_of_values import columns_by_look, look, sample
from edgecheck.inputs.name_guess import guess_heading
from edgecheck.inputs.site_table import SiteTable, read_table
from edgecheck.inputs.source_rows import plain_heading
from edgecheck.inputs.unit_words import unit_of
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS, is_earlier_output

_SURE = 0.9
_LIKELY = 0.72
_LEAST = 0.38
_CLOSE = 0.08
_BY_LOOK = 0.5
_WRONG_UNIT = 0.25
_RARE_UNIT = 0.25
_FEW = 2


@dataclass(frozen=True)
class Guess:
    """One of our columns for one of theirs.

    Parameters
    ----------
    column : str
        Ours.
    unit : str
        Unit of their numbers; empty where it is the column's own, or there is none.
    score : float
        0 to 1.
    why : str
        In words.
    """

    column: str
    unit: str
    score: float
    why: str


def propose_mapping(path: str | Path, sheet: str | None = None) -> str:
    """Text of a mapping file for a list.

    Parameters
    ----------
    path : str or Path
        CSV or XLSX file with headings of its own.
    sheet : str, optional
        Sheet of a workbook; the first if not given.

    Returns
    -------
    text : str
        TOML that `load_mapping` reads; never two columns of theirs for one of ours.

    Raises
    ------
    InputFaults
        The file cannot be read.
    """
    path = Path(path)
    table = read_table(path, wanted_names(None), sheet)
    if is_earlier_output(table.cells.columns):
        table = table.without(VERDICT_COLUMNS)
    theirs = [str(name) for name in table.cells.columns]
    ours = {headings()[name].column.name: name for name in theirs if name in headings()}
    samples = {name: sample(table.cells[name].tolist()) for name in theirs if name not in headings()}
    guesses = {name: _guesses(name, cells, ours) for name, cells in samples.items()}
    chosen = _assigned(guesses)
    parts = [_head(path.name, table)]
    for name in theirs:
        if name in headings():
            parts.append(f"# {_quoted(name)} is one of our columns already.")
        else:
            parts.append(_entry(name, chosen.get(name), guesses[name], samples[name]))
    parts.append(_missing(chosen, ours))
    return "\n\n".join(part for part in parts if part) + "\n"


def _guesses(name: str, cells: Sequence[str], ours: Mapping[str, str]) -> tuple[Guess, ...]:
    """Guesses for one column, best first."""
    by_name = guess_heading(plain_heading(name))
    found: dict[str, Guess] = {}
    for candidate in by_name.candidates:
        column = columns()[candidate.column]
        unit = unit_of(column, by_name.unit) if by_name.unit else None
        looks = look(cells, column, unit)
        score = candidate.score * looks.fit
        why = f"{candidate.why}; {looks.why}"
        if unit is not None and not candidate.ambiguous and _rare(unit):
            score = min(1.0, score + _RARE_UNIT)
            why += f"; few columns are in {unit}"
        if by_name.unit and unit is None:
            score *= _WRONG_UNIT
            why += f"; but it is not in {by_name.unit}"
        own = looks.unit if looks.unit != column.unit and column.kind == "number" else ""
        found[column.name] = Guess(column.name, own, score, why)
    for column_name, why in columns_by_look(cells).items():
        before = found.get(column_name)
        if before is None or before.score < _BY_LOOK:
            score = _SURE if column_name in ("latitude_deg", "longitude_deg") else _BY_LOOK
            found[column_name] = Guess(column_name, "", score, why)
    kept = [guess for guess in found.values() if guess.score >= _LEAST and guess.column not in ours]
    return tuple(sorted(kept, key=lambda guess: -guess.score))


def _rare(unit: str) -> bool:
    """Whether very few columns may be in a unit."""
    return sum(unit in (column.unit, *column.twins) for column in columns().values()) <= _FEW


def _assigned(guesses: Mapping[str, Sequence[Guess]]) -> dict[str, Guess]:
    """Best guess for each of their columns, each of ours at most once: the best score chooses first."""
    every = sorted(
        ((guess.score, name, guess) for name, found in guesses.items() for guess in found),
        key=lambda entry: -entry[0],
    )
    chosen: dict[str, Guess] = {}
    taken: set[str] = set()
    for _, name, guess in every:
        if name not in chosen and guess.column not in taken:
            chosen[name] = guess
            taken.add(guess.column)
    return chosen


def _grade(guess: Guess, others: Sequence[Guess]) -> str:
    """How sure a guess is, in a word; a second one as good makes it unsure."""
    rival = max((other.score for other in others if other.column != guess.column), default=0.0)
    if guess.score < _LIKELY or rival > guess.score - _CLOSE:
        return "unsure"
    return "sure" if guess.score >= _SURE else "likely"


def _head(file: str, table: SiteTable) -> str:
    where = f"{_plain(file)}, sheet {_quoted(table.sheet)}" if table.sheet else _plain(file)
    return "\n".join(
        (
            f"# Columns of {where}, headings on line {table.header_line}.",
            "# theirs = heading in the list, ours = column of the site list. Give unit (or factor and offset) where",
            "# the numbers are not in the unit of ours; ignore = true keeps a column as your own, whatever its name.",
            "# Guesses marked unsure are comments: take the # away where the guess is right. Check every entry, then",
            "#     edgecheck screen LIST --columns THIS_FILE",
            "",
            "schema = 1",
        )
    )


def _entry(name: str, guess: Guess | None, others: Sequence[Guess], cells: Sequence[str]) -> str:
    shown = ", ".join(_quoted(text.strip()[:24]) for text in list(dict.fromkeys(cells))[:3])
    sample_text = f" (such as {shown})" if shown else ""
    if guess is None:
        return f"# {_quoted(name)}{sample_text}: nothing fits; it stays your own and comes back untouched."
    grade = _grade(guess, others)
    rest = [other.column for other in others if other.column != guess.column][:3]
    lines = [f"# {_quoted(name)}{sample_text}", f"# {grade}: {_plain(guess.why)}."]
    if grade != "sure" and rest:
        lines.append(f"# Or: {', '.join(rest)}.")
    entry = ["[[column]]", f"theirs = {_quoted(plain_heading(name))}", f"ours = {_quoted(guess.column)}"]
    if guess.unit:
        entry.append(f"unit = {_quoted(guess.unit)}")
    mark = "# " if grade == "unsure" else ""
    return "\n".join([*lines, *(mark + line for line in entry)])


def _missing(chosen: Mapping[str, Guess], ours: Mapping[str, str]) -> str:
    found = {guess.column for guess in chosen.values()} | set(ours)
    missing = [column for column in columns().values() if column.required and column.name not in found]
    return "\n".join(f"# Missing and required: {column.name}. {column.question}" for column in missing)


def _quoted(text: str) -> str:
    """Text as a TOML string (and as a readable one in a comment)."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _plain(text: str) -> str:
    """Text for a comment: no control characters."""
    return "".join(letter if letter.isprintable() else " " for letter in text)
