"""The table of the README: `python -m tests.benchmarks.table` from the folder above `tests`; nothing else should run.

Every line on one site is a median of CPU time and its ratio to pvlib's read_epw, the two measured in turn in the same
run, so that other work on the machine weighs on both alike. `--lists` adds whole lists over many climates, in wall
time, which take minutes (`tests/benchmarks/portfolio.py`).
"""

import argparse
import gc
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pvlib

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks import plain_script, portfolio
from speed_cases import EPW, KINDS, further_sites, station, unit_of_kind

from edgecheck.chain import Station, qualify
from edgecheck.demo.files import demo_inputs
from edgecheck.inputs.criteria import load_criteria
from edgecheck.outputs.pages import site_page
from edgecheck.weather.read import read_weather

NEED = load_criteria().need
SOUGHT = "worst front sought"
PLAIN = "a plain script, a site's whole heat, weather and sun included"
LOT = 10  # sites in a row, as a list has them


def in_turn(
    *tasks: Callable[[], object], rounds: int = 15, clock: Callable[[], float] = time.process_time
) -> list[float]:
    """Median time of each task by a clock, all of them run in turn, after one run that does not count. [s]"""
    times: list[list[float]] = [[] for _ in tasks]
    for counted in range(rounds + 1):
        for task, seconds in zip(tasks, times, strict=True):
            start = clock()
            task()
            if counted:
                seconds.append(clock() - start)
    return [statistics.median(seconds) for seconds in times]


def read_epw() -> object:
    """What everything is compared with."""
    return pvlib.iotools.read_epw(EPW)


def lines(rounds: int = 15) -> list[tuple[str, float, float]]:
    """What was measured: words, seconds, ratio to read_epw."""
    found: list[tuple[str, float, float]] = []
    gc.freeze()  # as worker processes do

    def add(words: str, task: Callable[[], object], rounds: int = rounds, lot: int = 1) -> None:
        """Measure a task, so many in a row."""

        def several() -> None:
            for _ in range(lot):
                task()

        reference, seconds = in_turn(read_epw, several, rounds=rounds)
        found.append((words, seconds / lot, seconds / lot / reference))

    add("read and check a weather file", lambda: read_weather(EPW))
    add("the same, with its sun", lambda: Station.of(read_weather(EPW)))
    for kind in KINDS:
        for known in (True, False):
            rows = further_sites(front_known=known)
            front = "front stated" if known else SOUGHT
            add(f"a further site, {kind}, {front}", lambda rows=rows, kind=kind: qualify(
                next(rows), unit_of_kind(kind), station()).to_stored(), lot=LOT)  # type: ignore[misc]  # fmt: skip
    rows = further_sites()
    add("a further site with its report", lambda: site_page(
        qualify(next(rows), unit_of_kind("chiller"), station()), need=NEED), rounds=3)  # fmt: skip
    data, meta = plain_script.read(EPW)
    unit = demo_inputs().unit
    add(
        "a plain script, heat of the year alone",
        lambda: plain_script.site_year(data, meta, unit, 5.6, 180.0),
        3,
    )
    add(
        PLAIN,
        lambda: plain_script.whole_site(EPW, unit, 5.6),
        3,
    )
    return found


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--lists", action="store_true", help="whole lists too, which takes minutes")
    asked = parser.parse_args()
    print("| what | ms | times read_epw |\n| --- | ---: | ---: |")  # noqa: T201
    measured = lines()
    for words, seconds, ratio in measured:
        print(f"| {words} | {1e3 * seconds:.1f} | {ratio:.2f} |", flush=True)  # noqa: T201
    ratios = {words: ratio for words, _, ratio in measured}
    plain, ours = ratios[PLAIN], ratios[f"a further site, {KINDS[0]}, {SOUGHT}"]
    print(f"\nThe plain script takes {plain / ours:.0f} times as long as a further site with all checks.")  # noqa: T201
    if asked.lists:
        print()  # noqa: T201
        portfolio.measure()


if __name__ == "__main__":
    main()
