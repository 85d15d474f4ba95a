"""Properties of the readers: text survives, numbers survive, nothing unknown becomes a number."""

import csv
import io
import math
import tomllib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from edgecheck.inputs.cells import DOES_NOT_APPLY, EMPTY, read_cell
from edgecheck.inputs.columns import COLUMNS, headings
from edgecheck.inputs.key_lines import key_lines
from edgecheck.inputs.lookalikes import edit_distance
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.spreadsheet_text import number_in, protect, unprotect

finite = st.floats(allow_nan=False, allow_infinity=False)
# Anything a cell may hold in UTF-8; NUL marks a file that is no text.
cell_text = st.text(st.characters(exclude_characters="\x00", exclude_categories=["Cs"]), max_size=20)
words = st.text(st.sampled_from("abcde_"), max_size=8)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("lists")


@given(finite)
def test_any_number_written_by_python_is_read_back(number):
    assert number_in(repr(number)) == number
    assert number_in(f"  {number!r} ") == number
    assert number_in(f"{number:.17e}") == number


@given(cell_text)
def test_what_is_read_as_a_number_is_one(text):
    value = number_in(text)
    if value is not None:
        assert math.isfinite(value)
        assert value == float(text.replace("\u2212", "-"))


@given(cell_text)
def test_protection_is_undone_and_never_changes_a_number(text):
    protected = protect(text)
    assert unprotect(protected) == text
    if number_in(text) is not None:
        assert protected == text
    else:
        assert not protected.startswith(("=", "@", "\t", "\r"))


@given(st.sampled_from([name for name, heading in headings().items()]), cell_text)
def test_a_cell_is_a_value_or_empty_or_a_fault(name, text):
    heading = headings()[name]
    reading = read_cell(text, heading)
    assert (reading.value is not None) + bool(reading.fault) + (reading is EMPTY) == 1
    if isinstance(reading.value, float):
        assert heading.column.kind == "number"
        assert heading.column.possible(reading.value)
    if reading.value is DOES_NOT_APPLY:
        assert heading.column.none_allowed


@given(st.sampled_from([column for column in COLUMNS.values() if column.kind == "number"]), st.data())
def test_possible_numbers_are_read_exactly(column, data):
    if column.values:
        number = data.draw(st.sampled_from(column.values))
    elif column.whole:
        number = float(data.draw(st.integers(int(column.low), int(min(column.high, 1e6)))))
    else:
        number = data.draw(
            st.floats(column.low, min(column.high, 1e12), exclude_min=column.low_open, allow_nan=False)
        )
    reading = read_cell(repr(number), headings()[column.name])
    assert reading.value == number
    assert bool(reading.caution) != column.usual(number)


@settings(max_examples=50, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(st.tuples(cell_text, cell_text), min_size=1, max_size=6))
def test_cells_come_back_as_written(folder, pairs):
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["site_id", "latitude_deg", "longitude_deg", "Owner", "Remark"])
    for at, (owner, remark) in enumerate(pairs):
        writer.writerow([f"S-{at}", "10.5", "-20.25", owner, remark])
    path = folder / "list.csv"
    path.write_bytes(text.getvalue().encode("utf-8"))
    sites = load_sites(path)
    assert [protect(cell) for cell in sites.cells["Owner"]] == [protect(unprotect(o)) for o, _ in pairs]
    assert [protect(cell) for cell in sites.cells["Remark"]] == [protect(unprotect(r)) for _, r in pairs]
    kept = [cell for cell in sites.cells["Owner"]]
    assert kept == [unprotect(owner) for owner, _ in pairs]
    assert len(sites.usable) == len(pairs)


@given(words, words, words)
def test_edit_distance_is_a_metric(one, other, third):
    def distance(a, b):
        return edit_distance(a, b, 20)

    assert (distance(one, other) == 0) == (one == other)
    assert distance(one, other) == distance(other, one)
    assert distance(one, third) <= distance(one, other) + distance(other, third)


toml_text = st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="'"), max_size=12)
toml_values = st.one_of(
    st.integers(-5, 5).map(str),
    toml_text.map(lambda text: f"'{text}'"),
    toml_text.map(lambda text: f"'''\n{text}\n'''"),
    st.lists(toml_text.map(lambda text: f"'{text}'"), max_size=3).map(
        lambda parts: "[\n" + ",\n".join(parts) + "\n]"
    ),
)


@given(
    st.lists(st.tuples(st.text("abc", min_size=1, max_size=3), toml_values), unique_by=lambda pair: pair[0])
)
def test_every_key_is_found_on_its_line(pairs):
    text, expected = "[t]  # ' \" [\n", {("t",): 1}
    for key, value in pairs:
        expected[("t", key)] = text.count("\n") + 1
        text += f"{key} = {value}  # ] ' \"\n"
    assert set(tomllib.loads(text)["t"]) == {key for key, _ in pairs}
    assert key_lines(text) == expected
