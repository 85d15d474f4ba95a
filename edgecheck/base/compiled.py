"""Compiled loops over hours: what numpy would do in dozens of passes over an array is done in one.

A kernel is a plain function of arrays and numbers, compiled at its first call on a machine and kept on disk from then
on. Loops without branches are turned into vector instructions by the compiler; every element is computed as in numpy,
in double precision and in the order that is written, so the digits do not depend on the machine's vector width.
"""

import contextlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, ParamSpec, TypeVar, cast

import numba

P = ParamSpec("P")
R = TypeVar("R")

_OPTIONS: dict[str, Any] = {"cache": True, "error_model": "numpy", "nogil": True}


def kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a loop over hours at its first call.

    Arrays must be C-contiguous and of one type, or every layout is compiled anew. A division by zero gives an
    infinity, as in numpy. Other threads go on meanwhile. A kernel calls only kernels of its own file: a kept one is
    made anew when its file changes, and what it calls elsewhere, or takes as a constant from there, is part of it.
    """
    try:
        compiled = numba.njit(**_OPTIONS)(function)
    except RuntimeError:  # neither the package's folder nor the user's can be written
        os.environ["NUMBA_CACHE_DIR"] = str(Path(tempfile.gettempdir()) / "edgecheck-compiled")
        numba.config.reload_config()
        compiled = numba.njit(**_OPTIONS)(function)
    kept = getattr(compiled, "_cache", None)
    if hasattr(kept, "load_overload") and hasattr(kept, "save_overload"):
        _never_fails(kept)
    return cast(Callable[P, R], compiled)


def _never_fails(kept: Any) -> None:
    """A kept kernel that cannot be read or written costs a compilation, never a run.

    numba lets the error through, for a file that a power cut left short as for a full disk.
    """
    load, save = kept.load_overload, kept.save_overload

    def load_overload(*where: Any) -> Any:
        try:
            return load(*where)
        except Exception:
            with contextlib.suppress(Exception):
                kept.flush()
            return None

    def save_overload(*what: Any) -> None:
        with contextlib.suppress(Exception):
            save(*what)

    kept.load_overload, kept.save_overload = load_overload, save_overload
