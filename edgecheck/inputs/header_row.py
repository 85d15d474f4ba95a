"""Where the headings of a list stand: the first row that holds the required ones, else the likeliest."""

from collections.abc import Sequence

from edgecheck.inputs.sheet_text import cell_text
from edgecheck.inputs.source_rows import SourceRows, WantedNames, plain_heading
from edgecheck.inputs.spreadsheet_text import is_empty, unprotect
from edgecheck.inputs.written_numbers import both_readings

_LOOKED_AT = 200
_GUESSED_FROM = 50


def header_at(source: SourceRows, wanted: WantedNames) -> int:
    """Find the row of headings.

    Parameters
    ----------
    source : SourceRows
        Rows of the file.
    wanted : WantedNames
        Headings that are looked for.

    Returns
    -------
    at : int
        Position in `source.rows`: the first row with all required headings, else the one with most known
        headings (two at least), else the first that looks like headings.
    """
    rows = [[plain_heading(text) for text in heading_texts(source, row)] for row in source.rows[:_LOOKED_AT]]
    for at, row in enumerate(rows):
        if wanted.holds_all(row):
            return at
    counts = [wanted.count(row) for row in rows]
    most = max(counts)
    return counts.index(most) if most > 1 else likely_header(rows)


def heading_texts(source: SourceRows, row: Sequence[object]) -> list[str]:
    """Texts of a row without blanks around them and without protecting apostrophes."""
    texts = [cell_text(value).strip() for value in row]
    return texts if source.is_workbook else [unprotect(text) for text in texts]


def likely_header(rows: Sequence[Sequence[str]]) -> int:
    """Position of the first row that is nearly as wide as the table and holds different words, no numbers.

    Parameters
    ----------
    rows : sequence of sequence of str
        The first rows of a list.

    Returns
    -------
    at : int
        0 where there is no such row.
    """
    filled = [[text for text in row if text] for row in rows[:_GUESSED_FROM]]
    widest = max(map(len, filled), default=0)
    for at, row in enumerate(filled):
        words = [text for text in row if not is_empty(text) and both_readings(text) == (None, None)]
        if len(words) == len(row) == len(set(row)) and 2 * len(row) > widest:
            return at
    return 0
