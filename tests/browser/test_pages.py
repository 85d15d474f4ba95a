"""Pages in a real browser: nothing is requested, nothing is cut off, links work, pages print.

The browser is that of `conftest.py`.
"""

import base64
import json
import re

import pytest
from result_factory import NEED, make_result, make_unusable, with_gaps

from edgecheck.outputs.folder import RunFolder
from edgecheck.outputs.pages import list_page, site_page

MM = 96 / 25.4  # CSS pixels


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    result = make_result()
    gaps = make_result(
        site_id="R-002", row=3, hourly=with_gaps(result.hourly), hot_spell=with_gaps(result.hot_spell)
    )
    folder = RunFolder.open(tmp_path_factory.mktemp("run") / "run")
    folder.write_text("worst-hour.html", site_page(result, need=NEED), site="R-001")
    folder.write_text("worst-hour.html", site_page(gaps, need=NEED), site="R-002")
    results = [result, gaps, make_unusable()]
    page = list_page(results, {2: 1, 3: 2, 10: 3}, {2: "R-001", 3: "R-002"}, "roofs", {"version": "0.1.0"})
    folder.write_text("index.html", page)
    return folder.path


def reports(run):
    return [run / "sites" / name / "worst-hour.html" for name in ("R-001", "R-002")]


def screen(browser, width, height=900):
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False},
    )


def test_pages_open_without_a_request_or_a_complaint(browser, run):
    browser.get_log("performance")
    browser.get_log("browser")
    for path in (run / "index.html", *reports(run)):
        browser.get(path.as_uri())
    asked = [
        message["params"]["request"]["url"]
        for entry in browser.get_log("performance")
        if (message := json.loads(entry["message"])["message"])["method"] == "Network.requestWillBeSent"
    ]
    assert len(asked) >= 3
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    assert browser.get_log("browser") == []


def test_list_links_lead_to_the_reports(browser, run):
    browser.get((run / "index.html").as_uri())
    browser.find_element("link text", "R-002").click()
    assert browser.title == "R-002: worst-hour report"
    assert "no-go" in browser.find_element("css selector", "#answer .verdict").text


@pytest.mark.parametrize("width", [1200, 390])
def test_nothing_sticks_out_of_the_page(browser, run, width):
    screen(browser, width)
    for path in (run / "index.html", *reports(run)):
        browser.get(path.as_uri())
        assert browser.execute_script("return document.documentElement.scrollWidth") <= width


def test_words_in_figures_stay_inside_and_do_not_cover_each_other(browser, run):
    screen(browser, 1200)
    script = """
        return [...document.querySelectorAll('svg.drawing')].map(svg => {
            const box = svg.getBoundingClientRect();
            const words = [...svg.querySelectorAll('text')].map(t => [t.textContent.trim(), t.getBoundingClientRect()]);
            return [svg.getAttribute('viewBox'), words.map(([word, b]) =>
                [word, b.left - box.left, b.top - box.top, b.right - box.left, b.bottom - box.top]),
                box.width, box.height];
        });
    """
    for path in reports(run):
        browser.get(path.as_uri())
        for _, words, width, height in browser.execute_script(script):
            assert len(words) > 4
            for word, left, top, right, bottom in words:
                assert left >= -1, word
                assert top >= -1, word
                assert right <= width + 1, word
                assert bottom <= height + 1, word
            for number, first in enumerate(words):
                for second in words[number + 1 :]:
                    across = min(first[3], second[3]) - max(first[1], second[1])
                    down = min(first[4], second[4]) - max(first[2], second[2])
                    # Boxes hold ascender and descender; letters touch only where they overlap by more.
                    assert across <= 1 or down <= 4, (first[0], second[0])


@pytest.mark.parametrize(("paper", "wide", "high"), [("A4", 210.0, 297.0), ("Letter", 215.9, 279.4)])
def test_report_prints_with_every_figure_on_one_page(browser, run, paper, wide, high):
    screen(browser, round((wide - 28) * MM))
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        for path in reports(run):
            browser.get(path.as_uri())
            sizes = browser.execute_script(
                "return [...document.querySelectorAll('figure')].map(f => [f.offsetWidth, f.offsetHeight])"
            )
            assert len(sizes) == 11
            assert all(
                width <= (wide - 28) * MM + 1 and height <= (high - 31) * MM for width, height in sizes
            )
            first = browser.execute_script(
                "return document.querySelector('#roof-offer').getBoundingClientRect().bottom"
            )
            assert first <= (high - 31) * MM, "page one holds the answer and what the roof must offer"
    finally:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    printed = browser.execute_cdp_cmd(
        "Page.printToPDF", {"paperWidth": wide / 25.4, "paperHeight": high / 25.4, "preferCSSPageSize": False}
    )
    pdf = base64.b64decode(printed["data"])
    pages = len(re.findall(rb"/Type\s*/Page\b", pdf))
    assert 8 <= pages <= 26, paper


def test_tables_that_scroll_can_be_reached_by_keyboard(browser, run):
    browser.get((run / "index.html").as_uri())
    regions = browser.find_elements("css selector", ".wide")
    assert regions
    assert all(
        region.get_attribute("tabindex") == "0" and region.get_attribute("aria-label") for region in regions
    )
