"""Runs that several test files only read: whichever process of a test session asks first makes them, all find them.

The session's folder is made by `conftest.py` before workers start, and goes with the session.
"""

import json
import os
import shutil
import time
from collections.abc import Callable
from dataclasses import asdict
from pathlib import Path

from command_line import Answer, edgecheck

PATIENCE_S = 900.0


def once(name: str, make: Callable[[Path], object]) -> Path:
    """A folder that `make` has filled, once a session; what goes wrong in it goes wrong for everybody who asks."""
    place = Path(os.environ["EDGECHECK_TESTS_SHARED"])
    folder, done, lock = (place / f"{name}{ending}" for ending in ("", ".done", ".lock"))
    limit = time.monotonic() + PATIENCE_S
    while not done.exists():
        try:
            lock.mkdir()
        except FileExistsError:
            assert time.monotonic() < limit, f"{name} is being made by a process that does not end"
            time.sleep(0.1)
            continue
        try:
            if not done.exists():
                shutil.rmtree(folder, ignore_errors=True)
                folder.mkdir()
                make(folder)
                done.touch()
        finally:
            lock.rmdir()
    return folder


def run_once(name: str, furnish: Callable[[Path], object], *words: object) -> tuple[Path, Answer]:
    """A furnished folder in which the command line was run once, and what it said; to be read only."""

    def make(place: Path) -> None:
        desk = place / "desk"
        furnish(desk)
        answer = edgecheck(*words, folder=desk)
        (place / "answer.json").write_text(json.dumps(asdict(answer)), encoding="utf-8")

    place = once(name, make)
    return place / "desk", Answer(**json.loads((place / "answer.json").read_text(encoding="utf-8")))
