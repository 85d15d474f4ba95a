"""The load spreader that a site states: what it weighs and what plan it may be credited with.

In: a row of the site list. Out: mass, plan, and which of its cells are missing.

A rigid frame spreads the load over its whole plan. A board or a slab bends between the feet; its plan is
not credited, only its mass. A spreader of unknown kind is treated like a board. An empty spreader is no
spreader: the unit stands on its own plan. A spreader of which some cells are filled and its length, width
or mass is missing leaves the checks not assessed.
"""

from dataclasses import dataclass

from edgecheck.inputs.sites import Site
from edgecheck.roof.load import SPREADER_MASS_PER_AREA

_SIZES = ("spreader_length_m", "spreader_width_m", "spreader_kg")


@dataclass(frozen=True)
class Spreader:
    """What lies between the feet of the unit and the roof.

    Parameters
    ----------
    kind : str
        "frame", "slab", "board", "unknown", or "none".
    length, width : float, optional
        [m]
    mass : float
        As stated, else 25 kg/m2 of its plan (engineering default), 0 where the plan is unknown too. [kg]
    mass_source : str
        Key or assumption.
    missing : tuple of str
        Keys of the site list without which a stated spreader cannot be counted.
    """

    kind: str
    length: float | None
    width: float | None
    mass: float
    mass_source: str
    missing: tuple[str, ...] = ()

    @property
    def stated(self) -> bool:
        """Whether there is one."""
        return self.kind != "none"

    @property
    def plan(self) -> tuple[float, float] | None:
        """Length and width in m, None where unknown."""
        if self.length is None or self.width is None:
            return None
        return self.length, self.width

    @property
    def rigid_plan(self) -> tuple[float, float] | None:
        """Plan in m over which the load may be taken as spread evenly; None where it is not rigid."""
        return self.plan if self.kind == "frame" else None

    def bearing_plan(self, body: tuple[float, float]) -> tuple[float, float]:
        """Plan on which the unit's weight is taken as uniform.

        Parameters
        ----------
        body : tuple of float
            Length and depth of the unit's body. [m]

        Returns
        -------
        plan : tuple of float
            The rigid spreader's, else the smaller of the body's and the spreader's. [m]
        """
        if self.rigid_plan is not None:
            return self.rigid_plan
        if self.plan is not None and self.plan[0] * self.plan[1] < body[0] * body[1]:
            return self.plan
        return body


NO_SPREADER = Spreader("none", None, None, 0.0, "no spreader stated")


def stated_spreader(site: Site) -> Spreader:
    """Read the spreader of a site.

    Parameters
    ----------
    site : Site
        A row of the site list.

    Returns
    -------
    spreader : Spreader
        `NO_SPREADER` where the kind is "none" or empty and no size or mass is given.
    """
    kind = site.text("spreader_kind")
    length, width, mass = (site.number(key) for key in _SIZES)
    if length is None and width is None and mass is None and kind in (None, "none"):
        return NO_SPREADER
    missing = tuple(key for key, value in zip(_SIZES, (length, width, mass), strict=True) if value is None)
    source = "site: spreader_kg"
    if mass is None and length is not None and width is not None:
        mass = SPREADER_MASS_PER_AREA * length * width
        source = "25 kg/m2 of the spreader's plan (engineering default)"
    elif mass is None:
        source = "unknown, counted as 0"
    known = kind if kind in ("frame", "slab", "board") else "unknown"
    return Spreader(known, length, width, mass or 0.0, source, missing)
