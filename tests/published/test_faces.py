"""Irradiance on the faces against pvlib, which transposes plane by plane."""

import numpy as np
import pytest
from pvlib.irradiance import get_total_irradiance

from edgecheck.heat.faces import MAX_IRRADIANCE, behind_horizon, plane_irradiance, sky_light
from edgecheck.weather.sun import sun

TIME = np.arange("2001-01-01T00:00", "2002-01-01T00:00", 60, dtype="datetime64[m]")
PLANES = [(0.0, 0.0), (90.0, 0.0), (90.0, 77.0), (90.0, 225.0), (90.0, 330.0), (35.0, 190.0)]


def year(latitude: float):
    """The sun of a year and invented light, clear and cloudy."""
    up = sun(latitude, 20.0, 300.0, 1.0, TIME)
    random = np.random.default_rng(5)
    height = np.maximum(0.0, np.cos(np.deg2rad(up.zenith)))
    dni = 950.0 * random.random(len(TIME)) * (height > 0.0)
    dhi = 350.0 * height * random.random(len(TIME))
    return up, dni * height + dhi, dni, dhi


@pytest.mark.parametrize(("tilt", "azimuth"), PLANES)
@pytest.mark.parametrize("latitude", [-34.0, 0.0, 52.0, 69.0])
def test_every_plane_is_that_of_pvlib(latitude, tilt, azimuth):
    # pvlib.irradiance.get_total_irradiance, model "perez-driesse", ground by albedo; an identity: 1e-9 W/m2
    up, ghi, dni, dhi = year(latitude)
    parts = get_total_irradiance(
        tilt, azimuth, up.apparent_zenith, up.azimuth, dni, ghi, dhi, dni_extra=up.dni_extra,
        airmass=up.airmass_relative, albedo=0.3, model="perez-driesse",
    )  # fmt: skip
    light = sky_light(up, ghi, dni, dhi)
    modelled = np.isfinite(parts["poa_global"]) & (up.apparent_zenith < 90.0)
    assert np.count_nonzero(modelled) > 3000
    found = plane_irradiance(light, tilt=tilt, azimuth=azimuth, albedo=0.3)
    right = np.minimum(parts["poa_global"], MAX_IRRADIANCE)
    np.testing.assert_allclose(found[modelled], right[modelled], rtol=0, atol=1e-9)

    shaded = behind_horizon(up, [(0.0, 10.0), (180.0, 30.0)])
    dimmed = plane_irradiance(
        light, tilt=tilt, azimuth=azimuth, albedo=0.3, canopy_transmittance=0.4, beam_shaded=shaded
    )
    beam = np.where(shaded, 0.0, parts["poa_direct"])
    right = 0.4 * (beam + parts["poa_sky_diffuse"]) + parts["poa_ground_diffuse"]
    near = modelled & (right < MAX_IRRADIANCE)
    np.testing.assert_allclose(dimmed[near], right[near], rtol=0, atol=1e-9)


def test_light_without_a_sun_is_isotropic():
    up, _, _, dhi = year(52.0)
    down = up.apparent_zenith >= 90.0
    dusk = np.where(down, 20.0, dhi)
    light = sky_light(up, dusk, np.zeros_like(dusk), dusk)
    wall = plane_irradiance(light, tilt=90.0, azimuth=10.0, albedo=0.0)
    lid = plane_irradiance(light, tilt=0.0, azimuth=0.0, albedo=0.0)
    np.testing.assert_allclose(wall[down], 10.0)
    np.testing.assert_allclose(lid[down], 20.0)


def test_overshoots_are_bounded_and_unknown_light_stays_unknown():
    up, ghi, dni, dhi = year(52.0)
    light = sky_light(up, ghi, 50.0 * dni, np.where(np.arange(len(dhi)) == 12, np.nan, dhi))
    wall = plane_irradiance(light, tilt=90.0, azimuth=180.0, albedo=0.2)
    assert np.nanmax(wall) == MAX_IRRADIANCE
    assert np.flatnonzero(np.isnan(wall)).tolist() == [12]
