"""The roof around the unit, from the site list or by default.

Every default is an engineering default and stands with its reason in columns.toml; the surfaces stand here, and so
does what walls, a parapet or a higher part of the roof send back of the discharge air.
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

# Share of discharge air in the inlet air by the number of walls within 3 m: engineering defaults, in the range that
# makers and flow studies give from memory for free-standing units (0 to 5 %) and pits (10 to 20 %).
RECIRCULATION_BY_WALLS = (0.05, 0.05, 0.10, 0.15, 0.20)
RECIRCULATION_BEHIND_A_PARAPET = 0.10
PARAPET_NEAR = 3.0  # m from the edge, the distance within which the list counts walls


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
    recirculation_why : str
        Why that share of discharge air, where the list does not state it; empty where it does.
    """

    roof_absorptance: float
    roof_emissivity: float
    wind_share: float
    recirculation: float
    roof_mixing: float
    recirculation_why: str = ""

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


def recirculation(site: Site, unit_height: float | None = None) -> tuple[float, str]:
    """Share of the inlet air that is discharge air, and why.

    Parameters
    ----------
    site : Site
        A usable row of the list.
    unit_height : float, optional
        Height of the unit's top above its feet; None leaves parapet and roof step out. [m]

    Returns
    -------
    share : float
        As stated, else by the walls within 3 m, and at least 0.10 where a parapet near the unit or the next part
        of the roof is higher than the unit (engineering defaults). A parapet is near where the unit stands less
        than 3 m from the edge, or where that is not known. [-]
    why : str
        Empty where the list states the share.
    """
    stated = site.number("recirculation")
    if stated is not None:
        return stated, ""
    column = columns()["recirculation"]
    share, why = float(column.default or 0.0), column.default_reason
    walls = site.number("walls_within_3_m")
    if walls is not None and RECIRCULATION_BY_WALLS[int(walls)] > share:
        share = RECIRCULATION_BY_WALLS[int(walls)]
        why = f"engineering default: {walls:g} walls or screens within {PARAPET_NEAR:g} m send discharge air back"
    if unit_height is None or share >= RECIRCULATION_BEHIND_A_PARAPET:
        return share, why
    edge = site.number("edge_distance_m")
    parapet = site.number("parapet_height_m") if edge is None or edge < PARAPET_NEAR else None
    step = site.number("roof_step_m")
    for height, words in (
        (parapet, "the parapet is {:g} m high"),
        (step, "the next part of the roof lies {:g} m higher"),
    ):
        if height is not None and height > unit_height:
            share = RECIRCULATION_BEHIND_A_PARAPET
            why = (
                f"engineering default: {words.format(height)}, above the unit's top at {unit_height:g} m, and sends "
                "discharge air back"
            )
            break
    return share, why


def microclimate(site: Site, unit_height: float | None = None) -> Microclimate:
    """Roof surface, wind, recirculation and mixing of a site.

    Parameters
    ----------
    site : Site
        A usable row of the list.
    unit_height : float, optional
        Height of the unit's top above its feet; None leaves parapet and roof step out of the recirculation. [m]

    Returns
    -------
    Microclimate
    """
    absorptance, emissivity = SURFACES[str(setting(site, "roof_surface"))]
    stated = site.number("roof_solar_absorptance")
    share, why = recirculation(site, unit_height)
    return Microclimate(
        roof_absorptance=absorptance if stated is None else stated,
        roof_emissivity=emissivity,
        wind_share=number_setting(site, "station_wind_share"),
        recirculation=share,
        roof_mixing=number_setting(site, "inlet_roof_mixing"),
        recirculation_why=why,
    )
