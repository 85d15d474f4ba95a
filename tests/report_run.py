"""A finished run for tests of reports: the demo, and three of its roofs moved to real weather; made once a session."""

import json
import shutil
from functools import cache
from pathlib import Path

import pandas as pd
from command_line import read_table
from real_weather import real_epw
from shared_runs import run_once

# one of every verdict, a type qualification; and reports of long lists and many cautions
SITES = {"go": "PM-02", "conditional": "AC-01", "undecided": "KH-04", "no-go": "DS-08", "type": "TQ-1"}
REAL = {"DS-03": "tucson", "VM-06": "helsinki", "KH-04": "northway"}
DEMO = Path(__file__).parents[1] / "edgecheck" / "demo"


def demo_answer():
    """Folder in which the demo was run, and what it said; to be read only."""
    return run_once("demo", Path.mkdir, "demo")


@cache
def demo_run():
    """Folder of the sites of the demo."""
    folder, answer = demo_answer()
    assert answer.code == 0, answer.err
    return folder / "edgecheck-demo" / "sites"


def _furnish_real(folder):
    """The demo's units, and three of its roofs moved to where real weather files were measured."""
    folder.mkdir()
    rows = pd.read_csv(DEMO / "sites.csv", dtype=str, keep_default_na=False).set_index("site_id", drop=False)
    rows = rows.loc[list(REAL)].copy()
    for site, name in REAL.items():
        path = real_epw(name)
        shutil.copyfile(path, folder / f"{name}.epw")
        place = path.open(encoding="latin-1").readline().strip().split(",")
        rows.loc[site, ["latitude_deg", "longitude_deg", "elevation_m"]] = [place[6], place[7], place[9]]
        rows.loc[site, "weather"] = f"{name}.epw"
    for path in DEMO.glob("*.toml"):
        shutil.copyfile(path, folder / path.name)
    rows.to_csv(folder / "list.csv", index=False)


@cache
def real_run():
    """Folder of the sites of three demo roofs under real weather; skips where it cannot be had."""
    words = ("screen", "list.csv", "--unit", "lapwing-6.toml", "--weather", ".", "--hourly", "--out", "run")
    folder, answer = run_once("real", _furnish_real, *words)
    assert answer.code == 0, answer.err
    return folder / "run" / "sites"


def pages():
    """Every report of the demo, by site."""
    return {path.parent.name: path for path in sorted(demo_run().glob("*/worst-hour.html"))}


def record(folder):
    """site.json of a site's folder."""
    return json.loads((folder / "site.json").read_text(encoding="utf-8"))


def checks(folder):
    """Rows of checks.csv by id."""
    return {row["id"]: row for row in read_table(folder / "checks.csv")}
