"""Electrical power of the unit by part, and the energy of any of its hours.

Partial PUE after ISO/IEC 30134-2:2016, whose boundary is here the box: all that the box takes in over what its
servers take in. (The edition of 2016 was replaced in 2026; the ratio is the same.) Servers are counted at their
own terminals: the loss of distribution in the box belongs to the rest.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.energy_kernel import sums_by_group

FloatArray = NDArray[np.float64]

HOUR = 3600.0


@dataclass(frozen=True)
class Energy:
    """Energy of some hours by part.

    Parameters
    ----------
    it, distribution : float
        Servers at their terminals; loss of power conversion in the box. [J]
    pump : float
        [J]
    cooling, standby : float
        Cooling sections in hours in which they take out heat; in hours in which they take out none, and sections that
        stand by. [J]
    """

    it: float
    distribution: float
    pump: float
    cooling: float
    standby: float

    @property
    def total(self) -> float:
        """All that the box takes in. [J]"""
        return self.it + self.distribution + self.pump + self.cooling + self.standby

    @property
    def partial_pue(self) -> float:
        """All that the box takes in over what its servers take in; NaN where they take in nothing. [-]"""
        return self.total / self.it if self.it > 0.0 else float("nan")


@dataclass(frozen=True)
class PowerParts:
    """Mean electrical power of every hour; its parts are worked out when somebody looks at them.

    Parameters
    ----------
    it : ndarray, shape (time,)
        Servers at their terminals, with leakage and throttling at the liquid temperature at the end of the hour. [W]
    distribution_share : float
        Loss of power conversion in the box as a share of it. [-]
    pump_power, idle : float
        Pump; sections that stand by. [W]
    drawn, cooled : ndarray, shape (time,)
        By the sections in service; heat that they take out. [W]
    """

    it: FloatArray
    distribution_share: float
    pump_power: float
    idle: float
    drawn: FloatArray
    cooled: FloatArray

    @property
    def distribution(self) -> FloatArray:
        """Loss of power conversion in the box. [W]"""
        return self.distribution_share * self.it

    @property
    def cooling(self) -> FloatArray:
        """Cooling sections in hours in which they take out heat: compressor, fans, controls. [W]"""
        return np.where(self.cooled > 0.0, self.drawn, 0.0)

    @property
    def standby(self) -> FloatArray:
        """Cooling sections in hours in which they take out none, and sections that stand by. [W]"""
        return self.idle + np.where(self.cooled > 0.0, 0.0, self.drawn)

    @property
    def total(self) -> FloatArray:
        """Electrical input of the box. [W]"""
        return (1.0 + self.distribution_share) * self.it + (self.pump_power + self.idle) + self.drawn

    @property
    def partial_pue(self) -> FloatArray:
        """Partial PUE of every hour; NaN where the servers take in nothing. [-]"""
        blank = np.full(self.it.shape, np.nan)
        return np.divide(self.total, self.it, out=blank, where=self.it > 0.0)

    def energy(self) -> Energy:
        """Energy of all hours."""
        return self.energy_by(np.zeros(self.it.size, dtype=np.int64), 1)[0]

    def energy_by(self, group: NDArray[np.int64], groups: int) -> tuple[Energy, list[Energy]]:
        """Energy of all hours, and of groups of them such as months.

        Parameters
        ----------
        group : ndarray of int, shape (time,)
            Which group each hour belongs to, 0 to `groups` - 1.
        groups : int
            How many there are; the energy of one without hours is 0.
        """
        sums = np.zeros((groups, 4))
        sums_by_group(group, self.it, self.drawn, self.cooled, sums)
        return self._energy(*sums.sum(axis=0).tolist()), [self._energy(*row) for row in sums.tolist()]

    def _energy(self, hours: float, it: float, running: float, waiting: float) -> Energy:
        """Energy of so many hours from sums of power over them [W]."""
        return Energy(
            it=HOUR * it,
            distribution=HOUR * self.distribution_share * it,
            pump=HOUR * self.pump_power * hours,
            cooling=HOUR * running,
            standby=HOUR * (self.idle * hours + waiting),
        )


def power_parts(
    it: FloatArray,
    distribution_share: float,
    pump: float,
    idle: float,
    drawn: FloatArray,
    cooled: FloatArray,
) -> PowerParts:
    """Power of every hour by part; parameters as `PowerParts`."""
    return PowerParts(it, distribution_share, pump, idle, drawn, cooled)
