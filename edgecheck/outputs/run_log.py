"""run-log.json: times, machine and jobs, the only file that differs between equal runs."""

import platform
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from edgecheck import __version__
from edgecheck.outputs.records import run_log_json


def started_log(jobs: int = 1) -> dict[str, Any]:
    """What is known of a run when it starts.

    Parameters
    ----------
    jobs : int
        Processes that compute.
    """
    return {
        "version": __version__,
        "started": _now(),
        "python": platform.python_version(),
        "system": platform.system(),
        "machine": platform.machine(),
        "jobs": jobs,
    }


def finished_log(started: Mapping[str, Any], *, taken_over: int, computed: int) -> str:
    """run-log.json of a finished run.

    Parameters
    ----------
    started : mapping
        From `started_log`.
    taken_over, computed : int
        Rows whose stored result still stood, and all others.
    """
    return run_log_json({**started, "finished": _now(), "taken_over": taken_over, "computed": computed})


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")
