"""The key of a row changes with everything its result rests on, and with nothing else."""

from dataclasses import replace
from pathlib import Path

import pytest

from edgecheck.checks import result as results
from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.assumptions import load_assumptions
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.screening import keys
from edgecheck.screening.keys import Keys, canonical
from edgecheck.screening.plan import plan_run

HEADINGS = "site_id,latitude_deg,longitude_deg,roof_reserve_kpa,owner"
ROW = "A,46.8,-32.9,2.5,Reed & Daughters"


@pytest.fixture
def plan_of(tmp_path: Path):
    def made(text: str, unit: Path | None = None, criteria=None, assumptions: str = ""):
        path = tmp_path / "roofs.csv"
        path.write_text(text, encoding="utf-8")
        chosen = None
        if assumptions:
            (tmp_path / "assume.toml").write_text(assumptions, encoding="utf-8")
            chosen = load_assumptions(tmp_path / "assume.toml")
        return plan_run(
            load_sites(path),
            load_unit(unit or demo_inputs().unit),
            climate_files(),
            criteria,
            assumptions=chosen,
        )

    return made


def key(plan, weather: str = "ab", at: int = 0) -> str:
    return Keys(plan).of(plan.jobs[at], weather)


@pytest.fixture
def first(plan_of) -> str:
    return key(plan_of(f"{HEADINGS}\n{ROW}\n"))


def test_equal_rows_have_equal_keys_wherever_they_stand(plan_of, first) -> None:
    assert key(plan_of(f"{HEADINGS}\n{ROW}\n")) == first
    assert key(plan_of(f"{HEADINGS}\nB,46.8,-32.9,1,x\n{ROW}\n"), at=1) == first
    assert (
        key(plan_of(f"owner,{HEADINGS.removesuffix(',owner')}\nReed & Daughters,A,46.8,-32.9,2.5\n")) == first
    )
    other = plan_of(f"{HEADINGS}\n{ROW.replace('2.5', '2.50')}\n")
    assert key(other) == first


@pytest.mark.parametrize(
    "text",
    [
        f"{HEADINGS}\n{ROW.replace('2.5', '2.6')}\n",
        f"{HEADINGS}\n{ROW.replace('2.5', '')}\n",
        f"{HEADINGS}\n{ROW.replace('A,', 'A2,')}\n",
        f"{HEADINGS},elevation_m\n{ROW},\n{ROW.replace('A,', 'B,')},7\n".replace("A,46.8", "A,46.9"),
        f"{HEADINGS},free_lenght_m\n{ROW},\n",
        f"{HEADINGS},name\n{ROW},Tide mill\n",
        f"{HEADINGS},insulation_type\n{ROW},straw\n",
    ],
)
def test_another_row_has_another_key(plan_of, first, text) -> None:
    assert key(plan_of(text)) != first


def test_weather_criteria_unit_and_version_are_in_the_key(plan_of, first, tmp_path, monkeypatch) -> None:
    text = f"{HEADINGS}\n{ROW}\n"
    assert key(plan_of(text), weather="cd") != first
    assert key(plan_of(text, criteria=load_criteria("first-pass"))) != first
    unit = tmp_path / "unit.toml"
    unit.write_text(demo_inputs().unit.read_text(encoding="utf-8") + "\n# a remark\n", encoding="utf-8")
    assert key(plan_of(text, unit=unit)) != first
    plan = plan_of(text)
    moved = replace(plan, jobs=(replace(plan.jobs[0], weather=Path("other.epw")),))
    assert key(moved) != first
    assert keys.RESULTS_VERSION == results.RESULTS_VERSION
    monkeypatch.setattr(keys, "RESULTS_VERSION", results.RESULTS_VERSION + 1)
    assert key(plan_of(text)) != first


ASSUME = """schema = 1
[[assume]]
key = "en_wind_speed_m_s"
value = 27.0
by = "{by}"
why = "national map"
"""


def test_assumed_values_are_in_the_key_with_who_answers_for_them(plan_of, first) -> None:
    text = f"{HEADINGS}\n{ROW}\n"
    one = key(plan_of(text, assumptions=ASSUME.format(by="I. Fen")))
    other = key(plan_of(text, assumptions=ASSUME.format(by="O. Marsh")))
    moved = key(plan_of(text, assumptions="# remark\n" + ASSUME.format(by="I. Fen")))
    assert len({first, one, other}) == 3
    assert moved == one


def test_none_is_not_the_text_none() -> None:
    assert canonical({"a": DOES_NOT_APPLY}) != canonical({"a": "none"})
    assert canonical({"b": 1.0, "a": (1, 2)}) == canonical({"a": [1, 2], "b": 1.0})
    with pytest.raises(TypeError, match="no canonical text"):
        canonical(object())
