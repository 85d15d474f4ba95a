"""The seismic force on the unit at a site, or why none has to be looked at.

In: a row of the site list, the unit's mounting, the component's factors. Out: forces over weight with their
steps, or the clause or declaration that exempts, or the cells without which neither is known. [g]

Where the height of roof or building is unknown the unit counts as standing at the top; an importance I_p that
neither the row nor its risk category settles counts as 1.5, and never exempts.
"""

from dataclasses import dataclass

from edgecheck.inputs.combinations import Standard
from edgecheck.inputs.sites import DOES_NOT_APPLY, Site
from edgecheck.inputs.stability_criteria import StabilityCriteria
from edgecheck.inputs.unit import Unit
from edgecheck.roof.seismic import asce716_force, asce722_force, asce_exempt, en_force, height_factor
from edgecheck.roof.steps import Step
from edgecheck.roof.wind_action import standard_of, with_default
from edgecheck.roof.wind_asce import TITLES


@dataclass(frozen=True)
class SiteSeismic:
    """Seismic action of a site.

    Parameters
    ----------
    standard : str, optional
        Key of the standard; None where the row names none.
    horizontal : float, optional
        Horizontal force of the anchors over the weight, any direction; None where exempt or not known.
    vertical : float
        Upward force over the weight.
    exempt : str
        Declaration or clause that exempts; empty otherwise.
    missing : tuple of str
        Cells without which the force is not known.
    steps : tuple of Step
        The way to it.
    """

    standard: Standard | None
    horizontal: float | None = None
    vertical: float = 0.0
    exempt: str = ""
    missing: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()


def site_seismic(site: Site, unit: Unit, values: StabilityCriteria) -> SiteSeismic:
    """Seismic action at a site.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its mounting is read.
    values : StabilityCriteria
        Component factors.

    Returns
    -------
    action : SiteSeismic
    """
    standard = standard_of(site)
    if standard is None:
        return SiteSeismic(None, missing=("load_standard",))
    if standard == "en":
        return _en(site, values)
    return _asce(site, unit, values, standard)


def _asce(site: Site, unit: Unit, values: StabilityCriteria, standard: Standard) -> SiteSeismic:
    category = site.get("seismic_design_category")
    if category is DOES_NOT_APPLY:
        return SiteSeismic(standard, exempt="declared: seismic_design_category none")
    name = TITLES[standard]
    importance, why = _importance(site)
    if category is None:
        asked = ("seismic_design_category",) + (() if site.known("sds_g") else ("sds_g",))
        return SiteSeismic(standard, missing=asked)
    clause = asce_exempt(str(category), importance)
    if clause:
        return SiteSeismic(standard, exempt=f"{name}, {clause}")
    if category == "C" and importance is None:
        return SiteSeismic(standard, missing=("component_importance", "risk_category"))
    sds = site.number("sds_g")
    if sds is None:
        return SiteSeismic(standard, missing=("sds_g",))
    ip = 1.5 if importance is None else importance
    share, where = _height_share(site)
    isolated = unit.mass.mounting != "rigid"
    repeat = values.asce_isolated_force_factor if isolated else 1.0
    mounting = unit.mass.mounting or "unknown, as on springs"
    numbers = f"SDS {sds:g} g, Ip {ip:g} ({why}), {where}, mounting {mounting}"
    if standard == "asce7-16":
        rp = {"rigid": values.asce7_16_rp, "rubber": values.asce7_16_rp_rubber}.get(
            unit.mass.mounting or "", values.asce7_16_rp_spring
        )
        force = asce716_force(sds, values.asce7_16_ap, rp, ip, share)
        formula = "0.4 ap SDS (Ip/Rp)(1 + 2 z/h), within 0.3 and 1.6 SDS Ip"
        numbers += f", ap {values.asce7_16_ap:g}, Rp {rp:g}"
    else:
        car = values.asce7_22_car_isolated if isolated else values.asce7_22_car
        rpo = values.asce7_22_rpo_isolated if isolated else values.asce7_22_rpo
        hf = height_factor(share)
        force = asce722_force(sds, car, rpo, ip, hf, values.asce7_22_rmu)
        formula = "0.4 SDS Ip (Hf/Rmu)(CAR/Rpo), within 0.3 and 1.6 SDS Ip"
        numbers += f", Hf {hf:g}, Rmu {values.asce7_22_rmu:g}, CAR {car:g}, Rpo {rpo:g} (not verified)"
    strong = values.asce_anchor_overstrength
    horizontal, vertical = force * repeat * strong, 0.2 * sds
    steps = (
        Step("horizontal force over weight", formula, f"{name} 13.3.1", numbers, force, "g"),
        Step("factor on isolators", "", f"{name} Table 13.6-1, footnote", f"mounting {mounting}", repeat),
        Step("overstrength of anchors", "", f"{name} 13.4.2", "concrete or masonry", strong),
        Step("horizontal force of the anchors over weight", "Fp/Wp times both", "", "", horizontal, "g"),
        Step("vertical force over weight", "0.2 SDS, either way", f"{name} 13.3.1", "", vertical, "g"),
    )
    return SiteSeismic(standard, horizontal, vertical, steps=steps)


def _en(site: Site, values: StabilityCriteria) -> SiteSeismic:
    if site.get("en_ground_acceleration_g") is DOES_NOT_APPLY:
        return SiteSeismic("en", exempt="declared: en_ground_acceleration_g none")
    reference, soil = site.number("en_ground_acceleration_g"), site.number("en_soil_factor")
    if reference is None:
        return SiteSeismic("en", missing=("en_ground_acceleration_g",))
    if soil is None and reference > 0.0:
        return SiteSeismic("en", missing=("en_soil_factor",))
    soil = 1.0 if soil is None else soil
    ground = reference * with_default(site, "en_importance_factor")
    limit = values.en_very_low_seismicity_g
    if ground * soil <= limit:
        text = f"very low seismicity, ag S {ground * soil:.3g} g not above {limit:g} g, EN 1998-1 3.2.1(5)"
        return SiteSeismic("en", exempt=text)
    share, where = _height_share(site)
    force = en_force(
        ground,
        soil,
        share,
        values.en_period_ratio,
        values.en_component_importance,
        values.en_component_behaviour,
    )
    steps = (
        Step(
            "design ground acceleration",
            "gammaI agR",
            "EN 1998-1 3.2.1(3)",
            f"agR {reference:g} g",
            ground,
            "g",
        ),
        Step(
            "horizontal force over weight",
            "(ag/g) S (3 (1 + z/H)/(1 + (1 - Ta/T1)^2) - 0.5) gamma_a/qa",
            "EN 1998-1 4.3.5.2 (4.24), (4.25)",
            f"S {soil:g}, {where}, Ta/T1 {values.en_period_ratio:g}, gamma_a {values.en_component_importance:g}, "
            f"qa {values.en_component_behaviour:g}",
            force,
            "g",
        ),
        Step(
            "vertical force over weight, for information",
            "0.5 Fa, either way",
            "engineering default, not asked for by 4.3.5",
            "not counted",
            0.5 * force,
            "g",
        ),
    )
    return SiteSeismic("en", force, steps=steps)


def _importance(site: Site) -> tuple[float | None, str]:
    stated = site.number("component_importance")
    if stated is not None:
        return stated, "component_importance"
    category = site.text("risk_category")
    if category is None:
        return None, "unknown"
    return (1.5 if category == "IV" else 1.0), f"risk category {category}"


def _height_share(site: Site) -> tuple[float, str]:
    """z/h of the roof in its building, 1 where unknown."""
    level, top = site.number("roof_level_agl_m"), site.number("building_top_agl_m")
    if level is None or not top:
        return 1.0, "z/h 1"
    share = min(level / top, 1.0)
    return share, f"z/h {share:.2f}"
