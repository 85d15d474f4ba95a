"""Named rules on secondary containment: from which volume each holds, and how much must be held back.

In: a rule's name as somebody wrote it, volumes of containers. Out: the rule, the volume it asks for. [l]

Thresholds and shares are data, each with its source. A rule is about the capacity of a container; a unit is one
container, and its capacity is at least the volume of its liquid at the largest expansion.
"""

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

US_GALLON = 3.785411784  # l, 231 cubic inches, exact by definition (NIST SP 811)


@dataclass(frozen=True)
class Rule:
    """A rule on secondary containment.

    Parameters
    ----------
    name : str
        As reports name it.
    aliases : tuple of str
        Further names, compared without case and punctuation.
    threshold : float
        Volume of a container from which the rule holds. [l]
    includes_threshold : bool
        Whether a container of exactly that volume is reached.
    largest_share, total_share : float
        What must be held back: the greater of this share of the largest container and that share of all. [-]
    practice : bool
        Whether the share of the largest container is the practice value of the criteria instead.
    source : str
        Where the figures stand.
    remark : str
        What the rule leaves to others.
    confidence : {"published", "memory", "common practice"}
        How well the figures are known.
    """

    name: str
    aliases: tuple[str, ...]
    threshold: float
    includes_threshold: bool
    largest_share: float
    total_share: float
    source: str
    remark: str
    confidence: Literal["published", "memory", "common practice"] = "published"
    practice: bool = False

    def reaches(self, volume: float) -> bool:
        """Whether the rule holds for a container of a volume [l]."""
        return volume >= self.threshold if self.includes_threshold else volume > self.threshold

    def required(self, volumes: Sequence[float], practice_share: float = 1.0) -> float:
        """Volume that containers in one system need to have held back.

        Parameters
        ----------
        volumes : sequence of float
            Of every container, not negative. [l]
        practice_share : float
            Share of the largest container where the rule leaves it to practice. [-]

        Returns
        -------
        volume : float
            [l]
        """
        share = practice_share if self.practice else self.largest_share
        return round(max(share * max(volumes), self.total_share * sum(volumes)), 6)


RULES: tuple[Rule, ...] = (
    Rule(
        name="England-2001",
        aliases=(
            "England",
            "Control of Pollution (Oil Storage) (England) Regulations 2001",
            "SI 2001/2954",
        ),
        threshold=200.0,
        includes_threshold=False,
        largest_share=1.10,
        total_share=0.25,
        source="SI 2001 No. 2954, regulations 2(2)(c) and 3(2)(a)",
        remark="Oil in containers outdoors and above ground; drums and buildings have rules of their own.",
    ),
    Rule(
        name="Scotland",
        aliases=(
            "Scotland-2006",
            "Water Environment (Oil Storage) (Scotland) Regulations 2006",
            "SSI 2006/133",
        ),
        threshold=200.0,
        includes_threshold=True,
        largest_share=1.10,
        total_share=0.25,
        source="SSI 2006 No. 133, as summarised in training material; the regulations themselves were not read",
        remark=(
            "Exempt are portable containers below the threshold; whether a fixed unit below it is one, the "
            "authority decides."
        ),
    ),
    Rule(
        name="SPCC",
        aliases=("40 CFR 112", "Spill Prevention, Control, and Countermeasure"),
        threshold=55.0 * US_GALLON,
        includes_threshold=True,
        largest_share=1.00,
        total_share=0.0,
        source="40 CFR 112.1(d)(5) and 112.8(c)(2): containers of 55 US gal and more; the largest, and rain",
        remark=(
            "The whole facility must hold over 1320 US gal (4997 l) of oil; equipment that works with its oil may "
            "follow 112.7(k) instead."
        ),
    ),
    Rule(
        name="AwSV",
        aliases=("Verordnung über Anlagen zum Umgang mit wassergefährdenden Stoffen", "Germany AwSV"),
        threshold=220.0,
        includes_threshold=False,
        largest_share=1.00,
        total_share=0.0,
        source="AwSV sections 1(3) and 18(3), from memory; the volume until somebody stops the leak is all of it",
        remark=(
            "The exemption up to the threshold does not hold in protection and flood areas, where section 49 asks "
            "for all of the liquid."
        ),
        confidence="memory",
    ),
    Rule(
        name="40 CFR 264.175",
        aliases=("264.175", "40 CFR 264.175(b)(3)", "40 CFR 261.175"),
        threshold=0.0,
        includes_threshold=True,
        largest_share=1.00,
        total_share=0.10,
        source="40 CFR 264.175(b)(3): 10 % of all containers or the largest, whichever is greater",
        remark="A rule for hazardous waste; liquid in use is not waste.",
    ),
    Rule(
        name="landlord",
        aliases=("lease", "landlord's rule"),
        threshold=0.0,
        includes_threshold=True,
        largest_share=1.0,
        total_share=0.0,
        source="the lease, taken as asking for the practice value",
        remark="What the lease says is not in the list.",
        confidence="common practice",
        practice=True,
    ),
)


def plain(name: str) -> str:
    """A name without case, accents, blanks and punctuation, for comparison."""
    letters = unicodedata.normalize("NFKD", name).casefold()
    return "".join(one for one in letters if one.isalnum())


def _by_name() -> Mapping[str, Rule]:
    return MappingProxyType({plain(name): rule for rule in RULES for name in (rule.name, *rule.aliases)})


_NAMED = _by_name()


def rule_named(name: str) -> Rule | None:
    """Rule of a name, compared without case and punctuation.

    Parameters
    ----------
    name : str
        As the list has it.

    Returns
    -------
    rule : Rule or None
        None where the name is not known.
    """
    return _NAMED.get(plain(name))
