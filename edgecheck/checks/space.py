"""Space: the unit with its clearances on the free area, and how near the edge it stands.

In: a site, the unit, what it puts on the roof. Out: one result, in metres of the tightest direction.

An edge distance that is not known is taken as less than the fall protection distance (safe side).
"""

from edgecheck.checks.findings import incomplete_spreader
from edgecheck.checks.model import Check, CheckResult, outcome
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import Unit
from edgecheck.roof.asks import clear_plan
from edgecheck.roof.demand import RoofDemand
from edgecheck.roof.space import FALL_PROTECTION_DISTANCE, best_fit

SPACE = Check(
    id="roof.space",
    title="Plan with clearances on the free area",
    sense="at most",
    unit="m",
    inputs=(("free_length_m", "free_width_m", "edge_distance_m"),),
    has_true_zero=True,
    basis=(
        "Plan of unit or spreader with the maker's clearances for service in front and intake on the other sides, "
        "in either orientation (geometry); the tightest direction decides. Clearances that the unit file does "
        "not state and the sides they are on: engineering defaults. Fall protection within 2 m of an edge: "
        "common practice."
    ),
    confidence="engineering default",
)

_KEYS = ("free_length_m", "free_width_m")


def space_check(site: Site, unit: Unit, demand: RoofDemand) -> CheckResult:
    """Judge whether the unit finds its place.

    Parameters
    ----------
    site : Site
        A row of the site list.
    unit : Unit
        Its tables [body] and [clearance] are read.
    demand : RoofDemand
        Gives the plan of a stated spreader.

    Returns
    -------
    result : CheckResult
        "roof.space" [m].
    """
    need = clear_plan(unit, demand)
    free = (site.number(_KEYS[0]), site.number(_KEYS[1]))
    fit = best_fit(need, free)
    plan = f"{need[0]:.2f} x {need[1]:.2f} m with clearances"
    if None not in free:
        plan += f" on {free[0]:g} x {free[1]:g} m, front along the {'width' if fit.turned else 'length'}"
    if fit.fits is False:
        note = f"{fit.need:.2f} m are needed where {fit.free:g} m are free, in either orientation."
        return outcome(SPACE, "fail", fit.need, fit.free, governed_by=plan, note=note)
    if fit.fits is None:
        missing = tuple(key for key, side in zip(_KEYS, free, strict=True) if side is None)
        note = "Not known whether that finds room."
        return outcome(
            SPACE, "not assessed", fit.need, fit.free, governed_by=plan, missing=missing, note=note
        )
    if demand.spreader.stated and demand.spreader.plan is None:
        finding = incomplete_spreader(demand)
        return outcome(
            SPACE, "not assessed", fit.need, fit.free, governed_by=plan, missing=finding.missing,
            note=finding.text,
        )  # fmt: skip
    edge = site.number("edge_distance_m")
    guard = f"fall protection, within {FALL_PROTECTION_DISTANCE:g} m of an edge"
    if edge is None:
        need_edge = (
            f"the place is {FALL_PROTECTION_DISTANCE:g} m or more from every edge, or has fall protection"
        )
        note = "How far it stands from the edge is not known and taken as near."
        return outcome(SPACE, "caution", fit.need, fit.free, governed_by=plan, note=note, condition=need_edge)
    if edge < FALL_PROTECTION_DISTANCE:
        note = f"It stands {edge:g} m from the edge: service needs fall protection."
        return outcome(SPACE, "caution", fit.need, fit.free, governed_by=plan, note=note, condition=guard)
    return outcome(SPACE, "pass", fit.need, fit.free, governed_by=plan, note=f"{edge:g} m from the edge.")
