"""Cells of a workbook: types, text that stays text, heights of rows."""

import datetime as dt
import io
import math
import textwrap
from types import SimpleNamespace
from xml.etree import ElementTree as ET

import numpy as np
import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils.escape import unescape

from edgecheck.inputs.spreadsheet_text import FORMULA_STARTS
from edgecheck.outputs.sheet_book import Book
from edgecheck.outputs.sheet_cells import HEADING, LONGEST_TEXT, Look, lines_of, sheet_text, sheet_value


@pytest.mark.parametrize(
    ("value", "kind", "shown"),
    [
        (True, "b", "General"),
        (12, "n", "General"),
        (1.5, "n", "General"),
        (dt.date(2024, 2, 29), "d", "yyyy-mm-dd"),
        (dt.datetime(2024, 2, 29, 13, 45), "d", "yyyy-mm-dd hh:mm"),
        (dt.datetime(2024, 2, 29, 13, 45, 7), "d", "yyyy-mm-dd hh:mm:ss"),
        (dt.datetime(2024, 2, 29), "d", "yyyy-mm-dd"),
        (dt.time(7, 30), "d", "hh:mm:ss"),
        (dt.timedelta(hours=30), "d", "[h]:mm:ss"),
        ("2024-02-29", "s", "General"),
        ("#N/A", "s", "General"),
        ("=1+1", "s", "General"),
        ("1e5", "s", "General"),
    ],
)
def test_values_keep_their_type(value, kind, shown):
    book = Book()
    cells = book.sheet("one")
    cells.append([cells.cell(value)])
    out = io.BytesIO()
    book.save("", out)
    cell = openpyxl.load_workbook(out).active["A1"]
    assert cell.data_type == kind
    assert cell.number_format == shown
    back = cell.value
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        back = back.date()
    assert back == value


@pytest.mark.parametrize(
    ("value", "held"),
    [
        (None, None), ("", None), (math.nan, None), (math.inf, "unlimited"), (-math.inf, "-unlimited"),
        (dt.date(1850, 1, 2), "1850-01-02"), (dt.datetime(1900, 1, 5, 1), "1900-01-05 01:00:00"),
        (dt.datetime(2024, 1, 5, 1, tzinfo=dt.UTC), "2024-01-05 01:00:00+00:00"),
        (SimpleNamespace(), "namespace()"), (np.float64(1.5), 1.5), (np.int64(7), 7), (np.bool_(True), True),
    ],
)  # fmt: skip
def test_what_a_sheet_cannot_hold_becomes_text_or_nothing(value, held):
    assert sheet_value(value) == held


@given(st.text())
def test_any_text_comes_back(text):
    # ISO/IEC 29500-1, 22.9.2.19: _xHHHH_ stands for a character; unescape is openpyxl's reading of it.
    assert unescape(sheet_text(text)) == text
    ET.fromstring(f"<t>{sheet_text(text).replace('&', '&amp;').replace('<', '&lt;')}</t>")


@given(
    st.lists(
        st.lists(st.text() | st.floats() | st.integers() | st.booleans() | st.none(), max_size=4), max_size=4
    )
)
def test_a_sheet_reads_back_what_went_in(rows):
    # openpyxl is the oracle: our XML stands inside a workbook that it wrote, and it reads it again.
    book = Book()
    cells, beside = book.sheet("one"), book.sheet("two")
    for number, row in enumerate(rows, start=1):
        cells.append(cells.row(row), lines=number)
        beside.append(beside.row(row[::-1], Look(lined=True)))
    out = io.BytesIO()
    book.save("title", out)
    read = openpyxl.load_workbook(out)
    for number, row in enumerate(rows, start=1):
        height = read["one"].row_dimensions[number].height
        assert height == (None if number == 1 else pytest.approx(13.2 * number + 2.0, rel=1e-15))
        for at, value in enumerate(row, start=1):
            held = sheet_value(value)
            for name, column in (("one", at), ("two", len(row) + 1 - at)):
                found = read[name].cell(number, column)
                if isinstance(held, float) or type(held) is int:
                    assert found.value == pytest.approx(held, rel=1e-15)  # 16 figures are written
                else:
                    assert found.value == held
                assert found.quotePrefix == (isinstance(held, str) and held.startswith(FORMULA_STARTS))


def test_a_sheet_has_links_and_looks():
    book = Book()
    cells = book.sheet("one")
    cells.append([cells.cell("a & <b>", HEADING), None, cells.cell("page")], link="sites/x/page.html")
    cells.append([cells.cell("", Look(fill="ABCDEF")), cells.cell(""), cells.cell(" kept ")])
    out = io.BytesIO()
    book.save("title", out)
    sheet = openpyxl.load_workbook(out)["one"]
    assert (sheet["A1"].value, sheet["A1"].font.b, sheet["C1"].hyperlink.target) == (
        "a & <b>",
        True,
        "sites/x/page.html",
    )
    assert sheet["A2"].fill.fgColor.rgb == "FFABCDEF"
    assert (sheet["B2"].has_style, sheet["C2"].value) == (False, " kept ")


def test_a_text_that_is_too_long_says_so_at_its_end():
    cut = sheet_text("x" * 40_000)
    assert len(cut) == LONGEST_TEXT
    assert cut.endswith("(cut: 40000 characters)")
    assert sheet_text("x" * LONGEST_TEXT) == "x" * LONGEST_TEXT


def test_lines_of_a_text_grow_with_its_length_and_its_own_breaks():
    assert [lines_of(text, 20.0) for text in ("", None, "word", "a\nb\nc", "x" * 63)] == [1, 1, 1, 3, 3]
    assert lines_of("a " * 10, 20.0) == 1


@given(st.lists(st.text("abc", min_size=1, max_size=40), min_size=1), st.integers(10, 60))
def test_lines_are_those_that_textwrap_makes(words, width):
    text = " ".join(words)
    each = int(1.1 * width - 1.0)
    wrapped = textwrap.wrap(text, each, break_on_hyphens=False)
    longest = max(map(len, words))
    # textwrap puts the beginning of a word that is longer than a line behind the word before it.
    assert (
        len(wrapped) <= lines_of(text, float(width)) <= len(wrapped) + sum(len(word) > each for word in words)
    )
    if longest <= each:
        assert lines_of(text, float(width)) == len(wrapped)
