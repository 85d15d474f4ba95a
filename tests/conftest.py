"""Settings that every test shares."""

import atexit
import importlib
import os
import shutil
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE / "end_to_end")]

# psychrolib compiles itself where it finds numba, which takes longer than all that tests ask of it
with pytest.MonkeyPatch.context() as patch:
    patch.setitem(sys.modules, "numba", None)
    importlib.import_module("psychrolib")

os.environ.update({"COLUMNS": "100", "TERM": "dumb", "NO_COLOR": "1"})

settings.register_profile(
    "edgecheck",
    deadline=None,
    derandomize=True,
    print_blob=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("edgecheck")


def pytest_configure(config):
    if "EDGECHECK_TESTS_SHARED" not in os.environ:  # else this is a worker, and its parent has made it
        folder = tempfile.mkdtemp(prefix="edgecheck-tests-")
        os.environ["EDGECHECK_TESTS_SHARED"] = folder
        atexit.register(shutil.rmtree, folder, ignore_errors=True)
    # Files in the order of their names: those that take a minute come first, and the many short ones fill up the end.
    if hasattr(config.option, "loadscopereorder"):
        config.option.loadscopereorder = False
