"""The command line as a person uses it, and what it leaves behind."""

import contextlib
import csv
import io
import os
import shutil
import signal
import subprocess
import sys
import time
import traceback
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from real_weather import pvlib_file

import edgecheck as package
from edgecheck.cli import main

EXAMPLES = Path(__file__).resolve().parents[1] / "data" / "examples"
STATION = {"latitude_deg": 36.10, "longitude_deg": -79.95, "weather": "weather/example.csv"}
SOURCES = str(Path(package.__file__).resolve().parents[1])


@dataclass(frozen=True)
class Answer:
    """Exit code, standard output, standard error."""

    code: int
    out: str
    err: str


def edgecheck(*words: object, folder: Path) -> Answer:
    """Run the command line in this process, standing in a folder; an escaped error is printed as Python would."""
    out, err = io.StringIO(), io.StringIO()
    before, code = sys.argv, 0
    sys.argv = ["edgecheck", *map(str, words)]
    try:
        with contextlib.chdir(folder), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            try:
                main()
            except SystemExit as leaving:
                code = int(leaving.code or 0)
            except Exception:
                code = 1
                traceback.print_exc()
    finally:
        sys.argv = before
    return Answer(code, out.getvalue(), err.getvalue())


def start(
    *words: object, folder: Path, program: tuple[str, ...] = ("-m", "edgecheck"), **variables: str
) -> "subprocess.Popen[str]":
    """Start `python -m edgecheck`, or another program, as a process of its own that heeds an interrupt.

    A shell has what it starts in the background ignore them, and the tests would hand that down.
    """
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    return subprocess.Popen(
        [sys.executable, *program, *map(str, words)],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": SOURCES, **variables},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        encoding="utf-8",
    )


def until(process: "subprocess.Popen[str]", happened: Callable[[], bool], within_s: float = 200.0) -> None:
    """Wait until something has happened while a process runs; it is killed if that takes too long."""
    limit = time.monotonic() + within_s
    while not happened():
        if process.poll() is not None or time.monotonic() > limit:
            process.kill()
            raise AssertionError(process.communicate())
        time.sleep(0.02)


def apart(*words: object, folder: Path, **variables: str) -> Answer:
    """Run `python -m edgecheck` in a process of its own to its end."""
    with start(*words, folder=folder, **variables) as process:
        out, err = process.communicate(timeout=120)
    return Answer(process.returncode, out, err)


def furnish(folder: Path) -> Path:
    """Units and pvlib's TMY3 sample (Greensboro, 36.10 N, 79.95 W) at weather/example.csv; no list."""
    (folder / "weather").mkdir(parents=True)
    shutil.copyfile(pvlib_file("723170TYA.CSV"), folder / "weather" / "example.csv")
    for name in ("unit.toml", "unit-dry-cooler.toml"):
        shutil.copyfile(EXAMPLES / name, folder / name)
    return folder


@contextlib.contextmanager
def bare_reports() -> Iterator[None]:
    """Reports that this process writes have no figures, which take longer than all the rest of a site."""
    with mock.patch("edgecheck.outputs.pages.drawings", return_value={}):
        yield


def write_list(path: Path, rows: Iterable[Mapping[str, object]]) -> None:
    """A site list with the columns of all rows, in the order of their first use."""
    rows = list(rows)
    columns = list(dict.fromkeys(key for row in rows for key in row))
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, columns, restval="")
        writer.writeheader()
        writer.writerows(rows)


def read_table(path: Path) -> list[dict[str, str]]:
    """Rows of a CSV file of a run, by heading."""
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def verdicts(run: Path) -> dict[str, dict[str, str]]:
    """verdicts.csv of a run by site_id."""
    return {row["site_id"]: row for row in read_table(run / "verdicts.csv")}


def contents(folder: Path) -> dict[str, bytes | None]:
    """Everything below a folder: path -> bytes, None for a folder."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
    }
