"""Check of a short power cut: the liquid's peak before cooling is back, in every hour of year and spells.

Past the rating table the liquid may be warmer than computed: those hours leave the check open unless it fails
anyway.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.checks.estimated import EXTREME_KEYS, fails_at
from edgecheck.checks.heat import TABLE_ENDS, clock
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.heat.curve import NONE
from edgecheck.heat.machine import Machine
from edgecheck.heat.power_cut import LONGEST_SHORT_CUT, PowerCut, worst_cut
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.site_heat import SiteHeat, Spell

RESTART_CAUTION_K = 5.0  # below the alarm, engineering default

RESTART = Check(
    id="outage.restart",
    title="Liquid peak after a short power cut",
    sense="at most",
    unit="degC",
    inputs=(("weather",),),
    basis="one node, closed form: no heat but the shell's while power is off, full load until cooling is back",
    confidence="engineering default",
)


@dataclass(frozen=True)
class WorstCut:
    """The short power cut with the warmest liquid in one series.

    Parameters
    ----------
    name : str
        Series.
    time : datetime64
        Local standard time of the cut.
    estimated : bool
        Whether it rests on an estimated extreme.
    start, at_return, peak : float
        [degC]
    lasting : bool
        Whether a cut of an hour is worse there than a momentary one.
    held : int
        Hours of the series in which the machine ran before the cut, and in which the liquid is then above what
        its pressure switch allows.
    """

    name: str
    time: np.datetime64
    estimated: bool
    start: float
    at_return: float
    peak: float
    lasting: bool
    held: int

    @property
    def when(self) -> str:
        """Name of the series and local standard time."""
        return f"{self.name} {clock(self.time)}"


@dataclass(frozen=True)
class PowerCuts:
    """Short power cuts in year and spells.

    Parameters
    ----------
    worst, worst_firm : WorstCut
        Warmest of all series; of those that do not rest on an estimated extreme.
    held : int
        Hours, over all series, of `WorstCut.held`.
    """

    worst: WorstCut
    worst_firm: WorstCut
    held: int


def power_cuts(heat: SiteHeat) -> PowerCuts:
    """Short power cuts in every hour of year and spells."""
    found = []
    for name, series, time, estimated in heat.all_series:
        cut, longer = worst_cut(series, heat.machine)
        hour = int(np.argmax(cut.peak))
        found.append(
            WorstCut(
                name=name,
                time=time[hour],
                estimated=estimated,
                start=float(cut.start[hour]),
                at_return=float(cut.at_return[hour]),
                peak=float(cut.peak[hour]),
                lasting=bool(longer[hour]),
                held=int(np.count_nonzero(_held(series, cut))),
            )
        )
    firm = [entry for entry in found if not entry.estimated]
    return PowerCuts(
        worst=max(found, key=lambda entry: entry.peak),
        worst_firm=max(firm, key=lambda entry: entry.peak),
        held=sum(entry.held for entry in found),
    )


def _held(series: HeatSeries, cut: PowerCut) -> NDArray[np.bool_]:
    """Hours that the machine could run in before the cut, and not with the liquid that it finds after it."""
    curve = series.curve
    held = np.asarray(cut.peak > curve.trip)
    return held & (curve.locked == NONE) & (cut.start <= curve.trip) if held.any() else held


def restart_check(check: Check, cuts: PowerCuts, heat: SiteHeat) -> CheckResult:
    """Liquid peak after a short power cut against the alarm.

    Parameters
    ----------
    check : Check
        outage.restart.
    cuts : PowerCuts
        Of the site.
    heat : SiteHeat
        For the alarm, the restart delay and the hours whose capacity is unknown.
    """
    machine, worst = heat.machine.uncooled(), cuts.worst
    limit = machine.alarm
    length = f"a cut of {LONGEST_SHORT_CUT / 3600.0:.0f} h" if worst.lasting else "a momentary cut"
    notes = [
        f"From {worst.at_return:.1f} degC, {machine.restart_delay / 60.0:.0f} min at full load without cooling; "
        f"{length} is the worst."
    ]
    status: Status = "pass"
    missing: tuple[str, ...] = ()
    condition = ""
    if cuts.worst_firm.peak > limit:
        status = "fail"
    elif worst.peak > limit:
        status, missing = "not assessed", (EXTREME_KEYS[worst.name],)
        spell = heat.hot if worst.name == "hot spell" else heat.cold
        found = fails_at(spell, lambda tried: _restart_status(tried, machine))
        notes.append(
            f"Too warm only in the {worst.name}, whose extreme of {spell.extreme.value:.1f} degC is an estimate; "
            f"the check would fail from {found:.1f} degC."
        )
    elif heat.unknown_hours:
        status, missing = "not assessed", TABLE_ENDS
        notes.append(f"The liquid is unknown in {heat.unknown_hours} h past the rating table.")
    elif cuts.held:
        status, condition = "caution", "after a short power cut in the heat somebody must see to the restart"
    elif worst.peak > limit - RESTART_CAUTION_K:
        status, condition = (
            "caution",
            "let the servers start in steps after a power cut: the liquid nears alarm",
        )
    if cuts.held:
        notes.append(
            f"In {cuts.held} h the liquid is then warmer than the condensing limit allows: "
            "the machine does not come back by itself with all servers on."
        )
    return outcome(
        check, status, worst.peak, limit, governed_by=worst.when, note=" ".join(notes), missing=missing,
        condition=condition,
    )  # fmt: skip


def _restart_status(spell: Spell, machine: Machine) -> Status:
    """Whether the liquid of a spell alone gets past the alarm."""
    return "fail" if float(np.max(worst_cut(spell.series, machine)[0].peak)) > machine.alarm else "pass"


def restart_detail(cuts: PowerCuts, heat: SiteHeat) -> dict[str, Any]:
    """Numbers of the report; units in the names."""
    worst = cuts.worst
    return {
        "peak_c": worst.peak,
        "when": worst.when,
        "start_c": worst.start,
        "at_return_c": worst.at_return,
        "cut_min": LONGEST_SHORT_CUT / 60.0 if worst.lasting else 0.0,
        "delay_min": heat.machine.restart_delay / 60.0,
        "alarm_c": heat.machine.alarm,
        "hours_held": cuts.held,
        "estimated": worst.estimated,
    }
