"""Environmental class and corrosion, as tables and sentences.

In: the detail of a result. Out: text.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from edgecheck.outputs.number_text import (
    UNKNOWN,
    count,
    fixed,
    is_known,
    quantity,
    readable,
    time_text,
    unit_text,
)
from edgecheck.outputs.views.head import Fact

Row = tuple[str, ...]

_FAMILIES = {"etsi": "ETSI EN 300 019-1-4", "iec": "IEC 60721-3-4, 2nd edition"}
_LOWER_BOUND = ("rate", "wind")


@dataclass(frozen=True)
class ClassView:
    """The section on the environmental class."""

    short: str
    rows: tuple[Row, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class CorrosionView:
    """The section on corrosion."""

    short: str
    facts: tuple[Fact, ...]
    remarks: tuple[str, ...]


def class_view(detail: Mapping[str, Any]) -> ClassView | None:
    """Hours outside the declared class, limit by limit; None where it was not computed."""
    found = (detail.get("environment") or {}).get("class")
    if not found:
        return None
    remarks = [_covering(found.get("covering") or {})]
    rows = tuple(_row(row) for row in found.get("rows") or ())
    if rows:
        remarks += [
            "What the hours cannot show: the class limits the change of temperature as a mean of five minutes and the "
            "wind as it blows; an hour's values are lower bounds of both. Humidity is taken over ice below 0 °C.",
            f"The limits are those of {found['standard']} ({found['edition']}).",
        ]
        memory = [row for row in found["rows"] if row["known"] != "published"]
        if memory:
            remarks.append(
                f"{len(memory)} of {len(rows)} limits are from memory, with the confidence that stands beside them; "
                "compare them with the standard before relying on them."
            )
    return ClassView(_short(found), rows, tuple(remark for remark in remarks if remark))


def _short(found: Mapping[str, Any]) -> str:
    if not found.get("rows"):
        declared = found.get("declared")
        return (
            f"The unit's class, {declared}, is not one that is known here."
            if declared
            else "The unit's file declares no class."
        )
    span = "the design day" if found["of"] == 24 else "the year"
    year = f" ({found['year']}, the worst year of the file)" if found.get("year") else ""
    text = (
        f"The unit is declared for {found['standard']}, class {found['name']} ({found['words']}). "
        f"{count(found['hours'], 'h')} of the {count(found['of'], 'h')} of {span}{year} lie outside it."
    )
    binding = next((row for row in found["rows"] if row["parameter"] == found["binding"]), None)
    if binding is not None:
        text += (
            f" What binds is {binding['label']}: {count(binding['hours'], 'h')}, by up to "
            f"{quantity(binding['by'], unit_text(_unit(binding)), figures=2)}."
        )
    return text


def _covering(covering: Mapping[str, Mapping[str, Any]]) -> str:
    parts = []
    for family, title in _FAMILIES.items():
        one = covering.get(family)
        if one is not None:
            named = f"class {one['name']} ({one['words']})" if one.get("name") else "none"
            parts.append(f"of {title} {named}")
    return f"The mildest class that holds in every hour: {'; '.join(parts)}." if parts else ""


def _unit(row: Mapping[str, Any]) -> str:
    """Unit of a distance from a limit."""
    return "K" if row["unit"] == "degC" else str(row["unit"]).replace("g/m3", "g/m³")


def _row(row: Mapping[str, Any]) -> Row:
    """One limit: what, limit, hours outside, farthest value, by how much, when, how well known."""
    unit = unit_text(str(row["unit"])).replace("g/m3", "g/m³")
    outside = bool(row["hours"])
    bound = ", at least" if row["parameter"] in _LOWER_BOUND else ""
    return (
        str(row["label"]),
        f"{_limit(float(row['limit']))} {unit}",
        count(row["hours"], "h"),
        f"{quantity(row['farthest'], unit)}{bound}",
        quantity(row["by"], _unit(row), figures=2) if outside else "",
        time_text(row["time"]) if outside else "",
        str(row["known"]),
    )


def _limit(value: float) -> str:
    """A limit as standards print it: without needless zeros."""
    decimals = next(places for places in range(4) if places == 3 or round(value, places) == value)
    return fixed(value, decimals)


def corrosion_view(detail: Mapping[str, Any]) -> CorrosionView | None:
    """Category of the air against the coating; None for a design day or where it was not computed."""
    found = (detail.get("environment") or {}).get("corrosion")
    if not found:
        return None
    facts = [
        Fact(
            "Annual means at the site",
            f"{quantity(found['temp_mean_c'], 'degC')}, {quantity(found['humidity_mean_percent'], '%', figures=2)}",
            "relative humidity; all hours of the weather file, warming included",
        ),
        Fact(
            "Time of wetness",
            f"{count(found['wet_hours'], 'h')} a year",
            f"class τ{found['wetness_class']}: hours over 80 % and above 0 °C",
        ),
        _deposition("Sulphur dioxide", found.get("sulphur")),
        _deposition("Chloride", found.get("chloride")),
    ]
    if is_known(found.get("steel_um_a")):
        facts += [
            Fact(
                "Carbon steel, first year",
                f"{quantity(found['steel_um_a'], 'µm')}, {found['steel_category']}",
                "function read in two published implementations",
            ),
            Fact(
                "Zinc, first year",
                f"{quantity(found['zinc_um_a'], 'µm')}, {found['zinc_category']}",
                "function from memory, 98 %",
            ),
        ]
    facts.append(
        Fact("Coating of the unit", str(found.get("coating") or UNKNOWN), "declared by the unit's file")
    )
    return CorrosionView(_verdict(found), tuple(facts), _remarks(found))


def _verdict(found: Mapping[str, Any]) -> str:
    category, coating = found.get("category"), found.get("coating")
    if not category:
        return "The category of the air is not known: nobody has stated what settles on surfaces here."
    against = f"the unit's coating is for {coating}" if coating else "the unit's file names no coating"
    return f"The air is of category {category} (the harsher of carbon steel and zinc); {against}."


def _remarks(found: Mapping[str, Any]) -> tuple[str, ...]:
    lines = []
    if found.get("outside"):
        lines.append(
            f"Outside the range of the function: {'; '.join(found['outside'])}. The rates are extrapolated."
        )
    if found.get("chloride") and not found["chloride"]["stated"]:
        lines.append(
            "Chloride by distance from the sea is a rule of the program, without a source: shores differ tenfold."
        )
    lines.append(
        "ISO 9223:2012, dose-response functions; a rate equal to a bound belongs to the lower category. The functions "
        "scatter, for carbon steel by about a third down and a half up (from memory); gaps, road salt and exhausts are "
        "not in them."
    )
    return tuple(readable(line) for line in lines)


def _deposition(name: str, found: Mapping[str, Any] | None) -> Fact:
    label = f"{name} deposition"
    if not found:
        return Fact(label, UNKNOWN, "")
    return Fact(label, f"{quantity(found['mg_m2_d'])} mg/m² a day", str(found["source"]))
