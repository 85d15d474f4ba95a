"""The reports that browser tests open: of the demo, of real weather, and of texts that somebody wrote to break them."""

import pytest
from hostile_run import TEXTS, hostile_run
from report_run import SITES, demo_run, real_run

CASES = (
    [pytest.param("demo", site, id=f"demo-{site}") for site in SITES.values()]
    + [pytest.param("real", "VM-06", id="real-VM-06")]
    + [pytest.param("hostile", f"H-{kind}", id=f"hostile-{kind}") for kind in TEXTS]
)
RUNS = {"demo": demo_run, "real": real_run, "hostile": hostile_run}


def page(run, site):
    """Path of a report."""
    return RUNS[run]() / site / "worst-hour.html"


def shown(browser, run, site):
    """Have a report on the screen; one that is there already stays, for it has no program that minds its width."""
    wanted = page(run, site).as_uri()
    if browser.current_url != wanted:
        browser.get(wanted)
    assert browser.title == f"{site}: worst-hour report"


def slow_but(*kept):
    """Cases with one more value each, all of them slow but some that are kept in the default set.

    Parameters
    ----------
    *kept : tuple of str and object
        Id of a case and the value that goes with it. Every value of `kept` is tried with every case.
    """
    values = list(dict.fromkeys(value for _, value in kept))
    return [
        pytest.param(*case.values, value, id=f"{case.id}-{value}",
                     marks=() if (case.id, value) in kept else pytest.mark.slow)
        for case in CASES
        for value in values
    ]  # fmt: skip
