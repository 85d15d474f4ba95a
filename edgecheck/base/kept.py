"""What depends on one lasting object alone is worked out once and kept for as long as the object lives.

A weather year serves thousands of sites: its hours of the day are the same for all of them. The object is known by its
identity, not by its value, so that nothing needs to be compared; an array that can be written to is never relied on.
"""

import weakref
from collections.abc import Callable, Hashable
from functools import wraps
from typing import Any, TypeVar, TypeVarTuple

import numpy as np

T = TypeVar("T")
R = TypeVar("R")
More = TypeVarTuple("More")


def kept(function: Callable[[T, *More], R]) -> Callable[[T, *More], R]:
    """Keep what a function makes of an object that never changes, until the object is gone.

    Further arguments are hashable and tell apart what is made of the same object. The function must not give back the
    object itself or anything that holds it, which would then never go.
    """
    known: dict[int, tuple[weakref.ref[Any], dict[tuple[Hashable, ...], R]]] = {}

    @wraps(function)
    def remembered(of: T, *more: *More) -> R:
        key = id(of)
        found = known.get(key)
        if found is None or found[0]() is not of:
            if isinstance(of, np.ndarray) and of.flags.writeable:
                return function(of, *more)
            found = known[key] = (weakref.ref(of, lambda _: known.pop(key, None)), {})
        made = found[1]
        if more not in made:
            made[more] = function(of, *more)
        return made[more]

    return remembered
