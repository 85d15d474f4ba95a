"""Reading a run back: run.json and the checksummed lines of results.jsonl."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from edgecheck.base.errors import FolderRefused
from edgecheck.checks.result import Result
from edgecheck.outputs.folder import RUN_MARK
from edgecheck.screening.store import NAME, StoredResults, entries


@dataclass(frozen=True)
class StoredRun:
    """A run as written.

    Parameters
    ----------
    record : dict
        run.json; empty for a run that did not finish.
    results : sequence of Result
        One a finished site, in the order of the file, each read when it is asked for. What only a report shows
        is left out, see `Result.to_stored`; a site's site.json has it.
    dropped : int
        Lines whose checksum did not fit.
    """

    record: dict[str, Any]
    results: Sequence[Result]
    dropped: int


def load_run(folder: str | Path) -> StoredRun:
    """Read a run folder.

    Parameters
    ----------
    folder : str or Path
        Of a run, finished or not.

    Returns
    -------
    StoredRun

    Raises
    ------
    FolderRefused
        If there is no results.jsonl.
    """
    folder = Path(folder)
    store, mark = folder / NAME, folder / RUN_MARK
    if not store.is_file():
        raise FolderRefused(str(folder), f"is no run folder: there is no {NAME}")
    places: dict[int, tuple[int, int]] = {}
    dropped = 0
    for entry in entries(store):
        if entry is None:
            dropped += 1
        else:  # a row that was computed again stands twice in a run that did not finish: the later line counts
            row = int(entry.record["row"])
            places.pop(row, None)
            places[row] = entry.offset, entry.length
    offsets, lengths = zip(*places.values(), strict=True) if places else ((), ())
    record = json.loads(mark.read_text(encoding="utf-8")) if mark.is_file() else {}
    return StoredRun(record, StoredResults(store, offsets, lengths), dropped)
