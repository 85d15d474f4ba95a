"""sites.geojson against RFC 7946 (The GeoJSON Format, August 2016), section by section."""

import pytest
from geojson_rules import check_geojson
from result_factory import make_result, make_unusable

from edgecheck.inputs.sites import Site
from edgecheck.outputs.geojson import geojson_lines


def sites_geojson(*given):
    return "".join(geojson_lines(*given))


def site(row, latitude, longitude, site_id="R-001", **more):
    values = {"latitude_deg": latitude, "longitude_deg": longitude}
    known = {key: value for key, value in values.items() if value is not None}
    return Site(row=row, site_id=site_id, values=known, **more)


@pytest.fixture(scope="module")
def result():
    return make_result()


def test_every_site_is_a_feature_by_the_published_rules(result):
    sites = [site(2, 36.1, -79.95), site(10, None, -79.0), site(11, -89.999, 180.0), site(12, 0.0, -180.0)]
    results = [result, make_unusable(), *(make_unusable(row=row) for row in (11, 12))]
    found = check_geojson(sites_geojson(sites, results, {2: 1, 10: 2, 11: 3, 12: 4}, {2: "R-001"}))
    points = [feature["geometry"] for feature in found["features"]]
    assert points[0] == {"type": "Point", "coordinates": [-79.95, 36.1]}
    assert points[1] is None
    assert points[2]["coordinates"] == [180.0, -89.999]
    assert points[3]["coordinates"] == [-180.0, 0.0]


@pytest.mark.parametrize(
    "broken",
    [
        '{"type":"FeatureCollection"}',
        '{"type":"Feature","features":[]}',
        '{"type":"FeatureCollection","features":[],"crs":{}}',
        '{"type":"FeatureCollection","features":[{"type":"Feature","properties":{}}]}',
        '{"type":"FeatureCollection","features":[{"type":"Feature","geometry":null}]}',
        '{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,'
        '"geometry":{"type":"point","coordinates":[1,2]}}]}',
        '{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,'
        '"geometry":{"type":"Point","coordinates":[36.1,-179.0]}}]}',
        '{"type":"FeatureCollection","features":[{"type":"Feature","properties":null,'
        '"geometry":{"type":"Point","coordinates":["1","2"]}}]}',
        '{"type":"FeatureCollection","features":[],"x":NaN}',
    ],
)
def test_the_checker_finds_what_breaks_the_rules(broken):
    with pytest.raises((AssertionError, KeyError)):
        check_geojson(broken)


def test_the_id_is_that_of_the_list_where_it_names_one_row(result):
    # RFC 7946 section 3.2: a commonly used identifier should be the member "id".
    sites = [site(2, 1.0, 2.0, "A"), site(3, 1.0, 2.0, "B"), site(4, 1.0, 2.0, "B"), site(5, 1.0, 2.0, "")]
    found = check_geojson(sites_geojson(sites, [result] * 4, {}, {}))
    assert [feature.get("id") for feature in found["features"]] == ["A", None, None, None]


def test_a_feature_says_verdict_grounds_and_what_the_roof_must_offer(result):
    text = sites_geojson([site(2, 36.1, -79.95)], [result], {2: 7}, {2: "R-001"})
    shown = check_geojson(text)["features"][0]["properties"]
    assert list(shown) == [
        "site_id", "name", "verdict", "rank", "groups", "governing_check", "reason", "conditions", "asks", "folder",
    ]  # fmt: skip
    assert (shown["site_id"], shown["verdict"], shown["rank"]) == ("R-001", "no-go", 7)
    assert shown["groups"] == dict(result.groups)
    assert shown["reason"] == result.reason
    assert shown["conditions"] == list(result.conditions)
    assert shown["asks"]["asks_kpa"] == 3.16
    assert shown["asks"]["asks_ampere"] is None
    assert shown["folder"] == "R-001"


def test_an_unusable_row_keeps_its_reasons():
    shown = check_geojson(sites_geojson([site(10, None, 3.0)], [make_unusable()], {}, {}))["features"][0]
    assert "latitude_deg" in shown["properties"]["reason"]
    assert shown["properties"]["rank"] is None
    assert shown["properties"]["folder"] is None


def test_positions_have_at_most_seven_decimals_and_no_negative_zero(result):
    # RFC 7946 section 11.2: six decimals are about 10 cm; more digits are no greater accuracy.
    text = sites_geojson([site(2, 48.12345678901, -0.00000001)], [result], {}, {})
    assert '"coordinates":[0.0,48.1234568]' in text


def test_text_of_any_script_stays_text_and_the_file_is_the_same_each_time(result):
    from dataclasses import replace

    odd = replace(result, site_id='=A"1', name="Übergrünen 東\n")
    texts = {sites_geojson([site(2, 36.1, -79.95)], [odd], {2: 1}, {}) for _ in range(2)}
    assert len(texts) == 1
    shown = check_geojson(texts.pop())["features"][0]["properties"]
    assert (shown["site_id"], shown["name"]) == ('=A"1', "Übergrünen 東\n")


def test_no_site_is_an_empty_collection():
    assert check_geojson(sites_geojson([], [], {}, {})) == {"type": "FeatureCollection", "features": []}


def test_one_result_a_row_is_asked_for(result):
    with pytest.raises(ValueError, match="1 results for 0 rows"):
        sites_geojson([], [result], {}, {})
