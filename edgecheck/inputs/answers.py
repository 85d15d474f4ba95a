"""A filled-in survey: answers to questions about single sites.

In goes a CSV or XLSX file with the columns site_id, key and answer, out come `Answers`. Each is read like a cell
of the column that it belongs to. What answers do to a list is said in `merging`.
"""

from dataclasses import dataclass
from pathlib import Path

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.cells import EMPTY, Value, read_cell
from edgecheck.inputs.columns import Heading, headings
from edgecheck.inputs.key_path import did_you_mean
from edgecheck.inputs.site_table import SiteTable, read_table
from edgecheck.inputs.source_rows import WantedNames
from edgecheck.inputs.spreadsheet_text import is_empty
from edgecheck.inputs.toml_source import SourceFile
from edgecheck.inputs.written_numbers import NumberStyle, number_styles

_NAMES = ("site_id", "key", "answer")
_WANTED = WantedNames(frozenset(_NAMES), tuple(frozenset({name}) for name in _NAMES))
_SHEET = "survey"


@dataclass(frozen=True)
class Answer:
    """One answer.

    Parameters
    ----------
    line : int
        Line of the survey.
    site_id : str
        The row of the list.
    heading : Heading
        Column of the answer, or its US twin.
    text : str
        As written.
    value : float, str, tuple or DoesNotApply
        In the column's unit.
    """

    line: int
    site_id: str
    heading: Heading
    text: str
    value: Value


@dataclass(frozen=True)
class Answers:
    """A filled-in survey.

    Parameters
    ----------
    entries : tuple of Answer
        In the order of the file, one a cell of the list.
    source : SourceFile
        Name and checksum of the file.
    notes : tuple of Note
        What was remarkable about the file.
    """

    entries: tuple[Answer, ...]
    source: SourceFile
    notes: tuple[Note, ...] = ()

    def fault(self, answer: Answer, key: str, value: str, allowed: str) -> Fault:
        """Make a fault at an answer."""
        return Fault(self.source.name, f"line {answer.line}", key, value, allowed)


def load_answers(path: str | Path, sheet: str | None = None) -> Answers:
    """Read a filled-in survey.

    Parameters
    ----------
    path : str or Path
        CSV or XLSX file with the columns site_id, key and answer; others are ignored.
    sheet : str, optional
        Sheet of a workbook; without it `survey` is taken, or the first.

    Returns
    -------
    answers : Answers
        Without the empty ones.

    Raises
    ------
    InputFaults
        The file cannot be read or lacks a column; or carries every answer whose key is no column, that its
        column does not allow, or that contradicts another one.
    """
    path = Path(path)
    table = read_table(path, _WANTED, sheet, prefer=_SHEET)
    missing = [name for name in _NAMES if name not in table.cells.columns]
    if missing:
        where = f"line {table.header_line}"
        text = "the required column is missing"
        raise InputFaults(tuple(Fault(path.name, where, name, "", text) for name in missing))
    source = SourceFile(path.name, table.sha256)
    return _read(table, source)


def _read(table: SiteTable, source: SourceFile) -> Answers:
    texts = [table.cells[name].tolist() for name in _NAMES]
    typed = table.values.get("answer", texts[2])
    filled = [at for at, text in enumerate(texts[2]) if not is_empty(text)]
    known = headings()
    numeric = [at for at in filled if _is_number(texts[1][at]) and isinstance(typed[at], str)]
    style = number_styles({"answer": {texts[2][at] for at in numeric}}, {})["answer"]
    faults: list[Fault] = []
    elsewhere = 0
    entries: dict[tuple[str, str], Answer] = {}
    for at in filled:
        site_id, key = texts[0][at].strip(), texts[1][at].strip()
        where = f"line {table.lines[at]}"
        if not key or "." in key:
            elsewhere += 1
            continue
        if key not in known or key == "site_id":
            text = "an answer cannot change the id" if key == "site_id" else _no_column(key)
            faults.append(Fault(source.name, where, "key", key, text))
            continue
        if not site_id:
            faults.append(Fault(source.name, where, "site_id", "", "an answer needs the id of its site"))
            continue
        value = _value(texts[2][at], typed[at], known[key], style)
        if isinstance(value, Fault):
            where = f"row {site_id} ({where})"
            faults.append(Fault(source.name, where, key, value.value, value.allowed))
            continue
        answer = Answer(table.lines[at], site_id, known[key], texts[2][at].strip(), value)
        before = entries.setdefault((site_id, answer.heading.column.name), answer)
        if before.value != value:
            text = f"line {before.line} answers {before.text!r} ({before.heading.name}); keep one"
            faults.append(Fault(source.name, f"row {site_id} ({where})", key, answer.text, text))
    if faults:
        raise InputFaults(tuple(faults))
    return Answers(tuple(entries.values()), source, _notes(table, source.name, elsewhere))


def _is_number(key: str) -> bool:
    heading = headings().get(key.strip())
    return heading is not None and heading.column.kind == "number"


def _no_column(key: str) -> str:
    return f"the site list has no such column{did_you_mean(key, headings())}"


def _value(text: str, typed: object, heading: Heading, style: NumberStyle) -> Value | Fault:
    exact = isinstance(typed, int | float) and not isinstance(typed, bool)
    reading = read_cell(typed if exact else text, heading, style)  # type: ignore[arg-type]
    if reading is EMPTY or reading.value is None:
        return Fault("", "", "", text.strip(), reading.fault)
    return reading.value


def _notes(table: SiteTable, file: str, elsewhere: int) -> tuple[Note, ...]:
    notes = [note for note in table.notes if note.code in ("list-encoding", "list-formulas-empty")]
    if elsewhere:
        text = f"{file}: answers that belong into no column of the list, such as values of the unit file, were left"
        notes.append(Note("survey-elsewhere", "caution", text, elsewhere))
    return tuple(notes)
