"""Stability checks: the unit in the wind and in an earthquake, and the fixing that holds it.

In: a site, the unit, the criteria, the density of the liquid, and what the roof checks say under ballast. Out: one
result a check, as a utilisation, with the record behind it.

Fixing is solved, not read. Wind: as given, loose, with ballast that the roof carries, on anchors, in this order. As
given or loose passes; ballast or anchors that somebody still has to provide are a caution with their size; the check
fails only where the roof cannot carry the ballast and anchors are refused or too weak. Earthquake: anchors
only, neither friction nor ballast counts. What the list does not say never makes either pass: without a standard,
its wind or the height they are not assessed; without friction only anchors can answer; without a word on
penetrations no anchor is counted on.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from edgecheck.checks.findings import Finding, enough
from edgecheck.checks.lazy import Later, Lazy
from edgecheck.checks.model import Check, CheckResult, Status, outcome
from edgecheck.checks.stability_record import stability_asks, stability_detail
from edgecheck.inputs.columns import columns
from edgecheck.inputs.criteria import Criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.fixing import AnchorForce, AnchorState, utilisation
from edgecheck.roof.reserve import KILO
from edgecheck.roof.site_stability import SiteStability, site_stability
from edgecheck.roof.stability import governing

Carried = Callable[[float], Sequence[CheckResult]]

_EN_WIND = ("load_standard", "roof_level_agl_m", "en_wind_speed_m_s", "en_terrain")
_ASCE_WIND = ("load_standard", "roof_level_agl_m", "asce_wind_speed_m_s", "asce_exposure")

WIND = Check(
    id="stability.wind",
    title="Sliding, overturning and uplift in the wind",
    sense="at most",
    unit="",
    inputs=tuple(
        (*wind, fixing)
        for wind in (_EN_WIND, _ASCE_WIND)
        for fixing in ("friction_design", "penetrations_allowed")
    ),
    has_true_zero=True,
    basis=(
        "ASCE 7-16 and 7-22 29.4.1; EN 1991-1-4 4.5, 7.6, 7.13 with engineering defaults for the roof's edge and for "
        "uplift, which have no clause; combinations of EN 1990 A1 and ASCE 7 chapter 2; rigid body on its feet. "
        "Ballast, its place and shape, friction without a test: engineering defaults."
    ),
    confidence="engineering default",
)
SEISMIC = Check(
    id="stability.seismic",
    title="Anchors in an earthquake",
    sense="at most",
    unit="",
    inputs=(
        ("load_standard", "seismic_design_category", "sds_g", "component_importance", "penetrations_allowed"),
        ("load_standard", "en_ground_acceleration_g", "en_soil_factor", "penetrations_allowed"),
    ),
    has_true_zero=True,
    basis=(
        "ASCE 7-16 and 7-22 chapter 13 with exemptions by 13.1.4; EN 1998-1 4.3.5 with 3.2.1(5); attachment without "
        "friction, ASCE 7 13.4. Rows of Table 13.6-1 of 7-22: not verified."
    ),
    confidence="memory",
)
STABILITY_CHECKS: tuple[Check, ...] = (WIND, SEISMIC)

_CARRYING = ("roof.load", "roof.point-load", "roof.bearing")
_NEEDED = ("roof.load", "roof.point-load")
_PENETRATIONS = "penetrations_allowed"


@dataclass(frozen=True)
class Stability:
    """Both results of a site, the record for pages, and what the roof must offer."""

    results: tuple[CheckResult, CheckResult]
    asks: Mapping[str, float | str | None]
    detail: Lazy[Mapping[str, Any]] = Lazy()


@dataclass(frozen=True)
class Anchors:
    """What can be said of anchors under one action.

    Parameters
    ----------
    state : str
        enough, open (to be designed), refused, exceeded, unknown, incomplete.
    tension, shear : AnchorForce, optional
        Cases with the greatest of either.
    demand : float, optional
        Utilisation of stated anchors, with its case.
    case : str
        That case.
    missing : tuple of str
        Cells that would settle it.
    """

    state: AnchorState
    tension: AnchorForce | None
    shear: AnchorForce | None
    demand: float | None = None
    case: str = ""
    missing: tuple[str, ...] = ()


def stability(
    site: Site, unit: Unit, criteria: Criteria, liquid_density: float, carried: Carried
) -> Stability:
    """Judge wind and seismic action on the unit.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        The unit that stands there.
    criteria : Criteria
        Its table [stability] is used.
    liquid_density : float
        Of the unit's liquid at filling temperature, 20 degC. [kg/m3]
    carried : callable
        Ballast in kg -> results of the roof checks with it instead of what the row states.

    Returns
    -------
    stability : Stability
        Results "stability.wind" and "stability.seismic".

    Raises
    ------
    ValueError
        A unit whose feet lie in one line.
    """
    values = criteria.stability
    found = site_stability(site, unit, values, liquid_density)
    roof: dict[float, Finding] = {}

    def carries(ballast: float) -> Finding:
        if ballast not in roof:
            roof[ballast] = _carries(ballast, carried(ballast), site)
        return roof[ballast]

    wind = _wind(found, values.anchor_interaction, carries)
    seismic = _seismic(found, values.anchor_interaction)
    detail: Later[Mapping[str, Any]] = Later(lambda: stability_detail(found, unit, values, dict(roof)))
    return Stability((wind, seismic), stability_asks(found, unit, values), detail)


def _wind(found: SiteStability, interaction: float, carries: Callable[[float], Finding]) -> CheckResult:
    if found.wind.wind is None:
        text = (
            "The wind on the unit is not known; what it needs in a reference wind stands under what the roof "
        )
        held_by = {"friction_design": found.friction.value, _PENETRATIONS: found.fixing.penetrations}
        lacking = tuple(key for key, value in held_by.items() if value is None)
        missing = (*found.wind.missing, *(lacking if len(lacking) == 2 else ()))
        return outcome(WIND, "not assessed", missing=missing, note=f"{text}must offer.")
    anchors = _anchors(found, found.wind_anchors, interaction)
    worst = governing(found.given)
    demand, case = worst.utilisation, worst.text
    if anchors.state == "enough":
        finding = _confirmed(found, Finding("pass", "The stated anchors hold the unit in the wind."), False)
        demand, case = anchors.demand or 0.0, anchors.case
    elif found.friction.value is None:
        finding = _without_friction(found, anchors)
    else:
        finding = _by_weight(found, anchors, carries)
    if finding.status == "fail" and anchors.state == "exceeded" and anchors.demand is not None:
        demand, case = anchors.demand, anchors.case
    stand = found.stand
    lead = f"{stand.state.capitalize()}, {stand.mass:.0f} kg on its {stand.base}"
    with_given = f" and {found.fixing.ballast:.0f} kg of ballast" if found.fixing.ballast else ""
    remarks = " ".join(found.wind.remarks)
    friction = f" {found.friction.remark.capitalize()}." if found.friction.remark else ""
    return outcome(
        WIND,
        finding.status,
        demand,
        1.0,
        governed_by=case,
        missing=finding.missing,
        note=f"{lead}{with_given}: {finding.text}{friction} {remarks}".strip(),
        condition=finding.conditions,
    )


def _by_weight(found: SiteStability, anchors: Anchors, carries: Callable[[float], Finding]) -> Finding:
    """As given, loose, ballast, anchors: friction is known."""
    stated = found.fixing.ballast
    if stated and governing(found.given).utilisation <= 1.0:
        roof = carries(stated)
        text = f"the stated ballast holds it. {roof.text}"
        if roof.status == "pass":
            return _confirmed(found, Finding("pass", text))
        if roof.status == "caution":
            return _confirmed(found, Finding("caution", text, roof.conditions))
    if governing(found.loose).utilisation <= 1.0:
        return _confirmed(found, Finding("pass", "it stands without any fixing."))
    needed = found.ballast
    roof = (
        Finding("fail", "No ballast is enough at this friction.")
        if needed is None
        else carries(math.ceil(needed))
    )
    wanted = () if needed is None else (_ballast_words(found, needed),)
    text = f"it does not stand loose. {roof.text}"
    if roof.status == "pass":
        return _confirmed(found, Finding("caution", text, wanted))
    if anchors.state == "open":
        return _confirmed(found, Finding("caution", text, (_anchor_words(found, anchors),)), False)
    if roof.status == "caution":
        return _confirmed(found, Finding("caution", text, (*wanted, *roof.conditions)))
    open_cells = (*anchors.missing, *(roof.missing if roof.status == "not assessed" else ()))
    text = f"{text} {_anchor_text(found, anchors)}"
    if anchors.state in ("unknown", "incomplete") or roof.status == "not assessed":
        return Finding("not assessed", text, missing=tuple(dict.fromkeys(open_cells)))
    return Finding("fail", text)


def _without_friction(found: SiteStability, anchors: Anchors) -> Finding:
    """Only anchors can answer where no friction is stated."""
    if anchors.state == "open":
        text = "no friction is stated, so that only anchors are counted on."
        return _confirmed(found, Finding("caution", text, (_anchor_words(found, anchors),)), False)
    text = f"without friction neither sliding nor ballast can be judged. {_anchor_text(found, anchors)}"
    return Finding("not assessed", text, missing=("friction_design", *anchors.missing))


def _seismic(found: SiteStability, interaction: float) -> CheckResult:
    action = found.seismic
    if action.exempt:
        return outcome(SEISMIC, "not applicable", note=f"No seismic check is asked for: {action.exempt}.")
    if action.horizontal is None:
        text = "The seismic action on the unit is not known."
        return outcome(SEISMIC, "not assessed", missing=action.missing, note=text)
    anchors = _anchors(found, found.seismic_anchors, interaction)
    limit = None if anchors.demand is None else 1.0
    status: Status = "fail"
    conditions: tuple[str, ...] = ()
    if anchors.state == "enough":
        status = "pass"
    elif anchors.state == "open":
        status, conditions = "caution", (_anchor_words(found, anchors, "in an earthquake"),)
    elif anchors.state in ("unknown", "incomplete"):
        status = "not assessed"
    note = f"Neither friction nor ballast holds the unit in an earthquake. {_anchor_text(found, anchors)}"
    governed = anchors.case or (anchors.tension.text if anchors.tension else "")
    return outcome(
        SEISMIC,
        status,
        anchors.demand,
        limit,
        governed_by=governed,
        missing=anchors.missing if status == "not assessed" else (),
        note=note,
        condition=conditions,
    )


def _anchors(found: SiteStability, forces: Sequence[AnchorForce], interaction: float) -> Anchors:
    fixing = found.fixing
    tension = max(forces, key=lambda one: one.tension, default=None)
    shear = max(forces, key=lambda one: one.shear, default=None)
    if fixing.penetrations == "no":
        return Anchors("refused", tension, shear)
    unknown = () if fixing.penetrations == "yes" else (_PENETRATIONS,)
    if not fixing.capacity_stated:
        return Anchors("unknown" if unknown else "open", tension, shear, missing=unknown)
    lacking = fixing.missing(found.levels)
    if lacking or not forces or fixing.tension is None or fixing.shear is None:
        return Anchors("incomplete", tension, shear, missing=(*(lacking or ("anchors",)), *unknown))
    shares = [utilisation(force, fixing.tension, fixing.shear, interaction) for force in forces]
    demand = max(shares)
    case = f"anchors, {forces[shares.index(demand)].text}"
    if demand > 1.0:
        return Anchors("exceeded", tension, shear, demand, case)
    return Anchors("unknown" if unknown else "enough", tension, shear, demand, case, unknown)


def _carries(ballast: float, results: Sequence[CheckResult], site: Site) -> Finding:
    """What the roof checks say of ballast; a failure on an assumed value proves nothing."""
    heavy = [result for result in results if result.id in _CARRYING]
    what = f"With {ballast:.0f} kg of ballast"
    failed = [result.id for result in heavy if result.status == "fail"]
    assumed = tuple(key for key in site.assumed if any(check in columns()[key].feeds for check in failed))
    if failed and assumed:
        text = f"{what} the roof fails {' and '.join(failed)}, on assumed values."
        return Finding("not assessed", text, (), assumed)
    if failed:
        return Finding("fail", f"{what} the roof fails {' and '.join(failed)}.")
    waiting = [result for result in heavy if result.status == "not assessed" and result.id in _NEEDED]
    if waiting or not heavy:
        missing = tuple(dict.fromkeys(key for result in waiting for key in result.missing))
        return Finding(
            "not assessed", f"Whether the roof carries {ballast:.0f} kg of ballast is open.", (), missing
        )
    cautions = [result for result in heavy if result.status == "caution"]
    if cautions:
        named = tuple(text for one in cautions for text in _asked_by(one))
        return Finding("caution", f"{what} the roof checks pass with cautions.", named)
    return Finding("pass", f"{what} the roof checks pass.")


def _asked_by(caution: CheckResult) -> tuple[str, ...]:
    """What a roof check asks for under ballast; that check is named once."""
    first, *rest = caution.conditions or (caution.note,)
    return (f"{caution.id} with the ballast: {first}", *rest)


def _confirmed(found: SiteStability, finding: Finding, by_friction: bool = True) -> Finding:
    """Add what somebody must still confirm; a pass with such a condition is a caution."""
    more = list(found.wind.conditions)
    if by_friction and not found.friction.tested:
        more.append(f"friction {found.friction.value:g} is confirmed by a test on this roof")
    if not more:
        return finding
    return Finding("caution", finding.text, (*finding.conditions, *more), finding.missing)


def _ballast_words(found: SiteStability, ballast: float) -> str:
    return f"ballast of {math.ceil(ballast)} kg fixed to the unit, at friction {found.friction.value:g}"


def _anchor_words(found: SiteStability, anchors: Anchors, when: str = "in the wind") -> str:
    if found.anchors is None or anchors.tension is None or anchors.shear is None:
        return f"anchors, designed for the unit {when}"
    level = "allowable stress" if found.level == "asd" else "design"
    pulled = enough(anchors.tension.tension / KILO)
    tension = f"{pulled:.2f} kN tension" if pulled > 0.0 else "no tension"
    return (
        f"{found.anchors.count} anchors at the feet, each for {tension} and "
        f"{enough(anchors.shear.shear / KILO):.2f} kN shear {when} ({level} level)"
    )


def _anchor_text(found: SiteStability, anchors: Anchors) -> str:
    if anchors.state == "refused":
        return "Penetrations of the roof are refused."
    if anchors.state == "exceeded":
        return f"The stated anchors are loaded to {anchors.demand:.2f} of what they may take."
    if anchors.state == "enough":
        return "The stated anchors hold it."
    words = _anchor_words(found, anchors, "")
    text = f"{words[0].upper()}{words[1:]}".replace("  ", " ") + " would hold it"
    if anchors.state == "incomplete":
        return f"{text}; what is stated of them is incomplete."
    return f"{text}." if anchors.state == "open" else f"{text}, if the roof may be drilled."
