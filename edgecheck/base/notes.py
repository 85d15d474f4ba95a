"""Notes: everything that affects how far a result can be trusted."""

from dataclasses import dataclass
from typing import Any, Literal

Level = Literal["info", "caution"]


@dataclass(frozen=True)
class Note:
    """One remark that is printed in the report and kept in the result.

    Parameters
    ----------
    code : str
        Stable name, words joined by hyphens ("gap-filled").
    level : {"info", "caution"}
        "caution" where a reader should look before relying on the result.
    text : str
        A sentence with its numbers and units.
    count : int, optional
        How many hours or cells it concerns.
    worst : float, optional
        The worst value among them, in the unit named by the text.
    """

    code: str
    level: Level
    text: str
    count: int | None = None
    worst: float | None = None

    def to_dict(self) -> dict[str, Any]:
        """Plain record for JSON."""
        return {
            "code": self.code,
            "level": self.level,
            "text": self.text,
            "count": self.count,
            "worst": self.worst,
        }
