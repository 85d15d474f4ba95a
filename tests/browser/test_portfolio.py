"""The list page at work in a real browser: table, filters, columns, links, keyboard, hostile lists."""

import json
import re
from dataclasses import replace

import pytest
from portfolio_browser import (
    choose_all_columns,
    found,
    heading,
    ids,
    opened,
    rows_at_once,
)
from portfolio_cases import OWN, case
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.select import Select
from selenium.webdriver.support.ui import WebDriverWait

from edgecheck.outputs.number_text import readable

HOSTILE = (
    "</script><script>window.bad=1</script>",
    "<img src=x onerror=window.bad=1>\"'><b>",
    "very long " * 40,
    "\u202eمرحبا\u202c \u05e9\u05dc\u05d5\u05dd",
    "\U0001f9ca\U0001f468\u200d\U0001f680 {{ 7*7 }} ${1+1} &lt;i&gt;",
)


def test_page_opens_without_request_or_complaint_and_its_ids_are_unique(browser, roofs):
    browser.get_log("performance")
    browser.get_log("browser")
    opened(browser, roofs[1])
    choose_all_columns(browser)
    rows_at_once(browser, "all")
    heading(browser, "headroom").click()
    sent = [
        message["params"]
        for entry in browser.get_log("performance")
        if (message := json.loads(entry["message"])["message"])["method"] == "Network.requestWillBeSent"
    ]
    # The browser's own first tab asks for its parts too.
    asked = [each["request"]["url"] for each in sent if each["documentURL"].startswith("file:")]
    assert asked
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    assert browser.get_log("browser") == []
    every = browser.execute_script("return [...document.querySelectorAll('[id]')].map(e => e.id)")
    assert len(every) == len(set(every))


def test_every_cell_shown_is_that_of_verdicts_csv(browser, roofs):
    one, path = roofs
    opened(browser, path)
    choose_all_columns(browser)
    rows_at_once(browser, "all")
    keys = browser.execute_script(
        "const all = JSON.parse(document.getElementById('data').textContent).columns;"
        "return [...document.querySelectorAll('#sites thead th')].map(h => all[h.dataset.at]?.key ?? 'site_id')"
    )
    shown = browser.execute_script(
        "return [...document.querySelectorAll('#sites tbody tr')].map(r => [...r.cells].slice(1).map(c =>"
        " c.querySelector('ul') ? [...c.querySelectorAll('li')].map(l => l.textContent) :"
        " c.querySelector('bdi')?.textContent ?? c.textContent))"
    )
    by_rank = sorted(one.table(), key=lambda row: int(row["rank"]))
    assert len(shown) == len(by_rank) == 120
    numbers = 0
    for cells, written in zip(shown, by_rank, strict=True):
        for key, text in zip(keys, cells, strict=True):
            wanted = written[key]
            if isinstance(text, list):
                assert "; ".join(text) == readable(wanted)
                continue
            plain = text.replace("\u2212", "-").replace("\u202f", "")
            number = re.fullmatch(r"(-?\d+(?:\.(\d+))?)(?: (\S+))?", plain)
            if text in ("not known", "unlimited", "none"):
                assert wanted == {"not known": "", "unlimited": "inf", "none": ""}[text]
            elif number and key not in OWN:
                numbers += 1
                half = 0.5 * 10 ** -len(number[2] or "") + 1e-9
                assert float(number[1]) == pytest.approx(
                    float(wanted) * (100 if number[3] == "%" else 1), abs=half
                )
            else:
                assert text in (wanted, readable(wanted))
    assert numbers > 120 * 8


def test_columns_sort_up_and_down_with_the_unknown_last(browser, roofs):
    one, path = roofs
    opened(browser, path)
    rows_at_once(browser, "all")
    written = {row["site_id"]: row for row in one.table()}
    loads = {key: row["max_it_load_kw"] for key, row in written.items()}
    button = heading(browser, "largest IT load")
    for falling, direction in ((True, "descending"), (False, "ascending")):
        button.click()
        order = [loads[key] for key in ids(browser)]
        known = [round(float(text), 2) for text in order if text]
        assert known == sorted(known, reverse=falling)
        assert all(order[: len(known)])
        assert len(known) < len(order)
        assert button.find_element(By.XPATH, "..").get_attribute("aria-sort") == direction
    heading(browser, "verdict").click()
    words = [written[key]["verdict"] for key in ids(browser)]
    assert list(dict.fromkeys(words)) == ["go", "conditional", "undecided", "no-go", "unusable"]
    ranks = [int(written[key]["rank"]) for key in ids(browser)]
    assert ranks == sorted(ranks), "equal ones keep the order of the rank"
    choose_all_columns(browser)
    heading(browser, "Rent").click()
    rents = [float(written[key]["Rent"]) for key in ids(browser) if written[key]["Rent"]]
    assert rents == sorted(rents), "an own column of numbers sorts by number"
    heading(browser, "site").click()
    heading(browser, "site").click()
    assert ids(browser)[0] == "R-0119"


def all_again(browser, count):
    """Press the button that shows all sites again; the rows are drawn after the form has been reset."""
    browser.find_element(By.CSS_SELECTOR, "button[type='reset']").click()
    WebDriverWait(browser, 10).until(lambda one: len(ids(one)) == count)


def test_filters_by_verdict_group_reason_and_text(browser, roofs):
    one, path = roofs
    opened(browser, path)
    rows_at_once(browser, "all")
    table = one.table()

    def matching(keep):
        return {row["site_id"] for row in table if keep(row)}

    browser.find_element(By.CSS_SELECTOR, "input[value='no-go']").click()
    assert set(ids(browser)) == matching(lambda row: row["verdict"] != "no-go")
    assert found(browser).startswith(f"{len(ids(browser))} of 120 sites shown: verdict go or conditional")
    all_again(browser, 120)
    Select(browser.find_element(By.NAME, "group")).select_by_visible_text("Roof: no-go")
    assert set(ids(browser)) == matching(lambda row: row["roof"] == "no-go")
    all_again(browser, 120)
    Select(browser.find_element(By.NAME, "reason")).select_by_visible_text(
        "stopped only by: Weight on the roof"
    )
    alone = set(ids(browser))
    assert alone == {result.site_id for n, result in enumerate(one.results[:-1]) if n % 7 == 3}
    Select(browser.find_element(By.NAME, "reason")).select_by_visible_text("stopped by: Weight on the roof")
    assert set(ids(browser)) == alone | {
        result.site_id for n, result in enumerate(one.results[:-1]) if n % 7 == 5
    }
    all_again(browser, 120)
    box = browser.find_element(By.NAME, "text")
    box.send_keys("LANDLORD roof")
    assert set(ids(browser)) == matching(lambda row: row["Landlord"] != "")
    box.send_keys(" no such words")
    assert ids(browser) == []
    assert found(browser).startswith("0 of 120 sites shown: text “LANDLORD roof no such words”")
    assert browser.find_element(By.ID, "page-text").text == "no row"


def test_a_number_of_the_reasons_shows_its_sites(browser, roofs):
    opened(browser, roofs[1])
    rows_at_once(browser, "all")
    cells = browser.find_elements(By.CSS_SELECTOR, "[data-reason] button")
    assert len(cells) >= 6
    for place in range(len(cells)):
        button = browser.find_elements(By.CSS_SELECTOR, "[data-reason] button")[place]
        number = int(button.text)
        button.send_keys(Keys.ENTER)
        assert len(ids(browser)) == number


def test_keyboard_goes_through_controls_map_and_table_in_the_order_of_the_page(browser, roofs):
    opened(browser, roofs[1])
    browser.execute_script("document.querySelector('input[name=verdict]').focus()")
    steps = []
    for _ in range(40):
        steps.append(
            browser.execute_script(
                "const e = document.activeElement;"
                "return e.name || e.id || (e.closest('#sites tbody') ? 'row ' + e.tagName :"
                " e.closest('#sites thead') ? 'heading' : e.className || e.textContent)"
            )
        )
        browser.switch_to.active_element.send_keys(Keys.TAB)
    order = list(dict.fromkeys(steps))
    wanted = [
        "verdict",
        "group",
        "reason",
        "text",
        "map",
        "map-in",
        "map-shown",
        "wide",
        "heading",
        "row BUTTON",
        "row A",
    ]
    assert [step for step in order if step in wanted] == wanted
    assert steps.count("row BUTTON") == 1, "one stop for the rows; arrows go on from there"


def test_columns_are_chosen_and_own_ones_are_there(browser, roofs):
    opened(browser, roofs[1])
    browser.find_element(By.CSS_SELECTOR, "#column-choice summary").click()
    labels = browser.find_elements(By.CSS_SELECTOR, "#columns label")
    assert [label.text for label in labels][-8:] == list(OWN[:8])
    labels[-8].click()
    assert browser.find_elements(By.CSS_SELECTOR, "#sites thead th")[-1].text == "Landlord"
    assert browser.execute_script("return document.activeElement.type") == "checkbox"
    labels[-8].click()
    assert browser.find_elements(By.CSS_SELECTOR, "#sites thead th")[-1].text != "Landlord"


def test_links_lead_to_the_reports(browser, roofs):
    one, path = roofs
    opened(browser, path)
    row = next(iter(one.folders))
    site = next(result.site_id for result in one.results if result.row == row)
    browser.find_element(By.LINK_TEXT, site).click()
    assert browser.title == f"report of F {row}"


def test_hostile_text_appears_as_text_and_breaks_nothing(browser, tmp_path):
    own = {f"Own {n} <i>{text[:12]}": [text] for n, text in enumerate(HOSTILE)}
    one = case(tmp_path, 8, own=own)
    results = [
        replace(
            result,
            site_id=f"{n} {HOSTILE[n % 5]}"[:250],
            name=HOSTILE[(n + 1) % 5],
            reason=HOSTILE[(n + 2) % 5],
            conditions=HOSTILE,
            to_survey=HOSTILE,
        )
        for n, result in enumerate(one.results[:-1])
    ]
    bad = replace(one.results[-1], reason=HOSTILE[0], faults=HOSTILE[:2])
    one = replace(one, results=[*results, bad], run={**one.run, "notes": HOSTILE, "unit_cautions": HOSTILE})
    path = tmp_path / "index.html"
    path.write_text(one.page(HOSTILE[0] + HOSTILE[1]), encoding="utf-8")
    browser.get_log("browser")
    opened(browser, path)
    choose_all_columns(browser)
    for title in ("site", "reason", *own):
        browser.execute_script(
            "for (const b of document.querySelectorAll('#sites thead button'))"
            " if (b.firstChild.textContent === arguments[0]) b.click()", title
        )  # fmt: skip
    browser.find_elements(By.CSS_SELECTOR, "#sites tbody td button")[3].click()
    texts = set(
        browser.execute_script(
            "return [...document.querySelectorAll('#sites td .clip, #sites li, #sites bdi, #sites .id')]"
            ".map(e => e.textContent)"
        )
    )
    for text in HOSTILE:
        assert text in texts or f"{text[:299]}…" in texts, text
    assert {f"{n} {HOSTILE[n % 5]}"[:250] for n in range(7)} <= texts
    assert HOSTILE[1] in browser.find_element(By.CSS_SELECTOR, "h1").text
    assert browser.execute_script("return window.bad") is None
    assert (
        browser.execute_script("return document.querySelectorAll('main img, main script, main b i').length")
        == 0
    )
    assert browser.execute_script("return document.documentElement.scrollWidth") <= 1280
    assert browser.get_log("browser") == []
