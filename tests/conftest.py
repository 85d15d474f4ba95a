"""Settings that every test shares."""

import os
import sys
from pathlib import Path

from hypothesis import HealthCheck, settings

sys.path.insert(0, str(Path(__file__).parent))

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
