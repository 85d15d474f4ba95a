"""The servers' load at a site: how much, and how it goes over the hours.

In: a row, the unit, the row's load profile where it names one. Out: `ItLoad`. A load that the box cannot hold is a
fault of the row.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.place import row_fault
from edgecheck.inputs.load_profile import LoadProfile
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit

FloatArray = NDArray[np.float64]

KILO = 1e3


@dataclass(frozen=True)
class ItLoad:
    """Load of the servers.

    Parameters
    ----------
    full : float
        What a share of 1 stands for: the list's it_load_kw, or the unit's load. [W]
    profile : LoadProfile or None
        Over the hours; None for the full load in every hour.
    """

    full: float
    profile: LoadProfile | None = None

    def shares(self, time: NDArray[np.datetime64]) -> FloatArray | float:
        """Load of some hours as a share of the full one; one number where it is always the same. [-]"""
        return 1.0 if self.profile is None else self.profile.shares(time, self.full / KILO)

    def spell_shares(
        self, time: NDArray[np.datetime64], year: NDArray[np.datetime64], *, warm: bool
    ) -> FloatArray | float:
        """Load of the hours of a spell, which may fall in any week; one number where it is always the same. [-]

        Parameters
        ----------
        time, year : ndarray of datetime64, shape (n,) and (8760,)
            Hours of the spell; of the year that it was taken from.
        warm : bool
            A hot spell meets the greatest load that the year has at an hour of the day, a cold one the least.
        """
        whole = self.shares(year)
        if isinstance(whole, float):
            return whole
        hour_of_year = (year - year.astype("datetime64[D]")) // np.timedelta64(1, "h")
        hour_of_spell = (time - time.astype("datetime64[D]")) // np.timedelta64(1, "h")
        worst = np.max if warm else np.min
        return np.array([float(worst(whole[hour_of_year == hour])) for hour in range(24)])[hour_of_spell]


def it_load(site: Site, unit: Unit, profile: LoadProfile | None = None) -> ItLoad:
    """Load of the servers at a site.

    Parameters
    ----------
    site : Site
        A usable row of the list.
    unit : Unit
        Its load and what it can be filled with.
    profile : LoadProfile, optional
        What the file says that the row names as load_profile.

    Returns
    -------
    ItLoad

    Raises
    ------
    InputFaults
        If the load, in any hour, is more than the unit can be filled with; or if the row names a load profile that
        is not given.
    """
    most = unit.servers.load_max_kw
    listed = site.number("it_load_kw")
    load = unit.servers.load_kw if listed is None else listed
    named = site.text("load_profile")
    too_much = f"more than {unit.name} can be filled with, {most:g} kW"
    if load > most:
        if "it_load_kw" in site.assumed:
            too_much += f"; assumed: {site.assumed['it_load_kw'].text()}"
        raise row_fault(site, "it_load_kw", f"{load:g}", too_much)
    if (named is None) != (profile is None):
        text = "the row names no load profile" if named is None else "the load profile is not given"
        raise row_fault(site, "load_profile", named or "", text)
    if profile is not None and profile.most_kw(load) > most * (1.0 + 1e-9):
        text = f"its greatest load, {profile.most_kw(load):.4g} kW, is {too_much}"
        raise row_fault(site, "load_profile", profile.name, text)
    return ItLoad(load * KILO, profile)
