"""What an extreme that is only an estimate does to a check.

In: a status as computed, the spell it was computed for. Out: a pass as a caution, a fail as not assessed with
the extreme from which on the check would fail, found by running the week again. A fail with the file's own
extreme rests on no estimate and stays.
"""

from collections.abc import Callable

from edgecheck.checks.model import Status
from edgecheck.heat.site_heat import Spell

EXTREME_KEYS = {"hot spell": "extreme_dry_bulb_c", "cold spell": "extreme_cold_dry_bulb_c"}


def on_estimate(
    status: Status, spell: Spell, word: str, status_at: Callable[[Spell], Status]
) -> tuple[Status, tuple[str, ...], str, str]:
    """What a check says of a spell whose extreme is only an estimate.

    Parameters
    ----------
    status : Status
        As computed at that extreme.
    spell : Spell
        The spell.
    word : str
        "hot" or "cold".
    status_at : callable
        Status of the check for the same week at another extreme, taken as known.

    Returns
    -------
    status, missing, text, condition
        A fail becomes not assessed and names the extreme from which it would fail, unless the file's own extreme
        is enough; a pass becomes a caution.
    """
    value = spell.extreme.value
    text = f"The extreme of {value:.1f} degC is an estimate. {spell.extreme.note}"
    if status == "fail":
        found = fails_at(spell, status_at)
        if found == spell.own:
            return "fail", (), f"{text} The check fails at the file's own extreme already.", ""
        text += f" The check would fail from an extreme of {found:.1f} degC."
        return "not assessed", (EXTREME_KEYS[f"{word} spell"],), text, ""
    return "caution", (), text, f"confirm the {word} extreme ({value:.1f} degC is an estimate)"


def fails_at(spell: Spell, status_at: Callable[[Spell], Status]) -> float:
    """Mildest extreme, between the file's own and the estimate, at which a check fails.

    Parameters
    ----------
    spell : Spell
        At an extreme at which it fails.
    status_at : callable
        Status of the check for the same week at another extreme.

    Returns
    -------
    float
        [degC]
    """
    mild, harsh = spell.own, spell.extreme.value
    if status_at(spell.at(mild)) == "fail":
        return mild
    while abs(harsh - mild) > 0.05:
        middle = (mild + harsh) / 2.0
        if status_at(spell.at(middle)) == "fail":
            harsh = middle
        else:
            mild = middle
    return harsh
