"""Lists of many invented roofs in the synthetic climates, and runs of them to compare."""

import csv
import json
from pathlib import Path

from edgecheck.demo.files import climate_files, demo_inputs

WEATHER = climate_files()
UNIT = demo_inputs().unit
# Near four of the stations.
_PLACES = ((-17.7, -24.0, 2380), (29.3, -38.5, 420), (14.1, -41.3, 9), (46.7, -33.0, 40))
_COLUMNS = (
    "site_id",
    "name",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "front_azimuth_deg",
    "roof_surface",
    "it_load_kw",
    "roof_reserve_kpa",
    "roof_evidence",
    "landlord_max_kg",
    "owner",
)


def roof(number: int) -> dict[str, object]:
    """One roof; every eleventh cannot be used, every ninth is too heavy for its landlord."""
    north, west, height = _PLACES[number % len(_PLACES)]
    return {
        "site_id": f"S-{number:05d}",
        "name": f"Roof {number}",
        "latitude_deg": 467.0 if number % 11 == 10 else round(north + number % 7 / 100, 2),
        "longitude_deg": round(west + number % 5 / 100, 2),
        "elevation_m": height + number % 13,
        "front_azimuth_deg": 45 * (number % 8),
        "roof_surface": ("dark", "light", "gravel")[number % 3],
        "it_load_kw": round(4.0 + number % 17 / 10, 1),
        "roof_reserve_kpa": "" if number % 4 == 0 else 2.5,
        "roof_evidence": "calculation",
        "landlord_max_kg": 100 if number % 9 == 2 else "",
        "owner": f"Owner {number % 40}",
    }


def write_portfolio(path: Path, rows: int) -> Path:
    """A list of so many roofs."""
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, _COLUMNS)
        writer.writeheader()
        writer.writerows(roof(number) for number in range(rows))
    return path


def words(listed: str, out: str, *more: object) -> tuple[object, ...]:
    """The command that screens a list."""
    return ("screen", listed, "--unit", UNIT, "--weather", WEATHER, "--out", out, *more)


def usable(rows: int) -> int:
    """Rows of a portfolio that can be decided."""
    return sum(number % 11 != 10 for number in range(rows))


def log_of(run: Path) -> dict[str, object]:
    """run-log.json of a run."""
    found: dict[str, object] = json.loads((run / "run-log.json").read_text(encoding="utf-8"))
    return found
