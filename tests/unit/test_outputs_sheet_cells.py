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

from edgecheck.outputs.sheet_cells import LONGEST_TEXT, SheetCells, lines_of, sheet_text, sheet_value


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
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet()
    sheet.append([SheetCells(sheet).cell(value)])
    out = io.BytesIO()
    book.save(out)
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
