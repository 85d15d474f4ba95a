"""A real browser for tests of pages.

Needs Debian's chromium and chromium-driver. Without them the tests are skipped, except where the environment
variable EDGECHECK_REQUIRE_BROWSER is 1: then they fail.
"""

import os
from pathlib import Path

import pytest
from portfolio_cases import case

CHROMIUM, DRIVER = Path("/usr/bin/chromium"), Path("/usr/bin/chromedriver")
FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    if not (CHROMIUM.exists() and DRIVER.exists()):
        reason = f"no {CHROMIUM} or no {DRIVER}"
        if os.environ.get("EDGECHECK_REQUIRE_BROWSER") == "1":
            pytest.fail(reason)
        pytest.skip(reason)
    webdriver = pytest.importorskip("selenium.webdriver")
    options = webdriver.ChromeOptions()
    options.binary_location = str(CHROMIUM)
    for flag in (*FLAGS, f"--user-data-dir={tmp_path_factory.mktemp('profile')}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=str(DRIVER)))
    yield driver
    driver.quit()


@pytest.fixture(scope="module")
def roofs(tmp_path_factory):
    """A list of 120 sites and the path of its page."""
    folder = tmp_path_factory.mktemp("roofs")
    one = case(folder, 120)
    return one, one.write(folder)
