"""The wind on the unit at a site: from cells of the site list to pressure and coefficients.

In: a row of the site list, the unit, nationally determined values. Out: the wind by the standard of the row, or
the cells without which it is not known; and reference winds, named as such, for rows without one. Each standard
has its own columns: a 3-second gust of one never stands for a 10-minute mean of the other.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from edgecheck.inputs.columns import columns
from edgecheck.inputs.combinations import Standard
from edgecheck.inputs.sites import Site
from edgecheck.inputs.stability_criteria import StabilityCriteria
from edgecheck.inputs.unit import Unit
from edgecheck.roof.stability import Wind
from edgecheck.roof.wind_asce import AsceWind, elevation_factor
from edgecheck.roof.wind_en import HIGHEST, EnWind, edge_strip, peak_pressure

STANDARDS: Mapping[str, Standard] = {"en": "en", "asce7-16": "asce7-16", "asce7-22": "asce7-22"}
ASCE_KEYS = ("asce_wind_speed_m_s", "asce_exposure")
EN_KEYS = ("en_wind_speed_m_s", "en_terrain")
REFERENCE_HEIGHT = 20.0  # m
REFERENCE_SPEEDS: Mapping[Standard, float] = {"en": 26.0, "asce7-16": 50.0, "asce7-22": 50.0}  # m/s, vb and V


@dataclass(frozen=True)
class SiteWind:
    """Wind of a site.

    Parameters
    ----------
    standard : str, optional
        Key of the standard; None where the row names none.
    wind : Wind, optional
        None where it is not known.
    missing : tuple of str
        Cells without which it is not.
    remarks : tuple of str
        What was taken for what.
    conditions : tuple of str
        What a structural engineer must look at beyond it.
    """

    standard: Standard | None
    wind: Wind | None
    missing: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()


def standard_of(site: Site) -> Standard | None:
    """Load standard of a row; None where the cell is empty."""
    return STANDARDS.get(site.text("load_standard") or "")


def with_default(site: Site, key: str) -> float:
    """Number of a cell, or the column's default where it is empty.

    Parameters
    ----------
    site : Site
        A row of the site list.
    key : str
        A column with a numeric default.

    Returns
    -------
    value : float
        In the column's unit.

    Raises
    ------
    ValueError
        The column has no numeric default.
    """
    value = site.number(key)
    if value is None:
        value = columns()[key].default  # type: ignore[assignment]
    if not isinstance(value, float | int):
        raise ValueError(f"{key} has no numeric default")
    return float(value)


def site_wind(site: Site, unit: Unit, values: StabilityCriteria, top: float) -> SiteWind:
    """Wind at a site.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its table [body] is read.
    values : StabilityCriteria
        Nationally determined values and engineering defaults.
    top : float
        Height of the unit's top above the roof, with what it is fixed to. [m]

    Returns
    -------
    wind : SiteWind
    """
    standard = standard_of(site)
    level = site.number("roof_level_agl_m")
    missing = [] if standard else ["load_standard"]
    missing += [] if level is not None or site.known("building_top_agl_m") else ["roof_level_agl_m"]
    if standard is not None:
        missing += [key for key in (EN_KEYS if standard == "en" else ASCE_KEYS) if site.get(key) is None]
    if standard is None or missing:
        return SiteWind(standard, None, tuple(missing))
    step = site.number("roof_step_m")
    conditions = []
    if step:
        conditions.append(
            f"a structural engineer looks at the wind beside a part of the roof {step:g} m higher"
        )
    if standard == "en":
        return _en(site, unit, values, top, tuple(conditions))
    return _asce(site, standard, values, tuple(conditions))


def reference_wind(
    standard: Standard, speed: float, height: float, unit: Unit, values: StabilityCriteria
) -> Wind:
    """Wind that stands for none of a site: open country, near the roof's edge, building of unknown size.

    Parameters
    ----------
    standard : {"en", "asce7-16", "asce7-22"}
        By which.
    speed : float
        Basic velocity of that standard. [m/s]
    height : float
        Of the roof above ground. [m]
    unit : Unit
        Its table [body] is read.
    values : StabilityCriteria
        Nationally determined values and engineering defaults.

    Returns
    -------
    wind : Wind
    """
    if standard == "en":
        pressure = peak_pressure(speed, "II", height + _top(unit), density=values.en_air_density_kg_m3)
        return EnWind(
            pressure,
            _body(unit),
            values.en_edge_factor,
            "reference: near the roof's edge",
            values.en_uplift_coefficient,
            density=values.en_air_density_kg_m3,
        )
    return AsceWind(standard, speed, "C", height, directionality=values.asce_directionality)


def _en(
    site: Site, unit: Unit, values: StabilityCriteria, unit_top: float, conditions: tuple[str, ...]
) -> SiteWind:
    level, top = site.number("roof_level_agl_m"), site.number("building_top_agl_m")
    remarks = []
    if level is None:
        level = top or 0.0
        remarks.append("The unit is taken to stand on the top of the building.")
    height = level + unit_top
    if height > HIGHEST:
        conditions = (*conditions, f"a structural engineer gives the wind above {HIGHEST:g} m")
    orography = with_default(site, "en_orography")
    pressure = peak_pressure(
        site.number("en_wind_speed_m_s") or 0.0,
        site.text("en_terrain") or "",
        height,
        orography,
        values.en_air_density_kg_m3,
    )
    factor, reason = _edge(site, max(level, top or 0.0), values.en_edge_factor)
    wind = EnWind(
        pressure,
        _body(unit),
        factor,
        reason,
        values.en_uplift_coefficient,
        orography,
        values.en_air_density_kg_m3,
    )
    return SiteWind("en", wind, (), tuple(remarks), conditions)


def _asce(site: Site, standard: Standard, values: StabilityCriteria, conditions: tuple[str, ...]) -> SiteWind:
    top, level = site.number("building_top_agl_m"), site.number("roof_level_agl_m")
    height = level if top is None else top
    edition = "asce7-16" if standard == "asce7-16" else "asce7-22"
    wind = AsceWind(
        edition,  # type: ignore[arg-type]
        site.number("asce_wind_speed_m_s") or 0.0,
        site.text("asce_exposure") or "",
        height or 0.0,
        topography=with_default(site, "asce_kzt"),
        elevation=elevation_factor(site.number("elevation_m")),
        directionality=values.asce_directionality,
        building=_building(site),
    )
    return SiteWind(standard, wind, (), (), conditions)


def _edge(site: Site, building_height: float, factor: float) -> tuple[float, str]:
    strip = edge_strip(_building(site), building_height)
    distance = site.number("edge_distance_m")
    if distance is None:
        return factor, "distance from the roof's edge unknown"
    if distance < strip:
        return factor, f"{distance:g} m from the roof's edge, within e/4 = {strip:.2f} m"
    return 1.0, f"{distance:g} m from the roof's edge, beyond e/4 = {strip:.2f} m"


def _building(site: Site) -> tuple[float, float] | None:
    length, width = site.number("building_length_m"), site.number("building_width_m")
    return None if length is None or width is None else (length, width)


def _body(unit: Unit) -> tuple[float, float, float]:
    return unit.body.length_m, unit.body.depth_m, unit.body.height_m


def _top(unit: Unit) -> float:
    return unit.body.foot_height_m + unit.body.height_m
