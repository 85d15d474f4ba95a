"""Pressure of the unit on the roof, and the uniform load that strains a roof member as much.

In: weights and lengths. Out: pressures. All at characteristic level (EN 1990) or allowable-stress level
(ASCE 7): no load factors. [N, m, Pa]

A patch pressure that does not exceed a uniform reserve is sufficient, never necessary: the reserve belongs
to a whole bay, so the member decides. For a simply supported member of span L at spacing s that carries a
load P spread evenly over a length c, the mid-span moment is P L/4 (1 - c/(2 L)) (any statics textbook: the
uniform load w s gives w s L^2/8), so w = 2 P/(L s) (1 - c/(2 L)); the end shear of the load at its worst
place, P (1 - c/(2 L)), gives the same w.
"""

import math

from edgecheck.base.constants import GRAVITY

SPREADER_MASS_PER_AREA = 25.0  # kg/m2 of a load-spreading frame, engineering default


def pressure(weight: float, area: float) -> float:
    """Weight over area.

    Parameters
    ----------
    weight : float
        [N]
    area : float
        Plan of the spreader, else of the box, or the whole free area; positive. [m2]

    Returns
    -------
    pressure : float
        [Pa]

    Raises
    ------
    ValueError
        An area that is not positive.
    """
    if not area > 0.0:
        raise ValueError(f"area must be positive, not {area}")
    return weight / area


def spreader_side(limit: float, weight: float, least: float = 0.0) -> float | None:
    """Side of the smallest square spreader under which the pressure does not exceed a limit.

    From (W + 25 kg/m2 g a^2)/a^2 <= p; the mass of the spreader itself is an engineering default.

    Parameters
    ----------
    limit : float
        Pressure that is allowed. [Pa]
    weight : float
        Weight of the unit without a spreader. [N]
    least : float
        Smallest side on which the unit can stand at all. [m]

    Returns
    -------
    side : float or None
        None where the spreader's own weight uses up the limit. [m]
    """
    left = limit - SPREADER_MASS_PER_AREA * GRAVITY
    if left <= 0.0:
        return None
    return max(math.sqrt(weight / left), least)


def member_equivalent(
    weight: float, span: float, spacing: float, along: float = 0.0, across: float = 0.0
) -> float:
    """Uniform roof load that strains a simply supported member as much as the unit does.

    2 P/(L s) (1 - c/(2 L)) with P the whole weight on one member, or P = W/(1 + floor(b/s)) where the base
    is wider than the spacing; c not more than L, with the share of P that then stands on this span.

    Parameters
    ----------
    weight : float
        Unit with spreader. [N]
    span, spacing : float
        L and s of the roof's members, positive. [m]
    along : float
        c, length over which a rigid spreader spreads the load along the member; 0 without one. [m]
    across : float
        b, width of the base across the members. [m]

    Returns
    -------
    equivalent : float
        [Pa]

    Raises
    ------
    ValueError
        A span or spacing that is not positive, or a negative length.
    """
    if not (span > 0.0 and spacing > 0.0):
        raise ValueError(f"span and spacing must be positive, not {span} and {spacing}")
    if along < 0.0 or across < 0.0:
        raise ValueError(f"lengths of the base must not be negative, not {along} and {across}")
    share = weight / (1 + math.floor(across / spacing))
    if along > span:
        share *= span / along
    spread = min(along, span)
    return 2.0 * share / (span * spacing) * (1.0 - spread / (2.0 * span))


def member_demand(
    weight: float,
    span: float,
    spacing: float,
    spreader: tuple[float, float] | None,
    base: tuple[float, float],
) -> float:
    """Greater of the member equivalents of the unit's two orientations, since the list does not say which.

    Parameters
    ----------
    weight : float
        Unit with spreader. [N]
    span, spacing : float
        Of the roof's members. [m]
    spreader : tuple of float or None
        Length and width of a rigid spreader; None: the load is taken at one place along the member. [m]
    base : tuple of float
        Distance between the outer feet, along the front and back; used for the width without a spreader. [m]

    Returns
    -------
    equivalent : float
        [Pa]

    Raises
    ------
    ValueError
        As `member_equivalent`.
    """
    if spreader is None:
        turns = [(0.0, base[0]), (0.0, base[1])]
    else:
        turns = [(spreader[0], spreader[1]), (spreader[1], spreader[0])]
    return max(member_equivalent(weight, span, spacing, along, across) for along, across in turns)


def added_share(weight: float, designed: float, area: float) -> float:
    """Share that a weight adds to the design load of the member that carries it.

    Parameters
    ----------
    weight : float
        [N]
    designed : float
        Design dead with live or snow load, positive. [Pa]
    area : float
        Roof area that the member carries, positive. [m2]

    Returns
    -------
    share : float

    Raises
    ------
    ValueError
        A load or an area that is not positive.
    """
    if not (designed > 0.0 and area > 0.0):
        raise ValueError(f"load and area must be positive, not {designed} and {area}")
    return weight / (designed * area)
