"""Combinations of each standard and edition: their factors, their clauses, national values."""

import pytest

from edgecheck.inputs.combinations import combinations, recommended, stability_combinations
from edgecheck.inputs.criteria import load_criteria
from edgecheck.roof.site_stability import national_values

STANDARDS = ("en", "asce7-16", "asce7-22")


def factors(one):
    return one.permanent, one.wind, one.horizontal, one.vertical


def test_en_equilibrium():
    """EN 1990 Table A1.2(A), recommended: 0.90 and 1.50 (Steel Buildings in Europe, Multi-Storey Part 3, table 3.1)."""
    (one,) = stability_combinations("en")
    assert factors(one) == (0.90, 1.50, 0.0, 0.0)
    assert one.text == "0.9 G + 1.5 W"
    assert "A1.2(A)" in one.clause


@pytest.mark.parametrize("edition", ["asce7-16", "asce7-22"])
def test_asce(edition):
    """ASCE 7 2.4.1: 0.6D + 0.6W; 2.3.1: 0.9D + 1.0W; 2.4.5: 0.6D - 0.7Ev + 0.7Eh; 2.3.6: 0.9D - Ev + Eh."""
    asd, strength = combinations(edition, "wind")
    assert factors(asd) == (0.6, 0.6, 0.0, 0.0)
    assert factors(strength) == (0.9, 1.0, 0.0, 0.0)
    assert [one.level for one in (asd, strength)] == ["asd", "design"]
    assert stability_combinations(edition) == (asd,)
    shaken = combinations(edition, "seismic")
    assert [factors(one) for one in shaken] == [(0.6, 0.0, 0.7, 0.7), (0.9, 0.0, 1.0, 1.0)]
    assert [one.text for one in shaken] == ["0.6 D - 0.7 Ev + 0.7 Eh", "0.9 D - Ev + Eh"]
    title = {"asce7-16": "ASCE 7-16", "asce7-22": "ASCE 7-22"}[edition]
    assert all(one.clause.startswith(title) for one in (*combinations(edition, "wind"), *shaken))


@pytest.mark.parametrize("standard", STANDARDS)
def test_levels_and_uses_are_kept_apart(standard):
    for use in ("wind", "seismic"):
        both = combinations(standard, use)
        assert both
        for level in ("design", "asd"):
            assert combinations(standard, use, level=level) == tuple(o for o in both if o.level == level)
        assert all((one.wind > 0) == (use == "wind") for one in both)
        assert all(one.clause and 0.0 < one.permanent <= 1.0 for one in both)


def test_national_values_replace_the_recommended_ones_and_nothing_else():
    (one,) = stability_combinations("en", {"en_gamma_q": 1.35, "en_gamma_g_inf": 0.95, "else": 3.0})
    assert factors(one)[:2] == (0.95, 1.35)
    assert one.text == "0.95 G + 1.35 W"
    assert stability_combinations("asce7-16", {"en_gamma_q": 9.0}) == stability_combinations("asce7-16")


def test_shipped_criteria_are_the_recommended_values():
    assert national_values(load_criteria().stability) == recommended()


def test_a_standard_without_a_table():
    with pytest.raises(KeyError):
        combinations("asce7-10", "wind")
