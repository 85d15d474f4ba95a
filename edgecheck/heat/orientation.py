"""Which way the front faces when nobody has said so: the worst of eight directions.

The direction with the least service headroom share in any hour of the year. Opposite faces are alike, so a
direction and its opposite give the same heat and four directions stand for eight.

Few hours can be the worst. A surface warms with its sun along a curve that flattens, so the straight line that begins
in the dark lies above it; with the sun of the worst direction it gives more heat than any direction has. Hours whose
share is above the least share of every direction even with that heat are not looked at again.
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.constants import STEFAN_BOLTZMANN, ZERO_CELSIUS
from edgecheck.heat.curve import CoolingCurve
from edgecheck.heat.envelope import Shell, convection_coefficient, envelope_total
from edgecheck.heat.headroom import quotient, service_bound, service_share
from edgecheck.heat.light import Skyline, StationLight
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.series import Air, Surroundings, cooling_curve, heat_load_of

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

DIRECTIONS = (0.0, 45.0, 90.0, 135.0)
_FIRST_LOOK = 24  # hours
_ROUNDING = 1e-9


def worst_front_azimuth(
    light: StationLight,
    around: Surroundings,
    air: Air,
    machine: Machine,
    site: Microclimate,
    canopy_transmittance: float,
    skyline: Skyline,
    curve: CoolingCurve | None = None,
) -> float:
    """Direction of the front with the least headroom.

    Parameters
    ----------
    light : StationLight
        Irradiance on any face.
    around : Surroundings
        With no sun on the faces: roof and inlet air do not depend on the orientation.
    air : Air
        At the site, shape (time,).
    machine : Machine
        The unit.
    site : Microclimate
        The roof.
    canopy_transmittance, skyline
        As in `StationLight.on_faces`.
    curve : CoolingCurve, optional
        Of the machine in these surroundings, where it is known already.

    Returns
    -------
    float
        One of DIRECTIONS, the first on a tie. [deg]
    """
    curve = cooling_curve(around, machine) if curve is None else curve
    faces = [
        light.on_faces(direction, site.albedo, canopy_transmittance, skyline) for direction in DIRECTIONS
    ]
    conductance = around.envelope.conductance

    def shares(hours: IntArray) -> FloatArray:
        """Least share of each direction in some hours."""
        count, every = len(hours), np.tile(hours, len(faces))
        shell_heat = envelope_total(
            machine.shell,
            np.concatenate([sun[:, hours] for sun in faces], axis=1),
            air.longwave_down[every],
            around.roof[every],
            site.roof_emissivity,
            air.temp_air[every],
            around.wind[every],
            machine.setpoint,
        )
        share = around.load_share
        some = share[every] if isinstance(share, np.ndarray) else share
        load = heat_load_of(shell_heat, conductance[every], machine, some)
        found = service_share(curve.window(every), load, machine.service_max)
        return np.asarray(found.reshape(len(faces), count).min(axis=1))

    bound = _least_possible_share(faces, around, curve, machine)
    first = np.argpartition(bound, min(_FIRST_LOOK, len(bound)) - 1)[:_FIRST_LOOK]
    least = shares(first)
    open_still = np.setdiff1d(np.flatnonzero(~(bound > np.max(least) + _ROUNDING)), first)
    if open_still.size:
        least = np.minimum(least, shares(open_still))
    return DIRECTIONS[int(np.argmin(np.round(least, 12)))]


def _least_possible_share(
    faces: list[FloatArray], around: Surroundings, curve: CoolingCurve, machine: Machine
) -> FloatArray:
    """Share that no direction goes below in an hour, shape (time,)."""
    most = around.envelope.total + _most_from_sun(machine.shell, faces, around)
    load = heat_load_of(most, around.envelope.conductance, machine, around.load_share)
    spare = service_bound(curve, load, machine.service_max)
    # the share is taken at the liquid temperature that carries the headroom: it may be any of the service range
    low, high = machine.setpoint, max(machine.setpoint, machine.service_max)
    corners = (low, min(max(load.bend, low), high), high)
    greatest = np.max([load.at(corner) for corner in corners], axis=0)
    inside = [load.internal + load.internal_slope * (corner - machine.setpoint) for corner in (low, high)]
    least_inside, most_inside = np.minimum(inside[0], inside[1]), np.maximum(inside[0], inside[1])
    return quotient(spare, np.where(spare < 0.0, least_inside, np.maximum(greatest, most_inside)))


def _most_from_sun(shell: Shell, faces: list[FloatArray], around: Surroundings) -> FloatArray:
    """More heat from the sun than any direction brings, shape (time,). [W]"""
    kelvin = around.envelope.surfaces + ZERO_CELSIUS
    radiating = 4.0 * shell.emissivity * STEFAN_BOLTZMANN * (kelvin * kelvin * kelvin)
    inside = shell.conductance[:, np.newaxis]
    through = (shell.area * shell.absorptance)[:, np.newaxis] * inside
    share = through / (convection_coefficient(around.wind) + inside + radiating)
    by_direction = [np.einsum("ft,ft->t", share, sun) for sun in faces]
    return np.asarray(np.max(by_direction, axis=0))
