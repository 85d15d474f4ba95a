"""Which way the front faces when nobody has said so: the worst of eight directions.

The direction with the least service headroom share in any hour of the year. Opposite faces are alike, so a
direction and its opposite give the same heat and four directions stand for eight.
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.envelope import envelope_total
from edgecheck.heat.headroom import headroom
from edgecheck.heat.light import Skyline, StationLight
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.series import Air, Surroundings, cooling_curve, heat_load_of

FloatArray = NDArray[np.float64]

DIRECTIONS = (0.0, 45.0, 90.0, 135.0)


def worst_front_azimuth(
    light: StationLight,
    around: Surroundings,
    air: Air,
    machine: Machine,
    site: Microclimate,
    canopy_transmittance: float,
    skyline: Skyline,
) -> float:
    """Direction of the front with the least headroom.

    Parameters
    ----------
    light : StationLight
        Irradiance on any face.
    around : Surroundings
        Of any orientation: roof and inlet air do not depend on it.
    air : Air
        At the site, shape (time,).
    machine : Machine
        The unit.
    site : Microclimate
        The roof.
    canopy_transmittance, skyline
        As in `StationLight.on_faces`.

    Returns
    -------
    float
        One of DIRECTIONS, the first on a tie. [deg]
    """
    curve = cooling_curve(around, machine)
    least = []
    for direction in DIRECTIONS:
        shell_heat = envelope_total(
            machine.shell,
            light.on_faces(direction, site.albedo, canopy_transmittance, skyline),
            air.longwave_down,
            around.roof,
            site.roof_emissivity,
            air.temp_air,
            around.wind,
            machine.setpoint,
        )
        load = heat_load_of(shell_heat, around.envelope.conductance, machine)
        least.append(float(np.min(headroom(curve, load, machine.service_max).share_bound)))
    return DIRECTIONS[int(np.argmin(np.round(least, 12)))]
