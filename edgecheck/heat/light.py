"""Sun and irradiance of one weather file, worked out once and shared by every site it serves.

In: a weather file. Out: irradiance on the six faces for any orientation, albedo, canopy and skyline; each wall
direction is computed once.
"""

from collections import OrderedDict
from threading import Lock

import numpy as np
from numpy.typing import NDArray

from edgecheck.heat.faces import behind_horizon, plane_irradiance
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.sun import sun

FloatArray = NDArray[np.float64]
Skyline = tuple[tuple[float, float], ...]

_KEPT_PLANES = 64  # arrays of one year, 70 kB each


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
        self.ghi = year.ghi
        self._dni = year.dni
        self._dhi = year.dhi
        self.sun = sun(
            weather.latitude,
            weather.longitude,
            weather.elevation,
            weather.utc_offset_h,
            year.time,
            weather.sun_offset_min,
        )
        self._planes: OrderedDict[tuple[object, ...], FloatArray] = OrderedDict()
        self._lock = Lock()

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
        walls = [
            self._plane(90.0, (front_azimuth + turn) % 360.0, albedo, canopy_transmittance, skyline)
            for turn in (0.0, 90.0, 180.0, 270.0)
        ]
        lid = self._plane(0.0, 0.0, albedo, canopy_transmittance, skyline)
        return np.stack([lid, *walls, np.zeros_like(lid)])

    def _plane(
        self, tilt: float, azimuth: float, albedo: float, canopy: float, skyline: Skyline
    ) -> FloatArray:
        key = (tilt, azimuth, albedo, canopy, skyline)
        with self._lock:
            if key in self._planes:
                self._planes.move_to_end(key)
                return self._planes[key]
        plane = plane_irradiance(
            self.sun,
            self.ghi,
            self._dni,
            self._dhi,
            tilt=tilt,
            azimuth=azimuth,
            albedo=albedo,
            canopy_transmittance=canopy,
            beam_shaded=behind_horizon(self.sun, skyline) if skyline else None,
        )
        with self._lock:
            self._planes[key] = plane
            while len(self._planes) > _KEPT_PLANES:
                self._planes.popitem(last=False)
        return plane
