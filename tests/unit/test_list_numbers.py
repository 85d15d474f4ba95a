"""Numbers as people write them: decimal commas, separators of thousands, both readings where a doubt stays."""

import pytest

from edgecheck.base.errors import InputFaults
from edgecheck.inputs.columns import headings
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.written_numbers import (
    CUSTOM,
    NumberStyle,
    both_readings,
    number_styles,
    number_written,
    text_in_style,
)

HEAD = "site_id;latitude_deg;longitude_deg"


@pytest.fixture
def read(tmp_path):
    def read(*lines, **options):
        path = tmp_path / "list.csv"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return load_sites(path, **options)

    return read


@pytest.mark.parametrize(
    "text, point, comma",
    [
        ("12", 12.0, 12.0),
        ("-0", 0.0, 0.0),
        ("12.5", 12.5, None),
        ("12,5", None, 12.5),
        ("-79,95", None, -79.95),
        ("1,234", 1234.0, 1.234),
        ("1.234", 1.234, 1234.0),
        ("0,234", None, 0.234),
        ("0.234", 0.234, None),
        ("12,34", None, 12.34),
        ("1234,567", None, 1234.567),
        ("1,234.5", 1234.5, None),
        ("1.234,5", None, 1234.5),
        ("1,234,567", 1234567.0, None),
        ("1.234.567", None, 1234567.0),
        ("1 234", 1234.0, 1234.0),
        ("1\u00a0234,5", None, 1234.5),
        ("1\u202f234.5", 1234.5, None),
        ("1'234.5", 1234.5, None),
        ("1\u2019234", 1234.0, 1234.0),
        (",5", None, 0.5),
        (".5", 0.5, None),
        ("5.", 5.0, None),
        ("5,", None, 5.0),
        ("1e3", 1000.0, 1000.0),
        ("1,5e3", None, 1500.0),
        ("\u22121,5", None, -1.5),
        ("1 23", None, None),
        ("12 34 567", None, None),
        ("1,23,456", None, None),
        ("1.234,567.8", None, None),
        ("6,5,1", None, None),
        ("nan", None, None),
        ("", None, None),
        ("12 kg", None, None),
    ],
)
def test_both_readings(text, point, comma):
    assert both_readings(text) == (point, comma)
    assert both_readings(f"  {text} ") == (point, comma)


@pytest.mark.parametrize(
    "columns, styles",
    [
        ({"a": ["1.5", "2"], "b": ["3"]}, {"a": CUSTOM, "b": CUSTOM}),
        ({"a": ["1,5"], "b": ["3"]}, {"a": NumberStyle(",", "column"), "b": NumberStyle(",", "file")}),
        ({"a": ["1,5"], "b": ["3.5"]}, {"a": NumberStyle(",", "column"), "b": NumberStyle(".", "column")}),
        ({"a": ["1,5", "1.5"], "b": ["3"]}, {"a": NumberStyle("", "column"), "b": NumberStyle("", "file")}),
        ({"a": ["1,234"], "b": ["3.5"]}, {"a": NumberStyle(".", "file"), "b": NumberStyle(".", "column")}),
        ({"a": ["1,234"]}, {"a": CUSTOM}),
    ],
)
def test_the_style_of_a_column(columns, styles):
    assert number_styles(columns, {}) == styles


def test_a_mapping_file_says_the_style():
    assert number_styles({"a": ["1.5"]}, {"a": ","}) == {"a": NumberStyle(",", "mapping")}


BY_COLUMN, BY_FILE = NumberStyle(",", "column"), NumberStyle(",", "file")
POINT_COLUMN, POINT_FILE = NumberStyle(".", "column"), NumberStyle(".", "file")
MIXED = NumberStyle("", "column")


@pytest.mark.parametrize(
    "column, text, style, number, doubt",
    [
        # clear by the column, by its range, or by custom
        ("landlord_max_kg", "1.234", BY_COLUMN, 1234.0, ""),
        ("landlord_max_kg", "1,234", POINT_COLUMN, 1234.0, ""),
        ("landlord_max_kg", "1,234", BY_COLUMN, 1.234, ""),
        ("latitude_deg", "36,105", CUSTOM, 36.105, ""),
        ("latitude_deg", "36.105", BY_FILE, 36.105, ""),
        ("elevation_m", "1.234", CUSTOM, 1.234, ""),
        ("elevation_m", "1.234", POINT_FILE, 1.234, ""),
        ("roof_reserve_kpa", "1,234", POINT_COLUMN, 1.234, ""),
        # one of both is usual
        ("landlord_max_kg", "1,234", CUSTOM, 1234.0,
         "1,234 may be 1234 or 1.234; read as 1234, which is usual"),
        ("landlord_max_kg", "1.234", BY_FILE, 1234.0,
         "1.234 may be 1.234 or 1234; read as 1234, which is usual"),
        # the rest of the file decides
        ("elevation_m", "1.234", BY_FILE, 1234.0,
         "1.234 may be 1.234 or 1234; read as 1234, as the rest of the file has a decimal comma"),
        ("elevation_m", "1,234", POINT_FILE, 1234.0,
         "1,234 may be 1234 or 1.234; read as 1234, as the rest of the file has a decimal point"),
        # nothing decides
        ("elevation_m", "1,234", CUSTOM, None,
         "1,234 may be 1234 or 1.234; write it without a separator of thousands"),
        ("elevation_m", "1.234", MIXED, None,
         "1.234 may be 1.234 or 1234; write it without a separator of thousands"),
    ],
)  # fmt: skip
def test_a_number_that_may_be_two(column, text, style, number, doubt):
    assert number_written(text, headings()[column], style) == (number, doubt)


def test_decimal_commas_between_semicolons(read):
    sites = read(
        HEAD + ";elevation_m;free_length_m;landlord_max_kg",
        "A;36,1;-79,95;312;7,5;1.200",
        "B;36,25;-79,9;1.034;8;950,5",
    )
    first, second = sites.sites
    assert first.number("latitude_deg") == 36.1
    assert first.number("longitude_deg") == -79.95
    assert first.number("free_length_m") == 7.5
    assert first.number("landlord_max_kg") == 1200.0
    assert second.number("elevation_m") == 1034.0
    assert [caution.column for site in sites.sites for caution in site.cautions] == ["elevation_m"]
    assert "1.034 may be 1.034 or 1034; read as 1034" in second.cautions[0].text
    notes = {note.code: note for note in sites.notes}
    assert notes["list-decimal-comma"].text.endswith(
        "decimal commas in latitude_deg, longitude_deg, free_length_m, landlord_max_kg"
    )
    assert "in landlord_max_kg, such as '1.200' read as 1200" in notes["list-thousands"].text
    assert sites.cells["longitude_deg"].tolist() == ["-79,95", "-79,9"]


def test_quoted_decimal_commas_between_commas(read):
    sites = read(
        "site_id,latitude_deg,longitude_deg,it_load_kw", 'A,"36,1","-79,95","5,6"', 'B,"36,15","-80",6'
    )
    assert [site.number("it_load_kw") for site in sites.sites] == [5.6, 6.0]
    assert sites.sites[0].number("latitude_deg") == 36.1
    assert not any(site.cautions for site in sites.sites)


def test_both_decimal_marks_in_one_column_are_said(read):
    sites = read(HEAD + ";free_length_m", "A;36,1;-79,95;7.5", "B;36,2;-79,9;8,5", "C;36,2;-79,8;9.000")
    assert [site.number("free_length_m") for site in sites.sites] == [7.5, 8.5, 9.0]
    assert "read as 9, which is usual" in sites.sites[2].cautions[0].text
    assert any(
        note.code == "list-mixed-decimals" and note.text.endswith("points in free_length_m")
        for note in sites.notes
    )


def test_a_doubt_that_stays_makes_the_row_unusable_and_names_both_readings(read):
    sites = read("site_id,latitude_deg,longitude_deg,elevation_m", "A,36,-79,12", 'B,36,-79,"1,234"')
    fault = sites.sites[1].faults[0]
    assert (fault.key, fault.value) == ("elevation_m", "1,234")
    assert fault.allowed == "1,234 may be 1234 or 1.234; write it without a separator of thousands"


def test_a_point_that_may_separate_thousands_is_asked_about(read):
    site = read("site_id,latitude_deg,longitude_deg,landlord_max_kg", "A,36,-79,1.200").sites[0]
    assert site.number("landlord_max_kg") == 1.2
    assert site.cautions[0].text == (
        "1.200: t? that would be 1200 kg; read as 1.2; "
        "with the point as a separator of thousands it would be 1200"
    )


def test_a_list_whose_only_cells_are_in_doubt_is_refused(read):
    with pytest.raises(InputFaults, match="no row of the list can be used"):
        read("site_id,latitude_deg,longitude_deg,elevation_m", 'B,36,-79,"1,234"')


@pytest.mark.parametrize(
    "number, style, text",
    [
        (1.5, CUSTOM, "1.5"),
        (1.5, BY_COLUMN, "1,5"),
        (1.234, CUSTOM, "1.2340"),
        (-1.234, BY_FILE, "-1,2340"),
        (1234.0, BY_COLUMN, "1234"),
        (0.1 + 0.2, CUSTOM, "0.3"),
        (1e-7, BY_COLUMN, "1e-07"),
    ],
)
def test_a_number_is_written_without_a_doubt(number, style, text):
    assert text_in_style(number, style) == text
