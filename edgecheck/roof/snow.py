"""Snow on the lid of the unit and on the bay it stands on, at the level at which roofs are compared.

In: a row of the site list, the unit. Out: the least and the greatest value that the row allows, with every step
and what would narrow it. [Pa]

    EN          G + S          characteristic, EN 1990 6.14b; mu_1 on the lid; drift by 6.2 on the bay
    ASCE 7-16   D + S          allowable stress, 2.4.1
    ASCE 7-22   D + 0.7 S      allowable stress, 2.4.1, S at strength level

ASCE 7 asks for no drift beside a projection shorter than 4.6 m (7.8). Beside a higher part of the roof the
drift of that step governs: its length is not known here, so only its greatest possible value is given. A row
without the standard, or without that standard's ground snow load, has no snow load: zero is an answer, an
empty cell is none. An empty `roof_step_m` means a level roof (engineering default).
"""

from dataclasses import dataclass

from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof import snow_asce, snow_en
from edgecheck.roof.reserve import KILO
from edgecheck.roof.snow_asce import EDITIONS, NARROW, RISK_CATEGORIES, Edition

Bounds = tuple[float, float]

UNKNOWN: Bounds = (0.0, float("inf"))
_STANDARD = "load_standard"
_GROUND = {
    "asce7-16": "asce_ground_snow_kpa",
    "asce7-22": "asce_ground_snow_kpa",
    "en": "en_ground_snow_kpa",
}
_TITLES = {"asce7-16": "ASCE 7-16", "asce7-22": "ASCE 7-22", "en": "EN 1991-1-3"}
COMBINATIONS = {
    "asce7-16": "D + S (ASCE 7-16 2.4.1)",
    "asce7-22": "D + 0.7 S (ASCE 7-22 2.4.1)",
    "en": "G + S (EN 1990 6.14b)",
}


@dataclass(frozen=True)
class SnowLine:
    """One step of the snow load: what it is, its value, its unit, where it comes from."""

    name: str
    value: float
    unit: str
    source: str


@dataclass(frozen=True)
class RoofSnow:
    """Snow of a site.

    Parameters
    ----------
    combination : str
        In which it acts; empty where the standard is unknown.
    lid, bay : tuple of float
        Least and greatest load on the lid and on the bay around the unit (undrifted snow included), with the
        factor of the combination; `UNKNOWN` without ground snow. [Pa]
    lines : tuple of SnowLine
        How they come about.
    missing : tuple of str
        Keys of the site list without which there is no snow load.
    lid_open, bay_open : tuple of str
        Keys that would bring least and greatest together.
    drift_remark : str
        What a structural engineer must add; empty where nothing.
    """

    combination: str
    lid: Bounds
    bay: Bounds
    lines: tuple[SnowLine, ...] = ()
    missing: tuple[str, ...] = ()
    lid_open: tuple[str, ...] = ()
    bay_open: tuple[str, ...] = ()
    drift_remark: str = ""

    @property
    def known(self) -> bool:
        """Whether standard and ground snow are known."""
        return not self.missing


def site_snow(site: Site, unit: Unit) -> RoofSnow:
    """Snow on lid and bay of a site.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its table [body] is read.

    Returns
    -------
    snow : RoofSnow
    """
    standard = site.text(_STANDARD)
    if standard is None:
        unknown = [key for key in dict.fromkeys(_GROUND.values()) if not site.known(key)]
        keys = (_STANDARD, *unknown) if len(unknown) == 2 else (_STANDARD,)
        return RoofSnow("", UNKNOWN, UNKNOWN, missing=keys)
    stated = site.number(_GROUND[standard])
    if stated is None:
        return RoofSnow(COMBINATIONS[standard], UNKNOWN, UNKNOWN, missing=(_GROUND[standard],))
    ground = stated * KILO
    first = SnowLine("ground snow", ground, "Pa", f"{_GROUND[standard]}, {_TITLES[standard]}")
    if ground == 0.0:
        return RoofSnow(COMBINATIONS[standard], (0.0, 0.0), (0.0, 0.0), (first,))
    for edition in EDITIONS:
        if edition == standard:
            return _asce(site, unit, ground, edition, first)
    return _en(site, unit, ground, first)


def _en(site: Site, unit: Unit, ground: float, first: SnowLine) -> RoofSnow:
    shape = snow_en.flat_shape()
    plain = snow_en.snow_load(ground, shape)
    top = unit.body.foot_height_m + unit.body.height_m
    drift = snow_en.projection_drift(top, ground)
    peak = snow_en.snow_load(ground, drift.shape)
    lines = [
        first,
        SnowLine("mu_1 of lid and roof", shape, "", "5.3.2, level; C_e = C_t = 1.0, 5.2"),
        SnowLine("snow on the lid", plain, "Pa", "mu_1 s_k"),
        SnowLine("mu_2 beside the unit", drift.shape, "", f"6.2, 2 kN/m3 x {top:.2f} m / s_k, 0.8 to 2.0"),
        SnowLine("length of that drift", drift.length, "m", "6.2, 2 h, 5 to 15 m"),
        SnowLine("deepest drift beside the unit", peak, "Pa", "mu_2 s_k"),
    ]
    span = site.number("member_span_m")
    bay: Bounds = (plain, peak)
    bay_open: tuple[str, ...] = ("member_span_m",) if peak > plain else ()
    if span is not None:
        same = plain + snow_en.moment_equivalent(peak - plain, drift.length, span)
        source = f"equal mid-span moment, span {span:g} m"
        lines.append(SnowLine("snow on the bay with drift", same, "Pa", source))
        bay, bay_open = (same, same), ()
    parapet = site.number("parapet_height_m")
    if parapet:
        most = snow_en.parapet_drift(parapet, ground)
        source = "Annex B.4, accidental, only where the national annex adopts it; not compared"
        lines.append(SnowLine("exceptional drift at the parapet, at most", most.shape * ground, "Pa", source))
    step = site.number("roof_step_m") or 0.0
    if step <= 0.0:
        return RoofSnow(COMBINATIONS["en"], (plain, plain), bay, tuple(lines), bay_open=bay_open)
    bound = snow_en.snow_load(ground, snow_en.abutting_drift(step, ground).shape)
    source = f"5.3.6, mu_w at most 2 kN/m3 x {step:g} m / s_k, 0.8 to 4.0, for any length of the roofs"
    lines.append(SnowLine("drift of the higher roof, at most", bound, "Pa", source))
    return RoofSnow(
        COMBINATIONS["en"],
        (plain, max(plain, bound)),
        (bay[0], max(bay[1], bound)),
        tuple(lines),
        bay_open=bay_open,
        drift_remark=_drift_remark(f"the roof that is {step:g} m higher (EN 1991-1-3 5.3.6)"),
    )


def _asce(site: Site, unit: Unit, ground: float, edition: Edition, first: SnowLine) -> RoofSnow:
    factor = snow_asce.SERVICE_FACTOR[edition]
    stated = site.text("risk_category")
    risks = [risk for risk in RISK_CATEGORIES if stated in (None, risk)]
    loads = [snow_asce.roof_snow(ground, edition, risk) for risk in risks]
    least, most = factor * min(loads), factor * max(loads)
    named = f"risk category {stated}" if stated else "any risk category"
    thermal = snow_asce.THERMAL[edition]
    terms = f"C_e {snow_asce.PARTIALLY_EXPOSED:g}, C_t {thermal:g} (engineering defaults, heated building)"
    lines = [
        first,
        SnowLine("roof snow load, greatest", max(loads), "Pa", f"7.3, 7.10: {terms}, {named}, level roof"),
        SnowLine("factor of S", factor, "", f"{COMBINATIONS[edition]}, allowable stress design"),
        SnowLine("snow on lid and roof", most, "Pa", "factor times load; Cs = 1"),
    ]
    greatest_lid = greatest_bay = most
    weight = snow_asce.snow_weight(ground)
    beside: list[str] = []
    if max(unit.body.length_m, unit.body.depth_m) >= NARROW:
        top = unit.body.foot_height_m + unit.body.height_m
        greatest_bay = max(greatest_bay, factor * weight * top)
        beside.append(f"a unit with a side of {NARROW:g} m or more (ASCE 7 7.8)")
    step = site.number("roof_step_m") or 0.0
    if step > 0.0:
        bound = factor * weight * step
        source = f"7.7, snow up to the higher roof, {weight / KILO:.2f} kN/m3 x {step:g} m"
        lines.append(SnowLine("drift of the higher roof, at most", bound, "Pa", source))
        greatest_lid, greatest_bay = max(greatest_lid, bound), max(greatest_bay, bound)
        beside.append(f"the roof that is {step:g} m higher (ASCE 7 7.7)")
    risk_open = ("risk_category",) if least < most else ()
    return RoofSnow(
        COMBINATIONS[edition],
        (least, greatest_lid),
        (least, greatest_bay),
        tuple(lines),
        lid_open=risk_open,
        bay_open=risk_open,
        drift_remark=_drift_remark(" and ".join(beside)) if beside else "",
    )


def _drift_remark(beside: str) -> str:
    return f"a structural engineer adds the snow drift beside {beside}"
