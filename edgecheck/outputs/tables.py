"""The tables: verdicts.csv, checks.csv, hourly.csv, hot-spell.csv as text, hourly.nc as bytes.

In go results (and the site list as it was written), out comes text; nothing is written to disk here. CSV is for
programs: comma, decimal point, one line a row; a cell that a spreadsheet could take for a formula gets a
leading apostrophe, which the reader of site lists removes again.
"""

import csv
import io
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from edgecheck.base.variables import edge_name, edge_value, variables
from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.model import GROUPS
from edgecheck.checks.result import Result
from edgecheck.inputs.spreadsheet_text import protect
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS, returned_names
from edgecheck.outputs.number_text import cell, time_text

if TYPE_CHECKING:
    import pandas as pd
    import xarray as xr

_QUOTED_ENDS = "\r\n"
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
    out = io.StringIO()
    writer = csv.writer(out, lineterminator=_QUOTED_ENDS)  # a writer quotes only the line ends that it writes
    for row in chain([header], rows):
        writer.writerow([protect(text) for text in row])
        yield out.getvalue().removesuffix(_QUOTED_ENDS) + "\n"
        out.seek(0)
        out.truncate()


def verdict_lines(
    site_list: ListAsWritten,
    results: Sequence[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
) -> Iterator[str]:
    """Lines of verdicts.csv: the list as it came, then our columns.

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
    cells = site_list.cells
    if len(results) != len(cells):
        raise ValueError(f"{len(results)} results for {len(cells)} rows of the list")
    names = returned_names(site_list.columns)
    header = [*(names[column] for column in site_list.columns), *VERDICT_COLUMNS]
    written = (cells[column].tolist() for column in site_list.columns)
    rows = zip(zip(*written, strict=True), results, strict=True)
    return csv_lines(header, (_verdict_row(texts, result, ranks, folders) for texts, result in rows))


def verdict_table(
    site_list: ListAsWritten,
    results: Sequence[Result],
    ranks: Mapping[int, int],
    folders: Mapping[int, str],
) -> str:
    """verdicts.csv as one text; parameters and errors as `verdict_lines`."""
    return "".join(verdict_lines(site_list, results, ranks, folders))


def _verdict_row(
    texts: Sequence[Any], result: Result, ranks: Mapping[int, int], folders: Mapping[int, str]
) -> list[str]:
    rank, folder = ranks.get(result.row), folders.get(result.row)
    ours = (verdict_value(result, name, rank, folder) for name in VERDICT_COLUMNS)
    return [cell(value) for value in (*texts, *ours)]


def verdict_value(result: Result, name: str, rank: int | None, folder: str | None) -> Any:
    """What stands in one of our columns of verdicts.csv for one site."""
    own: dict[str, Any] = {
        "verdict": result.verdict,
        "rank": rank,
        "governing_check": result.governing_check,
        "reason": result.reason or "; ".join(result.faults),
        "conditions": list(result.conditions),
        "to_survey": list(result.to_survey),
        "folder": folder,
    }
    if name in own:
        return own[name]
    if name in GROUPS:
        return result.groups.get(name)
    if name in result.figures:
        return result.figures[name]
    return result.asks.get(name, result.asks.get(name.removeprefix("asks_")))


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
