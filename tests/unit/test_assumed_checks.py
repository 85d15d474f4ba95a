"""What assumed values do to checks and verdicts: conditions, and fails that nobody has confirmed."""

from dataclasses import replace

import pytest

from edgecheck.base.errors import InputFaults
from edgecheck.chain import Station, qualify
from edgecheck.checks.assumed import less, with_assumed
from edgecheck.checks.model import CheckResult
from edgecheck.checks.verdict import sentence
from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.assumed_values import apply_assumptions
from edgecheck.inputs.assumptions import Assumption, Assumptions, load_assumptions
from edgecheck.inputs.columns import COLUMNS
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.site_records import CellCaution, Site
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.screening.plan import plan_run
from edgecheck.weather.read import read_weather

HEAD = "site_id,latitude_deg,longitude_deg,front_azimuth_deg"
POSITION = "46.86,-32.91,180"
RESERVES = {
    "roof_reserve_kpa": 4.0, "roof_reserve_point_kn": 4.0, "roof_evidence": "calculation", "load_standard": "en",
    "en_ground_snow_kpa": 0, "free_length_m": 8, "free_width_m": 8, "edge_distance_m": 4,
}  # fmt: skip


def assumption(key, value, **more):
    return Assumption(key=key, value=value, by="the desk", why="a reason", **more)


def row(values, assumed=()):
    """A row of which the keys named are assumed."""
    entries = {key: assumption(key, values[key]) for key in assumed}
    return Site(row=2, site_id="A-1", values=dict(values), assumed=entries)


def judged(site, decide):
    """Results of one made-up roof check whose status, demand and note follow from the row."""

    def again(fewer, check_id):
        assert check_id == "roof.load"
        calls.append(tuple(fewer.values))
        return {"roof.load": decide(fewer)}

    calls: list[tuple[str, ...]] = []
    (found,) = with_assumed({"roof.load": decide(site)}, site, again).values()
    return found, calls


def result(status, demand=1.0, **more):
    return CheckResult(id="roof.load", status=status, demand=demand, **more)


# ------------------------------------------------------------------------------------------ made-up checks


def test_a_row_without_assumptions_is_left_alone():
    found, calls = judged(row({"roof_use": "plant"}), lambda site: result("fail"))
    assert found == result("fail")
    assert calls == []


def test_a_pass_stays_and_names_what_it_rests_on():
    site = row({"roof_reserve_kpa": 4.0}, ["roof_reserve_kpa"])
    found, _ = judged(site, lambda s: result("pass" if s.known("roof_reserve_kpa") else "not assessed"))
    assert found == result("pass", assumed=("roof_reserve_kpa",))


def test_a_key_without_influence_is_no_ground():
    """The reserve is stated; that the use is assumed changes nothing."""
    site = row({"roof_reserve_kpa": 4.0, "roof_use": "plant"}, ["roof_use"])
    found, calls = judged(site, lambda s: result("pass"))
    assert found.assumed == ()
    assert calls == [("roof_reserve_kpa",)]


def test_keys_that_only_matter_together_are_both_grounds():
    site = row({"roof_reserve_kpa": 4.0, "roof_use": "plant"}, ["roof_reserve_kpa", "roof_use"])
    found, _ = judged(site, lambda s: result("pass" if s.values else "not assessed"))
    assert found.assumed == ("roof_use", "roof_reserve_kpa")


def test_a_key_that_feeds_another_check_is_no_ground():
    site = row({"roof_reserve_point_kn": 4.0}, ["roof_reserve_point_kn"])
    found, calls = judged(site, lambda s: result("fail", demand=float(len(s.values))))
    assert found.assumed == ()
    assert found.status == "fail"
    assert calls == []


def test_a_column_that_no_check_uses_yet_is_no_ground(monkeypatch):
    column = replace(COLUMNS["load_standard"], used=False)
    monkeypatch.setattr("edgecheck.checks.assumed.columns", lambda: {"load_standard": column})
    site = row({"load_standard": "en"}, ["load_standard"])
    found, calls = judged(site, lambda s: result("pass", demand=float(len(s.values))))
    assert found.assumed == ()
    assert calls == []


def test_a_key_with_a_default_is_always_read():
    """Even where the assumed value is that of the default, so that nothing changes."""
    site = row({"recirculation": 0.05}, ["recirculation"])
    found = with_assumed({"heat.headroom": CheckResult("heat.headroom", "pass")}, site, lambda *_: {})
    assert found["heat.headroom"].assumed == ("recirculation",)


def test_a_fail_that_goes_away_is_not_assessed():
    site = row({"roof_reserve_kpa": 0.5, "landlord_max_kg": 900.0}, ["roof_reserve_kpa"])

    def decide(fewer):
        failing = fewer.known("roof_reserve_kpa")
        return (
            result("fail", note="Too much.", conditions=("x",))
            if failing
            else result("not assessed", missing=("y",))
        )

    found, _ = judged(site, decide)
    assert found == result(
        "not assessed",
        missing=("roof_reserve_kpa",),
        assumed=("roof_reserve_kpa",),
        note="Too much. Assumed, and with it this check would fail: roof_reserve_kpa = 0.5 by the desk (a reason).",
    )


def test_a_fail_that_stands_on_the_row_alone_stays():
    """Whatever somebody assumes about the reserve, the landlord's limit is exceeded."""
    site = row({"roof_reserve_kpa": 0.5, "landlord_max_kg": 1.0}, ["roof_reserve_kpa"])
    found, _ = judged(site, lambda s: result("fail", demand=float(len(s.values)), note="Too much."))
    assert found.status == "fail"
    assert found.assumed == ("roof_reserve_kpa",)
    assert found.note == "Too much. It fails without the assumed values too."


def test_other_checks_of_the_same_answer_are_not_computed_again():
    site = row({"recirculation": 0.4}, ["recirculation"])
    ids = ("heat.headroom", "heat.hot-spell", "outage.pump-lost")
    asked = []

    def again(fewer, check_id):
        asked.append((tuple(fewer.values), check_id))
        return {check: CheckResult(check, "pass") for check in ids}

    found = with_assumed({check: CheckResult(check, "fail") for check in ids}, site, again)
    assert [one.status for one in found.values()] == ["not assessed"] * 3
    assert list(found) == list(ids)
    assert asked == [((), "heat.headroom")]


def test_less_takes_only_assumed_values_and_their_cautions():
    cautions = tuple(CellCaution(key, "9", "why") for key in ("roof_reserve_kpa", "free_length_m"))
    site = replace(
        row({"roof_reserve_kpa": 40.0, "free_length_m": 200.0}, ["roof_reserve_kpa"]), cautions=cautions
    )
    fewer = less(site, ("roof_reserve_kpa", "free_length_m"))
    assert fewer.values == {"free_length_m": 200.0}
    assert fewer.cautions == cautions[1:]
    assert not fewer.assumed
    assert less(site, ()) == site


def test_a_reason_says_what_is_assumed():
    assert sentence(result("pass", assumed=("roof_use",))) == "Weight on the roof: 1 kPa. Assumed: roof_use."
    waiting = result("not assessed", assumed=("roof_use",), missing=("roof_use",))
    assert sentence(waiting) == "Weight on the roof: 1 kPa, not assessed, missing roof_use."


# ---------------------------------------------------------------------------------------- the whole chain


@pytest.fixture(scope="module")
def coast():
    return Station.of(read_weather(climate_files() / "temperate-coast.epw"))


@pytest.fixture(scope="module")
def unit():
    return load_unit(demo_inputs().unit)


@pytest.fixture(scope="module")
def criteria(tmp_path_factory):
    """Heat, outage and weight are required, all else is to confirm."""
    path = tmp_path_factory.mktemp("criteria") / "heat-and-weight.toml"
    required = ("heat.", "outage.", "roof.load", "roof.point-load")
    others = [check for check, need in load_criteria().need.items() if not check.startswith(required)]
    path.write_text("[need]\n" + "".join(f'"{check}" = "confirm"\n' for check in others))
    return load_criteria(path)


@pytest.fixture
def decide(coast, unit, criteria, tmp_path):
    """Result of a row with and without assumed values."""

    def decide(cells, *entries):
        path = tmp_path / "list.csv"
        given = {key: value for key, value in cells.items() if value is not None}
        path.write_text(
            f"{HEAD},{','.join(given)}\nA-1,{POSITION},{','.join(str(v) for v in given.values())}\n"
        )
        sites = load_sites(path)
        filled = apply_assumptions(sites, Assumptions(entries=entries)) if entries else sites
        return qualify(filled.sites[0], unit, coast, criteria)

    return decide


def check(found, check_id):
    return next(one for one in found.checks if one.id == check_id)


def status(found, check_id):
    return check(found, check_id).status


def test_a_site_that_rests_on_an_assumption_is_at_best_conditional(decide):
    stated = decide({**RESERVES, "landlord_max_kg": "none"})
    assumed = decide(
        {**RESERVES, "roof_reserve_kpa": None, "landlord_max_kg": "none"}, assumption("roof_reserve_kpa", 4.0)
    )
    assert status(stated, "roof.load") == status(assumed, "roof.load") == "pass"
    assert check(assumed, "roof.load").assumed == ("roof_reserve_kpa",)
    assert check(assumed, "roof.point-load").assumed == ()
    condition = "assumed and to be confirmed: roof_reserve_kpa = 4 by the desk (a reason)"
    assert condition in assumed.conditions
    assert condition not in stated.conditions
    assert assumed.verdict == "conditional"
    assert assumed.figures["assumed"] == ["roof_reserve_kpa"]
    assert stated.figures["assumed"] == []


def test_inputs_say_who_assumed_what_and_why(decide):
    """The price of electricity feeds no check."""
    entries = assumption("landlord_max_kg", 500.0), assumption("electricity_price_per_kwh", 0.3)
    found = decide(RESERVES, *entries)
    signed = {"origin": "assumed", "by": "the desk", "why": "a reason", "reason": "by the desk: a reason"}
    assert [entry for entry in found.inputs if entry["origin"] == "assumed"] == [
        {"key": entry.key, "value": entry.value, "used": COLUMNS[entry.key].used, **signed}
        for entry in entries
    ]
    assert found.figures["assumed"] == ["landlord_max_kg", "electricity_price_per_kwh"]
    assert not any("electricity_price_per_kwh" in text for text in found.conditions)
    assert not any("electricity_price_per_kwh" in one.assumed for one in found.checks)


def test_an_assumed_reserve_that_is_too_small_leaves_the_site_undecided(decide):
    few = {
        "member_span_m": 6,
        "member_spacing_m": 1.5,
        "landlord_max_kg": "none",
        "roof_reserve_point_kn": 4.0,
    }
    stated = decide({**few, "roof_reserve_kpa": 0.4})
    assumed = decide(few, assumption("roof_reserve_kpa", 0.4))
    assert (stated.verdict, status(stated, "roof.load")) == ("no-go", "fail")
    assert (assumed.verdict, status(assumed, "roof.load")) == ("undecided", "not assessed")
    load = check(assumed, "roof.load")
    assert load.missing == ("roof_reserve_kpa",)
    assert "with it this check would fail: roof_reserve_kpa = 0.4 by the desk (a reason)" in load.note
    assert load.demand == check(stated, "roof.load").demand
    assert any(text.startswith("roof_reserve_kpa: ") for text in assumed.to_survey)


def test_heat_that_fails_only_with_an_assumed_value_is_not_assessed(decide):
    stated = decide({**RESERVES, "it_load_kw": 8})
    assumed = decide(RESERVES, assumption("it_load_kw", 8.0))
    assert status(stated, "heat.headroom") == "fail"
    headroom = check(assumed, "heat.headroom")
    assert (headroom.status, headroom.missing, headroom.assumed) == (
        "not assessed",
        ("it_load_kw",),
        ("it_load_kw",),
    )
    assert assumed.verdict == "undecided"
    assert assumed.figures["headroom_share"] == stated.figures["headroom_share"]


def test_heat_that_fails_anyhow_fails(decide):
    found = decide({**RESERVES, "it_load_kw": 8}, assumption("recirculation", 0.1))
    assert status(found, "heat.headroom") == "fail"
    assert check(found, "heat.headroom").note.endswith("It fails without the assumed values too.")
    assert found.verdict == "no-go"


def test_a_landlords_limit_is_not_hidden_by_an_assumed_reserve(decide):
    found = decide({"landlord_max_kg": 100}, assumption("roof_reserve_kpa", 0.2))
    assert (found.verdict, found.governing_check) == ("no-go", "roof.load")


def test_an_unusual_assumed_value_is_a_caution(decide):
    found = decide(
        {**RESERVES, "landlord_max_kg": "none"}, assumption("recirculation", 0.35, caution="0.35: unusual")
    )
    headroom = check(found, "heat.headroom")
    assert (headroom.status, headroom.assumed) == ("caution", ("recirculation",))
    assert "0.35: unusual" in headroom.note


def test_an_assumed_load_above_the_units_says_whose_it_is(decide):
    with pytest.raises(InputFaults, match=r"it_load_kw: '20': .* assumed: it_load_kw = 20 by the desk"):
        decide(RESERVES, assumption("it_load_kw", 20.0))


# -------------------------------------------------------------------------------------------- planning a run


def test_a_run_takes_assumptions_and_names_their_file(tmp_path, unit):
    path, file = tmp_path / "list.csv", tmp_path / "signed.toml"
    path.write_text(f"{HEAD},Owner\nA-1,{POSITION},x\nA-2,{POSITION},y\n")
    file.write_text(
        '[[assume]]\nkey = "roof_use"\nvalue = "plant"\nby = "desk"\nwhy = "b"\nwhere = { Owner = "y" }\n'
    )
    plan = plan_run(load_sites(path), unit, climate_files(), assumptions=load_assumptions(file))
    assert [site.get("roof_use") for site in plan.site_list.sites] == [None, "plant"]
    assert [job.site.get("roof_use") for job in plan.jobs] == [None, "plant"]
    assert [entry["role"] for entry in plan.inputs] == ["sites", "unit", "assumptions"]
    assert plan.inputs[-1]["file"] == "signed.toml"
    bare = plan_run(load_sites(path), unit, climate_files())
    assert [entry["role"] for entry in bare.inputs] == ["sites", "unit"]


def test_a_run_reports_an_absent_column_with_its_other_faults(tmp_path, unit):
    path, file = tmp_path / "list.csv", tmp_path / "signed.toml"
    path.write_text(f"{HEAD}\nA-1,{POSITION}\n")
    file.write_text(
        '[[assume]]\nkey = "roof_use"\nvalue = "plant"\nby = "a"\nwhy = "b"\nwhere = { Owner = "y" }\n'
    )
    with pytest.raises(InputFaults) as caught:
        plan_run(load_sites(path), None, tmp_path / "none.epw", assumptions=load_assumptions(file))
    told = [fault.text() for fault in caught.value.faults]
    assert told[0] == "signed.toml, line 6, assume[1].where: 'Owner': list.csv has no such column"
    assert len(told) == 3
