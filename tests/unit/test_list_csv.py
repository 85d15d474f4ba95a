"""CSV files as programs and people leave them: separators, titles, encodings, empty and repeated rows."""

import codecs

import pytest

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.column_map import wanted_names
from edgecheck.inputs.csv_rows import csv_rows
from edgecheck.inputs.sites import load_sites

HEAD = "site_id,latitude_deg,longitude_deg"
GOOD = "A-1,36.1,-79.95"


@pytest.fixture
def read(tmp_path):
    def read(text, encoding="utf-8", **options):
        path = tmp_path / "list.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return load_sites(path, **options)

    return read


def codes(sites):
    return [note.code for note in sites.notes]


def test_title_lines_above_the_headings(read):
    sites = read(f"Roofs of the north, spring\n\nstate: draft;v2\n{HEAD}\n{GOOD}\nB,1,1\n")
    assert sites.header_line == 4
    assert [site.row for site in sites.sites] == [5, 6]
    assert sites.columns == tuple(HEAD.split(","))
    titles = next(note for note in sites.notes if note.code == "list-title-lines")
    assert titles.text == "list.csv: 2 lines above the headings on line 4 left out"


def test_a_title_with_more_commas_than_the_headings_have_semicolons(read):
    sites = read(
        f"Roofs, north, spring, draft, v2, old\n{HEAD.replace(',', ';')}\n{GOOD.replace(',', ';')}\n"
    )
    assert sites.sites[0].number("longitude_deg") == -79.95


def test_faults_of_headings_name_their_line(read):
    with pytest.raises(InputFaults) as caught:
        read("Roofs\nsite_id,latitude_deg,elevation_m\nA,1,2\n")
    assert str(caught.value) == "list.csv, line 2, longitude_deg: the required column is missing"


def test_a_list_without_any_of_our_headings_says_how_to_begin(read):
    with pytest.raises(InputFaults) as caught:
        read("Title\nNo;Lat;Lng\nA;36,1;-79,9\n")
    assert str(caught.value).splitlines()[-1] == (
        "list.csv, line 2: to map other headings, begin with: edgecheck new sites --from list.csv"
    )
    assert "line 2, site_id: the required column is missing" in str(caught.value)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_separators_inside_quotes_and_other_cells_do_not_count(read, separator):
    other = ";;;;" if separator != ";" else ",,,,"
    head = separator.join((*HEAD.split(","), "Remark", f'"see{other}{other}"'))
    row = separator.join((*GOOD.split(","), f'"a{other}b"', ""))
    sites = read(f"{head}\n{row}\n")
    assert sites.sites[0].usable
    assert sites.cells["Remark"].tolist() == [f"a{other}b"]


def test_decimal_commas_do_not_count_as_separators():
    rows = "".join(f"A-{at};36,{at};-79,{at};7,5;3,5;4,5\n" for at in range(1, 6))
    data = f"No;Lat;Lng;Free length;Width;Height\n{rows}".encode()
    source = csv_rows("list.csv", data, "", wanted_names(None))
    assert source.rows[1] == ["A-1", "36,1", "-79,1", "7,5", "3,5", "4,5"]


def test_the_first_line_may_name_the_separator(read):
    sites = read(f"sep=|\n{HEAD.replace(',', '|')}|Remark\n{GOOD.replace(',', '|')}|a,b;c\n")
    assert sites.cells["Remark"].tolist() == ["a,b;c"]
    assert sites.header_line == 2


@pytest.mark.parametrize(
    "encode",
    [
        lambda text: text.encode("utf-8"),
        lambda text: text.encode("utf-8-sig"),
        lambda text: text.encode("utf-16"),
        lambda text: text.encode("utf-16-le"),
        lambda text: text.encode("utf-16-be"),
        lambda text: codecs.BOM_UTF16_BE + text.encode("utf-16-be"),
        lambda text: text.encode("cp1252"),
        lambda text: text.replace("\n", "\r\n").encode("utf-8"),
        lambda text: text.replace("\n", "\r").encode("utf-8"),
    ],
)
def test_encodings_and_line_ends(read, encode):
    sites = read(encode(f"{HEAD},name\n{GOOD},Bäckerstraße\nB,1,1,Qué\n"))
    assert sites.columns[0] == "site_id"
    assert [site.name for site in sites.sites] == ["Bäckerstraße", "Qué"]
    assert [site.row for site in sites.sites] == [2, 3]


def test_empty_rows_are_counted_and_lines_stay(read):
    sites = read(f"{HEAD}\n,,\n{GOOD}\n,,\n , ,\nB,1,1\n,,\n")
    assert [site.row for site in sites.sites] == [3, 6]
    assert sites.blank_rows == 4
    assert sites.counts == {"rows": 2, "usable": 2, "unusable": 0, "cautioned_cells": 0, "blank_rows": 4}
    assert [note.count for note in sites.notes if note.code == "list-blank-rows"] == [4]


def test_repeated_headings_are_left_out(read):
    sites = read(f"{HEAD}\n{GOOD}\n{HEAD}\nB,1,1\n")
    assert [site.site_id for site in sites.sites] == ["A-1", "B"]
    assert [site.row for site in sites.sites] == [2, 4]
    assert [note.count for note in sites.notes if note.code == "list-repeated-headings"] == [1]


def test_trailing_empty_columns_are_dropped(read):
    sites = read(f"{HEAD},,,\n{GOOD},,,\nB,1,1\n")
    assert sites.columns == tuple(HEAD.split(","))
    assert codes(sites) == ["list-short-rows"]


def test_a_sheet_of_a_csv_file_is_a_fault(read):
    with pytest.raises(InputFaults, match="--sheet: 'Roofs': this is not a workbook"):
        read(f"{HEAD}\n{GOOD}\n", sheet="Roofs")


@pytest.mark.parametrize(
    "text, date",
    [
        ("2024-05-03", "2024-05-03"),
        ("2024-05-03 10:30", "2024-05-03"),
        ("3.5.2024", "2024-05-03"),
        ("03. 05. 2024", "2024-05-03"),
        ("13/5/2024", "2024-05-13"),
        ("5/13/2024", "2024-05-13"),
        ("5/5/2024", "2024-05-05"),
    ],
)
def test_dates_as_people_write_them(read, text, date):
    sites = read(f"{HEAD},survey_date\n{GOOD},{text}\n")
    assert sites.sites[0].get("survey_date") == date
    assert sites.sites[0].cautions == ()


@pytest.mark.parametrize(
    "text, why",
    [
        ("3/5/2024", "3/5/2024 may be 2024-03-05 or 2024-05-03; a date as YYYY-MM-DD is needed"),
        ("31.2.2024", "there is no such day"),
        ("13/13/2024", "there is no such day"),
        ("May", "a date as YYYY-MM-DD is needed"),
    ],
)
def test_dates_that_cannot_be_read(read, text, why):
    site = read(f"{HEAD},survey_date\n{GOOD},{text}\n").sites[0]
    assert not site.known("survey_date")
    assert why in site.cautions[0].text


@pytest.mark.parametrize(
    "text, value", [("TRUE", "yes"), ("false", "no"), ("Y", "yes"), ("n", "no"), ("Yes", "yes")]
)
def test_yes_and_no_as_people_write_them(read, text, value):
    assert read(f"{HEAD},penetrations_allowed\n{GOOD},{text}\n").sites[0].get("penetrations_allowed") == value


def test_true_is_no_value_of_other_choices(read):
    assert not read(f"{HEAD},roof_use\n{GOOD},\nB,1,1,TRUE\n").sites[1].usable


@pytest.mark.parametrize("text", ["#REF!", "#DIV/0!", "#value!"])
def test_errors_of_a_sheet_are_faults(read, text):
    site = read(f"{HEAD},roof_reserve_kpa\n{GOOD},\nB,1,1,{text}\n").sites[1]
    assert "the sheet shows an error here" in site.faults[0].allowed


def test_not_available_is_unknown(read):
    site = read(f"{HEAD},roof_reserve_kpa\n{GOOD},#N/A\n").sites[0]
    assert site.usable
    assert not site.known("roof_reserve_kpa")


def test_a_number_with_a_known_unit_is_said_in_the_unit_of_the_column(read):
    site = read(f"{HEAD},roof_reserve_kpa\n{GOOD},\nB,1,1,40 psf\n").sites[1]
    assert site.faults[0].allowed.endswith("write the number without its unit, in kPa: 1.92")


def test_a_column_of_another_unit_is_asked_about_once(read):
    rows = "".join(f"S-{at},36,-79,{40 + at}\n" for at in range(8))
    sites = read(f"{HEAD},roof_reserve_kpa\n{rows}T,36,-79,2.5\n")
    (note,) = [note for note in sites.notes if note.code == "list-column-unit"]
    assert (note.level, note.count) == ("caution", 8)
    assert note.text == (
        "8 of 9 cells of roof_reserve_kpa would be usual in psf: "
        "if the whole column is in that unit, map it with --columns"
    )


def test_findings_name_every_problem_of_a_row_once(read):
    sites = read(
        f"{HEAD},roof_reserve_kpa,hatch_width_m,free_length_m\n{GOOD},2,1,9\nB,36,-79,much,wide,600\n"
    )
    assert len(sites.findings) == 1
    text = sites.findings[0]
    assert text.startswith("row B (line 3): roof_reserve_kpa 'much': a number in kPa is needed")
    assert text.count("roof_reserve_kpa") == text.count("hatch_width_m") == text.count("free_length_m") == 1
    assert "600: in? that would be 15.2 m" in text
    assert sites.counts == {"rows": 2, "usable": 1, "unusable": 1, "cautioned_cells": 1, "blank_rows": 0}


def test_only_one_site(read):
    sites = read(f"{HEAD}\n{GOOD}\nB,1,1\n").only("B")
    assert [site.site_id for site in sites.sites] == ["B"]
    assert sites.cells["site_id"].tolist() == ["B"]
    assert sites.values is None
