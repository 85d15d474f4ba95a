"""Sheet `columns`: what every column means, those of the list first, then ours, then those that may be added."""

from collections.abc import Iterator

from edgecheck.inputs.check_ids import CHECK_IDS, GROUP_NAMES
from edgecheck.inputs.columns import Column, columns
from edgecheck.inputs.sites import SiteList
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS, returned_names
from edgecheck.outputs.number_text import cell as table_text
from edgecheck.outputs.result_columns import RESULT_COLUMNS
from edgecheck.outputs.sheet_book import Book
from edgecheck.outputs.sheet_cells import HEADING, Look, lines_of, set_up

TITLE = "columns"
HEADINGS = (
    ("column", 30.0),
    ("where", 16.0),
    ("meaning", 52.0),
    ("unit", 10.0),
    ("allowed", 34.0),
    ("usual", 18.0),
    ("feeds", 34.0),
    ("empty_means", 34.0),
    ("default_reason", 34.0),
    ("who_knows", 22.0),
    ("used", 14.0),
)
_PLAIN, _LINES = Look(lined=True), Look(lined=True, wrap=True)
_WRAPPED = frozenset({"meaning", "allowed", "feeds", "empty_means", "default_reason", "who_knows"})


def write_column_sheet(book: Book, site_list: SiteList) -> None:
    """Write the sheet.

    Parameters
    ----------
    book : Book
        Gets the sheet.
    site_list : SiteList
        Says which columns stand in the list.
    """
    cells = book.sheet(TITLE)
    rows = [*_of_the_list(site_list), *_ours(), *_not_in_the_list(site_list)]
    set_up(cells.sheet, [width for _, width in HEADINGS], freeze="B2")
    cells.sheet.auto_filter.ref = f"A1:{chr(ord('A') + len(HEADINGS) - 1)}{len(rows) + 1}"
    cells.append(cells.row([name for name, _ in HEADINGS], HEADING))
    for row in rows:
        texts = [
            (row.get(name, ""), _LINES if name in _WRAPPED else _PLAIN, width) for name, width in HEADINGS
        ]
        lines = max(lines_of(text, width) for text, look, width in texts if look.wrap)
        cells.append([cells.cell(text, look) for text, look, _ in texts], lines)


def _of_the_list(site_list: SiteList) -> Iterator[dict[str, str]]:
    """Every column of the list, in its order, the planner's own included."""
    names = returned_names(site_list.columns)
    for heading in site_list.columns:
        name = site_list.known.get(heading)
        if name is None:
            alike = site_list.lookalikes.get(heading)
            hint = f"; looks like {alike}: map it with --columns if it is meant" if alike else ""
            yield {
                "column": names[heading],
                "where": "your list",
                "meaning": f"your own column, returned untouched{hint}",
                "used": "no",
            }
        else:
            yield _known(columns()[name], heading, "your list")


def _ours() -> Iterator[dict[str, str]]:
    """Our columns of the verdict table."""
    for name in VERDICT_COLUMNS:
        column = RESULT_COLUMNS[name]
        yield {"column": name, "where": "result", "meaning": column.meaning, "unit": column.unit}


def _not_in_the_list(site_list: SiteList) -> Iterator[dict[str, str]]:
    """Columns that the program reads and the list does not have."""
    present = set(site_list.known.values())
    for name, column in columns().items():
        if name not in present:
            yield _known(column, name, "may be added")


def _known(column: Column, heading: str, where: str) -> dict[str, str]:
    """A column that the program reads."""
    renamed = "" if heading == column.name else f" (read as {column.name})"
    return {
        "column": heading,
        "where": where,
        "meaning": f"{column.question}{renamed}",
        "unit": _own_unit(column, heading),
        "allowed": _allowed(column),
        "usual": _usual(column),
        "feeds": _feeds(column),
        "empty_means": column.empty_means or ("required" if column.required else "unknown"),
        "default_reason": column.default_reason,
        "who_knows": column.knows,
        "used": "yes" if column.used else "not used yet",
    }


def _own_unit(column: Column, heading: str) -> str:
    """Unit of the list's cells: the twin's where the list uses one."""
    if heading in column.twin_names():
        return heading.removeprefix(f"{column.stem}_")
    return column.unit if heading == column.name or not column.unit else "as mapped"


def _allowed(column: Column) -> str:
    """Possible range or allowed values, in the column's own unit."""
    kinds = {
        "text": "any text",
        "file": "name of a file, relative to the list",
        "date": "date, YYYY-MM-DD",
        "pairs": "azimuth:elevation pairs in degrees, such as 90:12 180:4",
    }
    text = kinds[column.kind] if column.kind in kinds and not column.values else column.range_text()
    return f"{text}, or none (does not apply)" if column.none_allowed else text


def _usual(column: Column) -> str:
    if column.usual_low is None or column.usual_high is None:
        return ""
    unit = "" if column.unit in ("share", "factor") else column.unit
    return f"{table_text(column.usual_low)} to {table_text(column.usual_high)} {unit}".strip()


def _feeds(column: Column) -> str:
    """Ids of the checks, a group by its name where the column feeds all of it."""
    by_group = {
        group: [check for check in CHECK_IDS if check.startswith(f"{group}.")] for group in GROUP_NAMES
    }
    if set(CHECK_IDS) <= set(column.feeds):
        return "every check"
    parts: list[str] = []
    for group, checks in by_group.items():
        fed = [check for check in checks if check in column.feeds]
        parts += [f"{group}: all"] if fed == checks else fed
    return "; ".join(parts)
