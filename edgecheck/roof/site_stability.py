"""Everything that wind and seismic action do to the unit at a site, before anybody judges it.

In: a row of the site list, the unit, the density of its liquid, nationally determined values. Out: one record:
effects loose and with the stated ballast, the ballast that would do, the forces of anchors. [N, kg]

Against the wind the unit stands in its lightest state, the one in which it can be left alone; the seismic
action is taken in that state and in operation, whichever asks more of the anchors.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from edgecheck.base.kept import kept
from edgecheck.inputs.combinations import (
    Combination,
    Level,
    Standard,
    Use,
    combinations,
    recommended,
    stability_combinations,
)
from edgecheck.inputs.sites import Site
from edgecheck.inputs.stability_criteria import StabilityCriteria
from edgecheck.inputs.unit import Unit
from edgecheck.roof.fixing import (
    AnchorForce,
    Anchoring,
    StatedFixing,
    anchor_force,
    anchoring,
    seismic_pulls,
    stated_fixing,
    wind_pulls,
)
from edgecheck.roof.mass import mass_states
from edgecheck.roof.seismic_action import SiteSeismic, site_seismic
from edgecheck.roof.spreader import NO_SPREADER, Spreader, stated_spreader
from edgecheck.roof.stability import KINDS, Effect, Kind, Wind, effects, needed_ballast
from edgecheck.roof.stand import Stand, stand_of
from edgecheck.roof.wind_action import SiteWind, site_wind, with_default


@dataclass(frozen=True)
class Friction:
    """Friction as it counts.

    Parameters
    ----------
    value : float, optional
        None where the row gives none: there is no default.
    tested : bool
        Whether a test stands behind it; anything else is a suggestion.
    remark : str
        What was done to the stated value; empty where nothing.
    """

    value: float | None
    tested: bool
    remark: str = ""


@dataclass(frozen=True)
class SiteStability:
    """Wind and seismic action on the unit at a site.

    Parameters
    ----------
    fixing : StatedFixing
        What the row says.
    friction : Friction
        As it counts.
    slope : float
        Of the roof. [deg]
    wind : SiteWind
        Wind, or what is missing.
    seismic : SiteSeismic
        Seismic action, what exempts from it, or what is missing.
    stand, operating : Stand
        The unit in its lightest state, and as it runs; without ballast.
    combinations : tuple of Combination
        By which an unanchored unit is judged.
    loose, given : tuple of Effect
        Effects of the wind without ballast and with the stated ballast; empty where the wind is not known.
    ballast_for : mapping of str to float or None
        Least ballast against sliding (where the friction is known), overturning and uplift; None where no
        ballast is enough; empty where the wind is not known. [kg]
    level : {"design", "asd"}
        At which the forces of the anchors are given.
    anchors : Anchoring, optional
        None where there are fewer anchors than feet.
    wind_anchors, seismic_anchors : tuple of AnchorForce
        What one anchor has to hold, case by case.
    """

    fixing: StatedFixing
    friction: Friction
    slope: float
    wind: SiteWind
    seismic: SiteSeismic
    stand: Stand
    operating: Stand
    combinations: tuple[Combination, ...]
    loose: tuple[Effect, ...]
    given: tuple[Effect, ...]
    ballast_for: Mapping[Kind, float | None]
    level: Level
    anchors: Anchoring | None
    wind_anchors: tuple[AnchorForce, ...]
    seismic_anchors: tuple[AnchorForce, ...]

    @property
    def ballast(self) -> float | None:
        """Least ballast that is enough; None where wind or friction is not known, or none is enough. [kg]"""
        return most_ballast(self.ballast_for)

    @property
    def levels(self) -> tuple[Level, ...]:
        """Levels at which resistances of anchors may be stated under the site's standard."""
        return ("design",) if self.wind.standard == "en" else ("design", "asd")


def site_stability(site: Site, unit: Unit, values: StabilityCriteria, liquid_density: float) -> SiteStability:
    """Work out what wind and seismic action do to the unit at a site.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        The unit that stands there.
    values : StabilityCriteria
        Nationally determined values and engineering defaults.
    liquid_density : float
        At filling temperature, 20 degC. [kg/m3]

    Returns
    -------
    found : SiteStability

    Raises
    ------
    ValueError
        A unit whose feet lie in one line.
    """
    fixing, friction = stated_fixing(site), _friction(site, values.friction_without_test)
    slope = with_default(site, "roof_slope_deg")
    stand, operating = stands(site, unit, liquid_density)
    wind, seismic = site_wind(site, unit, values, stand.top), site_seismic(site, unit, values)
    standard = wind.standard
    level: Level = "asd" if fixing.level == "asd" and standard != "en" else "design"
    anchors = anchoring(unit.mass.feet_m, fixing.anchors if fixing.capacity_stated else None)
    known: tuple[Combination, ...] = ()
    loose: tuple[Effect, ...] = ()
    given: tuple[Effect, ...] = ()
    ballast: dict[Kind, float | None] = {}
    wind_forces: tuple[AnchorForce, ...] = ()
    seismic_forces: tuple[AnchorForce, ...] = ()
    if standard is not None:
        known = judged_by(standard, values)
        if wind.wind is not None:
            loose = _effects(stand, wind.wind, known, friction.value, slope)
            given = loose
            if fixing.ballast:
                given = _effects(stand.with_ballast(fixing.ballast), wind.wind, known, friction.value, slope)
            ballast = ballast_by_kind(stand, wind.wind, known, friction.value, slope)
            pulling = pulled_by(standard, "wind", level, values)
            if anchors is not None:
                wind_forces = tuple(
                    anchor_force(pull, anchors) for pull in wind_pulls(stand, wind.wind, pulling)
                )
        shaking = pulled_by(standard, "seismic", level, values)
        if anchors is not None:
            pulls = seismic_pulls((operating, stand), seismic, shaking)
            seismic_forces = tuple(anchor_force(pull, anchors) for pull in pulls)
    return SiteStability(
        fixing=fixing,
        friction=friction,
        slope=slope,
        wind=wind,
        seismic=seismic,
        stand=stand,
        operating=operating,
        combinations=known,
        loose=loose,
        given=given,
        ballast_for=ballast,
        level=level,
        anchors=anchors,
        wind_anchors=wind_forces,
        seismic_anchors=seismic_forces,
    )


def ballast_by_kind(
    stand: Stand, wind: Wind, known: Sequence[Combination], friction: float | None, slope: float = 0.0
) -> dict[Kind, float | None]:
    """Least ballast against each way of losing stability, sliding only where the friction is known. [kg]"""
    return {
        kind: needed_ballast(stand, wind, known, friction, slope, (kind,))
        for kind in KINDS
        if kind != "sliding" or friction is not None
    }


def most_ballast(needed: Mapping[Kind, float | None]) -> float | None:
    """Ballast that is enough against every way; None where one is not known or none is enough. [kg]"""
    masses = [mass for mass in needed.values() if mass is not None]
    return max(masses) if len(masses) == len(KINDS) else None


def stands(site: Site, unit: Unit, liquid_density: float) -> tuple[Stand, Stand]:
    """The unit in its lightest state and as it runs, on what the site puts under it, without ballast."""
    spreader = stated_spreader(site)
    if spreader.rigid_plan is None or site.text("spreader_fixed") != "yes":
        return _on_feet(unit, liquid_density)
    thickness = site.number("spreader_thickness_mm")
    height = None if thickness is None else thickness / 1000.0
    return _on(spreader, height, unit, liquid_density)


@kept
def _on_feet(unit: Unit, liquid_density: float) -> tuple[Stand, Stand]:
    """All sites of a unit share it."""
    return _on(None, None, unit, liquid_density)


def _on(
    frame: Spreader | None, height: float | None, unit: Unit, liquid_density: float
) -> tuple[Stand, Stand]:
    """The unit in its lightest state and as it runs, on a frame of some height [m] or on its feet."""
    states = mass_states(unit, liquid_density)
    lightest = min(states.values(), key=lambda state: state.mass)
    light, operating = (
        stand_of(unit, state, frame or NO_SPREADER, fixed=frame is not None, frame_height=height)
        for state in (lightest, states["operating"])
    )
    return light, operating


def national_values(values: StabilityCriteria) -> dict[str, float]:
    """Nationally determined factors of the load combinations."""
    return {name: float(getattr(values, name)) for name in recommended()}


@lru_cache(maxsize=16)
def judged_by(standard: Standard, values: StabilityCriteria) -> tuple[Combination, ...]:
    """Combinations by which an unanchored unit is judged."""
    return stability_combinations(standard, national_values(values))


@lru_cache(maxsize=16)
def pulled_by(
    standard: Standard, use: Use, level: Level, values: StabilityCriteria
) -> tuple[Combination, ...]:
    """Combinations of an action by which anchors are loaded."""
    return combinations(standard, use, level=level, national=national_values(values))


def with_uplift(found: SiteStability, coefficient: float) -> tuple[Effect, ...]:
    """Effects on the loose unit with another uplift coefficient, EN only; empty where there is no such wind."""
    wind = found.wind.wind
    if wind is None or not hasattr(wind, "uplift_coefficient"):
        return ()
    other: Wind = replace(wind, uplift_coefficient=coefficient)  # type: ignore[type-var]
    return _effects(found.stand, other, found.combinations, found.friction.value, found.slope)


def _effects(
    stand: Stand, wind: Wind, known: Sequence[Combination], friction: float | None, slope: float
) -> tuple[Effect, ...]:
    return tuple(
        effect for combination in known for effect in effects(stand, wind, combination, friction, slope)
    )


def _friction(site: Site, without_test: float) -> Friction:
    stated = site.number("friction_design")
    tested = site.text("friction_evidence") == "test"
    if stated is None or tested or stated <= without_test:
        return Friction(stated, tested)
    return Friction(without_test, tested, f"friction {stated:g} counts as {without_test:g} without a test")
