"""Effectiveness of a cross-flow heat exchanger with both streams unmixed, exact.

    e(N, C) = 1/(C N) * sum over n >= 0 of P(n + 1, N) P(n + 1, C N)

with P the regularised lower incomplete gamma function, so that P(n + 1, x) is the chance that a Poisson variable
of mean x exceeds n (A. M. Mason, 1955: double Laplace transform of the two energy balances; from memory). Every
term is positive: nothing cancels, and the limits C -> 0 and N -> 0 need no case of their own. The usual closed
form in NTU^0.22 is only a fit, 0.9 % high at N = 2, C = 0.5.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from edgecheck.heat.coil_kernel import exchanged

FloatArray = NDArray[np.float64]

LARGEST_NTU = 500.0  # beyond it the effectiveness is that at 500, at most 0.026 below its limit of 1


def crossflow_effectiveness(ntu: ArrayLike, rate_ratio: ArrayLike) -> FloatArray:
    """Heat exchanged as a share of the most that could be, both streams unmixed.

    Parameters
    ----------
    ntu : array_like, shape (...)
        Conductance over the lesser capacity rate, not negative. [-]
    rate_ratio : array_like, shape (...)
        Lesser over greater capacity rate, 0 to 1. [-]

    Returns
    -------
    ndarray, shape (...)
        Within 1e-12 of the exact value for an NTU up to 500; a larger NTU is taken as 500, which is on the low
        side. NaN where an input is NaN. [-]
    """
    given, ratio = np.broadcast_arrays(np.asarray(ntu, dtype=float), np.asarray(rate_ratio, dtype=float))
    n = np.minimum(given, LARGEST_NTU)
    return exchanged(n.ravel(), ratio.ravel()).reshape(n.shape)
