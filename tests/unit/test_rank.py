"""Rank 1..n: class, what stands against a site within its class, headroom share, order of the list."""

import random

from hypothesis import given
from hypothesis import strategies as st

from edgecheck.checks.model import CheckResult
from edgecheck.checks.result import Result
from edgecheck.inputs.criteria import load_criteria
from edgecheck.screening.rank import ranks

NEED = load_criteria("full").need
CLASSES = ("go", "conditional", "undecided", "no-go", "unusable")


def site(row, verdict, share=0.3, conditions=(), checks=()):
    return Result(
        site_id=f"S{row}",
        name="",
        row=row,
        verdict=verdict,
        figures={} if share is None else {"headroom_share": share},
        conditions=tuple(conditions),
        checks=tuple(checks),
    )


def check(check_id, status, *missing):
    return CheckResult(id=check_id, status=status, missing=missing)


def order(*sites):
    """Rows from best to worst."""
    found = ranks(sites, NEED)
    return sorted(found, key=found.__getitem__)


def test_class_comes_first_whatever_the_share():
    sites = [site(row, verdict, share=row / 10.0) for row, verdict in enumerate(reversed(CLASSES), start=2)]
    assert order(*sites) == [6, 5, 4, 3, 2]


def test_fewer_conditions_of_its_own_then_more_headroom_then_list_order():
    everywhere = "not covered: services.feed"
    sites = (
        site(2, "conditional", 0.9, [everywhere, "confirm the extreme", "ask the landlord"]),
        site(3, "conditional", 0.2, [everywhere, "confirm the extreme"]),
        site(4, "conditional", 0.4, [everywhere, "confirm the extreme"]),
        site(5, "conditional", 0.4, [everywhere, "look at the feet"]),
        site(6, "conditional", 0.1, [everywhere]),
    )
    assert order(*sites) == [6, 4, 5, 3, 2]


def test_a_condition_that_every_site_of_the_run_has_does_not_count():
    """Undecided and no-go sites of the run count for what is common; unusable rows do not."""
    shared = site(2, "conditional", 0.1, ["confirm the extreme"])
    other = site(3, "conditional", 0.9, ["confirm the extreme", "look at the feet"])
    without = site(4, "no-go", 0.9)
    bad = site(5, "unusable", None)
    plain = site(6, "conditional", 0.05)
    assert order(shared, other, bad) == [2, 3, 5]
    assert order(shared, other, without, plain) == [6, 2, 3, 4]


def test_undecided_sites_by_the_facts_they_lack():
    def unknown(*keys):
        return check("roof.load", "not assessed", *keys)

    sites = (
        site(2, "undecided", 0.9, checks=[unknown("roof_use", "roof_reserve_kpa")]),
        site(
            3,
            "undecided",
            0.1,
            checks=[unknown("roof_use"), check("roof.point-load", "not assessed", "roof_use")],
        ),
        site(4, "undecided", 0.2, checks=[unknown("a", "b", "c")]),
        site(
            5, "undecided", 0.8, checks=[check("heat.headroom", "not assessed"), check("roof.load", "fail")]
        ),
        site(
            6,
            "undecided",
            0.95,
            checks=[unknown("a"), check("roof.bearing", "not assessed", "p", "q", "r", "s")],
        ),
    )
    assert order(*sites) == [6, 5, 3, 2, 4]


def test_no_go_sites_by_the_number_of_failing_checks_in_force():
    one, two = check("roof.load", "fail"), check("heat.headroom", "fail")
    sites = (
        site(2, "no-go", 0.9, checks=[one, two]),
        site(3, "no-go", 0.1, checks=[one]),
        site(4, "no-go", 0.2, checks=[one]),
    )
    assert order(*sites) == [4, 3, 2]
    found = ranks(sites, {**NEED, "heat.headroom": "off"})
    assert sorted(found, key=found.__getitem__) == [2, 4, 3]


def test_an_unknown_share_comes_after_every_known_one():
    assert order(site(2, "go", None), site(3, "go", -0.5), site(4, "go", None)) == [3, 2, 4]


def test_unusable_rows_are_last_in_list_order():
    assert order(site(2, "unusable", None), site(3, "no-go", -3.0), site(4, "unusable", None)) == [3, 2, 4]


sites = st.lists(
    st.tuples(
        st.sampled_from(CLASSES),
        st.one_of(st.none(), st.sampled_from([-0.1, 0.2, 0.3])),
        st.sets(st.sampled_from("abc")),
    ),
    min_size=1,
    max_size=12,
).map(
    lambda rows: [
        site(place + 2, verdict, share, sorted(texts), [check("roof.load", "not assessed", *sorted(texts))])
        for place, (verdict, share, texts) in enumerate(rows)
    ]
)


@given(sites)
def test_one_to_n_without_ties_and_in_the_order_of_the_classes(found):
    rank = ranks(found, NEED)
    assert sorted(rank.values()) == list(range(1, len(found) + 1))
    by_rank = sorted(found, key=lambda one: rank[one.row])
    places = [CLASSES.index(one.verdict) for one in by_rank]
    assert places == sorted(places)


@given(sites, st.randoms(use_true_random=False))
def test_the_order_in_which_sites_finish_does_not_matter(found, draw: random.Random):
    shuffled = list(found)
    draw.shuffle(shuffled)
    assert ranks(shuffled, NEED) == ranks(found, NEED)


def test_type_qualifications_stand_after_all_places_and_before_what_cannot_be_used():
    weather = {"weather": {"cycle": {"title": "A1"}}}
    rows = [
        Result("T", "", 2, "conditional", figures={"headroom_share": 0.9}, detail=weather),
        Result("N", "", 3, "no-go", figures={"headroom_share": -0.1}),
        Result("X", "", 4, "unusable"),
        Result("C", "", 5, "conditional", figures={"headroom_share": 0.2}, conditions=("a", "b")),
    ]
    assert ranks(rows, {}) == {5: 1, 3: 2, 2: 3, 4: 4}
