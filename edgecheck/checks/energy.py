"""Energy of a site over the year and its months, what it costs, and the carbon dioxide that comes with it.

In: the heat of a site, its row. Out: a plain record, units in its names. Price and carbon are the list's: its
currency is never named, and an empty cell leaves cost or carbon unknown.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.kept import kept
from edgecheck.checks.heat import clock
from edgecheck.checks.lazy import Later, Sections
from edgecheck.heat.energy import HOUR, Energy
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.sites import Site

KWH = 3.6e6  # J
MONTHS = 12
PARTS = ("it", "distribution", "pump", "cooling", "standby")


def energy_record(heat: SiteHeat, site: Site) -> Sections:
    """Energy of the year by part and month, partial PUE, cost, carbon dioxide.

    Parameters
    ----------
    heat : SiteHeat
        Of the site; of a file of several years the worst one's.
    site : Site
        For `electricity_price_per_kwh` and `grid_carbon_kg_per_kwh`.

    Returns
    -------
    Sections
        it_kwh, distribution_kwh, pump_kwh, cooling_kwh, standby_kwh and their sum input_kwh; partial_pue over the
        year and partial_pue_worst in the hour, of those in which the servers run throughout, in which it is
        greatest; price_per_kwh, cost, cost_beside_it; carbon_kg_per_kwh, carbon_kg; months, a list of the same by
        month, in the order of the calendar, made at the first look.
    """
    year = heat.year
    rates = Rates(site.number("electricity_price_per_kwh"), site.number("grid_carbon_kg_per_kwh"))
    month, has_hours = months_of(heat.time)
    spent, by_month = year.power.energy_by(month, MONTHS)
    worst = worst_pue(year)
    return Sections(
        {
            **_totals(spent, rates),
            "partial_pue_worst": None if worst is None else worst[1],
            "partial_pue_worst_time": None if worst is None else clock(heat.time[worst[0]]),
            "price_per_kwh": rates.price,
            "carbon_kg_per_kwh": rates.carbon,
            "months": Later(
                lambda: [
                    {"month": number + 1, **_totals(its, rates)}
                    for number, its in enumerate(by_month)
                    if has_hours[number]
                ]
            ),
        }
    )


@kept
def months_of(time: NDArray[np.datetime64]) -> tuple[NDArray[np.int64], list[bool]]:
    """Month of every hour, 0 to 11, shape (time,), and whether each of the twelve has any hour."""
    month = np.asarray(time.astype("datetime64[M]").astype(np.int64) % MONTHS)
    return month, (np.bincount(month, minlength=MONTHS) > 0).tolist()


def worst_pue(series: HeatSeries) -> tuple[int, float] | None:
    """Hour with the greatest partial PUE among those in which servers run throughout, and that ratio.

    None where there is no such hour.
    """
    power = series.power
    known = (series.course.servers_off < HOUR * 1e-9) & (power.it > 0.0)
    if known.all():
        ratio = power.total / power.it
    else:
        ratio = np.divide(power.total, power.it, out=np.full(power.it.shape, -np.inf), where=known)
    hour = int(np.argmax(ratio))
    return (hour, float(ratio[hour])) if known[hour] else None


@dataclass(frozen=True)
class Rates:
    """What the list says of a kilowatt-hour: its price, kilograms of carbon dioxide; None where it says nothing."""

    price: float | None
    carbon: float | None


def _totals(spent: Energy, rates: Rates) -> dict[str, Any]:
    """Energy of some hours by part [kWh], their partial PUE, cost and carbon dioxide."""
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
