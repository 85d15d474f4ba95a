"""Which of our columns a heading may mean, by its words.

In goes a heading as somebody wrote it, out come candidates with a score from 0 to 1 and the unit that the heading
names. Words, abbreviations and phrases of the trade stand in synonyms.toml.
"""

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from edgecheck.inputs.columns import columns
from edgecheck.inputs.lookalikes import lookalikes
from edgecheck.inputs.unit_words import plain_unit, synonyms, unit_words

_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")
_CAMEL = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])")
_WORD = re.compile(r"[a-z]+[0-9]*|[0-9]+")
_DECIBEL = re.compile(r"db\s*\(\s*a\s*\)", re.IGNORECASE)
_AMBIGUOUS = 0.6
_SLIP = 0.85
_LOOKALIKE = 0.92
_LEAST = 0.4


@dataclass(frozen=True)
class Candidate:
    """One of our columns that a heading may mean.

    Parameters
    ----------
    column : str
        Ours.
    score : float
        How well the words fit, 0 to 1.
    why : str
        In words.
    ambiguous : bool
        Whether the words may mean something else too.
    """

    column: str
    score: float
    why: str
    ambiguous: bool = False


@dataclass(frozen=True)
class HeadingGuess:
    """What a heading says.

    Parameters
    ----------
    unit : str
        Unit as written in the heading; empty where it names none.
    candidates : tuple of Candidate
        Best first.
    """

    unit: str
    candidates: tuple[Candidate, ...]


def guess_heading(heading: str) -> HeadingGuess:
    """Guess what a heading means.

    Parameters
    ----------
    heading : str
        As in the list.

    Returns
    -------
    guess : HeadingGuess
        Without candidates below a score of 0.4.
    """
    words, unit = heading_words(heading)
    found: dict[str, Candidate] = {}
    near = lookalikes([heading], ()).get(heading)
    if near is not None:
        found[near] = Candidate(near, _LOOKALIKE, "the heading is nearly ours")
    fits = [
        (_likeness(words, phrase.words), column, phrase)
        for column, phrases in _phrases().items()
        for phrase in phrases
    ]
    named = {phrase.ambiguous for likeness, _, phrase in fits if likeness == 1.0}
    vague = named == {True}
    for likeness, column, phrase in fits:
        ambiguous = vague or phrase.ambiguous
        score = likeness * (_AMBIGUOUS if ambiguous else 1.0)
        if score >= _LEAST and score > (found[column].score if column in found else 0.0):
            may = ", which may mean other things too" if ambiguous else ""
            why = f"its words are like {phrase.text!r}{may}"
            found[column] = Candidate(column, score, why, ambiguous)
    best = sorted(found.values(), key=lambda candidate: -candidate.score)
    return HeadingGuess(unit, tuple(best))


def heading_words(heading: str) -> tuple[tuple[str, ...], str]:
    """Words of a heading in the words of synonyms.toml, and the unit at its end or in brackets.

    Parameters
    ----------
    heading : str
        As in the list.

    Returns
    -------
    words : tuple of str
        Without the unit and without words that say nothing.
    unit : str
        As written; empty where there is none.
    """
    text = _DECIBEL.sub("dba", heading)
    for brackets in _BRACKETS.finditer(text):
        if _is_unit(brackets[1]):
            rest = text[: brackets.start()] + " " + text[brackets.end() :]
            return _known_words(_words(rest)), brackets[1].strip()
    parts = re.split(r"[,;:/]\s*|\s+in\s+|\s+-\s+", text.strip())
    if len(parts) > 1 and _is_unit(parts[-1]):
        return _known_words(_words(" ".join(parts[:-1]))), parts[-1].strip()
    for raw in (re.split(r"[\s_]+", text.strip()), _words(text)):
        for length in (2, 1):
            if len(raw) > length and _is_unit(" ".join(raw[-length:])):
                return _known_words(_words(" ".join(raw[:-length]))), " ".join(raw[-length:])
        if len(raw) > 1 and len(raw[0]) > 2 and _is_unit(raw[0]):
            return _known_words(_words(" ".join(raw[1:]))), raw[0]
    return _known_words(_words(text)), ""


def _is_unit(text: str) -> bool:
    return plain_unit(text) in unit_words() and plain_unit(text) != "l"


def _words(text: str) -> list[str]:
    return _WORD.findall(_CAMEL.sub(" ", text).replace("_", " ").lower())


@cache
def _canonical() -> Mapping[str, str]:
    return {word: known for known, words in synonyms()["words"].items() for word in words}


@dataclass(frozen=True)
class _Phrase:
    text: str
    words: tuple[str, ...]
    ambiguous: bool


@cache
def _phrases() -> Mapping[str, tuple[_Phrase, ...]]:
    """Column -> ways to call it, its own name first."""
    found = {}
    for name, column in columns().items():
        texts = (column.stem.replace("_", " "), *synonyms()["phrases"].get(name, ()))
        found[name] = tuple(
            _Phrase(text.lstrip("~"), _known_words(text.lstrip("~").split()), text.startswith("~"))
            for text in texts
        )
    return found


def _known_words(words: Iterable[str]) -> tuple[str, ...]:
    """Words as synonyms.toml has them, each once, without those that say nothing."""
    known = (_canonical().get(word, word) for word in words)
    return tuple(dict.fromkeys(word for word in known if word not in synonyms()["fillers"]))


def _likeness(words: tuple[str, ...], phrase: tuple[str, ...]) -> float:
    """Twice the common words over all words (Dice 1945); words with a slip of the pen count nearly."""
    if not words:
        return 0.0
    common = sum(max((_alike(word, other) for other in phrase), default=0.0) for word in words)
    return min(1.0, 2.0 * common / (len(words) + len(phrase)))


@cache
def _alike(one: str, other: str) -> float:
    if one == other:
        return 1.0
    if min(len(one), len(other)) < 5:
        return 0.0
    ratio = difflib.SequenceMatcher(None, one, other).ratio()
    return 0.9 if ratio >= _SLIP else 0.0
