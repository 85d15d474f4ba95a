"""Irradiance on the faces of the box.

In: the sun, the three irradiance components, albedo, shading. Out: W/m2 on the lid and on vertical walls.
Sky diffuse by the Perez-Driesse model of pvlib (Driesse, Jensen, Perez 2024, "A continuous form of the Perez
diffuse sky model for forward and reverse transposition"), ground-reflected light isotropic. Where the sun stands and
how bright the sky is about it and at the horizon does not depend on the plane, so that is worked out once.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pvlib.irradiance import perez_driesse

from edgecheck.base.compiled import kernel
from edgecheck.weather.sun import Sun

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]

MAX_IRRADIANCE = 1500.0  # W/m2; sky models overshoot with the sun on the horizon


@dataclass(frozen=True)
class SkyLight:
    """Sun and sky of every hour as any plane sees them, arrays of shape (time,).

    Parameters
    ----------
    east, north, up : ndarray
        Unit vector to the sun. [-]
    ghi, dni : ndarray
        Global horizontal, direct normal. [W/m2]
    isotropic : ndarray
        Sky diffuse of the even part of the sky on a horizontal plane. [W/m2]
    circumsolar, horizon : ndarray
        Sky diffuse about the sun on a plane that faces it; of the brightening at the horizon on a wall. [W/m2]
    """

    east: FloatArray
    north: FloatArray
    up: FloatArray
    ghi: FloatArray
    dni: FloatArray
    isotropic: FloatArray
    circumsolar: FloatArray
    horizon: FloatArray


def sky_light(sun: Sun, ghi: FloatArray, dni: FloatArray, dhi: FloatArray) -> SkyLight:
    """Split the light of every hour by where it comes from.

    Parameters
    ----------
    sun : Sun
        Position of the sun, arrays of shape (time,).
    ghi, dni, dhi : ndarray, shape (time,)
        Global horizontal, direct normal, diffuse horizontal. [W/m2]

    Returns
    -------
    SkyLight
        Diffuse light is isotropic where the sun is down or the model has no answer.
    """

    def seen(tilt: FloatArray | float) -> dict[str, FloatArray]:
        with np.errstate(invalid="ignore", divide="ignore"):
            parts: dict[str, FloatArray] = perez_driesse(
                tilt, sun.azimuth, dhi, dni, sun.dni_extra, sun.apparent_zenith, sun.azimuth,
                sun.airmass_relative, return_components=True,
            )  # fmt: skip
        return parts

    wall, facing = seen(90.0), seen(sun.apparent_zenith)
    modelled = np.isfinite(wall["poa_sky_diffuse"]) & (sun.apparent_zenith < 90.0)
    zenith, azimuth = np.deg2rad(sun.apparent_zenith), np.deg2rad(sun.azimuth)
    return SkyLight(
        east=np.sin(zenith) * np.sin(azimuth),
        north=np.sin(zenith) * np.cos(azimuth),
        up=np.cos(zenith),
        ghi=np.nan_to_num(ghi),
        dni=np.nan_to_num(dni),
        isotropic=np.where(modelled, 2.0 * wall["poa_isotropic"], dhi),
        circumsolar=np.where(modelled, facing["poa_circumsolar"], 0.0),
        horizon=np.where(modelled, wall["poa_horizon"], 0.0),
    )


def plane_irradiance(
    light: SkyLight,
    *,
    tilt: float,
    azimuth: float,
    albedo: float,
    canopy_transmittance: float = 1.0,
    beam_shaded: BoolArray | None = None,
) -> FloatArray:
    """Global irradiance on one plane.

    Parameters
    ----------
    light : SkyLight
        Sun and sky, arrays of shape (time,).
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
    beam = light.dni if beam_shaded is None else np.where(beam_shaded, 0.0, light.dni)
    slope, turn = math.radians(tilt), math.radians(azimuth)
    plane = np.empty(beam.shape)
    _on_plane(
        light.east, light.north, light.up, beam, light.isotropic, light.circumsolar, light.horizon, light.ghi,
        math.sin(slope) * math.sin(turn), math.sin(slope) * math.cos(turn), math.cos(slope), math.sin(slope),
        float(canopy_transmittance), float(albedo), plane,
    )  # fmt: skip
    return plane


@kernel
def _on_plane(
    east: FloatArray,
    north: FloatArray,
    up: FloatArray,
    beam: FloatArray,
    isotropic: FloatArray,
    circumsolar: FloatArray,
    horizon: FloatArray,
    ghi: FloatArray,
    to_east: float,
    to_north: float,
    to_top: float,
    upright: float,
    canopy: float,
    albedo: float,
    plane: FloatArray,
) -> None:
    """Fill `plane` [W/m2]; the plane faces (to_east, to_north, to_top), `upright` is the sine of its tilt."""
    for i in range(len(plane)):
        facing = to_east * east[i] + to_north * north[i] + to_top * up[i]
        facing = facing if facing > 0.0 else 0.0
        sky = isotropic[i] * (1.0 + to_top) / 2.0 + circumsolar[i] * facing + horizon[i] * upright
        sky = 0.0 if sky < 0.0 else sky
        all_light = canopy * (beam[i] * facing + sky) + albedo * ghi[i] * (1.0 - to_top) / 2.0
        plane[i] = MAX_IRRADIANCE if all_light > MAX_IRRADIANCE else all_light


def behind_horizon(sun: Sun, horizon: Sequence[tuple[float, float]]) -> BoolArray:
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
