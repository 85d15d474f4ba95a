"""What must hold of a verdict for any results of the checks and any criteria."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from edgecheck.checks.declarations import CHECKS, check_of
from edgecheck.checks.model import CheckResult
from edgecheck.checks.verdict import site_verdict
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.criteria import load_criteria

NEED = load_criteria("full").need
REQUIRED = frozenset(key for key, need in NEED.items() if need == "required")
BEST_FIRST = ("go", "conditional", "undecided", "no-go")
STATUS = ("pass", "caution", "fail", "not assessed", "not applicable")

ids = st.sampled_from(CHECK_IDS)
some_needs = st.dictionaries(ids, st.sampled_from(("required", "confirm", "off")), max_size=8).map(
    lambda d: NEED | d
)
CONSTRUCTED = {
    check_id: 0.3 + place / 100.0 for place, check_id in enumerate(CHECK_IDS)
}  # some ratio for each


@st.composite
def outcomes(draw, statuses=STATUS):
    """Results of some checks; mostly passes, so that every verdict turns up."""
    absent = draw(st.one_of(st.just(frozenset()), st.frozensets(ids, max_size=12)))
    changed = draw(
        st.dictionaries(
            ids,
            st.tuples(st.sampled_from(statuses), st.one_of(st.none(), st.floats(0.01, 5.0)), st.booleans()),
            max_size=5,
        )
    )
    found = {}
    for check_id in CHECK_IDS:
        if check_id not in absent:
            status, ratio, assumed = changed.get(check_id, ("pass", CONSTRUCTED[check_id], False))
            found[check_id] = CheckResult(
                id=check_id, status=status, utilisation=ratio, assumed=("roof_use",) if assumed else ()
            )
    return found


def judge(found, need=NEED):
    return site_verdict(found, need, REQUIRED)


def worse_or_equal(after, before):
    return BEST_FIRST.index(after.verdict) >= BEST_FIRST.index(before.verdict)


def with_status(found, check_id, status):
    before = found.get(check_id, CheckResult(id=check_id, status="pass"))
    return found | {check_id: replace(before, status=status)}


@given(outcomes(), some_needs, ids)
def test_a_failure_never_improves(found, need, check_id):
    if check_id in found:
        assert worse_or_equal(judge(with_status(found, check_id, "fail"), need), judge(found, need))


@given(outcomes(), some_needs, ids)
def test_what_becomes_unknown_never_improves_unless_it_failed(found, need, check_id):
    if check_id in found and found[check_id].status != "fail":
        assert worse_or_equal(judge(with_status(found, check_id, "not assessed"), need), judge(found, need))


@given(outcomes(), some_needs, ids)
def test_a_failure_that_becomes_unknown_never_ends_in_go(found, need, check_id):
    if need[check_id] != "off":
        assert judge(with_status(found, check_id, "not assessed"), need).verdict != "go"


@given(outcomes(), ids)
def test_a_check_without_a_result_never_improves_on_one_that_passes(found, check_id):
    """Under the shipped criteria."""
    passing = found | {check_id: CheckResult(id=check_id, status="pass")}
    without = {key: value for key, value in passing.items() if key != check_id}
    assert worse_or_equal(judge(without), judge(passing))


@given(outcomes(("pass", "not applicable")), some_needs)
def test_never_go_while_a_required_check_is_absent_or_off(found, need):
    verdict = judge(found, need)
    gap = [check_id for check_id in REQUIRED if check_id not in found or need[check_id] == "off"]
    assumed = [key for key, result in found.items() if result.assumed and need[key] != "off"]
    assert (verdict.verdict == "go") == (not gap and not assumed)
    for check_id in gap:
        assert verdict.groups[check_of(check_id).group] != "go"
        assert any(check_id in text for text in verdict.conditions)


@given(outcomes(), some_needs)
def test_the_site_is_as_bad_as_its_worst_group(found, need):
    verdict = judge(found, need)
    groups = set(verdict.groups.values())
    assert (verdict.verdict == "no-go") == ("no-go" in groups)
    if verdict.verdict == "undecided":
        assert "undecided" in groups or groups <= {"not covered", "off", "not applicable"}
    if verdict.verdict == "go":
        assert groups <= {"go", "not applicable", "not covered", "off"}
    if "undecided" in groups:
        assert verdict.verdict in ("undecided", "no-go")


@given(outcomes(), some_needs)
def test_a_group_without_any_result_is_not_covered(found, need):
    verdict = judge(found, need)
    for group, given_verdict in verdict.groups.items():
        covered = [check for check in CHECKS if check.group == group and check.id in found]
        assert (given_verdict == "not covered") == (not covered)


@given(outcomes(), some_needs, st.sampled_from(("pass", "caution")))
def test_a_caution_of_the_unit_counts_in_no_verdict(found, need, status):
    base = with_status(found, "delivery.lifting", "pass")
    changed = judge(with_status(base, "delivery.lifting", status), need)
    assert (changed.verdict, changed.groups, changed.conditions) == (
        judge(base, need).verdict, judge(base, need).groups, judge(base, need).conditions,
    )  # fmt: skip


@given(outcomes(), some_needs)
def test_the_grounds_fit_the_verdict(found, need):
    verdict = judge(found, need)
    assert len(verdict.reason) > 5
    assert (verdict.verdict == "go") <= (verdict.conditions == ())
    assert (verdict.verdict == "conditional") <= (verdict.conditions != ())
    if not verdict.governing_check:
        return
    governing = found[verdict.governing_check]
    assert need[governing.id] != "off"
    allowed = {
        "go": {"pass"},
        "conditional": {"caution", "not assessed", "pass", "not applicable"},
        "undecided": {"not assessed"},
        "no-go": {"fail"},
    }
    assert governing.status in allowed[verdict.verdict]
    if governing.status in ("pass", "not applicable") and verdict.verdict == "conditional":
        assert governing.assumed
    if verdict.verdict == "no-go":
        ratios = [
            r.utilisation
            for r in found.values()
            if r.status == "fail" and need[r.id] != "off" and r.utilisation
        ]
        if governing.utilisation is not None:
            assert governing.utilisation == max(ratios)


@given(outcomes(), some_needs)
def test_the_order_in_which_results_come_does_not_matter(found, need):
    turned = dict(reversed(found.items()))
    first, second = judge(found, need), judge(turned, need)
    assert (first.verdict, first.groups, first.governing_check, first.reason, first.conditions) == (
        second.verdict, second.groups, second.governing_check, second.reason, second.conditions,
    )  # fmt: skip
