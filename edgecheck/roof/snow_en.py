"""Snow on a roof by EN 1991-1-3 (first generation, recommended values).

In: the characteristic snow load on the ground and lengths. Out: shape coefficients, drift lengths, loads.
[Pa, N/m3, m, deg]

Clauses: 5.2 s = mu C_e C_t s_k; 5.3.2 mu_1; 5.3.6 roofs beside a taller building; 6.2 drifting at
projections; Annex B.4 exceptional drifts behind parapets, only where a national annex adopts it. Worked
examples: Steel Buildings in Europe, Single-Storey Part 3, appendix A. There b of 2 b/l_s in B.4 is the larger
of b_1 and b_2 (its third and fourth example agree with that only).
"""

from dataclasses import dataclass

SNOW_WEIGHT = 2000.0  # N/m3, 5.3.6 and 6.2
NORMAL_EXPOSURE = 1.0  # C_e, table 5.1, normal topography
NO_MELTING = 1.0  # C_t, 5.2(8)
EXCEPTIONAL = 2.0  # C_esl, 4.3

_FLAT_SHAPE = 0.8
_PROJECTION_LIMITS = (0.8, 2.0)
_ABUTTING_LIMITS = (0.8, 4.0)
_DRIFT_LENGTHS = (5.0, 15.0)  # m
_PARAPET_MOST = 8.0


@dataclass(frozen=True)
class Drift:
    """A drift that falls in a straight line from its greatest value to that of the undrifted roof.

    Parameters
    ----------
    shape : float
        Shape coefficient where it is deepest.
    length : float
        Over which it falls. [m]
    """

    shape: float
    length: float


def flat_shape(slope: float = 0.0) -> float:
    """Shape coefficient mu_1 of a monopitch roof from which snow may slide (5.3.2, table 5.2).

    Parameters
    ----------
    slope : float
        Not negative. [deg]

    Returns
    -------
    shape : float
    """
    if slope <= 30.0:
        return _FLAT_SHAPE
    return max(0.0, _FLAT_SHAPE * (60.0 - slope) / 30.0)


def snow_load(
    ground: float, shape: float, exposure: float = NORMAL_EXPOSURE, thermal: float = NO_MELTING
) -> float:
    """Snow load on a roof, 5.2(3).

    Parameters
    ----------
    ground : float
        Characteristic load on the ground, or the exceptional one. [Pa]
    shape, exposure, thermal : float
        mu, C_e, C_t.

    Returns
    -------
    load : float
        On the plan. [Pa]
    """
    return shape * exposure * thermal * ground


def projection_drift(height: float, ground: float) -> Drift:
    """Drift beside a projection, 6.2: mu_2 = gamma h/s_k from 0.8 to 2.0 over l_s = 2 h from 5 to 15 m.

    Parameters
    ----------
    height : float
        Of the projection above the roof. [m]
    ground : float
        [Pa]

    Returns
    -------
    drift : Drift
    """
    return Drift(_depth(height, ground, _PROJECTION_LIMITS), _between(2.0 * height, _DRIFT_LENGTHS))


def abutting_drift(
    height: float, ground: float, upper: float | None = None, lower: float | None = None
) -> Drift:
    """Drift on a roof beside a taller building, 5.3.6, without snow that slides off the upper roof.

    Parameters
    ----------
    height : float
        Of the step. [m]
    ground : float
        [Pa]
    upper, lower : float, optional
        Lengths b_1 and b_2 of the two roofs; None: the coefficient is the greatest for any length. [m]

    Returns
    -------
    drift : Drift
        mu_w = (b_1 + b_2)/(2 h), at most gamma h/s_k, from 0.8 to 4.0.
    """
    shape = _depth(height, ground, _ABUTTING_LIMITS)
    if upper is not None and lower is not None and height > 0.0:
        shape = min(shape, max(_ABUTTING_LIMITS[0], (upper + lower) / (2.0 * height)))
    return Drift(shape, _between(2.0 * height, _DRIFT_LENGTHS))


def parapet_drift(
    height: float, ground: float, along: float | None = None, across: float | None = None
) -> Drift:
    """Exceptional drift behind a parapet, Annex B.4.

    Parameters
    ----------
    height : float
        Of the parapet, positive. [m]
    ground : float
        Positive. [Pa]
    along, across : float, optional
        b_1 and b_2; None: the coefficient is the greatest for any length. [m]

    Returns
    -------
    drift : Drift
        The least of 2 h/s_k, 2 b/l_s and 8, over l_s = min(5 h, b_1, 15 m).
    """
    length = min(5.0 * height, _DRIFT_LENGTHS[1])
    if along is not None:
        length = min(length, along)
    shape = min(SNOW_WEIGHT * height / ground, _PARAPET_MOST)
    if along is not None and across is not None:
        shape = min(shape, 2.0 * max(along, across) / length)
    return Drift(shape, length)


def moment_equivalent(excess: float, length: float, span: float) -> float:
    """Uniform load with the mid-span moment of a drift that is deepest there.

    Statics of a simply supported member: the drift falls from `excess` in the middle to nothing at `length`
    on both sides; within the span that gives excess (1 - L/(6 l_s)).

    Parameters
    ----------
    excess : float
        Greatest drift above the undrifted snow. [Pa]
    length : float
        Of the drift, positive. [m]
    span : float
        Of the member, positive. [m]

    Returns
    -------
    load : float
        [Pa]
    """
    half = span / 2.0
    reach = min(half, length)
    moment = half * reach - reach**2 / 2.0 - half * reach**2 / (2.0 * length) + reach**3 / (3.0 * length)
    return 8.0 * excess * moment / span**2


def _depth(height: float, ground: float, limits: tuple[float, float]) -> float:
    return limits[0] if ground <= 0.0 else _between(SNOW_WEIGHT * height / ground, limits)


def _between(value: float, limits: tuple[float, float]) -> float:
    return min(max(value, limits[0]), limits[1])
