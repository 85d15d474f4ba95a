"""The rules of RFC 7946 (The GeoJSON Format, August 2016) that a collection of points can break."""

import json
import math

GEOMETRY_TYPES = {
    "Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon", "GeometryCollection",
}  # fmt: skip


def check_geojson(text):
    """Hold a text against the rules of RFC 7946 that a collection of points can break."""
    assert not text.startswith("\ufeff")  # RFC 8259 section 8.1: no byte order mark; GeoJSON is JSON (2)
    collection = json.loads(text, parse_constant=_no_constant, object_pairs_hook=_no_member_twice)
    assert isinstance(collection, dict)  # section 3: a GeoJSON object is a JSON object
    assert collection["type"] == "FeatureCollection"  # section 3.3: the name of the type
    assert isinstance(collection["features"], list)  # section 3.3: "features" is a JSON array
    # Section 7.1: members that define other types must not stand in a FeatureCollection.
    assert not {"coordinates", "geometries", "geometry", "properties"} & set(collection)
    assert "crs" not in collection  # section 4: "the specification of CRSs has been removed"
    for feature in collection["features"]:
        check_feature(feature)
    return collection


def check_feature(feature):
    assert feature["type"] == "Feature"  # section 3.2: the name of the type
    assert "geometry" in feature  # section 3.2: a Feature has a member "geometry", null where unlocated
    assert "properties" in feature  # section 3.2: and "properties", an object or null
    assert feature["properties"] is None or isinstance(feature["properties"], dict)
    assert not {"coordinates", "geometries", "features"} & set(feature)  # section 7.1
    assert "crs" not in feature  # section 4
    if "id" in feature:
        assert isinstance(feature["id"], str | int | float)  # section 3.2: a string or number
    if feature["geometry"] is not None:
        check_point(feature["geometry"])


def check_point(geometry):
    assert geometry["type"] in GEOMETRY_TYPES  # section 1.4: seven geometry types, case-sensitive
    assert geometry["type"] == "Point"
    assert not {"geometry", "properties", "features", "crs"} & set(geometry)  # sections 7.1 and 4
    position = geometry["coordinates"]
    assert isinstance(position, list)  # section 3.1.2: for Point, "coordinates" is a single position
    assert len(position) in (2, 3)  # section 3.1.1: two or more elements, not more than three
    assert all(type(number) in (int, float) and math.isfinite(number) for number in position)  # section 3.1.1
    longitude, latitude = position[:2]  # section 3.1.1: longitude first, then latitude
    assert (
        -180.0 <= longitude <= 180.0
    )  # section 4: WGS 84, decimal degrees; 3.1.9: the antimeridian is +-180
    assert -90.0 <= latitude <= 90.0  # section 4; 5.3: the poles are at 90 and -90


def _no_constant(name):
    raise AssertionError(f"{name} is no JSON number (RFC 8259 section 6)")


def _no_member_twice(pairs):
    names = [name for name, _ in pairs]
    assert len(set(names)) == len(names)  # RFC 8259 section 4: names within an object should be unique
    return dict(pairs)
