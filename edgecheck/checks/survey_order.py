"""Questions of one site while they are being weighed, and their order.

In: reasons to ask for a key, each with a step, a score and how sure the answer is beforehand. Out: the questions,
the one that could change the verdict most first.
"""

from dataclasses import dataclass, field
from functools import cache
from typing import NamedTuple

from edgecheck.inputs.columns import columns

FIRST, REQUIRED, HELD, CONFIRM, ESTIMATE, DEFAULT = range(6)


class Reason(NamedTuple):
    """Why a question is asked: title of a check with the words around it, or the words alone."""

    lead: str
    title: str = ""
    tail: str = ""


@dataclass
class Ask:
    """A question while it is being weighed.

    Parameters
    ----------
    key : str
        What is asked for.
    step : int
        FIRST to DEFAULT.
    score : float
        How many checks an answer decides; a part of one where it takes several answers.
    certainty : float
        How sure the answer is beforehand: 0 where it could go either way, 1 where it is sure or nothing is known.
    in_use : bool
        Something stands for the unknown value, so that a failure may rest on it.
    reasons : list of Reason
        Why.
    decides : dict
        Ids of checks, each once, in the order in which they came.
    """

    key: str
    step: int
    score: float = 0.0
    certainty: float = 1.0
    in_use: bool = False
    reasons: list[Reason] = field(default_factory=list)
    decides: dict[str, None] = field(default_factory=dict)

    def why(self) -> str:
        """All reasons as sentences; checks with the same words around them share one."""
        if len(self.reasons) == 1:
            return "".join(self.reasons[0])
        shared: dict[tuple[str, str], list[str]] = {}
        for reason in dict.fromkeys(self.reasons):
            shared.setdefault((reason.lead, reason.tail), []).append(reason.title)
        return " ".join(f"{lead}{'; '.join(titles)}{tail}" for (lead, tail), titles in shared.items())


class Asks:
    """Questions of one site by key."""

    def __init__(self) -> None:
        self.by_key: dict[str, Ask] = {}

    def add(
        self,
        key: str,
        step: int,
        score: float,
        why: Reason,
        decides: tuple[str, ...],
        *,
        certainty: float = 1.0,
        in_use: bool = False,
    ) -> None:
        """Add a reason to ask for a key; its earliest step decides its place.

        Parameters
        ----------
        key, step, score, certainty, in_use
            See `Ask`.
        why : Reason
            The reason.
        decides : tuple of str
            Ids of the checks that it is about.
        """
        ask = self.by_key.get(key)
        if ask is None:
            ask = self.by_key[key] = Ask(key, step)
        if step < ask.step:
            ask.step, ask.score, ask.certainty = step, 0.0, 1.0
        if step == ask.step:
            ask.score += score
            ask.certainty = min(ask.certainty, certainty)
        ask.in_use = ask.in_use or in_use
        ask.reasons.append(why)
        ask.decides.update(dict.fromkeys(decides))

    def ordered(self) -> list[Ask]:
        """The questions, the one that could change the verdict most first."""
        place = places()
        return sorted(
            self.by_key.values(),
            key=lambda ask: (ask.step, -ask.score, ask.certainty, place.get(ask.key, len(place))),
        )


@cache
def places() -> dict[str, int]:
    """Places of the columns in columns.toml."""
    return {name: at for at, name in enumerate(columns())}
