"""From check results to verdicts: site, groups, governing check, reason, conditions. Made-up results."""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from edgecheck.checks.declarations import CHECKS, check_of
from edgecheck.checks.model import GROUPS, CheckResult, Status, outcome
from edgecheck.checks.verdict import sentence, site_verdict, verdict_of
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.criteria import load_criteria

NEED = load_criteria("full").need
REQUIRED = frozenset(key for key, need in NEED.items() if need == "required")
WITHOUT_SERVICES = tuple(check.id for check in CHECKS if check.group != "services")
NOT_COVERED = "not covered: services.feed"


def result(check_id: str, status: Status = "pass", utilisation: float | None = None, **more) -> CheckResult:
    return CheckResult(id=check_id, status=status, utilisation=utilisation, **more)


def results(ids: tuple[str, ...] = CHECK_IDS, **changed) -> dict[str, CheckResult]:
    """All pass but those given; keys with __ for the dot and _ for the dash."""
    found = {check_id: result(check_id) for check_id in ids}
    for key, given in changed.items():
        check_id = key.replace("__", ".").replace("_", "-")
        assert check_id in found
        found[check_id] = result(check_id, given) if isinstance(given, str) else replace(given, id=check_id)
    return found


def need(**changed: str) -> Mapping[str, str]:
    return NEED | {key.replace("__", ".").replace("_", "-"): value for key, value in changed.items()}


def judge(found: dict[str, CheckResult], needs: Mapping[str, str] = NEED):
    return site_verdict(found, needs, REQUIRED)


@pytest.mark.parametrize(
    "changed, verdict, governing",
    [
        ({}, "go", ""),
        ({"heat__headroom": "not applicable"}, "go", ""),
        ({"heat__headroom": "fail"}, "no-go", "heat.headroom"),
        ({"heat__headroom": "fail", "roof__load": "not assessed"}, "no-go", "heat.headroom"),
        ({"roof__load": "not assessed"}, "undecided", "roof.load"),
        ({"roof__load": "not assessed", "heat__cycling": "caution"}, "undecided", "roof.load"),
        ({"roof__bearing": "fail"}, "no-go", "roof.bearing"),  # a confirm check that fails is a no-go too
        ({"roof__bearing": "not assessed"}, "conditional", "roof.bearing"),
        ({"heat__cycling": "caution"}, "conditional", "heat.cycling"),
        ({"roof__bearing": "not assessed", "heat__cycling": "caution"}, "conditional", "heat.cycling"),
        ({"heat__headroom": result("", "pass", assumed=("it_load_kw",))}, "conditional", "heat.headroom"),
        ({"delivery__lifting": "caution"}, "go", ""),  # of the unit
        ({"delivery__lifting": "not assessed"}, "conditional", "delivery.lifting"),
    ],
)
def test_the_rule(changed, verdict, governing):
    found = judge(results(**changed))
    assert found.verdict == verdict
    assert found.governing_check == governing
    assert verdict_of(CHECKS, results(**changed), NEED, REQUIRED) == verdict


@pytest.mark.parametrize("status", ["pass", "caution", "fail", "not assessed"])
def test_a_check_that_is_off_has_no_effect_but_keeps_the_site_conditional(status):
    found = judge(results(heat__headroom=status), need(heat__headroom="off"))
    assert found.verdict == "conditional"
    assert found.conditions == ("switched off by the criteria: heat.headroom",)
    assert found.groups["heat"] == "conditional"
    assert found.governing_check == ""
    assert found.reason == "Switched off by the criteria: heat.headroom."


def test_a_confirm_check_that_is_off_is_no_gap():
    found = judge(results(roof__bearing="fail"), need(roof__bearing="off"))
    assert (found.verdict, found.conditions) == ("go", ())


def test_criteria_that_require_less_do_not_take_a_check_off_the_list_of_what_must_be_covered():
    """Under other criteria a confirm check without a result still keeps the site conditional."""
    first = load_criteria("first-pass").need
    found = judge(results(WITHOUT_SERVICES), first)
    assert found.verdict == "conditional"
    assert found.conditions == (NOT_COVERED,)


def test_what_has_no_result_is_not_covered_and_never_go():
    found = judge(results(WITHOUT_SERVICES))
    assert found.groups == {
        "heat": "go", "outage": "go", "environment": "go", "roof": "go",
        "stability": "go", "delivery": "go", "services": "not covered",
    }  # fmt: skip
    assert found.verdict == "conditional"
    assert found.governing_check == ""
    assert found.reason == f"{NOT_COVERED.capitalize()}."


def test_groups_off_and_not_applicable():
    needs = need(stability__wind="off", stability__seismic="off")
    assert judge(results(), needs).groups["stability"] == "off"
    barred = results(stability__wind="not applicable", stability__seismic="not applicable")
    found = judge(barred)
    assert found.groups["stability"] == "not applicable"
    assert found.verdict == "go"  # a code that exempts the building from everything of the group


@pytest.mark.parametrize("group", GROUPS)
def test_each_group_is_judged_by_its_own_checks(group):
    """A list without one structural cell still separates roofs that cool from roofs that do not."""
    ids = [check.id for check in CHECKS if check.group == group and not check.at_worst]
    for check_id in ids or [check.id for check in CHECKS if check.group == group]:
        status = "caution" if check_of(check_id).at_worst else "fail"
        found = judge(results() | {check_id: result(check_id, status)})
        wanted = "conditional" if status == "caution" else "no-go"
        assert found.groups == {name: wanted if name == group else "go" for name in GROUPS}


def test_governing_failure_is_the_worst_used_then_those_without_a_ratio_in_order():
    found = results(
        heat__cold_spell="fail",  # degrees: no ratio
        heat__hot_spell="fail",
        roof__load=result("", "fail", 1.3),
        roof__point_load=result("", "fail", 1.3),
        outage__cooling_lost=result("", "fail", 1.2),
    )
    order = []
    while judge(found).verdict == "no-go":
        order.append(judge(found).governing_check)
        found[order[-1]] = result(order[-1])
    assert order == [
        "roof.load",
        "roof.point-load",
        "outage.cooling-lost",
        "heat.hot-spell",
        "heat.cold-spell",
    ]


def test_a_failure_against_zero_stands_before_every_ratio():
    """Hours where none is allowed, a headroom below zero, a roof with nothing to spare: beyond any ratio."""
    hours = outcome(check_of("heat.operating-range"), "fail", 12.0, 0.0)
    below = outcome(check_of("heat.headroom"), "fail", -0.2, 0.1)
    assert hours.utilisation is None
    assert below.utilisation is None
    heavy = result("", "fail", 40.0)
    assert (
        judge(results(heat__operating_range=hours, roof__load=heavy)).governing_check
        == "heat.operating-range"
    )
    assert judge(results(heat__headroom=below, roof__load=heavy)).governing_check == "heat.headroom"


def test_governing_of_an_undecided_site_is_the_first_required_in_the_table():
    found = results(
        roof__load=result("", "not assessed", 5.0),
        heat__cold_spell=result("", "not assessed"),
        heat__cycling=result("", "not assessed"),
    )
    assert judge(found).governing_check == "heat.cold-spell"


def test_governing_of_a_conditional_site_is_its_most_used_caution():
    found = results(
        heat__hot_spell=result("", "caution"),
        roof__load=result("", "caution", 0.9),
        roof__point_load=result("", "caution", 0.85),
        services__feed=result("", "pass", 0.99),
    )
    assert judge(found).governing_check == "roof.load"
    found["roof.load"] = found["roof.point-load"] = result("roof.load", "pass", 0.9)
    found["roof.point-load"] = result("roof.point-load", "pass", 0.9)
    assert judge(found).governing_check == "heat.hot-spell"


def test_governing_of_a_go_is_the_greatest_utilisation():
    found = results(roof__load=result("", "pass", 0.7), heat__headroom=result("", "pass", 0.75))
    assert judge(found).governing_check == "heat.headroom"


def test_conditions_name_each_caution_confirmation_and_assumption_once():
    found = results(
        heat__hot_spell=result("", "caution", conditions=("confirm the extreme",)),
        heat__cold_spell=result("", "caution", conditions=("confirm the extreme",)),
        heat__cycling=result("", "caution"),
        roof__bearing=result("", "not assessed"),
        roof__load=result("", "pass", assumed=("roof_use", "roof_reserve_kpa")),
        delivery__lifting=result("", "caution", conditions=("two people",)),
    )
    assert judge(found).conditions == (
        "confirm the extreme",
        "confirm: compressor starts an hour",
        "assumed and to be confirmed: roof_use, roof_reserve_kpa",
        "still to confirm: pressure on insulation and membrane",
    )


def test_what_is_still_to_confirm_of_the_unit_is_a_condition_too():
    found = judge(results(delivery__lifting="not assessed"))
    assert found.conditions == ("still to confirm: mass in one piece by hand",)


def test_a_required_check_that_is_not_assessed_is_no_condition():
    assert judge(results(roof__load="not assessed")).conditions == ()


@pytest.mark.parametrize("verdict_of_nothing", [{}, {check.id: "off" for check in CHECKS}])
def test_a_site_without_any_check_in_force_is_never_go(verdict_of_nothing):
    found = judge(results() if verdict_of_nothing else {}, NEED | verdict_of_nothing)
    assert found.verdict in ("undecided", "conditional")
    assert len(found.reason) > 10


def test_a_go_without_any_ratio_still_says_why():
    assert len(judge(results()).reason) > 10


# ------------------------------------------------------------------------------------------------ one sentence


@pytest.mark.parametrize(
    "found, text",
    [
        (
            outcome(check_of("roof.load"), "fail", 3.168, 2.4, governed_by="patch", note="Too heavy."),
            "Weight on the roof: 3.17 kPa against at most 2.4 kPa (patch). Too heavy.",
        ),
        (
            outcome(check_of("heat.headroom"), "pass", 0.5523, 0.1, governed_by="2001-07-09 14:00"),
            "Service headroom in the worst hour of the year: 55.2 % against at least 10.0 % (2001-07-09 14:00).",
        ),
        (
            outcome(check_of("roof.load"), "not assessed", 3.168, missing=("roof_reserve_kpa",)),
            "Weight on the roof: 3.17 kPa, not assessed, missing roof_reserve_kpa.",
        ),
        (
            outcome(check_of("roof.load"), "not assessed"),
            "Weight on the roof: not assessed.",
        ),
        (
            outcome(check_of("heat.cycling"), "not applicable", note="It follows the load without cycling."),
            "Compressor starts an hour: not applicable. It follows the load without cycling.",
        ),
        (
            outcome(check_of("outage.pump-lost"), "pass", float("inf"), 5.0),
            "Time to server shutdown, pump stopped: unlimited against at least 5 min.",
        ),
        (
            outcome(check_of("heat.hot-spell"), "caution", 51.0, 52.0, condition="confirm the extreme"),
            "Liquid peak in the hot spell: 51 degC against at most 52 degC. Condition: confirm the extreme.",
        ),
        (
            outcome(check_of("roof.load"), "caution", 1450.0, 1600.4),
            "Weight on the roof: 1450 kPa against at most 1600 kPa.",
        ),
        (
            outcome(check_of("heat.hot-spell"), "not assessed", float("nan"), 52.0),
            "Liquid peak in the hot spell: unknown against at most 52 degC, not assessed.",
        ),
        (
            outcome(check_of("heat.weather"), "pass", 0.0, 0.0),
            "Weather file: quality flags raised: 0 against at most 0.",
        ),
    ],
)
def test_the_sentence_of_a_result(found, text):
    assert sentence(found) == text


@pytest.mark.parametrize("status", ["pass", "caution", "fail", "not assessed", "not applicable"])
@pytest.mark.parametrize(
    "numbers", [(None, None), (1.25, None), (1.25, 2.0), (float("nan"), 2.0), (0.0, 0.0)]
)
def test_a_sentence_never_shows_what_the_program_calls_nothing(status, numbers):
    for check in CHECKS:
        text = sentence(outcome(check, status, *numbers))
        assert text.startswith(f"{check.title}: ")
        assert text.endswith(".")
        assert not {"nan", "None", "inf"} & set(text.replace(".", " ").replace(",", " ").split())
        assert "  " not in text
        assert ": ." not in text
