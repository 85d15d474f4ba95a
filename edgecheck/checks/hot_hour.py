"""The hour in which a supply must carry most: of the year or the hot spell, with the compressor on.

In: the heat of a site. Out: the hour with what is on in it; beside it the same without a hot spell whose extreme
is only an estimate, and how many hours nobody has stated the power of.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.kept import kept
from edgecheck.checks.heat import clock
from edgecheck.heat.machine import Machine
from edgecheck.heat.series import HeatSeries
from edgecheck.heat.site_heat import SiteHeat
from edgecheck.services.peak_power import PeakPower, peak_power

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class HotHour:
    """What a supply carries in one hour.

    Parameters
    ----------
    when : str
        "year" or "hot spell" and local standard time; "any hour" for servers that draw the same in all.
    load_share : float
        Of the servers in it. [-]
    estimated : bool
        Whether it rests on an estimated extreme.
    servers, pump, cooling : float
        0 for what another supply carries. [W]
    liquid, equivalent_inlet : float
        At which the rating table is read. [degC]
    """

    when: str
    estimated: bool
    load_share: float
    servers: float
    pump: float
    cooling: float
    liquid: float
    equivalent_inlet: float

    @property
    def power(self) -> float:
        """All that the supply carries. [W]"""
        return self.servers + self.pump + self.cooling


@dataclass(frozen=True)
class Part:
    """Which part of the unit a supply carries."""

    servers: bool
    rest: bool

    def of(self, peak: PeakPower) -> FloatArray:
        """Power of every hour, shape (time,). [W]"""
        if not self.rest:
            return peak.servers
        rest = peak.cooling + peak.pump
        return peak.servers + rest if self.servers else rest

    def unknown(self, peak: PeakPower, machine: Machine) -> NDArray[np.bool_]:
        """Hours whose power nobody has stated, shape (time,); without leakage servers do not feel the liquid."""
        if self.rest or machine.leakage > 0.0:
            return peak.unknown
        return np.zeros_like(peak.unknown)

    def most(self, series: HeatSeries, machine: Machine) -> float:
        """Greatest known power of a series. [W]"""
        peak = peak_power(series, machine)
        return float(np.max(np.where(self.unknown(peak, machine), -np.inf, self.of(peak))))


WHOLE, SERVERS, REST = Part(True, True), Part(True, False), Part(False, True)


@dataclass(frozen=True)
class HotHours:
    """The hour in which a supply carries most.

    Parameters
    ----------
    worst : HotHour
        Of year and hot spell, among the hours whose power is known.
    firm : HotHour
        The same without a hot spell whose extreme is an estimate.
    unknown_hours : int
        Hours past the rating table, whose power is not known.
    """

    worst: HotHour
    firm: HotHour
    unknown_hours: int


@kept
def hot_hours(heat: SiteHeat, part: Part) -> HotHours:
    """Find the hour in which a supply carries most.

    Parameters
    ----------
    heat : SiteHeat
        Year and hot spell are looked at.
    part : Part
        What the supply carries.

    Returns
    -------
    HotHours
        In a year that lies past the rating table in every hour, its power is that of the table's last column.
    """
    found: list[HotHour] = []
    open_hours = 0
    for name, series, time, estimated in heat.all_series[:2]:
        peak = peak_power(series, heat.machine)
        unknown, total = part.unknown(peak, heat.machine), part.of(peak)
        count = int(np.count_nonzero(unknown))
        open_hours += count
        if count == total.size and found:
            continue
        some = 0 < count < total.size
        hour = int(np.argmax(np.where(unknown, -np.inf, total) if some else total))
        share = series.load_share
        always = not part.rest and not heat.machine.leakage and heat.profile is None
        found.append(
            HotHour(
                when="any hour" if always else f"{name} {clock(time[hour])}",
                estimated=estimated,
                load_share=float(share[hour]) if isinstance(share, np.ndarray) else float(share),
                servers=float(peak.servers[hour]) if part.servers else 0.0,
                pump=peak.pump if part.rest else 0.0,
                cooling=float(peak.cooling[hour]) if part.rest else 0.0,
                liquid=float(peak.liquid[hour]),
                equivalent_inlet=float(series.equivalent_inlet[hour]),
            )
        )
    firm = [hour for hour in found if not hour.estimated]
    return HotHours(
        worst=max(found, key=lambda hour: hour.power),
        firm=max(firm, key=lambda hour: hour.power),
        unknown_hours=open_hours,
    )
