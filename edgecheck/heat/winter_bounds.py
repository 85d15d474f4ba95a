"""From which hours a long power cut can be the worst: the others need not be followed.

In: the shell of every hour, start temperatures, length of the cut. Out: the hours from which the liquid may become
the coldest, may be the coldest when power returns, or may be too cold to start. Within an hour `winter.power_off`
moves the liquid by q phi, q = c0 + c1 x + r(x) the shell's heat at x kelvin from the curve's centre and
phi = (1 - exp(-k dt/C))/k with k near -c1. With phi taken at k = -c1 and r left out this is a straight line in x;
what that leaves out in an hour is at most

    |r| dt/C + |q| dk (dt/C)^2/2,   |r| <= |c2| X^2 + |c3| X^3,   dk <= 2 |c2| X + 3 |c3| X^2

while |x| <= X, and it shrinks from hour to hour with exp(-k dt/C). So a cheap course brackets the exact one.
"""

import numpy as np
from numpy.typing import NDArray

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
    count = len(start)
    c0, c1, c2, c3 = shell.coefficients
    away = start - shell.centre
    conductance = -c1
    if not spans or not np.min(conductance) > 0.0 or np.max(conductance) * spans[0] > capacity:
        return np.arange(count)
    settles = c0 / conductance  # where the liquid would come to rest
    reach = max(float(np.max(np.abs(away))), float(np.max(np.abs(settles)))) + _BEYOND
    bend, twist = float(np.max(np.abs(c2))), float(np.max(np.abs(c3)))
    left_out = bend * reach**2 + twist * reach**3
    change = 2.0 * bend * reach + 3.0 * twist * reach**2
    greatest = float(np.max(np.abs(c0))) + float(np.max(conductance)) * reach + left_out
    if not change < float(np.min(conductance)):
        return np.arange(count)

    course, lowest, error, widest = away, away, _ROUNDING, _ROUNDING
    again = np.arange(count + min(len(spans), count)) % count
    for step, span in enumerate(spans):
        if step == 0 or span != spans[step - 1]:
            per_watt = span / capacity
            keep = np.exp(-conductance * per_watt)
            keeps, brings = keep[again], (settles * (1.0 - keep))[again]
            slips = left_out * per_watt + greatest * change * per_watt**2 / 2.0
            shrinks = float(np.max(keep))
        hours = slice(step % count, step % count + count)
        course = course * keeps[hours] + brings[hours]
        lowest = np.minimum(lowest, course)
        error = error * shrinks + slips
        widest = max(widest, error)
    if widest > _BEYOND / 2.0:
        return np.arange(count)
    matters = course <= np.min(course) + 2.0 * error
    matters |= lowest <= np.min(lowest) + 2.0 * widest
    if not np.isnan(limit):
        matters |= course - error < limit - shell.centre
    return np.flatnonzero(matters)
