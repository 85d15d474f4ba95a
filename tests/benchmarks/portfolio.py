"""Long lists over many climates, as the command line screens them: `python -m tests.benchmarks.portfolio`.

Printed are the wall time as multiples of pvlib's read_epw in the same run, the most memory that any process took, and
what a second core brings. Nothing else should run meanwhile. Climates and roofs are synthetic: the demo's climates,
each a little warmer or colder and somewhere else, and rows that differ in elevation, load, distances and spans.
"""

import argparse
import csv
import statistics
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import pvlib

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "end_to_end"))

from processes import peak_mb, tree
from speed_cases import EPW

from edgecheck.demo.files import climate_files, demo_inputs

TEMP_AIR, TEMP_DEW = 6, 7  # columns of an EPW line
APART_DEG = 0.15  # between stations of one climate
COLUMNS = (
    "site_id", "name", "latitude_deg", "longitude_deg", "elevation_m", "front_azimuth_deg", "roof_surface",
    "it_load_kw", "unit", "roof_reserve_kpa", "roof_evidence", "landlord_max_kg", "roof_level_agl_m", "member_span_m",
    "neighbour_distance_m", "asce_wind_speed_m_s",
)  # fmt: skip


def write_climates(folder: Path, count: int) -> list[tuple[float, float, float]]:
    """Weather files of synthetic stations; latitude, longitude [deg] and elevation [m] of each."""
    stations = []
    made = [path.read_text(encoding="utf-8").splitlines() for path in sorted(climate_files().glob("*.epw"))]
    for number in range(count):
        lines = made[number % len(made)]
        step = number // len(made)
        head = lines[0].split(",")
        head[1] = f"Synthetic {number:03d}"
        head[7] = f"{float(head[7]) + APART_DEG * (step - count // len(made) / 2):.2f}"
        shift = 0.1 * (step % 21) - 1.0
        body = []
        for line in lines[8:]:
            cells = line.split(",")
            cells[TEMP_AIR] = f"{float(cells[TEMP_AIR]) + shift:.1f}"
            cells[TEMP_DEW] = f"{float(cells[TEMP_DEW]) + shift:.1f}"
            body.append(",".join(cells))
        text = "\n".join([",".join(head), *lines[1:8], *body, ""])
        (folder / f"synthetic-{number:03d}.epw").write_text(text, encoding="utf-8", newline="\n")
        stations.append((float(head[6]), float(head[7]), float(head[9])))
    return stations


def write_list(path: Path, rows: int, stations: list[tuple[float, float, float]]) -> Path:
    """Roofs near the stations, in no order; a third of them for a dry cooler, every second front unknown."""
    units = demo_inputs().unit.parent
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, COLUMNS)
        writer.writeheader()
        for number in range(rows):
            north, east, height = stations[number * 7 % len(stations)]
            writer.writerow({
                "site_id": f"S-{number:05d}",
                "name": f"Roof {number}",
                "latitude_deg": round(north + number % 7 / 500, 4),
                "longitude_deg": round(east + number % 5 / 500, 4),
                "elevation_m": round(height + number % 401 / 4, 2),
                "front_azimuth_deg": "" if number % 2 else 15 * (number % 24),
                "roof_surface": ("dark", "light", "gravel")[number % 3],
                "it_load_kw": round(4.0 + number % 171 / 100, 2),
                "unit": units / ("lapwing-6-dry.toml" if number % 3 == 2 else "lapwing-6.toml"),
                "roof_reserve_kpa": "" if number % 4 == 0 else 2.5,
                "roof_evidence": "calculation",
                "landlord_max_kg": 100 if number % 9 == 2 else "",
                "roof_level_agl_m": 9 + number % 700 / 100,
                "member_span_m": 5 + number % 1000 / 1000,
                "neighbour_distance_m": 20 + number % 100 / 2,
                "asce_wind_speed_m_s": 45 + number % 100 / 10,
            })  # fmt: skip
    return path


def read_epw_s(rounds: int = 9) -> float:
    """Wall time of pvlib's reader of one file. [s]"""
    times = []
    for _ in range(rounds + 1):
        start = time.perf_counter()
        pvlib.iotools.read_epw(EPW)
        times.append(time.perf_counter() - start)
    return statistics.median(times[1:])


def screened(listed: Path, climates: Path, out: Path, jobs: int) -> tuple[float, float]:
    """Wall time [s] of one run without reports, and the most memory of any of its processes [MB]."""
    words = ["screen", listed, "--weather", climates, "--out", out, "--jobs", jobs, "--report", "none"]
    start = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-m", "edgecheck", *map(str, words)], stdout=subprocess.PIPE, text=True
    ) as run:
        most = 0.0
        while run.poll() is None:
            most = max(most, *(peak_mb(pid) for pid in tree(run.pid)))
            time.sleep(0.1)
        seconds = time.perf_counter() - start
        assert run.stdout is not None
        if run.returncode not in (0, 1):
            raise RuntimeError(f"the run ended with {run.returncode}:\n{run.stdout.read()}")
    return seconds, most


def measure(rows: Sequence[int] = (10_000, 20_000), climates: int = 200, cores_rows: int = 2000) -> None:
    """Print one line a run: lists with two jobs, then one list with one job and with two."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        weather = folder / "climates"
        weather.mkdir()
        stations = write_climates(weather, climates)
        print("| rows | climates | jobs | s | times read_epw | a row | peak MB |")  # noqa: T201
        print("| ---: | ---: | ---: | ---: | ---: | ---: | ---: |")  # noqa: T201
        one_core = 0.0
        for number, (count, jobs) in enumerate(
            [*((count, 2) for count in rows), (cores_rows, 1), (cores_rows, 2)]
        ):
            listed = write_list(folder / f"{count}.csv", count, stations)
            before = read_epw_s()
            seconds, most = screened(listed, weather, folder / f"out-{number}", jobs)
            reference = (before + read_epw_s()) / 2.0
            print(  # noqa: T201
                f"| {count} | {climates} | {jobs} | {seconds:.0f} | {seconds / reference:.0f} |"
                f" {seconds / reference / count:.3f} | {most:.0f} |",
                flush=True,
            )
            if jobs == 1:
                one_core = seconds
            elif one_core:
                print(f"\nTwo jobs: {one_core / seconds:.2f} times one.")  # noqa: T201


def main() -> None:
    """Print what was measured."""
    parser = argparse.ArgumentParser()
    parser.add_argument("rows", type=int, nargs="*", default=[10_000, 20_000])
    parser.add_argument("--climates", type=int, default=200)
    parser.add_argument("--cores-rows", type=int, default=2000, help="rows of the runs with one and two jobs")
    asked = parser.parse_args()
    measure(asked.rows, asked.climates, asked.cores_rows)


if __name__ == "__main__":
    main()
