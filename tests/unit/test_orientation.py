"""The front's direction where nobody stated it: the worst of eight, found with four; real weather."""

import numpy as np
import pytest
from site_cases import decide, example_values, heat, station, unit_with

from edgecheck.chain import Station

CASES = {
    "plain": {},
    "light roof, hill to the east": {
        "roof_surface": "light",
        "horizon": ((60.0, 0.0), (90.0, 60.0), (120.0, 0.0)),
    },
    "no wind": {"station_wind_share": 0.0},
    "dark box": {},
}
BOX = unit_with(body={"solar_absorptance": 0.9, "wall_resistance_m2k_w": 0.05})


def least(found) -> float:
    return float(np.min(found.year.headroom.share_bound))


@pytest.mark.parametrize("case", CASES)
def test_the_default_is_the_worst_of_eight_directions(case):
    unit = BOX if case == "dark box" else unit_with()
    found = heat(CASES[case], unit=unit)
    stated = {
        azimuth: least(heat(CASES[case] | {"front_azimuth_deg": azimuth}, unit=unit))
        for azimuth in np.arange(0.0, 360.0, 45.0).tolist()
    }
    assert least(found) == min(stated.values())
    assert stated[found.front_azimuth] == least(found)
    assert max(stated.values()) > min(stated.values()) + 1e-4  # else there would be nothing to find
    for azimuth in (0.0, 45.0, 90.0, 135.0):  # opposite faces are alike
        assert stated[azimuth] == pytest.approx(stated[azimuth + 180.0], abs=1e-12)


def test_the_direction_depends_on_the_site():
    assert heat(CASES["plain"]).front_azimuth != heat(CASES["no wind"]).front_azimuth


def test_stating_the_direction_that_was_found_changes_nothing_but_the_record():
    values = dict(example_values())
    del values["front_azimuth_deg"]
    found = decide(values)
    named = found.detail["front_azimuth_deg"]
    assert "worst of" in named["why"]
    stated = decide(values | {"front_azimuth_deg": named["value"]})
    assert stated.detail["front_azimuth_deg"] == {"value": named["value"], "why": "as the list says"}
    assert stated.checks == found.checks
    assert (stated.verdict, stated.reason, stated.conditions) == (
        found.verdict,
        found.reason,
        found.conditions,
    )
    assert stated.hourly.equals(found.hourly)
    assert "front_azimuth_deg" in found.figures["defaults_used"]
    assert "front_azimuth_deg" not in stated.figures["defaults_used"]


def test_what_one_site_looked_up_does_not_change_another():
    """Walls are kept by the station; a site gives the same on a station of its own."""
    values = {"roof_surface": "gravel", "canopy_transmittance": 0.4}
    shared = heat(values)
    alone = Station.of(station().weather)
    light = alone.years[0].light.on_faces(shared.front_azimuth, 0.25, 0.4, ())
    np.testing.assert_array_equal(
        light, station().years[0].light.on_faces(shared.front_azimuth, 0.25, 0.4, ())
    )
