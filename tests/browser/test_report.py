"""The worst-hour report in a real browser and on paper.

Reports of the demo, of real weather, and of texts that somebody wrote to break them.
"""

import base64
import json
import re

import pytest
from portfolio_browser import screen
from report_cases import CASES, page, shown, slow_but
from report_run import REAL, SITES, pages, real_run

MM = 96 / 25.4  # CSS pixels
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
ACROSS, DOWN = 28.0, 31.0  # margins of the style, mm


@pytest.mark.parametrize(("run", "site"), CASES)
def test_it_opens_without_a_request_or_a_complaint(browser, run, site):
    path = page(run, site)
    browser.get_log("performance")
    browser.get_log("browser")
    browser.get(path.as_uri())
    asked = [
        message["params"]["request"]["url"]
        for entry in browser.get_log("performance")
        if (message := json.loads(entry["message"])["message"])["method"] == "Network.requestWillBeSent"
    ]
    assert asked
    assert [url for url in asked if not url.startswith(("file:", "data:", "chrome:"))] == []
    assert browser.get_log("browser") == []
    assert browser.title == f"{site}: worst-hour report"


@pytest.mark.parametrize("width, scale", [(1280, 1), (640, 2), (375, 2), (320, 2)])
@pytest.mark.parametrize(("run", "site"), CASES)
def test_nothing_sticks_out_on_screen_zoomed_or_on_a_phone(browser, run, site, width, scale):
    # 640 at scale 2 is a window of 1280 at 200 %
    shown(browser, run, site)
    screen(browser, width, 800, scale)
    found = browser.execute_script("""
        const wide = document.documentElement.clientWidth;
        const out = [...document.querySelectorAll('main *')].filter(e => {
            const scrolls = e.parentElement.closest('.wide');
            const box = e.getBoundingClientRect();
            return !scrolls && box.width && (box.right > wide + 1 || box.left < -1) && !e.closest('svg');
        });
        return [document.documentElement.scrollWidth, out.slice(0, 5).map(e => e.outerHTML.slice(0, 120))];
    """)
    assert found[1] == []
    assert found[0] <= width


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("run", "site"), CASES)
def test_it_prints_without_a_cut_and_answers_on_page_one(browser, run, site, paper):
    wide, high = PAPERS[paper]
    screen(browser, round((wide - ACROSS) * MM))
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        shown(browser, run, site)
        edge, outside = browser.execute_script(
            """
            const limit = arguments[0];
            const all = [...document.querySelectorAll('main *')].filter(e => !e.closest('svg') || e.matches('svg'));
            const right = e => e.getBoundingClientRect().right;
            return [Math.max(...all.map(right)),
                    all.filter(e => right(e) > limit).slice(0, 5).map(e => e.outerHTML.slice(0, 140))];
            """,
            (wide - ACROSS) * MM + 1,
        )
        assert outside == [], edge
        cut = browser.execute_script(
            "return [...document.querySelectorAll('.wide, td, th, p')].filter(e => e.scrollWidth > e.clientWidth + 2"
            " && getComputedStyle(e).overflowX !== 'visible').map(e => e.outerHTML.slice(0, 140))"
        )
        assert cut == []
        heights = browser.execute_script(
            "return [...document.querySelectorAll('figure, tr')].map(e => e.offsetHeight)"
        )
        if run != "hostile":
            assert max(heights) <= (high - DOWN) * MM, "no figure and no row is cut by the end of a page"
        first = browser.execute_script(
            "return document.querySelector('#roof-offer').getBoundingClientRect().bottom"
        )
        assert first <= (high - DOWN) * MM, "page one holds the answer and what the roof must offer"
    finally:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


# A print takes seconds: one of each kind of report, and both papers, by default.
@pytest.mark.parametrize(
    ("run", "site", "paper"),
    slow_but(
        ("demo-AC-01", "A4"), ("demo-TQ-1", "Letter"), ("real-VM-06", "Letter"), ("hostile-solid", "A4")
    ),
)
def test_the_print_has_as_many_pages_as_expected(browser, run, site, paper):
    wide, high = PAPERS[paper]
    screen(browser, round((wide - ACROSS) * MM))
    browser.get(page(run, site).as_uri())
    printed = browser.execute_cdp_cmd(
        "Page.printToPDF", {"paperWidth": wide / 25.4, "paperHeight": high / 25.4, "preferCSSPageSize": False}
    )
    count = len(re.findall(rb"/Type\s*/Page\b", base64.b64decode(printed["data"])))
    assert 12 <= count <= (100 if run == "hostile" else 30), (paper, count)


def test_statuses_differ_by_shape_and_word_on_a_grey_print(browser):
    screen(browser, 1280)
    shapes = {}
    for site in SITES.values():
        browser.get(page("demo", site).as_uri())
        for word, shape in browser.execute_script(
            "return [...document.querySelectorAll('.word')]"
            ".map(e => [e.textContent.trim(), e.querySelector('svg').innerHTML])"
        ):
            assert word
            shapes.setdefault(word, set()).add(re.sub(r"\s+", " ", shape))
    assert all(len(found) == 1 for found in shapes.values()), "one shape a word"
    for first, second in (
        ("pass", "fail"),
        ("pass", "caution"),
        ("caution", "not assessed"),
        ("go", "no-go"),
    ):
        assert shapes[first] != shapes[second]


def test_every_report_of_the_demo_is_small(browser):
    sizes = {site: len(path.read_bytes()) for site, path in pages().items()}
    assert len(sizes) > 15
    assert max(sizes.values()) < 600_000, sizes
    assert all(len((real_run() / site / "worst-hour.html").read_bytes()) < 600_000 for site in REAL)
