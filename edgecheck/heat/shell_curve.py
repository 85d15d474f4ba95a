"""Heat through the shell as a function of the liquid's temperature, hour by hour.

A bath without power runs through some 60 K; the linearisation at the setpoint does not hold so far. Each face's
balance is solved once, in the middle of that range, and continued with its exact first three derivatives: with
s = dTs/dTl, a = 12 eps sigma and g the conductance from the liquid to the surface,

    s = g/(hc + g + 4 eps sigma Ts^3),   s' = -(a/g) Ts^2 s^3,   s'' = -(a/g) (2 Ts s^4 + 3 Ts^2 s^2 s')

which follow from differentiating the balance of `envelope.py`. What is left out, the fourth derivative, is below
0.2 W/m2 for bare metal 45 K from the middle, and far below that behind insulation.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from edgecheck.base.compiled import kernel
from edgecheck.base.constants import STEFAN_BOLTZMANN, ZERO_CELSIUS
from edgecheck.heat.envelope import (
    Shell,
    convection_coefficient,
    longwave_on_faces,
    outer_surfaces,
    roof_temperature,
)
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.series import Surroundings

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class ShellCurve:
    """Heat into the liquid through the shell in every hour: c0 + c1 x + c2 x^2 + c3 x^3, x = T - centre.

    Parameters
    ----------
    centre : float
        [degC]
    coefficients : ndarray, shape (4, time)
        [W], [W/K], [W/K2], [W/K3]
    """

    centre: float
    coefficients: FloatArray

    def during(self, hours: slice | NDArray[np.intp]) -> "ShellCurve":
        """The curve of some of its hours."""
        return ShellCurve(self.centre, self.coefficients[:, hours])

    def at(self, liquid: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Heat into the liquid and its fall with the liquid's temperature.

        Parameters
        ----------
        liquid : ndarray, shape (time,)
            One temperature for each hour. [degC]

        Returns
        -------
        heat, conductance : ndarray, shape (time,)
            [W], [W/K]
        """
        c0, c1, c2, c3 = self.coefficients
        x = liquid - self.centre
        return c0 + x * (c1 + x * (c2 + x * c3)), -(c1 + x * (2.0 * c2 + x * (3.0 * c3)))


def shell_curve(
    shell: Shell,
    irradiance: FloatArray,
    longwave_down: FloatArray,
    roof: FloatArray,
    roof_emissivity: float,
    temp_air: FloatArray,
    wind_at_unit: FloatArray,
    centre: float,
) -> ShellCurve:
    """Heat through the shell about a liquid temperature.

    Parameters
    ----------
    shell, irradiance, longwave_down, roof, roof_emissivity, temp_air, wind_at_unit
        As in `envelope.envelope_heat`; arrays of shape (time,), irradiance (6, time).
    centre : float
        Middle of the liquid temperatures that are asked for. [degC]

    Returns
    -------
    ShellCurve
    """
    convection = convection_coefficient(wind_at_unit)
    longwave = longwave_on_faces(longwave_down, roof, roof_emissivity)
    surfaces = outer_surfaces(shell, irradiance, longwave, temp_air, convection, centre)
    emissivity, middle = float(shell.emissivity), float(centre)
    coefficients = np.zeros((4, len(temp_air)))
    for surface, area, through in zip(surfaces, shell.area.tolist(), shell.conductance.tolist(), strict=True):
        _add_face(surface, convection, emissivity, area, through, middle, *coefficients)
    return ShellCurve(centre, coefficients)


@kernel
def _add_face(
    surface: FloatArray,
    film: FloatArray,
    emissivity: float,
    area: float,
    conductance: float,
    centre: float,
    c0: FloatArray,
    c1: FloatArray,
    c2: FloatArray,
    c3: FloatArray,
) -> None:
    """Add one face, solved at the centre, to the coefficients [W/K^n]; temperatures in degC, shape (time,)."""
    weight, radiating = area * conductance, emissivity * STEFAN_BOLTZMANN
    bend = -12.0 * radiating / conductance
    for i in range(len(surface)):
        kelvin = surface[i] + ZERO_CELSIUS
        square = kelvin * kelvin
        s = conductance / (film[i] + conductance + 4.0 * radiating * square * kelvin)
        cube = s * s * s
        s1 = bend * square * cube
        s2 = bend * (2.0 * kelvin * cube * s + 3.0 * square * s * s * s1)
        c0[i] += weight * (surface[i] - centre)
        c1[i] += weight * (s - 1.0)
        c2[i] += weight * (s1 / 2.0)
        c3[i] += weight * (s2 / 6.0)


def in_full_wind(around: Surroundings, shell: Shell, site: Microclimate, centre: float) -> ShellCurve:
    """Heat through the shell with the station's whole wind on roof and box, for failures in winter.

    Shelter keeps a bath warm: to count on it would be unsafe where the worst hours are cold ones.

    Parameters
    ----------
    around : Surroundings
        Of a series of hours.
    shell : Shell
        The box.
    site : Microclimate
        The roof; its share of the wind is left aside.
    centre : float
        Middle of the liquid temperatures that are asked for. [degC]

    Returns
    -------
    ShellCurve
    """
    air = around.air
    roof = roof_temperature(
        around.ghi,
        air.longwave_down,
        air.temp_air,
        air.wind_speed,
        absorptance=site.roof_absorptance,
        emissivity=site.roof_emissivity,
    )
    return shell_curve(
        shell,
        around.irradiance,
        air.longwave_down,
        roof,
        site.roof_emissivity,
        air.temp_air,
        air.wind_speed,
        centre,
    )
