"""Starter files: a first site list, unit, criteria and assumptions file to write over.

In: the kind of file. Out: its text. Nothing is written here. Every starter is read by the reader of its kind as
it stands; all names and numbers in them are invented.
"""

import csv
import io
from importlib.resources import files
from textwrap import wrap

from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.criteria import NEEDS, SHIPPED, TABLES, Criteria, load_criteria

STARTERS: dict[str, str] = {
    "sites": "sites.csv",
    "unit": "unit.toml",
    "criteria": "criteria.toml",
    "assume": "assumptions.toml",
}
"""Kinds of starter files -> the name a file of that kind usually has."""

_OWN_COLUMN = "Landlord"
# What a planner most likely has or can find out, in the order of columns.toml; the first row shows every column,
# the second what is enough for a first pass.
_SITES: dict[str, tuple[str, str]] = {
    "site_id": ("EXAMPLE-1", "EXAMPLE-2"),
    "name": ("Example depot, delete this row", "Example exchange, delete this row"),
    _OWN_COLUMN: ("Example Estates", "Example Estates"),
    "latitude_deg": ("46.86", "46.74"),
    "longitude_deg": ("-32.91", "-33.12"),
    "elevation_m": ("35", ""),
    "it_load_kw": ("4", ""),
    "roof_surface": ("gravel", ""),
    "recirculation": ("0.05", ""),
    "front_azimuth_deg": ("180", ""),
    "extreme_dry_bulb_c": ("34", ""),
    "extreme_return_years": ("20", ""),
    "extreme_cold_dry_bulb_c": ("-7", ""),
    "extreme_cold_return_years": ("20", ""),
    "roof_level_agl_m": ("16", ""),
    "structure_type": ("rc-slab", ""),
    "roof_use": ("plant", ""),
    "roof_reserve_kpa": ("3", ""),
    "roof_reserve_point_kn": ("3", ""),
    "roof_design_imposed_kpa": ("", ""),
    "roof_existing_plant_kpa": ("", ""),
    "roof_evidence": ("calculation", ""),
    "member_span_m": ("6", ""),
    "member_spacing_m": ("1.5", ""),
    "free_length_m": ("8", ""),
    "free_width_m": ("5.5", ""),
    "landlord_max_kg": ("none", ""),
    "penetrations_allowed": ("yes", ""),
    "load_standard": ("en", ""),
    "electrical_rule": ("iec", ""),
    "feed_spare_ampere": ("40", ""),
    "feed_volt": ("230", ""),
    "feed_phases": ("1", ""),
    "neighbour_distance_m": ("28", ""),
    "neighbour_limit_night_dba": ("40", ""),
}
_WIDTH = 100


def starter(kind: str) -> str:
    """Text of a starter file.

    Parameters
    ----------
    kind : {"sites", "unit", "criteria", "assume"}
        What is to be started.

    Returns
    -------
    text : str
        Lines end with a line feed.

    Raises
    ------
    KeyError
        There is no such kind.
    """
    if kind == "sites":
        return _sites()
    if kind == "criteria":
        return _criteria(load_criteria("full"))
    name = {"unit": "starter_unit.toml", "assume": "starter_assume.toml"}[kind]
    return files("edgecheck.inputs").joinpath(name).read_text(encoding="utf-8")


def _sites() -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(_SITES)
    writer.writerows(zip(*_SITES.values(), strict=True))
    return out.getvalue()


def _criteria(shipped: Criteria) -> str:
    """The shipped set, every value behind a # with its meaning and reason."""
    others = ", ".join(name for name in SHIPPED if name != shipped.name)
    lines = [
        f'# A criteria file: what it does not say is as in the shipped set "{shipped.name}" (also shipped: {others}).',
        "# Give it with: edgecheck screen SITES --criteria THIS_FILE",
        "# Take the # away from the lines that you change, and say why under [reason].",
        "",
        "schema = 1",
    ]
    for table, model in TABLES.items():
        lines += ["", f"[{table}]"]
        for name, field in model.model_fields.items():
            lines += [
                *_comment(str(field.description)),
                *_comment(f"why: {shipped.reasons[f'{table}.{name}']}"),
                f"# {name} = {shipped.values()[f'{table}.{name}']!r}",
            ]
    lines += [
        "",
        f"# {' | '.join(NEEDS)}: what decides, what can be settled on the way, what has no effect",
        "[need]",
    ]
    lines += [f'# "{check}" = "{shipped.need[check]}"' for check in CHECK_IDS]
    first = next(iter(shipped.values()))
    lines += ["", "[reason]", f'# "{first}" = "why this value"', '# need = "why these needs"', ""]
    return "\n".join(lines)


def _comment(text: str) -> list[str]:
    return [f"#   {line}" for line in wrap(text, _WIDTH)]
