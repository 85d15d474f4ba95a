"""The columns of the list page: heading, unit and digits of each, and what one site has in it.

Our columns are those of verdicts.csv with the digits of verdicts.xlsx, so that page, table and workbook show the
same numbers. The planner's own columns stand beside them as written.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from edgecheck.checks.model import GROUPS
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS
from edgecheck.outputs.number_text import UNKNOWN, fixed, unit_text
from edgecheck.outputs.result_columns import RESULT_COLUMNS
from edgecheck.outputs.words import GROUP_TITLES

Kind = Literal["number", "verdict", "text", "list"]

TITLES = {
    **GROUP_TITLES,
    "governing_check": "deciding check",
    "to_survey": "to survey",
    "headroom_share": "headroom",
    "headroom_kw": "headroom as power",
    "worst_time": "worst hour",
    "liquid_peak_c": "liquid peak",
    "ride_through_minutes": "to shutdown, pump running",
    "pump_lost_minutes": "to shutdown, pump stopped",
    "max_it_load_kw": "largest IT load",
    "asks_mass_kg": "asks: mass",
    "asks_area_m2": "asks: free area",
    "asks_kpa": "asks: pressure",
    "asks_point_kn": "asks: one foot",
    "asks_ampere": "asks: current",
    "sound_dba": "sound at the neighbour",
    "weather_file": "weather file",
    "weather_distance_km": "to the station",
    "defaults_used": "defaults used",
}
_LISTS = ("conditions", "to_survey", "defaults_used", "assumed")
_SHOWN = ("rank", "verdict", "reason", "headroom_share", "max_it_load_kw")
_ON_A_PHONE = ("verdict", "reason")


@dataclass(frozen=True)
class PageColumn:
    """One column.

    Parameters
    ----------
    key : str
        Heading in verdicts.csv.
    title : str
        Heading on the page.
    kind : {"number", "verdict", "text", "list"}
        How it is shown and sorted.
    meaning : str
        What stands in it; empty for an own column.
    unit : str
        Unit printed after a number.
    decimals : int
        Digits after the point.
    factor : float
        Printed number of one unit of verdicts.csv (100 for a share shown in per cent).
    shown, on_a_phone : bool
        Whether it is shown from the start, and also where there is little room.
    own : bool
        Whether it is the planner's.
    """

    key: str
    title: str
    kind: Kind
    meaning: str = ""
    unit: str = ""
    decimals: int = 0
    factor: float = 1.0
    shown: bool = False
    on_a_phone: bool = False
    own: bool = False

    def to_dict(self) -> dict[str, Any]:
        """What the page's program reads."""
        return {
            "key": self.key,
            "title": self.title,
            "kind": self.kind,
            "meaning": self.meaning,
            "unit": self.unit,
            "decimals": self.decimals,
            "shown": self.shown,
            "phone": self.on_a_phone,
        }


def our_columns() -> tuple[PageColumn, ...]:
    """All our columns but the folder, in the order of verdicts.csv; verdict and reason right after the rank."""
    first = ("rank", "verdict", "reason")
    rest = (name for name in VERDICT_COLUMNS if name not in (*first, "folder"))
    return tuple(_column(name) for name in (*first, *rest))


def own_column(heading: str) -> PageColumn:
    """A column of the planner's own, under the heading it has in verdicts.csv."""
    return PageColumn(heading, heading, "text", own=True)


def _column(name: str) -> PageColumn:
    known = RESULT_COLUMNS[name]
    number = known.number_format != "General"
    per_cent = known.number_format.endswith("%")
    digits = known.number_format.rstrip("%").partition(".")[2]
    kind: Kind = "number" if number else "text"
    if name == "verdict" or name in GROUPS:
        kind = "verdict"
    elif name in _LISTS:
        kind = "list"
    return PageColumn(
        key=name,
        title=TITLES.get(name, name),
        kind=kind,
        meaning=known.meaning,
        unit="%" if per_cent else unit_text(known.unit),
        decimals=len(digits),
        factor=100.0 if per_cent else 1.0,
        shown=name in _SHOWN,
        on_a_phone=name in _ON_A_PHONE,
    )


def printed_number(value: Any, column: PageColumn) -> float | str | None:
    """The number with the digits that the page prints; "inf" without an end, None where unknown."""
    if value is None or isinstance(value, str):
        return None
    number = float(value) * column.factor
    if math.isnan(number):
        return None
    if math.isinf(number):
        return "inf" if number > 0 else "-inf"
    rounded = round(float(f"{number:.9g}"), column.decimals) + 0.0
    return int(rounded) if column.decimals == 0 else rounded


def number_words(number: float | str | None, column: PageColumn) -> str:
    """A printed number with its unit, in words where it is none."""
    if number is None:
        return UNKNOWN
    if isinstance(number, str):
        return "unlimited"
    return f"{fixed(number, column.decimals)} {column.unit}".strip()


def list_words(entries: Sequence[str]) -> str:
    """Entries in a row, as in verdicts.csv."""
    return "; ".join(entries) or "none"
