"""The list page in a browser: opening it, reading and working its table; shared by the tests of the page."""

from selenium.webdriver.common.by import By
from selenium.webdriver.support.select import Select


def screen(browser, width, height=900, scale=1):
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": scale, "mobile": False},
    )


def opened(browser, path, width=1280):
    screen(browser, width)
    browser.get(path.as_uri())
    return browser


def ids(browser):
    return browser.execute_script(
        "return [...document.querySelectorAll('#sites tbody tr')].map(r => r.querySelector('th bdi').textContent)"
    )


def found(browser):
    return browser.find_element(By.ID, "found").text


def choose_all_columns(browser):
    browser.execute_script(
        "for (const box of document.querySelectorAll('#columns input')) if (!box.checked) box.click()"
    )


def rows_at_once(browser, text):
    Select(browser.find_element(By.ID, "page-size")).select_by_visible_text(text)


def heading(browser, title):
    return browser.find_element(By.XPATH, f"//*[@id='sites']/thead//button[text()='{title}']")


def ids_by_rank(one):
    return [row["site_id"] for row in sorted(one.table(), key=lambda row: int(row["rank"]))]
