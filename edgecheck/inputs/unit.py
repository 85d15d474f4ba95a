"""Reading a unit file.

In goes a TOML file as its maker's data sheet would describe the unit, out comes a `Unit`: every key as in
the file, defaults recorded with their reasons. Every fault of the file is found before any is reported.
"""

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.base.notes import Note
from edgecheck.inputs.based_on import Merged, read_merged
from edgecheck.inputs.cooling import KINDS, Chiller, ChillerWithEconomiser, DryCooler
from edgecheck.inputs.key_path import KeyPath, did_you_mean
from edgecheck.inputs.liquid_rules import bath_rules, property_rules, value_rules
from edgecheck.inputs.quantities import Record, reason_of
from edgecheck.inputs.toml_source import SourceFile, model_faults
from edgecheck.inputs.unit_liquid import head_space, liquid_in, unknown_family
from edgecheck.inputs.unit_records import (
    REQUIRED_TABLES,
    TABLES,
    Body,
    DefaultUsed,
    Liquid,
    LiquidProperties,
    Mass,
    Servers,
    Unit,
)
from edgecheck.inputs.unit_rules import Finding, cooling_rules, liquid_rules, mass_rules, server_rules

__all__ = ["Chiller", "ChillerWithEconomiser", "DryCooler", "Unit", "load_unit"]

_PLAIN_KEYS = ("schema", "name", "based_on")
ECONOMISER = "chiller-with-economiser"
RESTART_ABOVE_SETPOINT_K = 5.0
SERVICE_BELOW_ALARM_K = 5.0
DRAINED_RISE_SHARE = 0.20


def load_unit(path: str | Path) -> Unit:
    """Read a unit file.

    Parameters
    ----------
    path : str or Path
        TOML file; `based_on` names a file beside it whose keys hold where this one has none.

    Returns
    -------
    unit : Unit
        Attributes are named like the keys: `unit.cooling.capacity_kw`.

    Raises
    ------
    InputFaults
        Carries every fault with file, line, key, value and what is allowed: keys that are unknown, missing,
        out of range or not used by the kind of cooling section; a ragged or implausible rating table;
        temperatures out of order.
    """
    merged = read_merged(Path(path))
    document, defaults, notes = _with_worked_out_defaults(merged)
    faults = _top_faults(merged, document)
    tables: dict[str, Record] = {}
    for name, model in _models(document).items():
        table = document.get(name)
        if not isinstance(table, Mapping):
            continue
        try:
            tables[name] = model.model_validate(table)
        except ValidationError as error:
            found = model_faults(error, model, (name,))
            faults.extend(merged.fault(*_as_own(name, table, finding)) for finding in found)
    faults.extend(merged.fault(*finding) for finding in _rule_findings(tables))
    if faults:
        raise InputFaults(tuple(dict.fromkeys(faults)))
    given = {**document, **tables}
    unit = Unit.model_validate(
        {
            **given,
            "source_files": tuple(SourceFile(source.file, source.sha256) for source in merged.sources),
            "defaults_used": (*defaults, *_defaults(tables)),
        }
    )
    return unit.model_copy(update={"notes": (*notes, *_notes_on(unit))})


def _notes_on(unit: Unit) -> Iterable[Note]:
    """Notes on the unit as a whole."""
    liquid = liquid_in(unit.liquid)
    room = head_space(unit, liquid).note() if liquid is not None else None
    if room is not None:
        yield room
    fit = getattr(unit.cooling, "fit", None)
    if fit is not None:
        text = (
            f"the rating table was fitted to {fit.points} points of {fit.points_file}: capacity differs from them by "
            f"{fit.capacity_rms_share:.1%} (at most {fit.capacity_worst_share:.1%}), power by "
            f"{fit.power_rms_share:.1%} (at most {fit.power_worst_share:.1%})"
        )
        yield Note("unit-table-fitted", "info", text, fit.points, fit.capacity_worst_share)


def _models(document: Mapping[str, Any]) -> dict[str, type[Record]]:
    models = dict(TABLES)
    cooling = document.get("cooling")
    kind = cooling.get("kind") if isinstance(cooling, Mapping) else None
    if isinstance(kind, str) and kind in KINDS:
        models["cooling"] = KINDS[kind]
    return models


def _top_faults(merged: Merged, document: Mapping[str, Any]) -> list[Fault]:
    known = (*_PLAIN_KEYS, *TABLES, "cooling")
    faults = [
        merged.fault((key,), value, f"unknown key{did_you_mean(key, known)}")
        for key, value in document.items()
        if key not in known
    ]
    faults.extend(
        merged.fault((name,), None, "the table is missing")
        for name in REQUIRED_TABLES
        if name not in document
    )
    faults.extend(
        merged.fault((name,), document[name], f"must be a table, [{name}]")
        for name in (*TABLES, "cooling")
        if name in document and not isinstance(document[name], Mapping)
    )
    if not isinstance(document.get("name"), str) or not document["name"].strip():
        faults.append(merged.fault(("name",), document.get("name"), "the unit needs a name, text in quotes"))
    schema = document.get("schema", 1)
    if isinstance(schema, bool) or schema != 1:
        faults.append(merged.fault(("schema",), schema, "this program reads schema 1"))
    cooling = document.get("cooling")
    kind = cooling.get("kind") if isinstance(cooling, Mapping) else None
    if isinstance(cooling, Mapping) and not (isinstance(kind, str) and kind in KINDS):
        hint = did_you_mean(kind, KINDS) if isinstance(kind, str) else ""
        missing = "is missing; " if kind is None else ""
        faults.append(merged.fault(("cooling", "kind"), kind, f"{missing}{_words(KINDS)} is allowed{hint}"))
    return faults


def _words(words: Iterable[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} or {last}"


def _as_own(name: str, table: Mapping[str, Any], finding: Finding) -> Finding:
    """Say of an unknown key of [cooling] which kind it belongs to."""
    path, value, text = finding
    if name == "cooling" and text.startswith("unknown key"):
        kinds = [kind for kind, model in KINDS.items() if path[-1] in model.model_fields]
        if kinds:
            kind = table["kind"]
            return (
                path,
                value,
                f"a {kind} does not use this key; it belongs to {_words(kinds) if kinds[1:] else kinds[0]}",
            )
    return finding


def _rule_findings(tables: Mapping[str, Record]) -> Iterable[Finding]:
    liquid, servers, mass, body = (tables.get(name) for name in ("liquid", "servers", "mass", "body"))
    if isinstance(liquid, Liquid):
        yield from liquid_rules(liquid)
        own = liquid.properties
        inconsistent = () if own is None else (*property_rules(own), *value_rules(own))
        yield from inconsistent
        made = None if inconsistent else liquid_in(liquid)
        if made is not None:
            yield from bath_rules(liquid, made)
        elif own is None:
            yield ("liquid", "family"), liquid.family, unknown_family(liquid.family)
    if isinstance(servers, Servers):
        yield from server_rules(servers)
    if isinstance(mass, Mass) and isinstance(body, Body):
        yield from mass_rules(mass, body)
    cooling = tables.get("cooling")
    if isinstance(cooling, Chiller | ChillerWithEconomiser | DryCooler):
        yield from cooling_rules(cooling)


def _with_worked_out_defaults(merged: Merged) -> tuple[dict[str, Any], list[DefaultUsed], list[Note]]:
    """Fill in the defaults that follow from other keys; with the record of them and notes."""
    document = {
        key: dict(value) if isinstance(value, Mapping) else value for key, value in merged.document.items()
    }
    used: list[DefaultUsed] = []
    notes: list[Note] = []
    _service_max(document, used, notes)
    _put(
        document,
        used,
        ("liquid", "restart_c"),
        lambda liquid: liquid["setpoint_c"] + RESTART_ABOVE_SETPOINT_K,
        f"engineering default: setpoint + {RESTART_ABOVE_SETPOINT_K:g} K",
    )
    if isinstance(document.get("cooling"), Mapping) and document["cooling"].get("kind") == ECONOMISER:
        _put(
            document,
            used,
            ("cooling", "coil_air_min_c"),
            lambda cooling: cooling["inlet_air_min_c"],
            "engineering default: the chiller's own limit, inlet_air_min_c, until the maker states the coil's",
        )
    body = document.get("body")
    if isinstance(body, Mapping) and _is_number(body.get("height_m")):
        rise = DRAINED_RISE_SHARE * body["height_m"]
        _put(
            document,
            used,
            ("mass", "centre_of_gravity_drained_m"),
            lambda mass: [*mass["centre_of_gravity_m"][:2], mass["centre_of_gravity_m"][2] + rise],
            "engineering default: the operating centre of gravity, raised by 20 % of the height "
            "without the liquid",
        )
    return document, used, notes


def _service_max(document: dict[str, Any], used: list[DefaultUsed], notes: list[Note]) -> None:
    cooling = document.get("cooling")
    kind = cooling.get("kind") if isinstance(cooling, Mapping) else None
    if kind == "chiller":
        rule = "the setpoint, because a chiller holds it"
        added = _put(document, used, ("liquid", "service_max_c"), lambda liquid: liquid["setpoint_c"], rule)
    else:
        rule = f"alarm - {SERVICE_BELOW_ALARM_K:g} K (engineering default)"
        added = _put(
            document,
            used,
            ("liquid", "service_max_c"),
            lambda liquid: liquid["alarm_c"] - SERVICE_BELOW_ALARM_K,
            rule,
        )
    if added is not None:
        text = (
            "the unit file gives no service_max_c, the highest liquid temperature allowed in "
            "continuous service; "
            f"{added:g} degC is used: {rule}"
        )
        notes.append(Note("unit-service-max", "info", text))


def _put(
    document: dict[str, Any],
    used: list[DefaultUsed],
    path: tuple[str, str],
    work_out: Callable[[Mapping[str, Any]], Any],
    reason: str,
) -> Any:
    """Fill a missing key from others of its table; leave it missing where those are missing or wrong."""
    name, key = path
    table = document.get(name)
    if not isinstance(table, dict) or key in table:
        return None
    try:
        value = work_out(table)
    except (KeyError, TypeError, IndexError):
        return None
    table[key] = value
    used.append(DefaultUsed(f"{name}.{key}", tuple(value) if isinstance(value, list) else value, reason))
    return value


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _defaults(tables: Mapping[str, Record]) -> tuple[DefaultUsed, ...]:
    used: list[DefaultUsed] = []
    for name, record in tables.items():
        used.extend(_record_defaults((name,), record))
        if isinstance(record, Liquid) and isinstance(record.properties, LiquidProperties):
            used.extend(_record_defaults((name, "properties"), record.properties))
    return tuple(used)


def _record_defaults(path: KeyPath, record: Record) -> list[DefaultUsed]:
    model = type(record)
    prefix = ".".join(str(part) for part in path)
    return [
        DefaultUsed(f"{prefix}.{name}", getattr(record, name), reason_of(model, name))
        for name in model.model_fields
        if name not in record.model_fields_set and reason_of(model, name) and _applies(name, record)
    ]


_ONLY_VARIABLE_SPEED = ("part_load_offset", "capacity_min_share", "fan_control")
_ONLY_SEVERAL = ("section_duty",)
_SINGLE_VALUES = ("density_kg_m3", "heat_capacity_j_kg_k", "conductivity_w_m_k")
_ONLY_DC = ("dc_min_volt", "dc_efficiency")


def _applies(name: str, record: Record) -> bool:
    """Whether a default is of any consequence for this unit."""
    if name in _ONLY_VARIABLE_SPEED:
        return getattr(record, "part_load", "") == "variable-speed"
    if name in _ONLY_SEVERAL:
        return getattr(record, "sections", 1) > 1
    if name == "reference_c":
        return any(isinstance(getattr(record, key, None), float) for key in _SINGLE_VALUES)
    if name in _ONLY_DC:
        return getattr(record, "servers_input", "ac") == "dc48"
    if name == "still_air_share":
        return not getattr(record, "coil_bypass", False)
    return True
