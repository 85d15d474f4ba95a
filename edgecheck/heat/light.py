"""Sun and sky of one weather file, worked out once and shared by every site it serves.

In: a weather file. Out: irradiance on the six faces for any orientation, albedo, canopy and skyline.
"""

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.faces import behind_horizon, plane_irradiance, sky_light
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.sun import sun

FloatArray = NDArray[np.float64]
Skyline = tuple[tuple[float, float], ...]

_PLANES = (
    (0.0, 0.0),
    (90.0, 0.0),
    (90.0, 90.0),
    (90.0, 180.0),
    (90.0, 270.0),
)  # lid, front, right, back, left


class StationLight:
    """Irradiance on the faces of a box at the station's coordinates.

    Parameters
    ----------
    weather : Weather
        The file.
    year : WeatherYear
        One of its years.
    """

    def __init__(self, weather: Weather, year: WeatherYear) -> None:
        self.sun = sun(
            weather.latitude,
            weather.longitude,
            weather.elevation,
            weather.utc_offset_h,
            year.time,
            weather.sun_offset_min,
        )
        self.sky = sky_light(self.sun, year.ghi, year.dni, year.dhi)

    def on_faces(
        self, front_azimuth: float, albedo: float, canopy_transmittance: float, skyline: Skyline
    ) -> FloatArray:
        """Irradiance on the faces.

        Parameters
        ----------
        front_azimuth : float
            Direction the front looks to; right, back and left follow by 90 degrees. [deg]
        albedo : float
            Of the roof. [-]
        canopy_transmittance : float
            [-]
        skyline : tuple of (azimuth, elevation)
            Empty for an open horizon. [deg]

        Returns
        -------
        ndarray, shape (6, time)
            In the order of envelope.FACES; the floor gets none. [W/m2]
        """
        shaded = behind_horizon(self.sun, skyline) if skyline else None
        planes = [
            plane_irradiance(
                self.sky,
                tilt=tilt,
                azimuth=front_azimuth + turn,
                albedo=albedo,
                canopy_transmittance=canopy_transmittance,
                beam_shaded=shaded,
            )
            for tilt, turn in _PLANES
        ]
        return np.stack([*planes, np.zeros_like(planes[0])])
