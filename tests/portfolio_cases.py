"""Lists of invented sites with made-up results, for tests of the list page.

Every kind of verdict is there, with known checks against it; numbers differ from site to site.
"""

import csv
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

from result_factory import NEED, make_result

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.model import outcome
from edgecheck.checks.result import Result
from edgecheck.inputs.sites import SiteList, load_sites
from edgecheck.outputs.pages import list_page
from edgecheck.outputs.tables import verdict_table

OWN = (
    "Landlord",
    "Lease end",
    "Rent",
    "Fibre",
    "Old id",
    "Contact",
    "District",
    "Priority",
    "Remark",
    "Empty",
)
# What stands against the sites, over and over: verdict, failing checks, required checks that are not assessed.
KINDS = (
    ("go", (), ()),
    ("conditional", (), ()),
    ("undecided", (), ("roof.load",)),
    ("no-go", ("roof.load",), ()),
    ("undecided", (), ("roof.load", "roof.point-load")),
    ("no-go", ("roof.load", "heat.headroom"), ("roof.point-load",)),
    ("no-go", ("heat.headroom",), ()),
)


@dataclass(frozen=True)
class Case:
    """A list, its results and what the page is made with."""

    site_list: SiteList
    results: list[Result]
    ranks: dict[int, int]
    folders: dict[int, str]
    run: dict[str, Any]

    def page(self, title: str = "roofs") -> str:
        """index.html."""
        return list_page(iter(self.results), self.ranks, self.folders, title, self.run, self.site_list)

    def table(self) -> list[dict[str, str]]:
        """verdicts.csv, read by the csv module."""
        text = verdict_table(self.site_list, self.results, self.ranks, self.folders)
        return list(csv.DictReader(text.splitlines(keepends=True)))

    def write(self, folder: Path) -> Path:
        """Write index.html and pages of the sites that have a folder; path of index.html."""
        path = folder / "index.html"
        path.write_text(self.page(), encoding="utf-8")
        for name in self.folders.values():
            (folder / "sites" / name).mkdir(parents=True)
            text = f"<!DOCTYPE html><title>report of {name}</title>"
            (folder / "sites" / name / "worst-hour.html").write_text(text)
        return path


@cache
def _base() -> Result:
    return make_result(hourly=None, hot_spell=None, cold_spell=None, outage=None)


def _result(number: int, verdict: str, failing: tuple[str, ...], waiting: tuple[str, ...]) -> Result:
    base = _base()
    statuses = dict.fromkeys(failing, "fail") | dict.fromkeys(waiting, "not assessed")
    if verdict == "conditional":
        statuses["heat.hot-spell"] = "caution"
    checks = tuple(
        outcome(check, statuses.get(check.id, "pass"), missing=("a fact",) if check.id in waiting else ())
        for check in CHECKS
    )
    share = 0.5 - 0.0123456789 * (number % 37)
    figures = {
        **base.figures,
        "headroom_share": share,
        "headroom_kw": -3.0 + 0.271828 * (number % 40),
        "max_it_load_kw": None if number % 11 == 10 else 5.2 + 0.0378 * (number % 61),
        "asks_mass_kg": 309.0 + 1000.0 * (number % 23),
        "asks_point_kn": float("inf") if number % 13 == 5 else 1.5234,
        "weather_distance_km": 0.05 * number,
    }
    deciding = next(
        iter((*failing, *waiting)), "heat.hot-spell" if verdict == "conditional" else "heat.headroom"
    )
    load = {"key": "it_load_kw", "value": 6.0, "origin": "list", "reason": "", "used": True}
    return replace(
        base,
        site_id=f"R-{number:04d}",
        name=f"Roof {number}",
        row=number + 2,
        verdict=verdict,
        groups={**base.groups, "roof": "no-go" if "roof.load" in failing else "conditional"},
        governing_check=deciding,
        reason=f"Reason {number % 5}: {share:.3f} kPa against at most -1.25 degC.",
        checks=checks,
        conditions=() if verdict == "go" else base.conditions[: 1 + number % 2],
        figures=figures,
        inputs=(load,),
    )


def _unusable(number: int) -> Result:
    fault = f"roofs.csv, line {number + 2}, latitude_deg: '95': -90 to 90 deg is possible"
    return Result(f"R-{number:04d}", f"Roof {number}", number + 2, "unusable", reason=fault, faults=(fault,))


def case(
    folder: Path, sites: int = 22, *, own: dict[str, list[str]] | None = None, positions: Any = None
) -> Case:
    """A list of sites; the last is unusable unless positions are given.

    Parameters
    ----------
    folder : Path
        For the list's file.
    sites : int
        How many.
    own : dict, optional
        Texts of own columns, over and over; ten columns without.
    positions : list of (latitude, longitude), optional
        Of the sites.
    """
    own = own or {name: [f"{name} {n}" if n % 3 else "" for n in range(7)] for name in OWN[:-1]} | {
        "Empty": [""]
    }
    own = own | ({"Rent": ["1200", "99.5", "", "850"]} if "Rent" in own else {})
    results = [_result(n, *KINDS[n % len(KINDS)]) for n in range(sites)]
    if positions is None:
        results[-1] = _unusable(sites - 1)
        positions = [(46.0 + 0.013 * (n % 50), -33.0 + 0.021 * (n // 50)) for n in range(sites)]
        positions[-1] = (95.0, 0.0)
    path = folder / "roofs.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["site_id", "name", *own, "latitude_deg", "longitude_deg"])
        for n, result in enumerate(results):
            texts = [texts[n % len(texts)] for texts in own.values()]
            writer.writerow([result.site_id, result.name, *texts, *positions[n]])
    order = ["go", "conditional", "undecided", "no-go", "unusable"]
    ranked = sorted(results, key=lambda result: (order.index(result.verdict), result.row))
    ranks = {result.row: rank for rank, result in enumerate(ranked, 1)}
    folders = {result.row: f"F {result.row}" for result in results[:5]}
    run = {
        "version": "0.1.0",
        "inputs": [{"role": "list", "file": "roofs.csv", "sha256": "ab" * 32}],
        "criteria": {"name": "full", "need": dict(NEED)},
        "unit_cautions": ["Mass in one piece by hand: 96.0 kg"],
        "notes": ["Landlrd looks like landlord_max_kg; kept as your own"],
    }
    return Case(load_sites(path), results, ranks, folders, run)
