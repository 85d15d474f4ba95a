"""The worst hour as a worked example: the inlet air built up, the heat balance, capacity and headroom.

Every row carries what is done, the formula, the numbers put in and the result, with so many decimals that a
reader can add them up by hand.
"""

from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from edgecheck.base.humid_air import air_density
from edgecheck.base.variables import variables
from edgecheck.checks.result import Result, WorstHour
from edgecheck.outputs.figures.balance import TERMS
from edgecheck.outputs.number_text import (
    day_text,
    degrees,
    is_known,
    kilowatt,
    percent,
    quantity,
    step,
    time_text,
)
from edgecheck.outputs.views.cooling_steps import cooling, derating
from edgecheck.outputs.views.steps import StepRow, Values, celsius, filled, kelvin, named, power
from edgecheck.outputs.words import binding_words

_SHARES = ("inlet_roof_mixing", "recirculation")


@dataclass(frozen=True)
class WorkedHour:
    """One worst hour."""

    key: str
    title: str
    when: str
    sentence: str
    air: tuple[StepRow, ...]
    heat: tuple[StepRow, ...]
    room: tuple[StepRow, ...]


def worked_hours(result: Result) -> tuple[WorkedHour, ...]:
    """All worst hours of a result, of year and spells, then one a binding limit; the same hour only once."""
    required = next((check.limit for check in result.checks if check.id == "heat.headroom"), None)
    shares = {str(entry["key"]): entry.get("value") for entry in result.inputs if entry["key"] in _SHARES}
    shown: dict[tuple[str, str], WorstHour] = {}
    for hour in result.worst_hours:
        shown.setdefault((hour.spell, hour.time), hour)
    return tuple(
        _worked(number, hour, {**shares, **hour.values}, required)
        for number, hour in enumerate(shown.values(), 1)
    )


def _worked(number: int, hour: WorstHour, values: Values, required: float | None) -> WorkedHour:
    """One hour in words and steps."""
    if is_known(values.get("temp_air")) and is_known(values.get("pressure")):
        values = {**values, "air_density": float(air_density(values["temp_air"], values["pressure"]))}
    return WorkedHour(
        key=f"hour-{number}",
        title=hour.title,
        when=f"{time_text(hour.time)}, local standard time",
        sentence=_sentence(hour),
        air=_air(values, hour.spell),
        heat=_heat(values),
        room=cooling(values, required),
    )


def _sentence(hour: WorstHour) -> str:
    """What the hour is like, and which limit binds."""
    values = hour.values
    parts = [
        f"Outdoor air {degrees(values.get('temp_air'))}, into the cooling section {degrees(values.get('inlet_air'))}"
    ]
    parts.append(f"{kilowatt(values.get('load'))} to reject")
    parts.append(f"service headroom {kilowatt(values.get('service_headroom'))}")
    binds = "No limit is open" if hour.binding == "none" else f"What binds: {binding_words(hour.binding)}"
    over = values.get("exceedance")
    beyond = f", by {quantity(over, 'K')}" if is_known(over) and float(over or 0.0) > 0 else ""
    return f"{'; '.join(parts)}. {binds}{beyond}."


def _air(values: Values, spell: str) -> tuple[StepRow, ...]:
    """From the station's reading to the air into the cooling section, and on to what a rating table is read at."""
    rows = [
        StepRow(
            "Station air, as in the weather file" if spell != "design day" else "Air of the design day",
            Markup("T<sub>st</sub>"),
            "",
            celsius(values.get("station_temp_air")),
        ),
        StepRow(
            "From the station's elevation to the site's",
            Markup("−6.5 K per km of height"),
            "",
            kelvin(values.get("elevation_shift")),
        ),
        StepRow("Warming and urban heat, from the list", Markup(""), "", kelvin(values.get("warming_shift"))),
    ]
    if spell.endswith("spell"):
        rows.append(
            StepRow(
                "Shift of the spell to its extreme",
                Markup("one shift for all 168 h"),
                "",
                kelvin(values.get("spell_shift")),
            )
        )
    rows += [
        StepRow(
            "Outdoor air at the site",
            Markup("T<sub>a</sub>, sum"),
            "",
            celsius(values.get("temp_air")),
            total=True,
        ),
        StepRow(
            "Warm air from the roof surface",
            Markup("m · (T<sub>roof</sub> − T<sub>a</sub>), not below 0"),
            filled(
                "{m} · ({roof} − {air})",
                values,
                m=("inlet_roof_mixing", "", 1.0, 3),
                roof=("roof", "degC", 1.0, 2),
                air=("temp_air", "degC", 1.0, 2),
            ),
            kelvin(values.get("roof_mixing_rise")),
        ),
        StepRow(
            "Own discharge air drawn in again",
            Markup("r/(1 − r) · Q<sub>rej</sub>/(ρ · c<sub>p</sub> · V)"),
            named(
                values,
                ("r", "recirculation", "", 1.0, 3),
                ("Q", "rejected", "kW", 1000.0, 2),
                ("ρ", "air_density", "kg/m³", 1.0, 3),
                ("V", "airflow", "m³/s", 1.0, 2),
            ),
            kelvin(values.get("recirculation_rise")),
        ),
        StepRow(
            "Air into the cooling section",
            Markup("T<sub>in</sub>, sum"),
            "",
            celsius(values.get("inlet_air")),
            total=True,
        ),
    ]
    return (*rows, *derating(values))


def _heat(values: Values) -> tuple[StepRow, ...]:
    """Heat into the liquid at the setpoint, term by term."""
    rows = [
        StepRow(
            variables()[name].label,
            Markup(f"Q<sub>{short}</sub>"),
            _share_text(values) if name == "it" else "",
            power(values.get(name)),
        )
        for name, short in zip(TERMS, ("IT", "pump", "sun", "env", "lw"), strict=True)
    ]
    known = [values.get(name) for name in TERMS]
    load = values.get("load")
    if is_known(load) and all(is_known(value) for value in known):
        rest = float(load or 0.0) - sum(float(value or 0.0) for value in known)
        if abs(rest) >= 0.5:
            rows.append(StepRow("Losses of distribution", Markup("Q<sub>loss</sub>"), "", power(rest)))
    rows.append(
        StepRow(
            variables()["load"].label + ", liquid at the setpoint",
            Markup("Q<sub>load</sub>, sum"),
            "",
            power(load),
            total=True,
        )
    )
    return tuple(rows)


def _share_text(values: Values) -> str:
    """Which share of the full load the hour has, where it has not all of it."""
    share = values.get("load_share")
    return "" if not is_known(share) or share == 1.0 else f"{percent(share)} of the full load"


def why_this_hour(result: Result) -> str:
    """Why the worst hour of the year is this one and not the hottest, in a few sentences with numbers."""
    worst = next((hour for hour in result.worst_hours if hour.spell == "year"), None)
    if worst is None or result.hourly is None:
        return ""
    hourly = result.hourly
    air = hourly["temp_air"].to_numpy()
    if not np.isfinite(air).any():
        return ""
    hottest = int(np.nanargmax(air))
    when = time_text(hourly["time"].to_numpy()[hottest])
    if when == time_text(worst.time):
        return f"The worst hour of the year is also its hottest ({degrees(air[hottest])})."
    there = {name: float(hourly[name].to_numpy()[hottest]) for name in _COMPARED}
    opening = (
        f"The hottest hour of the year is {day_text(when)} with {degrees(air[hottest])} outdoors; its service "
        f"headroom is {kilowatt(there['service_headroom'])}, against "
        f"{kilowatt(worst.values.get('service_headroom'))} in the worst hour."
    )
    if worst.binding not in ("none", "capacity"):
        return (
            f"{opening} In the worst hour a limit is open ({binding_words(worst.binding)}); an hour without capacity, "
            "or with a capacity that is not known, ranks before every hour in which the cooling section can run."
        )
    return f"{opening} {_differences(worst.values, there)}"


_COMPARED = ("temp_air", "inlet_air", "equivalent_inlet", "load", "capacity", "service_headroom")


def _differences(values: Values, there: Values) -> str:
    """What is higher or lower in the worst hour than in the hottest."""
    parts = []
    read_at = ("equivalent_inlet", "equivalent inlet air", "K", 1.0, 2)
    if not is_known(values.get("split")):
        read_at = ("inlet_air", "air into the cooling section", "K", 1.0, 2)
    for name, what, unit, factor, decimals in (
        ("temp_air", "outdoor air", "K", 1.0, 2),
        read_at,
        ("load", "heat to reject", "kW", 1000.0, 3),
        ("capacity", "capacity at the setpoint", "kW", 1000.0, 3),
    ):
        if is_known(values.get(name)) and is_known(there.get(name)):
            parts.append(
                f"{what} {step(float(values[name]) - there[name], unit, factor=factor, decimals=decimals, signed=True)}"
            )
    return f"The worst hour differs from it by: {'; '.join(parts)}." if parts else ""
