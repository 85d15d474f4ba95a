"""Compiled loops over hours: what numpy would do in dozens of passes over an array is done in one.

A kernel is a plain function of arrays and numbers, compiled at its first call on a machine and kept on disk from then
on. Loops without branches are turned into vector instructions by the compiler; every element is computed as in numpy,
in double precision and in the order that is written, so the digits do not depend on the machine's vector width.
"""

import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, ParamSpec, TypeVar, cast

import numba

P = ParamSpec("P")
R = TypeVar("R")

_CACHE = "NUMBA_CACHE_DIR"


def kernel(function: Callable[P, R]) -> Callable[P, R]:
    """Compile a loop over hours at its first call.

    Arrays must be C-contiguous and of one type, or every layout is compiled anew. A division by zero gives an
    infinity, as in numpy. Other threads go on meanwhile.
    """
    options: dict[str, Any] = {"error_model": "numpy", "nogil": True}
    try:
        compiled = numba.njit(cache=True, **options)(function)
    except RuntimeError:  # neither the package's folder nor the user's can be written
        os.environ.setdefault(_CACHE, str(Path(tempfile.gettempdir()) / "edgecheck-compiled"))
        numba.config.reload_config()
        compiled = numba.njit(cache=True, **options)(function)
    return cast(Callable[P, R], compiled)
