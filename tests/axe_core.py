"""The rules of axe-core (MPL-2.0) for tests of pages: accessibility faults that a program can see.

The package is fetched once by name with npm into the cache folder of the test files; nothing of it is installed or
built, one file of it is read. Where npm or its index is missing, the test is skipped; where EDGECHECK_REQUIRE_AXE
is 1 it fails instead.
"""

import os
import subprocess
import tarfile
import tempfile
from pathlib import Path

import pytest
from real_weather import _cache_folder

VERSION = "4.10.3"
_MEMBER = "package/axe.min.js"


def axe_script() -> str:
    """Text of axe-core; skips or fails the test where it cannot be had."""
    path = _cache_folder() / "axe-core" / f"axe-{VERSION}.min.js"
    if not path.exists():
        reason = _fetch(path)
        if reason:
            text = f"axe-core {VERSION} cannot be fetched: {reason}"
            if os.environ.get("EDGECHECK_REQUIRE_AXE") == "1":
                pytest.fail(text)
            pytest.skip(text)
    return path.read_text(encoding="utf-8")


def _fetch(path: Path) -> str:
    """Let npm fetch the archive and put its script into the cache by one rename; the reason why not, or nothing."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=path.parent) as scratch:
        command = ["npm", "pack", f"axe-core@{VERSION}", "--silent", "--pack-destination", scratch]
        try:
            done = subprocess.run(command, cwd=scratch, capture_output=True, text=True, timeout=300)
        except (OSError, subprocess.TimeoutExpired) as error:
            return str(error)
        found = next(Path(scratch).glob("*.tgz"), None)
        if done.returncode != 0 or found is None:
            return (done.stderr.strip().splitlines() or ["npm failed"])[-1]
        with tarfile.open(found) as content:
            member = content.extractfile(_MEMBER)
            if member is None:
                return f"no {_MEMBER} in it"
            part = Path(scratch) / "part"
            part.write_bytes(member.read())
        os.replace(part, path)
    return ""
