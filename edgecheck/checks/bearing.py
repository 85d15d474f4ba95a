"""Pressure under the unit against what insulation and roof covering carry.

In: a site, the unit, what it puts on the roof. Out: one result in kPa, for the limit that is used most.

Stated limits decide. Without a data sheet the type of insulation gives a limit that allows a caution at best and
proves no failure. Too much pressure under a unit for which no spreader is stated is a caution with the pads that
would do, not a failure: the maker's foot plates are not the last word.
"""

from dataclasses import dataclass, replace

from edgecheck.checks.findings import incomplete_spreader
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.asks import rounded_side
from edgecheck.roof.bearing import Bearing, BearingCase, persons, site_bearing
from edgecheck.roof.bearing_limits import INSULATION_LIMIT, MEMBRANE_LIMIT, BearingLimit, bearing_limits
from edgecheck.roof.demand import RoofDemand
from edgecheck.roof.reserve import KILO

BEARING = Check(
    id="roof.bearing",
    title="Pressure on insulation and membrane",
    sense="at most",
    unit="kPa",
    inputs=(
        ("insulation_type", "insulation_longterm_kpa", "membrane_pressure_limit_kpa"),
        ("insulation_type", "membrane_pressure_limit_kpa"),
    ),
    has_true_zero=True,
    basis=(
        "Reactions of feet that cannot pull over plates, or a rigid frame on a bed that cannot pull (statics); "
        "45 degrees of spread through a slab, 1.5 times the long-term limit for passing loads, and the limits of "
        "insulation without a data sheet: engineering defaults. Person: 1.0 kN EN 1991-1-1, 1.33 kN ASCE 7."
    ),
    confidence="engineering default",
)

_THICKNESS = "spreader_thickness_mm"


@dataclass(frozen=True)
class _Use:
    """A limit and the case that uses it most."""

    limit: BearingLimit
    case: BearingCase
    allowed: float

    @property
    def ratio(self) -> float:
        return self.case.pressure / self.allowed


def bearing_check(site: Site, unit: Unit, demand: RoofDemand) -> CheckResult:
    """Judge the pressure on insulation and roof covering.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        The unit.
    demand : RoofDemand
        What it puts on the roof.

    Returns
    -------
    result : CheckResult
        "roof.bearing" [kPa]. Where the standard is not known, and with it the weight of a person, only what
        holds for either is said.
    """
    found = [_judged(site, demand, site_bearing(site, unit, demand, person)) for person in persons(site)]
    last = found[-1]
    if all(one.status == last.status for one in found):
        return last
    return replace(last, status="not assessed", missing=("load_standard",), conditions=())


def _judged(site: Site, demand: RoofDemand, pressed: Bearing) -> CheckResult:
    lasting, passing = pressed.lasting, pressed.passing
    if lasting is None or passing is None:
        note = "By its own data the unit tips over, or its weight stands beside the spreader."
        return outcome(BEARING, "not assessed", missing=demand.spreader.missing, note=note)
    limits, missing = bearing_limits(site)
    shown = f"{lasting.pressure / KILO:.0f} kPa for years, {passing.pressure / KILO:.0f} kPa for a while"
    uses = [use for limit in limits for use in _uses(limit, lasting, passing)]
    worst = max(uses, key=lambda use: use.ratio, default=None)
    demanded = lasting.pressure / KILO if worst is None else worst.case.pressure / KILO
    allowed = None if worst is None else worst.allowed / KILO
    governs = f"{pressed.how}: {(lasting if worst is None else worst.case).text}"
    if demand.spreader.missing:
        finding = incomplete_spreader(demand)
        return outcome(
            BEARING, "not assessed", demanded, allowed, governed_by=governs, missing=finding.missing,
            note=f"{finding.text} {shown}.",
        )  # fmt: skip
    over = [use for use in uses if use.ratio > 1.0]
    if worst is not None and any(use.limit.stated for use in over):
        return _exceeded(site, demand, pressed, worst, [use.limit for use in over], shown)
    if missing or worst is None:
        text = f"{shown}; what {' and '.join(_names(missing))} carries is not known."
        return outcome(
            BEARING, "not assessed", demanded, allowed, governed_by=governs, missing=missing, note=text
        )
    if over:
        return _exceeded(site, demand, pressed, worst, [use.limit for use in over], shown)
    note = f"{shown}, within {allowed:.0f} kPa ({worst.limit.name})."
    unconfirmed = [limit.name for limit in limits if not limit.stated]
    if unconfirmed:
        need = f"a data sheet confirms the {unconfirmed[0]}"
        return outcome(BEARING, "caution", demanded, allowed, governed_by=governs, note=note, condition=need)
    return outcome(BEARING, "pass", demanded, allowed, governed_by=governs, note=note)


def _names(missing: tuple[str, ...]) -> list[str]:
    found = ["the insulation"] if INSULATION_LIMIT in missing else []
    return [*found, "the roof covering"] if MEMBRANE_LIMIT in missing else found


def _uses(limit: BearingLimit, lasting: BearingCase, passing: BearingCase) -> tuple[_Use, _Use]:
    return _Use(limit, lasting, limit.lasting), _Use(limit, passing, limit.passing)


def _exceeded(
    site: Site, demand: RoofDemand, pressed: Bearing, worst: _Use, over: list[BearingLimit], shown: str
) -> CheckResult:
    """More than a limit: fail under a stated spreader and stated limits, else what would do."""
    value, allowed = worst.case.pressure / KILO, worst.allowed / KILO
    governs = f"{pressed.how}: {worst.case.text}"
    note = f"{shown}; {value:.0f} kPa exceed {allowed:.0f} kPa ({worst.limit.name})."
    if demand.spreader.stated and any(limit.stated for limit in over):
        if demand.spreader.kind == "slab" and site.number(_THICKNESS) is None:
            text = f"{note} The thickness of the slab is not known and counted as nothing."
            return outcome(
                BEARING, "not assessed", value, allowed, governed_by=governs, missing=(_THICKNESS,), note=text
            )
        return outcome(BEARING, "fail", value, allowed, governed_by=governs, note=note)
    if demand.spreader.stated:
        need = f"a data sheet allows more than the {worst.limit.name}, or the spreader is larger"
        return outcome(BEARING, "caution", value, allowed, governed_by=governs, note=note, condition=need)
    side = rounded_side(
        pressed.pad_side(min(limit.lasting for limit in over), min(limit.passing for limit in over))
    )
    need = "a rigid frame or slab under all feet, sized for that limit"
    if side is not None and side <= pressed.least_gap:
        need = f"rigid pads of {side:.2f} x {side:.2f} m under every foot"
    return outcome(BEARING, "caution", value, allowed, governed_by=governs, note=note, condition=need)
