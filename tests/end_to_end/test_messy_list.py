"""A planner's list as it is: 500 roofs in a semicolon file with decimal commas, and the same as a workbook.

Every problem that was put in is reported exactly once, nothing else is, and the cells come back as they were.
"""

import datetime as dt
import io
import random
import re
import shutil
import subprocess
import zipfile
from collections import Counter
from pathlib import Path

import pytest
from openpyxl import Workbook

from edgecheck.inputs.site_records import SiteList
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.spreadsheet_text import protect
from edgecheck.inputs.verdict_columns import VERDICT_COLUMNS
from edgecheck.outputs.tables import csv_text

ROOFS = 500
COLUMNS = [
    "site_id",
    "name",
    "latitude_deg",
    "longitude_deg",
    "elevation_ft",
    "Owner",
    "roof_reserve_psf",
    "free_length_ft",
    "landlord_max_kg",
    "roof_use",
    "hatch_width_m",
    "survey_date",
    "Remark",
    "Parapet height",
    "Visited",
]
EMPTY_AFTER = (3, 77, 410)
# Row of the list, from 0 -> column, what stands there, and what is said about it. Where two rows name the same
# trouble, each is told once.
PROBLEMS: dict[int, tuple[str, object, str]] = {
    10: ("site_id", "S-0020", "site_id 'S-0020': the id is also on line"),
    20: ("site_id", "S-0020", "site_id 'S-0020': the id is also on line"),
    30: ("roof_reserve_psf", "plenty", "roof_reserve_psf 'plenty': a number in psf is needed"),
    40: ("roof_reserve_psf", 2.4, "kPa? that would be 2.40 kPa"),
    50: ("latitude_deg", -79.88, "are latitude and longitude exchanged?"),
    60: ("longitude_deg", 79.9, "nearly all other rows are negative; is the sign missing or wrong? -79.9"),
    70: ("roof_use", "plnat", "did you mean plant?"),
    80: ("latitude_deg", None, "latitude_deg: the required value is missing"),
    90: ("free_length_ft", -4.5, "greater than 0 m is possible"),
    100: ("landlord_max_kg", 1.2, "t? that would be 1200 kg"),
    110: ("hatch_width_m", "wide", "hatch_width_m 'wide': a number in m is needed"),
    120: ("survey_date", "3/5/2024", "3/5/2024 may be 2024-03-05 or 2024-05-03"),
    130: ("elevation_ft", 44.0, ""),
    140: ("roof_reserve_psf", "40 psf", "write the number without its unit"),
    150: ("latitude_deg", "36\u00b006'30\"N", ""),
    160: ("longitude_deg", "79\u00b057'0\"W", ""),
    170: ("latitude_deg", -95.5, "-90 to 90 deg is possible; are latitude and longitude exchanged?"),
    180: ("elevation_ft", 99999.0, "-430 to 6000 m is possible (3.048e+04 m)"),
}
UNUSABLE = (10, 20, 30, 70, 80, 90, 140, 170, 180)
SET_ASIDE = (110,)
EXCHANGED = {50: 36.12, 170: 36.2}
REMARKS = [
    "call first",
    "=2+2",
    "+49 30 1234",
    "-",
    "@gate",
    "lift; stairs",
    'the "old" mill',
    "two\nlines",
    "",
    "0049",
]


def roofs() -> list[dict[str, object]]:
    """Cells of every row with their type, before trouble is put in."""
    made = random.Random(20240503)
    rows = []
    for at in range(ROOFS):
        row: dict[str, object] = {
            "site_id": f"S-{at:04d}",
            "name": f"Roof {at}",
            "latitude_deg": round(36.0 + made.random(), 4),
            "longitude_deg": round(-80.0 + made.random(), 4),
            "elevation_ft": float(made.randrange(300, 900)) if at % 3 else None,
            "Owner": made.choice(["Fern & Co", "M\u00fcller", "Qu\u00e9 Mill Trust", None]),
            "roof_reserve_psf": made.choice([None, 31.5, 42.0, 55.25]),
            "free_length_ft": made.choice([None, 24.5, 31.0]),
            "landlord_max_kg": made.choice([None, 1200.0, 850.5]),
            "roof_use": made.choice([None, "plant", "accessible", "n/a"]),
            "hatch_width_m": made.choice([None, 0.9]),
            "survey_date": made.choice([None, dt.datetime(2024, 5, 3)]),
            "Remark": REMARKS[at % len(REMARKS)] or None,
            "Parapet height": made.choice([None, 0.5]),
            "Visited": made.choice([None, dt.datetime(2024, 5, 3, 10, 30), True]),
        }
        if at in PROBLEMS:
            column, value, _ = PROBLEMS[at]
            row[column] = value
        if at in EXCHANGED:
            row["longitude_deg"] = EXCHANGED[at]
        rows.append(row)
    return rows


def german(value: object) -> str:
    """A cell as a spreadsheet with decimal commas writes it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, dt.datetime):
        return value.strftime("%d.%m.%Y") if value.hour == 0 else value.strftime("%d.%m.%Y %H:%M")
    if isinstance(value, float):
        text = f"{value:,.10g}" if value == 1200.0 else str(value)
        return text.translate(str.maketrans(",.", ".,"))
    return str(value)


def quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"' if re.search('[;"\n]', text) else text


@pytest.fixture(scope="module")
def csv_list(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Title line, decimal commas, empty rows, Windows text, last week's verdict columns."""
    lines = ["Roofs of the north, state of Friday", ";" * 20]
    lines.append(";".join(quoted(name) for name in (*COLUMNS, *VERDICT_COLUMNS, "", "")))
    old = ["no-go", *("" for _ in VERDICT_COLUMNS[1:]), "", ""]
    for at, row in enumerate(roofs()):
        cells = [protect(german(row[name])) for name in COLUMNS]
        lines.append(";".join(quoted(cell) for cell in (*cells, *old)))
        if at in EMPTY_AFTER:
            lines.append(";" * (len(cells) + len(old) - 1))
    path = tmp_path_factory.mktemp("desk") / "roofs.csv"
    path.write_bytes("\r\n".join(lines).encode("cp1252"))
    return path


@pytest.fixture(scope="module")
def csv_read(csv_list: Path) -> SiteList:
    return load_sites(csv_list)


FORMULA, UNCOMPUTED, MERGED = 200, 210, 300


@pytest.fixture(scope="module")
def xlsx_list(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same as a workbook, with merged cells, a formula with its result and one without."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Roofs"
    sheet.append(["Roofs of the north, state of Friday"])
    sheet.merge_cells("A1:F1")
    sheet.append([])
    sheet.append([*COLUMNS, *VERDICT_COLUMNS])
    for at, row in enumerate(roofs()):
        sheet.append([row[name] for name in COLUMNS] + ["no-go"])
        remark = sheet.cell(sheet.max_row, COLUMNS.index("Remark") + 1)
        if remark.data_type == "f":
            remark.data_type = "s"
        if at == FORMULA:
            remark.value = '="see "&A4'
            formula = remark.coordinate
        if at == UNCOMPUTED:
            sheet.cell(sheet.max_row, COLUMNS.index("roof_reserve_psf") + 1, "=2*20")
        if at == MERGED:
            sheet.cell(sheet.max_row, COLUMNS.index("Owner") + 1, "Fern & Co")
            first = sheet.max_row
        if at in EMPTY_AFTER:
            sheet.append([" "])
    owner = COLUMNS.index("Owner") + 1
    sheet.merge_cells(start_row=first, end_row=first + 2, start_column=owner, end_column=owner)
    path = tmp_path_factory.mktemp("desk") / "roofs.xlsx"
    book.save(path)
    return with_result(path, formula, "see S-0000")


def with_result(path: Path, cell: str, result: str) -> Path:
    """Put a result beside a formula, as a spreadsheet program does when it saves."""
    out = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name.endswith("sheet1.xml"):
                text = data.decode()
                found = re.search(rf'<c r="{cell}"[^>]*>(<f>.*?</f>)<v ?/?>(</v>)?</c>', text)
                assert found
                data = text.replace(found[0], f'<c r="{cell}" t="str">{found[1]}<v>{result}</v></c>').encode()
            new.writestr(name, data)
    path.write_bytes(out.getvalue())
    return path


@pytest.fixture(scope="module")
def xlsx_read(xlsx_list: Path) -> SiteList:
    return load_sites(xlsx_list)


def expected_rows() -> dict[int, str]:
    return {at: said for at, (_, _, said) in PROBLEMS.items() if said}


def check_findings(sites: SiteList, more: dict[int, str]) -> None:
    expected = {**expected_rows(), **more}
    found = {at: site.findings for at, site in enumerate(sites.sites) if site.findings}
    assert sorted(found) == sorted(expected)
    for at, texts in found.items():
        assert len(texts) == 1, (at, texts)
        assert expected[at] in texts[0]
    assert len(sites.findings) == len(expected)


def test_every_problem_of_the_csv_file_is_reported_once(csv_read):
    check_findings(csv_read, {})
    assert len(csv_read.sites) == ROOFS
    notes = Counter(note.code for note in csv_read.notes)
    assert notes == {
        "list-encoding": 1,
        "list-separator": 1,
        "list-title-lines": 1,
        "list-blank-rows": 1,
        "list-earlier-output": 1,
        "list-lookalike": 1,
        "list-decimal-comma": 1,
        "list-thousands": 1,
        "list-not-used-yet": 1,
    }
    assert csv_read.lookalikes == {"Parapet height": "parapet_height_m"}
    assert csv_read.counts == {
        "rows": ROOFS,
        "usable": ROOFS - len(UNUSABLE),
        "unusable": len(UNUSABLE),
        "cautioned_cells": len(expected_rows()) - len(UNUSABLE) - len(SET_ASIDE),
        "blank_rows": len(EMPTY_AFTER),
    }


def test_values_of_the_csv_file(csv_read):
    # Sources: foot and pound-force by definition (NIST SP 811); degrees, minutes and seconds by sixties.
    by_place = csv_read.sites
    assert by_place[130].number("elevation_m") == pytest.approx(44.0 * 0.3048, rel=1e-12)
    assert by_place[150].number("latitude_deg") == pytest.approx(36.0 + 6 / 60 + 30 / 3600, abs=1e-12)
    assert by_place[160].number("longitude_deg") == pytest.approx(-79.95, abs=1e-12)
    for site, row in zip(by_place, roofs(), strict=True):
        reserve = row["roof_reserve_psf"]
        if isinstance(reserve, float):
            assert site.number("roof_reserve_kpa") == pytest.approx(reserve * 0.04788025898, rel=1e-9)


def test_the_cells_of_the_csv_file_come_back(csv_read, tmp_path):
    assert csv_read.columns == tuple(COLUMNS)
    for name in COLUMNS:
        assert csv_read.cells[name].tolist() == [german(row[name]) for row in roofs()]
    given_back = tmp_path / "back.csv"
    text = csv_text(csv_read.columns, csv_read.cells.to_numpy().tolist())
    given_back.write_bytes(text.encode("utf-8-sig"))
    again = load_sites(given_back)
    assert again.cells.equals(csv_read.cells)
    assert [site.values for site in again.sites] == [site.values for site in csv_read.sites]
    assert [site.findings for site in again.sites if "also on line" not in str(site.findings)] == [
        site.findings for site in csv_read.sites if "also on line" not in str(site.findings)
    ]


def test_every_problem_of_the_workbook_is_reported_once(xlsx_read):
    check_findings(xlsx_read, {UNCOMPUTED: "a formula without a result in the sheet"})
    notes = Counter(note.code for note in xlsx_read.notes)
    assert notes == {
        "list-title-lines": 1,
        "list-blank-rows": 1,
        "list-formulas": 1,
        "list-formulas-empty": 1,
        "list-merged-cells": 1,
        "list-earlier-output": 1,
        "list-lookalike": 1,
        "list-not-used-yet": 1,
    }
    assert xlsx_read.blank_rows == len(EMPTY_AFTER)


def test_the_workbook_says_the_same_as_the_csv_file(xlsx_read, csv_read):
    for at, (flat, sheet) in enumerate(zip(csv_read.sites, xlsx_read.sites, strict=True)):
        assert flat.site_id == sheet.site_id
        if at != UNCOMPUTED:
            assert flat.values == sheet.values
            assert [fault.allowed.split("line")[0] for fault in flat.faults] == [
                fault.allowed.split("line")[0] for fault in sheet.faults
            ]


def test_the_cells_of_the_workbook_keep_value_and_type(xlsx_read):
    rows = roofs()
    rows[FORMULA]["Remark"] = "see S-0000"
    rows[UNCOMPUTED]["roof_reserve_psf"] = None
    rows[MERGED]["Owner"] = "Fern & Co"
    rows[MERGED + 1]["Owner"] = rows[MERGED + 2]["Owner"] = None
    wanted = [tuple(row[name] for name in COLUMNS) for row in rows]
    assert xlsx_read.values == tuple(wanted)
    kinds = [[type(value) for value in row] for row in xlsx_read.values]
    # A spreadsheet keeps 44.0 as 44.
    assert kinds == [
        [int if isinstance(value, float) and value.is_integer() else type(value) for value in row]
        for row in wanted
    ]


def test_a_workbook_that_libreoffice_saved_says_the_same(xlsx_list, xlsx_read, tmp_path):
    office = shutil.which("soffice")
    if office is None:
        pytest.skip("LibreOffice (soffice) is not installed")
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    command = [
        office,
        profile,
        "--headless",
        "--convert-to",
        "xlsx",
        "--outdir",
        str(tmp_path),
        str(xlsx_list),
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=300)
    saved = load_sites(tmp_path / xlsx_list.name)
    computed = [list(row) for row in xlsx_read.values or ()]
    computed[UNCOMPUTED][COLUMNS.index("roof_reserve_psf")] = 40  # the formula has its result now
    assert [list(row) for row in saved.values or ()] == computed
    assert len(saved.findings) == len(xlsx_read.findings) - 1
    assert set(saved.findings) < set(xlsx_read.findings)
