"""How many sites carry how much IT load.

In go verdict, largest IT load at the required margins and the load at which the site was checked; out come counts
by load. A site counts as long as the load is not above its largest one. Every other check was made at the site's
own load only, so sites above theirs are counted apart.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from edgecheck.outputs.number_text import count, is_known, quantity

_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
_MOST_ROWS = 12
# Largest loads are found to 1 W.
_TOLERANCE = 1e-6


@dataclass(frozen=True, slots=True)
class Carried:
    """What one site carries.

    Parameters
    ----------
    verdict : str
        go or conditional.
    largest : float
        Largest IT load at the required margins. [kW]
    checked : float, optional
        IT load at which the site was checked. [kW]
    """

    verdict: str
    largest: float
    checked: float | None


@dataclass(frozen=True)
class LoadRow:
    """Numbers of sites at one load, as text."""

    load: str
    go: str
    go_or_conditional: str
    above_checked: str


class Loads:
    """Gathers what sites carry."""

    def __init__(self) -> None:
        self._carried: list[Carried] = []
        self.unknown = 0

    def add(self, verdict: str, largest: object, checked: object) -> None:
        """Take in a site; only go and conditional ones count, and only where the largest load is known."""
        if verdict not in ("go", "conditional"):
            return
        if not isinstance(largest, int | float) or not is_known(largest):
            self.unknown += 1
            return
        known = isinstance(checked, int | float) and is_known(checked)
        self._carried.append(Carried(verdict, float(largest), float(checked) if known else None))  # type: ignore[arg-type]

    def __len__(self) -> int:
        return len(self._carried)

    def largest(self, *verdicts: str) -> list[float]:
        """Largest loads of the sites with one of these verdicts, the smallest first. [kW]"""
        return sorted(site.largest for site in self._carried if site.verdict in verdicts)

    def rows(self) -> tuple[LoadRow, ...]:
        """Counts at round loads over the range in which they change."""
        return tuple(self._row(load) for load in round_loads(self.largest("go", "conditional")))

    def _row(self, load: float) -> LoadRow:
        carried = [site for site in self._carried if site.largest >= load - _TOLERANCE]
        above = [site for site in carried if site.checked is None or site.checked < load - _TOLERANCE]
        go = sum(site.verdict == "go" for site in carried)
        return LoadRow(quantity(load, "kW"), count(go), count(len(carried)), count(len(above)))


def round_loads(largest: Sequence[float]) -> tuple[float, ...]:
    """Round loads from below the least to the first that no site carries or the greatest, at most a dozen. [kW]"""
    finite = [value for value in largest if math.isfinite(value)]
    if not finite:
        return ()
    low, high = min(finite), max(finite)
    for step in _STEPS:
        first, last = math.floor(low / step + _TOLERANCE), math.ceil(high / step - _TOLERANCE)
        if last - first < _MOST_ROWS:
            return tuple(round(place * step, 9) for place in range(first, last + 1))
    return (low, high) if high > low else (low,)
