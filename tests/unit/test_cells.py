"""What one cell of the site list says: values, signs for unknown, `none`, wrong cells, values not usual."""

import pytest

from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.columns import headings
from edgecheck.inputs.sites import load_sites

HEAD = "site_id,latitude_deg,longitude_deg"
GOOD = "A-1,36.1,-79.95"


@pytest.fixture
def read(tmp_path):
    def read(text, criteria=None, encoding="utf-8"):
        path = tmp_path / "list.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return load_sites(path, criteria)

    return read


def one_cell(read, column, text, criteria=None):
    """Site whose `column` holds `text`, beside a good row without it."""
    return read(f"{HEAD},{column}\n{GOOD},\nB-2,36.1,-79.95,{text}\n", criteria).sites[1]


@pytest.mark.parametrize(
    "column, text, wanted",
    [
        ("it_load_kw", "six", "a number in kW is needed, greater than 0 kW, or empty where unknown"),
        ("it_load_kw", "6 kW", "write the number without its unit"),
        ("it_load_kw", '"6,5,1"', "write it with a decimal point and without separators"),
        ("it_load_kw", "inf", "a number in kW is needed"),
        ("it_load_kw", "1e999", "a number in kW is needed"),
        ("it_load_kw", "1_0", "a number in kW is needed"),
        ("it_load_kw", "0", "greater than 0 kW is possible"),
        ("it_load_kw", "none", "none is not possible here"),
        ("recirculation", "5", "0 to 0.5 is possible; percent? that would be 0.05"),
        ("elevation_m", "9000", "-430 to 6000 m is possible; ft? that would be 2743 m"),
        ("roof_reserve_kpa", "100", "0 to 50 kPa is possible; psf? that would be 4.79 kPa"),
        ("free_length_ft", "-4", "greater than 0 m is possible (-1.219 m)"),
        ("roof_surface", "drak", "dark, gravel, light, green or metal is allowed"),
        ("roof_surface", "drak", "did you mean dark?"),
        ("horizon", "90:12 x", "azimuth:elevation pairs in degrees are needed"),
        ("horizon", "400:12", "azimuth 0 to 360 and elevation 0 to 90 degrees are possible"),
        ("horizon", "90:12 90:13", "the azimuth 90 is given twice"),
        ("feed_phases", "2", "1 or 3 is allowed"),
    ],
)
def test_a_wrong_cell_makes_the_row_unusable(read, column, text, wanted):
    site = one_cell(read, column, text)
    assert len(site.faults) == 1
    fault = site.faults[0]
    assert (fault.file, fault.where, fault.key) == ("list.csv", "row B-2 (line 3)", column)
    assert fault.value == text.strip('"')
    assert wanted in fault.allowed
    assert not site.usable
    assert not site.known(column)


@pytest.mark.parametrize(
    "text", ["", " ", "-", "?", "n/a", "N/A", "na", "tbd", "TBD", "unknown", " Unknown "]
)
def test_signs_for_unknown_are_empty(read, text):
    site = one_cell(read, "roof_reserve_kpa", text)
    assert site.usable
    assert not site.known("roof_reserve_kpa")


def test_none_means_does_not_apply(read):
    site = one_cell(read, "neighbour_distance_m", "None")
    assert site.get("neighbour_distance_m") is DOES_NOT_APPLY
    assert site.known("neighbour_distance_m")
    assert site.number("neighbour_distance_m") is None
    assert site.text("neighbour_distance_m") is None
    assert str(DOES_NOT_APPLY) == "none"


def test_none_among_the_values_of_a_choice_is_such_a_value(read):
    assert one_cell(read, "spreader_kind", "none").text("spreader_kind") == "none"
    assert one_cell(read, "seismic_design_category", "none").get("seismic_design_category") is DOES_NOT_APPLY


@pytest.mark.parametrize(
    "column, text, value",
    [
        ("it_load_kw", " 6.50 ", 6.5),
        ("it_load_kw", "+6", 6.0),
        ("it_load_kw", "6e0", 6.0),
        ("it_load_kw", ".5", 0.5),
        ("elevation_m", "\u221220", -20.0),
        ("roof_surface", "Dark", "dark"),
        ("en_terrain", "iii", "III"),
        ("horizon", "180:4 90:12", ((90.0, 12.0), (180.0, 4.0))),
        ("component_importance", "1", 1.0),
        ("weather", "sub/town.epw", "sub/town.epw"),
    ],
)
def test_good_cells(read, column, text, value):
    site = one_cell(read, column, text)
    assert site.faults == ()
    assert site.get(column) == value


def test_a_twin_is_read_under_its_column(read):
    sites = read(f"{HEAD},free_length_ft,extreme_dry_bulb_f\n{GOOD},20,95\n")
    site = sites.sites[0]
    assert site.number("free_length_m") == pytest.approx(6.096)
    assert site.number("extreme_dry_bulb_c") == pytest.approx(35.0)
    assert not site.known("free_length_ft")
    assert sites.known["free_length_ft"] == "free_length_m"
    assert sites.own_columns == ()


@pytest.mark.parametrize(
    "column, text, caution",
    [
        ("roof_reserve_kpa", "40", "40: psf? that would be 1.92 kPa"),
        ("roof_reserve_psf", "2.4", "2.4: kPa? that would be 2.40 kPa"),
        ("free_length_m", "600", "600: in? that would be 15.2 m"),
        ("free_length_m", "9000", "9000: mm? that would be 9.00 m"),
        ("extreme_dry_bulb_c", "14", "14: 20 to 55 degC is usual"),
        ("recirculation", "0.4", "0.4: 0 to 0.3 is usual"),
        ("landlord_max_kg", "6000", "6000: lb? that would be 2722 kg"),
        ("roof_reserve_point_kn", "80", "80: kg? that would be 0.78 kN"),
        ("it_load_kw", "6000", "6000: W? that would be 6.00 kW"),
        ("roof_reserve_kpa", "0.1", "0.1: psi? that would be 0.69 kPa"),
        ("free_length_ft", "2", "2: m? that would be 2.00 m"),
    ],
)
def test_a_value_that_is_not_usual(read, column, text, caution):
    site = one_cell(read, column, text)
    assert site.usable
    assert [(c.column, c.value, c.text) for c in site.cautions] == [(column, text, caution)]
    known = headings()[column].column
    assert site.cautions[0].checks == known.feeds
    assert site.known(known.name)
