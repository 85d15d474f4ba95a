"""The tables: verdicts.csv, checks.csv, hourly.csv, hot-spell.csv as text, hourly.nc as bytes.

In go results (and the site list as it was written), out comes text; nothing is written to disk here. CSV is for
programs: comma, decimal point, one line a row; a cell that a spreadsheet could take for a formula gets a
leading apostrophe, which the reader of site lists removes again.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import chain
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from edgecheck.base.variables import edge_name, edge_value, variables
from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.result import Result
from edgecheck.inputs.spreadsheet_text import protect
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS, returned_names
from edgecheck.outputs.listed_row import ListedRow, listed_rows
from edgecheck.outputs.number_text import cell, time_text

if TYPE_CHECKING:
    import pandas as pd
    import xarray as xr

_QUOTED = re.compile('[",\r\n]')
CHECK_COLUMNS = (
    "id",
    "title",
    "group",
    "need",
    "status",
    "demand",
    "limit",
    "utilisation",
    "spare",
    "unit",
    "governed_by",
    "missing",
    "assumed",
    "basis",
    "confidence",
    "note",
)


class ListAsWritten(Protocol):
    """What a table needs of a site list: its columns in order and every cell as text."""

    @property
    def columns(self) -> tuple[str, ...]:
        """Column names in the order of the file."""

    @property
    def cells(self) -> "pd.DataFrame":
        """Text of every cell, one row a site."""


def csv_text(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """CSV with comma and line feed, every cell protected."""
    return "".join(csv_lines(header, rows))


def csv_lines(header: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """The lines of `csv_text` one after the other, for tables too long to hold as text."""
    return map(csv_line, chain([header], rows))


def csv_line(texts: Iterable[str]) -> str:
    """One line of a CSV table with its line feed, every cell protected."""
    return f"{','.join(map(_csv_cell, texts))}\n"


@lru_cache(4096)
def _csv_cell(text: str) -> str:
    """A cell in quotes where it needs them (RFC 4180, 2.6 and 2.7); most texts stand in many rows."""
    safe = protect(text)
    return '"{}"'.format(safe.replace('"', '""')) if _QUOTED.search(safe) else safe


class VerdictTable:
    """Lines of verdicts.csv: the list as it came, then our columns.

    Parameters
    ----------
    site_list : ListAsWritten
        Columns and cells as written.
    """

    def __init__(self, site_list: ListAsWritten) -> None:
        names = returned_names(site_list.columns)
        self._header = [*(names[column] for column in site_list.columns), *VERDICT_COLUMNS]
        self._written = [site_list.cells[column].tolist() for column in site_list.columns]

    def head(self) -> str:
        """The line of the headings."""
        return csv_line(self._header)

    def line(self, row: ListedRow) -> str:
        """The line of a row."""
        own = [cell(texts[row.place]) for texts in self._written]
        return csv_line([*own, *row.texts.values()])


def verdict_lines(
    site_list: ListAsWritten,
    results: Sequence[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
) -> Iterator[str]:
    """Lines of verdicts.csv of a whole run.

    Parameters
    ----------
    site_list : ListAsWritten
        Columns and cells as written.
    results : sequence of Result
        One a row, in the order of the list.
    ranks : mapping
        Rank by the row's line number.
    folders : mapping
        Site folder by the row's line number, where one was written.

    Returns
    -------
    iterator of str
        The table without a byte order mark, which the file gets when it is written.

    Raises
    ------
    ValueError
        If there is not one result a row.
    """
    if len(results) != len(site_list.cells):
        raise ValueError(f"{len(results)} results for {len(site_list.cells)} rows of the list")
    table = VerdictTable(site_list)
    return chain([table.head()], map(table.line, listed_rows(results, ranks, folders)))


def verdict_table(
    site_list: ListAsWritten,
    results: Sequence[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
) -> str:
    """verdicts.csv as one text; parameters and errors as `verdict_lines`."""
    return "".join(verdict_lines(site_list, results, ranks, folders))


def checks_table(result: Result, need: Mapping[str, str] | None = None) -> str:
    """checks.csv of one site, in the order of the declarations.

    Parameters
    ----------
    result : Result
        The site.
    need : mapping, optional
        required, confirm or off by check id, as used in the run.

    Returns
    -------
    str
        One line a check with its status, numbers, cause and source.
    """
    declared = {check.id: check for check in CHECKS}
    rows = []
    for outcome in result.checks:
        check = declared[outcome.id]
        values: dict[str, Any] = {
            **outcome.to_dict(),
            "title": check.title,
            "group": check.group,
            "need": (need or {}).get(check.id, ""),
            "unit": check.unit,
            "basis": check.basis,
            "confidence": check.confidence,
        }
        rows.append([cell(values[name]) for name in CHECK_COLUMNS])
    return csv_text(CHECK_COLUMNS, rows)


def hourly_table(dataset: "xr.Dataset") -> str:
    """hourly.csv or hot-spell.csv: one line an hour, names with their unit, unknown left empty.

    Parameters
    ----------
    dataset : xarray.Dataset
        Dimension `time`; quantities of variables.toml in memory units, and texts.

    Returns
    -------
    str
        `time` (local standard time, start of the hour) and every variable that has only that dimension.
    """
    names = [str(name) for name in dataset.data_vars if dataset[name].dims == ("time",)]
    columns = [[time_text(stamp) for stamp in dataset["time"].to_numpy()]]
    for name in names:
        values = dataset[name].to_numpy()
        if name not in variables():
            columns.append([cell(value) for value in values.tolist()])
            continue
        digits = variables()[name].digits
        columns.append([_decimal(value, digits) for value in edge_value(name, values).tolist()])
    return csv_text(["time", *(edge_name(name) for name in names)], zip(*columns, strict=True))


def _decimal(value: float, digits: int) -> str:
    """Fixed decimals; empty where unknown; never a negative zero."""
    if not math.isfinite(value):
        return cell(value)
    return f"{round(value, digits) + 0.0:.{digits}f}"


def hourly_netcdf(dataset: "xr.Dataset") -> bytes:
    """hourly.nc: the same hours as netCDF (version 3), names with their unit, units and labels as attributes.

    Parameters
    ----------
    dataset : xarray.Dataset
        As for `hourly_table`.

    Returns
    -------
    bytes
        A file that xarray opens with the scipy engine.
    """
    import xarray as xr

    data: dict[str, Any] = {}
    for name in (str(item) for item in dataset.data_vars if dataset[item].dims == ("time",)):
        values = dataset[name].to_numpy()
        if name not in variables():
            data[edge_name(name)] = ("time", values.astype(str))
            continue
        found = variables()[name]
        attributes = {
            "units": found.file_unit,
            "long_name": found.label,
            "cell_methods": f"time: {found.kind}",
        }
        data[edge_name(name)] = ("time", np.asarray(edge_value(name, values)), attributes)
    times = dataset["time"].to_numpy().astype("datetime64[ns]")
    out = xr.Dataset(data, coords={"time": times})
    out["time"].attrs["long_name"] = "local standard time, start of the hour"
    if "utc_offset_h" in dataset.attrs:
        out.attrs["utc_offset_h"] = float(dataset.attrs["utc_offset_h"])
    out.attrs["Conventions"] = "CF-1.8"
    first = str(times[0].astype("datetime64[D]"))
    encoding = {"time": {"units": f"hours since {first} 00:00:00", "calendar": "standard", "dtype": "int32"}}
    return bytes(out.to_netcdf(engine="scipy", encoding=encoding))
