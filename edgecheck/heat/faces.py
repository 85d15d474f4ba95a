"""Irradiance on the faces of the box.

In: the sun, the three irradiance components, albedo, shading. Out: W/m2 on the lid and on vertical walls.
Sky diffuse by the Perez-Driesse model of pvlib (Driesse, Jensen, Perez 2024, "A continuous form of the Perez
diffuse sky model for forward and reverse transposition"), ground-reflected light isotropic.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from pvlib.irradiance import get_total_irradiance

from edgecheck.weather.sun import Sun

FloatArray = NDArray[np.float64]

MAX_IRRADIANCE = 1500.0  # W/m2; sky models overshoot with the sun on the horizon


def plane_irradiance(
    sun: Sun,
    ghi: FloatArray,
    dni: FloatArray,
    dhi: FloatArray,
    *,
    tilt: float,
    azimuth: float,
    albedo: float,
    canopy_transmittance: float = 1.0,
    beam_shaded: NDArray[np.bool_] | None = None,
) -> FloatArray:
    """Global irradiance on one plane.

    Parameters
    ----------
    sun : Sun
        Position of the sun, arrays of shape (time,).
    ghi, dni, dhi : ndarray, shape (time,)
        Global horizontal, direct normal, diffuse horizontal. [W/m2]
    tilt, azimuth : float
        Of the plane: 0 is the lid, 90 a wall; azimuth clockwise from north. [deg]
    albedo : float
        Reflectance of the roof around the box. [-]
    canopy_transmittance : float
        Factor on beam and sky diffuse, not on light from the roof. [-]
    beam_shaded : ndarray of bool, shape (time,), optional
        Hours in which the horizon hides the sun.

    Returns
    -------
    irradiance : ndarray, shape (time,)
        Bounded to 0..1500 W/m2. [W/m2]
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        parts = get_total_irradiance(
            surface_tilt=tilt,
            surface_azimuth=azimuth,
            solar_zenith=sun.apparent_zenith,
            solar_azimuth=sun.azimuth,
            dni=dni,
            ghi=ghi,
            dhi=dhi,
            dni_extra=sun.dni_extra,
            airmass=sun.airmass_relative,
            albedo=albedo,
            model="perez-driesse",
        )
    isotropic = dhi * (1.0 + np.cos(np.deg2rad(tilt))) / 2.0
    modelled = np.isfinite(parts["poa_sky_diffuse"]) & (sun.apparent_zenith < 90.0)
    sky = np.where(modelled, parts["poa_sky_diffuse"], isotropic)
    beam = np.nan_to_num(np.asarray(parts["poa_direct"]))
    if beam_shaded is not None:
        beam = np.where(beam_shaded, 0.0, beam)
    ground = np.nan_to_num(np.asarray(parts["poa_ground_diffuse"]))
    return np.clip(canopy_transmittance * (beam + sky) + ground, 0.0, MAX_IRRADIANCE)


def behind_horizon(sun: Sun, horizon: Sequence[tuple[float, float]]) -> NDArray[np.bool_]:
    """Hours in which the sun stands below the skyline.

    Parameters
    ----------
    sun : Sun
        Position of the sun, shape (time,).
    horizon : sequence of (azimuth, elevation)
        Skyline seen from the unit, linear between its points and around north. [deg]

    Returns
    -------
    ndarray of bool, shape (time,)
    """
    points = sorted((azimuth % 360.0, elevation) for azimuth, elevation in horizon)
    azimuths = np.array([azimuth for azimuth, _ in points])
    elevations = np.array([elevation for _, elevation in points])
    skyline = np.interp(sun.azimuth, azimuths, elevations, period=360.0)
    return np.asarray((90.0 - sun.apparent_zenith) < skyline)
