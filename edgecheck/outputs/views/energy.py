"""Energy of the year and its months as a table and sentences: parts, partial PUE, cost, carbon dioxide."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from edgecheck.outputs.number_text import count, is_known, month_name, percent, quantity, step, time_text

_PARTS = (
    ("it_kwh", "servers"),
    ("distribution_kwh", "distribution"),
    ("pump_kwh", "pump"),
    ("cooling_kwh", "cooling"),
    ("standby_kwh", "standby"),
)


@dataclass(frozen=True)
class EnergyView:
    """Section on energy.

    Parameters
    ----------
    lines : tuple of str
        Sentences before the table.
    load : str
        How the servers' load goes over the hours.
    headings : tuple of str
        Of the table.
    rows : tuple of tuple of str
        One a month.
    total : tuple of str
        The year.
    remarks : tuple of str
        What is counted where.
    """

    lines: tuple[str, ...]
    load: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    total: tuple[str, ...]
    remarks: tuple[str, ...]


def energy(detail: Mapping[str, Any]) -> EnergyView | None:
    """Section on energy of a result's detail; None where nothing was computed."""
    found = detail.get("energy")
    if not found:
        return None
    months = found.get("months") or ()
    return EnergyView(
        lines=(*_sums(found), *_cost(found), *_carbon(found)),
        load=_load(detail.get("unit") or {}),
        headings=(
            "",
            *(f"{name}, kWh" for _, name in _PARTS),
            "input, kWh",
            "partial PUE",
            *(("cost",) if is_known(found.get("cost")) else ()),
            *(("CO₂, kg",) if is_known(found.get("carbon_kg")) else ()),
        ),
        rows=tuple(_row(month_name(int(row["month"])), row, found) for row in months),
        total=_row("year", found, found) if months else (),
        remarks=_REMARKS,
    )


_REMARKS = (
    "Partial PUE is all that the box takes in over what its servers take in at their terminals (ISO/IEC 30134-2:2016 "
    "with the box as the boundary; losses before the box are not in it).",
    "Cooling: compressor, fans and controls in hours in which heat is taken out. Standby: the cooling section in the "
    "other hours, and sections that stand by. A heater for a start in winter is not in it.",
)


def _sums(found: Mapping[str, Any]) -> tuple[str, ...]:
    text = (
        f"Electrical input over the year {quantity(found.get('input_kwh'), 'kWh')}, of which servers "
        f"{quantity(found.get('it_kwh'), 'kWh')}."
    )
    worst = f"{quantity(found.get('partial_pue_worst'))} in the worst hour"
    if found.get("partial_pue_worst_time"):
        worst += f" ({time_text(found['partial_pue_worst_time'])}, local standard time)"
    return text, f"Partial PUE of the box {quantity(found.get('partial_pue'))} over the year, {worst}."


def _cost(found: Mapping[str, Any]) -> tuple[str, ...]:
    price = found.get("price_per_kwh")
    if not is_known(price):
        return ("Cost: the list gives no price of a kilowatt-hour.",)
    return (
        f"At {quantity(price)} a kilowatt-hour, in the list's own currency, the year costs "
        f"{_money(found.get('cost'))}, of which all but the servers {_money(found.get('cost_beside_it'))}.",
    )


def _carbon(found: Mapping[str, Any]) -> tuple[str, ...]:
    factor = found.get("carbon_kg_per_kwh")
    if not is_known(factor):
        return ("Carbon dioxide: the list gives no amount for a kilowatt-hour.",)
    return (
        f"At {quantity(factor, 'kg')} of carbon dioxide a kilowatt-hour {count(found.get('carbon_kg'), 'kg')} come "
        "with the year's electricity.",
    )


def _money(value: Any) -> str:
    return step(value, "", decimals=2)


def _row(name: str, found: Mapping[str, Any], year: Mapping[str, Any]) -> tuple[str, ...]:
    return (
        name,
        *(count(found.get(key)) for key, _ in _PARTS),
        count(found.get("input_kwh")),
        step(found.get("partial_pue"), "", decimals=3),
        *((_money(found.get("cost")),) if is_known(year.get("cost")) else ()),
        *((count(found.get("carbon_kg")),) if is_known(year.get("carbon_kg")) else ()),
    )


def _load(unit: Mapping[str, Any]) -> str:
    """How the servers' load goes over the hours, and whether it falls in a warm bath."""
    load, profile = quantity(unit.get("it_load_kw"), "kW"), unit.get("load_profile")
    if profile:
        kinds = {
            "week": "by hour and day of the week",
            "day": "by hour of the day",
            "year": "hour by hour of the year",
        }
        text = (
            f"The servers' load follows {profile['file']}, {kinds[profile['form']]}: "
            f"{percent(profile['least_share'])} to {percent(profile['greatest_share'])} of {load}, "
            f"{percent(profile['mean_share'])} on average. Headroom, spells, failures, feed and energy follow it."
        )
    else:
        text = f"The servers draw {load} in every hour: the list names no load profile."
    share = unit.get("throttle_share")
    if is_known(share) and float(share) < 1.0:  # type: ignore[arg-type]
        text += (
            f" From alarm to shutdown they throttle evenly to {percent(share)} of their power (unit file)."
        )
    return text
