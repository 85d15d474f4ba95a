"""Assumptions put into the empty cells of a list.

In go a list and the assumptions, out comes the list with values for empty cells; its cells as written stay as
they are. The first entry that fits a row wins. An entry that contradicts what the row itself says does not
fit: the row keeps its empty cell, and a note counts such rows.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.assumptions import Assumption, Assumptions
from edgecheck.inputs.cells import Value
from edgecheck.inputs.columns import columns
from edgecheck.inputs.key_path import did_you_mean
from edgecheck.inputs.load_families import FAMILY_TITLES, LOAD_STANDARD, families_of, family_of
from edgecheck.inputs.site_records import CellCaution, Site, SiteList
from edgecheck.inputs.spreadsheet_text import is_empty

_SPREADER = ("spreader_length_m", "spreader_width_m", "spreader_kg")
_SHOWN_ROWS = 3


@dataclass
class _Use:
    """What became of one entry."""

    fits: bool = False
    used: int = 0
    nearly: int = 0
    refused: list[str] = field(default_factory=list)


def apply_assumptions(site_list: SiteList, assumptions: Assumptions) -> SiteList:
    """Put assumed values into the empty cells of usable rows.

    Parameters
    ----------
    site_list : SiteList
        As read.
    assumptions : Assumptions
        As read.

    Returns
    -------
    filled : SiteList
        The same cells as written; `Site.values` with the assumed values, `Site.assumed` with their entries,
        and one note an entry.

    Raises
    ------
    InputFaults
        An entry's `where` names a column that the list does not have.
    """
    faults = _where_faults(site_list, assumptions)
    if faults:
        raise InputFaults(faults)
    uses = [_Use() for _ in assumptions.entries]
    written = _Written(site_list)
    # the standard first: it says which family's columns a row may have
    order = sorted(enumerate(assumptions.entries), key=lambda entry: entry[1].key != LOAD_STANDARD)
    sites = tuple(
        _filled(site, place, order, written, uses) if site.usable else site
        for place, site in enumerate(site_list.sites)
    )
    notes = [
        _note(assumptions.file, entry, use) for entry, use in zip(assumptions.entries, uses, strict=True)
    ]
    if not assumptions.entries:
        notes = [Note("assume-empty", "caution", f"{assumptions.file} holds no assumption")]
    return replace(site_list, sites=sites, notes=(*site_list.notes, *notes))


class _Written:
    """Text of the cells of a list, by heading or by the column that the program knows it as."""

    def __init__(self, site_list: SiteList) -> None:
        self._cells = site_list.cells
        self._heading = {column: heading for heading, column in site_list.known.items()}
        self._texts: dict[str, list[str]] = {}

    def cell(self, heading: str, place: int) -> str:
        """Cell under a heading."""
        if heading not in self._texts:
            self._texts[heading] = [str(text) for text in self._cells[heading].tolist()]
        return self._texts[heading][place]

    def is_empty(self, column: str, place: int) -> bool:
        """Whether the row says nothing in a column, not even something wrong."""
        heading = self._heading.get(column)
        return heading is None or is_empty(self.cell(heading, place))


def _where_faults(site_list: SiteList, assumptions: Assumptions) -> tuple[Fault, ...]:
    found = []
    for place, entry in enumerate(assumptions.entries, start=1):
        for heading in entry.where:
            if heading not in site_list.columns:
                text = f"{site_list.path.name} has no such column{did_you_mean(heading, site_list.columns)}"
                where = f"line {entry.where_line}" if entry.where_line else ""
                found.append(Fault(assumptions.file, where, f"assume[{place}].where", heading, text))
    return tuple(found)


def _filled(
    site: Site,
    place: int,
    order: Sequence[tuple[int, Assumption]],
    written: _Written,
    uses: list[_Use],
) -> Site:
    values: dict[str, Value] = dict(site.values)
    assumed: dict[str, Assumption] = dict(site.assumed)
    cautions = list(site.cautions)
    for number, entry in order:
        use = uses[number]
        if not all(written.cell(heading, place) == text for heading, text in entry.where.items()):
            use.nearly += _nearly(entry, place, written)
            continue
        use.fits = True
        if entry.key in values or not written.is_empty(entry.key, place):
            continue
        against = contradiction(entry.key, entry.value, values)
        if against:
            use.refused.append(f"row {site.site_id} (line {site.row}): {against}")
            continue
        use.used += 1
        values[entry.key] = entry.value
        assumed[entry.key] = entry
        if entry.caution:
            shown = f"{entry.value_text} (assumed)"
            cautions.append(CellCaution(entry.key, shown, entry.caution, columns()[entry.key].feeds))
    if len(assumed) == len(site.assumed):
        return site
    return replace(site, values=values, assumed=assumed, cautions=tuple(cautions))


def _nearly(entry: Assumption, place: int, written: _Written) -> bool:
    """Whether a row would match but for blanks or case."""
    return all(
        written.cell(heading, place).strip().casefold() == text.strip().casefold()
        for heading, text in entry.where.items()
    )


def contradiction(key: str, value: Value, values: Mapping[str, Value]) -> str:
    """Say what a row says against a value for one of its empty cells.

    Parameters
    ----------
    key : str
        Column of the value.
    value : float, str, tuple or DoesNotApply
        The value.
    values : mapping
        What the row says, by column.

    Returns
    -------
    text : str
        Empty where nothing speaks against it.
    """
    families = families_of(values)
    if key == LOAD_STANDARD:
        family = family_of(value)
        return f"only {_title(families)} columns are filled" if families and family not in families else ""
    family = columns()[key].standard
    if family:
        standard = values.get(LOAD_STANDARD)
        if standard is not None:
            return f"load_standard is {standard}" if family_of(standard) != family else ""
        return f"only {_title(families)} columns are filled" if families and family not in families else ""
    if key == "roof_reserve_kpa":
        return _known_reserve(values)
    if key == "warming_k" and "warming_file" in values:
        return f"warming_file is {values['warming_file']}"
    if key == "roof_solar_absorptance" and "roof_surface" in values:
        return f"roof_surface is {values['roof_surface']}"
    if key in _SPREADER and values.get("spreader_kind") == "none":
        return "spreader_kind is none"
    if key == "spreader_kind" and value == "none":
        stated = [name for name in _SPREADER if name in values]
        return f"{', '.join(stated)} is filled" if stated else ""
    return ""


def _known_reserve(values: Mapping[str, Value]) -> str:
    use = values.get("roof_use")
    if use == "maintenance-only":
        return "roof_use is maintenance-only, which has nothing to spare for permanent plant"
    if use is not None and {"roof_design_imposed_kpa", "roof_existing_plant_kpa"} <= values.keys():
        return "the reserve follows from roof_design_imposed_kpa and roof_existing_plant_kpa"
    return ""


def _title(families: set[str]) -> str:
    return " and ".join(FAMILY_TITLES[family] for family in sorted(families))


def _note(file: str, entry: Assumption, use: _Use) -> Note:
    """Say how often an entry served, and why not more often."""
    head = f"{file}, line {entry.line}: {entry.key} = {entry.value_text}"
    text = f"{head} stands for the empty cell of {_rows(use.used)}, by {entry.by}"
    if use.used and not columns()[entry.key].used:
        text += "; not used by any check yet"
    if not use.used:
        text = f"{head} is used nowhere: {_why_unused(entry, use)}"
    if use.refused:
        shown = "; ".join(use.refused[:_SHOWN_ROWS])
        more = len(use.refused) - _SHOWN_ROWS
        tail = f" and {more} more" if more > 0 else ""
        text += f"; not applied where the row says otherwise: {shown}{tail}"
    if entry.caution:
        text += f"; unusual: {entry.caution}"
    worth_a_look = not use.used or use.refused or entry.caution
    return Note("assume-entry", "caution" if worth_a_look else "info", text, use.used)


def _why_unused(entry: Assumption, use: _Use) -> str:
    if use.refused:
        return "every empty cell it fits is contradicted"
    if use.fits:
        return "no such cell is empty, or an entry before it fits"
    wanted = ", ".join(f"{heading} = {text!r}" for heading, text in entry.where.items())
    nearly = f"; {_rows(use.nearly)} would match but for blanks or capitals" if use.nearly else ""
    return f"no usable row has {wanted}{nearly}" if wanted else "no row is usable"


def _rows(count: int) -> str:
    return f"{count} row{'' if count == 1 else 's'}"
