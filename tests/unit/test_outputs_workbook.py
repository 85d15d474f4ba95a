"""verdicts.xlsx as other programs read it: types, looks, text that stays text."""

import csv
import io
import math
import zipfile
from dataclasses import replace
from itertools import groupby
from operator import attrgetter
from xml.etree import ElementTree as ET

import openpyxl
import pytest
from result_factory import make_result, make_unusable

from edgecheck.inputs.assumed_values import apply_assumptions
from edgecheck.inputs.assumptions import load_assumptions
from edgecheck.inputs.columns import columns
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import Change, load_sites
from edgecheck.inputs.survey_columns import SURVEY_COLUMNS, SurveyItem
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS
from edgecheck.outputs.listed_row import listed_rows
from edgecheck.outputs.result_columns import RESULT_COLUMNS
from edgecheck.outputs.run_facts import record_of
from edgecheck.outputs.sheet_book import Book
from edgecheck.outputs.survey_sheet import MOST_ROWS, SurveySheet, survey_head, survey_rows, survey_text
from edgecheck.outputs.verdict_sheet import own_columns, own_values
from edgecheck.outputs.workbook import VerdictBook
from edgecheck.screening.plan import Plan
from edgecheck.screening.run import Run

LIST = """Landlord,site_id,name,latitude_deg,longitude_deg,roof_level_agl_ft,free_length_m,Planner note,verdict
=HYPERLINK("http://x"),R-001,Harbour exchange,36.10,-79.95,39,7.50,-12,mine
+49 30 1234,R-002,Old mill,36.2,-79.9,tbd,,@home,
"""


def question(site_id, order, key, **more):
    column = columns()[key]
    given = {
        "site_id": site_id, "name": "a roof", "order": order, "key": key, "question": column.question,
        "unit": column.unit, "allowed": column.range_text(), "who_knows": column.knows,
        "why": "it decides", "decides": column.feeds,
    }  # fmt: skip
    return SurveyItem(**{**given, **more})


QUESTIONS = [
    question("R-001", 1, "roof_evidence"),
    question("R-001", 2, "landlord_max_kg"),
    question("R-002", 1, "insulation_type", why='=WEBSERVICE("x")'),
    question("R-002", 2, "roof_evidence"),
]


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    path = tmp_path_factory.mktemp("list") / "roofs.csv"
    path.write_text(LIST, encoding="utf-8")
    site_list = load_sites(path)
    bare = replace(make_result(), hourly=None, hot_spell=None, cold_spell=None, outage=None)
    endless = {**bare.figures, "ride_through_minutes": math.inf, "pump_lost_minutes": math.nan}
    results = (bare, make_unusable(row=3, site_id="R-002", figures=endless))
    return Run(Plan(site_list, load_criteria(), (), {}), results, {2: 1, 3: 2}, (("example.csv", "ab" * 32),))


def workbook_bytes(run, sites=(), folders=None, pages=None, most=MOST_ROWS):
    """verdicts.xlsx with questions, site by site."""
    book = VerdictBook(run.plan, pages or {}, most)
    asked = iter(sites)
    for row in listed_rows(run.results, run.ranks, folders or {}):
        book.add(row, survey_rows(next(asked, ())))
    out = io.BytesIO()
    book.save(record_of(run, ["screen"]), run.verdicts, out)
    return out.getvalue()


def by_site(items):
    return [list(own) for _, own in groupby(items, attrgetter("site_id"))]


def made(run, items=QUESTIONS):
    return workbook_bytes(run, by_site(items), {2: "R-001"}, {2: "sites/R-001/worst-hour.html"})


@pytest.fixture(scope="module")
def book(run):
    return openpyxl.load_workbook(io.BytesIO(made(run)))


def records(sheet):
    head, *rows = sheet.iter_rows()
    names = [cell.value for cell in head]
    return [dict(zip(names, row, strict=True)) for row in rows]


def test_sheets_in_their_order(book):
    assert book.sheetnames == ["verdicts", "survey", "columns", "about"]


def test_headings_are_those_of_the_csv_and_carry_their_unit(book):
    head = [cell.value for cell in book["verdicts"][1]]
    own = LIST.splitlines()[0].split(",")
    assert head == [*own[:-1], "own_verdict", *VERDICT_COLUMNS]
    endings = {"kW": "_kw", "degC": "_c", "min": "_minutes", "kg": "_kg", "m2": "_m2", "kPa": "_kpa", "kN": "_kn",
               "A": "_ampere", "dB(A)": "_dba", "km": "_km", "share": "_share"}  # fmt: skip
    for column in RESULT_COLUMNS.values():
        if column.unit:
            assert column.name.endswith(endings[column.unit])


def test_heading_and_id_stay_in_sight_and_every_column_can_be_filtered(book):
    sheet = book["verdicts"]
    pane = sheet.sheet_view.pane
    assert (pane.state, pane.ySplit) == ("frozen", 1)
    assert sheet.cell(1, int(pane.xSplit)).value == "site_id"
    assert sheet.auto_filter.ref == sheet.dimensions
    for name, split in (("survey", (2, 1)), ("columns", (1, 1))):
        pane = book[name].sheet_view.pane
        assert (pane.state, (pane.xSplit, pane.ySplit)) == ("frozen", split)
        assert book[name].auto_filter.ref == book[name].dimensions


def test_a_list_with_many_columns_opens_where_the_verdict_stands(run):
    wide = replace(run.plan.site_list, columns=run.plan.site_list.columns)
    more = [f"own {number}" for number in range(20)]
    cells = wide.cells.assign(**dict.fromkeys(more, "text"))
    wide = replace(wide, columns=(*wide.columns, *more), cells=cells)
    sheet = openpyxl.load_workbook(io.BytesIO(made(replace(run, plan=replace(run.plan, site_list=wide)))))[
        "verdicts"
    ]
    assert sheet[sheet.sheet_view.pane.topLeftCell].column == len(wide.columns) + 1
    assert sheet.sheet_view.pane.xSplit == 2


def test_an_id_far_from_the_left_moves_to_the_front_where_it_can_be_frozen(run):
    site_list = run.plan.site_list
    order = ("Landlord", "name", "Planner note", "verdict", "latitude_deg", "site_id", "longitude_deg")
    moved = replace(site_list, columns=order, cells=site_list.cells[list(order)])
    sheet = openpyxl.load_workbook(io.BytesIO(made(replace(run, plan=replace(run.plan, site_list=moved)))))[
        "verdicts"
    ]
    head = [cell.value for cell in sheet[1]][: len(order)]
    assert head == [
        "site_id",
        "Landlord",
        "name",
        "Planner note",
        "own_verdict",
        "latitude_deg",
        "longitude_deg",
    ]
    assert sheet["A2"].value == "R-001"
    assert sheet.sheet_view.pane.xSplit == 1


def test_numbers_are_numbers_and_the_planners_own_columns_stay_text(book):
    row, other = records(book["verdicts"])
    for name, value in (("latitude_deg", 36.1), ("longitude_deg", -79.95), ("roof_level_agl_ft", 39),
                        ("free_length_m", 7.5), ("rank", 1), ("asks_kpa", 3.16), ("asks_mass_kg", 309)):  # fmt: skip
        assert (row[name].value, row[name].data_type) == (value, "n")
    assert (row["Planner note"].value, row["Planner note"].data_type) == ("-12", "s")
    assert (other["roof_level_agl_ft"].value, other["free_length_m"].value) == ("tbd", None)
    assert row["headroom_share"].number_format == "0.0%"
    assert row["asks_kpa"].number_format == "0.00"
    assert row["headroom_kw"].value == pytest.approx(make_result().figures["headroom_kw"], rel=1e-8)


def test_unknown_is_empty_and_without_end_is_a_word(book):
    row, other = records(book["verdicts"])
    assert row["asks_ampere"].value is None
    assert other["ride_through_minutes"].value == "unlimited"
    assert other["pump_lost_minutes"].value is None


def test_no_cell_of_any_sheet_is_a_formula(book):
    texts = []
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type != "f"
                texts.append(cell.value)
    for text in ('=HYPERLINK("http://x")', "+49 30 1234", "@home", '=WEBSERVICE("x")'):
        assert text in texts


def test_text_like_a_formula_stays_text_when_somebody_edits_the_cell(book):
    row, other = records(book["verdicts"])
    assert row["Landlord"].quotePrefix
    assert other["Planner note"].quotePrefix
    assert not row["name"].quotePrefix


def test_a_status_is_a_word_with_a_fill_behind_it(book):
    row, other = records(book["verdicts"])
    words = {name: row[name].value for name in ("verdict", "heat", "roof", "stability")}
    assert words == {"verdict": "no-go", "heat": "conditional", "roof": "no-go", "stability": "not covered"}
    fills = {row["verdict"].fill.fgColor.rgb, row["heat"].fill.fgColor.rgb, other["verdict"].fill.fgColor.rgb}
    assert len(fills) == 3
    assert row["roof"].fill.fgColor.rgb == row["verdict"].fill.fgColor.rgb
    assert row["stability"].fill.fill_type is None
    assert other["verdict"].value == "unusable"


def test_reason_is_broken_into_lines_and_its_row_is_high_enough(book):
    sheet = book["verdicts"]
    row = records(sheet)[0]
    assert row["reason"].alignment.wrap_text
    assert row["reason"].alignment.vertical == "top"
    assert sheet.row_dimensions[2].height > 20
    assert sheet.column_dimensions[row["reason"].column_letter].width >= 40


def test_the_folder_leads_to_the_page(book):
    row, other = records(book["verdicts"])
    assert row["folder"].hyperlink.target == "sites/R-001/worst-hour.html"
    assert other["folder"].hyperlink is None


def test_survey_has_the_questions_and_a_place_for_answers(book):
    sheet = book["survey"]
    assert [cell.value for cell in sheet[1]] == list(SURVEY_COLUMNS)
    rows = records(sheet)
    assert [(row["site_id"].value, row["order"].value, row["key"].value) for row in rows] == [
        (item.site_id, item.order, item.key) for item in QUESTIONS
    ]
    assert rows[0]["decides"].value == "; ".join(columns()["roof_evidence"].feeds)
    for row in rows:
        assert row["answer"].value is None
        assert row["answer"].fill.fill_type == "solid"


def test_choices_are_offered_where_there_are_choices(book):
    sheet = book["survey"]
    letter = sheet.cell(1, SURVEY_COLUMNS.index("answer") + 1).column_letter
    offered = {
        cell: offer.formula1
        for offer in sheet.data_validations.dataValidation
        for cell in str(offer.sqref).split()
    }
    evidence = ",".join(str(value) for value in columns()["roof_evidence"].values)
    assert offered == {
        f"{letter}2": f'"{evidence}"',
        f"{letter}4": f'"{",".join(str(value) for value in columns()["insulation_type"].values)}"',
        f"{letter}5": f'"{evidence}"',
    }
    assert all(offer.allow_blank and offer.type == "list" for offer in sheet.data_validations.dataValidation)


def test_every_column_with_choices_fits_into_a_list_of_choices(run):
    items = [
        question("R-001", at, name) for at, name in enumerate(columns(), start=1) if columns()[name].values
    ]
    sheet = openpyxl.load_workbook(io.BytesIO(made(run, items)))["survey"]
    cells = [cell for offer in sheet.data_validations.dataValidation for cell in str(offer.sqref).split()]
    assert len(cells) == len(items)
    # "Data validation": a list typed into the cell has at most 255 characters (support.microsoft.com).
    assert all(len(offer.formula1) <= 257 for offer in sheet.data_validations.dataValidation)


@pytest.mark.parametrize(("most", "shown"), [(8, 6), (9, 9), (12, 12), (2, 2)])
def test_a_long_survey_ends_with_a_whole_site_and_says_where_the_rest_is(run, most, shown):
    items = [question(f"R-{site}", order, "roof_evidence") for site in range(4) for order in range(3)]
    book = Book()
    sheet = SurveySheet(book, most)
    for own in by_site(items):
        sheet.add(survey_rows(own))
    remarks = sheet.finish()
    assert (sheet.count, sheet.shown) == (12, shown)
    assert remarks == (
        ()
        if shown == 12
        else (f"The sheet survey holds {shown} of 12 questions; survey.csv holds all of them.",)
    )
    out = io.BytesIO()
    book.save("", out)
    read = openpyxl.load_workbook(out)["survey"]
    assert [row[0].value for row in read.iter_rows(min_row=2)] == [item.site_id for item in items[:shown]]
    assert read.auto_filter.ref == f"A1:K{shown + 1}"


def test_about_says_what_the_survey_leaves_out(run):
    about = openpyxl.load_workbook(io.BytesIO(workbook_bytes(run, by_site(QUESTIONS), most=3)))["about"]
    assert any("2 of 4 questions" in str(row[0].value) for row in about.iter_rows())


def test_survey_csv_is_the_same_list_protected():
    header, *rows = csv.reader(io.StringIO(survey_head() + survey_text(survey_rows(QUESTIONS))))
    assert tuple(header) == SURVEY_COLUMNS
    assert len(rows) == len(QUESTIONS)
    assert rows[2][SURVEY_COLUMNS.index("why")] == '\'=WEBSERVICE("x")'
    assert [row[-1] for row in rows] == [""] * 4


def test_columns_are_explained_the_lists_first(book):
    rows = {row["column"].value: row for row in records(book["columns"])}
    names = list(rows)
    own = LIST.splitlines()[0].split(",")
    assert names[: len(own)] == [*own[:-1], "own_verdict"]
    assert names[len(own) : len(own) + len(VERDICT_COLUMNS)] == list(VERDICT_COLUMNS)
    assert set(columns()) - set(names) == {"roof_level_agl_m"}  # the list has it in feet
    assert rows["Landlord"]["meaning"].value.startswith("your own column")
    assert rows["roof_level_agl_ft"]["unit"].value == "ft"
    assert "roof_level_agl_m" in rows["roof_level_agl_ft"]["meaning"].value
    reserve, column = rows["roof_reserve_kpa"], columns()["roof_reserve_kpa"]
    assert (reserve["unit"].value, reserve["allowed"].value) == ("kPa", column.range_text())
    assert reserve["usual"].value == "0.3 to 10 kPa"
    assert reserve["feeds"].value == "; ".join(column.feeds)
    assert rows["recirculation"]["empty_means"].value == columns()["recirculation"].empty_means
    assert rows["recirculation"]["default_reason"].value == columns()["recirculation"].default_reason
    later = [name for name, column in columns().items() if not column.used and name in rows]
    assert later
    assert {rows[name]["used"].value for name in later} == {"not used yet"}
    assert rows["site_id"]["feeds"].value == "every check"


def test_result_columns_all_have_a_meaning():
    assert list(RESULT_COLUMNS) == list(VERDICT_COLUMNS)
    assert all(column.meaning for column in RESULT_COLUMNS.values())


def test_about_says_what_was_run_and_what_to_be_careful_about(book, run):
    rows = [[cell.value for cell in row] for row in book["about"].iter_rows()]
    texts = " ".join(str(value) for row in rows for value in row if value is not None)
    for phrase in ("screening calculation, not a design", "licensed", "local code", "synthetic", "roofs.csv",
                   "SHA-256", "Criteria: full"):  # fmt: skip
        assert phrase in texts
    found = {row[0]: row for row in rows if row[0]}
    criteria = run.plan.criteria
    for key, value in criteria.values().items():
        assert found[key][1] == value
        assert criteria.reasons[key] in found[key][2]
    for check, need in criteria.need.items():
        assert found[check][1] == need
    assert (found["Rows of the list"][1], found["unusable"][1], found["no-go"][1]) == (2, 1, 1)


def test_about_has_no_synthetic_warning_for_real_weather(run):
    real = make_result(detail={"weather": {"synthetic": False}})
    sheet = openpyxl.load_workbook(io.BytesIO(made(replace(run, results=(real, make_unusable(row=3))))))[
        "about"
    ]
    assert not any("synthetic" in str(cell.value) for row in sheet.iter_rows() for cell in row)


def test_printing_is_landscape_and_one_page_wide(book):
    for sheet in book:
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
    assert book["verdicts"].print_title_rows == "$1:$1"


def test_nothing_in_it_depends_on_the_time(run):
    first, second = made(run), made(run)
    assert first == second
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert archive.testzip() is None
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        for name in archive.namelist():
            ET.fromstring(archive.read(name))


def test_numbers_with_a_decimal_comma_are_numbers(run, tmp_path):
    path = tmp_path / "comma.csv"
    rows = ("A;36,1;-79,95;7,50;12,5", "B;36,2;-79,9;1.234,5;1,250", "C;36,3;-79,8;6 m;12.500")
    text = "site_id;latitude_deg;longitude_deg;free_length_m;elevation_m\n" + "\n".join(rows) + "\n"
    path.write_text(text, encoding="utf-8")
    site_list = load_sites(path)
    results = tuple(make_unusable(row=site.row, site_id=site.site_id) for site in site_list.sites)
    changed = replace(run, plan=replace(run.plan, site_list=site_list), results=results)
    sheet = openpyxl.load_workbook(io.BytesIO(made(changed)))["verdicts"]
    rows = records(sheet)
    assert [row["latitude_deg"].value for row in rows] == [36.1, 36.2, 36.3]
    assert [row["free_length_m"].value for row in rows] == [7.5, 1234.5, "6 m"]
    assert [row["elevation_m"].value for row in rows] == [12.5, 1.25, 12.5]
    assert [site.number("elevation_m") for site in site_list.sites] == [12.5, 1.25, 12.5]


def test_a_number_that_the_reader_leaves_in_doubt_stays_text(tmp_path):
    path = tmp_path / "doubt.csv"
    path.write_text(
        'site_id,latitude_deg,longitude_deg,elevation_m\nA,36,-79,"1,250"\nB,36,-79,7\n', encoding="utf-8"
    )
    site_list = load_sites(path)
    assert site_list.sites[0].number("elevation_m") is None
    assert own_values(site_list, own_columns(site_list))[-1] == ["1,250", 7.0]


def test_about_lists_what_survey_answers_changed_and_what_was_assumed(run, tmp_path):
    path = tmp_path / "assume.toml"
    path.write_text(
        '[[assume]]\nkey = "roof_use"\nvalue = "plant"\nby = "A. Planner"\nwhy = "all roofs of this owner"\n',
        encoding="utf-8",
    )
    assumptions = load_assumptions(path)
    change = Change("R-001", "free_length_m", "7.50", "8", "free_length_m")
    site_list = replace(apply_assumptions(run.plan.site_list, assumptions), changes=(change,))
    plan = replace(run.plan, site_list=site_list, assumptions=assumptions)
    sheet = openpyxl.load_workbook(io.BytesIO(made(replace(run, plan=plan))))["about"]
    found = {row[0].value: (row[1].value, row[2].value) for row in sheet.iter_rows()}
    assert found["R-001"] == ("free_length_m", "7.50 -> 8")
    value, text = found["roof_use"]
    assert value == "plant"
    assert "by A. Planner: all roofs of this owner" in text
    assert text.endswith(f"rows: {len(site_list.usable)}")
