"""Load, limits and service headroom of one hour of the reference model, by brute force.

Conventions 4, 5 and 8 to 10 of `tests.reference.model` are used here.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from tests.reference.model import Conditions, Unit, capacity, condensing, read_table


def it_heat(now: Conditions, unit: Unit, t: float) -> float:
    """IT power at a liquid temperature, leakage included, distribution loss not."""
    return now.it_load * (1.0 + unit.leakage * (t - unit.leakage_reference))


def pump_heat(unit: Unit) -> float:
    """Pump heat that counts as load of the cooling section."""
    return 0.0 if unit.net_of_pump else unit.pump_heat


def envelope(now: Conditions, unit: Unit, t: float) -> float:
    """Envelope heat, linear about the setpoint."""
    return now.envelope_set - now.slope * (t - unit.setpoint)


def load(now: Conditions, unit: Unit, t: float, servers: bool = True) -> float:
    """Heat that has to go at a liquid temperature."""
    it = it_heat(now, unit, t) * (1.0 + unit.loss) if servers else 0.0
    return it + pump_heat(unit) + envelope(now, unit, t)


def closed_by(now: Conditions, unit: Unit, t: float, cp: float) -> str | None:
    """Name of the maker's limit that is open at a liquid temperature; None when the machine may run."""
    if now.temp_air < unit.inlet_min:
        return "inlet-low"
    if now.t_in > unit.inlet_max:
        return "inlet-high"
    if condensing(unit, t, now.t_in, now.t_eq, now.factor, cp) > unit.condensing_limit:
        return "condensing"
    return None


def beyond_table(now: Conditions, unit: Unit) -> bool:
    """Whether the hour asks for a column that the maker did not rate."""
    return now.t_eq > unit.columns[-1]


@dataclass(frozen=True)
class Service:
    """Service headroom of an hour. `headroom` is an upper bound where `known` is false."""

    headroom: float
    at: float
    share: float
    binding: str
    known: bool


def grid(low: float, high: float, step: float) -> list[float]:
    """Points from low to high, both included."""
    count = max(1, math.ceil((high - low) / step))
    return [low + (high - low) * i / count for i in range(count + 1)]


def service_headroom(now: Conditions, unit: Unit, cp: float, step: float = 0.01) -> Service:
    """Best margin over the service range, on a fine grid, its kinks and the edges of the condensing limit."""
    points = grid(unit.setpoint, unit.service_max, step)
    for row in unit.rows:
        rated = read_table(unit, unit.capacities, row, now.t_eq, False)
        offset = rated / (unit.flow * cp) if unit.leaving else 0.0
        points += [t for t in (row, row + offset) if unit.setpoint < t < unit.service_max]
    points.sort()
    reasons = [closed_by(now, unit, t, cp) for t in points]
    for (a, first), (b, second) in pairwise(list(zip(points, reasons, strict=True))):
        if (first is None) != (second is None):
            good, bad = (a, b) if first is None else (b, a)
            for _ in range(60):
                middle = (good + bad) / 2.0
                if closed_by(now, unit, middle, cp) is None:
                    good = middle
                else:
                    bad = middle
            points.append(good)
    points.sort()
    best, at, reason = -math.inf, unit.setpoint, None
    for t in points:
        why = closed_by(now, unit, t, cp)
        margin = (0.0 if why else capacity(unit, t, now.t_eq, cp)) - load(now, unit, t)
        if margin > best:
            best, at, reason = margin, t, why
    known = reason is not None or not beyond_table(now, unit)
    floor = it_heat(now, unit, at) + pump_heat(unit)
    if not known:
        reason = "beyond-table"
    elif reason is None:
        reason = "capacity" if best < 0.0 else "none"
    return Service(best, at, best / max(load(now, unit, at), floor), reason, known)


def setpoint_headroom(now: Conditions, unit: Unit, cp: float) -> float:
    """Margin at the setpoint; minus the load where a limit is open; NaN where the table does not say."""
    if closed_by(now, unit, unit.setpoint, cp) is not None:
        return -load(now, unit, unit.setpoint)
    if beyond_table(now, unit):
        return math.nan
    return capacity(unit, unit.setpoint, now.t_eq, cp) - load(now, unit, unit.setpoint)
