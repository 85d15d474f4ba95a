"""The worst-hour report by accessibility rules and by keyboard, in a real browser."""

import pytest
from axe_core import axe_script
from portfolio_browser import screen
from report_cases import page, slow_but
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys


def demo(site):
    return page("demo", site)


RULED = ("demo-AC-01", "demo-KH-04", "demo-TQ-1", "real-VM-06", "hostile-markup")
CHECKED = [
    case
    for case in slow_but(
        ("demo-AC-01", 1280), ("demo-KH-04", 375), ("demo-TQ-1", 1280), ("hostile-markup", 375)
    )
    if case.id.startswith(RULED)
]


@pytest.mark.parametrize(("run", "site", "width"), CHECKED)
def test_accessibility_rules_find_nothing(browser, run, site, width):
    screen(browser, width)
    browser.get(page(run, site).as_uri())
    browser.set_script_timeout(120)
    browser.execute_script(axe_script())
    found = browser.execute_async_script(
        "const done = arguments[0]; axe.run(document, {resultTypes: ['violations']})"
        ".then(r => done(r.violations), e => done([{id: String(e), nodes: []}]))"
    )
    assert [(one["id"], [node["target"] for node in one["nodes"]][:5]) for one in found] == []


@pytest.mark.parametrize("width", [pytest.param(1280, marks=pytest.mark.slow), 375])
def test_keys_walk_through_the_report_in_its_order(browser, width):
    screen(browser, width)
    browser.get(demo("AC-01").as_uri())
    total = browser.execute_script(
        "window.stops = [...document.querySelectorAll('a[href], [tabindex]')]"
        ".filter(e => e.checkVisibility()); return stops.length"
    )
    assert total > 30
    walked = []
    for _ in range(total):
        browser.switch_to.active_element.send_keys(Keys.TAB)
        walked.append(
            browser.execute_script(
                "const e = document.activeElement, s = getComputedStyle(e);"
                "return [stops.indexOf(e), s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0]"
            )
        )
    assert [place for place, _ in walked] == list(range(total)), "the order of the document, nothing left out"
    assert all(visible for _, visible in walked), "where the keys are can be seen"


@pytest.mark.parametrize("width", [375, 320])
def test_whatever_scrolls_can_be_reached_by_keyboard_and_has_a_name(browser, width):
    screen(browser, width)
    browser.get(demo("AC-01").as_uri())
    found = browser.execute_script("""
        return [...document.querySelectorAll('main *')].filter(e => !e.closest('svg')
            && e.scrollWidth > e.clientWidth + 1 && ['auto', 'scroll'].includes(getComputedStyle(e).overflowX))
            .map(e => [e.tabIndex, e.getAttribute('role'), e.getAttribute('aria-label') || '']);
    """)
    assert len(found) > 10
    for stop, role, name in found:
        assert (stop, role) == (0, "group")
        assert name


def test_scrolled_to_its_end_the_last_column_is_seen(browser):
    screen(browser, 375)
    browser.get(demo("AC-01").as_uri())
    frame = browser.find_element(By.CSS_SELECTOR, "#year .wide table").find_element(By.XPATH, "..")
    ends = browser.execute_script(
        "const f = arguments[0]; f.scrollLeft = 1e6; const last = f.querySelector('tbody tr').lastElementChild;"
        "return [last.getBoundingClientRect().right, f.getBoundingClientRect().right]",
        frame,
    )
    assert ends[0] <= ends[1] + 1


def test_links_of_page_one_lead_to_their_sections(browser):
    screen(browser, 1280)
    for path in (demo("KH-04"), demo("TQ-1")):
        browser.get(path.as_uri())
        for link in browser.find_elements(By.CSS_SELECTOR, "nav a, .more a, .screening a"):
            target = link.get_attribute("href").partition("#")[2]
            link.click()
            top = browser.execute_script(
                "return document.getElementById(arguments[0]).getBoundingClientRect().top", target
            )
            assert -2 <= top < 900, target
            browser.execute_script("scrollTo(0, 0)")
