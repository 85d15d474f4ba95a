"""run-log.json: times, machine and jobs, the only file that differs between equal runs."""

import platform
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from edgecheck import __version__
from edgecheck.outputs.records import run_log_json


def started_log() -> dict[str, Any]:
    """What is known of a run when it starts."""
    return {
        "version": __version__,
        "started": _now(),
        "python": platform.python_version(),
        "system": platform.system(),
        "machine": platform.machine(),
        "jobs": 1,
    }


def finished_log(started: Mapping[str, Any]) -> str:
    """run-log.json of a finished run."""
    return run_log_json({**started, "finished": _now()})


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")
