"""Page one of the report: the one sentence, the lists cut to their place, and text that somebody wrote."""

import re
from dataclasses import replace

import pytest
from page_parts import Page, assert_document
from page_tables import Tables
from result_factory import NEED, make_result

from edgecheck.outputs.pages import site_page
from edgecheck.outputs.views.head import head
from edgecheck.outputs.views.reason import one_sentence, shortened, what_it_adds
from edgecheck.outputs.views.to_do import ITEM_LENGTH, LINE_LENGTH, LINES, first_ones, to_do


@pytest.fixture(scope="module")
def result():
    return make_result()


def deciding(result, check_id, verdict, **changes):
    """The result with another deciding check, changed."""
    checks = tuple(replace(check, **changes) if check.id == check_id else check for check in result.checks)
    return replace(result, checks=checks, governing_check=check_id, verdict=verdict)


def test_a_failure_is_one_sentence_with_demand_limit_and_hour(result):
    found = deciding(
        result, "heat.headroom", "no-go", status="fail", demand=0.0386, limit=0.1, governed_by="2001-08-04 14:00",
        note="A first remark. A second one.", conditions=("do this",),
    )  # fmt: skip
    assert one_sentence(found) == (
        "Service headroom in the worst hour of the year: 3.86 % against at least 10.0 % "
        "(4 Aug, 14:00, local standard time)."
    )
    assert what_it_adds(found) == "A first remark. A second one."


def test_a_caution_ends_with_its_first_condition(result):
    found = deciding(
        result, "roof.load", "conditional", status="caution", demand=0.6, limit=3.0, governed_by="member",
        conditions=("an engineer confirms", "somebody else confirms", "a third one confirms"),
    )  # fmt: skip
    assert one_sentence(found) == (
        "Weight on the roof: 0.600 kPa against at most 3.00 kPa (member); on condition: an engineer confirms "
        "(and 2 more)."
    )
    nothing = deciding(
        found, "roof.load", "conditional", demand=0.0, limit=0.0, conditions=("type qualification only: see",)
    )
    assert one_sentence(nothing) == "On condition: type qualification only: see."


def test_what_is_not_assessed_names_what_is_missing(result):
    missing = ("roof_reserve_kpa", "load_standard", "asce_ground_snow_kpa", "en_ground_snow_kpa")
    found = deciding(
        result,
        "roof.load",
        "undecided",
        status="not assessed",
        demand=3.05,
        limit=None,
        governed_by="patch",
        missing=missing,
    )
    assert one_sentence(found) == (
        "Weight on the roof is not assessed, because roof_reserve_kpa, load_standard, asce_ground_snow_kpa and 1 more "
        "are not known; the demand is 3.05 kPa (patch)."
    )
    one = deciding(found, "roof.load", "undecided", demand=None, missing=missing[:1])
    assert one_sentence(one) == "Weight on the roof is not assessed, because roof_reserve_kpa is not known."


def test_a_go_names_the_check_nearest_to_its_limit(result):
    found = deciding(result, "roof.load", "go", status="pass", demand=2.0, limit=2.4, governed_by="")
    assert one_sentence(found).startswith(
        "Every check is met; nearest to its limit is this one, weight on the roof: 2.00 kPa"
    )


def test_without_a_deciding_check_the_conditions_are_counted(result):
    several = replace(result, governing_check="", verdict="conditional")
    assert one_sentence(several) == "No single check decides; 3 conditions stand below."
    single = replace(several, conditions=("not covered: stability.wind",))
    assert one_sentence(single) == "No single check decides; it depends on this: not covered: stability.wind."
    none = replace(several, conditions=(), verdict="go", reason="Nothing stands against the site.")
    assert one_sentence(none) == "Nothing stands against the site."


def test_the_sentence_is_short_whatever_the_check_says(result):
    long = "x " * 2500
    for status, verdict in (("fail", "no-go"), ("caution", "conditional"), ("not assessed", "undecided")):
        found = deciding(
            result, "roof.load", verdict, status=status, note=long, governed_by=long, conditions=(long,)
        )
        assert len(one_sentence(found)) < 450
        assert len(what_it_adds(found)) <= 230


def test_text_is_shortened_at_a_blank_and_says_so():
    assert shortened("short", 10) == "short"
    assert shortened("one two three four", 12) == "one two…"
    assert shortened("x" * 30, 10) == "x" * 9 + "…"


def test_lists_keep_their_order_and_count_what_is_left_out():
    rows = [f"{number}: {'word ' * 12}" for number in range(20)]
    cut = first_ones(rows)
    assert [row.partition(":")[0] for row in cut.rows] == [str(number) for number in range(len(cut.rows))]
    assert cut.more == 20 - len(cut.rows) > 0
    assert sum(-(-len(row) // LINE_LENGTH) for row in cut.rows) < LINES
    short = [f"row {number}" for number in range(LINES)]
    assert first_ones(short).rows == tuple(short)
    assert first_ones(short).more == 0
    assert first_ones([*short, "one more"]).more == 2, "the line that counts takes a place"
    assert first_ones(()).rows == ()


def test_one_endless_entry_is_shown_shortened():
    cut = first_ones(["y" * 5000, "z"])
    assert len(cut.rows[0]) <= ITEM_LENGTH
    assert cut.more == 0


@pytest.mark.usefixtures("bare_pages")
def test_everything_left_out_stands_further_down(result):
    conditions = tuple(
        f"condition {number} of many, which says what somebody has to do" for number in range(30)
    )
    missing = ("roof_reserve_kpa", "lift_rated_kg", "crane_access", "breaker_curve", "feed_cable_length_m")
    asked = tuple(f"{key}: as in the columns? (somebody)" for key in missing) * 4
    checks = tuple(
        replace(check, status="not assessed", missing=missing) if check.id == "roof.load" else check
        for check in result.checks
    )
    html = site_page(replace(result, conditions=conditions, to_survey=asked, checks=checks), need=NEED)
    page = assert_document(html)
    text = page.text("answer")
    assert conditions[0] in text
    assert conditions[-1] not in text
    assert len(re.findall(r"\d+ more in conditions and survey in full", text)) == 2
    full = page.text("to-do")
    for condition in conditions:
        assert condition in full
    (table,) = Tables(html).under("to-do")
    assert table.column("column") == list(missing) * 4
    assert all(cell.startswith("required: Weight on the roof") for cell in table.column("waited for by"))
    assert set(table.column("who usually knows")) > {"electrician"}


def test_a_question_of_no_column_is_shown_as_it_is(result):
    (question,) = to_do(result, NEED).questions
    assert question.question == result.to_survey[0]
    assert (question.key, question.who) == ("", "not known")


@pytest.mark.usefixtures("bare_pages")
def test_nothing_to_do_needs_no_section(result):
    page = Page(site_page(replace(result, conditions=(), to_survey=()), need=NEED))
    assert "to-do" not in page.ids
    assert "None." in page.text("answer")
    assert "Nothing." in page.text("answer")


def test_a_moment_of_a_real_year_keeps_its_year(result):
    figures = {**result.figures, "worst_time": "2018-07-24 15:00"}
    assert (
        "2018-07-24 15:00 local standard time" in head(replace(result, figures=figures), NEED).facts[0].remark
    )
    figures["worst_time"] = "2001-07-24 15:00"
    assert "24 Jul, 15:00 local standard time" in head(replace(result, figures=figures), NEED).facts[0].remark


@pytest.mark.usefixtures("bare_pages")
def test_what_is_sent_to_an_owner_stays_free_of_verdicts_when_the_name_is_long(result):
    text = Page(site_page(replace(result, name="Tower " * 400), need=NEED)).text("roof-offer")
    assert "Tower Tower" in text
    assert len(text) < 1500


@pytest.fixture(scope="module")
def before(result):
    """The page as it is made in this environment."""
    return site_page(result, need=NEED)


@pytest.mark.parametrize("epoch", [None, "0", "1700000000"])
def test_no_date_of_the_day_is_shown(before, monkeypatch, epoch):
    # reproducible-builds.org: a shown date must come from SOURCE_DATE_EPOCH. None is shown at all.
    if epoch is None:
        monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    else:
        monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    html = site_page(make_result(), need=NEED)
    assert html == before
    years = set(re.findall(r"\b(?:19|20)\d\d(?=-\d\d-\d\d)", Page(html).text()))
    assert years == {"2001"}, "only hours of the weather carry a date"
