"""Which way the front faces when nobody has said so: the worst of eight directions.

The direction with the least service headroom share in any hour of the year. Opposite faces are alike, so a
direction and its opposite give the same heat and four directions stand for eight. The walls are insulated alike: a
quarter turn only lets fronts and flanks change places, and two directions with their surfaces stand for four.

From direction to direction only the sun on the walls differs. The conductance of the shell hardly feels it (shares move
by some 1e-4) and is held, so the sun adds the same heat at any liquid temperature: the liquid temperature that carries
the headroom is that of the first direction, and the headroom is less by what the walls let in more.
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.curve import CoolingCurve
from edgecheck.heat.envelope import EnvelopeHeat, Shell
from edgecheck.heat.headroom import headroom, quotient
from edgecheck.heat.light import Skyline, StationLight
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.series import Surroundings, heat_load_of, in_the_sun

FloatArray = NDArray[np.float64]

DIRECTIONS = (0.0, 45.0, 90.0, 135.0)
_FRONT, _RIGHT, _BACK, _LEFT = range(1, 5)  # in envelope.FACES


def worst_front_azimuth(
    light: StationLight,
    around: Surroundings,
    machine: Machine,
    site: Microclimate,
    canopy_transmittance: float,
    skyline: Skyline,
    curve: CoolingCurve,
) -> float:
    """Direction of the front with the least headroom.

    Parameters
    ----------
    light : StationLight
        Irradiance on any face.
    around : Surroundings
        Of all hours, with the front in the first of DIRECTIONS.
    machine : Machine
        The unit.
    site : Microclimate
        The roof.
    canopy_transmittance, skyline
        As in `StationLight.on_faces`.
    curve : CoolingCurve
        Of the machine in these surroundings, the same in every direction.

    Returns
    -------
    float
        One of DIRECTIONS, the first on a tie. [deg]

    Raises
    ------
    ValueError
        If the walls of the machine are not alike.
    """
    first = around.envelope
    load = heat_load_of(first.total, first.conductance, machine, around.load_share)
    room = headroom(curve, load, machine.service_max)
    at_best = load.at(room.liquid)
    internal = load.internal + load.internal_slope * (room.liquid - load.setpoint)

    irradiance = light.on_faces(DIRECTIONS[1], site.albedo, canopy_transmittance, skyline)
    second = in_the_sun(around, irradiance, machine, site).envelope
    between = second.total - first.total
    further = (
        between,
        _quarter_turn(first, machine.shell),
        between + _quarter_turn(second, machine.shell),
    )
    shares = (quotient(room.bound - more, np.maximum(at_best + more, internal)) for more in further)
    least = [float(np.min(share)) for share in (room.share_bound, *shares)]
    return DIRECTIONS[int(np.argmin(np.round(least, 12)))]


def _quarter_turn(envelope: EnvelopeHeat, shell: Shell) -> FloatArray:
    """Heat into the liquid that a turn by 90 degrees adds, shape (time,). [W]"""
    weight = shell.area * shell.conductance
    front, right, back, left = weight[_FRONT : _LEFT + 1]
    if front != back or right != left or np.ptp(shell.conductance[_FRONT : _LEFT + 1]) > 0.0:
        raise ValueError("the walls are not alike")
    surfaces = envelope.surfaces
    fronts, flanks = surfaces[_FRONT] + surfaces[_BACK], surfaces[_RIGHT] + surfaces[_LEFT]
    return np.asarray((right - front) * (fronts - flanks))
