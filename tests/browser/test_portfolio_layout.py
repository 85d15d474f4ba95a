"""The list page on screens, on paper, without a program, with thousands of sites, and by accessibility rules."""

import base64
import re

import pytest
from axe_core import axe_script
from portfolio_browser import (
    choose_all_columns,
    found,
    ids,
    ids_by_rank,
    opened,
    screen,
)
from portfolio_cases import case
from result_factory import NEED, make_result
from selenium.webdriver.common.by import By

from edgecheck.outputs.pages import site_page

MM = 96 / 25.4  # CSS pixels


@pytest.mark.parametrize("width, scale", [(1280, 1), (640, 2), (375, 2), (320, 2)])
def test_nothing_sticks_out_on_screen_zoomed_or_on_a_phone(browser, roofs, width, scale):
    opened(browser, roofs[1])
    screen(browser, width, 800, scale)
    browser.get(roofs[1].as_uri())
    assert browser.execute_script("return document.documentElement.scrollWidth") <= width
    for element in browser.find_elements(
        By.CSS_SELECTOR, "#choice input, #choice select, #choice button, .tools button"
    ):
        if element.is_displayed():
            assert element.rect["x"] >= 0
            assert element.rect["x"] + element.rect["width"] <= width
    if width <= 375:
        assert [cell.text for cell in browser.find_elements(By.CSS_SELECTOR, "#sites thead th")] == [
            "site",
            "verdict",
            "reason",
        ]
        box = browser.execute_script(
            "const w = document.querySelector('.roll .wide'); return [w.scrollWidth, w.clientWidth]"
        )
        assert width < 375 or box[0] <= box[1], "the table of a phone needs no scrolling"


@pytest.mark.parametrize(
    ("every_column", "paper", "wide", "high"),
    [
        (False, "A4", 210.0, 297.0),
        (True, "Letter", 215.9, 279.4),
        pytest.param(True, "A4", 210.0, 297.0, marks=pytest.mark.slow),
        pytest.param(False, "Letter", 215.9, 279.4, marks=pytest.mark.slow),
    ],
)
def test_prints_whole_rows_and_no_cut_table(browser, roofs, paper, wide, high, every_column):
    opened(browser, roofs[1])
    if every_column:
        choose_all_columns(browser)
    screen(browser, round((wide - 28) * MM))
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        browser.execute_script("window.dispatchEvent(new Event('beforeprint'))")
        assert len(ids(browser)) == 120, "all rows are printed, not one page of the table"
        edge = browser.execute_script(
            "return Math.max(...[...document.querySelectorAll('table, svg, .wide, td, th')]"
            ".map(e => e.getBoundingClientRect().right))"
        )
        assert edge <= (wide - 28) * MM + 1
        tall = browser.execute_script(
            "return Math.max(...[...document.querySelectorAll('tr')].map(r => r.offsetHeight))"
        )
        assert tall < (high - 31) * MM
        hidden = browser.execute_script(
            "return [...document.querySelectorAll('#choice, .tools, .card')].every(e => !e.offsetHeight)"
        )
        assert hidden
    finally:
        browser.execute_script("window.dispatchEvent(new Event('afterprint'))")
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    printed = browser.execute_cdp_cmd(
        "Page.printToPDF", {"paperWidth": wide / 25.4, "paperHeight": high / 25.4, "preferCSSPageSize": False}
    )
    pages = len(re.findall(rb"/Type\s*/Page\b", base64.b64decode(printed["data"])))
    assert (15 <= pages <= 60) if every_column else (4 <= pages <= 9), pages
    assert len(ids(browser)) == 100, "the table is as before"


def test_five_thousand_sites_are_at_work_in_two_seconds(browser, tmp_path):
    one = case(tmp_path, 5003)
    path = tmp_path / "index.html"
    text = one.page()
    path.write_text(text, encoding="utf-8")
    assert len(text.encode()) < 300_000 + 5_000 * 1_000
    times = []
    for _ in range(3):
        opened(browser, path)
        done = browser.execute_async_script("""
            const finish = arguments[0], ready = performance.getEntriesByName('edgecheck-ready')[0].startTime;
            const begin = performance.now();
            const heads = [...document.querySelectorAll('#sites thead button')];
            heads.find(head => head.textContent.startsWith('headroom')).click();
            document.body.offsetHeight;
            requestAnimationFrame(() => setTimeout(() => finish([ready, performance.now() - begin])));
        """)
        times.append(sum(done))
        assert len(ids(browser)) == 100
        assert "5000 of 5000 sites" in found(browser)
    assert "The other 3 stand in" in browser.find_element(By.ID, "sites-part").text
    assert min(times) < 2000, times
    browser.execute_script("window.dispatchEvent(new Event('beforeprint'))")
    assert len(ids(browser)) == 1000
    assert browser.find_element(By.ID, "print-rest").get_attribute("hidden") is None


def test_without_javascript_the_best_sites_stand_in_a_table(browser, roofs):
    one, path = roofs
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        browser.get(path.as_uri())
        rows = browser.find_elements(By.CSS_SELECTOR, "#sites tbody tr")
        assert [row.find_element(By.CSS_SELECTOR, "bdi").text for row in rows] == ids_by_rank(one)[:50]
        assert "need JavaScript" in found(browser)
        assert not browser.find_element(By.ID, "choice").is_displayed()
        assert not browser.find_element(By.CSS_SELECTOR, ".sheet").is_displayed()
        assert browser.find_element(By.CSS_SELECTOR, "#loads figure").is_displayed()
    finally:
        browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


def test_static_rows_and_rows_of_the_program_say_the_same(browser, roofs):
    text = (
        "return [...document.querySelectorAll('#sites tbody tr')].slice(0, 50)"
        ".map(r => [...r.cells].map(c => c.textContent.trim()))"
    )
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        opened(browser, roofs[1])
        static = browser.execute_script(text)
    finally:
        browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})
    opened(browser, roofs[1])
    assert [row[1:] for row in browser.execute_script(text)] == static


def axe(browser):
    browser.set_script_timeout(120)
    browser.execute_script(axe_script())
    found = browser.execute_async_script(
        "const done = arguments[0]; axe.run(document, {resultTypes: ['violations']})"
        ".then(r => done(r.violations), e => done([{id: String(e), nodes: []}]))"
    )
    return [(one["id"], [node["target"] for node in one["nodes"]][:5]) for one in found]


@pytest.mark.parametrize("width", [1280, 375])
def test_accessibility_rules_find_nothing_on_the_list_page(browser, roofs, width):
    opened(browser, roofs[1], width)
    browser.find_element(By.CSS_SELECTOR, "#column-choice summary").click()
    browser.find_elements(By.CSS_SELECTOR, "#sites tbody td button")[1].click()
    assert axe(browser) == []


@pytest.mark.slow  # reports of the demo are tried in test_report_rules.py
def test_accessibility_rules_find_nothing_on_the_report(browser, tmp_path):
    path = tmp_path / "worst-hour.html"
    path.write_text(site_page(make_result(), need=NEED), encoding="utf-8")
    opened(browser, path)
    assert axe(browser) == []
