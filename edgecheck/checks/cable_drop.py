"""Voltage drop over the cable from the board to the unit.

In: a site, what its feed must carry, the criteria. Out: the check's result as a share of the voltage.
"""

from dataclasses import replace

from edgecheck.checks.estimated import EXTREME_KEYS
from edgecheck.checks.feed_demand import SQUARE_MILLIMETRE, TRANSFORMER, FeedDemand
from edgecheck.checks.heat import TABLE_ENDS
from edgecheck.checks.hot_hour import HotHour
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.criteria import ServicesCriteria
from edgecheck.inputs.sites import Site
from edgecheck.services.connection import Connection
from edgecheck.services.voltage_drop import least_section, voltage_drop

VOLTAGE_DROP = Check(
    id="services.voltage-drop",
    title="Drop over the cable",
    sense="at most",
    unit="share",
    inputs=(("feed_cable_length_m", "feed_cable_mm2", "feed_volt"),),
    has_true_zero=True,
    basis=(
        "k L I (rho/S cos phi + lambda sin phi) by IEC 60364-5-52, annex G, with copper at 70 degC, 0.0225 ohm mm2/m, "
        "and 0.08 mohm/m (from memory); limit of 3 %: engineering default."
    ),
    confidence="memory",
)
_CELLS = ("feed_cable_length_m", "feed_cable_mm2")


def cable_drop_check(site: Site, demand: FeedDemand, limits: ServicesCriteria) -> CheckResult:
    """Judge the voltage drop at the running current of the hot hour.

    Parameters
    ----------
    site : Site
        A row of the site list.
    demand : FeedDemand
        What its feed must carry.
    limits : ServicesCriteria
        Greatest drop.

    Returns
    -------
    result : CheckResult
        "services.voltage-drop" [share].
    """
    links, most = demand.links, limits.voltage_drop_max_share
    length, section = (site.number(key) for key in _CELLS)
    missing = tuple(dict.fromkeys((*(key for key in _CELLS if site.number(key) is None), *links.missing)))
    if links.fault:
        return outcome(VOLTAGE_DROP, "not assessed", limit=most, missing=("feed_phases",), note=links.fault)
    if missing or length is None or section is None or links.first is None:
        current = demand.current(demand.hours.worst.power, links.first)
        note = f"The cable carries {current:.1f} A."
        return outcome(VOLTAGE_DROP, "not assessed", limit=most, missing=missing, note=note)
    found = [_judged(demand, link, length, section, most) for link in links.readings]
    first = found[0]
    if first.status == "fail" and any(other.status != "fail" for other in found):
        note = f"{first.note} It may be less if the unit lies {links.readings[1].text}: confirm feed_volt."
        return replace(first, status="not assessed", note=note, missing=("feed_volt",))
    return first


def drop_shares(
    demand: FeedDemand, link: Connection, hour: HotHour, length: float, section: float
) -> tuple[float, float]:
    """Least and greatest drop as shares of the voltage that the cable carries.

    Parameters
    ----------
    demand : FeedDemand
        Of the unit.
    link : Connection
        On the board.
    hour : HotHour
        Whose running current flows.
    length, section : float
        Of the cable. [m], [m2]

    Returns
    -------
    least, greatest : float
        Different only where a transformer may stand at either end of the cable. [-]
    """
    supply = demand.supply
    current = demand.current(hour.power, link)
    volts = {link.volt, supply.volt} if link.transformer else {link.volt}
    shares = [
        voltage_drop(current * link.volt / volt, length, section, supply.phases, supply.power_factor) / volt
        for volt in volts
    ]
    return min(shares), max(shares)


def _judged(demand: FeedDemand, link: Connection, length: float, area: float, most: float) -> CheckResult:
    supply, hours = demand.supply, demand.hours
    section = area * SQUARE_MILLIMETRE

    def shares(hour: HotHour) -> tuple[float, float]:
        return drop_shares(demand, link, hour, length, section)

    current = demand.current(hours.worst.power, link)
    least, greatest = shares(hours.worst)
    note = f"{current:.1f} A over {length:g} m of {area:g} mm2, unit {link.text}."
    if greatest > most:
        volt = max(link.volt, supply.volt) if link.transformer else link.volt
        enough = least_section(
            current * link.volt / volt, volt, length, supply.phases, supply.power_factor, most
        )
        note += " " + (
            "No section up to 150 mm2 holds the limit."
            if enough is None
            else f"A section of {enough / SQUARE_MILLIMETRE:g} mm2 holds the limit."
        )
    if shares(hours.firm)[0] > most:
        return outcome(
            VOLTAGE_DROP, "fail", shares(hours.firm)[0], most, governed_by=hours.firm.when, note=note
        )
    missing = _open(demand, least, most)
    if missing:
        return outcome(
            VOLTAGE_DROP, "not assessed", greatest, most, governed_by=hours.worst.when, missing=missing,
            note=note,
        )  # fmt: skip
    conditions: tuple[str, ...] = ()
    if link.transformer:
        conditions = (f"the unit is fed {link.text}: {TRANSFORMER}",)
    if greatest > most:
        conditions += ("it stands where the cable carries the higher voltage",)
    return outcome(
        VOLTAGE_DROP, "caution" if conditions else "pass", greatest, most, governed_by=hours.worst.when,
        note=note, condition=conditions,
    )  # fmt: skip


def _open(demand: FeedDemand, least: float, most: float) -> tuple[str, ...]:
    """What leaves the drop open: hours without a known power, an extreme that is only an estimate."""
    table = TABLE_ENDS if demand.hours.unknown_hours else ()
    return (*table, EXTREME_KEYS["hot spell"]) if least > most else table
