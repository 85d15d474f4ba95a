"""One site's result: everything that pages and tables show."""

import copy
import math
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from typing import TYPE_CHECKING, Any, Literal, Self

from edgecheck.base.notes import Note
from edgecheck.checks.lazy import Lazy
from edgecheck.checks.model import BETWEEN, CheckResult

if TYPE_CHECKING:
    import xarray as xr

    from edgecheck.checks.on_demand import OnDemand

Verdict = Literal["go", "conditional", "undecided", "no-go", "unusable"]
SCHEMA = 1
# Raised whenever a number, verdict or text of a result changes: a run that is resumed then computes it again.
RESULTS_VERSION = 2

ENDLESS = "infinite"
# What only a report shows; site.json has it, a stored result does without.
_OF_REPORTS = frozenset(
    (
        "roof", "stability", "feed", "sound", "containment", "clearance", "vibration", "failures", "environment",
        "sections", "free_cooling", "monthly", "ten_worst", "front_azimuth_deg", "not_checked", "hashes", "versions",
    )
)  # fmt: skip
# Of these subjects a stored result keeps only what lists show and what tells one run from another.
_STORED_OF = {
    "unit": ("name",),
    "weather": ("file", "place", "sha256", "synthetic", "distance_km", "cycle"),
    "energy": ("it_kwh", "input_kwh", "partial_pue", "cost", "carbon_kg"),
}
# What goes without saying of an input in a stored result.
_LISTED = {"origin": "list", "reason": "", "used": True}


def plain(value: Any) -> Any:
    """JSON-ready copy: numpy scalars become numbers, values that are not finite become null or "infinite"."""
    kind = type(value)
    if kind is str or kind is int or kind is bool or value is None:
        return value
    if kind is float:
        return value if math.isfinite(value) else ENDLESS if value > 0 else None
    if kind is dict or isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if hasattr(value, "tolist") and not isinstance(value, str):
        return plain(value.tolist())
    return value


def without_usual(entry: Mapping[str, Any], usual: Mapping[str, Any]) -> dict[str, Any]:
    """Plain copy of an entry without what goes without saying."""
    return {
        key: value if type(value) is str else plain(value)
        for key, value in entry.items()
        if key not in usual or (value != usual[key] and plain(value) != usual[key])
    }


def stored_check(result: CheckResult) -> dict[str, Any]:
    """Plain record of a check's outcome without what `CheckResult` has by default."""
    kept: dict[str, Any] = {"id": result.id, "status": result.status}
    numbers = (result.demand, result.limit, result.spare, result.utilisation)
    for key, number in zip(("demand", "limit", "spare", "utilisation"), numbers, strict=True):
        if number is not None and (value := plain(number)) is not None:
            kept[key] = value
    if result.governed_by:
        kept["governed_by"] = result.governed_by
    if result.missing:
        kept["missing"] = list(result.missing)
    if result.assumed:
        kept["assumed"] = list(result.assumed)
    if result.note:
        kept["note"] = result.note
    if result.conditions:
        kept["condition"] = BETWEEN.join(result.conditions)
    return kept


@dataclass(frozen=True)
class WorstHour:
    """A worst hour with everything its worked example needs; heat in W, temperatures in degC.

    `values` holds SI numbers under the names of variables.toml plus the steps of the inlet air
    (`station_temp_air`, `elevation_shift`, `warming_shift`, `spell_shift`, `roof_mixing_rise`,
    `recirculation_rise`, `derate_rise`).
    """

    title: str
    spell: str
    time: str
    binding: str
    values: Mapping[str, float | None]

    def to_dict(self) -> dict[str, Any]:
        """Plain record for JSON."""
        return {
            "title": self.title,
            "spell": self.spell,
            "time": self.time,
            "binding": self.binding,
            "values": plain(self.values),
        }


@dataclass(frozen=True)
class Result:
    """What came out for one site.

    Parameters
    ----------
    site_id, name : str
        As in the list.
    row : int
        Line of the list the site stands on.
    verdict : Verdict
        Of the site.
    groups : mapping
        Verdict of each group: a verdict, "not covered", "off" or "not applicable".
    governing_check, reason : str
        The check that decides, and one sentence.
    checks : tuple of CheckResult
        In the order of the declarations.
    conditions, to_survey : tuple of str
        What must be done or confirmed; what must be found out.
    asks : mapping
        What the roof must offer: mass [kg], area [m2], kPa, kN a foot, A ... under names with units.
    figures : mapping
        Columns of verdicts.csv that follow the reason.
    worst_hours : tuple of WorstHour
        The worst hour of year and spells, then one a binding limit.
    inputs : mapping
        Site-list values as read, defaults and assumptions as used (key, value, origin, reason).
    detail : mapping
        Further tables for pages: mass lines, reactions, extremes, weather facts.
    notes : tuple of Note
        Everything that affects trust.
    faults : tuple of str
        Why the row is unusable; empty otherwise.
    hourly, hot_spell, cold_spell, outage : xarray.Dataset, optional
        Hourly data in SI under the bare names of variables.toml.
    on_demand : OnDemand, optional
        Works out what only a report shows.

    Notes
    -----
    The worst hours, the hourly data and sections of `detail` may be given as `Later`: they are made at the first look.
    """

    site_id: str
    name: str
    row: int
    verdict: Verdict
    groups: Mapping[str, str] = field(default_factory=dict)
    governing_check: str = ""
    reason: str = ""
    checks: tuple[CheckResult, ...] = ()
    conditions: tuple[str, ...] = ()
    to_survey: tuple[str, ...] = ()
    asks: Mapping[str, Any] = field(default_factory=dict)
    figures: Mapping[str, Any] = field(default_factory=dict)
    worst_hours: Lazy[tuple[WorstHour, ...]] = Lazy(())
    inputs: tuple[Mapping[str, Any], ...] = ()
    detail: Mapping[str, Any] = field(default_factory=dict)
    notes: tuple[Note, ...] = ()
    faults: tuple[str, ...] = ()
    hourly: Lazy["xr.Dataset | None"] = Lazy(None)
    hot_spell: Lazy["xr.Dataset | None"] = Lazy(None)
    cold_spell: Lazy["xr.Dataset | None"] = Lazy(None)
    outage: Lazy["xr.Dataset | None"] = Lazy(None)
    on_demand: "OnDemand | None" = None

    @property
    def is_type(self) -> bool:
        """Whether it qualifies the type of a unit against a design day, and judges no place."""
        return bool((self.detail.get("weather") or {}).get("cycle"))

    def changed(self, **fields: Any) -> "Result":
        """The same result with other fields; what is not made yet stays so, which `dataclasses.replace` would make."""
        other = copy.copy(self)
        for name, value in fields.items():
            object.__setattr__(other, name, value)
        return other

    def listed(self) -> "Result":
        """The result as lists keep it: without hourly data, worst hours and the sections behind a report."""
        return self.changed(
            detail={key: self.detail[key] for key in self.detail if key not in _OF_REPORTS},
            worst_hours=(),
            hourly=None,
            hot_spell=None,
            cold_spell=None,
            outage=None,
            on_demand=None,
        )

    def to_dict(self) -> dict[str, Any]:
        """Plain record, schema 1, without hourly data; unknown numbers are null."""
        return self._record(
            checks=[plain(check.to_dict()) for check in self.checks],
            worst_hours=[hour.to_dict() for hour in self.worst_hours],
            inputs=[plain(entry) for entry in self.inputs],
            detail=plain(self.detail),
            notes=[plain(note.to_dict()) for note in self.notes],
        )

    def _record(
        self,
        *,
        checks: list[dict[str, Any]],
        worst_hours: list[dict[str, Any]],
        inputs: list[dict[str, Any]],
        detail: dict[str, Any],
        notes: list[dict[str, Any]],
    ) -> dict[str, Any]:
        """Subjects of a record in their order."""
        return {
            "schema": SCHEMA,
            "site_id": self.site_id,
            "name": self.name,
            "row": self.row,
            "verdict": self.verdict,
            "groups": dict(self.groups),
            "governing_check": self.governing_check,
            "reason": self.reason,
            "checks": checks,
            "conditions": list(self.conditions),
            "to_survey": list(self.to_survey),
            "asks": plain(self.asks),
            "figures": plain(self.figures),
            "worst_hours": worst_hours,
            "inputs": inputs,
            "detail": detail,
            "notes": notes,
            "faults": list(self.faults),
        }

    def to_stored(self) -> dict[str, Any]:
        """The record that a run keeps of every site: `to_dict` without what only a report shows.

        Left out: the worked worst hours, the tables of `detail` for pages, and every value that its class has
        by default. `from_dict` reads both.
        """
        kept = self._record(
            checks=[stored_check(check) for check in self.checks],
            worst_hours=[],
            inputs=[without_usual(entry, _LISTED) for entry in self.inputs],
            detail={
                key: plain(_stored(key, self.detail[key])) for key in self.detail if key not in _OF_REPORTS
            },
            notes=[without_usual(note.to_dict(), _NOTE_DEFAULTS) for note in self.notes],
        )
        return {key: value for key, value in kept.items() if value not in ({}, [], "")}

    @classmethod
    def from_dict(cls, record: Mapping[str, Any]) -> Self:
        """Result of a record of `to_dict` or `to_stored`, without hourly data.

        Parameters
        ----------
        record : mapping
            As read from JSON; keys that a later version has added are passed over.

        Returns
        -------
        Result

        Raises
        ------
        KeyError, TypeError
            If it is no such record.
        """
        return cls(
            site_id=record.get("site_id", ""),
            name=record.get("name", ""),
            row=record["row"],
            verdict=record["verdict"],
            groups=record.get("groups", {}),
            governing_check=record.get("governing_check", ""),
            reason=record.get("reason", ""),
            checks=tuple(_check(entry) for entry in record.get("checks", ())),
            conditions=tuple(record.get("conditions", ())),
            to_survey=tuple(record.get("to_survey", ())),
            asks=_numbers(record.get("asks", {})),
            figures=_numbers(record.get("figures", {})),
            worst_hours=tuple(_worst_hour(entry) for entry in record.get("worst_hours", ())),
            inputs=tuple(_INPUT | entry for entry in record.get("inputs", ())),
            detail=record.get("detail", {}),
            notes=tuple(_note(entry) for entry in record.get("notes", ())),
            faults=tuple(record.get("faults", ())),
        )


def _stored(subject: str, section: Any) -> Any:
    """What a stored result keeps of a section of `detail`."""
    names = _STORED_OF.get(subject)
    return section if names is None else {name: section[name] for name in names if name in section}


_NOTE_DEFAULTS = {one.name: plain(one.default) for one in fields(Note) if one.default is not MISSING}


# An input with what goes without saying, in the order of `to_dict`.
_INPUT = {"key": "", "value": None, **_LISTED}


def _check(entry: Mapping[str, Any]) -> CheckResult:
    get = entry.get
    asked = get("condition", "")
    return CheckResult(
        entry["id"],
        entry["status"],
        _number(get("demand")),
        _number(get("limit")),
        _number(get("spare")),
        _number(get("utilisation")),
        get("governed_by", ""),
        tuple(get("missing", ())),
        tuple(get("assumed", ())),
        get("note", ""),
        tuple(asked.split(BETWEEN)) if asked else (),
    )


def _note(entry: Mapping[str, Any]) -> Note:
    get = entry.get
    return Note(entry["code"], entry["level"], entry["text"], get("count"), _number(get("worst")))


def _worst_hour(entry: Mapping[str, Any]) -> WorstHour:
    return WorstHour(
        entry["title"], entry["spell"], entry["time"], entry["binding"], _numbers(entry["values"])
    )


def _number(value: Any) -> Any:
    """Undo what `plain` does to a number without an end."""
    return math.inf if value == ENDLESS else value


def _numbers(values: Mapping[str, Any]) -> dict[str, Any]:
    return {key: math.inf if value == ENDLESS else value for key, value in values.items()}
