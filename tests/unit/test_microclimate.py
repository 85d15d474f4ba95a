"""The roof around the unit: what the list says, and what an empty cell means."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.heat.microclimate import SURFACES, microclimate, number_setting, setting
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.columns import columns
from edgecheck.inputs.sites import Site


def site(**values):
    return Site(row=2, site_id="X", values=values)


# Engineering defaults: absorptance for sunlight, emissivity
@pytest.mark.parametrize(
    "surface, absorptance, emissivity",
    [
        ("dark", 0.90, 0.90),
        ("gravel", 0.75, 0.90),
        ("light", 0.35, 0.90),
        ("green", 0.70, 0.95),
        ("metal", 0.60, 0.30),
    ],
)
def test_surfaces(surface, absorptance, emissivity):
    found = microclimate(site(roof_surface=surface))
    assert (found.roof_absorptance, found.roof_emissivity) == (absorptance, emissivity)
    assert found.albedo == pytest.approx(1.0 - absorptance)


def test_every_surface_of_the_list_has_its_values():
    assert tuple(SURFACES) == columns()["roof_surface"].values


def test_an_empty_row_is_a_dark_roof_with_the_stated_defaults():
    found = microclimate(site())
    assert (found.roof_absorptance, found.roof_emissivity) == SURFACES["dark"]
    assert (found.wind_share, found.recirculation, found.roof_mixing) == (0.5, 0.05, 0.04)


def test_a_stated_absorptance_replaces_that_of_the_surface_and_keeps_its_emissivity():
    found = microclimate(site(roof_surface="metal", roof_solar_absorptance=0.2))
    assert (found.roof_absorptance, found.roof_emissivity) == (0.2, 0.30)
    assert found.albedo == pytest.approx(0.8)


def test_zero_is_a_value():
    found = microclimate(site(station_wind_share=0.0, recirculation=0.0, inlet_roof_mixing=0.0))
    assert (found.wind_share, found.recirculation, found.roof_mixing) == (0.0, 0.0, 0.0)
    assert number_setting(site(canopy_transmittance=0.0), "canopy_transmittance") == 0.0


def test_settings_of_single_columns():
    assert number_setting(site(), "canopy_transmittance") == 1.0
    assert number_setting(site(), "urban_heat_k") == 0.0
    assert number_setting(site(warming_k=1.5), "warming_k") == 1.5
    assert setting(site(horizon=DOES_NOT_APPLY), "horizon") is None
    assert setting(site(), "elevation_m") is None


# Engineering defaults: share of discharge air by the number of walls within 3 m
@pytest.mark.parametrize("walls, share", [(0, 0.05), (1, 0.05), (2, 0.10), (3, 0.15), (4, 0.20)])
def test_walls_send_discharge_air_back(walls, share):
    found = microclimate(site(walls_within_3_m=float(walls)))
    assert found.recirculation == share
    assert (f"{walls} walls or screens within 3 m" in found.recirculation_why) == (walls > 1)


def test_a_stated_share_is_kept_whatever_stands_round():
    found = microclimate(site(recirculation=0.02, walls_within_3_m=4.0, parapet_height_m=3.0), 1.2)
    assert (found.recirculation, found.recirculation_why) == (0.02, "")


@pytest.mark.parametrize(
    "cells, share",
    [
        ({"parapet_height_m": 1.2}, 0.05),  # no higher than the unit
        ({"parapet_height_m": 1.21}, 0.10),
        ({"parapet_height_m": 1.21, "edge_distance_m": 2.9}, 0.10),
        ({"parapet_height_m": 1.21, "edge_distance_m": 3.0}, 0.05),  # not near
        ({"roof_step_m": 1.2}, 0.05),
        ({"roof_step_m": 4.0, "edge_distance_m": 9.0}, 0.10),
        ({"roof_step_m": 4.0, "walls_within_3_m": 1.0}, 0.10),
        ({"roof_step_m": 4.0, "walls_within_3_m": 3.0}, 0.15),
    ],
)
def test_a_parapet_or_a_step_higher_than_the_unit(cells, share):
    found = microclimate(site(**cells), 1.2)
    assert found.recirculation == share
    assert microclimate(site(**cells)).recirculation == max(
        0.05, microclimate(site(walls_within_3_m=cells.get("walls_within_3_m", 0.0))).recirculation
    )
    assert found.recirculation_why.startswith("engineering default: ")


def test_what_is_raised_says_why():
    assert "the parapet is 1.5 m high, above the unit's top at 1.2 m" in (
        microclimate(site(parapet_height_m=1.5), 1.2).recirculation_why
    )
    assert "the next part of the roof lies 3 m higher" in (
        microclimate(site(roof_step_m=3.0), 1.2).recirculation_why
    )
    assert microclimate(site()).recirculation_why == columns()["recirculation"].default_reason


def test_what_raises_the_share_feeds_the_heat_balance_and_says_what_empty_means():
    for key in ("walls_within_3_m", "parapet_height_m", "roof_step_m", "edge_distance_m"):
        assert set(columns()["recirculation"].feeds) <= set(columns()[key].feeds)
        assert columns()[key].has_default


@given(
    st.integers(0, 4),
    st.floats(0.0, 3.0),
    st.floats(0.0, 6.0),
    st.floats(0.0, 3.0),
    st.floats(0.5, 2.0),
    st.floats(0.0, 1.0),
)
def test_more_round_the_unit_never_lowers_the_share(walls, parapet, edge, step, height, more):
    row = {
        "walls_within_3_m": float(walls),
        "parapet_height_m": parapet,
        "edge_distance_m": edge,
        "roof_step_m": step,
    }
    share = microclimate(site(**row), height).recirculation
    assert 0.05 <= share <= 0.20
    for worse in (
        {"walls_within_3_m": float(min(4, walls + 1))},
        {"parapet_height_m": parapet + more},
        {"roof_step_m": step + more},
        {"edge_distance_m": edge * 0.5},
    ):
        assert microclimate(site(**{**row, **worse}), height).recirculation >= share
    assert microclimate(site(**row), height + more).recirculation <= share
