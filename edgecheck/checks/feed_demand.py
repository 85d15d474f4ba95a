"""What the power feed of a site must carry, and what the list says it has to spare.

In: a row, the unit's electrical data, the heat of the site. Out: the hot hour, how the unit lies on the board,
the rules that may hold, the spare current. Everything is worked out once and judged in `feed.py`,
`starting.py` and `cable_drop.py`.
"""

from dataclasses import dataclass

from edgecheck.checks.hot_hour import REST, WHOLE, HotHours, Part, hot_hours
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit_records import Electrical
from edgecheck.services.connection import Connection, Connections, connections
from edgecheck.services.feed import FEED_RULES, RuleName, required_rating, running_current, spare_current

KILO = 1e3
SQUARE_MILLIMETRE = 1e-6  # m2
UNIT_SUPPLY = ("unit: table [electrical]",)
_ORDER: tuple[Status, ...] = ("fail", "not assessed", "caution", "pass")
TRANSFORMER = "somebody sizes the transformer: its losses, its own drop and its inrush are not counted"


@dataclass(frozen=True)
class Spare:
    """What a board has to spare in one phase.

    Parameters
    ----------
    value : float, optional
        None where it is not known. [A]
    source : str
        Column it comes from.
    missing : tuple of str
        Columns without which it is not known.
    doubt : float, optional
        What the other column says where it says less. [A]
    """

    value: float | None
    source: str = ""
    missing: tuple[str, ...] = ()
    doubt: float | None = None


@dataclass(frozen=True)
class FeedDemand:
    """What the AC feed must carry and how the unit lies on it.

    Parameters
    ----------
    supply : Electrical
        The unit's electrical data.
    hours : HotHours
        Servers (where they are on AC), pump and cooling section at full capacity.
    links : Connections
        On the board.
    rules : tuple of str
        The rule that holds, or all that may, the milder first.
    """

    supply: Electrical
    hours: HotHours
    links: Connections
    rules: tuple[RuleName, ...]

    @property
    def on_battery(self) -> bool:
        """Whether the servers run on a DC plant."""
        return self.supply.servers_input == "dc48"

    def current(self, power: float, link: Connection | None) -> float:
        """Current of a power [W] on the board's side of a transformer; at the unit's volts if None. [A]"""
        volt = self.supply.volt if link is None else link.volt
        return running_current(power, volt, self.supply.phases, self.supply.power_factor)

    def required(self, link: Connection | None, rule: RuleName) -> float:
        """What a rule asks of the feed in the hot hour. [A]"""
        return required_rating(self.current(self.hours.worst.power, link), rule)


def feed_demand(site: Site, supply: Electrical, heat: SiteHeat) -> FeedDemand:
    """What the AC feed of a site must carry.

    Parameters
    ----------
    site : Site
        A row of the site list.
    supply : Electrical
        The unit's electrical data.
    heat : SiteHeat
        Year and hot spell.

    Returns
    -------
    FeedDemand
    """
    return FeedDemand(
        supply=supply,
        hours=hot_hours(heat, carried_by_feed(supply)),
        links=connections(supply.volt, supply.phases, site.number("feed_volt"), site.number("feed_phases")),
        rules=rules_of(site),
    )


def carried_by_feed(supply: Electrical) -> Part:
    """What the AC feed carries: all, or all but servers on a DC plant."""
    return REST if supply.servers_input == "dc48" else WHOLE


def rules_of(site: Site) -> tuple[RuleName, ...]:
    """The rule that the list states; all, the milder first, where it states none."""
    stated = site.text("electrical_rule")
    return tuple(name for name in FEED_RULES if stated in (None, name))


def board_spare(site: Site, link: Connection | None) -> Spare:
    """What the board has to spare in the phase that feeds the unit.

    Parameters
    ----------
    site : Site
        feed_spare_ampere is preferred; feed_kva needs voltage and phases of the board.
    link : Connection or None
        Reading of the board's voltage; None where it is not known.

    Returns
    -------
    Spare
    """
    ampere, apparent = site.number("feed_spare_ampere"), site.number("feed_kva")
    phases = site.number("feed_phases")
    by_kva = None
    if apparent is not None and link is not None and phases is not None:
        by_kva = spare_current(apparent * KILO, link.board_volt, int(phases))
    if ampere is not None:
        doubt = by_kva if by_kva is not None and by_kva < ampere else None
        return Spare(ampere, "feed_spare_ampere", doubt=doubt)
    if by_kva is not None:
        return Spare(by_kva, f"feed_kva, {apparent:g} kVA")
    if apparent is None:
        return Spare(None, missing=("feed_spare_ampere",))
    cells = (("feed_volt", site.number("feed_volt")), ("feed_phases", phases))
    return Spare(None, missing=tuple(key for key, cell in cells if cell is None))


def without_unit_data(check: Check) -> CheckResult:
    """Result of a check of the feed for a unit whose file has no table [electrical]."""
    note = "The unit file has no table [electrical]: its voltage and phases are unknown."
    return outcome(check, "not assessed", missing=UNIT_SUPPLY, note=note)


def worse(*statuses: Status) -> Status:
    """The worst of several statuses."""
    return min(statuses, key=_ORDER.index)


def rules_text(rules: tuple[RuleName, ...]) -> str:
    """Titles of rules, joined by "or"."""
    return " or ".join(FEED_RULES[rule].title for rule in rules)
