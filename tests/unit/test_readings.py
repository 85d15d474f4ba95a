"""Readings that several checks share, and a check's stored outcome: the same as made anew from the whole."""

import math
from dataclasses import replace
from itertools import islice

import numpy as np
import pytest

from edgecheck.chain import qualify
from edgecheck.checks.model import CheckResult
from edgecheck.checks.readings import full_capacity, worst_of
from edgecheck.checks.result import plain, stored_check, without_usual
from edgecheck.heat.curve import CoolingCurve
from edgecheck.heat.headroom import worst_hour
from tests.speed_cases import further_sites, station, unit_of_kind


def test_shared_readings_are_those_taken_anew(monkeypatch):
    import edgecheck.chain as chain

    found = []
    run = chain.site_heat
    monkeypatch.setattr(chain, "site_heat", lambda *given: found.append(run(*given)) or found[-1])
    for site in islice(further_sites(), 2):
        qualify(site, unit_of_kind("chiller"), station())
    for heat in found:
        setpoint = heat.machine.setpoint
        assert worst_of(heat.year.headroom) == worst_hour(heat.year.headroom)
        shared = full_capacity(heat.year.curve, setpoint)
        assert isinstance(heat.year.curve, CoolingCurve)
        np.testing.assert_array_equal(shared, heat.year.curve.full_capacity_at(setpoint))
        with pytest.raises(ValueError, match="read-only"):
            shared[0] = 0.0
    assert full_capacity(found[0].year.curve, 45.0) is not full_capacity(found[1].year.curve, 45.0)


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"demand": 1.5, "limit": 0.0, "spare": -1.5, "utilisation": math.inf},
        {"demand": math.nan, "limit": np.float64(2.0), "spare": -math.inf},
        {"governed_by": "year", "note": "Why.", "missing": ("a", "b"), "assumed": ("c",)},
        {"conditions": ("first", "second")},
    ],
)
def test_a_stored_check_lacks_what_goes_without_saying_and_nothing_else(change):
    result = replace(CheckResult("heat.headroom", "pass"), **change)
    usual = {
        key: value
        for key, value in plain(CheckResult("", "pass").to_dict()).items()
        if key not in ("id", "status")
    }
    whole = plain(result.to_dict())
    expected = {key: value for key, value in whole.items() if key not in usual or value != usual[key]}
    assert stored_check(result) == expected
    assert without_usual(result.to_dict(), usual) == expected
    assert list(stored_check(result)) == list(expected)
