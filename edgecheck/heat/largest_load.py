"""Largest IT load that a site can carry at the required margins.

The least of what headroom, hot spell and cold spell allow, up to what the box can be filled with; found by
bisection, since every one of them falls with the load. A load profile keeps its shape. For a report the same is
looked at load by load.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.balance import march
from edgecheck.heat.curve import CoolingCurve
from edgecheck.heat.headroom import HeatLoad, headroom, service_share
from edgecheck.heat.load_search import Halving, Hours, largest_by_share
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries, cooling_curve, heat_load_of

FloatArray = NDArray[np.float64]


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
    fixed = None if filled.rejects_load else year.curve
    if fixed is not None and year.load.setpoint != filled.setpoint:  # a supply limit moves with the load
        fixed = cooling_curve(year.surroundings, filled)

    def shares(load: float, hours: Hours) -> FloatArray:
        machine = machine_at(load)
        curve = _curve_of(year, machine, hours) if fixed is None else fixed.window(hours)
        return service_share(curve, _load_of(year, machine).window(hours), machine.service_max)

    def survives(load: float) -> bool:
        machine = machine_at(load)
        curve = _curve_of(hot, machine, slice(None)) if fixed is None else hot.curve
        course = march(curve, _load_of(hot, machine), machine.bath)
        peak = float(np.max(course.peak)) + machine.band / 2.0
        return course.stops == 0 and peak <= machine.alarm - peak_limit_margin

    def stays_warm(load: float) -> bool:
        machine = machine_at(load)
        curve = _curve_of(cold, machine, slice(None)) if fixed is None else cold.curve
        course = march(curve, _load_of(cold, machine), machine.bath)
        return course.lowest_on >= machine.start_min

    with_headroom = largest_by_share(shares, most, least_share)
    found = with_headroom if survives(with_headroom) else Halving(survives, with_headroom).largest()
    # the bath of a cold spell is the warmer the more the servers draw: one that falls too far at the largest load
    # falls too far at any
    return found if stays_warm(found) else 0.0


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
    every = slice(None)
    found = []
    for load in loads:
        machine = machine_at(load)
        curves = [_curve_of(series, machine, every) for series in (year, hot, cold)]
        rooms = [
            headroom(curve, _load_of(series, machine), machine.service_max)
            for series, curve in zip((year, hot, cold), curves, strict=True)
        ]
        warm, chilled = (
            march(curve, _load_of(series, machine), machine.bath)
            for series, curve in zip((hot, cold), curves[1:], strict=True)
        )
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


def _curve_of(series: HeatSeries, machine: Machine, hours: Hours) -> CoolingCurve:
    """What a machine at another load can do in some hours of a series."""
    air = series.surroundings.around(machine).at_section(machine).window(hours)
    return machine.cooling.curve(air, machine.span).times(machine.in_service)


def _load_of(series: HeatSeries, machine: Machine) -> HeatLoad:
    """Heat to reject of a machine at another load; limits stated on the supply move its setpoint too."""
    shell = series.surroundings.envelope
    at_setpoint = shell.total - shell.conductance * (machine.setpoint - series.load.setpoint)
    return heat_load_of(at_setpoint, shell.conductance, machine, series.load_share)
