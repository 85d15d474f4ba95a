"""From a half-empty list to questions, from answers back to verdicts; and a first pass over bare coordinates."""

import csv
from pathlib import Path

import pytest

from edgecheck.checks.result import Result
from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.answers import load_answers
from edgecheck.inputs.assumptions import load_assumptions
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.columns import COLUMNS
from edgecheck.inputs.criteria import Criteria, load_criteria
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.survey_columns import SURVEY_COLUMNS, SurveyItem
from edgecheck.inputs.unit import Unit, load_unit
from edgecheck.screening.plan import plan_run
from edgecheck.screening.run import Run, screen
from edgecheck.screening.survey import survey_rows

LIST = """\
site_id,name,Owner,latitude_deg,longitude_deg,it_load_kw,roof_use,roof_reserve_kpa,roof_reserve_point_kn,\
roof_design_imposed_kpa,roof_evidence,free_length_m,free_width_m,landlord_max_kg,load_standard,en_ground_snow_kpa
S-1,Bare,Quay,46.81,-32.95,,,,,,,,,,,
S-2,Bare too,Quay,46.82,-32.96,,,,,,,,,,,
S-3,Drawing,Quay,46.83,-32.97,,plant,,,5.5,,9,7,,en,0.2
S-4,Drawing too,Fern,46.84,-32.98,,plant,,,5.5,,9,7,,en,0.2
S-5,Known,Fern,46.85,-32.99,,plant,4,4,,calculation,9,7,none,en,0.2
S-6,No reserve,Fern,46.86,-33.01,,,,4,,survey,9,7,none,en,0.2
S-7,No reserve too,Fern,46.87,-33.02,,,,4,,survey,9,7,none,en,0.2
S-8,Owner says no,Fern,46.88,-33.03,,,,,,,9,7,100,,
S-9,Typed wrongly,Fern,468.9,-33.04,,plant,4,4,,calculation,9,7,none,en,0.2
"""
# What somebody finds out at every roof; a roof that carries the unit.
FOUND = {
    "latitude_deg": "46.89",
    "roof_reserve_kpa": "4.5",
    "roof_reserve_point_kn": "4.5",
    "roof_use": "plant",
    "roof_design_imposed_kpa": "6.5",
    "roof_existing_plant_kpa": "0.5",
    "roof_design_snow_kpa": "1.0",
    "roof_evidence": "survey",
    "landlord_max_kg": "none",
    "load_standard": "asce7-22",
    "asce_ground_snow_kpa": "0.1",
    "en_ground_snow_kpa": "0.1",
    "risk_category": "II",
    "member_span_m": "6",
    "member_spacing_m": "1.5",
    "free_length_m": "9",
    "free_width_m": "7",
    "edge_distance_m": "3",
    "roof_level_agl_m": "12",
    "asce_wind_speed_m_s": "51",
    "asce_exposure": "B",
    "en_wind_speed_m_s": "24",
    "en_terrain": "II",
    "friction_design": "0.4",
    "penetrations_allowed": "yes",
    "seismic_design_category": "B",
    "sds_g": "0.2",
    "component_importance": "1.0",
    "en_ground_acceleration_g": "0.02",
    "en_soil_factor": "1.2",
}
ANSWERED = ("S-1", "S-3", "S-6", "S-9")


@pytest.fixture(scope="module")
def unit() -> Unit:
    return load_unit(demo_inputs().unit)


@pytest.fixture(scope="module")
def criteria(tmp_path_factory: pytest.TempPathFactory) -> Criteria:
    """Heat, outage, space and weight are required, all else is to confirm."""
    path = tmp_path_factory.mktemp("criteria") / "heat-and-weight.toml"
    required = ("heat.", "outage.", "roof.space", "roof.load", "roof.point-load")
    others = [check for check in CHECK_IDS if not check.startswith(required)]
    path.write_text("[need]\n" + "".join(f'"{check}" = "confirm"\n' for check in others))
    return load_criteria(path)


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("desk") / "roofs.csv"
    path.write_text(LIST)
    return path


@pytest.fixture(scope="module")
def before(planned: Path, unit: Unit, criteria: Criteria) -> Run:
    return screen(plan_run(load_sites(planned, criteria), unit, climate_files(), criteria))


def answered(path: Path, items: list[SurveyItem]) -> Path:
    """The survey as a CSV file with answers to some of its questions."""
    with path.open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(SURVEY_COLUMNS)
        for item in items:
            cells = {**vars(item), "decides": "; ".join(item.decides)}
            writer.writerow([cells[name] for name in SURVEY_COLUMNS])
    return path


def fill(items: list[SurveyItem], chosen) -> list[SurveyItem]:
    """Answers to the chosen questions, as far as somebody found them out."""
    return [
        SurveyItem(**{**vars(item), "answer": FOUND[item.key]})
        if chosen(item) and item.key in FOUND
        else item
        for item in items
    ]


def again(run: Run, planned: Path, survey: Path) -> Run:
    """The same run with the answers."""
    criteria = run.plan.criteria
    merged = load_sites(planned, criteria, answers=load_answers(survey))
    return screen(plan_run(merged, run.plan.units[0], climate_files(), criteria))


def by_id(run: Run) -> dict[str, Result]:
    return {result.site_id: result for result in run.results}


def waits(run: Run, site: str) -> set[str]:
    """Required checks of a site that are not assessed."""
    need = run.plan.criteria.need
    checks = by_id(run)[site].checks
    return {check.id for check in checks if check.status == "not assessed" and need[check.id] == "required"}


def decisive(item: SurveyItem) -> bool:
    return "Decides: " in item.why or "cannot be used" in item.why


def test_the_list_leaves_roofs_undecided_and_asks_for_each(before):
    verdicts = {site: result.verdict for site, result in by_id(before).items()}
    assert verdicts == {
        "S-1": "undecided", "S-2": "undecided", "S-3": "undecided", "S-4": "undecided", "S-5": "conditional",
        "S-6": "undecided", "S-7": "undecided", "S-8": "no-go", "S-9": "unusable",
    }  # fmt: skip
    items = list(survey_rows(before))
    assert list(dict.fromkeys(item.site_id for item in items)) == sorted(verdicts)
    for site in verdicts:
        own = [item for item in items if item.site_id == site]
        assert [item.order for item in own] == list(range(1, len(own) + 1))
        assert len({item.key for item in own}) == len(own)
        promised = {check for item in own if decisive(item) for check in item.decides}
        assert waits(before, site) <= promised
        assert all(COLUMNS[item.key].used for item in own)
        assert all(
            item.question and item.who_knows and item.allowed and item.why and item.decides for item in own
        )


def test_verdicts_change_where_an_answer_was_given_and_nowhere_else(before, planned, tmp_path):
    items = fill(list(survey_rows(before)), lambda item: item.site_id in ANSWERED)
    assert any(item.answer for item in items)
    assert any(decisive(item) and not item.answer for item in items)
    after = again(before, planned, answered(tmp_path / "survey.csv", items))
    old, new = by_id(before), by_id(after)
    for site in old:
        if site in ANSWERED:
            assert old[site].verdict in ("undecided", "unusable")
            assert new[site].verdict in ("go", "conditional"), new[site].reason
            assert waits(after, site) == set()
        else:
            assert new[site].to_dict() == old[site].to_dict()
    assert {change.site_id for change in after.plan.site_list.changes} == set(ANSWERED)
    assert [entry["role"] for entry in after.plan.inputs] == ["sites", "survey", "unit", "criteria"]
    assert sorted(after.ranks.values()) == list(range(1, len(old) + 1))
    left = {item.site_id for item in survey_rows(after) if decisive(item)}
    assert left == {"S-2", "S-4", "S-7", "S-8"}


@pytest.mark.parametrize("instead", [False, True])
def test_what_is_said_to_decide_together_decides(before, planned, tmp_path, instead):
    """First only the shortest set of answers, then the one that may take its place."""

    def chosen(item: SurveyItem) -> bool:
        wanted = "instead of roof_reserve_kpa" in item.why
        return decisive(item) and (wanted if instead else "instead of" not in item.why)

    items = fill(list(survey_rows(before)), chosen)
    if instead:  # what the other checks wait for, and snow
        items = fill(items, lambda item: chosen(item) or (decisive(item) and item.key != "roof_reserve_kpa"))
    assert sum(bool(item.answer) for item in items) >= 8
    after = again(before, planned, answered(tmp_path / "survey.csv", items))
    for site, result in by_id(before).items():
        if result.verdict == "undecided":
            assert waits(after, site) == set(), by_id(after)[site].reason
            assert by_id(after)[site].verdict in ("go", "conditional")


def test_the_full_criteria_keep_the_promise_too(planned, unit, tmp_path):
    """A check may still wait only where it asked for something that nobody found out."""
    full = load_criteria()
    first = screen(plan_run(load_sites(planned, full), unit, climate_files(), full))
    items = fill(list(survey_rows(first)), decisive)
    after = again(first, planned, answered(tmp_path / "survey.csv", items))
    settled = set()
    for site, result in by_id(first).items():
        if result.verdict != "unusable":
            own = [item for item in items if item.site_id == site and decisive(item)]
            unanswered = {check for item in own if not item.answer for check in item.decides}
            assert waits(after, site) <= unanswered, by_id(after)[site].reason
            settled |= waits(first, site) - waits(after, site)
    assert {"roof.load", "roof.point-load", "roof.space", "stability.wind", "stability.seismic"} <= settled


def test_an_answer_takes_the_place_of_an_assumption(planned, unit, criteria, tmp_path):
    signed = tmp_path / "signed.toml"
    signed.write_text(
        "".join(
            f'[[assume]]\nkey = "{key}"\nvalue = {value}\nby = "desk"\nwhy = "usual"\nwhere = {{ Owner = "Fern" }}\n'
            for key, value in (("roof_reserve_kpa", "4.0"), ("landlord_max_kg", '"none"'))
        )
    )
    assumptions = load_assumptions(signed)
    sites = load_sites(planned, criteria)
    first = screen(plan_run(sites, unit, climate_files(), criteria, assumptions=assumptions))
    found = by_id(first)["S-6"]
    assert found.verdict == "conditional"
    assert found.figures["assumed"] == ["roof_reserve_kpa"]
    assert "assumed and to be confirmed: roof_reserve_kpa = 4 by desk (usual)" in found.conditions
    assert by_id(first)["S-1"].figures["assumed"] == []
    assert [entry["role"] for entry in first.plan.inputs] == ["sites", "unit", "criteria", "assumptions"]
    assert first.plan.site_list.cells["roof_reserve_kpa"].tolist()[5] == ""

    items = fill(list(survey_rows(first)), lambda item: item.site_id == "S-6")
    (asked,) = [item for item in items if item.site_id == "S-6" and item.key == "roof_reserve_kpa"]
    assert asked.why == "Assumed so far: roof_reserve_kpa = 4 by desk (usual)."
    survey = answered(tmp_path / "survey.csv", items)
    merged = load_sites(planned, criteria, answers=load_answers(survey))
    second = screen(plan_run(merged, unit, climate_files(), criteria, assumptions=assumptions))
    assert by_id(second)["S-6"].figures["assumed"] == []
    assert not any("assumed" in text for text in by_id(second)["S-6"].conditions)
    assert by_id(second)["S-7"].to_dict() == by_id(first)["S-7"].to_dict()


def test_a_first_pass_over_ids_and_coordinates(unit, tmp_path):
    """Heat and outage are decided, the owner can be asked, and every roof has a place of its own."""
    places = [
        (29.52, -38.41),
        (14.25, -41.22),
        (46.86, -32.91),
        (46.74, -33.12),
        (-17.52, -24.09),
        (51.66, -36.05),
    ]
    path = tmp_path / "bare.csv"
    rows = [f"P-{at},{latitude},{longitude}" for at, (latitude, longitude) in enumerate(places, start=1)]
    path.write_text("\n".join(["site_id,latitude_deg,longitude_deg", *rows]) + "\n")
    criteria = load_criteria("first-pass")
    run = screen(plan_run(load_sites(path, criteria), unit, climate_files(), criteria))
    assert not run.failed
    assert {result.verdict for result in run.results} == {"conditional", "no-go"}
    for result in run.results:
        assert {result.groups["heat"], result.groups["outage"]} <= {"go", "conditional", "no-go"}
        assert result.groups["roof"] == "conditional"
        assert result.reason
        for ask in ("asks_mass_kg", "asks_area_m2", "asks_kpa", "asks_point_kn", "asks_ampere"):
            assert result.asks[ask] > 0.0
            assert result.figures[ask] == result.asks[ask]
    assert sorted(run.ranks.values()) == [1, 2, 3, 4, 5, 6]
    order = sorted(run.results, key=lambda result: run.ranks[result.row])
    assert [result.verdict for result in order] == sorted(result.verdict for result in order)
    asked = list(survey_rows(run))
    assert {item.site_id for item in asked} == {f"P-{at}" for at in range(1, 7)}
    conditional = [item for item in asked if by_id(run)[item.site_id].verdict == "conditional"]
    assert "roof_reserve_kpa" in {item.key for item in conditional}
