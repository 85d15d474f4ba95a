"""A design day: what the type qualification rests on, and its 24 hours, as text."""

from collections.abc import Mapping
from typing import Any

from edgecheck.checks.result import Result
from edgecheck.outputs.number_text import degrees, is_known, quantity, step, time_text
from edgecheck.outputs.views.head import Fact
from edgecheck.outputs.words import binding_words

Row = tuple[str, ...]

COLUMNS = (
    "hour begins",
    "outdoor air",
    "into the cooling section",
    "heat to reject",
    "capacity",
    "service headroom",
    "liquid at its end",
    "open limit",
)


def cycle_of(detail: Mapping[str, Any]) -> Mapping[str, Any] | None:
    """Record of the design day behind a result; None for any other weather."""
    found = (detail.get("weather") or {}).get("cycle")
    return found or None


def qualification_text(detail: Mapping[str, Any]) -> str:
    """Sentence for the top of a page; empty for a place."""
    cycle = cycle_of(detail)
    if cycle is None:
        return ""
    return (
        f"Type qualification against the design day {cycle['title']}. It says what the unit can do, and nothing about "
        "any place, roof or feed."
    )


def cycle_facts(detail: Mapping[str, Any]) -> tuple[Fact, ...]:
    """Where the hours, the sun and the wind of a design day come from."""
    cycle = cycle_of(detail)
    if cycle is None:
        return ()
    weather = detail["weather"]
    settled = (
        f"{cycle['days']} days until each is like the one before"
        if cycle["settled"]
        else f"not the same from day to day within {cycle['days']} days"
    )
    return (
        Fact("Design day", str(cycle["title"]), str(weather.get("file") or "")),
        Fact("Hours", str(cycle["confidence"]), str(cycle["source"])),
        Fact("Sun", f"latitude {weather['latitude_deg']:g}°", str(cycle["sun_source"])),
        Fact("Wind", _kind(str(cycle["wind_source"])), str(cycle["wind_source"])),
        Fact("Repeated", settled, f"greatest change of the liquid {_tiny(cycle['change_k'])}"),
    )


def _kind(source: str) -> str:
    return "published" if source.startswith("published") else "engineering default"


def _tiny(value: Any) -> str:
    if not is_known(value) or value == "infinite":
        return "not known"
    return "below 0.000001 K" if float(value) < 1e-6 else quantity(value, "K")


def day_rows(result: Result) -> tuple[Row, ...]:
    """The 24 hours; empty for a place."""
    hourly = result.hourly
    if not result.is_type or hourly is None:
        return ()
    table = {name: hourly[name].to_numpy() for name in hourly.data_vars}
    return tuple(
        (
            time_text(moment)[-5:],
            degrees(table["temp_air"][hour]),
            degrees(table["inlet_air"][hour]),
            _kilowatt(table["load"][hour]),
            _kilowatt(table["capacity"][hour]),
            _kilowatt(table["service_headroom"][hour]),
            degrees(table["liquid"][hour]),
            "" if table["binding"][hour] == "none" else binding_words(str(table["binding"][hour])),
        )
        for hour, moment in enumerate(hourly["time"].to_numpy())
    )


def _kilowatt(value: Any) -> str:
    return step(value, "kW", factor=1000.0)
