"""The roof around the unit, from the site list or by default.

Every default is an engineering default and stands with its reason in columns.toml; the surfaces stand here.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from edgecheck.inputs.columns import columns
from edgecheck.inputs.sites import DOES_NOT_APPLY, Site

# Absorptance for sunlight and emissivity of roof surfaces: engineering defaults. Green roofs are wet, so theirs
# is an overestimate of their temperature.
SURFACES: Mapping[str, tuple[float, float]] = {
    "dark": (0.90, 0.90),
    "gravel": (0.75, 0.90),
    "light": (0.35, 0.90),
    "green": (0.70, 0.95),
    "metal": (0.60, 0.30),
}


@dataclass(frozen=True)
class Microclimate:
    """The roof around the unit.

    Parameters
    ----------
    roof_absorptance, roof_emissivity : float
        Of the roof surface. [-]
    wind_share : float
        Share of the station's wind that reaches the unit. [-]
    recirculation : float
        Share of the inlet air that is discharge air. [-]
    roof_mixing : float
        Share of the inlet air that is roof-warm. [-]
    """

    roof_absorptance: float
    roof_emissivity: float
    wind_share: float
    recirculation: float
    roof_mixing: float

    @property
    def albedo(self) -> float:
        """Reflectance of the roof for sunlight. [-]"""
        return 1.0 - self.roof_absorptance


def setting(site: Site, key: str) -> float | str | None:
    """Value of a column, or its default where the cell is empty; None where there is neither."""
    value = site.get(key)
    if value is None:
        return columns()[key].default
    return value if isinstance(value, float | str) and value is not DOES_NOT_APPLY else None


def number_setting(site: Site, key: str) -> float:
    """Number of a column, or its default; 0 where a column without either is a shift that is simply absent."""
    value = setting(site, key)
    return float(value) if isinstance(value, int | float) else 0.0


def microclimate(site: Site) -> Microclimate:
    """Roof surface, wind, recirculation and mixing of a site.

    Parameters
    ----------
    site : Site
        A usable row of the list.

    Returns
    -------
    Microclimate
    """
    absorptance, emissivity = SURFACES[str(setting(site, "roof_surface"))]
    stated = site.number("roof_solar_absorptance")
    return Microclimate(
        roof_absorptance=absorptance if stated is None else stated,
        roof_emissivity=emissivity,
        wind_share=number_setting(site, "station_wind_share"),
        recirculation=number_setting(site, "recirculation"),
        roof_mixing=number_setting(site, "inlet_roof_mixing"),
    )
