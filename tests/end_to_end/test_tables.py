"""The tables of a run as other programs open them: CSV, XLSX, GeoJSON, from a list with formulas in its cells."""

import csv
import datetime as dt
import io
import json
import os
import re
import shutil
import subprocess
import sys
import time
import zipfile
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from geojson_rules import check_geojson
from result_factory import make_result

from edgecheck.demo.files import climate_files, demo_inputs
from edgecheck.inputs.criteria import load_criteria
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.spreadsheet_text import unprotect
from edgecheck.inputs.survey_columns import SURVEY_COLUMNS
from edgecheck.inputs.unit import load_unit
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS
from edgecheck.outputs.listed_row import listed_rows
from edgecheck.outputs.run_facts import record_of
from edgecheck.outputs.run_writer import write_run
from edgecheck.outputs.workbook import VerdictBook
from edgecheck.screening.plan import Plan, plan_run
from edgecheck.screening.run import Run, screen

HEADINGS = ("Region", "site_id", "name", "latitude_deg", "longitude_deg", "roof_reserve_kpa", "roof_level_agl_ft",
            "Planner note", "Phone", "=SUM(A1:A9)", "rank")  # fmt: skip
ROWS = (
    ("North", "KH-01", "Lantern House", "46.86", "-32.91", "2.5", "39.5", '=HYPERLINK("http://x","y")', "+49 30 12",
     "@now", "A"),
    ("South", "+KH 04", "Netmakers' yard", "46.74", "-33.12", "", "tbd", "-5,5", "'quoted", "\tx", "B"),
    ("South", "KH-09", "  Tide Mill", "", "-32.84", "0.8", "", "-12", "=-", "plain, text", ""),
    ("East", "KH-10", "=cmd|' /C calc'!A0", "46.79", "-180", "1.5", "", "line one\nline two", "'=1", "1e3", "7"),
)  # fmt: skip
# What the cells say: an apostrophe in front of what would run is protection, and no part of the text.
MEANT = tuple(tuple(unprotect(text) for text in row) for row in ROWS)
WRITTEN = (
    "index.html",
    "verdicts.csv",
    "verdicts.xlsx",
    "survey.csv",
    "sites.geojson",
    "run.json",
    "results.jsonl",
)
PROMISED = 50_000


def written(path, rows=ROWS, headings=HEADINGS):
    with path.open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows([headings, *rows])
    return path


def screened(path, folder):
    weather = climate_files() / "temperate-coast.epw"
    run = screen(plan_run(load_sites(path), load_unit(demo_inputs().unit), weather))
    write_run(run, str(folder), report="none")
    return folder


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("tables")
    return screened(written(place / "roofs.csv"), place / "run")


def table(path):
    with path.open(encoding="utf-8-sig", newline="") as lines:
        return list(csv.DictReader(lines))


def sheet_rows(sheet):
    head, *rows = sheet.iter_rows()
    names = [cell.value for cell in head]
    return [dict(zip(names, row, strict=True)) for row in rows]


def test_every_table_is_written(folder):
    assert {name for name in WRITTEN if (folder / name).is_file()} == set(WRITTEN)


def test_formulas_get_an_apostrophe_in_the_csv_that_our_reader_removes(folder):
    first, second, third, fourth = table(folder / "verdicts.csv")
    assert first["Planner note"] == '\'=HYPERLINK("http://x","y")'
    assert first["Phone"] == "'+49 30 12"
    assert second["'=SUM(A1:A9)"] == "'\tx"
    assert second["site_id"] == "'+KH 04"
    assert (third["Planner note"], third["Phone"]) == ("-12", "'=-")
    assert fourth["name"].startswith("'=cmd")
    assert fourth["Phone"] == "'=1"
    raw = (folder / "verdicts.csv").read_text(encoding="utf-8-sig")
    for row in csv.reader(io.StringIO(raw, newline="")):
        for cell in row:
            assert cell[:1] not in tuple("=+-@\t\r") or re.fullmatch(r"[+-]?[0-9.,]+", cell)


def test_reading_our_own_csv_back_gives_the_original_text(folder):
    back = load_sites(folder / "verdicts.csv")
    names = tuple("own_rank" if name == "rank" else name for name in HEADINGS)
    assert back.columns == names
    assert tuple(tuple(row) for row in back.cells.to_numpy()) == MEANT


def test_reading_our_own_workbook_back_gives_the_original_cells(folder):
    back = load_sites(folder / "verdicts.xlsx")
    assert back.columns == tuple("own_rank" if name == "rank" else name for name in HEADINGS)
    assert tuple(tuple(row) for row in back.cells.to_numpy()) == MEANT
    assert back.values is not None
    kinds = [type(value) for value in back.values[0]]
    assert kinds == [str, str, str, float, float, float, float, str, str, str, str]


def test_the_workbook_has_the_same_text_as_string_cells_and_no_formula(folder):
    book = openpyxl.load_workbook(folder / "verdicts.xlsx")
    assert all(cell.data_type != "f" for sheet in book for row in sheet.iter_rows() for cell in row)
    rows = sheet_rows(book["verdicts"])
    for found, given in zip(rows, MEANT, strict=True):
        for name, text in zip(HEADINGS, given, strict=True):
            cell = found["own_rank" if name == "rank" else name]
            if (
                name in ("latitude_deg", "longitude_deg", "roof_reserve_kpa", "roof_level_agl_ft")
                and text != "tbd"
            ):
                assert cell.value == (float(text) if text else None)
                assert cell.data_type == "n"
            else:
                assert (cell.value or "") == text
                assert cell.value is None or cell.data_type == "s"


def test_csv_and_workbook_say_the_same(folder):
    rows = sheet_rows(openpyxl.load_workbook(folder / "verdicts.xlsx")["verdicts"])
    for found, given in zip(rows, table(folder / "verdicts.csv"), strict=True):
        for name in VERDICT_COLUMNS:
            value = found[name].value
            if isinstance(value, int | float):
                assert value == float(given[name])
            else:
                assert (value or "") == given[name]


def test_survey_file_and_sheet_hold_the_same_questions(folder):
    data = (folder / "survey.csv").read_bytes()
    assert data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert tuple(rows[0]) == SURVEY_COLUMNS
    assert len(rows) > 3
    assert all(row[-1] == "" for row in rows[1:])
    sheet = openpyxl.load_workbook(folder / "verdicts.xlsx")["survey"]
    shown = [["" if cell.value is None else str(cell.value) for cell in row] for row in sheet.iter_rows()]
    assert [[text.removeprefix("'") for text in row] for row in rows] == shown


def test_points_follow_the_published_rules(folder):
    found = check_geojson((folder / "sites.geojson").read_text(encoding="utf-8"))
    points = [feature["geometry"] and feature["geometry"]["coordinates"] for feature in found["features"]]
    assert points == [[-32.91, 46.86], [-33.12, 46.74], None, [-180.0, 46.79]]
    record = json.loads((folder / "run.json").read_text(encoding="utf-8"))
    verdicts = [feature["properties"]["verdict"] for feature in found["features"]]
    assert verdicts.count("unusable") == record["counts"]["unusable"]
    assert verdicts == [row["verdict"] for row in table(folder / "verdicts.csv")]


def test_two_runs_of_the_same_list_write_the_same_bytes(folder, tmp_path):
    again = screened(written(tmp_path / "roofs.csv"), tmp_path / "run")
    for name in WRITTEN:
        assert (again / name).read_bytes() == (folder / name).read_bytes(), name


@pytest.fixture(scope="module")
def from_a_workbook(tmp_path_factory):
    """A run of a list that is a workbook, with every kind of cell that people have."""
    place = tmp_path_factory.mktemp("workbook")
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["site_id", "latitude_deg", "longitude_deg", "roof_reserve_kpa", "Visited", "At", "Paid", "Code",
                  "Lease", "Remark"])  # fmt: skip
    sheet.append([101, 46.86, -32.91, 2.5, dt.date(2024, 2, 29), dt.time(7, 30), True, "007",
                  dt.datetime(2023, 5, 1, 16, 45), "=SUM(A1:A2)"])  # fmt: skip
    sheet.append(["KH-04", 46.74, -33.12, None, None, None, False, 12, None, "#N/A"])
    sheet["J2"].data_type = sheet["J3"].data_type = "s"
    book.save(place / "roofs.xlsx")
    folder = screened(place / "roofs.xlsx", place / "run")
    return openpyxl.load_workbook(place / "roofs.xlsx").active, openpyxl.load_workbook(
        folder / "verdicts.xlsx"
    ).active


def test_cells_of_a_workbook_come_back_with_value_and_type(from_a_workbook):
    given, found = from_a_workbook
    for before, after in zip(given.iter_rows(), found.iter_rows(max_col=given.max_column), strict=True):
        for one, other in zip(before, after, strict=True):
            assert (other.value, other.data_type, other.is_date) == (one.value, one.data_type, one.is_date)
    assert found["E2"].number_format == given["E2"].number_format == "yyyy-mm-dd"


@pytest.fixture(scope="module")
def office():
    program = shutil.which("soffice") or shutil.which("libreoffice")
    if program is None:
        pytest.skip("LibreOffice is not installed")
    return program


def test_libreoffice_opens_the_workbook_and_computes_nothing(folder, office, tmp_path):
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    # Filter options: comma, quotes, UTF-8, from row 1, cell formats as they are, all sheets (-1).
    filters = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"
    command = [office, profile, "--headless", "--convert-to", filters, "--outdir", str(tmp_path)]
    subprocess.run([*command, str(folder / "verdicts.xlsx")], check=True, capture_output=True, timeout=180)
    sheets = sorted(path.stem for path in tmp_path.glob("verdicts-*.csv"))
    assert sheets == ["verdicts-about", "verdicts-columns", "verdicts-survey", "verdicts-verdicts"]
    rows = table(tmp_path / "verdicts-verdicts.csv")
    assert [row["verdict"] for row in rows] == [row["verdict"] for row in table(folder / "verdicts.csv")]
    assert [row["Planner note"] for row in rows] == [row[HEADINGS.index("Planner note")] for row in MEANT]
    assert [row["name"] for row in rows] == [row[HEADINGS.index("name")] for row in MEANT]
    assert [row["=SUM(A1:A9)"] for row in rows] == [row[HEADINGS.index("=SUM(A1:A9)")] for row in MEANT]
    text = "".join(path.read_text(encoding="utf-8") for path in tmp_path.glob("verdicts-*.csv"))
    assert not re.search(r"#(?:REF|NAME|VALUE|DIV/0)|Err:\d", text)


def long_list(path):
    """As many rows as are promised, with half of the cells empty and formulas in some."""
    headings = ("site_id", "name", "latitude_deg", "longitude_deg", "elevation_m", "roof_surface",
                "roof_level_agl_ft", "free_length_m", "free_width_m", "roof_use", "landlord_max_kg", "feed_kva",
                "Landlord", "Remark", "Empty", "Phone")  # fmt: skip
    return written(path, (long_row(number) for number in range(PROMISED)), headings)


def long_row(number):
    return (
        f"R-{number:05d}", f"Roof {number}", f"{-60 + number % 12000 / 100:.2f}",
        f"{number % 36000 / 100 - 180:.2f}", number % 900 if number % 2 else "", "gravel" if number % 3 else "",
        10 + number % 300, "" if number % 4 else 7.5, "", "plant" if number % 2 else "?", "",
        25 if number % 5 == 0 else "", f"Owner {number % 400}",
        '=HYPERLINK("x")' if number % 100 == 0 else "a remark that a planner made", "", f"+49 {number}",
    )  # fmt: skip


def report(capsys, text):
    """Show a measurement; it passes or fails nothing."""
    with capsys.disabled():
        sys.stdout.write(f"\n{text}\n")


PROMISE = """
import json, resource, sys, time
from dataclasses import replace
from result_factory import make_result
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.spreadsheet_text import unprotect
from edgecheck.outputs.folder import LineFile, RunFolder
from edgecheck.outputs.tables import verdict_lines

part = make_result(hourly=None, hot_spell=None, cold_spell=None, outage=None, detail={}, worst_hours=())
begin = time.process_time()
sites = load_sites(sys.argv[1])
read = time.process_time() - begin
results = [
    replace(part, site_id=site.site_id, name=site.name, row=site.row, figures=dict(part.figures))
    for site in sites.sites
]
begin = time.process_time()
ranks = {result.row: place for place, result in enumerate(results, start=1)}
folder = RunFolder.open(sys.argv[2])
def fill(parts):
    with LineFile(folder.path / "verdicts.csv", parts["verdicts.csv"]) as out:
        for line in verdict_lines(sites, results, ranks, {}):
            out.write(line)
folder.write_together(["verdicts.csv"], fill)
echo = time.process_time() - begin
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (2**20 if sys.platform == "darwin" else 2**10)
print(json.dumps({"read": read, "echo": echo, "peak": peak, "usable": len(sites.usable)}))
"""


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="peak memory is read with the module resource")
def test_fifty_thousand_rows_are_read_checked_and_echoed_in_time_and_memory(tmp_path, capsys):
    path = long_list(tmp_path / "long.csv")
    tests = Path(__file__).parents[1]
    search = os.pathsep.join([str(tests), str(tests.parent), os.environ.get("PYTHONPATH", "")])
    done = subprocess.run(
        [sys.executable, "-c", PROMISE, str(path), str(tmp_path / "run")],
        env={**os.environ, "PYTHONPATH": search}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    report(
        capsys,
        f"read and checked {found['read']:.1f} s, echoed {found['echo']:.1f} s, peak {found['peak']:.0f} MB",
    )
    assert found["usable"] == PROMISED
    assert found["read"] + found["echo"] < 20.0  # seconds of this process, whatever else runs on the machine
    assert found["peak"] < 500.0
    back = table(tmp_path / "run" / "verdicts.csv")
    assert len(back) == PROMISED
    assert back[100]["Remark"] == '\'=HYPERLINK("x")'


@pytest.mark.slow
def test_a_workbook_of_fifty_thousand_rows_is_whole(tmp_path, capsys):
    site_list = load_sites(long_list(tmp_path / "long.csv"))
    part = make_result(hourly=None, hot_spell=None, cold_spell=None, outage=None, worst_hours=())
    results = tuple(
        replace(part, site_id=site.site_id, name=site.name, row=site.row) for site in site_list.sites
    )
    ranks = {result.row: place for place, result in enumerate(results, start=1)}
    run = Run(Plan(site_list, load_criteria(), (), {}), results, ranks, ())
    begin = time.process_time()
    out = io.BytesIO()
    book = VerdictBook(run.plan, {})
    for row in listed_rows(run.results, run.ranks, {}):
        book.add(row, ())
    book.save(record_of(run, ["screen"]), run.verdicts, out)
    data = out.getvalue()
    seconds = time.process_time() - begin
    report(capsys, f"workbook of {len(results)} rows: {seconds:.1f} s, {len(data) / 1e6:.1f} MB")
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        xml = archive.read("xl/worksheets/sheet1.xml")
    assert xml.count(b"<row ") == PROMISED + 1
    assert b"<f>" not in xml
