"""Status, demand and words of the containment check for rows that each settle one question; made-up values."""

from pathlib import Path

import pytest
from asked import asked
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.base.liquids import liquids
from edgecheck.chain import liquid_of
from edgecheck.checks.containment import CONTAINMENT, containment_check, containment_detail
from edgecheck.checks.survey_words import ELSEWHERE, wanted
from edgecheck.inputs.columns import columns
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.inputs.unit_records import LiquidProperties
from edgecheck.services.containment import largest_volume, needed, rain_volume, roof_containment, tray
from edgecheck.services.containment_rules import RULES, rule_named

EXAMPLE = load_unit(Path(__file__).parent.parent / "data" / "examples" / "unit.toml")
CRITERIA = load_criteria("full")
LIQUID = liquids()["synthetic-hydrocarbon-4"]
HOT = 118.0 * 815.0 / (815.0 - 0.62 * 50.0)  # l at 70 degC
NEED = 1.1 * HOT  # 134.9 l


def unit(volume=118.0, properties=None, **mass):
    liquid = EXAMPLE.liquid.model_copy(update={"volume_litre": volume, "properties": properties})
    return EXAMPLE.model_copy(update={"mass": EXAMPLE.mass.model_copy(update=mass), "liquid": liquid})


def check(row=None, one=None, liquid=LIQUID):
    return containment_check(Site(row=2, site_id="X", values=row or {}), one or unit(), liquid, CRITERIA)


def test_a_roofed_tray_that_holds_the_practice_value_passes():
    found = check()
    assert found.status == "pass"
    assert found.demand == pytest.approx(NEED, abs=1e-5)
    assert found.limit == 135.0
    assert found.utilisation == pytest.approx(NEED / 135.0)
    assert "118 l become 122.7 l at 70 degC" in found.note


def test_a_tray_that_misses_the_practice_value_is_a_caution_with_the_litres():
    found = check(one=unit(tray_litre=130.0))
    assert found.status == "caution"
    assert found.spare == pytest.approx(130.0 - NEED, abs=1e-5)
    assert "135 l beside the rain" in asked(found)
    assert check({"containment_litre": 20.0}, unit(tray_litre=130.0)).status == "caution"


def test_nothing_known_shows_the_demand_and_asks():
    found = check(one=unit(tray_litre=None))
    assert (found.status, found.missing, found.limit) == ("not assessed", ("containment_litre",), None)
    assert found.demand == pytest.approx(NEED, abs=1e-5)
    assert wanted(found, "containment_litre", alone=True).startswith(" 134.94 ")


def test_what_the_roof_holds_back_is_confirmed_beside_the_rain():
    for row in ({}, {"design_rain_mm": 0.0}, {"design_rain_mm": 60.0}):
        found = check({"containment_litre": 500.0, **row}, unit(tray_litre=None))
        assert found.status == "caution"
        assert "the roof holds 135 l beside the rain that falls on it" in asked(found)
        assert found.limit == 500.0
    assert "60 mm are 60 l on every m2" in found.governed_by
    assert check({"containment_litre": 0.0}, unit(tray_litre=None)).status == "caution"


def test_rain_on_an_open_tray_is_added():
    storm = {"design_rain_mm": 50.0}
    found = check(storm, unit(tray="open", tray_litre=180.0))
    assert found.demand == pytest.approx(NEED + 1.2 * 0.8 * 50.0, abs=1e-5)
    assert (found.status, found.limit) == ("caution", 180.0)
    assert check(storm, unit(tray="open", tray_litre=183.0)).status == "pass"
    assert check(storm, unit(tray="open", tray_litre=180.0, tray_area_m2=0.5)).status == "pass"
    unknown = check({}, unit(tray="open", tray_litre=183.0))
    assert (unknown.status, unknown.missing) == ("not assessed", ("design_rain_mm",))
    assert check(storm).demand == pytest.approx(NEED, abs=1e-5)  # roofed: no rain


def test_a_tray_that_nobody_calls_roofed_passes_only_with_the_rain():
    doubtful = unit(tray="unknown", tray_litre=160.0)
    assert check({}, doubtful).missing == ("design_rain_mm",)
    assert check({"design_rain_mm": 20.0}, doubtful).status == "pass"
    wet = check({"design_rain_mm": 60.0}, doubtful)
    assert wet.status == "caution"
    assert "roofed" in asked(wet)


LARGE = unit(250.0, tray_litre=255.0)  # 286 l by practice, 260 l at the largest expansion


@pytest.mark.parametrize(
    "name, share",
    [("England-2001", 1.1), ("Scotland", 1.1), ("SPCC", 1.0), ("AwSV", 1.0), ("40 CFR 264.175", 1.0)],
)
def test_a_rule_whose_threshold_is_reached_fails_the_site(name, share):
    row = {"containment_rule": name, "containment_litre": 0.0}
    found = check(row, LARGE)
    assert found.status == "fail"
    hot = HOT * 250.0 / 118.0
    assert f"{name} asks for {share * hot:.0f} l" in found.note
    assert check({"containment_rule": name}, LARGE).missing == ("containment_litre",)
    assert check(row, unit(250.0, tray_litre=None)).missing == ("unit: mass.tray_litre",)
    assert check(row, unit(250.0, tray_litre=share * hot + 1e-5)).status in ("caution", "pass")
    assert check(row, unit(250.0, tray_litre=1.1 * hot + 1e-5)).status == "pass"


@pytest.mark.parametrize("name", ["England-2001", "Scotland", "SPCC", "AwSV"])
def test_a_rule_whose_threshold_is_not_reached_fails_nothing(name):
    found = check({"containment_rule": name, "containment_litre": 0.0}, unit(tray_litre=10.0))
    assert found.status == "caution"
    assert f"{name} holds from" in found.note
    assert "does not reach this unit" in found.note
    assert check({"containment_rule": name}).status == "pass"


def test_the_landlord_asks_for_the_practice_value():
    row = {"containment_rule": "Landlord", "containment_litre": 0.0}
    assert check(row, unit(tray_litre=130.0)).status == "fail"
    assert check(row).status == "pass"


@pytest.mark.parametrize("written", ["england 2001", "ENGLAND_2001", "SI 2001/2954", "England"])
def test_names_are_read_without_case_and_punctuation(written):
    assert rule_named(written).name == "England-2001"


def test_every_rule_is_found_by_its_names_and_no_two_share_one():
    names = [name for rule in RULES for name in (rule.name, *rule.aliases)]
    assert [rule_named(name).name for name in names] == [
        rule.name for rule in RULES for _ in (rule.name, *rule.aliases)
    ]
    assert rule_named("Freistaat") is None
    for rule in RULES:
        assert rule.name in columns()["containment_rule"].question


def test_an_unknown_rule_is_a_caution_by_the_practice_value():
    found = check({"containment_rule": "House rule 7"})
    assert found.status == "caution"
    assert found.demand == pytest.approx(NEED, abs=1e-5)
    assert '"House rule 7" is not known here; the practice value was used' in asked(found)


def test_a_liquid_without_expansion_never_passes():
    own = LiquidProperties(density_kg_m3=815.0, heat_capacity_j_kg_k=2070.0)
    still = unit(properties=own)
    found = check({}, still, liquid_of(still))
    assert (found.status, found.missing) == ("not assessed", ("unit: liquid.properties.expansion_per_k",))
    short = unit(properties=own, tray_litre=100.0)
    assert check({}, short, liquid_of(short)).status == "caution"
    absurd = unit(properties=own.model_copy(update={"expansion_per_k": 0.05}))
    assert check({}, absurd, liquid_of(absurd)).status == "not assessed"


def test_what_is_missing_in_the_unit_file_has_a_question():
    for key in ("unit: mass.tray_litre", "unit: liquid.properties.expansion_per_k"):
        assert key in ELSEWHERE


def test_the_practice_value_is_the_criteria():
    services = CRITERIA.services.model_copy(update={"containment_min_share": 1.0})
    mild = CRITERIA.model_copy(update={"services": services})
    one = unit(tray_litre=123.0)
    assert containment_check(Site(row=2, site_id="X", values={}), one, LIQUID, mild).status == "pass"
    assert check({}, one).status == "caution"


def test_detail_agrees_with_the_check():
    site = Site(row=2, site_id="X", values={"containment_rule": "AwSV", "design_rain_mm": 50.0})
    detail = containment_detail(site, unit(tray="open", tray_litre=190.0), LIQUID, CRITERIA)
    found = containment_check(site, unit(tray="open", tray_litre=190.0), LIQUID, CRITERIA)
    (holder,) = detail["holders"]
    assert detail["practice_litre"] + holder["rain_litre"] == pytest.approx(found.demand)
    assert holder["litre"] == found.limit
    assert detail["rule"]["required_litre"] is None
    assert detail["density_hottest_kg_m3"] == pytest.approx(784.0)


def test_densities_that_are_none_are_refused():
    for density in (0.0, -1.0, float("nan"), float("inf")):
        with pytest.raises(ValueError, match="density"):
            largest_volume(100.0, 815.0, density)


def test_declaration():
    assert CONTAINMENT.title == "Liquid against the tray"
    assert (CONTAINMENT.sense, CONTAINMENT.unit, CONTAINMENT.at_worst) == ("at most", "litre", None)
    assert CONTAINMENT.basis


# --- what must hold of every row ---

litres = st.floats(1.0, 2000.0)
rules = st.sampled_from([*(one.name for one in RULES), "House rule 7"])
ROWS = st.fixed_dictionaries(
    {},
    optional={
        "containment_litre": st.floats(0.0, 1000.0),
        "containment_rule": rules,
        "design_rain_mm": st.floats(0.0, 300.0),
    },
)
UNITS = st.builds(
    unit,
    st.floats(50.0, 400.0),
    tray=st.sampled_from(["integral", "open", "unknown"]),
    tray_litre=st.one_of(st.none(), st.floats(0.0, 800.0)),
)


@given(litres, st.floats(700.0, 1000.0), st.floats(1.0, 200.0), st.floats(0.0, 100.0), st.sampled_from(RULES))
def test_more_expansion_never_needs_less(filled, cold, less, still_less, rule):
    small, large = (largest_volume(filled, cold, cold - one) for one in (less, less + still_less))
    assert large >= small >= filled
    one, other = (needed(filled, volume, 1.1, rule) for volume in (small, large))
    assert other.most >= one.most
    assert (other.ruled or 0.0) >= (one.ruled or 0.0)


@given(
    st.floats(0.1, 5.0), st.floats(0.0, 300.0), st.floats(0.0, 300.0), st.sampled_from(["open", "unknown"])
)
def test_more_rain_never_leaves_more_room(area, depth, more, kind):
    light, heavy = (tray(300.0, kind, area, one) for one in (depth, depth + more))
    assert heavy.rain_most >= light.rain_most
    assert heavy.rain_least >= light.rain_least
    assert tray(300.0, kind, area, None).rain_most == float("inf")
    assert rain_volume(area, depth + more) >= rain_volume(area, depth)
    assert not roof_containment(1e9, depth).surely_holds(0.0)


ORDER = {"pass": 0, "caution": 1, "fail": 2}


@given(ROWS, UNITS)
def test_emptying_a_cell_never_helps(row, one):
    was = check(row, one)
    for key in row:
        if key == "containment_rule":
            continue  # empty: no rule, which is said to be so
        becomes = check({name: cell for name, cell in row.items() if name != key}, one)
        assert becomes.status != "pass" or was.status == "pass", key
        assert becomes.status != "caution" or was.status == "caution", key
        if becomes.status == "not assessed" and was.status != "not assessed":
            assert key in becomes.missing


@given(ROWS, UNITS, st.floats(0.0, 300.0))
def test_more_rain_or_a_smaller_tray_never_helps(row, one, more):
    row = {"design_rain_mm": 0.0, **row}
    was = check(row, one)
    wetter = check({**row, "design_rain_mm": row["design_rain_mm"] + more}, one)
    found = [wetter]
    if one.mass.tray_litre is not None:
        mass = one.mass.model_copy(update={"tray_litre": one.mass.tray_litre / 2.0})
        found.append(check(row, one.model_copy(update={"mass": mass})))
    for becomes in found:
        if was.status in ORDER and becomes.status in ORDER:
            assert ORDER[becomes.status] >= ORDER[was.status]


@given(ROWS, UNITS)
def test_every_result_is_whole(row, one):
    found = check(row, one)
    assert found.demand is not None
    assert found.note
    if found.status == "caution":
        assert found.conditions
    if found.status == "not assessed":
        assert found.missing
        assert all(key in columns() or key in ELSEWHERE for key in found.missing)
    if found.status == "fail":
        assert rule_named(row["containment_rule"]).reaches(one.liquid.volume_litre * 1.05)
    if found.status == "pass":
        assert found.spare >= 0.0
