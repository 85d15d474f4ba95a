"""Every number of a worst-hour report is the number in site.json or checks.csv, within half a printed digit."""

import math

import pytest
from page_tables import Tables, agrees, printed
from report_run import REAL, SITES, checks, demo_run, real_run, record

from edgecheck.checks.declarations import CHECKS
from edgecheck.checks.environment import CATEGORY_UNIT
from edgecheck.weather.corrosion import category_name

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
CASES = [("demo", site) for site in (*SITES.values(), "VM-02", "DS-04", "KH-09")] + [
    ("real", site) for site in REAL
]


@pytest.fixture(scope="module", params=CASES, ids=lambda case: "-".join(case))
def site(request):
    run, name = request.param
    folder = (demo_run() if run == "demo" else real_run()) / name
    html = (folder / "worst-hour.html").read_text(encoding="utf-8")
    return Tables(html), record(folder), checks(folder)


def test_page_one(site):
    page, found, _ = site
    figures = found["figures"]
    labels = {text: pair[0] for text, pair in page.pairs.items() if pair[1] == "answer"}
    span = "the design day" if found["detail"]["weather"]["cycle"] else "the year"
    spell = span if span != "the year" else "the hot spell"
    for label, name, factor in (
        (f"Least service headroom of {span}", "headroom_share", 100.0),
        (f"Highest liquid temperature in {spell}", "liquid_peak_c", 1.0),
        ("From loss of cooling to server shutdown", "ride_through_minutes", 1.0),
        ("Largest IT load at the required margin", "max_it_load_kw", 1.0),
    ):
        assert agrees(labels.pop(label), figures[name], factor), label
    assert labels == {}


def test_what_the_roof_must_offer(site):
    page, found, _ = site
    shown = [text for text, section in page.pairs.values() if section == "roof-offer"]
    assert len(shown) == len(found["asks"]) > 8
    for text, (name, value) in zip(shown, found["asks"].items(), strict=True):
        if isinstance(value, str):
            assert text == value
        elif name == "asks_ballast_kg" and value is not None:
            assert printed(text)[0] == math.ceil(value), "rounded up: less would not hold"
        else:
            assert agrees(text, value), name


def test_groups(site):
    page, found, table = site
    groups = next(table for table in page.under("answer") if table.head[0] == "group")
    assert [row[1] for row in groups.rows] == list(found["groups"].values())
    for row, group in zip(groups.rows, found["groups"], strict=True):
        own = [check["status"] for check in table.values() if check["group"] == group]
        shown = dict(reversed(part.split(" ", 1)) for part in row[2].split(", "))
        assert shown == {status: str(own.count(status)) for status in own}


def number(text):
    return float(text) if text else None


def test_all_checks(site):
    page, found, table = site
    (shown,) = page.under("checks")
    rows = [row for row in shown.rows if len(row) == 7]
    declared = {check.id: check for check in CHECKS}
    assert len(rows) == len(table) == len(found["checks"]) > 20
    for row, (check_id, cells), outcome in zip(rows, table.items(), found["checks"], strict=True):
        assert check_id in row[0]
        assert row[1] == cells["status"] == outcome["status"]
        check = declared[check_id]
        factor = 100.0 if check.unit == "share" else 1.0
        values = {name: number(cells[name]) for name in ("demand", "limit", "utilisation", "spare")}
        for name, value in values.items():
            stored = math.inf if outcome[name] == "infinite" else outcome[name]
            assert value == (stored if stored is None else pytest.approx(stored, rel=1e-8)), (check_id, name)
        if check.unit == CATEGORY_UNIT:
            for text, value in ((row[2], values["demand"]), (row[3], values["limit"])):
                assert text.endswith(category_name(value)) if value is not None else text in ("not known", "")
            continue
        assert agrees(row[2], values["demand"], factor), check_id
        assert agrees(row[3], values["limit"], factor), check_id
        assert agrees(row[4], values["utilisation"], 100.0), check_id
        assert agrees(row[5], values["spare"], factor), check_id
        if values["limit"] is not None:
            assert row[3].startswith(check.sense)


STEPS = {
    "Station air, as in the weather file": ("station_temp_air", 1.0),
    "Air of the design day": ("station_temp_air", 1.0),
    "From the station's elevation to the site's": ("elevation_shift", 1.0),
    "Warming and urban heat, from the list": ("warming_shift", 1.0),
    "Shift of the spell to its extreme": ("spell_shift", 1.0),
    "Outdoor air at the site": ("temp_air", 1.0),
    "Warm air from the roof surface": ("roof_mixing_rise", 1.0),
    "Own discharge air drawn in again": ("recirculation_rise", 1.0),
    "Air into the cooling section": ("inlet_air", 1.0),
    "Thin air and fouling": ("derate_rise", 1.0),
    "Equivalent inlet air, at which the rating table is read": ("equivalent_inlet", 1.0),
    "IT load": ("it", 0.001),
    "Pump heat into the liquid": ("pump_heat", 0.001),
    "Sun on the box": ("solar", 0.001),
    "Air around the box": ("envelope", 0.001),
    "Longwave exchange with sky and roof": ("longwave", 0.001),
    "Heat to reject, liquid at the setpoint": ("load", 0.001),
    "Capacity at the setpoint and the equivalent inlet air, from the rating table": ("capacity", 0.001),
    "Headroom at the setpoint": ("headroom", 0.001),
    "Condensing temperature at full capacity": ("condensing", 1.0),
    "Service headroom: the best between setpoint and highest service temperature": (
        "service_headroom",
        0.001,
    ),
    "Share of the heat to reject at that temperature": ("share", 100.0),
}


def test_worked_hours(site):
    page, found, _ = site
    hours, seen = [], set()
    for hour in found["worst_hours"]:
        if (hour["spell"], hour["time"]) not in seen:
            seen.add((hour["spell"], hour["time"]))
            hours.append(hour)
    compared = 0
    for hour in hours[:2]:
        tables = page.under("worst", f"{hour['title']}: {hour['time']}, local standard time")
        assert len(tables) == 3
        for row in (row for table in tables for row in table.rows):
            if row[0] in STEPS:
                name, factor = STEPS[row[0]]
                assert agrees(row[3], hour["values"][name], factor), row
                compared += 1
    assert compared >= 18 * min(len(hours), 2) - 6


def test_months_and_worst_hours(site):
    page, found, _ = site
    detail = found["detail"]
    if detail["weather"]["cycle"]:
        assert page.under("year", "Month by month") == []
        return
    (months,) = page.under("year", "Month by month")
    for row, month in zip(months.rows, detail["monthly"], strict=True):
        assert row[0] == MONTHS[month["month"] - 1]
        assert agrees(row[1], month["temp_max_c"])
        assert agrees(row[2], month["least_share"], 100.0)
        assert row[3] == f"{month['hours_short']} h"
        assert agrees(row[4], month["liquid_peak_c"])
    (worst,) = page.under("year", "The ten worst hours of the year")
    for row, hour in zip(worst.rows, detail["ten_worst"], strict=True):
        assert row[1] == hour["time"]
        assert agrees(row[2], hour["temp_air_c"])
        assert agrees(row[3], hour["headroom_kw"])
        assert agrees(row[4], hour["share"], 100.0)


def test_failures(site):
    page, found, _ = site
    detail = found["detail"]
    rows = {row[0]: row for row in page.under("outage")[0].rows}
    outage = detail["outage"]
    for title, name, to_alarm in (
        ("Cooling lost, pump running", "ride_through", "to_alarm_minutes"),
        ("Cooling and pump lost", "pump_lost", "pump_lost_to_alarm_minutes"),
    ):
        first, second = rows[title][1].split(", ")
        assert agrees(first, outage[f"{name}_minutes"])
        assert agrees(second, outage[to_alarm])
        assert rows[title][4] == outage[f"{name}_when"]
    assert agrees(
        rows["Short power cut"][1].removeprefix("liquid up to "), detail["failures"]["restart"]["peak_c"]
    )


def test_mass_and_loads_on_the_feet(site):
    page, found, _ = site
    roof = found["detail"].get("roof")
    if not roof:
        assert page.under("roof", "Mass build-up") == []
        return
    (mass,) = page.under("roof", "Mass build-up")
    states = roof["mass_states"]
    assert mass.head[1:-1] == [state["name"] for state in states]
    for row in mass.rows[:-1]:
        for text, state in zip(row[1:-1], states, strict=True):
            own = [line["mass_kg"] for line in state["lines"] if line["name"] == row[0]]
            assert agrees(text, own[0]) if own else text == ""
    for text, state in zip(mass.rows[-1][1:-1], states, strict=True):
        assert agrees(text, state["mass_kg"])
        assert state["mass_kg"] == pytest.approx(sum(line["mass_kg"] for line in state["lines"]))
    (loads,) = page.under("roof", "Loads on the feet")
    forces = {case["case"]: case for case in roof["reactions"]}
    for case, each, greatest in loads.rows:
        assert agrees(greatest, forces[case]["greatest_kn"])
        if forces[case]["forces_kn"]:
            for text, force in zip(each.split(" / "), forces[case]["forces_kn"], strict=True):
                assert agrees(text, force)


def test_roof_facts(site):
    page, found, _ = site
    roof = found["detail"].get("roof")
    if not roof:
        return
    facts = page.facts("roof", "The unit on the roof") or page.facts("roof")
    for label, value in (
        ("Weight on the roof in operation", roof["roof_weight_kn"]),
        ("Pressure under the base", roof["patch_kpa"]),
        ("Greatest load on one foot", roof["point_demand_kn"]),
        ("Uniform reserve of the roof", roof["reserve"].get("value_kpa")),
        ("Point reserve of the roof", roof["point_reserve"].get("value_kn")),
        ("Moved in one piece", roof["delivery"]["mass_kg"]),
        ("Hook of a crane", roof["delivery"]["crane_hook_kn"]),
    ):
        assert agrees(facts[label], value), label


def test_wind(site):
    page, found, _ = site
    stability = found["detail"].get("stability") or {}
    if not stability.get("faces") or found["detail"]["weather"]["cycle"]:
        return
    actions = page.under("stability", "Wind actions")
    if not actions:
        return
    for row, step in zip(actions[0].rows, stability["wind"]["steps"], strict=True):
        assert row[0] == step["what"]
        assert agrees(row[4], step["value"]), row
    for row, face in zip(actions[1].rows, stability["faces"], strict=True):
        for text, name in zip(
            row[1:], ("area_m2", "coefficient", "force_kn", "height_m", "uplift_kn"), strict=True
        ):
            assert agrees(text, face[name]), row


def test_class_sound_feed(site):
    page, found, _ = site
    detail = found["detail"]
    declared = (detail.get("environment") or {}).get("class") or {}
    tables = page.under("class")
    if tables and declared.get("rows"):
        for row, limit in zip(tables[0].rows, declared["rows"], strict=True):
            assert row[0] == limit["label"]
            assert agrees(row[1], limit["limit"]), row
            assert agrees(row[2], limit["hours"]), row
            if limit["farthest"] is not None:
                assert agrees(row[3], limit["farthest"]), row
    for table in page.under("services", "Levels at the window against the limits"):
        for row, period in zip(table.rows, detail["sound"]["periods"], strict=True):
            assert agrees(row[1], period["running_dba"]), row
            assert agrees(row[4], period["year_dba"]), row
            assert agrees(row[5], period["limit_dba"]), row
    for heading, name in (("Running current, step by step", "running"), ("Starting", "starting")):
        for table in page.under("services", heading):
            for row, step in zip(table.rows, detail["feed"][name], strict=True):
                assert row[0] == step["what"]
                assert agrees(row[4], step["value"]), row


def test_inputs_hashes_and_versions(site):
    page, found, _ = site
    (inputs,) = page.under("grounds", "Inputs as read")
    assert [row[0] for row in inputs.rows] == [entry["key"] for entry in found["inputs"]]
    for row, entry in zip(inputs.rows, found["inputs"], strict=True):
        if isinstance(entry["value"], int | float) and not isinstance(entry["value"], bool):
            assert float(row[1]) == pytest.approx(entry["value"], rel=1e-8), row
        assert ("◇" in row[2]) == (entry["origin"] not in ("list", "unit", "assumed"))
    hashes = page.facts("grounds", "Files and versions")
    for name, value in found["detail"]["hashes"].items():
        assert hashes[name[0].upper() + name[1:].lower()] == value
