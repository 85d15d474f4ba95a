"""One row of the lists: what stands in our columns, worked out once for table, workbook, map and page."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from edgecheck.checks.model import GROUPS
from edgecheck.checks.result import Result
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS
from edgecheck.outputs.number_text import cell


class ListedRow:
    """A row as it passes by on its way into the lists.

    Parameters
    ----------
    place : int
        Index of the row in the list.
    result : Result
        What came out for it.
    rank : int, optional
        1 the best.
    folder : str, optional
        Site folder, where one was written.

    Attributes
    ----------
    values, texts : dict
        Value and table text of each of our columns, in the order of verdicts.csv.
    """

    __slots__ = ("folder", "place", "rank", "result", "texts", "values")

    def __init__(self, place: int, result: Result, rank: int | None, folder: str | None) -> None:
        self.place, self.result, self.rank, self.folder = place, result, rank, folder
        self.values = _values(result, rank, folder)
        self.texts = {name: cell(value) for name, value in self.values.items()}


def listed_rows(
    results: Iterable[Result], ranks: Mapping[int, int], folders: Mapping[int, str]
) -> Iterator[ListedRow]:
    """Rows of a run.

    Parameters
    ----------
    results : iterable of Result
        One a row, in the order of the list; read once.
    ranks : mapping
        Rank by the row's line number.
    folders : mapping
        Site folder by the row's line number, where one was written.

    Yields
    ------
    ListedRow
    """
    for place, result in enumerate(results):
        yield ListedRow(place, result, ranks.get(result.row), folders.get(result.row))


_FIGURES = tuple((name, name.removeprefix("asks_")) for name in VERDICT_COLUMNS)


def _values(result: Result, rank: int | None, folder: str | None) -> dict[str, Any]:
    asks, figures = result.asks, result.figures
    found: dict[str, Any] = {
        name: figures[name] if name in figures else asks.get(name, asks.get(bare)) for name, bare in _FIGURES
    }
    found |= {group: result.groups.get(group) for group in GROUPS}
    found["verdict"] = result.verdict
    found["rank"] = rank
    found["governing_check"] = result.governing_check
    found["reason"] = result.reason or "; ".join(result.faults)
    found["conditions"] = list(result.conditions)
    found["to_survey"] = list(result.to_survey)
    found["folder"] = folder
    return found
