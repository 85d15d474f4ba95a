"""Workbooks made by openpyxl, and parts of them rewritten as other programs write them."""

import io
import zipfile

import pytest
from openpyxl import Workbook

HEAD = ["site_id", "latitude_deg", "longitude_deg"]
GOOD = ["A-1", 36.1, -79.95]


@pytest.fixture
def save(tmp_path):
    def save(rows, prepare=None, title="Roofs"):
        book = Workbook()
        sheet = book.active
        sheet.title = title
        for row in rows:
            sheet.append(row)
        if prepare:
            prepare(sheet)
        path = tmp_path / "list.xlsx"
        book.save(path)
        return path

    return save


def edited(path, change, part="xl/worksheets/sheet1.xml"):
    """Rewrite one part of a workbook, as programs other than openpyxl would write it."""
    out = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            new.writestr(name, change(data.decode()).encode() if name == part else data)
    path.write_bytes(out.getvalue())
    return path


def codes(sites):
    return [note.code for note in sites.notes]
