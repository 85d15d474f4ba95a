"""A list whose rows name load profiles, good and bad, through the commands."""

import json
from pathlib import Path

import numpy as np
import pytest
from command_line import STATION, edgecheck, read_table, verdicts, write_list

HOURS = range(24)


def profiles(folder: Path) -> None:
    """A day of two loads, a series of kilowatts with a hole, a short series, per cent."""
    day = "hour,share\n" + "".join(f"{h},{1.0 if 8 <= h < 18 else 0.5}\n" for h in HOURS)
    (folder / "day.csv").write_text(day, encoding="ascii")
    holed = ["5.0"] * 8760
    holed[99] = ""
    (folder / "holed.csv").write_text("hour,kw\n" + "".join(f"{i},{v}\n" for i, v in enumerate(holed)))
    (folder / "short.csv").write_text("share\n" + "0.5\n" * 8000)
    (folder / "percent.csv").write_text("share\n" + "50\n" * 8760)
    (folder / "much.csv").write_text("kw\n" + "9.5\n" * 8760)


@pytest.mark.usefixtures("figures")
def test_a_list_with_profiles(desk: Path) -> None:
    profiles(desk)
    rates = {"electricity_price_per_kwh": 0.25, "grid_carbon_kg_per_kwh": 0.4}
    names = ("day", "holed", "short", "percent", "much", "absent")
    rows = [{"site_id": "plain", **STATION, **rates}]
    rows += [{"site_id": name, **STATION, **rates, "load_profile": f"{name}.csv"} for name in names]
    write_list(desk / "sites.csv", rows)
    answer = edgecheck(
        "screen",
        "sites.csv",
        "--unit",
        "unit.toml",
        "--hourly",
        "--report",
        "all",
        "--out",
        "run",
        folder=desk,
    )
    assert answer.code == 4
    found = verdicts(desk / "run")
    assert {name for name, row in found.items() if row["verdict"] == "unusable"} == set(names[1:])
    for name, said in (
        ("holed", "line 101, kw"),
        ("short", "8760 rows are needed, one an hour; there are 8000"),
        ("percent", "per cent? divide by 100"),
        ("much", "9.5 kW, is more than"),
        ("absent", "there is no file 'absent.csv' beside the list"),
    ):
        assert said in found[name]["reason"], found[name]["reason"]
        assert "load_profile" in found[name]["reason"]

    plain, day = (json.loads((desk / f"run/sites/{n}/site.json").read_text()) for n in ("plain", "day"))
    mean = (10 + 14 * 0.5) / 24
    assert day["detail"]["energy"]["it_kwh"] == pytest.approx(6.0 * 8760 * mean)
    assert day["detail"]["energy"]["cost"] < plain["detail"]["energy"]["cost"]
    assert day["detail"]["unit"]["load_profile"]["file"] == "day.csv"
    hourly = read_table(desk / "run/sites/day/hourly.csv")
    it = np.array([float(line["it_kw"]) for line in hourly]).reshape(365, 24)
    assert np.all(it[:, 8:18] == 6.0)
    assert np.all(it[:, :8] == 3.0)
    inputs = json.loads((desk / "run/run.json").read_text())["inputs"]
    assert [entry["file"] for entry in inputs if entry["role"] == "load profile"] == ["day.csv", "much.csv"]
    page = (desk / "run/sites/day/worst-hour.html").read_text(encoding="utf-8")
    for text in ("follows day.csv, by hour of the day", "Partial PUE", "own currency", "Largest load"):
        assert text in page, text


def test_a_strict_list_tells_every_profile_at_once(desk: Path) -> None:
    profiles(desk)
    names = ("day", "short", "much", "absent")
    write_list(
        desk / "sites.csv", [{"site_id": name, **STATION, "load_profile": f"{name}.csv"} for name in names]
    )
    answer = edgecheck(
        "screen", "sites.csv", "--unit", "unit.toml", "--strict-list", "--out", "run", folder=desk
    )
    assert answer.code == 2
    for said in ("there are 8000", "is more than", "there is no file 'absent.csv'"):
        assert said in answer.out + answer.err
    assert not (desk / "run").exists()
