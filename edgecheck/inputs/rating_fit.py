"""A rating table from few points of a data sheet.

In go points, out comes a `RatingFit`: surfaces of capacity and power by constrained least squares, a table over the
range that the points cover, and how far every point lies from it. Capacity never rises with inlet air temperature and
never falls with liquid temperature, power never falls with inlet air temperature: a table with a dent would pass or
fail an hour for no reason of the machine's.

Of the three forms the one is taken that best foretells each point from all the others. The biquadratic is the usual
form of published chiller curves (from memory); the simpler ones are for points too few to carry it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.notes import Note
from edgecheck.inputs.covered_range import REACH_K, Range, box_of, covered, outside
from edgecheck.inputs.monotone_surface import FORMS, Surface, fitted, spread
from edgecheck.inputs.rating_points import RatingPoints

FloatArray = NDArray[np.float64]

LEAST_POINTS = 6  # as many as the biquadratic has terms; below, noise and machine cannot be told apart
LEAST_TEMPERATURES = 3  # of each kind: two would hide every curve between them
LEAST_LIQUID_SPAN_K, LEAST_AIR_SPAN_K = 5.0, 10.0  # engineering default: a table narrower serves no site
LEAST_WIDTH_K = 2.0  # engineering default: narrower, the points lie on a line
GOOD_SHARE, MOST_SHARE = 0.02, 0.05
"""Root mean square of the relative differences: up to the first a fit is good (from memory: the usual demand on fits of
chiller curves), up to the second it is used with a caution, beyond it is refused (engineering default: half of the
usual headroom margin)."""
WORST_SPREAD = 60.0  # condition number; 3 by 3 evenly spread points have 4 (engineering default)
STEP_K = 5.0  # between rows and columns: a biquadratic lies within 0.2 % of its straight lines
END_GAP_K = 1.5  # no row or column closer to an end of the range
DIGITS = 3  # of the table, kW


@dataclass(frozen=True)
class Fit:
    """One quantity of the table.

    Parameters
    ----------
    surface : Surface
        [kW]
    values : ndarray, shape (point,)
        The surface at the points. [kW]
    differences : ndarray, shape (point,)
        (surface - point) / point.
    left_out : float
        Root mean square difference of points that were left out and foretold by the others, as a share.
    """

    surface: Surface
    values: FloatArray
    differences: FloatArray
    left_out: float

    @property
    def rms(self) -> float:
        """Root mean square of the differences, as a share."""
        return _rms(self.differences)

    @property
    def worst(self) -> int:
        """Point of the largest difference."""
        return int(np.argmax(np.abs(self.differences)))


@dataclass(frozen=True)
class RatingFit:
    """A fitted rating table.

    Parameters
    ----------
    points : RatingPoints
        What it was fitted to.
    liquid_c, inlet_air_c : tuple of float
        Rows and columns. [degC]
    capacity_kw, power_kw : tuple of tuple of float
        A row a liquid temperature. [kW]
    capacity, power : Fit
        How well each is met.
    notes : tuple of Note
        Cautions: poor fit, points that matter too much, corners without points.
    """

    points: RatingPoints
    liquid_c: tuple[float, ...]
    inlet_air_c: tuple[float, ...]
    capacity_kw: tuple[tuple[float, ...], ...]
    power_kw: tuple[tuple[float, ...], ...]
    capacity: Fit
    power: Fit
    notes: tuple[Note, ...]


def fit_rating(points: RatingPoints) -> RatingFit:
    """Fit a rating table.

    Parameters
    ----------
    points : RatingPoints
        Six at least.

    Returns
    -------
    RatingFit
        The table covers the points' range of liquid and air temperature, cut down where a corner would lie more
        than `REACH_K` outside the points' convex hull.

    Raises
    ------
    InputFaults
        Too few points or temperatures, points on a line, too narrow a range, points that do not tell how the two
        temperatures act together, or differences beyond `MOST_SHARE`.
    """
    _check_places(points)
    box = box_of(points.liquid, points.inlet_air)
    forms = _forms(points, box)
    if not forms:
        raise points.refused(
            "the points do not tell how liquid and inlet air temperature act together; ask for points near "
            + _listed(_bare_corners(points, box))
        )
    capacity = _best(points, box, forms, points.capacity, liquid_sign=1, air_sign=-1)
    power = _best(points, box, forms, points.power, liquid_sign=0, air_sign=1)
    for name, fit in (("capacity", capacity), ("power", power)):
        if fit.rms > MOST_SHARE:
            raise points.refused(
                f"no smooth {name} meets the points: they lie {fit.rms:.1%} from it (root mean square), at most "
                f"{MOST_SHARE:.0%} is allowed; the worst is {_point(points, fit.worst)}, "
                f"{fit.differences[fit.worst]:+.1%}: check its numbers"
            )
    span = covered(points.liquid, points.inlet_air)
    wide = span is not None and (
        span.liquid[1] - span.liquid[0] >= LEAST_LIQUID_SPAN_K
        and span.air[1] - span.air[0] >= LEAST_AIR_SPAN_K
    )
    if span is None or not wide:
        raise points.refused(
            "the points leave no rectangle of liquid and air temperatures without large gaps; ask for points near "
            + _listed(_bare_corners(points, box))
        )
    rows, columns = _axis(span.liquid), _axis(span.air)
    return RatingFit(
        points=points,
        liquid_c=rows,
        inlet_air_c=columns,
        capacity_kw=_table(capacity.surface, rows, columns, falls_with_air=True),
        power_kw=_table(power.surface, rows, columns, falls_with_air=False),
        capacity=capacity,
        power=power,
        notes=tuple(_notes(points, box, span, capacity, power)),
    )


def _check_places(points: RatingPoints) -> None:
    """Refuse points that are too few or do not span an area."""
    places = {(round(x, 1), round(y, 1)) for x, y in zip(points.liquid, points.inlet_air, strict=True)}
    if len(places) < LEAST_POINTS:
        raise points.refused(
            f"{len(places)} points at different temperatures; at least {LEAST_POINTS} are needed, nine or more are "
            "better"
        )
    for words, values, span in (
        ("liquid", points.liquid, LEAST_LIQUID_SPAN_K),
        ("inlet air", points.inlet_air, LEAST_AIR_SPAN_K),
    ):
        if len(np.unique(np.round(values, 1))) < LEAST_TEMPERATURES:
            raise points.refused(f"at least {LEAST_TEMPERATURES} different {words} temperatures are needed")
        if np.ptp(values) < span:
            text = f"the {words} temperatures span {np.ptp(values):.3g} K; at least {span:g} K are needed"
            raise points.refused(text)
    centred = np.column_stack(
        [points.liquid - points.liquid.mean(), points.inlet_air - points.inlet_air.mean()]
    )
    across = centred @ np.linalg.svd(centred, full_matrices=False)[2][-1]
    if np.ptp(across) < LEAST_WIDTH_K:
        raise points.refused(
            "the points lie on a line; they must spread over liquid and inlet air temperature independently"
        )


def _forms(points: RatingPoints, box: Range) -> list[str]:
    """Forms whose terms the points tell apart, also when any one of them is left out."""
    return [
        form
        for form, terms in FORMS.items()
        if len(points) > len(terms)
        and all(
            spread(form, box, points.liquid[kept], points.inlet_air[kept]) <= WORST_SPREAD
            for kept in _without_one(points)
        )
    ]


def _without_one(points: RatingPoints) -> list[NDArray[np.bool_]]:
    return [np.arange(len(points)) != at for at in range(len(points))]


def _best(
    points: RatingPoints,
    box: Range,
    forms: list[str],
    values: FloatArray,
    *,
    liquid_sign: int,
    air_sign: int,
) -> Fit:
    """Fit of the form whose points are foretold best when they are left out one by one."""
    liquid, air = points.liquid, points.inlet_air

    def fit(form: str, kept: NDArray[np.bool_]) -> Surface:
        signs = {"liquid_sign": liquid_sign, "air_sign": air_sign}
        return fitted(form, box, liquid[kept], air[kept], values[kept], **signs)

    def left_out(form: str) -> float:
        foretold = [fit(form, kept).at(liquid[~kept], air[~kept])[0] for kept in _without_one(points)]
        return _rms(np.array(foretold) / values - 1.0)

    errors = {form: left_out(form) for form in forms}
    form = min(forms, key=errors.__getitem__)
    surface = fit(form, np.ones(len(points), dtype=bool))
    at_points = surface.at(liquid, air)
    return Fit(surface, at_points, at_points / values - 1.0, errors[form])


def _rms(shares: FloatArray) -> float:
    return float(np.sqrt(np.mean(shares**2)))


def _axis(bounds: tuple[float, float]) -> tuple[float, ...]:
    """Ends of the range and round temperatures between them."""
    low, high = bounds
    between = np.arange(np.ceil(low / STEP_K), np.floor(high / STEP_K) + 1.0) * STEP_K
    inner = [float(at) for at in between if low + END_GAP_K <= at <= high - END_GAP_K]
    return (round(low, 2), *inner, round(high, 2))


def _table(
    surface: Surface, rows: tuple[float, ...], columns: tuple[float, ...], *, falls_with_air: bool
) -> tuple[tuple[float, ...], ...]:
    """Rounded values; where rounding turns a flat stretch the wrong way, the value before it holds."""
    values = np.round(surface.at(np.array(rows)[:, None], np.array(columns)), DIGITS)
    if falls_with_air:
        values = np.maximum.accumulate(np.minimum.accumulate(values, axis=1), axis=0)
    else:
        values = np.maximum.accumulate(values, axis=1)
    return tuple(tuple(float(value) for value in row) for row in values)


def _notes(points: RatingPoints, box: Range, span: Range, capacity: Fit, power: Fit) -> list[Note]:
    notes = []
    for name, fit in (("capacity", capacity), ("power", power)):
        if fit.rms > GOOD_SHARE:
            text = (
                f"{name} meets the points within {fit.rms:.1%} (root mean square); {GOOD_SHARE:.0%} is usual. The "
                f"worst is {_point(points, fit.worst)}, {fit.differences[fit.worst]:+.1%}"
            )
            notes.append(Note("rating-fit-poor", "caution", text, worst=fit.rms))
        elif fit.left_out > MOST_SHARE:
            text = (
                f"{name}: a point that is left out is foretold within {fit.left_out:.1%} by the others (root mean "
                "square); more points would help"
            )
            notes.append(Note("rating-fit-few", "caution", text, worst=fit.left_out))
    if span != box:
        text = (
            f"the table covers liquid {span.liquid[0]:g} to {span.liquid[1]:g} and inlet air {span.air[0]:g} to "
            f"{span.air[1]:g} degC only; a point near {_listed(_bare_corners(points, box))} would widen it"
        )
        notes.append(Note("rating-fit-cut", "caution", text))
    return notes


def _bare_corners(points: RatingPoints, box: Range) -> FloatArray:
    """Corners of the box that lie too far from the points' hull; all four where none does."""
    corners = box.corners()
    bare = outside(points.liquid, points.inlet_air, corners) > REACH_K
    return np.asarray(corners[bare] if np.any(bare) else corners)


def _listed(places: FloatArray) -> str:
    return " and ".join(f"liquid {liquid:g}, inlet air {air:g} degC" for liquid, air in places)


def _point(points: RatingPoints, at: int) -> str:
    return f"line {points.lines[at]} (liquid {points.liquid[at]:g}, inlet air {points.inlet_air[at]:g} degC)"
