"""Criteria: what counts as good enough, and how much each check is needed.

In goes the name of a shipped set or a TOML file that overrides what it names, out come `Criteria`. Every
value has a reason; shipped values keep theirs, a file's own may be given under [reason].
"""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, ValidationError

from edgecheck.base.errors import Fault, InputFaults
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.key_path import did_you_mean
from edgecheck.inputs.quantities import NotNegative, Positive, Record, Share, key
from edgecheck.inputs.stability_criteria import StabilityCriteria
from edgecheck.inputs.toml_source import (
    SourceFile,
    TomlSource,
    model_faults,
    parse_toml,
    read_toml,
    unknown_keys,
)

Need = Literal["required", "confirm", "off"]

SHIPPED = {"full": "criteria_full.toml", "first-pass": "criteria_first_pass.toml"}
SoundLevel = Annotated[float, Field(strict=True, ge=15, le=90)]  # dB(A), as the columns of the limits
WholeHour = Annotated[float, Field(strict=True, ge=0, le=24, multiple_of=1)]
NEEDS: tuple[str, ...] = ("required", "confirm", "off")
_NEED_REASON = "need"


class HeatCriteria(Record):
    """Limits of the heat checks."""

    headroom_min_share: Share = key(
        "least service headroom as a share of the heat to reject, worst hour of the year"
    )
    headroom_caution_share: Share = key("below it the headroom is a caution")
    return_years: float = Field(
        strict=True, gt=1, le=1000, description="return period of the extremes, years"
    )
    extreme_allowance_k: NotNegative = key(
        "beyond the file's maximum and minimum where no extreme is known, K"
    )
    hot_spell_liquid_margin_k: NotNegative = key("the liquid stays this far below alarm in the hot spell, K")
    hot_spell_liquid_caution_k: NotNegative = key("within this much more it is a caution, K")


class OutageCriteria(Record):
    """Limits of the outage checks."""

    ride_through_min_minutes: NotNegative = key(
        "least time to shutdown without cooling, pump running, minutes"
    )
    ride_through_caution_minutes: NotNegative = key("below it a caution, minutes")
    pump_lost_min_minutes: NotNegative = key("least time to shutdown with the pump stopped, minutes")
    pump_lost_caution_minutes: NotNegative = key("below it a caution, minutes")
    power_off_hours: Positive = key("length of the power cut in winter, h")
    restart_max_h: Positive = key("longest time from the return of power to servers on, h")
    site_visit_hours: NotNegative = key("until somebody resets a switch on the roof, h")


class RoofCriteria(Record):
    """Limits of the roof checks."""

    utilisation_caution: Positive = key("above it a roof load is a caution")


class ServicesCriteria(Record):
    """Limits of the services checks."""

    containment_min_share: Positive = key(
        "what holds the liquid back, as a share of its volume at the largest expansion"
    )
    feed_utilisation_caution: Positive = key("above this share of the spare current a feed is a caution")
    starting_dip_max_share: Share = key("greatest dip of the voltage at the unit while it starts, as a share")
    voltage_drop_max_share: Share = key("greatest drop over the cable from board to unit, as a share")
    sound_caution_db: NotNegative = key("within this of a sound limit it is a caution, dB")
    sound_limit_night_dba: SoundLevel = key("at the neighbour by night where the list has no limit, dB(A)")
    sound_limit_evening_dba: SoundLevel = key("in the evening where the list has no limit, dB(A)")
    sound_limit_day_dba: SoundLevel = key("by day where the list has no limit, dB(A)")
    sound_day_begins_h: WholeHour = key("hour of local standard time at which the day begins")
    sound_evening_begins_h: WholeHour = key("hour at which the evening begins; that of the night for none")
    sound_night_begins_h: WholeHour = key("hour at which the night begins, up to 24")


class Criteria(Record):
    """A set of criteria.

    Parameters
    ----------
    name : str
        "full", "first-pass" or the name of the file without folders.
    heat, outage, roof, stability, services : Record
        Limits, named like the keys of the file.
    need : mapping
        Check id -> "required", "confirm" or "off", for every check.
    origin : mapping
        Key ("heat.headroom_min_share", "need.roof.load") -> "shipped" or "file".
    reasons : mapping
        Key -> why that value; for a need, the reason of its set. Empty where a file gives none.
    named_needs : tuple of str
        Check ids that the file names under [need].
    source_files : tuple of SourceFile
        The file; empty for a shipped set.
    """

    model_config = ConfigDict(arbitrary_types_allowed=True)

    name: str
    heat: HeatCriteria
    outage: OutageCriteria
    roof: RoofCriteria
    stability: StabilityCriteria
    services: ServicesCriteria
    need: Mapping[str, Need]
    origin: Mapping[str, Literal["shipped", "file"]]
    reasons: Mapping[str, str]
    named_needs: tuple[str, ...] = ()
    source_files: tuple[SourceFile, ...] = ()

    def values(self) -> dict[str, float]:
        """Every limit under its key, "heat.headroom_min_share" and so on."""
        return {
            f"{table}.{name}": getattr(getattr(self, table), name)
            for table, model in TABLES.items()
            for name in model.model_fields
        }


TABLES: dict[str, type[Record]] = {
    "heat": HeatCriteria,
    "outage": OutageCriteria,
    "roof": RoofCriteria,
    "stability": StabilityCriteria,
    "services": ServicesCriteria,
}
_ORDERED = (
    ("heat", "headroom_min_share", "headroom_caution_share"),
    ("outage", "ride_through_min_minutes", "ride_through_caution_minutes"),
    ("outage", "pump_lost_min_minutes", "pump_lost_caution_minutes"),
    ("services", "sound_day_begins_h", "sound_evening_begins_h"),
    ("services", "sound_evening_begins_h", "sound_night_begins_h"),
)
_ALL_KEYS = tuple(f"{table}.{name}" for table, model in TABLES.items() for name in model.model_fields)


def load_criteria(name_or_path: str | Path = "full") -> Criteria:
    """Read criteria.

    Parameters
    ----------
    name_or_path : str or Path
        "full", "first-pass", or a TOML file; what the file does not name is as in "full".

    Returns
    -------
    criteria : Criteria

    Raises
    ------
    InputFaults
        Carries every fault with line, key, value and what is allowed.
    """
    if isinstance(name_or_path, str) and name_or_path in SHIPPED:
        return _shipped_set(name_or_path)
    path = Path(name_or_path)
    if not path.is_file():
        hint = did_you_mean(str(name_or_path), SHIPPED)
        text = f"there is no such file, and the shipped sets are {' and '.join(SHIPPED)}{hint}"
        raise InputFaults((Fault(path.name, "", "", "", text),))
    own = read_toml(path)
    return _assemble(own.file, [_shipped("full"), own], own=own)


@cache
def _shipped_set(name: str) -> Criteria:
    """A shipped set, read once; the record cannot be changed."""
    full = _shipped("full")
    return _assemble(name, [full] if name == "full" else [full, _shipped(name)], own=None)


def _shipped(name: str) -> TomlSource:
    return parse_toml(SHIPPED[name], files("edgecheck.inputs").joinpath(SHIPPED[name]).read_bytes())


def _assemble(name: str, sources: list[TomlSource], own: TomlSource | None) -> Criteria:
    tables: dict[str, dict[str, Any]] = {table: {} for table in TABLES}
    need: dict[str, str] = {}
    origin: dict[str, str] = {}
    reasons: dict[str, str] = {}
    faults: list[Fault] = []
    for source in sources:
        faults.extend(_source_faults(source))
        given_by = "file" if source is own else "shipped"
        stated = source.document.get("reason", {})
        stated = stated if isinstance(stated, Mapping) else {}
        for table in TABLES:
            for entry, value in _table(source, table).items():
                tables[table][entry] = value
                origin[f"{table}.{entry}"] = given_by
                reasons[f"{table}.{entry}"] = str(stated.get(f"{table}.{entry}", ""))
        for check, wanted in _table(source, "need").items():
            need[check] = wanted
            origin[f"need.{check}"] = given_by
            reasons[f"need.{check}"] = str(stated.get(f"need.{check}", stated.get(_NEED_REASON, "")))
    last = sources[-1]
    records: dict[str, Record] = {}
    for table, model in TABLES.items():
        known = {entry: value for entry, value in tables[table].items() if entry in model.model_fields}
        try:
            records[table] = model.model_validate(known)
        except ValidationError as error:
            faults.extend(last.fault(*finding) for finding in model_faults(error, model, (table,)))
    faults.extend(_order_faults(last, records))
    if faults:
        raise InputFaults(tuple(faults))
    return Criteria.model_validate(
        {
            "name": name,
            **records,
            "need": {check: need[check] for check in CHECK_IDS},
            "origin": origin,
            "reasons": reasons,
            "named_needs": tuple(_table(own, "need")) if own else (),
            "source_files": (SourceFile(own.file, own.sha256),) if own else (),
        }
    )


def _table(source: TomlSource, name: str) -> Mapping[str, Any]:
    table = source.document.get(name, {})
    return table if isinstance(table, Mapping) else {}


def _source_faults(source: TomlSource) -> list[Fault]:
    """Faults of a file other than the range of its values."""
    known = ("schema", *TABLES, "need", "reason")
    faults = unknown_keys(source, (), source.document, known)
    schema = source.document.get("schema", 1)
    if isinstance(schema, bool) or schema != 1:
        faults.append(source.fault(("schema",), schema, "this program reads schema 1"))
    for name in (*TABLES, "need", "reason"):
        value = source.document.get(name, {})
        if not isinstance(value, Mapping):
            faults.append(source.fault((name,), value, f"must be a table, [{name}]"))
    for table, model in TABLES.items():
        faults.extend(unknown_keys(source, (table,), _table(source, table), model.model_fields))
    faults.extend(_need_faults(source))
    reasoned = (_NEED_REASON, *_ALL_KEYS, *(f"need.{check}" for check in CHECK_IDS))
    faults.extend(unknown_keys(source, ("reason",), _table(source, "reason"), reasoned))
    for entry, text in _table(source, "reason").items():
        if not isinstance(text, str):
            faults.append(source.fault(("reason", entry), text, "text in quotes is needed"))
    return faults


def _need_faults(source: TomlSource) -> list[Fault]:
    faults = []
    for check, wanted in _table(source, "need").items():
        if isinstance(wanted, Mapping):
            text = f'a check id is written in quotes, such as "{check}.{next(iter(wanted), "name")}"'
            faults.append(source.fault(("need", check), None, text))
        elif check not in CHECK_IDS:
            text = f"there is no such check{did_you_mean(check, CHECK_IDS)}"
            faults.append(source.fault(("need", check), wanted, text))
        elif wanted not in NEEDS:
            text = f"required, confirm or off is allowed{did_you_mean(str(wanted), NEEDS)}"
            faults.append(source.fault(("need", check), wanted, text))
    return faults


def _order_faults(source: TomlSource, records: Mapping[str, Record]) -> list[Fault]:
    """Find cautions and periods that begin on the wrong side of what comes before them."""
    faults = []
    for table, least, caution in _ORDERED:
        record = records.get(table)
        if record is not None and getattr(record, caution) < getattr(record, least):
            text = f"must be at least {least}, {getattr(record, least):g}"
            faults.append(source.fault((table, caution), getattr(record, caution), text))
    return faults
