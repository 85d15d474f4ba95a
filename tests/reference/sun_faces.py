"""Irradiance on the faces of the box for the reference model: pvlib one hour at a time.

The sun comes from the NREL algorithm and not from the one that the program uses; they differ by some
0.01 degree.

Conventions, where a sentence leaves more than one reading
----------------------------------------------------------
18. Refraction uses the standard pressure of the station's elevation and 12 degC, pvlib's defaults.
19. Beam is zero where the true zenith is 90 degrees or more; global and diffuse stay as they are.
20. The lid goes through the same tilted-plane model with tilt 0. A missing value counts as 0.
21. A canopy's transmittance acts on beam and sky diffuse; the bound 0..1500 W/m2 comes after it.
"""

import math
from datetime import datetime, timedelta, timezone

import pandas as pd
from pvlib import atmosphere, irradiance, solarposition

TURN = {"front": 0.0, "right": 90.0, "back": 180.0, "left": 270.0}


def sun_on_faces(
    latitude: float,
    longitude: float,
    elevation: float,
    utc_offset: float,
    time: datetime,
    offset_min: float,
    ghi: float,
    dni: float,
    dhi: float,
    albedo: float,
    azimuth: float,
    canopy: float = 1.0,
) -> dict[str, float]:
    """Plane-of-array irradiance of lid and walls, W/m2; `time` is naive local standard, start of the hour."""
    zone = timezone(timedelta(hours=utc_offset))
    moment = pd.DatetimeIndex([(time + timedelta(minutes=offset_min)).replace(tzinfo=zone)])
    sun = solarposition.get_solarposition(
        moment, latitude, longitude, altitude=elevation, method="nrel_numpy"
    ).iloc[0]
    extra = float(irradiance.get_extra_radiation(moment).iloc[0])
    airmass = float(atmosphere.get_relative_airmass(float(sun["apparent_zenith"])))
    beam = dni if sun["zenith"] < 90.0 else 0.0
    planes = {"lid": (0.0, azimuth)}
    planes |= {name: (90.0, (azimuth + turn) % 360.0) for name, turn in TURN.items()}
    result = {}
    for name, (tilt, facing) in planes.items():
        parts = irradiance.get_total_irradiance(
            tilt,
            facing,
            float(sun["apparent_zenith"]),
            float(sun["azimuth"]),
            beam,
            ghi,
            dhi,
            dni_extra=extra,
            airmass=airmass,
            albedo=albedo,
            model="perez-driesse",
        )
        beam_and_sky = [float(parts["poa_direct"]), float(parts["poa_sky_diffuse"])]
        total = canopy * sum(0.0 if math.isnan(part) else part for part in beam_and_sky)
        total += float(parts["poa_ground_diffuse"])
        result[name] = min(1500.0, max(0.0, total))
    return result
