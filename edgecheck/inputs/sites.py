"""Reading a site list: file faults, row faults, own columns, cautions.

In goes a CSV or XLSX file with one row a site, perhaps a mapping of its columns and the answers of a survey, out
comes a `SiteList`. A file that cannot serve raises `InputFaults` with every fault found; a row that cannot serve
keeps its place and carries its faults. Values are in the units of columns.toml. A list is judged on itself
alone: weather, unit and load files are only named here.
"""

from collections import defaultdict
from collections.abc import Mapping
from pathlib import Path

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.answers import Answers
from edgecheck.inputs.bulk import collector_paused
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.column_map import ColumnMap, known_headings, wanted_names
from edgecheck.inputs.columns import Heading, columns
from edgecheck.inputs.criteria import Criteria, load_criteria
from edgecheck.inputs.lookalikes import lookalikes
from edgecheck.inputs.merging import merge_answers
from edgecheck.inputs.number_notes import number_notes
from edgecheck.inputs.row_reading import RowInReading, mark_uncomputed, read_column
from edgecheck.inputs.row_rules import judge_positions, judge_rows
from edgecheck.inputs.site_records import CellCaution, Change, Site, SiteList
from edgecheck.inputs.site_table import SiteTable, read_table
from edgecheck.inputs.source_rows import plain_heading
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS, is_earlier_output, returned_names
from edgecheck.inputs.written_numbers import NumberStyle, number_styles

__all__ = ["DOES_NOT_APPLY", "CellCaution", "Change", "Site", "SiteList", "load_sites"]


def load_sites(
    path: str | Path,
    criteria: Criteria | None = None,
    *,
    mapping: ColumnMap | None = None,
    sheet: str | None = None,
    answers: Answers | None = None,
) -> SiteList:
    """Read a site list.

    Parameters
    ----------
    path : str or Path
        CSV file (UTF-8, UTF-16, else Windows-1252; commas, semicolons or tabs; decimal point or comma) or XLSX
        file. The headings stand in the first row that holds the required ones.
    criteria : Criteria, optional
        Says which checks are required; a wrong cell makes a row unusable only where it feeds a required
        check. Without it the shipped set "full" is used.
    mapping : ColumnMap, optional
        Which of the list's columns is which of ours.
    sheet : str, optional
        Sheet of a workbook; the first if not given.
    answers : Answers, optional
        Of a survey; they go into the cells before the list is read.

    Returns
    -------
    sites : SiteList
        At least one row is usable.

    Raises
    ------
    InputFaults
        The file is unreadable or empty, has no headings, lacks a required column or one that the mapping names,
        has a column twice (a US twin beside its column included), or has no usable row; or an answer is for no
        row of it.
    """
    with collector_paused():
        return _read(Path(path), criteria or load_criteria(), mapping, sheet, answers)


def _read(
    path: Path, criteria: Criteria, mapping: ColumnMap | None, sheet: str | None, answers: Answers | None
) -> SiteList:
    table = read_table(path, wanted_names(mapping), sheet)
    notes = list(table.notes)
    if is_earlier_output(table.cells.columns):
        table = table.without(VERDICT_COLUMNS)
        text = f"{path.name} is an earlier result of this program; its verdict columns were left out"
        notes.append(Note("list-earlier-output", "info", text, len(VERDICT_COLUMNS)))
    known: Mapping[str, Heading] = known_headings(table.cells.columns, mapping)
    alike = _check_headings(path.name, table, known, mapping)
    styles = _styles(table, known, mapping)
    changes: tuple[Change, ...] = ()
    if answers is not None:
        merged = merge_answers(path.name, table, known, styles, answers)
        table, known, changes = merged.table, merged.known, merged.changes
        alike = {own: column for own, column in alike.items() if column not in _present(known)}
        notes.extend(merged.notes)
    rows = [RowInReading(line) for line in table.lines]
    for name, heading in known.items():
        texts, values = table.cells[name].tolist(), table.values.get(name)
        note = read_column(texts, values, heading, styles.get(name, NumberStyle()), rows, criteria.need)
        notes.extend([note] if note else [])
        mark_uncomputed(heading, table.uncomputed.get(name, ()), rows)
    judge_rows(rows, known, len(table.cells.columns), table.overlong, criteria.need)
    judge_positions(rows, known)
    sites = tuple(row.site(path.name) for row in rows)
    notes.extend(number_notes(path.name, table.cells, styles))
    notes.extend(_list_notes(sites, alike))
    if not any(site.usable for site in sites):
        head = Fault(path.name, "", "", "", "no row of the list can be used")
        raise InputFaults((head, *(fault for site in sites for fault in site.faults)))
    names = tuple(str(name) for name in table.cells.columns)
    return SiteList(
        path=path,
        sha256=table.sha256,
        columns=names,
        cells=table.cells,
        sites=sites,
        known={name: known[name].column.name for name in names if name in known},
        own_columns=tuple(name for name in names if name not in known),
        lookalikes=alike,
        returned_as=returned_names(names),
        notes=tuple(notes),
        values=_values(table, names),
        changes=changes,
        blank_rows=table.blank_rows,
        sheet=table.sheet,
        header_line=table.header_line,
        side_files={
            **({"columns": mapping.source} if mapping else {}),
            **({"survey": answers.source} if answers else {}),
        },
    )


def _present(known: Mapping[str, Heading]) -> set[str]:
    return {heading.column.name for heading in known.values()}


def _check_headings(
    file: str, table: SiteTable, known: Mapping[str, Heading], mapping: ColumnMap | None
) -> dict[str, str]:
    """Raise the faults of the headings; own headings that look like one of ours."""
    mapped = mapping.by_name() if mapping else {}
    names = [str(name) for name in table.cells.columns]
    own = [name for name in names if name not in known and plain_heading(name) not in mapped]
    alike = lookalikes(own, _present(known))
    faults = list(mapping.absent(names)) if mapping else []
    faults += _heading_faults(file, f"line {table.header_line}", known, alike)
    if not table.lines:
        faults.append(Fault(file, "", "", "", "the list has headings but no row"))
    if faults:
        raise InputFaults(tuple(faults))
    return alike


def _heading_faults(
    file: str, where: str, known: Mapping[str, Heading], alike: Mapping[str, str]
) -> list[Fault]:
    faults = []
    by_column: dict[str, list[str]] = defaultdict(list)
    for name, heading in known.items():
        by_column[heading.column.name].append(name)
    required = [column.name for column in columns().values() if column.required]
    for name in columns():
        given = by_column.get(name, [])
        if name in required and not given:
            near = next((own for own, looks_like in alike.items() if looks_like == name), "")
            hint = f"; {near!r} looks like it: rename it or map it with --columns" if near else ""
            faults.append(Fault(file, where, name, "", f"the required column is missing{hint}"))
        if len(given) > 1:
            text = f"the same quantity is also in {', '.join(given[1:])}; keep one"
            faults.append(Fault(file, where, given[0], "", text))
    if not any(name in by_column for name in required):
        text = "to map other headings, begin with: edgecheck new sites --from " + file
        faults.append(Fault(file, where, "", "", text))
    return faults


def _styles(
    table: SiteTable, known: Mapping[str, Heading], mapping: ColumnMap | None
) -> dict[str, NumberStyle]:
    """How the numbers of each column are written; numbers of a workbook are no texts."""
    mapped = mapping.by_name() if mapping else {}
    texts: dict[str, set[str]] = {}
    for name, heading in known.items():
        if heading.column.kind == "number":
            values = table.values.get(name)
            found = table.cells[name].tolist()
            typed = zip(found, values, strict=True) if values else ()
            texts[name] = {text for text, value in typed if isinstance(value, str)} if values else set(found)
    told = {
        name: entry.decimal
        for name in texts
        if (entry := mapped.get(plain_heading(name))) is not None and entry.decimal is not None
    }
    return number_styles(texts, told)


def _values(table: SiteTable, names: tuple[str, ...]) -> tuple[tuple[object, ...], ...] | None:
    """Rows of a workbook's values."""
    if not table.sheet:
        return None
    return tuple(zip(*(table.values[name] for name in names), strict=True))


def _list_notes(sites: tuple[Site, ...], alike: Mapping[str, str]) -> list[Note]:
    notes = [
        Note(
            "list-lookalike",
            "caution",
            f"{own} looks like {column}; kept as your own; map it with --columns",
        )
        for own, column in alike.items()
    ]
    filled = {key for site in sites for key in site.values}
    waiting = [name for name, column in columns().items() if name in filled and not column.used]
    if waiting:
        text = f"read and checked, and not used yet: {', '.join(waiting)}"
        notes.append(Note("list-not-used-yet", "info", text, len(waiting)))
    return notes
