"""Whatever somebody writes into a free text is shown as that text in the report, and breaks nothing."""

import pytest
from hostile_run import TEXTS, WEATHER, hostile_run, seen
from page_parts import Page, assert_document
from page_tables import Tables
from report_run import checks, record


@pytest.fixture(scope="module", params=list(TEXTS))
def site(request):
    folder = hostile_run() / f"H-{request.param}"
    return request.param, folder, (folder / "worst-hour.html").read_text(encoding="utf-8")


def test_the_page_stays_one_whole_document(site):
    _, _, html = site
    page = assert_document(html)
    assert page.ids[0] == "answer"
    assert page.ids[-1] == "limits"
    assert len(page.named("style")) == 1
    assert page.named("img") == []
    assert len(html.encode()) < 600_000


def test_every_text_is_shown_as_it_was_written(site):
    kind, folder, html = site
    text = seen(TEXTS[kind])
    table = Tables(html)
    (inputs,) = table.under("grounds", "Inputs as read")
    given = {row[0]: seen(row[1]) for row in inputs.rows}
    assert given["name"] == text
    assert given["containment_rule"] == text
    (assumed,) = table.under("grounds", "Assumed values")
    assert {row[0] for row in assumed.rows} == {"roof_reserve_kpa", "load_standard"}
    assert all(seen(row[2]) == seen(row[3]) == text for row in assumed.rows), "who answers for it, and why"
    assert seen(table.facts("grounds", "Weather")["File"]) == seen(WEATHER)
    assert record(folder)["name"].strip() == TEXTS[kind].strip()
    assert len(checks(folder)) > 20


def test_page_one_shows_the_start_of_a_long_text(site):
    kind, _, html = site
    page = Page(html)
    first, offer = page.text("answer"), page.text("roof-offer")
    start = seen(TEXTS[kind])[:40].split("{{")[0].strip()
    assert start in first
    assert start in offer
    assert len(offer) < 1500
    assert len(first) < 5000
    assert "49 }}" not in first


def test_the_unit_is_named_on_page_one(site):
    kind, folder, html = site
    name = record(folder)["detail"]["unit"]["name"]
    assert name.strip() == TEXTS[kind].strip()
    assert seen(name)[:30] in Page(html).text("answer")
