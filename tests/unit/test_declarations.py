"""The table of checks: identifiers, order, need, stars; held against a table written out here."""

import pytest

from edgecheck.checks.declarations import CHECKS, check_of
from edgecheck.checks.model import GROUPS, Check, outcome
from edgecheck.inputs.check_ids import CHECK_IDS, GROUP_NAMES
from edgecheck.inputs.columns import columns
from edgecheck.inputs.criteria import load_criteria

# id, need in the shipped set "full" (R required, C confirm; * at worst a caution)
TABLE = """
heat.weather              C*
heat.station              C*
heat.headroom             R
heat.hot-spell            R
heat.operating-range      R
heat.cold-spell           R
heat.cycling              C*
outage.cooling-lost       R
outage.pump-lost          R
outage.restart            C
outage.winter-start       C*
outage.condensation       C*
environment.class         C*
environment.corrosion     C*
roof.space                R
roof.load                 R
roof.point-load           R
roof.bearing              C
roof.member-share         C*
stability.wind            R
stability.seismic         R
delivery.route            C
delivery.lifting          C*
services.feed             R
services.starting         C
services.voltage-drop     C
services.sound-night      C
services.sound-evening    C
services.sound-day        C
services.containment      C
services.clearance        C
"""
ROWS = [tuple(line.split()) for line in TABLE.strip().splitlines()]
WORD = {"R": "required", "C": "confirm"}
BUILDING = ("roof", "stability", "delivery", "services")


def test_identifiers_stand_once_and_in_the_order_of_the_table():
    assert [check.id for check in CHECKS] == [check_id for check_id, _ in ROWS]
    assert [check.id for check in CHECKS] == list(CHECK_IDS)
    assert tuple(dict.fromkeys(check.group for check in CHECKS)) == GROUPS == GROUP_NAMES


@pytest.mark.parametrize("check_id, need", ROWS)
def test_need_and_star(check_id, need):
    assert load_criteria("full").need[check_id] == WORD[need[0]]
    assert check_of(check_id).at_worst == ("caution" if need.endswith("*") else None)


@pytest.mark.parametrize("name", ["full", "first-pass"])
def test_the_shipped_sets_name_every_check_and_no_other(name):
    assert list(load_criteria(name).need) == list(CHECK_IDS)


def test_first_pass_requires_nothing_of_the_building():
    full, first = load_criteria("full").need, load_criteria("first-pass").need
    for check in CHECKS:
        wanted = "confirm" if check.group in BUILDING else full[check.id]
        assert first[check.id] == wanted


def test_only_lifting_is_of_the_unit():
    assert [check.id for check in CHECKS if check.of_unit] == ["delivery.lifting"]


def test_the_table_of_checks():
    assert [check.id for check in CHECKS] == [
        "heat.weather", "heat.station", "heat.headroom", "heat.hot-spell", "heat.operating-range",
        "heat.cold-spell", "heat.cycling", "outage.cooling-lost", "outage.pump-lost", "outage.restart",
        "outage.winter-start", "outage.condensation", "environment.class", "environment.corrosion", "roof.space",
        "roof.load", "roof.point-load", "roof.bearing", "roof.member-share", "stability.wind",
        "stability.seismic", "delivery.route", "delivery.lifting", "services.feed", "services.starting",
        "services.voltage-drop", "services.sound-night", "services.sound-evening", "services.sound-day",
        "services.containment", "services.clearance",
    ]  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.id)
def test_a_check_says_where_it_comes_from_and_what_would_settle_it(check: Check):
    assert check.title
    assert check.basis
    assert check.inputs or check.of_unit
    assert all(key in columns() for alternative in check.inputs for key in alternative)


def test_columns_feed_known_checks_only_and_every_check_is_fed():
    fed = {check_id for column in columns().values() for check_id in column.feeds}
    assert fed == set(CHECK_IDS)
    for check in CHECKS:
        keys = {key for alternative in check.inputs for key in alternative}
        assert all(check.id in columns()[key].feeds for key in keys - {"weather"}), check.id


def test_a_star_turns_a_failure_into_a_caution():
    for check in CHECKS:
        found = outcome(check, "fail", 2.0, 1.0)
        assert found.status == ("caution" if check.at_worst else "fail")


@pytest.mark.parametrize(
    "check_id, demand, limit, spare, utilisation",
    [
        ("roof.load", 3.0, 2.0, -1.0, 1.5),  # at most, true zero
        ("roof.load", 2.0, 2.0, 0.0, 1.0),
        ("roof.load", 2.0, 0.0, -2.0, None),  # nothing to divide by
        ("heat.headroom", 0.2, 0.1, 0.1, 0.5),  # at least: limit over demand
        ("heat.headroom", -0.2, 0.1, -0.3, None),
        ("heat.hot-spell", 42.0, 52.0, 10.0, None),  # degrees have no true zero
        ("heat.cold-spell", 40.0, -15.0, 55.0, None),
        ("outage.cooling-lost", 8.0, 10.0, -2.0, 1.25),
        ("outage.cooling-lost", float("inf"), 10.0, float("inf"), None),
    ],
)
def test_spare_is_not_negative_where_the_limit_is_met(check_id, demand, limit, spare, utilisation):
    check = check_of(check_id)
    found = outcome(check, "pass", demand, limit)
    assert found.spare == pytest.approx(spare)
    assert found.utilisation == (None if utilisation is None else pytest.approx(utilisation))
    assert (found.spare >= 0.0) == (demand <= limit if check.sense == "at most" else demand >= limit)


def test_no_spare_without_a_limit_or_a_number():
    check = check_of("roof.load")
    for demand, limit in ((3.0, None), (None, 2.0), (float("nan"), 2.0), (3.0, float("nan"))):
        found = outcome(check, "not assessed", demand, limit)
        assert (found.spare, found.utilisation) == (None, None)


def test_an_unknown_check_is_an_error():
    with pytest.raises(KeyError):
        check_of("heat.humidity")
