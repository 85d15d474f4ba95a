"""Processes as /proc tells of them: who was started by whom, who still lives, how much memory they took."""

import time
from pathlib import Path


def children(pid: int) -> list[int]:
    """Processes that a process has started."""
    try:
        found = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii").split()
    except FileNotFoundError:
        return []
    return [int(word) for word in found]


def tree(pid: int) -> list[int]:
    """A process and all below it."""
    return [pid, *(other for child in children(pid) for other in tree(child))]


def alive(pid: int) -> bool:
    """Whether a process runs."""
    try:
        return Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def gone(pids: list[int], within_s: float = 20.0) -> bool:
    """Whether processes end within a time."""
    limit = time.monotonic() + within_s
    while any(alive(pid) for pid in pids):
        if time.monotonic() > limit:
            return False
        time.sleep(0.05)
    return True


def peak_mb(pid: int) -> float:
    """Most memory that a process has held so far. [MB]"""
    try:
        lines = Path(f"/proc/{pid}/status").read_text(encoding="ascii").splitlines()
    except (FileNotFoundError, ProcessLookupError):
        return 0.0
    return next((float(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")), 0.0)
