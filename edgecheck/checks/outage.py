"""Checks of the outage group: minutes to server shutdown when cooling is lost.

Two causes: the cooling section stops and the pump runs on (the whole bath warms), or the pump stops too (only
the liquid around the boards takes part and the pump's heat is gone). The start is the greater of the upper edge
of the control band and the hour's own liquid temperature; the servers' load is the hour's own.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from edgecheck.checks.estimated import EXTREME_KEYS, fails_at
from edgecheck.checks.heat import TABLE_ENDS, clock
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.heat.machine import Machine
from edgecheck.heat.outage import Rise, rise_without_cooling, start_of
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.site_heat import SiteHeat, Spell
from edgecheck.inputs.criteria import OutageCriteria

FloatArray = NDArray[np.float64]

OUTAGE_CHECKS: tuple[Check, ...] = (
    Check(
        id="outage.cooling-lost",
        title="Time to server shutdown, pump running",
        sense="at least",
        unit="min",
        inputs=(("weather",),),
        has_true_zero=True,
        basis="one node, closed form t = -(C/k) ln(1 - k dT/Q0); one restart and two failed attempts",
        confidence="engineering default",
    ),
    Check(
        id="outage.pump-lost",
        title="Time to server shutdown, pump stopped",
        sense="at least",
        unit="min",
        inputs=(("weather",),),
        has_true_zero=True,
        basis="as above with the share of the liquid that circulates by itself; time for an orderly shutdown",
        confidence="engineering default",
    ),
)


@dataclass(frozen=True)
class Loss:
    """What happens in every hour of a series when cooling is lost.

    Parameters
    ----------
    rise : Rise
        The liquid from the loss on, shape (time,).
    shutdown, alarm : float
        [degC]
    """

    rise: Rise
    shutdown: float
    alarm: float

    @cached_property
    def to_shutdown(self) -> FloatArray:
        """Time until the servers stop, infinite where they do not, shape (time,). [s]"""
        return self.rise.time_to(self.shutdown)

    @cached_property
    def to_alarm(self) -> FloatArray:
        """Time to the alarm, infinite where it is not reached, shape (time,). [s]"""
        return self.rise.time_to(self.alarm)

    def minutes_in(self, hour: int, limit: float) -> float:
        """Time to a limit [degC] in one hour; infinite where it is not reached. [min]"""
        return float(self.rise.at(hour).time_to(limit)[0]) / 60.0

    def curve(self, hour: int, minutes: FloatArray) -> FloatArray:
        """Liquid temperature after the loss in one hour; shape of `minutes`. [degC]"""
        return self.rise.at(hour).after(minutes * 60.0)


def loss_of_cooling(series: HeatSeries, machine: Machine, *, pump_runs: bool) -> Loss:
    """Loss of cooling in every hour of a series.

    Parameters
    ----------
    series : HeatSeries
        Shape (time,).
    machine : Machine
        The unit.
    pump_runs : bool
        False where the pump is lost too.

    Returns
    -------
    Loss
    """
    machine = machine.uncooled()
    capacity = machine.hardware_heat_capacity
    if pump_runs:
        capacity += machine.liquid_heat_capacity
    else:
        capacity += machine.natural_share * machine.liquid_heat_capacity
    pump_heat = machine.pump_heat if pump_runs else 0.0
    rise = rise_without_cooling(series, machine, start_of(series, machine), capacity, pump_heat)
    return Loss(rise, machine.bath.shutdown, machine.alarm)


@dataclass(frozen=True)
class Governing:
    """The loss with the least time to shutdown among year and spells.

    Parameters
    ----------
    loss : Loss
        Of the series it stands in.
    hour : int
        Index in that series.
    name : str
        "year", "hot spell" or "cold spell".
    time : ndarray of datetime64, shape (time,)
        Local standard time of that series.
    estimated : bool
        Whether that series rests on an estimated extreme.
    """

    loss: Loss
    hour: int
    name: str
    time: NDArray[np.datetime64]
    estimated: bool

    @property
    def when(self) -> str:
        """Name of the series and local standard time of the hour."""
        return f"{self.name} {clock(self.time[self.hour])}"

    @cached_property
    def minutes(self) -> float:
        """Time to shutdown. [min]"""
        return self.loss.minutes_in(self.hour, self.loss.shutdown)

    @cached_property
    def minutes_to_alarm(self) -> float:
        """Time to the alarm, infinite where it is not reached. [min]"""
        return self.loss.minutes_in(self.hour, self.loss.alarm)


@dataclass(frozen=True)
class Losses:
    """Loss of cooling in year and spells, by cause.

    Parameters
    ----------
    year : Loss
        Every hour of the year.
    worst : Governing
        Least time to shutdown among year and spells, the first on a tie.
    worst_firm : Governing
        The same among series that do not rest on an estimated extreme.
    """

    year: Loss
    worst: Governing
    worst_firm: Governing


def losses(heat: SiteHeat, *, pump_runs: bool) -> Losses:
    """Loss of cooling at a site by one cause.

    Parameters
    ----------
    heat : SiteHeat
        Year and spells.
    pump_runs : bool
        False where the pump is lost too.
    """
    found = []
    for name, series, time, estimated in heat.all_series:
        loss = loss_of_cooling(series, heat.machine, pump_runs=pump_runs)
        found.append(Governing(loss, loss.rise.soonest(loss.shutdown), name, time, estimated))
    firm = [entry for entry in found if not entry.estimated]
    return Losses(
        year=found[0].loss,
        worst=min(found, key=lambda entry: entry.minutes),
        worst_firm=min(firm, key=lambda entry: entry.minutes),
    )


def outage_check(check: Check, loss: Losses, heat: SiteHeat, criteria: OutageCriteria) -> CheckResult:
    """Minutes to shutdown against the limit of the cause.

    Parameters
    ----------
    check : Check
        outage.cooling-lost or outage.pump-lost.
    loss : Losses
        By that cause.
    heat : SiteHeat
        For the restart delay and for hours whose capacity is unknown: their liquid may be warmer than computed.
    criteria : OutageCriteria
        Limits.
    """
    pump_runs = check.id == "outage.cooling-lost"
    if pump_runs:
        limit = max(criteria.ride_through_min_minutes, 3.0 * heat.machine.restart_delay / 60.0)
        caution = criteria.ride_through_caution_minutes
    else:
        limit, caution = criteria.pump_lost_min_minutes, criteria.pump_lost_caution_minutes
    worst = loss.worst
    note = (
        f"{worst.minutes_to_alarm:.1f} min to the alarm."
        if math.isfinite(worst.minutes_to_alarm)
        else "The alarm is not reached."
    )
    if heat.machine.servers.throttles:
        share = heat.machine.throttle_share
        note += f" Servers that throttle to {share:.0%} of their power by shutdown are counted on."
    status: Status = "pass"
    missing: tuple[str, ...] = ()
    condition = ""
    if loss.worst_firm.minutes < limit:
        status = "fail"
    elif worst.minutes < limit:
        spell = heat.hot if worst.name == "hot spell" else heat.cold
        status, missing = "not assessed", (EXTREME_KEYS[worst.name],)
        found = fails_at(spell, lambda tried: _status_in(tried, heat.machine, limit, pump_runs=pump_runs))
        note += (
            f" Short only in the {worst.name}, whose extreme of {spell.extreme.value:.1f} degC is an estimate; "
            f"the check would fail from {found:.1f} degC."
        )
    elif heat.unknown_hours:
        status, missing = "not assessed", TABLE_ENDS
        note += f" The liquid is unknown in {heat.unknown_hours} h past the rating table."
    elif worst.minutes < caution:
        status = "caution"
        condition = f"operations must be ready within {worst.minutes:.0f} min when cooling is lost"
    return outcome(
        check, status, worst.minutes, limit, governed_by=worst.when, note=note, missing=missing,
        condition=condition,
    )  # fmt: skip


def _status_in(spell: Spell, machine: Machine, limit: float, *, pump_runs: bool) -> Status:
    """Whether a spell alone leaves less time than the limit [min]."""
    loss = loss_of_cooling(spell.series, machine, pump_runs=pump_runs)
    minutes = loss.minutes_in(loss.rise.soonest(loss.shutdown), loss.shutdown)
    return "fail" if minutes < limit else "pass"
