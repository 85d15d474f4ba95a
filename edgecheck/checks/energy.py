"""Energy of a site over the year and its months, what it costs, and the carbon dioxide that comes with it.

In: the heat of a site, its row. Out: a plain record, units in its names. Price and carbon are the list's: its
currency is never named, and an empty cell leaves cost or carbon unknown.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from edgecheck.checks.heat import clock
from edgecheck.heat.energy import ALL_HOURS, HOUR, Energy, Hours, PowerParts
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.sites import Site

KWH = 3.6e6  # J
MONTHS = 12
PARTS = ("it", "distribution", "pump", "cooling", "standby")


def energy_record(heat: SiteHeat, site: Site) -> dict[str, Any]:
    """Energy of the year by part and month, partial PUE, cost, carbon dioxide.

    Parameters
    ----------
    heat : SiteHeat
        Of the site; of a file of several years the worst one's.
    site : Site
        For `electricity_price_per_kwh` and `grid_carbon_kg_per_kwh`.

    Returns
    -------
    dict
        it_kwh, distribution_kwh, pump_kwh, cooling_kwh, standby_kwh and their sum input_kwh; partial_pue over the
        year and partial_pue_worst in the hour, of those in which the servers run throughout, in which it is
        greatest; price_per_kwh, cost, cost_beside_it; carbon_kg_per_kwh, carbon_kg; months, a list of the same by
        month, in the order of the calendar.
    """
    year, power = heat.year, heat.year.power
    rates = Rates(site.number("electricity_price_per_kwh"), site.number("grid_carbon_kg_per_kwh"))
    month = heat.time.astype("datetime64[M]").astype(int) % MONTHS
    months = [
        {"month": number + 1, **_totals(power, hours, rates)}
        for number in range(MONTHS)
        if (hours := month == number).any()
    ]
    worst = worst_hour_of_pue(year)
    return {
        **_totals(power, ALL_HOURS, rates),
        "partial_pue_worst": None if worst is None else float(power.partial_pue[worst]),
        "partial_pue_worst_time": None if worst is None else clock(heat.time[worst]),
        "price_per_kwh": rates.price,
        "carbon_kg_per_kwh": rates.carbon,
        "months": months,
    }


def worst_hour_of_pue(series: HeatSeries) -> int | None:
    """Hour with the greatest partial PUE among those in which servers run throughout; None where there is none."""
    ratio = np.where(series.course.servers_off < HOUR * 1e-9, series.power.partial_pue, np.nan)
    return int(np.nanargmax(ratio)) if np.isfinite(ratio).any() else None


@dataclass(frozen=True)
class Rates:
    """What the list says of a kilowatt-hour: its price, kilograms of carbon dioxide; None where it says nothing."""

    price: float | None
    carbon: float | None


def _totals(power: PowerParts, hours: Hours, rates: Rates) -> dict[str, Any]:
    """Energy of some hours by part [kWh], their partial PUE, cost and carbon dioxide."""
    spent: Energy = power.energy(hours)
    total, it = spent.total / KWH, spent.it / KWH
    price, carbon = rates.price, rates.carbon
    return {
        **{f"{part}_kwh": getattr(spent, part) / KWH for part in PARTS},
        "input_kwh": total,
        "partial_pue": spent.partial_pue,
        "cost": None if price is None else price * total,
        "cost_beside_it": None if price is None else price * (total - it),
        "carbon_kg": None if carbon is None else carbon * total,
    }
