"""Starting of the compressor: the breaker's magnetic trip, and the dip of the voltage over the cable.

In: a site, what its feed must carry, the criteria. Out: the check's result in A.

The breaker is the smallest standard rating that the running current asks for: it has the lowest trip, and it is
what an electrician puts in. Where it would trip and a larger standard rating within the spare current would not,
that larger one is the condition. Servers and pump are on when the compressor starts. A compressor behind an inverter
draws no more while it starts than when it runs (common practice, no source), unless the unit file states a starting
current; it is held against curve B where the list states no curve.
"""

from dataclasses import dataclass, replace

from edgecheck.checks.feed_demand import SQUARE_MILLIMETRE, TRANSFORMER, FeedDemand, board_spare, worse
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.inputs.criteria import ServicesCriteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit_records import Electrical
from edgecheck.services.connection import Connection
from edgecheck.services.feed import running_current, standard_rating
from edgecheck.services.starting import LOWER_TRIP, dip_bounds, lower_trip, rating_that_holds

STARTING = Check(
    id="services.starting",
    title="Starting current and dip",
    sense="at most",
    unit="A",
    inputs=(("breaker_curve", "feed_volt"),),
    has_true_zero=True,
    basis=(
        "Current of servers and pump plus the starting current against the lower magnetic trip of IEC 60898-1, 3, 5 "
        "and 10 In for curves B, C and D, In the smallest standard rating; dip over the cable at most 4 % "
        "(IEC 61000-3-3, d_max; on an own feeder common practice). The inrush of the servers' power supplies is not "
        "in it."
    ),
    confidence="published",
)
CABLE_KEYS = ("feed_cable_length_m", "feed_cable_mm2")
START_MISSING = ("unit: starting_ampere",)

_ROUNDING = 1e-9


@dataclass(frozen=True)
class Start:
    """Currents at the moment of a start, on the board's side.

    Parameters
    ----------
    rest : float
        Servers (on AC) and pump. [A]
    rise : float
        What the start adds. [A]
    power_factor : float or None
        Of the rise, where it is known.
    """

    rest: float
    rise: float
    power_factor: float | None

    @property
    def total(self) -> float:
        """All that the breaker sees. [A]"""
        return self.rest + self.rise


def start_of(demand: FeedDemand, link: Connection | None) -> Start | None:
    """Currents at a start.

    Parameters
    ----------
    demand : FeedDemand
        Unit and hot hour.
    link : Connection or None
        On the board; at the unit's own volts if None.

    Returns
    -------
    Start or None
        None where the unit file states neither a starting current nor an inverter.
    """
    supply, hour = demand.supply, demand.hours.worst
    volt = supply.volt if link is None else link.volt
    phases, factor = supply.phases, supply.power_factor
    rest = running_current(hour.servers + hour.pump, volt, phases, factor)
    if supply.starting_ampere is not None:
        turns = supply.volt / volt if link is not None and link.transformer else 1.0
        return Start(rest, supply.starting_ampere * turns, None)
    if supply.compressor_start == "inverter":
        return Start(rest, running_current(hour.cooling, volt, phases, factor), factor)
    return None


def starting_check(site: Site, demand: FeedDemand, limits: ServicesCriteria) -> CheckResult:
    """Judge the start of the compressor.

    Parameters
    ----------
    site : Site
        A row of the site list.
    demand : FeedDemand
        What its feed must carry.
    limits : ServicesCriteria
        Greatest dip.

    Returns
    -------
    result : CheckResult
        "services.starting" [A].
    """
    links = demand.links
    start = start_of(demand, links.first)
    if start is None:
        note = "The unit file states no starting current."
        return outcome(STARTING, "not assessed", missing=START_MISSING, note=note)
    if links.fault:
        return outcome(
            STARTING, "not assessed", start.total, missing=("feed_phases",), note=links.fault,
        )  # fmt: skip
    curve = site.text("breaker_curve") or ("B" if start.power_factor is not None else None)
    missing = (*links.missing, *(() if curve else ("breaker_curve",)))
    if missing or curve is None or links.first is None:
        note = f"{start.total:.1f} A at the start. {_curves(demand, links.first, start)}"
        return outcome(STARTING, "not assessed", start.total, missing=missing, note=note)
    found = [_judged(site, demand, link, curve, limits) for link in links.readings]
    first = found[0]
    if first.status == "fail" and any(other.status != "fail" for other in found):
        note = f"{first.note} It may hold if the unit lies {links.readings[1].text}: confirm feed_volt."
        return replace(first, status="not assessed", note=note, missing=("feed_volt",))
    return first


def _curves(demand: FeedDemand, link: Connection | None, start: Start) -> str:
    """Which trip curves the smallest breaker would hold the start with."""
    rule = demand.rules[0]
    rating = standard_rating(demand.required(link, rule), rule)
    held = [curve for curve in LOWER_TRIP if start.total <= lower_trip(rating, curve) + _ROUNDING]
    if not held:
        return f"A breaker of {rating:g} A holds it with none of the curves B, C and D."
    return f"A breaker of {rating:g} A holds it with curve {held[0]}."


def _judged(
    site: Site, demand: FeedDemand, link: Connection, curve: str, limits: ServicesCriteria
) -> CheckResult:
    """Trip and dip in one reading of the board's voltage."""
    start = start_of(demand, link)
    if start is None:
        raise ValueError("the starting current is not known")
    needs = [(demand.required(link, rule), rule) for rule in demand.rules]
    ratings = [standard_rating(need, rule) for need, rule in needs]
    holds = [start.total <= lower_trip(rating, curve) + _ROUNDING for rating in ratings]
    rating = min(ratings)
    status: Status = "pass"
    conditions: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    note = f"{start.rest:.1f} A running and {start.rise:.1f} A more at the start"
    if all(holds):
        note += f", within {lower_trip(rating, curve):.0f} A of a breaker {curve}{rating:g}."
    else:
        spare = board_spare(site, link).value
        larger = rating_that_holds(start.total, curve, needs[0][1], needs[0][0])
        note += f": more than the {lower_trip(rating, curve):.0f} A that a breaker {curve}{rating:g} holds."
        if any(holds):
            status, missing = "not assessed", ("electrical_rule",)
        elif larger is not None and spare is not None and larger <= spare + _ROUNDING:
            status, rating = "caution", larger
            conditions = (
                f"a breaker {curve}{larger:g}, and a cable for it: a smaller one trips at the start",
            )
        elif larger is not None and spare is None:
            status, missing = "not assessed", ("feed_spare_ampere",)
            note += f" A breaker {curve}{larger:g} would hold it."
        else:
            status = "fail"
            note += " No standard breaker of this curve within the spare current holds it."
    limit = lower_trip(rating, curve)
    dip = _dip(site, demand.supply, link, start, limits.starting_dip_max_share)
    limit = min(limit, dip.limit)
    status = worse(status, dip.status)
    conditions = (*conditions, *dip.conditions)
    if link.transformer:
        conditions = (*conditions, f"the unit is fed {link.text}: {TRANSFORMER}")
        status = "caution" if status == "pass" else status
    return outcome(
        STARTING,
        status,
        start.total,
        limit,
        governed_by=f"start in operation, breaker {curve}{rating:g}",
        missing=missing if status == "not assessed" else (),
        note=f"{note} {dip.text}",
        condition=conditions if status == "caution" else (),
    )


@dataclass(frozen=True)
class Dip:
    """Dip of the voltage at the unit while it starts.

    Parameters
    ----------
    status : Status
        pass, caution or fail.
    limit : float
        Current of the board at which the dip reaches its limit, infinite where the cable is not known. [A]
    text : str
        In words.
    conditions : tuple of str
        Of a caution.
    """

    status: Status
    limit: float
    text: str
    conditions: tuple[str, ...] = ()


def _dip(site: Site, supply: Electrical, link: Connection, start: Start, most: float) -> Dip:
    length, section = (site.number(key) for key in CABLE_KEYS)
    if length is None or section is None:
        text = "The cable is not known, and with it the dip at the start."
        need = "the dip of the voltage at the start is worked out once the cable is known"
        return Dip("caution", float("inf"), text, (need,))
    least, greatest = dip_shares(supply, link, start, length, section * SQUARE_MILLIMETRE)
    if greatest <= most:
        text = f"The voltage dips by at most {100.0 * greatest:.1f} %, limit {100.0 * most:.1f} %."
        return Dip("pass", start.rest + start.rise * most / greatest, text)
    limit = start.rest + start.rise * most / least
    if least > most:
        text = f"The voltage dips by {100.0 * least:.1f} % or more, limit {100.0 * most:.1f} %."
        return Dip("fail", limit, f"{text} A thicker cable holds it.")
    text = f"The voltage dips by {100.0 * least:.1f} to {100.0 * greatest:.1f} %, limit {100.0 * most:.1f} %."
    return Dip(
        "caution", limit, text, ("the dip of the voltage at the start is measured or a thicker cable laid",)
    )


def dip_shares(
    supply: Electrical, link: Connection, start: Start, length: float, section: float
) -> tuple[float, float]:
    """Least and greatest dip over the cable as shares of its voltage.

    Parameters
    ----------
    supply : Electrical
        Of the unit.
    link : Connection
        On the board.
    start : Start
        On the board's side.
    length, section : float
        Of the cable. [m], [m2]

    Returns
    -------
    least, greatest : float
        A transformer may stand at either end: the cable then carries either voltage. [-]
    """
    volts = {link.volt, supply.volt} if link.transformer else {link.volt}
    shares = [
        bound / volt
        for volt in volts
        for bound in dip_bounds(
            start.rise * link.volt / volt, length, section, supply.phases, start.power_factor
        )
    ]
    return min(shares), max(shares)
