"""From which hours a long power cut can be the worst: the others need not be followed.

In: the shell of every hour, start temperatures, length of the cut. Out: the hours from which the liquid may become
the coldest, may be the coldest when power returns, or may be too cold to start. Within an hour `winter.power_off`
moves the liquid by q phi, q = c0 + c1 x + r(x) the shell's heat at x kelvin from the curve's centre and
phi = (1 - exp(-k dt/C))/k with k near -c1. With phi taken at k = -c1 and r left out this is a straight line in x;
what that leaves out in an hour is at most

    |r| dt/C + |q| dk (dt/C)^2/2,   |r| <= |c2| X^2 + |c3| X^3,   dk <= 2 |c2| X + 3 |c3| X^2

while |x| <= X, and it shrinks from hour to hour with exp(-k dt/C). So a cheap course brackets the exact one.
"""

import math

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel
from edgecheck.heat.shell_curve import ShellCurve

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

_BEYOND = 3.0  # K, by which X is wider than the courses
_ROUNDING = 1e-6  # K


def starts_that_matter(
    shell: ShellCurve, start: FloatArray, capacity: float, spans: list[float], limit: float
) -> IntArray:
    """Hours in which a power cut may begin that is the worst in any respect.

    Parameters
    ----------
    shell : ShellCurve
        Of every hour, shape (time,); it repeats after its last hour.
    start : ndarray, shape (time,)
        Liquid temperature at the beginning of each hour. [degC]
    capacity : float
        Of liquid, servers and tank while it cools. [J/K]
    spans : list of float
        Lengths of the steps of the cut. [s]
    limit : float
        Every cut at whose end the liquid may be below it counts; NaN for none. [degC]

    Returns
    -------
    ndarray of int, shape (n,)
        Rising; all hours where the bounds do not hold.
    """
    holds, matters = _bracketed(
        shell.coefficients, start - shell.centre, np.array(spans), capacity, limit - shell.centre
    )
    return np.flatnonzero(matters) if holds else np.arange(len(start))


@kernel
def _bracketed(
    coefficients: FloatArray, away: FloatArray, spans: FloatArray, capacity: float, floor: float
) -> tuple[bool, NDArray[np.bool_]]:
    """Whether the bounds hold; the hours that matter, temperatures as kelvins from the curve's centre."""
    count = len(away)
    matters = np.zeros(count, dtype=np.bool_)
    reach = greatest = bend = twist = most = 0.0
    least = np.inf
    known = True
    for i in range(count):  # selects and no branches, so that it becomes vector instructions
        heat, conductance, from_centre = abs(coefficients[0, i]), -coefficients[1, i], abs(away[i])
        square, cube, settles = abs(coefficients[2, i]), abs(coefficients[3, i]), heat / conductance
        known = known and conductance > 0.0 and heat + from_centre + square + cube < np.inf
        least = conductance if conductance < least else least
        most = conductance if conductance > most else most
        greatest = heat if heat > greatest else greatest
        reach = from_centre if from_centre > reach else reach
        reach = settles if settles > reach else reach
        bend = square if square > bend else bend
        twist = cube if cube > twist else twist
    reach += _BEYOND
    left_out = (bend + twist * reach) * reach * reach
    change = (2.0 * bend + 3.0 * twist * reach) * reach
    greatest += most * reach + left_out
    if not known or len(spans) == 0 or most * spans[0] > capacity or not change < least:
        return False, matters

    course, lowest = away.copy(), away.copy()
    keeps, brings = np.empty(count + len(spans)), np.empty(count + len(spans))
    error = widest = _ROUNDING
    slips = shrinks = 0.0
    for step in range(len(spans)):
        if step == 0 or spans[step] != spans[step - 1]:
            per_watt = spans[step] / capacity
            for i in range(count):
                kept = math.exp(coefficients[1, i] * per_watt)
                keeps[i], brings[i] = kept, -coefficients[0, i] / coefficients[1, i] * (1.0 - kept)
            for i in range(count, len(keeps)):
                keeps[i], brings[i] = keeps[i - count], brings[i - count]
            slips = (left_out + greatest * change * per_watt / 2.0) * per_watt
            shrinks = math.exp(-least * per_watt)
        keep, bring = keeps[step : step + count], brings[step : step + count]
        for i in range(count):
            now, before = course[i] * keep[i] + bring[i], lowest[i]
            course[i] = now
            lowest[i] = now if now < before else before
        error = error * shrinks + slips
        widest = max(widest, error)
    end, ever = np.min(course) + 2.0 * error, np.min(lowest) + 2.0 * widest
    for i in range(count):
        matters[i] = course[i] <= end or lowest[i] <= ever or course[i] - error < floor
    return widest <= _BEYOND / 2.0, matters
