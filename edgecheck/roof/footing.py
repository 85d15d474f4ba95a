"""Reactions of the feet of a rigid box, with contact only.

In: the plan of the feet, the weight, the centre of gravity. Out: the force under every foot, the cases with
one foot off the ground, and the greatest force that one foot can give to the roof. [N, m]

A rigid box on n equal springs that can push but not pull stores the least energy that equilibrium allows,
so its reactions r minimise sum(r^2) under sum(r) = W, sum(r x) = W x_c, sum(r y) = W y_c, r >= 0 (least
work with unilateral supports; without the last condition it is the pile-group formula W/n + M x / sum(x^2)
of foundation textbooks, for four symmetric feet W/4 (1 +- 2 e_x/a +- 2 e_y/b)). The least-distance form of
that problem is solved exactly with non-negative least squares: Lawson & Hanson, Solving Least Squares
Problems (1974), ch. 23.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import nnls

Array = NDArray[np.float64]

_SMALL = 1e-10  # share of the weight below which a reaction is none


@dataclass(frozen=True)
class FootCase:
    """One way in which the box may stand.

    Parameters
    ----------
    text : str
        What is assumed.
    unsupported : int, optional
        Number of the foot that hangs free, counted from 1 in the order of the unit file.
    centre : tuple of float
        Centre of gravity in plan. [m]
    reactions : tuple of float
        Force under every foot, 0 where it is free; empty for a bound without a distribution. [N]
    greatest : float, optional
        Greatest force under one foot; None where the box tips over. [N]
    """

    text: str
    unsupported: int | None
    centre: tuple[float, float]
    reactions: tuple[float, ...]
    greatest: float | None


@dataclass(frozen=True)
class PointDemand:
    """Greatest force that one foot gives to the roof.

    Parameters
    ----------
    value : float, optional
        None where the box tips over with its centre of gravity inside the stated tolerance. [N]
    case : str
        The case that governs.
    weight : float
        Of the box. [N]
    of_unit_weight : tuple of FootCase
        Every case that was looked at, for a weight of 1 N.
    """

    value: float | None
    case: str
    weight: float
    of_unit_weight: tuple[FootCase, ...]

    @cached_property
    def cases(self) -> tuple[FootCase, ...]:
        """Every case that was looked at."""
        return tuple(
            FootCase(
                case.text,
                case.unsupported,
                case.centre,
                tuple([self.weight * share for share in case.reactions]),
                None if case.greatest is None else self.weight * case.greatest,
            )
            for case in self.of_unit_weight
        )


def elastic_reactions(feet: ArrayLike, weight: float, centre: ArrayLike) -> Array | None:
    """Reactions of a rigid box on equal springs that cannot pull.

    Parameters
    ----------
    feet : array_like, shape (n, 2)
        Plan positions of the feet, n >= 3 and not all in one line. [m]
    weight : float
        Weight of the box, positive. [N]
    centre : array_like, shape (2,)
        Plan position of the centre of gravity. [m]

    Returns
    -------
    reactions : ndarray, shape (n,), or None
        Forces under the feet, none negative; None where the centre of gravity is outside the feet, so that
        the box tips over. [N]

    Raises
    ------
    ValueError
        Fewer than three feet, all feet in one line, a weight that is not positive, or a value that is not
        finite.
    """
    plan = _plan(feet)
    point = np.asarray(centre, dtype=float)
    if point.shape != (2,) or not np.all(np.isfinite(point)):
        raise ValueError("centre of gravity: two finite plan coordinates are needed")
    if not (np.isfinite(weight) and weight > 0.0):
        raise ValueError(f"weight must be positive and finite, not {weight}")
    share = _shares_of_weight(tuple(map(tuple, plan.tolist())), tuple(point.tolist()))
    return None if share is None else weight * share


@lru_cache(maxsize=4096)
def _shares_of_weight(feet: tuple[tuple[float, float], ...], centre: tuple[float, float]) -> Array | None:
    """Share of each foot in the weight; a list asks for the same unit again and again."""
    plan, point = np.array(feet), np.array(centre)
    origin = plan.mean(axis=0)
    size = float(np.abs(plan - origin).max())
    equations = np.vstack([np.ones(len(plan)), ((plan - origin) / size).T])
    loads = np.concatenate([[1.0], (point - origin) / size])
    return _least_contact(equations, loads)


def admissible_without(feet: ArrayLike, weight: float, centre: ArrayLike) -> tuple[tuple[int, Array], ...]:
    """Cases with one foot off the ground in which the box is still in equilibrium.

    With four feet the other three follow from statics alone; with more feet the others are equal springs. A
    foot whose absence would need tension elsewhere cannot be free: the box rocks onto it.

    Parameters
    ----------
    feet, weight, centre
        As in `elastic_reactions`. [m, N, m]

    Returns
    -------
    cases : tuple of (int, ndarray of shape (n,))
        Number of the free foot, counted from 1, and the forces under all feet (0 under the free one). [N]

    Raises
    ------
    ValueError
        As in `elastic_reactions`.
    """
    plan = _plan(feet)
    cases: list[tuple[int, Array]] = []
    for free in range(len(plan)):
        rest = np.delete(plan, free, axis=0)
        if _in_line(rest):
            continue
        others = elastic_reactions(rest, weight, centre)
        if others is not None:
            cases.append((free + 1, np.insert(others, free, 0.0)))
    return tuple(cases)


def point_demand(
    feet: tuple[tuple[float, float], ...], weight: float, centre: tuple[float, float], tolerance: float
) -> PointDemand:
    """Greatest force that one foot gives to the roof.

    The greatest of the reactions on equal springs and of every admissible case with one foot free, each
    with the centre of gravity where it is stated and at the four corners of its tolerance, and for four
    feet half the weight, the bound of a box that rocks on two diagonal feet (a few millimetres of
    unevenness are enough).

    Parameters
    ----------
    feet : tuple of (float, float)
        As in `elastic_reactions`. [m]
    weight, centre
        As in `elastic_reactions`. [N, m]
    tolerance : float
        How far the centre of gravity may lie from its stated place along each axis, not negative. [m]

    Returns
    -------
    demand : PointDemand

    Raises
    ------
    ValueError
        As in `elastic_reactions`, or a negative tolerance.
    """
    if not (math.isfinite(weight) and weight > 0.0):
        raise ValueError(f"weight must be positive and finite, not {weight}")
    if not tolerance >= 0.0:
        raise ValueError(f"tolerance of the centre of gravity must not be negative, not {tolerance}")
    cases = _cases_of_unit_weight(feet, centre, tolerance)
    forces: list[float] = []
    for case in cases:
        if case.greatest is None:
            return PointDemand(None, case.text, weight, cases)
        forces.append(weight * case.greatest)
    most = max(forces)
    return PointDemand(most, cases[forces.index(most)].text, weight, cases)


@lru_cache(maxsize=64)
def _cases_of_unit_weight(
    feet: tuple[tuple[float, float], ...], centre: tuple[float, float], tolerance: float
) -> tuple[FootCase, ...]:
    """Work out every case for a weight of 1 N: many sites share a unit, and the forces are linear in weight."""
    plan, (x, y) = _plan(feet), centre
    cases: list[FootCase] = []
    for place, position in _positions(x, y, tolerance):
        together = elastic_reactions(plan, 1.0, position)
        if together is None:
            text = f"tips over: centre of gravity {place} is outside the feet"
            cases.append(FootCase(text, None, position, (), None))
            continue
        cases.append(_case(f"all feet in contact, centre of gravity {place}", None, position, together))
        for foot, forces in admissible_without(plan, 1.0, position):
            cases.append(_case(f"foot {foot} free, centre of gravity {place}", foot, position, forces))
    if len(plan) == 4:
        cases.append(FootCase("half the weight on one of two diagonal feet", None, (x, y), (), 0.5))
    return tuple(cases)


def _positions(x: float, y: float, tolerance: float) -> Sequence[tuple[str, tuple[float, float]]]:
    positions = [("as stated", (x, y))]
    if tolerance > 0.0:
        for along, dx in (("left", -tolerance), ("right", tolerance)):
            for back, dy in (("front", -tolerance), ("back", tolerance)):
                text = f"{tolerance * 1000:.0f} mm to the {back} and {tolerance * 1000:.0f} mm to the {along}"
                positions.append((text, (x + dx, y + dy)))
    return positions


def _case(text: str, unsupported: int | None, centre: tuple[float, float], forces: Array) -> FootCase:
    return FootCase(text, unsupported, centre, tuple(float(force) for force in forces), float(forces.max()))


def _plan(feet: ArrayLike) -> Array:
    plan = np.asarray(feet, dtype=float)
    if plan.ndim != 2 or plan.shape[1] != 2:
        raise ValueError("feet: an array of plan coordinates, shape (n, 2), is needed")
    if not np.all(np.isfinite(plan)):
        raise ValueError("feet: every coordinate must be finite")
    if len(plan) < 3:
        raise ValueError(f"{len(plan)} feet: a box that stands free needs at least three")
    if _in_line(plan):
        raise ValueError("all feet lie in one line: the box does not stand free")
    return plan


def _in_line(plan: Array) -> bool:
    spread = np.linalg.svd(plan - plan.mean(axis=0), compute_uv=False)
    return bool(spread[1] <= 1e-9 * spread[0])


def _least_contact(equations: Array, loads: Array) -> Array | None:
    """Least-norm solution of equations @ r = loads with r >= 0; None where there is none."""
    least = np.asarray(np.linalg.lstsq(equations, loads, rcond=None)[0], dtype=float)
    if least.min() >= -_SMALL:
        return np.maximum(least, 0.0)
    count = equations.shape[1]
    if count == 3:
        return None
    free = np.linalg.svd(equations)[2][3:].T  # self-balanced force patterns, shape (n, n - 3)
    # a pull of rounding size is let through, so that a weight exactly over an edge stands
    bound = -least - 0.1 * _SMALL
    system = np.vstack([free.T, bound[np.newaxis, :]])
    target = np.zeros(count - 2)
    target[-1] = 1.0
    multipliers = nnls(system, target)[0]
    residual = system @ multipliers - target
    if float(np.linalg.norm(residual)) < 1e-6:
        return None
    forces = least - free @ (residual[:-1] / residual[-1])
    contact = forces > _SMALL
    polished = np.zeros(count)
    polished[contact] = np.linalg.lstsq(equations[:, contact], loads, rcond=None)[0]
    if polished.min() >= -_SMALL:
        forces = polished
    forces = np.maximum(forces, 0.0)
    closed = np.abs(equations @ forces - loads).max() <= 10.0 * _SMALL
    return forces if closed else None
