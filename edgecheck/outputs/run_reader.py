"""Reading a finished run back: run.json and the checksummed lines of results.jsonl."""

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgecheck.base.errors import FolderRefused


@dataclass(frozen=True)
class StoredRun:
    """A run as written.

    Parameters
    ----------
    record : dict
        run.json; empty for a run that did not finish.
    results : tuple of dict
        One a finished site, as `Result.to_dict`.
    dropped : int
        Lines whose checksum did not fit.
    """

    record: dict[str, Any]
    results: tuple[dict[str, Any], ...]
    dropped: int


def load_run(folder: str | Path) -> StoredRun:
    """Read a run folder.

    Parameters
    ----------
    folder : str or Path
        Of a run.

    Returns
    -------
    StoredRun

    Raises
    ------
    FolderRefused
        If there is no results.jsonl.
    """
    folder = Path(folder)
    store, mark = folder / "results.jsonl", folder / "run.json"
    if not store.is_file():
        raise FolderRefused(str(folder), "is no run folder: there is no results.jsonl")
    results, dropped = [], 0
    for line in store.read_text(encoding="utf-8").splitlines():
        found = _checked(line)
        if found is None:
            dropped += 1
        else:
            results.append(found)
    record = json.loads(mark.read_text(encoding="utf-8")) if mark.is_file() else {}
    return StoredRun(record, tuple(results), dropped)


def _checked(line: str) -> dict[str, Any] | None:
    """The result of a line, None where the line was cut or changed."""
    try:
        entry = json.loads(line)
        body = json.dumps(entry["result"], ensure_ascii=True, allow_nan=False, separators=(",", ":"))
        right = hashlib.sha256(body.encode("ascii")).hexdigest() == entry["sha256"]
    except (ValueError, KeyError, TypeError):
        return None
    return entry["result"] if right else None
