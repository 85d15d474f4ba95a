"""Snow, pressure on the roof's build-up and the share added to a member, as text for the report.

In: the roof's record of a result, its checks. Out: sentences and rows; unknown values say so.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from edgecheck.checks.member_share import LIMIT
from edgecheck.checks.model import CheckResult
from edgecheck.outputs.number_text import UNKNOWN, is_known, percent, quantity, readable
from edgecheck.outputs.views.head import Fact
from edgecheck.outputs.words import joined

Row = tuple[str, ...]

_SYMBOLS = (
    ("mu_1", "μ₁"),
    ("mu_2", "μ₂"),
    ("mu_w", "μw"),
    ("s_k", "sₖ"),
    ("C_e", "Cₑ"),
    ("C_t", "Cₜ"),
    (" x ", " × "),
)


@dataclass(frozen=True)
class Snow:
    """Snow on lid and bay.

    Parameters
    ----------
    sentences : tuple of str
        What acts and in which combination; what is missing or left to an engineer.
    steps : tuple of rows
        What, formula and clause, value.
    """

    sentences: tuple[str, ...]
    steps: tuple[Row, ...]


@dataclass(frozen=True)
class Bearing:
    """Pressure on insulation and roof covering.

    Parameters
    ----------
    sentences : tuple of str
        How it was found, what is missing.
    rows : tuple of rows
        What, value for years, value for a while.
    """

    sentences: tuple[str, ...]
    rows: tuple[Row, ...]


def snow(found: Mapping[str, Any] | None) -> Snow | None:
    """Snow of the roof's record; None where there is none."""
    if not found:
        return None
    if found["known"]:
        combination = str(found["combination"])
        if all(found[where] == [0.0, 0.0] for where in ("lid_kpa", "bay_kpa")):
            sentences = [f"No snow is to be counted on: the ground snow load is 0. {combination}."]
        else:
            sentences = [
                f"With the permanent load, {combination}: {_between(found['lid_kpa'])} on the lid of the unit, "
                f"{_between(found['bay_kpa'])} on the bay around it."
            ]
    else:
        sentences = [f"The snow load is {UNKNOWN} (missing: {joined(found['missing'])})."]
    if found["open"]:
        sentences.append(f"Least and greatest would come together with: {joined(found['open'])}.")
    if found["drift_remark"]:
        remark = str(found["drift_remark"])
        sentences.append(f"{remark[0].upper()}{remark[1:]}.")
    steps = tuple(
        (
            _written(str(line["name"])),
            _written(str(line["source"])),
            quantity(line["value"], str(line["unit"])),
        )
        for line in found["lines"]
    )
    return Snow(tuple(sentences), steps)


def _written(text: str) -> str:
    """Symbols and units as a formula writes them."""
    for ours, symbol in _SYMBOLS:
        text = text.replace(ours, symbol)
    return readable(text)


def _between(bounds: Sequence[float | None]) -> str:
    """One value, or the least and the greatest that the row allows."""
    least, most = bounds
    if least == most:
        return quantity(least, "kPa")
    if most is None:
        return f"at least {quantity(least, 'kPa')}, its greatest value {UNKNOWN}"
    return f"{quantity(least, '')} to {quantity(most, 'kPa')}"


def bearing(found: Mapping[str, Any] | None) -> Bearing | None:
    """Pressures and limits of the roof's record; None where there is none."""
    if not found:
        return None
    cases = (found["lasting"], found["passing"])
    sentences = [f"Under: {found['how']}."]
    sentences += [
        f"{when}: {case['case']}, {quantity(case['force_kn'], 'kN')}."
        for when, case in zip(("For years", "For a while"), cases, strict=True)
        if case
    ]
    if found["missing"]:
        sentences.append(f"Not known: {joined(found['missing'])}.")
    pressures = [None if case is None else case["pressure_kpa"] for case in cases]
    rows: list[Row] = [("pressure of the unit", *(quantity(value, "kPa") for value in pressures))]
    for limit in found["limits"]:
        name = str(limit["name"]) if limit["stated"] else f"{limit['name']}; decides nothing"
        rows.append(
            (
                f"limit: {name}",
                *(
                    _used(value, allowed)
                    for value, allowed in zip(
                        pressures, (limit["lasting_kpa"], limit["passing_kpa"]), strict=True
                    )
                ),
            )
        )
    if not found["limits"]:
        rows.append(("limit", UNKNOWN, UNKNOWN) if found["missing"] else ("limit", "none", "none"))
    return Bearing(tuple(sentences), tuple(rows))


def _used(value: float | None, allowed: float) -> str:
    """A limit and how much of it is used."""
    text = quantity(allowed, "kPa")
    return f"{text}, {percent(value / allowed)} used" if value is not None and is_known(value) else text


def member_share(checks: Sequence[CheckResult]) -> tuple[Fact, ...]:
    """What the unit adds to the member's design load, and the limit; nothing where no such rule applies."""
    for check in checks:
        if check.id == "roof.member-share" and check.status != "not applicable":
            remark = check.governed_by or check.note
            label = f"Share added to the member's design load, at most {percent(LIMIT)}"
            return (Fact(label, percent(check.demand), remark),)
    return ()
