"""A fitted rating table in words and as a unit file.

The new file is based on an existing one and replaces its table; it is read as a unit before it is put in place, and
a file that is there already is never touched.
"""

import json
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from edgecheck.base.errors import Fault, FolderRefused, InputFaults
from edgecheck.inputs.rating_fit import Fit, RatingFit
from edgecheck.inputs.unit import load_unit
from edgecheck.outputs.starters import write_new

_DIGITS = 4  # of shares in the file


def fit_text(fit: RatingFit) -> str:
    """How well a fitted table meets its points, point by point.

    Parameters
    ----------
    fit : RatingFit
        The fit.

    Returns
    -------
    str
        Lines for a terminal.
    """
    lines = [
        f"rating table fitted to {len(fit.points)} points of {fit.points.source.name}: liquid {fit.liquid_c[0]:g} to "
        f"{fit.liquid_c[-1]:g}, inlet air {fit.inlet_air_c[0]:g} to {fit.inlet_air_c[-1]:g} degC",
        *(f"  {line}" for line in _quality_lines(fit)),
        *(f"  {line}" for line in _point_lines(fit)),
    ]
    lines += [f"  {note.level}: {note.text}" for note in fit.notes]
    return "\n".join(lines)


def cooling_table(fit: RatingFit) -> str:
    """The keys of [cooling] that a fit gives, as TOML with the points as comments.

    Parameters
    ----------
    fit : RatingFit
        The fit.

    Returns
    -------
    str
        Text of the tables [cooling] and [cooling.fit], with a line feed at its end.
    """
    points = fit.points
    lines = [
        f"# Fitted to {len(points)} points of {points.source.name} by edgecheck unit --fit.",
        *(f"# {line}" for line in _quality_lines(fit)),
        *(f"# {line}" for line in _point_lines(fit)),
        *(f"# {note.text}" for note in fit.notes),
        "[cooling]",
        f"liquid_c = {_list(fit.liquid_c)}",
        f"inlet_air_c = {_list(fit.inlet_air_c)}",
        *_rows("capacity_kw", fit.capacity_kw),
        *_rows("power_kw", fit.power_kw),
        "",
        "[cooling.fit]",
        f"points_file = {_text(points.source.name)}",
        f"points_sha256 = {_text(points.source.sha256)}",
        f"points = {len(points)}",
    ]
    for name, one in (("capacity", fit.capacity), ("power", fit.power)):
        worst = abs(float(one.differences[one.worst]))
        lines += [
            f"{name}_rms_share = {round(one.rms, _DIGITS)}",
            f"{name}_worst_share = {round(worst, _DIGITS)}",
        ]
    return "\n".join([*lines, ""])


def write_fitted_unit(fit: RatingFit, unit: str | Path, out: str | Path) -> Path:
    """Write a unit file that takes everything but the rating table from another.

    Parameters
    ----------
    fit : RatingFit
        The table.
    unit : str or Path
        Unit file that the new one is based on; its own table may be missing.
    out : str or Path
        New file, in the folder of `unit` or above it; or such a folder.

    Returns
    -------
    path : Path
        The new file.

    Raises
    ------
    InputFaults
        The new file would not be a unit: every fault that its reader finds. Nothing is written.
    FolderRefused
        The new file exists, or cannot be written.
    """
    parent, place = Path(unit), Path(out)
    name = f"{parent.stem}-fitted.toml"
    if place.is_dir():
        place = place / name
    if place.exists():
        raise FolderRefused(str(place), "exists already and is left as it is; give another name")
    folder = place.parent.resolve()
    if not parent.resolve().is_relative_to(folder):
        why = f"must lie in the folder of {parent.name} or above it, so that the new file can be based on it"
        raise InputFaults((Fault(place.name, "", "--out", str(place), why),))
    based_on = parent.resolve().relative_to(folder).as_posix()
    head = f"# {based_on} with another rating table.\n\nschema = 1\nbased_on = {_text(based_on)}\n\n"
    text = head + cooling_table(fit)
    _check(text, place)
    return write_new(place, text, name)


def _check(text: str, place: Path) -> None:
    """Read the text as a unit file of that name beside its parent."""
    try:
        with tempfile.NamedTemporaryFile(
            "w", dir=place.parent, suffix=".toml", encoding="utf-8", newline="\n", delete=False
        ) as trial:
            trial.write(text)
    except OSError as error:
        raise FolderRefused(str(place), f"cannot be written: {error.strerror or error}") from error
    tried = Path(trial.name)
    try:
        load_unit(tried)
    except InputFaults as error:
        found = (
            replace(fault, file=place.name) if fault.file == tried.name else fault for fault in error.faults
        )
        raise InputFaults(tuple(found)) from error
    finally:
        tried.unlink()


def _quality_lines(fit: RatingFit) -> Iterator[str]:
    for name, one in (("capacity", fit.capacity), ("power", fit.power)):
        yield (
            f"{name}: {one.surface.form}; differs from the points by {one.rms:.1%} (root mean square), at most "
            f"{abs(one.differences[one.worst]):.1%}; points left out are foretold within {one.left_out:.1%}"
        )


def _point_lines(fit: RatingFit) -> Iterator[str]:
    points = fit.points
    yield "line  liquid degC  air degC  capacity kW: point, fit, difference  power kW: point, fit, difference"
    for at, line in enumerate(points.lines):
        yield (
            f"{line:4d}  {points.liquid[at]:11.5g}  {points.inlet_air[at]:8.5g}  "
            f"{_point(points.capacity[at], fit.capacity, at):>35}  {_point(points.power[at], fit.power, at):>32}"
        )


def _point(value: float, fit: Fit, at: int) -> str:
    return f"{value:8.3f} {fit.values[at]:8.3f} {round(fit.differences[at], 3) + 0.0:+7.1%}"


def _rows(name: str, table: tuple[tuple[float, ...], ...]) -> list[str]:
    return [f"{name} = [", *(f"  {_list(row)}," for row in table), "]"]


def _list(values: tuple[float, ...]) -> str:
    return f"[{', '.join(repr(float(value)) for value in values)}]"


def _text(value: str) -> str:
    """TOML string: JSON writes no escape that TOML does not know."""
    return json.dumps(value, ensure_ascii=False)
