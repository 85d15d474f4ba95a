"""The record of class and corrosion: tables for pages, plain numbers with units in their names."""

from typing import Any

from edgecheck.checks.environment import Deposition, Environment
from edgecheck.checks.lazy import Later, Sections
from edgecheck.weather.climate_class import ClimateClass
from edgecheck.weather.corrosion import category_name, wetness_class


def environment_record(found: Environment, coating: str | None) -> Sections:
    """Class and corrosion of a site.

    Parameters
    ----------
    found : Environment
        From `environment_of`.
    coating : str or None
        The unit's coating category.

    Returns
    -------
    Sections
        "class" and "corrosion", made at the first look; the latter is None for a design day.
    """
    return Sections(
        {
            "class": Later(lambda: _class(found)),
            "corrosion": Later(lambda: None if found.is_cycle else _corrosion(found, coating)),
        }
    )


def _class(found: Environment) -> dict[str, Any]:
    against = found.against
    record: dict[str, Any] = {
        "declared": found.declared,
        "covering": {family: _named(one) for family, one in found.covering.items()},
        "hours": None if against is None else against.hours,
        "of": None if against is None else against.of,
        "year": found.year,
        "binding": None,
        "rows": [],
    }
    if against is None:
        return record
    one = against.climate_class
    binding = against.binding
    return {
        **record,
        **_named(one),
        "edition": one.edition,
        "binding": None if binding is None else binding.parameter.key,
        "rows": [
            {
                "parameter": row.parameter.key,
                "label": row.parameter.label,
                "unit": row.parameter.unit,
                "limit": row.limit.value,
                "known": row.limit.known,
                "hours": row.hours,
                "farthest": row.worst,
                "by": row.by,
                "time": found.when(row),
            }
            for row in against.rows
        ],
    }


def _named(one: ClimateClass | None) -> dict[str, Any]:
    if one is None:
        return {"name": None, "standard": None, "words": None}
    return {"name": one.name, "standard": one.standard, "words": one.words}


def _corrosion(found: Environment, coating: str | None) -> dict[str, Any]:
    result = found.corrosion
    return {
        "coating": coating,
        "temp_mean_c": found.temp_mean,
        "humidity_mean_percent": found.humidity_mean,
        "wet_hours": found.wet_hours,
        "wetness_class": wetness_class(found.wet_hours),
        "sulphur": _deposition(found.sulphur),
        "chloride": _deposition(found.chloride),
        "steel_um_a": None if result is None else result.steel,
        "zinc_um_a": None if result is None else result.zinc,
        "steel_category": "" if result is None else category_name(result.steel_category),
        "zinc_category": "" if result is None else category_name(result.zinc_category),
        "category": "" if result is None else category_name(result.category),
        "outside": [] if result is None else list(result.outside),
    }


def _deposition(one: Deposition | None) -> dict[str, Any] | None:
    return None if one is None else {"mg_m2_d": one.value, "source": one.source, "stated": one.stated}
