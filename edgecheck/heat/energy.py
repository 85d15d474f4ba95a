"""Electrical power of the unit by part, and the energy of any of its hours.

Partial PUE after ISO/IEC 30134-2:2016, whose boundary is here the box: all that the box takes in over what its
servers take in. (The edition of 2016 was replaced in 2026; the ratio is the same.) Servers are counted at their
own terminals: the loss of distribution in the box belongs to the rest.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
Hours = slice | NDArray[np.bool_]

HOUR = 3600.0
ALL_HOURS = slice(None)


@dataclass(frozen=True)
class Energy:
    """Energy of some hours by part.

    Parameters
    ----------
    it, distribution, pump, cooling, standby : float
        As in `PowerParts`. [J]
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
    """Mean electrical power of every hour by part, shape (time,).

    Parameters
    ----------
    it : ndarray
        Servers at their terminals, with leakage and throttling at the liquid temperature at the end of the hour. [W]
    distribution : ndarray
        Loss of power conversion in the box. [W]
    pump : ndarray
        [W]
    cooling : ndarray
        Cooling sections in hours in which they take out heat: compressor, fans, controls. [W]
    standby : ndarray
        Cooling sections in hours in which they take out none, and sections that stand by. [W]
    """

    it: FloatArray
    distribution: FloatArray
    pump: FloatArray
    cooling: FloatArray
    standby: FloatArray

    @property
    def total(self) -> FloatArray:
        """Electrical input of the box. [W]"""
        return self.it + self.distribution + self.pump + self.cooling + self.standby

    @property
    def partial_pue(self) -> FloatArray:
        """Partial PUE of every hour; NaN where the servers take in nothing. [-]"""
        blank = np.full(self.it.shape, np.nan)
        return np.divide(self.total, self.it, out=blank, where=self.it > 0.0)

    def energy(self, hours: Hours = ALL_HOURS) -> Energy:
        """Energy of some hours."""
        return Energy(
            **{one.name: HOUR * float(np.sum(getattr(self, one.name)[hours])) for one in fields(self)}
        )


def power_parts(
    it: FloatArray,
    distribution_share: float,
    pump: float,
    idle: float,
    drawn: FloatArray,
    cooled: FloatArray,
) -> PowerParts:
    """Power of every hour by part.

    Parameters
    ----------
    it : ndarray, shape (time,)
        Servers at their terminals. [W]
    distribution_share : float
        Loss of distribution as a share of it. [-]
    pump, idle : float
        Pump; sections that stand by. [W]
    drawn : ndarray, shape (time,)
        By the sections in service. [W]
    cooled : ndarray, shape (time,)
        Heat that they take out. [W]

    Returns
    -------
    PowerParts
    """
    running = cooled > 0.0
    return PowerParts(
        it=it,
        distribution=distribution_share * it,
        pump=np.full(it.shape, pump),
        cooling=np.where(running, drawn, 0.0),
        standby=idle + np.where(running, 0.0, drawn),
    )
