"""The worst-hour report and the list page as documents."""

import re
from dataclasses import replace

import numpy as np
import pytest
from page_parts import Page, assert_document
from result_factory import NEED, make_result, make_unusable, with_gaps

from edgecheck.base.notes import Note
from edgecheck.checks.result import Result
from edgecheck.outputs.number_text import percent, quantity
from edgecheck.outputs.pages import list_page, site_page
from edgecheck.outputs.views.worst_hour import why_this_hour, worked_hours

HOSTILE = "<b>&\"'</td></section><script>alert(1)</script>{{ 7*7 }}\u202e"
STATUSES = ("pass", "caution", "fail", "not assessed", "not applicable")


@pytest.fixture(scope="module")
def result():
    return make_result()


@pytest.fixture(scope="module")
def html(result):
    return site_page(result, need=NEED)


@pytest.fixture(scope="module")
def page(html):
    return Page(html)


@pytest.fixture(scope="module")
def portfolio():
    base = make_result(hourly=None, hot_spell=None, cold_spell=None, outage=None)
    names = ("conditional", "go", "undecided", "no-go")
    results = [replace(base, site_id=f"R-{row}", row=row, verdict=names[row % 4]) for row in range(2, 22)]
    results.append(make_unusable(row=22))
    ranks = {result.row: 23 - result.row for result in results}
    run = {
        "version": "0.1.0",
        "inputs": [{"role": "list", "file": "roofs.csv", "sha256": "ab" * 32}],
        "criteria": {"name": "full"},
        "unit_cautions": ["Mass in one piece by hand: 96.0 kg"],
        "notes": ["Landlrd looks like landlord_max_kg; kept as your own"],
    }
    return list_page(results, ranks, {2: "R-2", 3: "R 3"}, "roofs", run)


def test_report_is_a_whole_document_that_loads_nothing(html):
    assert_document(html)


def test_list_page_is_a_whole_document_that_loads_nothing(portfolio):
    assert_document(portfolio, own_program=True)


def test_report_is_small_and_the_same_every_time(result, html):
    assert len(html.encode()) < 450_000
    assert site_page(make_result(), need=NEED) == html


def test_every_figure_has_a_caption_and_a_text(html, page):
    figures = re.findall(r"<figure.*?</figure>", html, flags=re.DOTALL)
    assert len(figures) == 11
    for number, figure in enumerate(figures, 1):
        assert f"<b>Figure {number}.</b>" in figure
        assert re.search(r'role="img"[^>]*aria-label="[^"]{20,}"', figure)
        caption = re.search(r"<figcaption>(.*?)</figcaption>", figure, flags=re.DOTALL)
        assert caption
        assert len(caption.group(1)) > 60
    assert page.named("figure")[0]["id"] == "figure-balance-1"


def test_page_one_answers(result, page):
    text = page.text("answer")
    for wanted in (
        "no-go", "Weight on the roof: 3.56 kPa against at most 2.40 kPa",
        "Heron 6", "36.1°", percent(result.figures["headroom_share"]), "19.4 min",
        "6.90 kW", "not covered", *result.conditions, *result.to_survey,
    ):  # fmt: skip
        assert wanted in text
    assert "roof.load" in text


def test_what_the_roof_must_offer_carries_no_verdict_words(page):
    text = page.text("roof-offer")
    for wanted in ("309 kg", "4.84 m²", "3.16 kPa", "1.52 kN", "1.99 m", "not known", "Heron 6", "R-001"):
        assert wanted in text
    assert not re.search(r"\b(go|no-go|conditional|undecided|pass|fail|caution|not assessed|verdict)\b", text)


def test_all_statuses_stand_as_words_beside_a_shape(result, html, page):
    text = page.text("checks")
    assert {check.status for check in result.checks} == set(STATUSES)
    for status in STATUSES:
        assert status in text
        name = status.replace(" ", "-")
        assert re.search(
            rf'<span class="word w-{name}"><svg class="mark"[^>]*>\s*<\w+ [^>]*/?>.*?</svg>{status}</span>',
            html,
        )


def test_checks_show_demand_limit_utilisation_spare_and_source(page):
    text = page.text("checks")
    for wanted in (
        "3.56 kPa", "at most 2.40 kPa", "148 %", "−1.16 kPa", "at least 10.0 %", "+9.60 K", "engineering default",
        "Missing: roof_reserve_point_kn", "To do: agree the shutdown time", "required", "to confirm",
    ):  # fmt: skip
        assert wanted in text, wanted


def test_worked_example_can_be_followed_by_hand(result):
    for hour in worked_hours(result)[:2]:
        number = {row.what: float(row.result.split()[0].replace("−", "-")) for row in (*hour.air, *hour.heat)}
        outdoor = (
            number["Station air, as in the weather file"]
            + number["From the station's elevation to the site's"]
        )
        outdoor += number["Warming and urban heat, from the list"] + number.get(
            "Shift of the spell to its extreme", 0
        )
        assert outdoor == pytest.approx(number["Outdoor air at the site"], abs=0.0201)
        inlet = number["Outdoor air at the site"] + number["Warm air from the roof surface"]
        inlet += number["Own discharge air drawn in again"]
        assert inlet == pytest.approx(number["Air into the cooling section"], abs=0.0201)
        parts = [float(row.result.split()[0].replace("−", "-")) for row in hour.heat]
        assert sum(parts[:-1]) == pytest.approx(parts[-1], abs=0.0031)


def test_the_same_hour_is_worked_out_once(result):
    again = replace(result.worst_hours[0], title="Worst hour with the limit capacity, year")
    hours = worked_hours(replace(result, worst_hours=(*result.worst_hours[:2], again)))
    assert [hour.title for hour in hours] == [hour.title for hour in result.worst_hours[:2]]


def test_losses_of_distribution_get_a_line_of_their_own(result):
    hour = result.worst_hours[0]
    lossy = replace(hour, values={**hour.values, "load": hour.values["load"] + 120.0})
    heat = worked_hours(replace(result, worst_hours=(lossy,)))[0].heat
    assert [row.result for row in heat if row.what == "Losses of distribution"] == ["0.120 kW"]


def test_why_this_hour_compares_with_the_hottest(result):
    hourly = result.hourly.copy(deep=True)
    air = hourly["temp_air"].to_numpy()
    place = int(np.argmax(air)) - 48
    hour = result.worst_hours[0]
    elsewhere = replace(hour, time=str(hourly["time"].to_numpy()[place]).replace("T", " "))
    text = why_this_hour(replace(result, worst_hours=(elsewhere,)))
    assert quantity(air.max(), "degC") in text
    assert "differs from it by: outdoor air +0.00 K; equivalent inlet air +0.00 K" in text
    locked = replace(elsewhere, binding="inlet-low")
    assert "ranks before every hour" in why_this_hour(replace(result, worst_hours=(locked,)))
    assert "also its hottest" in why_this_hour(result)


def test_grounds_mark_defaults_unused_columns_files_and_cautions(page, html):
    text = page.text("grounds")
    for wanted in (
        "not used yet",
        "the worst common roof",
        "12" * 32,
        "pvlib 0.16.1",
        "Caution. The cold extreme",
        "225",
    ):
        assert wanted in text, wanted
    assert html.count("◇ default") == 2
    assert "◇ weather station" in html
    assert "◇ site list" not in html
    limits = page.text("limits")
    for wanted in (
        "screening calculation, not a design", "structural engineer", "electrician", "fire authority",
        "crane or rigging", "refrigerant", "authority having jurisdiction", "Wind and earthquake.",
    ):  # fmt: skip
        assert wanted in limits, wanted


@pytest.mark.usefixtures("bare_pages")
def test_pairs_are_shown_as_they_are_written(result):
    horizon = {"key": "horizon", "value": ((90.0, 12.5), (180.0, 4.0)), "origin": "list", "used": True}
    assert "90:12.5 180:4" in Page(site_page(replace(result, inputs=(horizon,)), need=NEED)).text("grounds")


@pytest.mark.usefixtures("bare_pages")
def test_synthetic_weather_is_said_at_the_top(page, result):
    assert "synthetic" in page.text("answer")
    real = replace(
        result, detail={**result.detail, "weather": {**result.detail["weather"], "synthetic": False}}
    )
    assert "synthetic. It belongs" not in Page(site_page(real, need=NEED)).text("answer")


def test_page_carries_no_rank_and_local_time_is_named(page):
    assert "rank" not in page.text().lower().replace("ranks before", "")
    assert page.text().count("local standard time") > 5


def test_unknown_numbers_are_said_and_never_shown_as_nan(result):
    bare = replace(
        result,
        hourly=with_gaps(result.hourly),
        figures=dict.fromkeys(result.figures),
        detail={},
        asks=dict.fromkeys(result.asks),
        worst_hours=tuple(replace(hour, values=dict.fromkeys(hour.values)) for hour in result.worst_hours),
        checks=tuple(
            replace(check, demand=None, limit=None, spare=None, utilisation=None) for check in result.checks
        ),
    )
    page = assert_document(site_page(bare, need={}))
    text = page.text()
    assert text.count("not known") > 40
    assert not re.search(r"\b(nan|None|NaN|inf)\b", text)
    assert "Hours short of headroom: not known." in text


@pytest.mark.parametrize(
    "result", [make_unusable(), Result(site_id="x", name="", row=2, verdict="undecided")]
)
def test_a_result_without_numbers_still_makes_a_page(result):
    page = assert_document(site_page(result, need={}))
    assert "Not computed" in page.text("outage")
    for fault in result.faults:
        assert fault in page.text("answer")


def test_text_from_files_stays_text(result):
    detail = {**result.detail, "unit": {**result.detail["unit"], "name": HOSTILE}, "not_checked": [HOSTILE]}
    detail["weather"] = {**detail["weather"], "place": HOSTILE, "file": HOSTILE}
    hostile = replace(
        result, site_id=HOSTILE, name=HOSTILE, reason=HOSTILE, conditions=(HOSTILE,), to_survey=(HOSTILE,),
        notes=(Note("x", "caution", HOSTILE),), inputs=({"key": "name", "value": HOSTILE, "origin": "list"},),
        checks=tuple(replace(check, note=HOSTILE, governed_by=HOSTILE) for check in result.checks), detail=detail,
    )  # fmt: skip
    portfolio = list_page([hostile], {2: 1}, {2: "x"}, HOSTILE, {"notes": [HOSTILE]})
    for html, own_program in ((site_page(hostile, need=NEED), False), (portfolio, True)):
        page = assert_document(html, own_program)
        assert HOSTILE in "".join(data for _, data in page._texts)
        assert "49" not in page.text("answer") or "7*7" in page.text("answer")


def test_list_page_counts_ranks_and_links(portfolio):
    page = Page(portfolio)
    text = page.text()
    assert text.index("R-21") < text.index("R-20") < text.index("R-3 ")
    assert [link["href"] for link in page.named("a") if link["href"].startswith("sites/")] == [
        "sites/R%203/worst-hour.html",
        "sites/R-2/worst-hour.html",
    ]
    for wanted in (
        "5 go",
        "5 conditional",
        "5 undecided",
        "5 no-go",
        "1 unusable",
        "6.90 kW",
        "latitude_deg",
    ):
        assert wanted in text, wanted
    assert text.count("Mass in one piece by hand: 96.0 kg") == 1
    assert "Not covered for any site, because no check is built yet: environment" in text


def test_list_page_stays_small(portfolio):
    assert len(portfolio.encode()) < 300_000 + 21 * 1_000
    assert "The list has no row." in list_page([], {}, {}, "roofs", {})
