"""Paths of keys in a TOML file, and guesses at what a mistyped key was meant to be."""

import difflib
from collections.abc import Iterable

KeyPath = tuple[str | int, ...]


def shown(path: KeyPath) -> str:
    """Path as people write it: "cooling.liquid_c", "feet_m[2]"."""
    text = ""
    for key in path:
        if isinstance(key, int):
            text += f"[{key + 1}]"
        else:
            text += f".{key}" if text else key
    return text


def did_you_mean(written: str, allowed: Iterable[str]) -> str:
    """Ask "; did you mean x?"; empty where no allowed word is near."""
    words = list(allowed)
    lower = {word.lower(): word for word in reversed(words)}
    near = difflib.get_close_matches(written.lower(), lower, n=1, cutoff=0.6)
    return f"; did you mean {lower[near[0]]}?" if near else ""
