"""Words of the survey: what an answer may be, how much would be enough, which checks are meant."""

import math
from collections.abc import Mapping, Sequence

from edgecheck.checks.declarations import check_of
from edgecheck.checks.model import CheckResult
from edgecheck.inputs.columns import Column

# What is missing and is no column of the list -> key in the unit file, question, who usually knows.
ELSEWHERE: Mapping[str, tuple[str, str, str]] = {
    "unit: capacity_kw beyond the last column": (
        "cooling.capacity_kw",
        "What is the capacity beyond the last column of the rating table? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: qualification.climate_class": (
        "qualification.climate_class",
        "For which environmental class is the unit made? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: qualification.coating_category": (
        "qualification.coating_category",
        "For which corrosivity category is the unit's coating? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: heater_kw": (
        "cooling.heater_kw",
        "What is the power of the heater for a start in winter? 0 if there is none. The answer belongs into the unit "
        "file.",
        "maker of the unit",
    ),
    "unit: viscosity of the liquid": (
        "liquid.properties.viscosity_40_mm2_s",
        "What is the viscosity of the liquid at 40 and 100 degC? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: pour point of the liquid": (
        "liquid.properties.pour_point_c",
        "What is the liquid's pour point? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: evaporator_approach_k": (
        "cooling.evaporator_approach_k",
        "How far below the leaving liquid does the refrigerant evaporate? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: table [electrical]": (
        "electrical.volt",
        "Which voltage, phases, power factor and starting current does the unit have? The answer belongs into the "
        "unit file.",
        "maker of the unit",
    ),
    "unit: starting_ampere": (
        "electrical.starting_ampere",
        "Which current does the compressor draw while it starts? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: clearance.intake_m": (
        "clearance.intake_m",
        "How much room does the maker ask for before the air intake? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: clearance.discharge_m": (
        "clearance.discharge_m",
        "How much room does the maker ask for before the air discharge? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: clearance.service_m": (
        "clearance.service_m",
        "How much room does the maker ask for to service the unit? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: mass.tray_litre": (
        "mass.tray_litre",
        "How much does the tray inside the unit hold, 0 where it has none? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: liquid.properties.expansion_per_k": (
        "liquid.properties.expansion_per_k",
        "How much does the liquid expand with its temperature? The answer belongs into the unit file.",
        "data sheet of the liquid",
    ),
    "unit: sound_power_fan_dba": (
        "cooling.sound_power_fan_dba",
        "What is the sound power level of the fans at full speed, in dB(A)? The answer belongs into the unit file.",
        "maker of the unit",
    ),
    "unit: sound_power_compressor_dba": (
        "cooling.sound_power_compressor_dba",
        "What is the sound power level of the compressor, in dB(A)? The answer belongs into the unit file.",
        "maker of the unit",
    ),
}
# A row with too many cells, or one whose id is missing or given twice.
ROW = ("", "What should the row say? Correct it in the list itself.", "whoever keeps the list")
# What the demand of a check is held against.
LIMITS: Mapping[str, str] = {
    "roof.load": "roof_reserve_kpa",
    "roof.point-load": "roof_reserve_point_kn",
    "services.feed": "feed_spare_ampere",
    "services.containment": "containment_litre",
}
_MOST_NAMED = 4
_FORMS = {
    "text": "text",
    "file": "name of a file, relative to the list",
    "date": "a date as YYYY-MM-DD",
    "pairs": "azimuth:elevation pairs in degrees, such as 90:12 180:4",
}


def allowed(column: Column) -> str:
    """What a cell of a column may say.

    Parameters
    ----------
    column : Column
        Of the site list.

    Returns
    -------
    text : str
        Allowed values or possible range, the usual range, and `none` where it may say so.
    """
    text = _FORMS.get(column.kind) or column.range_text()
    if column.usual_low is not None and column.usual_high is not None:
        text += f"; usually {column.usual_low:g} to {column.usual_high:g}"
    if column.none_allowed:
        text += "; or none"
    return text


def wanted(outcome: CheckResult, key: str, *, alone: bool) -> str:
    """Say how much the answer must at least be, with a blank before it.

    Parameters
    ----------
    outcome : CheckResult
        Its demand is what the answer is compared with.
    key : str
        Column of the answer.
    alone : bool
        Whether nothing else is needed to decide.

    Returns
    -------
    text : str
        Empty where the column is not what the demand is held against.
    """
    if LIMITS.get(outcome.id) != key or outcome.demand is None or not math.isfinite(outcome.demand):
        return ""
    amount = f"{math.ceil(outcome.demand * 100.0) / 100.0:.2f} {check_of(outcome.id).unit}"
    return f" {amount} would be enough." if alone else f" At least {amount} is needed."


def others(keys: Sequence[str]) -> str:
    """Name keys, of many only the first."""
    if len(keys) <= _MOST_NAMED:
        return listed(keys)
    return f"{', '.join(keys[: _MOST_NAMED - 1])} and {len(keys) - _MOST_NAMED + 1} more"


def listed(words: Sequence[str]) -> str:
    """Words joined by commas and an "and" before the last."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def titles(check_ids: Sequence[str]) -> str:
    """Titles of checks, joined by semicolons."""
    return "; ".join(check_of(check_id).title for check_id in check_ids)
