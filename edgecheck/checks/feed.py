"""Checks of the power feed: running current, starting, voltage drop over the cable.

In: a site, the unit, its heat, the criteria. Out: three results.

The running current is that of the hottest hour with the compressor on, by the rule of the list: NEC asks for 1.25
times the continuous current, IEC for the current itself. Where the list states no rule, both must be met for a pass
and both must be missed for a failure. Servers on a DC plant are held against its spare current; the AC feed then
carries pump and cooling section only, and the worse of the two decides.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from edgecheck.checks.cable_drop import VOLTAGE_DROP, cable_drop_check
from edgecheck.checks.estimated import EXTREME_KEYS, fails_at
from edgecheck.checks.feed_demand import (
    TRANSFORMER,
    FeedDemand,
    Spare,
    board_spare,
    carried_by_feed,
    feed_demand,
    rules_text,
    without_unit_data,
    worse,
)
from edgecheck.checks.findings import enough
from edgecheck.checks.heat import TABLE_ENDS
from edgecheck.checks.hot_hour import SERVERS, HotHour, HotHours, Part, hot_hours
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.checks.starting import STARTING, starting_check
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.services.connection import Connection
from edgecheck.services.dc_plant import dc_current, fits, lowest_volt
from edgecheck.services.feed import (
    FEED_RULES,
    RuleName,
    required_rating,
    running_current,
    standard_rating,
)

FEED = Check(
    id="services.feed",
    title="Running current of the hot hour",
    sense="at most",
    unit="A",
    inputs=(("feed_spare_ampere", "feed_volt"), ("feed_kva", "feed_volt", "feed_phases")),
    has_true_zero=True,
    basis=(
        "P/(k U cos phi) of servers, pump and cooling section at full capacity in the hottest hour of year and hot "
        "spell, never weighted with the compressor's running time. NEC 210.20(A), 215.3: 1.25 times the continuous "
        "current; IEC 60364-4-43, 433.1: Ib <= In. Caution above a share of the spare current: engineering default. "
        "The cable's own rating, short circuit, residual current and selectivity are not checked."
    ),
    confidence="published",
)
FEED_CHECKS: tuple[Check, ...] = (FEED, STARTING, VOLTAGE_DROP)

_ROUNDING = 1e-9  # A, of a product of a current and a factor


def feed_checks(site: Site, unit: Unit, heat: SiteHeat, criteria: Criteria) -> tuple[CheckResult, ...]:
    """Check the power feed of a site.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its table [electrical] is read.
    heat : SiteHeat
        Year and hot spell at the site's IT load.
    criteria : Criteria
        Limits of the services.

    Returns
    -------
    results : tuple of CheckResult
        In the order of `FEED_CHECKS`.
    """
    if unit.electrical is None:
        return tuple(without_unit_data(check) for check in FEED_CHECKS)
    demand = feed_demand(site, unit.electrical, heat)
    return (
        _feed(site, demand, heat, criteria.services.feed_utilisation_caution),
        starting_check(site, demand, criteria.services),
        cable_drop_check(site, demand, criteria.services),
    )


def running_ask(unit: Unit, heat: SiteHeat) -> float | None:
    """Running current of the hot hour at the unit's own voltage, without a factor of any rule.

    Parameters
    ----------
    unit : Unit
        Its table [electrical] is read.
    heat : SiteHeat
        Year and hot spell.

    Returns
    -------
    float or None
        On the AC feed; None where the unit file says nothing of the supply. [A]
    """
    supply = unit.electrical
    if supply is None:
        return None
    power = hot_hours(heat, carried_by_feed(supply)).worst.power
    return running_current(power, supply.volt, supply.phases, supply.power_factor)


@dataclass(frozen=True)
class Side:
    """Outcome of one supply: the AC feed or the DC plant.

    Parameters
    ----------
    name : str
        What a reader calls it.
    status : Status
        Of this supply alone.
    demand, limit : float, optional
        What the rule asks for, what there is to spare. [A]
    governed_by, note : str
        Hour and rule; sentences.
    missing, conditions : tuple of str
        Of what is not assessed; of a caution.
    """

    name: str
    status: Status
    demand: float
    limit: float | None
    governed_by: str
    note: str
    missing: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()

    @property
    def used(self) -> float:
        """Demand over limit, 0 where there is none."""
        return self.demand / self.limit if self.limit else 0.0


def feed_sides(site: Site, demand: FeedDemand, heat: SiteHeat, caution: float) -> tuple[Side, ...]:
    """Judge the AC feed, and the DC plant where the servers run on one.

    Parameters
    ----------
    site : Site
        The row.
    demand : FeedDemand
        Of the AC feed.
    heat : SiteHeat
        Year and hot spell.
    caution : float
        Share of the spare current above which it is a caution. [-]

    Returns
    -------
    sides : tuple of Side
    """
    feed = _ac_side(site, demand, heat, caution)
    return (feed, _dc_side(site, demand, heat, caution)) if demand.on_battery else (feed,)


def _feed(site: Site, demand: FeedDemand, heat: SiteHeat, caution: float) -> CheckResult:
    sides = feed_sides(site, demand, heat, caution)
    status = worse(*(side.status for side in sides))
    shown = max((side for side in sides if side.status == status), key=lambda side: side.used)
    several = len(sides) > 1
    return outcome(
        FEED,
        status,
        shown.demand,
        shown.limit,
        governed_by=f"{shown.name}, {shown.governed_by}" if several else shown.governed_by,
        missing=tuple(dict.fromkeys(key for side in sides for key in side.missing))
        if status == "not assessed"
        else (),
        note=" ".join(f"{side.name}: {side.note}" for side in sides) if several else shown.note,
        condition=tuple(dict.fromkeys(text for side in sides for text in side.conditions))
        if status == "caution"
        else (),
    )


@dataclass(frozen=True)
class _Judge:
    """One supply with what it may spare, in one reading of the list."""

    name: str
    heat: SiteHeat
    part: Part
    hours: HotHours
    rules: tuple[RuleName, ...]
    caution: float
    current: Callable[[float], float]  # of a power [W]

    def required(self, power: float, rule: RuleName) -> float:
        """What a rule asks for at a power. [A]"""
        return required_rating(self.current(power), rule)

    def strictest(self, hour: HotHour) -> float:
        """What is enough whichever rule holds. [A]"""
        return max(self.required(hour.power, rule) for rule in self.rules)

    def unknown(self, missing: tuple[str, ...], spare: float | None) -> Side:
        """Something of the supply is not known: what it must carry is shown."""
        worst = self.hours.worst
        need = self.strictest(worst)
        text = f"{self.current(worst.power):.1f} A running"
        text += f"; {enough(need):.2f} A would be enough ({rules_text(self.rules)})."
        table = TABLE_ENDS if self.hours.unknown_hours else ()
        return Side(
            self.name, "not assessed", need, spare, worst.when, text, tuple(dict.fromkeys((*missing, *table)))
        )

    def judged(self, spare: float, source: str, conditions: tuple[str, ...], closing: str = "") -> Side:
        """Hold the demand against what is to spare [A]; the note ends with `closing`."""
        worst, firm = self.hours.worst, self.hours.firm

        def over(power: float, rule: RuleName) -> bool:
            return self.required(power, rule) > spare + _ROUNDING

        if all(over(firm.power, rule) for rule in self.rules):
            rule = self.rules[0]
            text = f"{self._said(firm, (rule,))}: more than {spare:.1f} A ({source})."
            if len(self.rules) > 1:
                text += " No rule is stated; it fails by the milder one."
            asked = self.required(firm.power, rule)
            return Side(self.name, "fail", asked, spare, firm.when, text + closing)
        demand = self.strictest(worst)
        note = f"{self._said(worst, self.rules)}; {spare:.1f} A to spare ({source})."
        missing = TABLE_ENDS if self.hours.unknown_hours else ()
        if missing:
            note += f" The power is unknown in {self.hours.unknown_hours} h past the rating table."
        if all(over(worst.power, rule) for rule in self.rules):
            found = fails_at(
                self.heat.hot,
                lambda tried: (
                    "fail" if over(self.part.most(tried.series, self.heat.machine), self.rules[0]) else "pass"
                ),
            )
            missing = (*missing, EXTREME_KEYS["hot spell"])
            note += (
                f" Too little only in the hot spell, whose extreme of {self.heat.hot.extreme.value:.1f} degC is an "
                f"estimate; the check would fail from {found:.1f} degC."
            )
        elif any(over(worst.power, rule) for rule in self.rules):
            missing = (*missing, "electrical_rule")
            note += " Whether that is enough depends on the rule, which is not stated."
        near = [self.required(worst.power, rule) > self.caution * spare for rule in self.rules]
        if not missing and any(near) and not all(near):
            missing = ("electrical_rule",)
            note += " How near that comes depends on the rule, which is not stated."
        status: Status = "not assessed"
        if missing:
            conditions = ()
        elif any(near):
            share = f"{100.0 * demand / spare:.0f} %"
            conditions = (
                *conditions,
                f"the {spare:.1f} A to spare are confirmed: the unit needs {share} of them",
            )
        if not missing:
            status = "caution" if conditions else "pass"
        return Side(self.name, status, demand, spare, worst.when, note + closing, missing, conditions)

    def _said(self, hour: HotHour, rules: tuple[RuleName, ...]) -> str:
        """Running current and what the rules make of it."""
        running = self.current(hour.power)
        asked = " and ".join(
            f"{self.required(hour.power, rule):.1f} A by {FEED_RULES[rule].title}" for rule in rules
        )
        return f"{running:.1f} A running, {asked}"


def _ac_side(site: Site, demand: FeedDemand, heat: SiteHeat, caution: float) -> Side:
    links = demand.links

    def judge(link: Connection | None) -> _Judge:
        def current(power: float) -> float:
            return demand.current(power, link)

        part = carried_by_feed(demand.supply)
        return _Judge("AC feed", heat, part, demand.hours, demand.rules, caution, current)

    if links.fault:
        need = max(demand.required(None, rule) for rule in demand.rules)
        text = f"{links.fault} It needs {need:.1f} A in each of three phases."
        return Side("AC feed", "fail", need, None, demand.hours.worst.when, text)
    first = links.first
    spare = board_spare(site, first)
    if first is None or spare.value is None:
        return judge(first).unknown((*spare.missing, *links.missing), spare.value)
    sides = [_on(judge(link), link, board_spare(site, link)) for link in links.readings]
    side = sides[0]
    if side.status == "fail" and all(other.status == "fail" for other in sides):
        return side
    if side.status == "fail":
        meant = links.readings[1].text
        note = f"{side.note} It may be enough if the unit lies {meant}: confirm feed_volt."
        return replace(side, status="not assessed", note=note, missing=("feed_volt", *links.missing))
    if any(other.status == "fail" for other in sides):
        meant = links.readings[1].text
        note = f"{side.note} It is too little if the unit lies {meant}: confirm feed_volt."
        missing = ("feed_volt", *links.missing)
        return replace(side, status="not assessed", note=note, missing=missing, conditions=())
    if links.missing:
        note = f"{side.note} Whether the board has three phases is not stated."
        missing = tuple(dict.fromkeys((*side.missing, *links.missing)))
        return replace(side, status="not assessed", note=note, missing=missing, conditions=())
    return side


def _on(judge: _Judge, link: Connection, spare: Spare) -> Side:
    """Judge one reading of the board's voltage."""
    if spare.value is None:
        return judge.unknown(spare.missing, None)
    conditions: tuple[str, ...] = ()
    if link.transformer:
        conditions += (f"the unit is fed {link.text}: {TRANSFORMER}",)
    if spare.doubt is not None and judge.strictest(judge.hours.worst) > spare.doubt:
        conditions += (f"feed_kva says only {spare.doubt:.1f} A: which of the two holds is confirmed",)
    breaker = " or ".join(
        f"{standard_rating(judge.required(judge.hours.worst.power, rule), rule):g} A" for rule in judge.rules
    )
    closing = f" The unit lies {link.text}; standard breaker {breaker}."
    return judge.judged(spare.value, spare.source, conditions, closing)


def _dc_side(site: Site, demand: FeedDemand, heat: SiteHeat, caution: float) -> Side:
    supply = demand.supply
    plant, spare = site.number("dc_plant_volt"), site.number("dc_spare_ampere")
    volt = supply.dc_min_volt if plant is None else lowest_volt(plant, supply.dc_min_volt)

    def current(power: float) -> float:
        return dc_current(power, volt, supply.dc_efficiency)

    hours = hot_hours(heat, SERVERS)
    judge = _Judge("DC plant", heat, SERVERS, hours, demand.rules, caution, current)
    cells = (("dc_plant_volt", plant), ("dc_spare_ampere", spare))
    missing = tuple(key for key, cell in cells if cell is None)
    if plant is None or spare is None:
        return judge.unknown(missing, spare)
    conditions: tuple[str, ...] = ()
    if not fits(plant, supply.dc_min_volt):
        conditions = (f"a converter from {plant:g} to 48 V feeds the servers: its losses are not counted",)
    return judge.judged(spare, f"dc_spare_ampere, at {volt:.1f} V", conditions)
