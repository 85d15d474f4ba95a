"""Criteria: shipped sets with their reasons, files that override them, faults."""

import pickle
import shutil
from pathlib import Path

import pytest

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.criteria import load_criteria

EXAMPLES = Path(__file__).parents[1] / "data" / "examples"

REQUIRED = {
    "heat.headroom",
    "heat.hot-spell",
    "heat.operating-range",
    "heat.cold-spell",
    "outage.cooling-lost",
    "outage.pump-lost",
    "roof.space",
    "roof.load",
    "roof.point-load",
    "stability.wind",
    "stability.seismic",
    "services.feed",
}


@pytest.fixture
def write(tmp_path):
    def write(text):
        path = tmp_path / "mine.toml"
        path.write_text(text)
        return path

    return write


def faults(path):
    with pytest.raises(InputFaults) as caught:
        load_criteria(path)
    assert caught.value.exit_code == 2
    return [fault.text() for fault in caught.value.faults]


def test_the_full_set_requires_what_decides():
    criteria = load_criteria()
    assert criteria.name == "full"
    assert tuple(criteria.need) == CHECK_IDS
    assert {check for check, need in criteria.need.items() if need == "required"} == REQUIRED
    assert "off" not in criteria.need.values()
    assert criteria.named_needs == ()
    assert criteria.source_files == ()


def test_the_example_file_repeats_the_shipped_values():
    full, example = load_criteria("full"), load_criteria(EXAMPLES / "criteria.toml")
    assert example.values() == full.values()
    assert example.need == full.need
    assert example.name == "criteria.toml"
    assert example.named_needs == ("delivery.route",)
    assert example.origin["heat.return_years"] == "file"
    assert example.origin["need.delivery.route"] == "file"
    assert example.origin["need.roof.load"] == "shipped"
    assert [source.name for source in example.source_files] == ["criteria.toml"]


@pytest.mark.parametrize("name", ["full", "first-pass"])
def test_every_shipped_value_and_need_has_a_reason(name):
    criteria = load_criteria(name)
    keys = {*criteria.values(), *(f"need.{check}" for check in CHECK_IDS)}
    assert set(criteria.reasons) == set(criteria.origin) == keys
    assert all(criteria.reasons.values())
    assert set(criteria.origin.values()) == {"shipped"}


def test_first_pass_requires_nothing_of_the_building():
    full, first = load_criteria("full"), load_criteria("first-pass")
    assert first.name == "first-pass"
    assert first.values() == full.values()
    for check in CHECK_IDS:
        if check.split(".")[0] in ("roof", "stability", "delivery", "services"):
            assert first.need[check] == "confirm"
        else:
            assert first.need[check] == full.need[check]


def test_a_file_overrides_what_it_names(write):
    criteria = load_criteria(
        write(
            '[heat]\nheadroom_min_share = 0.12\n[need]\n"roof.load" = "off"\n'
            '[reason]\n"heat.headroom_min_share" = "our own margin"\n'
        )
    )
    assert criteria.heat.headroom_min_share == 0.12
    assert criteria.heat.headroom_caution_share == 0.15
    assert criteria.need["roof.load"] == "off"
    assert criteria.named_needs == ("roof.load",)
    assert criteria.origin["heat.headroom_min_share"] == "file"
    assert criteria.origin["heat.headroom_caution_share"] == "shipped"
    assert criteria.reasons["heat.headroom_min_share"] == "our own margin"
    assert criteria.reasons["need.roof.load"] == ""


def test_a_need_of_any_check_is_accepted(write):
    assert load_criteria(write('[need]\n"services.voltage-drop" = "required"\n')).named_needs == (
        "services.voltage-drop",
    )


def test_criteria_are_frozen_and_can_be_sent_to_another_process():
    criteria = load_criteria()
    with pytest.raises(ValueError, match="frozen"):
        criteria.heat.return_years = 50
    assert pickle.loads(pickle.dumps(criteria)) == criteria


def test_all_faults_with_their_lines(write):
    path = write(
        """schema = 1
[heat]
headrom_min_share = 0.1
return_years = 0.5
[outage]
ride_through_min_minutes = 16.0
restart_max_h = "four"
[need]
"roof.lod" = "off"
"roof.load" = "confrm"
stability.wind = "off"
[extra]
x = 1
"""
    )
    assert faults(path) == [
        "mine.toml, line 12, extra: unknown key",
        "mine.toml, line 3, heat.headrom_min_share: '0.1': unknown key; did you mean headroom_min_share?",
        "mine.toml, line 9, need.roof.lod: 'off': there is no such check; did you mean roof.load?",
        "mine.toml, line 10, need.roof.load: 'confrm': required, confirm or off is allowed; "
        "did you mean confirm?",
        'mine.toml, line 11, need.stability: a check id is written in quotes, such as "stability.wind"',
        "mine.toml, line 4, heat.return_years: '0.5': must be greater than 1 (return period of the extremes, "
        "years)",
        "mine.toml, line 7, outage.restart_max_h: 'four': a number is needed (longest time from the return of "
        "power to servers on, h)",
    ]


@pytest.mark.parametrize(
    "text, found",
    [
        (
            "[outage]\nride_through_min_minutes = 16.0\n",
            "mine.toml, line 1, outage.ride_through_caution_minutes: '15.0': "
            "must be at least ride_through_min_minutes, 16",
        ),
        (
            "[heat]\nheadroom_caution_share = 0.05\n",
            "mine.toml, line 2, heat.headroom_caution_share: '0.05': must be at least headroom_min_share, 0.1",
        ),
        ("[heat]\nreturn_years = nan\n", "mine.toml, line 2, heat.return_years: 'nan': "),
        (
            "[roof]\nutilisation_caution = true\n",
            "mine.toml, line 2, roof.utilisation_caution: 'true': a number",
        ),
        ("heat = 3\n", "mine.toml, line 1, heat: '3': must be a table, [heat]"),
        ("schema = 2\n", "mine.toml, line 1, schema: '2': this program reads schema 1"),
        ('[reason]\n"heat.x" = "y"\n', "mine.toml, line 2, reason.heat.x: 'y': unknown key"),
        ("[heat\n", "mine.toml, line 1: this is not valid TOML: "),
    ],
)
def test_single_faults(write, text, found):
    texts = faults(write(text))
    assert len(texts) == 1
    assert texts[0].startswith(found)


def test_a_name_that_is_no_set_and_no_file(tmp_path):
    with pytest.raises(InputFaults) as caught:
        load_criteria("first-pas")
    assert str(caught.value) == (
        "first-pas: there is no such file, and the shipped sets are full and first-pass; did you mean first-pass?"
    )


def test_a_path_may_be_text(tmp_path):
    shutil.copy(EXAMPLES / "criteria.toml", tmp_path / "criteria.toml")
    assert load_criteria(str(tmp_path / "criteria.toml")).heat.return_years == 20
