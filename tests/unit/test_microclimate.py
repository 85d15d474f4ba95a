"""The roof around the unit: what the list says, and what an empty cell means."""

import pytest

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
