"""Peak velocity pressure by EN 1991-1-4 against printed examples; tolerance: what was rounded in print."""

import pytest

from edgecheck.roof.wind_en import TERRAINS, end_effect, peak_pressure, section_coefficient


def test_terrain_categories():
    """EN 1991-1-4 Table 4.1."""
    printed = {"0": (0.003, 1), "I": (0.01, 1), "II": (0.05, 2), "III": (0.3, 5), "IV": (1.0, 10)}
    assert {name: (one.roughness, one.least_height) for name, one in TERRAINS.items()} == printed


def test_single_storey_steel_building():
    """Steel Buildings in Europe, Single-Storey Part 3, appendix B: vb 26 m/s, category III, z 8 m.

    The example rounds c_e to 1.56 before it multiplies, so that it prints 659 Pa where the formula gives 662.
    """
    found = peak_pressure(26.0, "III", 8.0)
    assert found.basic == pytest.approx(422.5, abs=0.05)
    assert found.terrain_factor == pytest.approx(0.215, abs=0.0005)
    assert found.roughness == pytest.approx(0.706, abs=0.0015)
    assert found.exposure == pytest.approx(1.56, abs=0.01)
    assert found.peak == pytest.approx(659.0, rel=0.005)


def test_sheet_at_7_m():
    """Public calculation sheet "Wind load Euro": vb 22 m/s, category III, z 7.02 m."""
    found = peak_pressure(22.0, "III", 7.02)
    assert found.terrain_factor == pytest.approx(0.215389, abs=5e-7)
    assert found.roughness == pytest.approx(0.68, abs=0.005)
    assert found.mean_velocity == pytest.approx(14.939, abs=0.0005)
    assert found.intensity == pytest.approx(0.31718, abs=5e-6)
    assert found.peak == pytest.approx(449.0, abs=0.5)


def test_building_calculation_at_13_m():
    """Public building calculation "Wind loading": vb 22 m/s, category III, z 13.48 m; kN/m2 to two decimals."""
    found = peak_pressure(22.0, "III", 13.48)
    assert found.roughness == pytest.approx(0.82, abs=0.005)
    assert found.mean_velocity == pytest.approx(18.0, abs=0.05)
    assert found.intensity == pytest.approx(0.263, abs=0.0005)
    assert found.peak == pytest.approx(580.0, abs=5.0)


@pytest.mark.parametrize(
    "height, roughness, mean, intensity, peak",
    [(77.36, 1.585, 39.624, 0.098, 1658.0), (28.0, 1.426, 35.659, 0.109, 1403.0)],
)
def test_by_the_sea(height, roughness, mean, intensity, peak):
    """Public calculation sheet "Wind pressure in buildings": vb 25 m/s, category 0."""
    found = peak_pressure(25.0, "0", height)
    assert found.terrain_factor == pytest.approx(0.156, abs=0.0005)
    assert found.roughness == pytest.approx(roughness, abs=0.0005)
    assert found.mean_velocity == pytest.approx(mean, abs=0.0005)
    assert found.intensity == pytest.approx(intensity, abs=0.0005)
    assert found.peak == pytest.approx(peak, abs=1.0)


def test_below_the_least_height():
    """Public example "rectangular building with duopitch roof": vb 26 m/s, category IV, z 9 m, z_min 10 m governs."""
    found = peak_pressure(26.0, "IV", 9.0)
    assert found.terrain_factor == pytest.approx(0.234, abs=0.0005)
    assert found.roughness == pytest.approx(0.54, abs=0.0005)
    assert found.intensity == pytest.approx(0.434, abs=0.0005)
    assert found.basic == pytest.approx(422.5, abs=0.5)
    assert found.exposure == pytest.approx(1.18, abs=0.005)
    assert found.peak == pytest.approx(497.0, abs=0.5)
    assert found.peak == peak_pressure(26.0, "IV", 10.0).peak
    assert found.peak < peak_pressure(26.0, "IV", 10.5).peak


@pytest.mark.parametrize(
    "ratio, coefficient",
    [(0.1, 2.0), (0.2, 2.0), (0.7, 2.4), (1.0, 2.1), (2.0, 1.65), (5.0, 1.0), (10.0, 0.9), (30.0, 0.9)],
)
def test_corner_points_of_the_section_figure(ratio, coefficient):
    """EN 1991-1-4 Figure 7.23, from memory (88 %)."""
    assert section_coefficient(ratio) == pytest.approx(coefficient)


def test_end_effect_of_a_squat_box():
    """EN 1991-1-4 Figure 7.36, solid: 0.60 + 0.10 lg(lambda), lambda = 2 l/b; 1.9 -> 0.63, 2.9 -> 0.65 (fit)."""
    assert end_effect(1.9, 2.0) == pytest.approx(0.63, abs=0.005)
    assert end_effect(2.9, 2.0) == pytest.approx(0.65, abs=0.005)
    assert end_effect(0.2, 2.0) == pytest.approx(0.60)


@pytest.mark.parametrize("bad", [(0.0, "II", 10.0), (25.0, "II", -1.0), (25.0, "V", 10.0)])
def test_what_cannot_be(bad):
    with pytest.raises(ValueError, match=r"must|there is no"):
        peak_pressure(*bad)
