"""Invented winters and shells for tests of failures."""

import numpy as np
from heat_cases import shell

from edgecheck.base.constants import STEFAN_BOLTZMANN, ZERO_CELSIUS
from edgecheck.heat.envelope import Shell
from edgecheck.heat.shell_curve import ShellCurve

EMISSIVITY = 0.9


def winter_hours(count: int = 96, seed: int = 3) -> dict[str, np.ndarray]:
    """Cold days with wind, low sun and clear nights: what `envelope_heat` takes, by its argument names."""
    random = np.random.default_rng(seed)
    hour = np.arange(count)
    daily = np.sin(2.0 * np.pi * (hour % 24 - 9.0) / 24.0)
    air = -14.0 + 6.0 * daily + 4.0 * np.sin(hour / 17.0)
    sun = np.clip(daily - 0.3, 0.0, None)
    faces = np.array([400.0, 650.0, 180.0, 60.0, 90.0, 0.0])
    return {
        "irradiance": faces[:, np.newaxis] * sun,
        "longwave_down": (0.72 + 0.2 * random.random(count)) * STEFAN_BOLTZMANN * (air + ZERO_CELSIUS) ** 4,
        "roof": air + 15.0 * sun - 4.0,
        "temp_air": air,
        "wind_at_unit": 8.0 * random.random(count),
    }


def bare_shell() -> Shell:
    """The box of `heat_cases` in bare metal: no resistance but the film inside."""
    insulated = shell()
    return Shell(insulated.area, np.full(6, 60.0), insulated.absorptance, insulated.emissivity)


def steady_shell(air: float, conductance: float, count: int = 48) -> ShellCurve:
    """Hours of one air temperature [degC] and one conductance [W/K], without sun or sky."""
    rows = [np.full(count, value) for value in (0.0, -conductance, 0.0, 0.0)]
    return ShellCurve(air, np.stack(rows))
