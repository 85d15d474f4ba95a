"""The checks table: every check with its numbers, status, cause and source, as text."""

from collections.abc import Mapping
from dataclasses import dataclass

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.environment import CATEGORY_UNIT
from edgecheck.checks.model import BETWEEN, Check, CheckResult
from edgecheck.checks.result import Result
from edgecheck.outputs.number_text import MINUS, is_known, percent, quantity, readable
from edgecheck.outputs.words import group_title, joined
from edgecheck.weather.corrosion import category_name

_DECLARED: Mapping[str, Check] = {check.id: check for check in CHECKS}
_CONFIDENCE = {
    "published": "published",
    "memory": "from memory, not looked up",
    "common practice": "common practice, no source",
    "engineering default": "engineering default",
}


@dataclass(frozen=True)
class CheckRow:
    """One check as the table shows it."""

    id: str
    title: str
    need: str
    status: str
    demand: str
    sense: str
    limit: str
    utilisation: str
    spare: str
    governed_by: str
    basis: str
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class CheckGroup:
    """The checks of one group under its title."""

    title: str
    rows: tuple[CheckRow, ...]


def valued(check: Check | None, value: float | None, *, signed: bool = False) -> str:
    """A demand, limit or spare with its unit; shares in per cent, unknown as such."""
    unit = "" if check is None else check.unit
    if signed and unit == "degC":
        unit = "K"
    if unit == CATEGORY_UNIT and value is not None:
        steps = f"{MINUS if value < 0 else '+' if value > 0 else ''}{abs(value):.0f}"
        return steps if signed else category_name(value) or f"{value:g}"
    text = percent(value) if unit == "share" else quantity(value, unit)
    return f"+{text}" if signed and is_known(value) and float(value or 0.0) > 0 else text


def against(outcome: CheckResult) -> str:
    """Demand against limit in words: "18.2 % of at least 10.0 %"; empty where neither is known."""
    check = _DECLARED.get(outcome.id)
    if not is_known(outcome.demand):
        return ""
    demand = valued(check, outcome.demand)
    if not is_known(outcome.limit) or check is None:
        return demand
    return f"{demand}, {check.sense} {valued(check, outcome.limit)}"


def check_groups(result: Result, need: Mapping[str, str]) -> tuple[CheckGroup, ...]:
    """All checks of a result, group by group in the order of the declarations."""
    groups: dict[str, list[CheckRow]] = {}
    for outcome in result.checks:
        groups.setdefault(outcome.id.split(".", 1)[0], []).append(_row(outcome, need))
    return tuple(CheckGroup(group_title(name), tuple(rows)) for name, rows in groups.items())


def _row(outcome: CheckResult, need: Mapping[str, str]) -> CheckRow:
    """One check as text."""
    check = _DECLARED.get(outcome.id)
    limit = valued(check, outcome.limit)
    if outcome.status != "not assessed" and outcome.limit is None:
        limit = ""
    return CheckRow(
        id=outcome.id,
        title=outcome.id if check is None else check.title,
        need=_need(check, need.get(outcome.id, "")),
        status=outcome.status,
        demand=""
        if outcome.status == "not applicable" and outcome.demand is None
        else valued(check, outcome.demand),
        sense=check.sense if check is not None and is_known(outcome.limit) else "",
        limit=limit,
        utilisation="" if outcome.utilisation is None else percent(outcome.utilisation),
        spare="" if outcome.spare is None else valued(check, outcome.spare, signed=True),
        governed_by=readable(outcome.governed_by),
        basis=_basis(check),
        remarks=_remarks(outcome),
    )


def _need(check: Check | None, need: str) -> str:
    """How much the check is needed."""
    words = {"required": "required", "confirm": "to confirm", "off": "off, without effect"}.get(need, need)
    if check is not None and check.of_unit:
        return f"{words}, of the unit" if words else "of the unit"
    return words


def _basis(check: Check | None) -> str:
    """Source of formula and limit, and how well it is known."""
    if check is None:
        return ""
    confidence = _CONFIDENCE.get(check.confidence, check.confidence)
    return (
        readable(f"{check.basis.removesuffix('.')} ({confidence})")
        if check.basis
        else confidence.capitalize()
    )


def _remarks(outcome: CheckResult) -> tuple[str, ...]:
    """Note, condition, what is missing, what was assumed."""
    lines = [outcome.note, f"To do: {BETWEEN.join(outcome.conditions)}" if outcome.conditions else ""]
    if outcome.missing:
        lines.append(f"Missing: {joined(outcome.missing)}")
    if outcome.assumed:
        lines.append(f"Assumed: {joined(outcome.assumed)}")
    return tuple(readable(line) for line in lines if line)
