"""The JSON texts of a run: site.json, run.json and run-log.json; the lines of results.jsonl are the store's.

In go results and plain records, out comes text without time or machine in it, except in
run-log.json, which is the one place for them.
"""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from edgecheck.checks.result import SCHEMA, Result, plain

PROGRAM = "edgecheck"
_PLACE_OPTIONS = ("--out", "--jobs", "--cluster")
_VALUE_OPTIONS = ("--report", "--sheet")
_PLACE_FLAGS = ("--resume", "--overwrite")
_FILE_OPTIONS = ("--unit", "--weather", "--columns", "--criteria", "--assume", "--survey")


def site_json(result: Result) -> str:
    """site.json: everything the page shows, as schema 1; unknown numbers are null."""
    return _text(result.to_dict())


def run_record(
    *,
    version: str,
    command: Sequence[str],
    inputs: Sequence[Mapping[str, Any]],
    criteria: Mapping[str, Any],
    defaults: Mapping[str, Any],
    counts: Mapping[str, int],
    **more: Any,
) -> dict[str, Any]:
    """What run.json keeps of a finished run.

    Parameters
    ----------
    version : str
        Of the program.
    command : sequence of str
        The words of the command line; see `recorded_command`.
    inputs : sequence of mapping
        `role`, `file` (name without folders) and `sha256` of every file read.
    criteria, defaults : mapping
        As used.
    counts : mapping
        Rows in all, usable, unusable and cautioned.
    **more
        Further facts that do not depend on time, machine or number of jobs (`unit_cautions`, `notes`).

    Returns
    -------
    dict
        JSON-ready.
    """
    record = {
        "schema": SCHEMA,
        "version": version,
        "command": recorded_command(command),
        "inputs": list(inputs),
        "criteria": dict(criteria),
        "defaults": dict(defaults),
        "counts": dict(counts),
        **more,
    }
    return dict(plain(record))


def run_json(record: Mapping[str, Any]) -> str:
    """run.json of a record made by `run_record`."""
    return _text(record)


def run_log_json(log: Mapping[str, Any]) -> str:
    """run-log.json: times, machine, jobs, and the mark by which a folder is known as ours."""
    return _text({"program": PROGRAM, "schema": SCHEMA, **log})


def is_run_log(text: str) -> bool:
    """Whether a text is a run-log.json of ours."""
    try:
        found = json.loads(text)
    except ValueError:
        return False
    return isinstance(found, dict) and found.get("program") == PROGRAM


def recorded_command(words: Sequence[str]) -> list[str]:
    """The command without what says only where and how it ran; files without their folders.

    Parameters
    ----------
    words : sequence of str
        The command's words, from its name on: "screen", "roofs/list.csv", "--jobs", "4".

    Returns
    -------
    list of str
        "screen", "list.csv".
    """
    kept: list[str] = []
    skip = bare = value_next = False
    positions = 0
    for word in words:
        option, has_value, value = word.partition("=")
        if skip:
            skip = False
        elif value_next:
            kept.append(word)
            value_next = False
        elif bare:
            kept.append(_file_name(word))
            bare = False
        elif option in _PLACE_OPTIONS:
            skip = not has_value
        elif word in _PLACE_FLAGS:
            continue
        elif option in _FILE_OPTIONS:
            kept.append(f"{option}={_file_name(value)}" if has_value else word)
            bare = not has_value
        elif option in _VALUE_OPTIONS:
            kept.append(word)
            value_next = not has_value
        elif word.startswith("-"):
            kept.append(word)
        else:
            kept.append(_file_name(word) if positions == 1 else word)
            positions += 1
    return kept


def _file_name(word: str) -> str:
    """Last part of a path, with either kind of slash."""
    return word.replace("\\", "/").rstrip("/").rpartition("/")[2] or word


def _text(record: Mapping[str, Any]) -> str:
    """Indented JSON with a line feed at the end; refuses numbers that JSON does not know."""
    return json.dumps(plain(record), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
