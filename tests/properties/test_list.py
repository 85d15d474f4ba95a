"""Properties of lists: text survives a CSV file, numbers are read as written, workbooks as openpyxl reads them."""

import csv
import datetime as dt
import math
import tomllib

import pytest
from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.column_map import load_mapping
from edgecheck.inputs.columns import headings
from edgecheck.inputs.coordinates import coordinate_in
from edgecheck.inputs.mapping_guess import propose_mapping
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.spreadsheet_text import FORMULA_STARTS, number_in, protect, unprotect
from edgecheck.inputs.workbook_rows import workbook_rows
from edgecheck.inputs.written_numbers import NumberStyle, both_readings, number_written, text_in_style

# Anything a cell may hold in UTF-8; NUL marks a file that is no text.
anything = st.text(st.characters(exclude_characters="\x00", exclude_categories=["Cs"]), max_size=20)
runs = st.builds(
    lambda quotes, start, rest: "'" * quotes + start + rest,
    st.integers(0, 2),
    st.sampled_from(FORMULA_STARTS),
    anything,
)
files = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("lists")


def written(path, rows):
    """A CSV file with every cell protected."""
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows([protect(cell) for cell in row] for row in rows)
    return path


# ------------------------------------------------------------------------------------------- text


@given(st.one_of(anything, runs))
def test_protected_text_is_given_back_exactly(text):
    assert unprotect(protect(text)) == text


@given(runs)
def test_text_that_a_spreadsheet_would_run_is_protected(text):
    shown = protect(text)
    if text.startswith("'") or both_readings(text) == (None, None):
        assert shown.startswith("'")


@files
@given(st.lists(st.tuples(st.one_of(anything, runs), runs), min_size=1, max_size=6))
def test_text_that_begins_like_a_formula_survives_our_own_file(folder, pairs):
    head = ["site_id", "latitude_deg", "longitude_deg", "=Owner", "@Remark"]
    rows = [[f"S-{at}", "10.5", "-20.25", owner, remark] for at, (owner, remark) in enumerate(pairs)]
    path = written(folder / "own.csv", [head, *rows])
    lines = [line for line in path.read_text(encoding="utf-8-sig").splitlines() if line]
    assert not any(line.startswith(("=", "@")) for line in lines)
    sites = load_sites(path)
    assert sites.columns == tuple(head)
    assert sites.cells.to_numpy().tolist() == rows
    assert [site.number("longitude_deg") for site in sites.sites] == [-20.25] * len(rows)


# ------------------------------------------------------------------------------------------- numbers


@given(st.decimals(-10_000_000, 10_000_000, allow_nan=False, places=3), st.sampled_from([",", "."]))
def test_a_number_with_thousands_has_the_reading_it_was_written_with(number, decimal):
    point = f"{number:,}"
    text = point if decimal == "." else point.translate(str.maketrans(",.", ".,"))
    found = dict(zip(".,", both_readings(text), strict=True))[decimal]
    assert found == float(number)


@given(anything)
def test_a_reading_is_a_finite_number_and_plain_numbers_are_read_as_such(text):
    point, comma = both_readings(text)
    assert all(number is None or math.isfinite(number) for number in (point, comma))
    if number_in(text) is not None:
        assert point == number_in(text)


styles = st.builds(NumberStyle, st.sampled_from([".", ","]), st.sampled_from(["column", "file", "mapping"]))


@given(st.floats(-1e9, 1e9), st.sampled_from(["landlord_max_kg", "elevation_m", "roof_reserve_psf"]), styles)
def test_a_number_that_we_write_is_read_back_by_the_style_it_was_written_in(number, name, style):
    rounded = float(f"{number:.10g}")
    text = text_in_style(rounded, style)
    assert number_written(text, headings()[name], style) == (rounded, "")


@given(
    st.integers(0, 89), st.integers(0, 59), st.floats(0, 59.9).map(lambda second: round(second, 3)),
    st.sampled_from("NS"),
    st.sampled_from(["{d}\u00b0{m}'{s}\"{h}", "{d} {m} {s} {h}", "{h} {d}-{m}-{s}", "{d}:{m}:{s}{h}"]),
)  # fmt: skip
def test_degrees_minutes_and_seconds(degree, minute, second, letter, form):
    text = form.format(d=degree, m=minute, s=f"{second:.3f}", h=letter)
    value = (degree + minute / 60 + second / 3600) * (1 if letter == "N" else -1)
    assert coordinate_in(text, "latitude_deg").degrees == pytest.approx(value, abs=1e-9)


# ------------------------------------------------------------------------------------------- workbooks


xml_text = st.text(
    st.characters(min_codepoint=32, max_codepoint=0xD7FF, exclude_characters="_"), min_size=1, max_size=12
)
cells = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**14), 10**14),
    st.floats(-1e12, 1e12, allow_nan=False).map(lambda number: float(f"{number:.12g}")),
    st.datetimes(dt.datetime(1901, 1, 1), dt.datetime(2090, 1, 1)).map(
        lambda when: when.replace(microsecond=0)
    ),
    xml_text,
)


@files
@given(st.lists(st.lists(cells, max_size=5), min_size=1, max_size=5))
def test_any_sheet_is_read_as_openpyxl_reads_it(folder, rows):
    book = Workbook()
    sheet = book.active
    for row in rows:
        sheet.append(row)
        for cell in sheet[sheet.max_row]:
            if cell.data_type == "f":
                cell.data_type = "s"
    path = folder / "any.xlsx"
    book.save(path)
    theirs = {}
    for row in load_workbook(path, data_only=True).worksheets[0].iter_rows():
        values = [cell.value for cell in row]
        while values and values[-1] is None:
            values.pop()
        if any(value is not None and not (isinstance(value, str) and value.isspace()) for value in values):
            theirs[row[0].row] = values
    assume(theirs)
    source = workbook_rows("any.xlsx", path.read_bytes(), "")
    assert dict(zip(source.lines, source.rows, strict=True)) == theirs


# ------------------------------------------------------------------------------------------- mappings


trade = st.sampled_from(
    [
        "Site",
        "No",
        "Lat",
        "Long",
        "Roof",
        "load",
        "capacity",
        "(psf)",
        "[kVA]",
        "height",
        "ft",
        "Owner",
        "spare",
        "max",
    ]
)
names = st.one_of(st.lists(trade, min_size=1, max_size=4).map(" ".join), anything)


@files
@given(
    st.lists(names, min_size=2, max_size=7, unique_by=lambda name: " ".join(name.split())),
    st.lists(st.lists(st.one_of(st.sampled_from(["12", "36,1", "-79.9", "dark", "yes", "", "none"]), anything),
                      min_size=7, max_size=7), min_size=1, max_size=4),
)  # fmt: skip
def test_a_proposal_can_be_read_and_maps_nothing_twice(folder, heads, rows):
    heads = [f"{name}x" if not name.strip() else name for name in heads]
    path = written(folder / "theirs.csv", [heads, *(row[: len(heads)] for row in rows)])
    try:
        text = propose_mapping(path)
    except InputFaults as refused:
        event("refused: " + refused.faults[0].allowed)
        why = {fault.allowed for fault in refused.faults}
        assume(not why <= {"the column is there twice; keep one", "has cells but no heading; give it one"})
        raise
    (folder / "map.toml").write_text(text, encoding="utf-8")
    mapping = load_mapping(folder / "map.toml")
    every = [
        line.removeprefix("# ") for line in text.splitlines() if line.removeprefix("# ").startswith("ours = ")
    ]
    assert len(every) == len(set(every))
    assert len(mapping.entries) == len(tomllib.loads(text).get("column", []))
