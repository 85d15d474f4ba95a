"""The map of the list page in a real browser: scale, graticule, shapes, keyboard, and its link with the table."""

import math

import pytest
from portfolio_browser import (
    ids,
    ids_by_rank,
    opened,
    rows_at_once,
)
from portfolio_cases import case
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

EARTH_KM = 6371.0088


def map_facts(browser):
    """Kilometres a pixel from the scale bar, and the marks' places in pixels."""
    return browser.execute_script("""
        const svg = document.getElementById('map-drawing'), bar = svg.querySelector('.bar').getAttribute('d');
        const [a, b] = [bar.match(/^M([-\\d.]+)/)[1], bar.match(/H([-\\d.]+)/)[1]].map(Number);
        const words = [...svg.querySelectorAll('text')].map(t => t.textContent);
        const length = words.find(t => / k?m$/.test(t)).replace('\\u202f', '');
        const km = parseFloat(length) / (length.endsWith(' km') ? 1 : 1000);
        const marks = [...svg.querySelectorAll('[class^=pins]')].flatMap(
            p => [...p.getAttribute('d').matchAll(/M([-\\d.]+) ([-\\d.]+)/g)].map(m => [+m[1], +m[2]]));
        const size = svg.getAttribute('viewBox').split(' ').map(Number);
        return {perPixel: km / (b - a), marks, words, size, text: svg.outerHTML};
    """)


def great_circle(first, second):
    """Distance on a sphere (haversine formula). [km]"""
    (a, b), (c, d) = [[math.radians(value) for value in place] for place in (first, second)]
    half = math.sin((c - a) / 2) ** 2 + math.cos(a) * math.cos(c) * math.sin((d - b) / 2) ** 2
    return 2 * EARTH_KM * math.asin(math.sqrt(half))


@pytest.mark.parametrize(
    "places, seen",
    [
        ([(46.8, -32.9)], ["46.800° N", "32.90° W"]),
        ([(-16.5, 179.9), (-16.6, -179.8)], ["180.0°", "179.9° W"]),
        ([(46.8, -32.9), (46.9, -32.6)], ["46.90° N"]),
        ([(0.01, -0.01), (-0.01, 0.01)], ["0.000°", "0.005° E", "0.005° S"]),
        ([(89.97, 0.0), (89.99, 170.0), (90.0, 0.0)], []),
        ([(60.0, 10.0), (-45.0, 170.0), (10.0, -120.0)], []),
    ],
    ids=["one site", "date line", "city", "null island", "pole", "world"],
)
def test_map_holds_its_scale_wherever_the_sites_are(browser, tmp_path, places, seen):
    one = case(tmp_path, len(places), positions=places)
    opened(browser, one.write(tmp_path))
    facts = map_facts(browser)
    assert "NaN" not in facts["text"]
    assert "Infinity" not in facts["text"]
    assert len(facts["marks"]) == len(places)
    width, height = facts["size"][2:]
    assert all(0 < x < width and 0 < y < height for x, y in facts["marks"])
    assert [word for word in seen if word not in facts["words"]] == []
    assert sum("°" in word for word in facts["words"]) >= 2
    if len(places) == 2:
        (x1, y1), (x2, y2) = facts["marks"]
        drawn = math.hypot(x2 - x1, y2 - y1) * facts["perPixel"]
        # Marks are drawn to 0.1 pixel, and the projection bends lengths over a tenth of a degree by less.
        assert drawn == pytest.approx(great_circle(*places), rel=0.005)


def test_zoom_and_what_is_left_out(browser, roofs):
    opened(browser, roofs[1])
    before = map_facts(browser)
    browser.find_element(By.ID, "map-in").click()
    assert map_facts(browser)["perPixel"] < before["perPixel"]
    browser.find_element(By.ID, "map-all").click()
    assert map_facts(browser)["perPixel"] == pytest.approx(before["perPixel"], rel=1e-6)
    browser.find_element(By.CSS_SELECTOR, "input[value='go']").click()
    aside = browser.execute_script(
        "return document.querySelector('.pins-aside').getAttribute('d').split('M').length - 1"
    )
    assert aside == sum(result.verdict == "go" for result in roofs[0].results)


def test_table_and_map_mark_the_same_site(browser, roofs):
    opened(browser, roofs[1])
    third = browser.find_elements(By.CSS_SELECTOR, "#sites tbody tr")[2]
    third.find_element(By.CSS_SELECTOR, "td.why").click()
    chosen = third.find_element(By.CSS_SELECTOR, "bdi").text
    ring = "return document.querySelector('#map-drawing .chosen text')?.textContent"
    assert browser.execute_script(ring) == chosen
    assert browser.find_element(By.CSS_SELECTOR, "#read-out b").text == chosen
    place = browser.execute_script(
        "const c = document.querySelector('#map-drawing .chosen circle').getBoundingClientRect();"
        "return [c.left + c.width / 2, c.top + c.height / 2]"
    )
    browser.find_elements(By.CSS_SELECTOR, "#sites tbody tr")[0].find_element(
        By.CSS_SELECTOR, "td.why"
    ).click()
    for kind in ("pointerdown", "pointerup"):
        browser.execute_script(
            "document.getElementById('map-drawing').dispatchEvent(new PointerEvent(arguments[0],"
            " {clientX: arguments[1], clientY: arguments[2], bubbles: true, pointerType: 'mouse'}))", kind, *place
        )  # fmt: skip
    assert browser.find_element(By.CSS_SELECTOR, "#sites tr.chosen bdi").text == chosen


def test_the_map_is_walked_with_the_keyboard_and_the_table_follows(browser, roofs):
    one, path = roofs
    opened(browser, path)
    rows_at_once(browser, "25")
    frame = browser.find_element(By.ID, "map")
    frame.send_keys(Keys.PAGE_DOWN)
    first = browser.find_element(By.CSS_SELECTOR, "#sites tr.chosen bdi").text
    where = {site.site_id: site for site in one.site_list.sites}
    moves = (
        (Keys.ARROW_UP, "latitude_deg", 1),
        (Keys.ARROW_DOWN, "latitude_deg", -1),
        (Keys.ARROW_RIGHT, "longitude_deg", 1),
    )
    for key, quantity, sign in moves:
        before = browser.find_element(By.CSS_SELECTOR, "#read-out b").text
        frame.send_keys(key)
        after = browser.find_element(By.CSS_SELECTOR, "#read-out b").text
        assert sign * (where[after].number(quantity) - where[before].number(quantity)) > 0
        assert browser.find_element(By.CSS_SELECTOR, "#sites tr.chosen bdi").text == after
        assert browser.execute_script("return document.activeElement.id") == "map"
    assert first == ids_by_rank(one)[0]
    for _ in range(30):
        frame.send_keys(Keys.PAGE_DOWN)
    chosen = browser.find_element(By.CSS_SELECTOR, "#sites tr.chosen bdi").text
    assert chosen in ids(browser), "the table turned to the page of the chosen site"
    frame.send_keys("+", "+", Keys.ENTER)
    assert (
        browser.execute_script("return document.activeElement.closest('tr').querySelector('bdi').textContent")
        == chosen
    )
    browser.switch_to.active_element.send_keys(Keys.ARROW_DOWN)
    assert browser.find_element(By.CSS_SELECTOR, "#read-out b").text != chosen


def test_every_verdict_has_a_shape_of_its_own_beside_its_word(browser, roofs):
    opened(browser, roofs[1])
    shapes = browser.execute_script("return [...document.querySelectorAll('symbol')].map(s => s.innerHTML)")
    assert len(set(shapes)) == len(shapes) == 5
    pins = browser.execute_script(
        "return [...document.querySelectorAll('marker:not([id$=small])')].map(s => s.innerHTML)"
    )
    assert len(set(pins)) == len(pins) == 6
    words = browser.execute_script(
        "return [...document.querySelectorAll('#sites tbody .word')]"
        ".map(w => [w.textContent, w.querySelector('use').getAttribute('href')])"
    )
    assert {f"#shape-{word}" for word, _ in words} == {href for _, href in words}
