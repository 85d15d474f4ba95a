"""Largest IT load that a site can carry at the required margins.

The least of what headroom, hot spell and cold spell allow, up to what the box can be filled with; found by
bisection, since every one of them falls with the load.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.balance import march
from edgecheck.heat.headroom import HeatLoad, headroom
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries, cooling_curve, heat_load_of

FloatArray = NDArray[np.float64]

_RESOLUTION = 1.0  # W


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

    # what the cooling section can do does not depend on the load
    curve, beyond_by = cooling_curve(year.surroundings, machine_at(most))

    def carries(load: float) -> bool:
        machine = machine_at(load)
        room = headroom(curve, _load_of(year, machine), machine.service_max, beyond_by)
        if float(np.min(room.share_bound)) < least_share:
            return False
        course = march(hot.curve, _load_of(hot, machine), machine.bath)
        peak = float(np.max(course.peak)) + machine.band / 2.0
        return course.stops == 0 and peak <= machine.alarm - peak_limit_margin

    if carries(most):
        return most
    low, high = 0.0, most
    while high - low > _RESOLUTION:
        middle = (low + high) / 2.0
        low, high = (middle, high) if carries(middle) else (low, middle)
    return low


def _load_of(series: HeatSeries, machine: Machine) -> HeatLoad:
    """Heat to reject of a machine at another load; limits stated on the supply move its setpoint too."""
    shell = series.surroundings.envelope
    at_setpoint = shell.total - shell.conductance * (machine.setpoint - series.load.setpoint)
    return heat_load_of(at_setpoint, shell.conductance, machine)
