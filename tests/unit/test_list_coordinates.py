"""Coordinates as people write them, and positions that look exchanged or have the wrong sign."""

import numpy as np
import pint
import pytest

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.coordinates import coordinate_in
from edgecheck.inputs.positions import great_circle_km, position_doubts
from edgecheck.inputs.sites import load_sites

UNITS = pint.UnitRegistry()
HEAD = "site_id,latitude_deg,longitude_deg"
NEAR = [(36.10, -79.95), (36.20, -79.81), (36.31, -79.70), (36.05, -80.02), (36.41, -79.65), (36.15, -79.90)]


@pytest.fixture
def read(tmp_path):
    def read(*rows):
        path = tmp_path / "list.csv"
        path.write_text("\n".join([HEAD, *rows]) + "\n", encoding="utf-8")
        return load_sites(path)

    return read


def degrees(d: float, m: float = 0.0, s: float = 0.0) -> float:
    """Source: pint's degree, arcminute and arcsecond."""
    angle = UNITS.Quantity(d, "degree") + UNITS.Quantity(m, "arcminute") + UNITS.Quantity(s, "arcsecond")
    return angle.to("degree").magnitude


@pytest.mark.parametrize(
    "text, value",
    [
        ("36\u00b006'30\"N", degrees(36, 6, 30)),
        ("36\u00b006\u203230\u2033 N", degrees(36, 6, 30)),
        ("36\u00ba 06\u2019 30\u201d n", degrees(36, 6, 30)),
        ("36 6 30 N", degrees(36, 6, 30)),
        ("36 6 30", degrees(36, 6, 30)),
        ("-36 6 30", -degrees(36, 6, 30)),
        ("36-06-30S", -degrees(36, 6, 30)),
        ("36:06:30.5 N", degrees(36, 6, 30.5)),
        ("36\u00b06.5' N", degrees(36, 6.5)),
        ("36\u00b06,5' N", degrees(36, 6.5)),
        ("36 deg 6 min 30 sec north", degrees(36, 6, 30)),
        ("36\u00b0 06' S", -degrees(36, 6)),
        ("N36.1", 36.1),
        ("S 36.1", -36.1),
        ("36.1 N", 36.1),
        ("36,105 N", 36.105),
        ("36.1\u00b0", 36.1),
        ("-36.1\u00b0", -36.1),
        ("0\u00b000'00\"N", 0.0),
    ],
)
def test_latitudes(text, value):
    found = coordinate_in(text, "latitude_deg")
    assert found.fault == ""
    assert found.degrees == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize(
    "text, value", [("79,95 W", -79.95), ("E 79.95", 79.95), ("179\u00b059'59\"E", degrees(179, 59, 59))]
)
def test_longitudes(text, value):
    assert coordinate_in(text, "longitude_deg").degrees == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize("text", ["", "36 30", "north", "36.1 X", "36\u00b0 N 12", "Mill 36 6 30", "1 2 3 4"])
def test_what_is_no_coordinate(text):
    found = coordinate_in(text, "latitude_deg")
    assert (found.degrees, found.fault) == (None, "")


@pytest.mark.parametrize(
    "text, fault",
    [
        ("36\u00b060'N", "minutes and seconds are less than 60"),
        ("36 6 75 N", "minutes and seconds are less than 60"),
        ("36.5\u00b006'N", "only the last of degrees, minutes and seconds may have decimals"),
        ("N 36.1 N", "one letter for the hemisphere is enough"),
        ("-36.1 S", "a sign or a letter, not both; 36.1 if the letter S is right"),
        ("36.1 O", "O is east in some languages and west in others; write E or W"),
        ("79.95 W", "W belongs to a longitude; are latitude and longitude exchanged?"),
    ],
)
def test_coordinates_that_cannot_be_used(text, fault):
    if fault.startswith("a sign"):
        fault = fault.replace("; 36.1", "; -36.1")
    assert coordinate_in(text, "latitude_deg").fault == fault


def test_a_list_with_degrees_minutes_and_seconds(read):
    site = read('A,"36\u00b006\'30""N","79\u00b057\'0""W"', "B,36.1,-79.9").sites[0]
    assert site.number("latitude_deg") == pytest.approx(36.108333333, abs=1e-9)
    assert site.number("longitude_deg") == -79.95
    assert site.cautions == ()


def test_coordinates_beyond_their_range_stay_faults(read):
    site = read("A,95 10 0 N,-79.9", "B,36.1,-79.9").sites[0]
    assert [fault.key for fault in site.faults] == ["latitude_deg"]
    assert site.faults[0].allowed == (
        "-90 to 90 deg is possible; are latitude and longitude exchanged? "
        "That would be latitude -79.9 and longitude 95.16666667"
    )


# ------------------------------------------------------------------------------------------- exchanged


def rows(positions):
    return [f"S-{at},{latitude},{longitude}" for at, (latitude, longitude) in enumerate(positions)]


def test_an_impossible_latitude_is_asked_about_once(read):
    sites = read(*rows(NEAR), "X,-95.3,36.2")
    assert [fault.key for fault in sites.faults] == ["latitude_deg"]
    assert sites.faults[0].allowed == (
        "-90 to 90 deg is possible; are latitude and longitude exchanged? "
        "That would be latitude 36.2 and longitude -95.3"
    )
    assert sites.counts["cautioned_cells"] == 0


@pytest.mark.parametrize("row", ["X,79.95 W,36.1 N", "X,79.95 W,36.1", "X,-79.95,36.1 N"])
def test_letters_of_the_other_column_are_asked_about_once(read, row):
    sites = read(*rows(NEAR), row)
    assert len(sites.faults) == 1
    assert sites.faults[0].allowed.endswith(
        "are latitude and longitude exchanged? That would be latitude 36.1 and longitude -79.95"
    )


def test_an_impossible_latitude_that_fits_no_other_way(read):
    sites = read(*rows(NEAR), "X,360.2,-79.9", "Y,200,10")
    assert [fault.allowed for fault in sites.faults] == ["-90 to 90 deg is possible"] * 2


def test_a_row_far_from_the_others_that_is_near_them_when_exchanged(read):
    sites = read(*rows(NEAR), "X,-79.88,36.12")
    assert sites.unusable == ()
    assert [site.site_id for site in sites.sites if site.cautions] == ["X"]
    (caution,) = sites.site("X").cautions
    assert caution.column == "latitude_deg"
    assert caution.value == "-79.88"
    assert "are latitude and longitude exchanged?" in caution.text
    assert "as latitude 36.12 and longitude -79.88 it would be" in caution.text
    assert caution.checks
    assert sites.site("X").number("latitude_deg") == -79.88


def test_a_missing_sign_is_asked_about(read):
    sites = read(*rows(NEAR), "X,36.12,79.88")
    assert [
        (site.site_id, caution.column, caution.text) for site in sites.sites for caution in site.cautions
    ] == [("X", "longitude_deg", "all other rows are negative; is the sign missing or wrong? -79.88")]


def test_few_missing_signs_among_many(read):
    many = [(36.0 + at / 100.0, -80.0 + at / 200.0) for at in range(60)]
    sites = read(*rows(many), "X,36.12,79.88", "Y,36.2,79.8")
    found = [(site.site_id, caution.text) for site in sites.sites for caution in site.cautions]
    assert [site for site, _ in found] == ["X", "Y"]
    assert found[0][1].startswith("nearly all other rows are negative")


def test_a_position_of_zero_zero(read):
    sites = read(*rows(NEAR), "X,0,0")
    assert [caution.text for caution in sites.site("X").cautions] == [
        "0, 0 lies in the open sea; is the position unknown?"
    ]


@pytest.mark.parametrize(
    "positions",
    [
        NEAR,
        NEAR[:4],
        [(51.5, at / 10.0 - 0.5) for at in range(12)],  # either side of Greenwich
        [(at / 10.0 - 0.1, 32.5) for at in range(12)],  # either side of the equator
        [(29.0 + at / 10.0, 31.0 + at / 20.0) for at in range(8)],  # nearly the same either way
        [
            (-33.9, 18.4),
            (51.5, -0.1),
            (35.7, 139.7),
            (40.7, -74.0),
            (-23.5, -46.6),
            (1.3, 103.8),
        ],  # everywhere
        [(36.1, -79.9)] * 9 + [(40.7, -74.0)],  # one farther away
    ],
)
def test_positions_that_nothing_is_wrong_with(positions):
    latitude, longitude = zip(*positions, strict=True)
    assert position_doubts(latitude, longitude) == {}


def test_unknown_positions_are_left_alone():
    nan = float("nan")
    latitude, longitude = zip(*NEAR, (nan, 10.0), (10.0, nan), strict=True)
    assert position_doubts(latitude, longitude) == {}


def test_a_whole_list_exchanged_says_so(read):
    with pytest.raises(InputFaults) as caught:
        read("A,-95.3,36.2", "B,-95.4,36.3")
    assert str(caught.value).count("are latitude and longitude exchanged?") == 2


def test_great_circle_distance():
    # Source: the angle between the two position vectors, R1 of GRS 80 (Moritz 2000); 1e-9 for rounding.
    generator = np.random.default_rng(7)
    lat, lon = generator.uniform(-90, 90, 50), generator.uniform(-180, 180, 50)

    def vector(latitude, longitude):
        a, b = np.radians(latitude), np.radians(longitude)
        return np.array([np.cos(a) * np.cos(b), np.cos(a) * np.sin(b), np.sin(a)])

    ours = great_circle_km(lat, lon, 36.1, -79.95)
    cosine = vector(lat, lon).T @ vector(36.1, -79.95)
    np.testing.assert_allclose(ours, 6371.0088 * np.arccos(cosine), rtol=1e-9)
    assert great_circle_km(np.array([36.1]), np.array([-79.95]), 36.1, -79.95)[0] == 0.0
