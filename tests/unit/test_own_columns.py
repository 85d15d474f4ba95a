"""The planner's own columns: those that look like a known one, and those with the name of a verdict column."""

import pytest

from edgecheck.inputs.lookalikes import edit_distance, lookalikes
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS

HEAD = "site_id,latitude_deg,longitude_deg"
GOOD = "A-1,36.1,-79.95"


@pytest.fixture
def read(tmp_path):
    def read(text, criteria=None, encoding="utf-8"):
        path = tmp_path / "list.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return load_sites(path, criteria)

    return read


@pytest.mark.parametrize(
    "own, column",
    [
        ("roof_reserv_kpa", "roof_reserve_kpa"),
        ("Roof Reserve kPa", "roof_reserve_kpa"),
        ("roof reserve (kN/m2)", "roof_reserve_kpa"),
        ("Free length", "free_length_m"),
        ("length free [yd]", "free_length_m"),
        ("free_lenght_ft", "free_length_m"),
        ("it_load_w", "it_load_kw"),
        ("wheater", "weather"),
        ("Units", "unit"),
        ("neighbour_limit_nigth_dba", "neighbour_limit_night_dba"),
    ],
)
def test_lookalikes_are_reported_once_and_kept(read, own, column):
    sites = read(f"{HEAD},{own}\n{GOOD},7\nB,1,1,8\n")
    assert sites.lookalikes == {own: column}
    assert sites.own_columns == (own,)
    assert sites.cells[own].tolist() == ["7", "8"]
    assert not sites.sites[0].known(column)
    notes = [note.text for note in sites.notes if note.code == "list-lookalike"]
    assert notes == [f"{own} looks like {column}; kept as your own; map it with --columns"]


@pytest.mark.parametrize("own", ["Landlord", "Date", "city", "site", "Comment", "Feed", "Owner height m"])
def test_other_own_columns_look_like_nothing(own):
    assert lookalikes([own], ["site_id", "latitude_deg", "longitude_deg"]) == {}


def test_nothing_looks_like_a_column_that_is_there(read):
    assert read(f"{HEAD},it_load_kw,it_load_w\n{GOOD},6,6000\n").lookalikes == {}
    assert read(f"{HEAD},free_length_ft,Free length\n{GOOD},20,6\n").lookalikes == {}


@pytest.mark.parametrize(
    "one, other, distance",
    # Source: the standard textbook examples of Levenshtein's distance (Wagner and Fischer 1974).
    [("kitten", "sitting", 3), ("saturday", "sunday", 3), ("flaw", "lawn", 2), ("", "ab", 2), ("a", "a", 0)],
)
def test_edit_distance(one, other, distance):
    assert edit_distance(one, other, 5) == distance
    assert edit_distance(other, one, 5) == distance
    assert edit_distance(one, other, 1) == min(distance, 2)


def test_an_earlier_output_loses_our_columns(read):
    head = ",".join(["site_id", "Owner", "latitude_deg", "longitude_deg", *VERDICT_COLUMNS])
    row = ",".join(["A", "'=Fern", "1", "2", *["x"] * len(VERDICT_COLUMNS)])
    sites = read(f"{head}\n{row}\n")
    assert sites.columns == ("site_id", "Owner", "latitude_deg", "longitude_deg")
    assert sites.cells["Owner"].tolist() == ["=Fern"]
    assert [note.code for note in sites.notes] == ["list-earlier-output"]


def test_an_own_column_with_one_of_our_names_comes_back_under_another(read):
    sites = read(f"{HEAD},reason\n{GOOD},lease ends\n")
    assert sites.own_columns == ("reason",)
    assert sites.returned_as["reason"] == "own_reason"
    assert sites.returned_as["site_id"] == "site_id"
