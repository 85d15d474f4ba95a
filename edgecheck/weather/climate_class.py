"""Environmental classes: their climatic limits, each with how well it is known, read once from classes.toml.

In: the text of a unit's declared class. Out: `ClimateClass`, or nothing where the text is no class that is known.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

# What people write before or after the class itself.
_WORDS = re.compile(
    r"\b(?:ETSI|EN|ETS|IEC|CLASS|300[ -]?019(?:-1)?(?:-4)?|60721(?:-3)?(?:-4)?|721(?:-3)?(?:-4)?)\b|[,:;()]"
)
_NAME = re.compile(r"(4\.\d)\s*([A-Z]?)|(4K\d)\s*([A-Z]?)")


@dataclass(frozen=True)
class Limit:
    """One limit of a class.

    Parameters
    ----------
    value : float
        In the parameter's unit.
    known : str
        "published", or "from memory, 95 %": how well it is known.
    """

    value: float
    known: str

    @property
    def from_memory(self) -> bool:
        """Whether nobody has compared it with a published text."""
        return self.known != "published"


@dataclass(frozen=True)
class ClimateClass:
    """Climatic limits of one environmental class.

    Parameters
    ----------
    name, words : str
        Its name, and what it is meant for.
    family : str
        Key of its standard.
    standard, edition : str
        Title and edition of that standard.
    limits : mapping
        Parameter -> limit; a parameter that the class does not limit has none.
    """

    name: str
    words: str
    family: str
    standard: str
    edition: str
    limits: Mapping[str, Limit]

    @property
    def title(self) -> str:
        """Standard and class."""
        return f"{self.standard}, class {self.name}"

    @property
    def from_memory(self) -> tuple[str, ...]:
        """Parameters whose limit is from memory."""
        return tuple(name for name, limit in self.limits.items() if limit.from_memory)


@cache
def climate_classes() -> Mapping[str, ClimateClass]:
    """All classes by name, those of one standard from the mildest to the harshest."""
    text = files("edgecheck.weather").joinpath("classes.toml").read_text(encoding="utf-8")
    document = tomllib.loads(text)
    return MappingProxyType(
        {name: _class(name, row, document["standard"]) for name, row in document["class"].items()}
    )


@lru_cache(maxsize=64)
def class_named(text: str) -> ClimateClass | None:
    """Class that a text names.

    Parameters
    ----------
    text : str
        "4.1", "4.1 E", "ETSI EN 300 019-1-4 class 4.1", "IEC 60721-3-4 4K2".

    Returns
    -------
    ClimateClass or None
        None where the text says something else too, such as another edition.
    """
    bare = _WORDS.sub(" ", text.upper()).strip()
    found = _NAME.fullmatch(bare)
    if found is None:
        return None
    name = "".join(part for part in found.groups() if part)
    return climate_classes().get(name)


def known_classes() -> str:
    """Names of all classes, for messages."""
    by_standard: dict[str, list[str]] = {}
    for one in climate_classes().values():
        by_standard.setdefault(one.standard, []).append(one.name)
    return "; ".join(f"{', '.join(names)} ({standard})" for standard, names in by_standard.items())


def _class(name: str, row: Mapping[str, Any], standards: Mapping[str, Mapping[str, str]]) -> ClimateClass:
    standard = standards[row["standard"]]
    limits = {
        key: Limit(float(entry[0]), _known(entry[1])) for key, entry in row.items() if isinstance(entry, list)
    }
    return ClimateClass(
        name=name,
        words=row["words"],
        family=row["standard"],
        standard=standard["title"],
        edition=standard["edition"],
        limits=MappingProxyType(limits),
    )


def _known(entry: str | int) -> str:
    return "published" if entry == "read" else f"from memory, {entry} %"
