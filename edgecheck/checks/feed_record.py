"""The power feed as a record behind its checks: the hot hour, every step with its numbers, what is on a battery.

In: a site, the unit, its heat, the criteria. Out: a plain mapping with units in its names, ready for JSON.
"""

from typing import Any

from edgecheck.checks.cable_drop import drop_shares
from edgecheck.checks.feed_demand import KILO, SQUARE_MILLIMETRE, FeedDemand, board_spare, feed_demand
from edgecheck.checks.hot_hour import SERVERS, HotHour, hot_hours
from edgecheck.checks.starting import CABLE_KEYS, Start, dip_shares, start_of
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.services.connection import Connection
from edgecheck.services.dc_plant import dc_current, lowest_volt
from edgecheck.services.feed import FEED_RULES, RuleName, required_rating, standard_rating
from edgecheck.services.starting import LOWER_TRIP, lower_trip
from edgecheck.services.voltage_drop import CABLE_REACTANCE, COPPER_RESISTIVITY

FEED_NOT_CHECKED = (
    "Power feed: rating of the cable under its way of laying, short circuit, residual current, selectivity, "
    "harmonics, inrush of the servers' power supplies when the mains return, a generator.",
)

Step = dict[str, Any]


def feed_detail(site: Site, unit: Unit, heat: SiteHeat, criteria: Criteria) -> dict[str, Any]:
    """Tables of the power feed.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its table [electrical] is read.
    heat : SiteHeat
        Year and hot spell.
    criteria : Criteria
        Limits of the services.

    Returns
    -------
    dict
        known (false where the unit file says nothing of the supply), hour, connection, running, dc, starting,
        cable: lists of steps (what, formula, clause, numbers, value, unit); battery; not_checked.
    """
    supply = unit.electrical
    if supply is None:
        return {"known": False, "not_checked": list(FEED_NOT_CHECKED)}
    demand = feed_demand(site, supply, heat)
    link = demand.links.first
    spare = board_spare(site, link)
    return {
        "known": True,
        "hour": _hour(demand.hours.worst, demand.hours.unknown_hours),
        "connection": demand.links.fault or (link.text if link else ""),
        "missing": [*demand.links.missing, *spare.missing],
        "rules": [FEED_RULES[rule].title for rule in demand.rules],
        "rule_stated": site.text("electrical_rule") is not None,
        "spare_ampere": spare.value,
        "spare_source": spare.source,
        "running": _running(demand, link, heat),
        "dc": _dc(site, demand, heat) if demand.on_battery else [],
        "starting": _starting(site, demand, link, criteria),
        "cable": _cable(site, demand, link, criteria),
        "battery": {
            "servers": "dc48" if demand.on_battery else "ac",
            "on_battery": ["servers"] if demand.on_battery else [],
            "stops_with_mains": ["cooling section", "pump"]
            if demand.on_battery
            else ["servers", "cooling section", "pump"],
        },
        "not_checked": list(FEED_NOT_CHECKED),
    }


def _hour(hour: HotHour, unknown_hours: int) -> dict[str, Any]:
    return {
        "when": hour.when,
        "estimated": hour.estimated,
        "liquid_c": hour.liquid,
        "equivalent_inlet_c": hour.equivalent_inlet,
        "servers_kw": hour.servers / KILO,
        "pump_kw": hour.pump / KILO,
        "cooling_kw": hour.cooling / KILO,
        "total_kw": hour.power / KILO,
        "unknown_hours": unknown_hours,
    }


def _step(what: str, formula: str, clause: str, numbers: str, value: float, unit: str) -> Step:
    return {
        "what": what,
        "formula": formula,
        "clause": clause,
        "numbers": numbers,
        "value": value,
        "unit": unit,
    }


def _running(demand: FeedDemand, link: Connection | None, heat: SiteHeat) -> list[Step]:
    """From the power of the hot hour to the rating of the breaker."""
    hour, supply, machine = demand.hours.worst, demand.supply, heat.machine
    volt = supply.volt if link is None else link.volt
    steps = [] if demand.on_battery else [_servers(hour, heat)]
    steps += [
        _step("Pump", "", "unit file", "", machine.pump_power / KILO, "kW"),
        _cooling(hour, heat),
        _step("Power with the cooling at full capacity", "sum", "", "", hour.power / KILO, "kW"),
    ]
    current = demand.current(hour.power, link)
    root = "sqrt 3 x " if supply.phases == 3 else ""
    numbers = f"{hour.power / KILO:.3f} kW/({root}{volt:.4g} V x {supply.power_factor:g})"
    formula = "P/(sqrt 3 U cos phi)" if supply.phases == 3 else "P/(U cos phi)"
    steps.append(_step("Running current", formula, "", numbers, current, "A"))
    return steps + _asked(current, demand.rules)


def _cooling(hour: HotHour, heat: SiteHeat) -> Step:
    power = hour.cooling / KILO
    if heat.machine.rejects_load:
        return _step("Fans at full speed, controls", "", "unit file", "", power, "kW")
    read_at = f"T_eq {hour.equivalent_inlet:.1f} degC, liquid {hour.liquid:.1f} degC"
    return _step(
        "Cooling section at full capacity", "P(T_eq, T)", "rating table of the unit", read_at, power, "kW"
    )


def _servers(hour: HotHour, heat: SiteHeat) -> Step:
    machine = heat.machine
    formula, numbers = (
        "P_IT (1 + loss)",
        f"{machine.it / KILO:.3f} kW x (1 + {machine.distribution_share:g})",
    )
    if machine.leakage:
        formula += " (1 + leakage (T - setpoint))"
        numbers += f" x (1 + {machine.leakage:g}/K x {hour.liquid - machine.setpoint:.1f} K)"
    return _step("Servers", formula, "unit file and list", numbers, hour.servers / KILO, "kW")


def _asked(current: float, rules: tuple[RuleName, ...], *, breakers: bool = True) -> list[Step]:
    """What each rule asks for, and the standard breaker."""
    steps = []
    for rule in rules:
        known, need = FEED_RULES[rule], required_rating(current, rule)
        steps.append(
            _step(
                "Rating asked for",
                known.formula,
                known.title,
                f"{known.factor:g} x {current:.2f} A",
                need,
                "A",
            )
        )
        if not breakers:
            continue
        series = "NEC 240.6(A)" if rule == "nec" else "IEC 60898-1"
        rating = standard_rating(need, rule)
        steps.append(_step("Smallest standard breaker", "", series, "", rating, "A"))
    return steps


def _dc(site: Site, demand: FeedDemand, heat: SiteHeat) -> list[Step]:
    """Current of the servers on the DC plant."""
    supply = demand.supply
    plant = site.number("dc_plant_volt")
    volt = supply.dc_min_volt if plant is None else lowest_volt(plant, supply.dc_min_volt)
    hour = hot_hours(heat, SERVERS).worst
    current = dc_current(hour.power, volt, supply.dc_efficiency)
    numbers = f"{hour.power / KILO:.3f} kW/({supply.dc_efficiency:g} x {volt:.4g} V)"
    return [
        _servers(hour, heat),
        _step("Current at the lowest voltage", "P/(eta U)", "ETSI EN 300 132-2", numbers, current, "A"),
        *_asked(current, demand.rules, breakers=False),
    ]


def _starting(site: Site, demand: FeedDemand, link: Connection | None, criteria: Criteria) -> list[Step]:
    """Current at a start, what breakers hold, and the dip."""
    start = start_of(demand, link)
    if start is None:
        return []
    steps = [
        _step("Servers and pump" if not demand.on_battery else "Pump", "", "", "", start.rest, "A"),
        _step("Added by the start", "", "unit file", _how(demand), start.rise, "A"),
        _step("Current at the start", "sum", "", "", start.total, "A"),
    ]
    stated = site.text("breaker_curve")
    for rule in demand.rules:
        rating = standard_rating(demand.required(link, rule), rule)
        steps += [
            _step(
                f"Breaker {curve}{rating:g} holds",
                f"{LOWER_TRIP[curve]:g} In",
                "IEC 60898-1",
                f"{LOWER_TRIP[curve]:g} x {rating:g} A",
                lower_trip(rating, curve),
                "A",
            )
            for curve in ((stated,) if stated else LOWER_TRIP)
        ]
    return steps + _dip(site, demand, link, start, criteria)


def _how(demand: FeedDemand) -> str:
    how = demand.supply.compressor_start
    return f"{how} start" if how else "kind of start not stated"


def _dip(
    site: Site, demand: FeedDemand, link: Connection | None, start: Start, criteria: Criteria
) -> list[Step]:
    length, section = (site.number(key) for key in CABLE_KEYS)
    if link is None or length is None or section is None:
        return []
    bounds = dip_shares(demand.supply, link, start, length, section * SQUARE_MILLIMETRE)
    limit = f"limit {100.0 * criteria.services.starting_dip_max_share:g} %"
    remarks = [f"for a motor at standstill, {limit}", f"whatever the power factor, {limit}"]
    shown = list(zip(remarks, bounds, strict=True)) if bounds[0] < bounds[1] else [(limit, bounds[0])]
    return [
        _step("Dip at the start", "k L I Z/U", "IEC 61000-3-3, d_max", remark, 100.0 * share, "%")
        for remark, share in shown
    ]


def _cable(site: Site, demand: FeedDemand, link: Connection | None, criteria: Criteria) -> list[Step]:
    """Resistance and reactance of the cable, and the drop."""
    length, section = (site.number(key) for key in CABLE_KEYS)
    if link is None or length is None or section is None:
        return []
    area = section * SQUARE_MILLIMETRE
    least, greatest = drop_shares(demand, link, demand.hours.worst, length, area)
    source = "IEC 60364-5-52, annex G"
    current = demand.current(demand.hours.worst.power, link)
    root = "sqrt 3" if demand.supply.phases == 3 else "2"
    formula = f"{root} I (R cos phi + X sin phi)/U"
    limit = f"limit {100.0 * criteria.services.voltage_drop_max_share:g} %"
    resistance, reactance = COPPER_RESISTIVITY / area * length, CABLE_REACTANCE * length
    steps = [
        _step("Resistance of one conductor", "rho L/S", source, f"0.0225 ohm mm2/m x {length:g} m/{section:g} mm2",
              1e3 * resistance, "mohm"),
        _step("Reactance of one conductor", "lambda L", source, f"0.08 mohm/m x {length:g} m", 1e3 * reactance,
              "mohm"),
        _step("Drop", formula, source, f"{current:.2f} A, U {link.volt:.4g} V, {limit}", 100.0 * greatest, "%"),
    ]  # fmt: skip
    if least < greatest:
        steps.append(
            _step("Drop on the higher voltage", formula, source, "transformer at the other end", 100.0 * least, "%")
        )  # fmt: skip
    return steps
