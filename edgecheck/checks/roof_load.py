"""Weight of the unit, with snow, against what the roof has to spare.

In: a site, what the unit puts on the roof, the snow. Out: the check's result in kPa.

A patch pressure within the uniform reserve passes, and so does an equivalent member load within it; a patch
pressure above the reserve proves nothing by itself. The check fails where the member is known and its load
exceeds the reserve, where even the whole free area at uniform pressure exceeds it, where nothing is left, or
where the landlord's mass limit is exceeded.

Snow. A reserve that an engineer states is what is left beside the roof's own snow: only snow on the lid is added.
A reserve derived from the design imposed load also bears what lies on the bay, drift included, beyond the snow
that the roof was designed for. Where a row leaves snow open between bounds, the check is made at both; where
they disagree, or the ground snow is not known, it is not assessed, unless it fails without any snow.
"""

from dataclasses import dataclass, replace

from edgecheck.base.constants import GRAVITY
from edgecheck.checks.findings import Finding, enough, incomplete_spreader, weighed
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.sites import Site
from edgecheck.roof.asks import rounded_side
from edgecheck.roof.demand import RoofDemand
from edgecheck.roof.load import pressure
from edgecheck.roof.reserve import KILO, Reserve, roof_reserve
from edgecheck.roof.snow import RoofSnow

ROOF_LOAD = Check(
    id="roof.load",
    title="Weight on the roof",
    sense="at most",
    unit="kPa",
    inputs=(
        ("roof_reserve_kpa", "load_standard", "asce_ground_snow_kpa"),
        ("roof_reserve_kpa", "load_standard", "en_ground_snow_kpa"),
        (
            "roof_use", "roof_design_imposed_kpa", "roof_existing_plant_kpa", "load_standard",
            "asce_ground_snow_kpa",
        ),
        (
            "roof_use", "roof_design_imposed_kpa", "roof_existing_plant_kpa", "load_standard",
            "en_ground_snow_kpa",
        ),
    ),
    has_true_zero=True,
    basis=(
        "Patch pressure W/A, sufficient against a uniform reserve; member equivalent "
        "w = 2P/(L s)(1 - c/(2L)) from the mid-span moment of a simply supported beam (statics). Snow: "
        "EN 1991-1-3 5.3.2 and 6.2 with EN 1990 6.14b; ASCE 7-16 and 7-22 chapter 7 with 2.4.1. Own mass of a "
        "proposed spreader 25 kg/m2, plan and rigidity of the spreader, and what evidence may pass: engineering "
        "defaults. Maintenance loads are no capacity for permanent plant: EN 1991-1-1 category H, ASCE 7 Lr."
    ),
    confidence="engineering default",
)  # fmt: skip

RIGID_REACH = 0.5  # m beyond the foot plates to which a frame is taken as rigid, engineering default

_SCOPE = "Without the deck between members."
_ROUNDING = 1e-9  # kg, of a sum of masses
_MEMBER_KEYS = ("member_span_m", "member_spacing_m")
_FREE_KEYS = ("free_length_m", "free_width_m")


@dataclass(frozen=True)
class _Loaded:
    """The unit under one amount of snow: extra weight on it [N], extra load on the bay, demand [kPa]."""

    extra: float
    bay: float
    value: float
    governs: str


def roof_load_check(site: Site, demand: RoofDemand, snow: RoofSnow) -> CheckResult:
    """Judge the weight of the unit with snow.

    Parameters
    ----------
    site : Site
        A row of the site list.
    demand : RoofDemand
        What the unit puts on the roof.
    snow : RoofSnow
        Snow of the site.

    Returns
    -------
    result : CheckResult
        "roof.load" [kPa].
    """
    landlord = site.number("landlord_max_kg")
    sure_mass = demand.operating.mass if "spreader_kg" in demand.spreader.missing else demand.mass
    if landlord is not None and sure_mass - landlord > _ROUNDING:
        plan = f"{demand.plan[0]:.2f} x {demand.plan[1]:.2f} m"
        return outcome(
            ROOF_LOAD,
            "fail",
            pressure(sure_mass * GRAVITY, demand.area) / KILO,
            pressure(landlord * GRAVITY, demand.area) / KILO,
            governed_by=f"landlord's limit of {landlord:g} kg, as a pressure on {plan}",
            note=f"{sure_mass:.0f} kg exceed the {landlord:g} kg that the landlord allows.",
        )
    reserve = roof_reserve(site)
    loaded, finding = _with_snow(site, demand, snow, reserve)
    finding = weighed(finding, reserve)
    if finding.status in ("pass", "caution") and site.get("landlord_max_kg") is None:
        ask = f"the landlord allows {demand.mass:.0f} kg (landlord_max_kg is empty)"
        finding = replace(finding, status="caution", conditions=(*finding.conditions, ask))
    return outcome(
        ROOF_LOAD,
        finding.status,
        loaded.value,
        None if reserve.value is None else reserve.value / KILO,
        governed_by=loaded.governs,
        missing=finding.missing,
        note=" ".join(
            text
            for text in (finding.text, _ballast_text(site, demand), _snow_text(loaded, snow, demand), _SCOPE)
            if text
        ),
        condition=finding.conditions,
    )


def _with_snow(site: Site, demand: RoofDemand, snow: RoofSnow, reserve: Reserve) -> tuple[_Loaded, Finding]:
    """Look at the least and the greatest snow that the row allows."""
    derived = reserve.value is not None and reserve.source != "roof_reserve_kpa"
    least_bay, most_bay, bay_open = _bay(site, snow) if derived else (0.0, 0.0, ())
    light = _loaded(site, demand, snow.lid[0], least_bay)
    at_least = _finding(site, demand, reserve, light)
    if not snow.known:
        if at_least.status == "fail":
            return light, at_least
        text = f"{at_least.text} Snow on the lid is not known and not in it."
        missing = tuple(dict.fromkeys((*at_least.missing, *snow.missing)))
        return light, Finding("not assessed", text, missing=missing)
    if (snow.lid[0], least_bay) == (snow.lid[1], most_bay):
        return light, at_least
    heavy = _loaded(site, demand, snow.lid[1], most_bay)
    at_most = _finding(site, demand, reserve, heavy)
    if at_least.status == at_most.status:
        return heavy, at_most
    keys = tuple(dict.fromkeys((*snow.lid_open, *bay_open)))
    if keys:
        text = f"Between {light.value:.2f} and {heavy.value:.2f} kPa, depending on {', '.join(keys)}."
        return heavy, Finding("not assessed", text, missing=tuple(dict.fromkeys((*keys, *at_most.missing))))
    for finding in (at_least, at_most):
        if finding.status == "not assessed":
            return heavy, finding
    text = f"{at_least.text} With the greatest possible drift it would be {heavy.value:.2f} kPa."
    return light, Finding("caution", text, (*at_least.conditions, snow.drift_remark))


def _bay(site: Site, snow: RoofSnow) -> tuple[float, float, tuple[str, ...]]:
    """Least and greatest load [Pa] on the bay beyond the snow the roof was designed for, and what is open."""
    designed = site.number("roof_design_snow_kpa")
    if designed is None:
        return 0.0, snow.bay[1], (*snow.bay_open, "roof_design_snow_kpa")
    least, most = (max(0.0, load - designed * KILO) for load in snow.bay)
    return least, most, snow.bay_open


def _loaded(site: Site, demand: RoofDemand, lid: float, bay: float) -> _Loaded:
    extra = lid * demand.lid
    value = (demand.patch_with(extra) + bay) / KILO
    governs = f"patch, {demand.mass:.0f} kg on {demand.plan[0]:.2f} x {demand.plan[1]:.2f} m"
    span, spacing = (site.number(key) for key in _MEMBER_KEYS)
    if span is not None and spacing is not None:
        member = (demand.member(span, spacing, extra) + bay) / KILO
        if member < value:
            value, governs = member, f"member, span {span:g} m, spacing {spacing:g} m, worse orientation"
    return _Loaded(extra, bay, value, f"{governs}{', with snow' if extra or bay else ''}")


def _finding(site: Site, demand: RoofDemand, reserve: Reserve, loaded: _Loaded) -> Finding:
    if demand.spreader.missing:
        return incomplete_spreader(demand)
    if reserve.value is None:
        return Finding(
            "not assessed",
            f"What the roof can spare is unknown; {enough(loaded.value):.2f} kPa to spare would be enough.",
            missing=reserve.missing,
        )
    limit = reserve.value / KILO
    if ROOF_LOAD.spare(loaded.value, limit) >= 0.0:
        return _within(site, demand, reserve, loaded)
    if limit <= 0.0:
        return Finding("fail", f"The roof has nothing to spare ({reserve.source}).")
    member = [site.number(key) for key in _MEMBER_KEYS]
    if None not in member:
        return Finding("fail", f"The load on the member exceeds {limit:.2f} kPa ({reserve.source}).")
    length, width = (site.number(key) for key in _FREE_KEYS)
    if length is not None and width is not None:
        uniform = (pressure(demand.weight + loaded.extra, length * width) + loaded.bay) / KILO
        if uniform > limit:
            text = f"Even spread over the whole free area, {uniform:.2f} kPa exceed {limit:.2f} kPa."
            return Finding("fail", text)
    lacking = tuple(key for key, cell in zip(_MEMBER_KEYS, member, strict=True) if cell is None)
    if len(lacking) == 1:
        return Finding("not assessed", "The roof's members are only half known.", missing=lacking)
    if length is None or width is None:
        free = tuple(key for key, cell in zip(_FREE_KEYS, (length, width), strict=True) if cell is None)
        text = (
            f"{loaded.value:.2f} kPa exceed {limit:.2f} kPa under the unit, which proves nothing without the "
            "roof's members or its free area."
        )
        return Finding("not assessed", text, missing=(*_MEMBER_KEYS, *free))
    return _spread(demand, loaded, limit, (length, width))


def _within(site: Site, demand: RoofDemand, reserve: Reserve, loaded: _Loaded) -> Finding:
    limit = (reserve.value or 0.0) / KILO
    text = f"{loaded.value:.2f} kPa within {limit:.2f} kPa ({reserve.source})."
    if demand.reach > RIGID_REACH:
        loose = _loaded(site, demand.without_rigidity(), loaded.extra / demand.lid, loaded.bay)
        if ROOF_LOAD.spare(loose.value, limit) < 0.0:
            need = (
                f"the maker confirms that the frame is rigid: it reaches {demand.reach:.2f} m beyond the "
                f"feet, more than {RIGID_REACH:g} m (engineering default)"
            )
            return Finding("caution", text, (need,))
    return Finding("pass", text)


def _spread(demand: RoofDemand, loaded: _Loaded, limit: float, free: tuple[float, float]) -> Finding:
    """Patch above the reserve, members unknown, free area large enough: which spreader would pass."""
    text = (
        f"{loaded.value:.2f} kPa exceed {limit:.2f} kPa under the unit, which proves no overload of a member."
    )
    engineer = "a structural engineer checks the members"
    side = rounded_side(demand.spreader_for(limit * KILO - loaded.bay, loaded.extra))
    if side is None:
        return Finding("caution", text, (f"no spreader is light enough: {engineer}",))
    if side > min(free):
        need = f"a square spreader would need {side:.2f} m, more than the free width of {min(free):g} m"
        return Finding("caution", text, (f"{need}: {engineer}",))
    frame = f"rigid spreader frame of {side:.2f} x {side:.2f} m (at 25 kg/m2)"
    reach = (side - min(demand.footprint)) / 2.0
    if reach > RIGID_REACH:
        frame += f", which reaches {reach:.2f} m beyond the feet and must be shown to be rigid, or {engineer}"
    return Finding("caution", text, (frame,))


def _ballast_text(site: Site, demand: RoofDemand) -> str:
    if demand.ballast:
        return f"With {demand.ballast:.0f} kg of ballast."
    if site.text("fixing") == "ballast" and site.number("ballast_kg") is None:
        return "The ballast that shall hold the unit is not stated and not in it."
    return ""


def _snow_text(loaded: _Loaded, snow: RoofSnow, demand: RoofDemand) -> str:
    if not snow.known:
        return ""
    if not loaded.extra and not loaded.bay:
        return f"No snow ({snow.combination})."
    text = f"With {loaded.extra / demand.lid / KILO:.2f} kPa of snow on the lid"
    if loaded.bay:
        text += f" and {loaded.bay / KILO:.2f} kPa on the bay beyond the roof's design snow"
    return f"{text}, {snow.combination}."
