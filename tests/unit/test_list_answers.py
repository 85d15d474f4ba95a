"""A filled-in survey: faults, conversion, and what it does to the cells of a list."""

import pytest
from openpyxl import Workbook

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.answers import load_answers
from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.inputs.column_map import load_mapping
from edgecheck.inputs.sites import Change, load_sites

LIST = """\
site_id,latitude_deg,longitude_deg,Owner,roof_reserve_kpa,free_length_ft
A,36.1,-79.9,Fern,,20
B,36.2,-79.8,Fern,2.5,30
C,36.3,-79.7,Mill,much,
"""


@pytest.fixture
def merge(tmp_path):
    def merge(*rows, text=LIST, head="site_id,key,answer", mapping=None, separator=","):
        (tmp_path / "list.csv").write_text(text, encoding="utf-8")
        survey = tmp_path / "survey.csv"
        survey.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
        return load_sites(tmp_path / "list.csv", answers=load_answers(survey), mapping=mapping)

    return merge


def refused(merge, *rows, **options):
    with pytest.raises(InputFaults) as caught:
        merge(*rows, **options)
    return str(caught.value).splitlines()


def test_answers_fill_and_replace_cells(merge):
    sites = merge(
        "C,roof_reserve_kpa,3",
        "A,roof_reserve_kpa,1.5",
        "A,roof_surface,Gravel",
        "B,roof_reserve_kpa,2.50",
        "B,free_length_ft,",
        "B,roof_use,?",
        "A,neighbour_distance_m,none",
    )
    assert sites.changes == (
        Change("A", "roof_reserve_kpa", "", "1.5", "roof_reserve_kpa"),
        Change("A", "roof_surface", "", "Gravel", "roof_surface"),
        Change("A", "neighbour_distance_m", "", "none", "neighbour_distance_m"),
        Change("C", "roof_reserve_kpa", "much", "3", "roof_reserve_kpa"),
    )
    assert sites.columns == (*LIST.splitlines()[0].split(","), "roof_surface", "neighbour_distance_m")
    assert sites.cells["roof_reserve_kpa"].tolist() == ["1.5", "2.5", "3"]
    assert sites.cells["roof_surface"].tolist() == ["Gravel", "", ""]
    assert sites.site("A").get("roof_surface") == "gravel"
    assert sites.site("A").get("neighbour_distance_m") is DOES_NOT_APPLY
    assert sites.site("C").usable
    assert sites.known["roof_surface"] == "roof_surface"
    (note,) = [note for note in sites.notes if note.code == "survey-merged"]
    assert note.text == "survey.csv: 5 answers: 3 cells filled, 1 replaced, 1 said what the list says"
    assert sites.side_files["survey"].name == "survey.csv"
    assert sites.values is None


def test_answers_in_a_us_unit(merge):
    sites = merge(
        "A,roof_reserve_psf,40", "A,free_length_m,7.5", "B,free_width_ft,16", "B,roof_reserve_psf,52.2136"
    )
    # 40 psf and 7.5 m: 40 x 0.04788025898 kPa and 7.5 / 0.3048 ft by the definitions of foot and pound-force.
    assert sites.cells["roof_reserve_kpa"].tolist()[0] == "1.915210359"
    assert sites.cells["free_length_ft"].tolist()[0] == "24.60629921"
    assert sites.cells["free_width_ft"].tolist() == ["", "16", ""]
    assert sites.site("A").number("roof_reserve_kpa") == pytest.approx(1.9152103593, rel=1e-9)
    assert sites.site("A").number("free_length_m") == pytest.approx(7.5, rel=1e-9)
    assert sites.site("B").number("free_width_m") == pytest.approx(4.8768, rel=1e-12)


def test_an_answer_in_a_column_with_decimal_commas_reads_the_same_next_time(merge, tmp_path):
    text = "site_id;latitude_deg;longitude_deg;landlord_max_kg\nA;36,1;-79,9;\nB;36,2;-79,8;1.250,5\n"
    sites = merge("A;landlord_max_kg;1234,567", text=text, head="site_id;key;answer")
    assert sites.cells["landlord_max_kg"].tolist() == ["1234,5670", "1.250,5"]
    assert sites.site("A").number("landlord_max_kg") == 1234.567
    again = tmp_path / "again.csv"
    lines = [";".join(row) for row in [sites.columns, *sites.cells.to_numpy().tolist()]]
    again.write_text("\n".join(lines), encoding="utf-8")
    assert load_sites(again).site("A").number("landlord_max_kg") == 1234.567


def test_answers_go_under_mapped_headings_in_their_unit(merge, tmp_path):
    text = "No,Lat,Lng,Reserve\nA,36.1,-79.9,\nB,36.2,-79.8,40\n"
    mapping = tmp_path / "map.toml"
    mapping.write_text(
        "".join(
            f'[[column]]\ntheirs = "{theirs}"\nours = "{ours}"\n'
            for theirs, ours in (("No", "site_id"), ("Lat", "latitude_deg"), ("Lng", "longitude_deg"))
        )
        + '[[column]]\ntheirs = "Reserve"\nours = "roof_reserve_kpa"\nunit = "psf"\n'
    )
    sites = merge("A,roof_reserve_kpa,2", text=text, mapping=load_mapping(mapping))
    assert sites.changes == (Change("A", "roof_reserve_kpa", "", "41.77086847", "Reserve"),)
    assert sites.site("A").number("roof_reserve_kpa") == pytest.approx(2.0, rel=1e-9)


def test_a_filled_in_sheet_of_a_workbook(tmp_path):
    roofs = Workbook()
    roofs.active.append(["site_id", "latitude_deg", "longitude_deg", "it_load_kw"])
    roofs.active.append(["A", 36.1, -79.9, 5])
    roofs.active.append([12, 36.2, -79.8, "=2*3"])
    roofs.save(tmp_path / "list.xlsx")
    survey = Workbook()
    survey.active.title = "verdicts"
    survey.active.append(["site_id", "verdict"])
    sheet = survey.create_sheet("survey")
    rows = [
        ["Please answer"],
        ["site_id", "question", "key", "answer"],
        ["A", "?", "it_load_kw", 5.0],
        [12, "?", "it_load_kw", 6.125],
        [12, "?", "roof_use", "plant"],
        ["A", "?", "penetrations_allowed", True],
    ]
    for row in rows:
        sheet.append(row)
    survey.save(tmp_path / "survey.xlsx")
    sites = load_sites(tmp_path / "list.xlsx", answers=load_answers(tmp_path / "survey.xlsx"))
    assert [(change.site_id, change.key, change.new) for change in sites.changes] == [
        ("A", "penetrations_allowed", "yes"),
        ("12", "it_load_kw", "6.1250"),
        ("12", "roof_use", "plant"),
    ]
    assert sites.values == (("A", 36.1, -79.9, 5, None, "yes"), (12, 36.2, -79.8, 6.125, "plant", None))
    assert sites.site("12").number("it_load_kw") == 6.125
    assert sites.site("12").cautions == ()
    assert sites.site("A").get("penetrations_allowed") == "yes"


def test_answers_that_belong_elsewhere_are_left_and_said(merge):
    sites = merge("A,cooling.capacity_kw,12", "A,,the row is right", "A,roof_use,plant")
    assert [change.key for change in sites.changes] == ["roof_use"]
    (note,) = [note for note in sites.notes if note.code == "survey-elsewhere"]
    assert (note.level, note.count) == ("caution", 2)


def test_protected_answers_and_other_columns(merge):
    sites = merge("A,because,containment_rule,'=see plan,x", head="site_id,why,key,answer,more")
    assert sites.site("A").get("containment_rule") == "=see plan"
    assert sites.changes[0].new == "=see plan"


# ------------------------------------------------------------------------------------------- faults


def test_faults_of_the_answers_are_told_together(merge):
    lines = refused(
        merge,
        "A,roof_reserv_kpa,2",
        "A,roof_reserve_kpa,lots",
        "B,roof_surface,drak",
        ",roof_use,plant",
        "B,site_id,C",
        "B,it_load_kw,5",
        "B,it_load_kw,6",
    )
    assert len(lines) == 6
    assert lines[0] == (
        "survey.csv, line 2, key: 'roof_reserv_kpa': the site list has no such column; did you mean roof_reserve_kpa?"
    )
    assert lines[1].startswith(
        "survey.csv, row A (line 3), roof_reserve_kpa: 'lots': a number in kPa is needed"
    )
    assert "did you mean dark?" in lines[2]
    assert lines[3] == "survey.csv, line 5, site_id: an answer needs the id of its site"
    assert lines[4] == "survey.csv, line 6, key: 'site_id': an answer cannot change the id"
    assert (
        lines[5] == "survey.csv, row B (line 8), it_load_kw: '6': line 7 answers '5' (it_load_kw); keep one"
    )


def test_the_same_answer_twice_is_one(merge):
    sites = merge("B,it_load_kw,5", "B,it_load_kw,5.0")
    assert [change.new for change in sites.changes] == ["5"]


def test_sites_that_the_list_does_not_have(merge):
    text = LIST + "B,36.2,-79.8,Fern,2,3\n"
    text = text.replace("A,", "ROOF-A,")
    lines = refused(merge, "ROOF-X,roof_use,plant", "B,roof_use,plant", text=text)
    assert lines == [
        "survey.csv, line 2, site_id: 'ROOF-X': list.csv has no such site; did you mean ROOF-A?",
        "survey.csv, line 3, site_id: 'B': list.csv has this id on lines 3, 5; the answer could belong to any of them",
    ]


def test_a_survey_without_its_columns(merge):
    lines = refused(merge, "A,2", head="site_id,answer")
    assert lines == ["survey.csv, line 1, key: the required column is missing"]


def test_an_own_column_in_the_way(merge, tmp_path):
    mapping = tmp_path / "map.toml"
    mapping.write_text('[[column]]\ntheirs = "roof_use"\nignore = true\n')
    text = LIST.replace("Owner", "roof_use")
    lines = refused(merge, "A,roof_use,plant", text=text, mapping=load_mapping(mapping))
    assert lines == ["survey.csv, line 2, key: 'roof_use': list.csv has a column of its own with this name"]
