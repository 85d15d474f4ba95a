"""Largest IT load that a site can carry at the required margins.

The least of what headroom, hot spell and cold spell allow, up to what the box can be filled with; found by
bisection, since every one of them falls with the load. A load profile keeps its shape. For a report the same is
looked at load by load.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.balance import LiquidCourse, march
from edgecheck.heat.curve import CoolingCurve
from edgecheck.heat.headroom import HeatLoad, headroom, service_share
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries, Surroundings, cooling_curve, heat_load_of

FloatArray = NDArray[np.float64]

RESOLUTION = 1.0  # W
_WORST_HOURS = 24  # looked at together: a look at a few hours costs what one costs


def largest_it_load(
    year: HeatSeries,
    hot: HeatSeries,
    cold: HeatSeries,
    machine_at: Callable[[float], Machine],
    most: float,
    least_share: float,
    peak_limit_margin: float,
) -> float | None:
    """Largest IT load at the required margins.

    Parameters
    ----------
    year, hot, cold : HeatSeries
        Run at any load; their surroundings are used.
    machine_at : callable
        Machine at an IT load [W].
    most : float
        What the box can be filled with. [W]
    least_share : float
        Required service headroom share of every hour of the year. [-]
    peak_limit_margin : float
        Required distance of the hot spell's liquid peak from the alarm. [K]

    Returns
    -------
    float or None
        0 where a limit bars the machine whatever the load; None where an hour past the rating table leaves it
        unknown. [W]
    """
    series = (year, hot, cold)
    if any(np.any(one.headroom.barred) for one in series):
        return 0.0
    if any(np.any(one.headroom.unknown) for one in series):
        return None

    # what a compressor can do does not depend on the load; a dry cooler breathes part of what it rejects again
    filled = machine_at(most)
    hours, warm, chilled = (_Hours.of(one, None if filled.rejects_load else one.curve) for one in series)
    # a limit on the supply moves with the load
    if hours.curve is not None and year.load.setpoint != filled.setpoint:
        hours = replace(hours, curve=cooling_curve(year.surroundings, filled))

    def survives(load: float) -> bool:
        machine = machine_at(load)
        course = warm.followed(machine)
        peak = float(np.max(course.peak)) + machine.band / 2.0
        return course.stops == 0 and peak <= machine.alarm - peak_limit_margin

    def stays_warm(load: float) -> bool:
        machine = machine_at(load)
        return chilled.followed(machine).lowest_on >= machine.start_min

    found = largest_by_share(hours, machine_at, most, least_share)
    if not survives(found):
        found = _halved(survives, found)
    # the bath of a cold spell is the warmer the more the servers draw: one that falls too far at the largest load
    # falls too far at any
    return found if stays_warm(found) else 0.0


def largest_by_share(
    hours: "_Hours", machine_at: Callable[[float], Machine], most: float, least_share: float
) -> float:
    """Largest load whose headroom share holds in every hour, as halving finds it, no more than `most`. [W]

    Sought in the worst hours, and again in those that cannot do what these can, until all hours carry what is found.
    """
    found = most
    while found > 0.0:
        machine = machine_at(found)
        share = hours.shares(machine)
        short = np.flatnonzero(~(share >= least_share))
        if not short.size:
            break
        carried = hours.carried(machine, share, least_share)[short]
        worst = hours.some(short[np.argsort(carried)[:_WORST_HOURS]])
        found = _largest_step(
            partial(worst.look, machine_at, least_share, found), most, float(np.min(carried))
        )
    return found


def _largest_step(look: Callable[[float], tuple[bool, float]], most: float, guess: float) -> float:
    """Largest load that is carried among those that `_halved` can end at, by guesses at where it ends. [W]

    A look says whether a load is carried, and what it makes one expect as the largest.
    """
    steps = 1
    while most / steps > RESOLUTION:
        steps *= 2
    low, high, looks = 0, steps, 0
    while high - low > 1:
        # a guess that is not a number, or a third look, halves
        step = int(min(max(guess / most, 0.0), 1.0) * steps) if guess == guess and looks % 3 < 2 else 0
        step = min(max(step, low + 1), high - 1) if step else (low + high) // 2
        carries, guess = look(_step_of_halving(step, steps, most))
        low, high = (step, high) if carries else (low, step)
        looks += 1
    return _step_of_halving(low, steps, most)


def _step_of_halving(step: int, steps: int, most: float) -> float:
    """One of so many equal steps up to `most`, with the digits to which halving comes. [W]"""
    low, high = 0.0, most
    while steps > 1:
        steps //= 2
        middle = (low + high) / 2.0
        low, high = (middle, high) if step & steps else (low, middle)
    return low


def _halved(carries: Callable[[float], bool], most: float) -> float:
    """Largest load below one that is not carried, within the resolution; 0 where none is. [W]"""
    low, high = 0.0, most
    while high - low > RESOLUTION:
        middle = (low + high) / 2.0
        low, high = (middle, high) if carries(middle) else (low, middle)
    return low


# of `Surroundings`, what the inlet air and the load of an hour rest on
_INLET = (
    "temp_air", "pressure", "mixing_rise", "density", "recirculation_rise", "inlet_air", "factor",
    "discharge_heat", "load_share",
)  # fmt: skip


@dataclass(frozen=True)
class _Hours:
    """Hours of a series in which machines of other loads are looked at.

    Parameters
    ----------
    around : Surroundings
        Of which what concerns the inlet air and the load's share is used.
    shell_heat, shell_conductance : ndarray, shape (time,)
        With the liquid at `setpoint`. [W], [W/K]
    setpoint : float
        [degC]
    curve : CoolingCurve or None
        Where it is the same for every load.
    """

    around: Surroundings
    shell_heat: FloatArray
    shell_conductance: FloatArray
    setpoint: float
    curve: CoolingCurve | None

    @classmethod
    def of(cls, series: HeatSeries, curve: CoolingCurve | None = None) -> "_Hours":
        """All hours of a series."""
        shell = series.surroundings.envelope
        return cls(series.surroundings, shell.total, shell.conductance, series.load.setpoint, curve)

    def some(self, hours: NDArray[np.intp]) -> "_Hours":
        """Some of them."""
        around = self.around
        cut: dict[str, Any] = {}
        for name in _INLET:
            value = getattr(around, name)
            cut[name] = value[hours] if isinstance(value, np.ndarray) else value
        return _Hours(
            replace(around, **cut),
            self.shell_heat[hours],
            self.shell_conductance[hours],
            self.setpoint,
            None if self.curve is None else self.curve.window(hours),
        )

    def curve_of(self, machine: Machine) -> CoolingCurve:
        """What a machine can do in these hours."""
        if self.curve is not None:
            return self.curve
        return cooling_curve(self.around.around(machine), machine)

    def load_of(self, machine: Machine) -> HeatLoad:
        """Heat to reject of a machine; limits stated on the supply move its setpoint too."""
        moved = machine.setpoint - self.setpoint
        at_setpoint = self.shell_heat - self.shell_conductance * moved if moved else self.shell_heat
        return heat_load_of(at_setpoint, self.shell_conductance, machine, self.around.load_share)

    def followed(self, machine: Machine) -> LiquidCourse:
        """The liquid through these hours."""
        return march(self.curve_of(machine), self.load_of(machine), machine.bath)

    def shares(self, machine: Machine) -> FloatArray:
        """Service headroom share of each. [-]"""
        return service_share(self.curve_of(machine), self.load_of(machine), machine.service_max)

    def carried(self, machine: Machine, share: FloatArray, least_share: float) -> FloatArray:
        """Load at which each would have the least share if capacity stayed as it is; `share` is the machine's. [W]"""
        load = self.load_of(machine)
        idle = load.at_setpoint_off
        with np.errstate(divide="ignore", invalid="ignore"):
            can = (1.0 + share) / (1.0 + least_share) * load.at_setpoint
            return np.asarray(machine.it * (can - idle) / (load.at_setpoint - idle))

    def look(
        self, machine_at: Callable[[float], Machine], least_share: float, too_much: float, load: float
    ) -> tuple[bool, float]:
        """Whether all of them carry a load below one that is known to be too much, and the expected largest. [W]"""
        machine = machine_at(load)
        share = self.shares(machine)
        carries = load < too_much and bool(np.all(share >= least_share))
        return carries, float(np.min(self.carried(machine, share, least_share)))


@dataclass(frozen=True)
class AtLoad:
    """Year and spells at one IT load.

    Parameters
    ----------
    load : float
        [W]
    hours_short : int
        Of the year: service headroom below zero, or capacity not known.
    least_share : float
        Service headroom share of the worst hour; past the rating table with its last column. [-]
    hot_peak, cold_lowest : float
        Liquid in the hot spell, half the control band included; in the cold spell with the servers on. [degC]
    hot_holds, cold_holds : bool
        Whether the spell is survived at the required margin, the servers on all the time. A spell with an hour of
        unknown capacity is not.
    """

    load: float
    hours_short: int
    least_share: float
    hot_peak: float
    cold_lowest: float
    hot_holds: bool
    cold_holds: bool


def at_loads(
    year: HeatSeries,
    hot: HeatSeries,
    cold: HeatSeries,
    machine_at: Callable[[float], Machine],
    loads: Iterable[float],
    peak_limit_margin: float,
) -> tuple[AtLoad, ...]:
    """Year and spells at several IT loads.

    Parameters
    ----------
    year, hot, cold : HeatSeries
        Run at any load; their surroundings are used.
    machine_at : callable
        Machine at an IT load [W].
    loads : iterable of float
        [W]
    peak_limit_margin : float
        Required distance of the hot spell's liquid peak from the alarm. [K]

    Returns
    -------
    tuple of AtLoad
        In the order of the loads.
    """
    series = [_Hours.of(one) for one in (year, hot, cold)]
    found = []
    for load in loads:
        machine = machine_at(load)
        curves = [hours.curve_of(machine) for hours in series]
        asked = [hours.load_of(machine) for hours in series]
        rooms = [headroom(*pair, machine.service_max) for pair in zip(curves, asked, strict=True)]
        warm, chilled = (march(curves[i], asked[i], machine.bath) for i in (1, 2))
        peak = float(np.max(warm.peak)) + machine.band / 2.0
        hot_unknown, cold_unknown = (bool(np.any(room.unknown)) for room in rooms[1:])
        found.append(
            AtLoad(
                load=load,
                hours_short=int(np.count_nonzero(rooms[0].short)),
                least_share=float(np.min(rooms[0].share_bound)),
                hot_peak=peak,
                cold_lowest=chilled.lowest_on,
                hot_holds=warm.stops == 0 and peak <= machine.alarm - peak_limit_margin and not hot_unknown,
                cold_holds=chilled.stops == 0
                and chilled.lowest_on >= machine.start_min
                and not np.any(rooms[2].barred)
                and not cold_unknown,
            )
        )
    return tuple(found)
