"""What a result rests on: weather, inputs as read, defaults and assumptions, notes, files, versions."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from edgecheck.base.notes import Note
from edgecheck.checks.result import Result
from edgecheck.outputs.number_text import UNKNOWN, cell, count, is_known, quantity, readable, step
from edgecheck.outputs.views.design_day import cycle_facts
from edgecheck.outputs.views.head import Fact

_ORIGINS = {"list": "site list", "default": "default", "unit": "unit file", "station": "weather station"}

CAUTIONS = (
    "This is a screening calculation, not a design. It sorts roofs and prepares a survey; it does not replace one.",
    "Structure, anchors and wind actions: a licensed structural engineer, under the local building code.",
    "Feed, protection and earthing: a licensed electrician or electrical engineer, under the local electrical code.",
    "Fire protection, and storage of dielectric liquid: the fire authority and the building's insurer.",
    "Refrigerant work: certified refrigeration technicians, under the local refrigerant rules.",
    "Lifting and transport onto the roof: a licensed crane or rigging contractor.",
    "Where a local code or the authority having jurisdiction asks for something else, that holds.",
)


@dataclass(frozen=True)
class InputRow:
    """One value as read or as set for an empty cell."""

    key: str
    value: str
    origin: str
    is_own: bool
    reason: str


@dataclass(frozen=True)
class AssumedRow:
    """A value that somebody assumed for an empty cell: who, and why."""

    key: str
    value: str
    by: str
    why: str


@dataclass(frozen=True)
class NoteRow:
    """One note."""

    level: str
    text: str


@dataclass(frozen=True)
class Grounds:
    """Everything a result rests on."""

    weather: tuple[Fact, ...]
    synthetic: bool
    inputs: tuple[InputRow, ...]
    assumed: tuple[AssumedRow, ...]
    defaults: int
    notes: tuple[NoteRow, ...]
    files: tuple[Fact, ...]
    versions: tuple[Fact, ...]
    not_checked: tuple[str, ...]
    cautions: tuple[str, ...]
    front: str


def grounds(result: Result) -> Grounds:
    """What a result rests on, as text."""
    detail = result.detail
    weather = detail.get("weather") or {}
    inputs = tuple(_input(entry) for entry in result.inputs)
    hashes = {"weather": weather["sha256"]} if weather.get("sha256") else {}
    hashes.update(detail.get("hashes") or {})
    return Grounds(
        weather=cycle_facts(detail) or _weather(weather),
        synthetic=bool(weather.get("synthetic")),
        inputs=inputs,
        assumed=tuple(_assumed(entry) for entry in result.inputs if entry.get("origin") == "assumed"),
        defaults=sum(not row.is_own and row.origin != "assumed" for row in inputs),
        notes=tuple(_note(note) for note in sorted(result.notes, key=lambda note: note.level != "caution")),
        files=tuple(
            Fact(str(name).capitalize(), str(value) if value else UNKNOWN) for name, value in hashes.items()
        ),
        versions=tuple(Fact(str(name), str(value)) for name, value in (detail.get("versions") or {}).items()),
        not_checked=tuple(str(text) for text in detail.get("not_checked") or ()),
        cautions=CAUTIONS,
        front=_front(detail.get("front_azimuth_deg")),
    )


def _note(note: Note) -> NoteRow:
    """A note with its count where the text does not say it."""
    return NoteRow(note.level, readable(note.text))


def _value(value: Any) -> str:
    """A value as the list writes it."""
    if isinstance(value, list | tuple) and all(isinstance(pair, list | tuple) for pair in value):
        value = " ".join(":".join(cell(part) for part in pair) for pair in value)
    return cell(value) or UNKNOWN


def _assumed(entry: Mapping[str, Any]) -> AssumedRow:
    """An assumed value with who stands for it."""
    by, why = (str(entry.get(name) or UNKNOWN) for name in ("by", "why"))
    return AssumedRow(str(entry["key"]), _value(entry.get("value")), by, why)


def _input(entry: Mapping[str, Any]) -> InputRow:
    """One input row; a value that no check uses yet says so."""
    text = _value(entry.get("value"))
    origin = str(entry.get("origin", ""))
    reason = str(entry.get("reason") or "")
    if entry.get("used") is False:
        reason = f"not used yet; {reason}" if reason else "not used yet"
    return InputRow(str(entry["key"]), text, _ORIGINS.get(origin, origin), origin in ("list", "unit"), reason)


def _weather(weather: Mapping[str, Any]) -> tuple[Fact, ...]:
    """Facts of the weather file."""
    if not weather:
        return ()
    facts = [
        Fact("File", str(weather.get("file") or UNKNOWN), str(weather.get("format") or "")),
        Fact("Station", str(weather.get("place") or UNKNOWN), _position(weather)),
        Fact("Distance from the site", quantity(weather.get("distance_km"), "km")),
        Fact(
            "Sun taken after the start of each hour",
            count(weather.get("sun_offset_min"), "min"),
            f"mean closure of the three irradiance components {quantity(weather.get('closure_w_m2'), 'W/m2')}",
        ),
        Fact("Hours filled", _filled(weather.get("filled"))),
        Fact("Years of the file", _years(weather.get("source_years"))),
    ]
    return tuple(facts)


def _position(weather: Mapping[str, Any]) -> str:
    """Coordinates and elevation of the station."""
    if not is_known(weather.get("latitude_deg")) or not is_known(weather.get("longitude_deg")):
        return ""
    height = step(weather.get("elevation_m"), "m", decimals=0)
    place = f"latitude {weather['latitude_deg']:g}°, longitude {weather['longitude_deg']:g}°"
    return f"{readable(place)}, {height} above sea level"


def _filled(filled: Any) -> str:
    """How many hours of which variable were filled."""
    if filled is None:
        return UNKNOWN
    if isinstance(filled, Mapping):
        parts = [f"{name} {count(number, 'h')}" for name, number in filled.items() if number]
        return ", ".join(parts) or "none"
    return str(filled)


def _years(years: Any) -> str:
    """Source years, shortened."""
    if not years:
        return UNKNOWN
    if isinstance(years, str | int):
        return str(years)
    distinct = sorted({int(value) for value in years})
    if len(distinct) > 4:
        return f"{distinct[0]} to {distinct[-1]}, months from {len(distinct)} different years"
    return ", ".join(str(value) for value in distinct)


def _front(front: Any) -> str:
    """Which way the front faces, and why that was taken."""
    if not front:
        return ""
    if isinstance(front, Mapping):
        why = f" ({front['why']})" if front.get("why") else ""
        return f"Front faces {quantity(front.get('value'), '°', figures=4)}{why}."
    return f"Front faces {quantity(front, '°', figures=4)}."
