"""One line of a worked calculation: what, by which formula and clause, with which numbers.

Records only; who draws them is another room's matter.
"""

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True)
class Step:
    """A value on the way to an action.

    Parameters
    ----------
    what : str
        What it is.
    formula : str
        How it is made, with plain symbols; empty for a value that was read.
    clause : str
        Where the formula is published, or why the value stands.
    numbers : str
        The numbers that went in.
    value : float
        [unit]
    unit : str
        Empty for a factor.
    """

    what: str
    formula: str
    clause: str
    numbers: str
    value: float
    unit: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Plain record for JSON."""
        return asdict(self)
