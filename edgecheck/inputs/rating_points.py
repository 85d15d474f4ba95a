"""Single points of a data sheet from which a rating table is fitted.

In goes a CSV (or XLSX) file with the columns liquid_c, inlet_air_c, capacity_kw and power_kw, out come
`RatingPoints`. Cells are read like those of a site list: decimal commas, and temperatures in degF under liquid_f and
inlet_air_f. Other columns are left alone.
"""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.inputs.cells import read_cell
from edgecheck.inputs.columns import Column, Heading, columns
from edgecheck.inputs.key_path import did_you_mean
from edgecheck.inputs.site_table import SiteTable, read_table
from edgecheck.inputs.source_rows import WantedNames
from edgecheck.inputs.toml_source import SourceFile
from edgecheck.inputs.written_numbers import number_styles

NAMES = ("liquid_c", "inlet_air_c", "capacity_kw", "power_kw")
MOST_POINTS = 200
_OR_EMPTY = ", or empty where unknown"  # true of a site list's cells, not of these


@dataclass(frozen=True)
class RatingPoints:
    """Points of a data sheet.

    Parameters
    ----------
    liquid, inlet_air : ndarray, shape (point,)
        [degC]
    capacity, power : ndarray, shape (point,)
        [kW]
    lines : tuple of int
        Line of the file of each point.
    source : SourceFile
        Name and checksum of the file.
    """

    liquid: NDArray[np.float64]
    inlet_air: NDArray[np.float64]
    capacity: NDArray[np.float64]
    power: NDArray[np.float64]
    lines: tuple[int, ...]
    source: SourceFile

    def __len__(self) -> int:
        return len(self.lines)

    def refused(self, why: str) -> InputFaults:
        """Error that says why no table can be made of the points."""
        return InputFaults((Fault(self.source.name, "", "", "", why),))


@cache
def _headings() -> dict[str, Heading]:
    """Every heading that is read: the four columns, and the temperatures in degF."""
    like = columns()["extreme_dry_bulb_c"]
    found = {}
    for name, unit, low, high in (
        ("liquid_c", "degC", -60.0, 150.0),
        ("inlet_air_c", "degC", -60.0, 70.0),
        ("capacity_kw", "kW", 0.0, 1000.0),
        ("power_kw", "kW", 0.0, 1000.0),
    ):
        stem, suffix = name.rsplit("_", 1)
        twins = like.twins if suffix == "c" else {}
        open_low = suffix == "kw"
        column = Column(name, "number", unit, low=low, high=high, low_open=open_low, twins=twins, stem=stem)
        found[name] = Heading(name, column, unit=unit)
        for twin, (factor, offset) in twins.items():
            found[f"{stem}_{twin}"] = Heading(f"{stem}_{twin}", column, factor, offset, twin)
    return found


def load_rating_points(path: str | Path) -> RatingPoints:
    """Read points of a data sheet.

    Parameters
    ----------
    path : str or Path
        CSV or XLSX file.

    Returns
    -------
    RatingPoints
        In the order of the file.

    Raises
    ------
    InputFaults
        The file cannot be read, lacks a column, has one in two units, or carries every cell that is empty, no
        number, or not possible.
    """
    path = Path(path)
    known = _headings()
    ways = {name: [key for key, heading in known.items() if heading.column.name == name] for name in NAMES}
    wanted = WantedNames(frozenset(known), tuple(frozenset(keys) for keys in ways.values()))
    table = read_table(path, wanted)
    where = f"line {table.header_line}"
    chosen: dict[str, Heading] = {}
    faults = []
    for name, keys in ways.items():
        there = [key for key in keys if key in table.cells.columns]
        if len(there) > 1:
            faults.append(Fault(path.name, where, there[1], "", f"{there[0]} is there too; keep one"))
        elif not there:
            near = did_you_mean(name, [str(column) for column in table.cells.columns])
            faults.append(Fault(path.name, where, name, "", f"the required column is missing{near}"))
        else:
            chosen[name] = known[there[0]]
    if faults:
        raise InputFaults(tuple(faults))
    values = _values(table, chosen, path.name, faults)
    if not faults and len(table.lines) > MOST_POINTS:
        text = f"{len(table.lines)} points; at most {MOST_POINTS} are fitted: give the table itself in the unit file"
        faults.append(Fault(path.name, "", "", "", text))
    if faults:
        raise InputFaults(tuple(faults))
    liquid, inlet_air, capacity, power = (np.array(values[name], dtype=float) for name in NAMES)
    return RatingPoints(
        liquid, inlet_air, capacity, power, tuple(table.lines), SourceFile(path.name, table.sha256)
    )


def _values(
    table: SiteTable, chosen: dict[str, Heading], file: str, faults: list[Fault]
) -> dict[str, list[float]]:
    """Numbers of the four columns; what is wrong is added to `faults`."""
    styles = number_styles({head.name: set(table.cells[head.name]) for head in chosen.values()}, {})
    values: dict[str, list[float]] = {name: [] for name in chosen}
    for name, heading in chosen.items():
        texts = table.cells[heading.name].tolist()
        typed = table.values.get(heading.name, texts)
        for at, text in enumerate(texts):
            cell = typed[at]
            exact = isinstance(cell, int | float) and not isinstance(cell, bool)
            reading = read_cell(cell if exact else text, heading, styles[heading.name])
            if isinstance(reading.value, float):
                values[name].append(reading.value)
                continue
            why = (
                reading.fault.removesuffix(_OR_EMPTY)
                or f"a point needs a number: {heading.column.range_text()}"
            )
            faults.append(Fault(file, f"line {table.lines[at]}", heading.name, text.strip(), why))
    return values
