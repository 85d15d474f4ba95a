"""Reading the site list: file faults, row faults, encodings and separators."""

import pickle
from pathlib import Path

import pytest

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import load_sites

EXAMPLES = Path(__file__).parents[1] / "data" / "examples"
HEAD = "site_id,latitude_deg,longitude_deg"
GOOD = "A-1,36.1,-79.95"


@pytest.fixture
def read(tmp_path):
    def read(text, criteria=None, encoding="utf-8"):
        path = tmp_path / "list.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return load_sites(path, criteria)

    return read


def refused(read, text, **options):
    with pytest.raises(InputFaults) as caught:
        read(text, **options)
    assert caught.value.exit_code == 2
    return str(caught.value)


def one_cell(read, column, text, criteria=None):
    """Site whose `column` holds `text`, beside a good row without it."""
    return read(f"{HEAD},{column}\n{GOOD},\nB-2,36.1,-79.95,{text}\n", criteria).sites[1]


# ------------------------------------------------------------------------------------------- the example


def test_the_example_list():
    sites = load_sites(EXAMPLES / "sites.csv")
    first, second, third = sites.sites
    assert [site.row for site in sites.sites] == [2, 3, 4]
    assert sites.usable == sites.sites
    assert sites.faults == ()
    assert not any(site.cautions for site in sites.sites)
    assert sites.own_columns == ("Landlord",)
    assert dict(sites.lookalikes) == {}
    assert first.name == "Harbour exchange"
    assert first.get("roof_reserve_kpa") == 2.4
    assert first.get("roof_use") == "accessible"
    assert first.number("feed_phases") == 1.0
    assert not second.known("roof_reserve_kpa")
    assert second.get("elevation_m") is None
    assert set(third.values) == {"site_id", "name", "latitude_deg", "longitude_deg", "weather"}
    assert third.text("weather") == "weather/example.csv"
    assert sites.site("R-002") is second
    assert sites.site("R-009") is None


def test_cells_of_the_example_are_kept_as_written():
    sites = load_sites(EXAMPLES / "sites.csv")
    lines = (EXAMPLES / "sites.csv").read_text().splitlines()
    assert sites.columns == tuple(lines[0].split(","))
    for line, (_, row) in zip(lines[1:], sites.cells.iterrows(), strict=True):
        assert ",".join(row) == line


def test_what_is_not_used_yet_is_said_once(tmp_path):
    text = (
        "site_id,latitude_deg,longitude_deg,structure_type,roof_reserve_kpa\n"
        "A,47,-33,rc-slab,2\nB,47,-33,timber,2\n"
    )
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    notes = [note for note in load_sites(path).notes if note.code == "list-not-used-yet"]
    assert [note.text for note in notes] == ["read and checked, and not used yet: structure_type"]


def test_sites_can_be_sent_to_another_process():
    sites = load_sites(EXAMPLES / "sites.csv")
    assert pickle.loads(pickle.dumps(sites.sites)) == sites.sites


# ------------------------------------------------------------------------------------------- file faults


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(InputFaults, match=r"nowhere\.csv: cannot be read: No such file"):
        load_sites(tmp_path / "nowhere.csv")


@pytest.mark.parametrize("text", ["", "  \n\n"])
def test_an_empty_file(read, text):
    assert refused(read, text) == "list.csv: the file is empty"


def test_a_workbook_and_a_binary_file(read):
    assert "save the sheet as CSV" in refused(read, b"PK\x03\x04rest")
    assert "not a text file" in refused(read, b"site_id\x00\x01")


def test_headings_without_rows(read):
    assert refused(read, HEAD + "\n") == "list.csv: the list has headings but no row"


def test_all_missing_columns_are_named(read):
    text = refused(read, "name\nHill\n")
    for column in ("site_id", "latitude_deg", "longitude_deg"):
        assert f"list.csv, line 1, {column}: the required column is missing" in text


def test_a_missing_column_names_the_heading_that_looks_like_it(read):
    text = refused(read, "site_id,Latitude,longitude_deg\nA,1,2\n")
    assert text == (
        "list.csv, line 1, latitude_deg: the required column is missing; 'Latitude' looks like it: "
        "rename it or map it with --columns"
    )


def test_a_column_twice(read):
    assert "Owner: the column is there twice; keep one" in refused(read, f"{HEAD},Owner,Owner\n{GOOD},a,b\n")


def test_a_twin_beside_its_column(read):
    text = refused(read, f"{HEAD},free_length_m,free_length_ft\n{GOOD},3,\n")
    assert "free_length_m: the same quantity is also in free_length_ft; keep one" in text


def test_cells_without_a_heading(read):
    assert "column 4: has cells but no heading; give it one" in refused(read, f"{HEAD},\n{GOOD},x\n")


def test_empty_columns_without_a_heading_are_dropped(read):
    assert read(f"{HEAD},,\n{GOOD},,\n").columns == tuple(HEAD.split(","))


def test_a_quote_that_does_not_end(read):
    text = refused(read, f'{HEAD},name\n{GOOD},"Hill\n')
    assert "list.csv, line 2: a quoted cell does not end properly" in text


@pytest.mark.parametrize(
    "row, found",
    [
        ("A-1,36.1,east", "row A-1 (line 2), longitude_deg: 'east': a number in deg is needed"),
        ("A-1,95,-79.95", "row A-1 (line 2), latitude_deg: '95': -90 to 90 deg is possible"),
        ("A-1,nan,-79.95", "row A-1 (line 2), latitude_deg: 'nan': a number in deg is needed"),
    ],
)
def test_a_list_whose_only_row_is_wrong(read, row, found):
    text = refused(read, f"{HEAD}\n{row}\n")
    assert text.startswith("list.csv: no row of the list can be used\n")
    assert found in text


# ------------------------------------------------------------------------------------------- row faults


def test_a_missing_id_and_a_missing_position(read):
    sites = read(f"{HEAD}\n{GOOD}\n,36.1,\n")
    assert [(f.where, f.key, f.allowed) for f in sites.sites[1].faults] == [
        ("line 3", "site_id", "the required value is missing"),
        ("line 3", "longitude_deg", "the required value is missing"),
    ]


def test_every_row_of_a_duplicate_id_is_unusable(read):
    sites = read(f"{HEAD}\n{GOOD}\nX,1,1\nx,1,1\n X ,2,2\n")
    assert [site.usable for site in sites.sites] == [True, False, True, False]
    assert sites.sites[1].faults[0].allowed == "the id is also on line 5; every row needs an id of its own"
    assert sites.sites[3].faults[0].allowed == "the id is also on line 3; every row needs an id of its own"


def test_a_row_with_too_many_cells(read):
    site = read(f"{HEAD}\n{GOOD}\nB,36,10,-79,95\n").sites[1]
    assert site.faults[0].allowed == "5 cells under 3 headings; quote a cell that contains the separator"


def test_short_rows_are_filled_with_unknown_and_noted(read):
    sites = read(f"{HEAD},it_load_kw\n{GOOD}\nB,1,1,3\n")
    assert sites.sites[0].usable
    assert not sites.sites[0].known("it_load_kw")
    assert [(note.code, note.count) for note in sites.notes] == [("list-short-rows", 1)]


def test_the_other_family_of_load_standards(read):
    head = f"{HEAD},load_standard,asce_wind_speed_m_s,en_wind_speed_m_s"
    rows = ["A,1,1,en,51,", "B,1,1,en,51,26", "C,1,1,en,,", "D,1,1,,51,", "E,1,1,asce7-22,51,"]
    sites = read("\n".join([head, *rows]) + "\n")
    assert [site.usable for site in sites.sites] == [False, True, True, True, True]
    fault = sites.sites[0].faults[0]
    assert (fault.key, fault.value) == ("load_standard", "en")
    assert fault.allowed == (
        "only columns of the other family, ASCE 7, are filled (asce_wind_speed_m_s); "
        "fill those of EN or correct load_standard"
    )


def test_a_wrong_cell_that_only_confirm_checks_need(read):
    site = one_cell(read, "hatch_width_m", "wide")
    assert site.usable
    assert not site.known("hatch_width_m")
    assert set(site.unassessable) == {"delivery.route"}
    assert site.unassessable["delivery.route"].startswith("hatch_width_m 'wide': a number in m is needed")


def test_the_same_cell_depends_on_the_criteria(read):
    first_pass = load_criteria("first-pass")
    assert not one_cell(read, "roof_reserve_kpa", "much").usable
    site = one_cell(read, "roof_reserve_kpa", "much", first_pass)
    assert site.usable
    assert set(site.unassessable) == {"roof.load"}
    assert not one_cell(read, "it_load_kw", "much", first_pass).usable


class NothingRequired:
    need = dict.fromkeys(CHECK_IDS, "confirm")


def test_position_is_never_optional(read):
    sites = read(f"{HEAD}\n{GOOD}\nB,north,2\n", NothingRequired())
    assert [fault.key for fault in sites.sites[1].faults] == ["latitude_deg"]
    assert sites.sites[1].faults[0].allowed.startswith("a number in deg is needed")
    assert sites.sites[1].unassessable == {}


def test_a_wrong_cell_that_feeds_nothing_is_a_caution(read):
    site = one_cell(read, "survey_date", "2024-02-30")
    assert site.usable
    assert [(c.column, c.value, c.checks) for c in site.cautions] == [("survey_date", "2024-02-30", ())]
    assert "there is no such day" in site.cautions[0].text
    assert one_cell(read, "survey_date", "2024-02-29").get("survey_date") == "2024-02-29"


# ------------------------------------------------------------------------------------------- the file


def test_byte_order_mark_and_windows_text(read):
    text = f"{HEAD},name\n{GOOD},Müller\n"
    assert read(text, encoding="utf-8-sig").sites[0].name == "Müller"
    assert read(text, encoding="utf-8-sig").columns[0] == "site_id"
    old = read(text, encoding="cp1252")
    assert old.sites[0].name == "Müller"
    assert [note.code for note in old.notes] == ["list-encoding"]
    assert read(text, encoding="utf-16").sites[0].name == "Müller"


@pytest.mark.parametrize("separator, word", [(";", "semicolon"), ("\t", "tab")])
def test_other_separators(read, separator, word):
    sites = read(f"{HEAD},name\n{GOOD},Hill\n".replace(",", separator))
    assert sites.sites[0].number("longitude_deg") == -79.95
    assert sites.sites[0].name == "Hill"
    assert sites.notes[0].text == f"list.csv: cells are separated by a {word}"


def test_lines_count_line_breaks_inside_cells_and_blank_rows(read):
    sites = read(f'{HEAD},name\r\nA,1,1,"two\r\nlines"\r\n\r\n,,,\r\nB,1,1,x\r\n')
    assert [site.row for site in sites.sites] == [2, 6]
    assert sites.cells["name"].tolist() == ["two\r\nlines", "x"]
    assert [(note.code, note.count) for note in sites.notes] == [("list-blank-rows", 1)]


def test_an_inch_sign_inside_a_cell_is_no_quote(read):
    assert read(f'{HEAD},name\n{GOOD},5" pipe\n').sites[0].name == '5" pipe'


def test_protected_headings_and_cells(read):
    sites = read(f"{HEAD},'+note,name\n{GOOD},'-5,'@home\n")
    assert sites.own_columns == ("+note",)
    assert sites.cells["+note"].tolist() == ["'-5"]
    assert sites.sites[0].name == "@home"
